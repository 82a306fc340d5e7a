package need

import (
	"fmt"
	"math"
	"strings"

	"culm/season"
)

// weigh sets the strength of the finding and notes every doubt about the readings. The strength starts from
// what was compared and how: a strip read by sensor is strong, spots read by sensor are fair, scores by eye
// are weak. Each doubt about the readings themselves takes one step off.
func (f *Finding) weigh(readings []season.Reading) {
	start, what := Strong, "a strip read by sensor"
	switch {
	case f.Means == season.Eye:
		start, what = Weak, "scores by eye"
	case f.Against != season.StripReference:
		start, what = Fair, fmt.Sprintf("%s spots read by sensor", f.Against)
	}
	doubts := f.doubts(min(places(readings)))
	f.Strength = start.less(len(doubts))
	f.StrengthWhy = what
	if len(doubts) > 0 {
		f.StrengthWhy += "; " + strings.Join(doubts, "; ")
	}
}

// less gives the strength some steps weaker.
func (s Strength) less(steps int) Strength {
	for range steps {
		switch s {
		case Strong:
			s = Fair
		case Fair:
			s = Weak
		}
	}
	return s
}

// rank orders strengths: higher is stronger.
func (s Strength) rank() int {
	switch s {
	case Strong:
		return 3
	case Fair:
		return 2
	case Weak:
		return 1
	default:
		return 0
	}
}

// doubts are the doubts about the readings themselves, in a few words each; a warning says each in full.
// least is the number of readings at the place with fewer.
func (f *Finding) doubts(least int) (doubts []string) {
	doubt := func(short, warning string, args ...any) {
		doubts = append(doubts, short)
		f.Warnings = append(f.Warnings, fmt.Sprintf(warning, args...))
	}
	if f.Pairs == 0 {
		doubt("not paired", "The readings carry neither pair numbers nor distances, so two separate samples are compared: a slope in the soil between them would look like a response.")
	}
	switch {
	case f.Pairs == 0 && least < FewPairs:
		doubt("few readings", "Only %s at one of the places: take at least %d.", count(least, "reading"), FewPairs)
	case f.Pairs == 0:
	case f.Pairs < LeastPairs:
		doubt("too few pairs", "Only %s: read at least %d.", count(f.Pairs, "pair"), FewPairs)
	case f.Pairs < FewPairs:
		doubt("few pairs", "Only %s: the interval takes them as independent of each other. Read at least %d.", count(f.Pairs, "pair"), FewPairs)
	}
	if f.Means != season.Sensor {
		return doubts
	}
	if f.Reference > SaturatedAbove {
		doubt("the index is near its ceiling", "The reference reads %.2f: above about %.2f the index hardly rises with more leaf, so a response may not show.", float64(f.Reference), float64(SaturatedAbove))
	}
	if f.Beside < BareBelow {
		doubt("thin stand", "The crop beside the reference reads %.2f: below about %.2f soil shows through, and the ratio is not to be relied on.", float64(f.Beside), float64(BareBelow))
	}
	if alone := f.independent(); f.BlockLength > 1 && alone < FewPairs {
		doubt("few independent places", "Neighbouring readings resemble each other: %d pairs tell as much as about %d independent ones, and the interval may still be too narrow. A longer strip or a second one tells more than more readings on this one.", f.Pairs, alone)
	}
	if spread, far, ok := f.spread(); ok && spread > WildSpread {
		doubt("readings vary widely", "The pairs disagree widely; farthest out is the pair at %.4g, %.2f on the reference and %.2f beside it. Look for skips, wheel tracks or a reading of bare ground.", far.At, far.Reference, far.Beside)
	}
	return doubts
}

// independent is the number of independent pairs that would tell as much about a mean, n (1-φ)/(1+φ) for a
// series in which each value remembers the one before it by φ.
func (f *Finding) independent() int {
	return int(float64(f.Pairs) * (1 - f.Autocorrelation) / (1 + f.Autocorrelation))
}

// spread is the standard deviation of the pairs' log ratios, and the pair farthest from the rest.
func (f *Finding) spread() (spread float64, far Point, ok bool) {
	if f.Pairs < LeastPairs {
		return 0, Point{}, false
	}
	on, beside := columns(nil, f.Points)
	d := logRatios(on, beside)
	at := 0
	for i := range d {
		if math.Abs(d[i]) > math.Abs(d[at]) {
			at = i
		}
	}
	return deviation(d), f.Points[at], true
}

// remark adds what a reader must know beside the doubts: facts of the trade that no reading shows.
// zeros counts the readings of zero that were left out.
func (f *Finding) remark(crop season.Crop, zeros int) {
	remark := func(warning string, args ...any) { f.Warnings = append(f.Warnings, fmt.Sprintf(warning, args...)) }
	if zeros > 0 {
		remark("%s of zero %s taken as no reading.", count(zeros, "reading"), wasWere(zeros))
	}
	if f.LeftOut > 0 {
		remark("%s found no partner and %s left out.", count(f.LeftOut, "reading"), wasWere(f.LeftOut))
	}
	if f.Verdict == NoResponse && f.HasInterval && f.High >= WorthSeeing {
		remark("The interval still reaches %.2f: more pairs would settle it.", float64(f.High))
	}
	switch {
	case f.Against != season.StripReference:
		remark("%s spots bring phosphorus and potassium too, and are trampled and grazed differently: not all of the difference need be nitrogen.", spotName(f.Against))
	case crop.IsGrazed():
		remark("Cattle graze a greener strip harder: unless it was fenced off, a response can be eaten before it is read.")
	}
	if crop == season.Canola && f.HasIndex {
		remark("Canola: the index tells need only. No published way turns it into a rate, and after the first flowers it does not even tell need.")
	}
}

func spotName(r season.Reference) string {
	if r == season.UrineReference {
		return "Urine"
	}
	return "Dung"
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func wasWere(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}
