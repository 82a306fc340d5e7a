package need

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"culm/agronomy/unit"
	"culm/season"

	"gonum.org/v1/gonum/stat/distuv"
)

// weighIndex puts the response index, its interval and the verdict into the finding.
func (f *Finding) weighIndex(readings []season.Reading, o Options) {
	on, beside := columns(readings, f.Points)
	f.Reference, f.Beside = unit.Index(mean(on)), unit.Index(mean(beside))
	f.Index, f.HasIndex = unit.Ratio(f.Reference/f.Beside), true
	switch {
	case f.Pairs == 0:
		f.compareSamples(on, beside)
	case f.Pairs < LeastPairs:
		f.Method = fmt.Sprintf("no interval from fewer than %d pairs", LeastPairs)
	case f.Pairs < FewPairs:
		f.compareFew(on, beside)
	default:
		f.resample(on, beside, o)
	}
	f.judge()
}

// columns gives the paired readings as two columns, or all readings of each place where there are no pairs.
func columns(readings []season.Reading, points []Point) (on, beside []float64) {
	if len(points) > 0 {
		both := make([]float64, 2*len(points))
		on, beside = both[:len(points)], both[len(points):]
		for i, p := range points {
			on[i], beside[i] = p.Reference, p.Beside
		}
		return on, beside
	}
	for _, x := range readings {
		if x.Place == season.OnReference {
			on = append(on, x.Value)
		} else {
			beside = append(beside, x.Value)
		}
	}
	// The order in which readings were written down must not reach the last digit.
	slices.Sort(on)
	slices.Sort(beside)
	return on, beside
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// logRatios gives each pair's part in the log of the index, linearised about the means: reading on the
// reference over its mean, less reading beside over its mean. It has mean zero, is the log ratio of the pair
// less that of the means to first order, and changes only its sign when the two places are exchanged.
func logRatios(on, beside []float64) []float64 {
	a, b := mean(on), mean(beside)
	d := make([]float64, len(on))
	for i := range d {
		d[i] = on[i]/a - beside[i]/b
	}
	return d
}

// compareFew bounds the index by Student's t on the log ratio: index × exp(± t × s / √n). Resampling a
// handful of pairs gives intervals that are too short, and they say nothing of autocorrelation.
func (f *Finding) compareFew(on, beside []float64) {
	d := logRatios(on, beside)
	n := float64(len(d))
	f.within(deviation(d)/math.Sqrt(n), n-1)
	f.Method = fmt.Sprintf("Student's t on the log ratio of %d pairs, taken as independent", len(d))
}

// compareSamples bounds the index where readings are not paired: Welch's t on the log ratio of two means.
func (f *Finding) compareSamples(on, beside []float64) {
	if len(on) < LeastPairs || len(beside) < LeastPairs {
		f.Method = fmt.Sprintf("no interval from fewer than %d readings at each place", LeastPairs)
		return
	}
	share := func(v []float64) float64 {
		relative := deviation(v) / mean(v)
		return relative * relative / float64(len(v))
	}
	a, b := share(on), share(beside)
	freedom := math.Inf(1)
	if a+b > 0 {
		freedom = (a + b) * (a + b) / (a*a/float64(len(on)-1) + b*b/float64(len(beside)-1))
	}
	f.within(math.Sqrt(a+b), freedom)
	f.Method = fmt.Sprintf("Welch's t on the log ratio of two means, %d and %d readings taken as independent", len(on), len(beside))
}

// within sets the interval index × exp(± t × error of the log index).
func (f *Finding) within(logError, freedom float64) {
	reach := math.Exp(studentQuantile(1-tail(f.Level), freedom) * logError)
	f.Low, f.High, f.HasInterval = f.Index/unit.Ratio(reach), f.Index*unit.Ratio(reach), true
}

// tail is the probability left out at each end of an interval.
func tail(level unit.Fraction) float64 { return (1 - float64(level)) / 2 }

func studentQuantile(p, freedom float64) float64 {
	if math.IsInf(freedom, 1) {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(p)
}

// deviation is the sample standard deviation.
func deviation(values []float64) float64 {
	m, sum := mean(values), 0.0
	for _, v := range values {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(len(values)-1))
}

// resample bounds the index by drawing blocks of neighbouring pairs anew, both members of a pair together:
// the circular block bootstrap of Politis and Romano 1992 with a percentile interval, stretched for what a
// small number of blocks does not show.
func (f *Finding) resample(on, beside []float64, o Options) {
	b := chooseBlocks(logRatios(on, beside))
	f.BlockLength, f.Autocorrelation, f.HasAutocorrelation = b.length, b.lag1, true
	low, high := bounds(circularBlocks(on, beside, b.length, o.Resamples, o.Seed), o)
	by := b.stretch(len(on), o.Level)
	// A lopsided handful of pairs can put the index itself outside; the interval always holds it.
	f.Low = min(f.Index, f.Index*unit.Ratio(math.Pow(low/float64(f.Index), by)))
	f.High = max(f.Index, f.Index*unit.Ratio(math.Pow(high/float64(f.Index), by)))
	f.HasInterval = true
	f.Method = fmt.Sprintf("%d draws of the pairs one by one, stretched percentiles", o.Resamples)
	if b.length > 1 {
		f.Method = fmt.Sprintf("%d draws of the pairs in blocks of %d neighbours, stretched percentiles", o.Resamples, b.length)
	}
}

// bounds are the plain percentiles of the draws, which it sorts.
func bounds(drawn []float64, o Options) (low, high float64) {
	slices.Sort(drawn)
	k := max(1, int(tail(o.Level)*float64(o.Resamples+1)))
	return drawn[k-1], drawn[len(drawn)-k]
}

// stretch is the factor by which the percentiles of n pairs resampled in blocks are moved away from the
// index, on the scale of its log.
//
// Percentiles of resamples fall short in small samples: they answer to a normal quantile and a variance with
// divisor n, where Student's t and n-1 are due (Hesterberg 2014, [cite.Hesterberg2014], who for that moves
// to percentiles farther out). We take the number of blocks for n, because so many independent pieces were
// drawn, and add the variance that the blocks are known to miss. Moving the bounds instead of the
// percentiles keeps them off the extremes of the draws.
func (b blocks) stretch(n int, level unit.Fraction) float64 {
	pieces := float64(n) / float64(b.length)
	t := studentQuantile(1-tail(level), pieces-1)
	z := distuv.UnitNormal.Quantile(1 - tail(level))
	return t / z * math.Sqrt(pieces/(pieces-1)/(1-b.short))
}

// circularBlocks draws blocks of neighbouring pairs from the series closed to a ring, as many as make up its
// length, and gives the index of each draw.
func circularBlocks(on, beside []float64, block, draws int, seed uint64) []float64 {
	n := uint64(len(on))
	whole, rest := len(on)/block, len(on)%block
	full := blockSums(on, beside, block)
	part := blockSums(on, beside, rest)
	source := rand.NewPCG(seed, n)
	out := make([]float64, draws)
	for i := range out {
		var a, b float64
		for range whole / 3 {
			p, q, r := thirds(source.Uint64(), n)
			s, t, u := &full[p], &full[q], &full[r]
			a, b = a+(s[0]+t[0]+u[0]), b+(s[1]+t[1]+u[1])
		}
		for range whole % 3 {
			p, _, _ := thirds(source.Uint64(), n)
			a, b = a+full[p][0], b+full[p][1]
		}
		if rest > 0 {
			p, _, _ := thirds(source.Uint64(), n)
			a, b = a+part[p][0], b+part[p][1]
		}
		out[i] = a / b
	}
	return out
}

// thirds makes three places from 0 to n-1 out of one draw of 64 bits, each from 21 of them. No place is
// favoured by more than n/2²¹, one part in ten thousand for 200 pairs.
func thirds(draw, n uint64) (p, q, r uint64) {
	const bits, mask = 21, 1<<21 - 1
	return draw >> (64 - bits) * n >> bits, draw >> bits & mask * n >> bits, draw & mask * n >> bits
}

// blockSums gives for every start the sums over a block of neighbours, on the reference and beside it.
func blockSums(on, beside []float64, block int) [][2]float64 {
	n := len(on)
	sums := make([][2]float64, n)
	for i := range sums {
		for k := range block {
			j := (i + k) % n
			sums[i][0] += on[j]
			sums[i][1] += beside[j]
		}
	}
	return sums
}

// judge turns index and interval into the verdict.
func (f *Finding) judge() {
	switch {
	case !f.HasInterval:
		f.Verdict, f.Why = ResponseUnsure, "too few readings for an interval"
	case f.High < WorthSeeing:
		f.Verdict, f.Why = NoResponse, "the interval ends below the least response worth a pass"
	case f.Low > 1:
		f.Verdict, f.Why = ResponseSeen, "the whole interval lies above 1"
	case f.Index <= 1:
		f.Verdict, f.Why = NoResponse, "the reference is no greener than the crop beside it"
	default:
		f.Verdict, f.Why = ResponseUnsure, "the interval holds both no response and one worth a pass"
	}
}
