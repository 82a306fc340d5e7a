package response

import (
	"math"

	"culm/agronomy/unit"
	"culm/season"
)

// Profile gives limits by likelihood: the rates that, taken as the optimum, let the best curve of the form
// have a residual sum of squares of no more than RSS (1 + t²/(n − 3)), with t Student's. It is as
// unsymmetric as the plots are. For the quadratic it is Fieller's set; for the other forms the level is
// approximate. Where the rates that qualify have a gap, as can be with the linear-plateau, the limits span
// it.
func Profile(form Form, plots []season.Plot, ratio unit.Ratio, level unit.Fraction) (Limits, error) {
	t, curve, err := begin(form, plots, ratio, level)
	if err != nil {
		return Limits{}, err
	}
	r := float64(ratio)
	if form == Mitscherlich && r == 0 {
		return Limits{}, &Refusal{form, "it never stops rising, so nitrogen that costs nothing has no optimum"}
	}
	limit := curve.RSS * (1 + square(t.student(level))/t.freedom())
	qualifies := func(n float64) bool { return t.squaresIfOptimum(form, n, r) <= limit }
	estimate, _ := curve.tangent(r)
	low, high := t.span(qualifies, max(estimate, 0))
	return t.newLimits(MethodProfile, level, low, high), nil
}

// span looks for the lowest and the highest rate that qualifies; the estimate, which may be infinite,
// qualifies in any case.
func (t *trial) span(qualifies func(rate float64) bool, estimate float64) (low, high float64) {
	low, high = estimate, estimate
	if math.IsInf(estimate, 1) {
		low = farthest * t.highest()
	}
	var left float64
	leftIn := qualifies(0)
	for _, right := range t.candidates(estimate) {
		rightIn := qualifies(right) || right == estimate
		if leftIn {
			low, high = min(low, left), max(high, left)
		}
		if leftIn != rightIn {
			edge := crossing(qualifies, left, right, leftIn)
			low, high = min(low, edge), max(high, edge)
		}
		left, leftIn = right, rightIn
	}
	if leftIn {
		high = math.Inf(1)
	}
	return low, high
}

// candidates are the rates to try after 0: even steps over the rates tested, growing ones beyond, and the
// estimate itself where it is among them.
func (t *trial) candidates(estimate float64) []float64 {
	const within, beyond = 60, 60
	rates := make([]float64, 0, within+beyond+1)
	growth := math.Pow(farthest, 1.0/beyond)
	for i := 1; i <= within+beyond; i++ {
		rate := t.highest() * float64(i) / within
		if i > within {
			rate = t.highest() * math.Pow(growth, float64(i-within))
		}
		if n := len(rates); estimate < rate && (n == 0 && estimate > 0 || n > 0 && estimate > rates[n-1]) {
			rates = append(rates, estimate)
		}
		rates = append(rates, rate)
	}
	return rates
}

// crossing halves the interval in which rates stop or begin to qualify.
func crossing(qualifies func(rate float64) bool, left, right float64, leftIn bool) float64 {
	for {
		middle := left + (right-left)/2
		if middle <= left || middle >= right {
			return middle
		}
		if qualifies(middle) == leftIn {
			left = middle
		} else {
			right = middle
		}
	}
}

// squaresIfOptimum is the least residual sum of squares among the curves of a form whose optimum at price
// ratio r is n: those whose slope at n is r, and greater below. What the condition fixes is subtracted from
// the yields as known, and what is left free is fitted.
//
//	quadratic          y − r N           = α − β (N − n)²
//	linear-plateau     y − r min(N, n)   = α + β min(N, n)
//	square root        y − r N           = α + β (2 √(n N) − N)
//	quadratic-plateau  y + r (M − N)² / (2 (M − n))     = Ymax, over M above n
//	Mitscherlich       y + r exp(c (n − N)) / c         = A, over c above 0
//
// β may not be negative, or n would be no optimum.
func (t *trial) squaresIfOptimum(form Form, n, r float64) float64 {
	switch {
	case form == Quadratic:
		return t.squaresGiven(
			func(rate float64) float64 { return r * rate },
			func(rate float64) float64 { return -square(rate - n) })
	case form == LinearPlateau:
		return t.squaresGiven(
			func(rate float64) float64 { return r * min(rate, n) },
			func(rate float64) float64 { return min(rate, n) })
	case form == SquareRoot:
		return t.squaresGiven(
			func(rate float64) float64 { return r * rate },
			func(rate float64) float64 { return 2*math.Sqrt(n*rate) - rate })
	case form == QuadraticPlateau && r == 0:
		return t.squaresGiven(none, func(rate float64) float64 { return -square(max(n-rate, 0)) })
	case form == QuadraticPlateau:
		return leastOver(t.highest(), func(past float64) float64 {
			return t.squaresGiven(func(rate float64) float64 {
				return -r * square(max(n+past-rate, 0)) / (2 * past)
			}, none)
		})
	default:
		return leastOver(t.highest(), func(scale float64) float64 {
			return t.squaresGiven(func(rate float64) float64 {
				return -r * scale * math.Exp((n-rate)/scale)
			}, none)
		})
	}
}

func none(float64) float64 { return 0 }

// squaresGiven is the residual sum of squares of y − known = α + β z with β not negative.
func (t *trial) squaresGiven(known, z func(rate float64) float64) float64 {
	var yMean, zMean float64
	for _, s := range t.steps {
		share := s.plots / float64(len(t.plots))
		yMean += share * (s.mean - known(s.rate))
		zMean += share * z(s.rate)
	}
	var zz, zy float64
	for _, s := range t.steps {
		dz := z(s.rate) - zMean
		zz += s.plots * dz * dz
		zy += s.plots * dz * (s.mean - known(s.rate) - yMean)
	}
	gain := 0.0
	if zy > 0 {
		gain = zy / zz
	}
	rss := t.within
	for _, s := range t.steps {
		rss += s.plots * square(s.mean-known(s.rate)-yMean-gain*(z(s.rate)-zMean))
	}
	return rss
}

// leastOver is the least of f over lengths from a thousandth to a thousand times a scale: even steps in
// the logarithm, then golden-section search in the best place.
func leastOver(scale float64, f func(length float64) float64) float64 {
	const points, golden = 64, 0.6180339887498949
	at := func(log float64) float64 {
		if v := f(scale * math.Exp(log)); !math.IsNaN(v) {
			return v
		}
		return math.Inf(1) // the exponential overflowed
	}
	reach := math.Log(1000)
	step := 2 * reach / points
	best, least := -reach, math.Inf(1)
	for i := range points + 1 {
		log := -reach + step*float64(i)
		if v := at(log); v < least {
			best, least = log, v
		}
	}
	left, right := best-step, best+step
	a, b := right-golden*(right-left), left+golden*(right-left)
	fa, fb := at(a), at(b)
	for right-left > 1e-8 {
		if fa < fb {
			right, b, fb = b, a, fa
			a = right - golden*(right-left)
			fa = at(a)
		} else {
			left, a, fa = a, b, fb
			b = left + golden*(right-left)
			fb = at(b)
		}
	}
	return min(least, fa, fb)
}
