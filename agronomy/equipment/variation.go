package equipment

import (
	"math"

	"culm/agronomy/unit"

	"gonum.org/v1/gonum/stat/distuv"
)

// confidence is that of every interval here.
const confidence = 0.95

// mostCV is the CV up to which the interval is near the exact one.
const mostCV = 1.0 / 3

// CVInterval holds the coefficient of variation of a normal population, of which n were found to have cv, with a
// confidence such as 0.95 [cite.Vangel1996]:
//
//	cv ÷ √(((u + 2) ÷ n − 1) cv² + u ÷ (n − 1))
//
// It holds what it says to a tenth of a point up to a cv of 10 %, and up to half a point more beyond that.
//
// Here u is the upper or the lower quantile of χ² with n − 1 degrees of freedom. It is false with fewer than two values, for
// a cv above a third, where the approximation is not meant for, and for one of zero.
func CVInterval(cv unit.Fraction, n int, level unit.Fraction) (low, high unit.Fraction, ok bool) {
	if n < 2 || !(cv > 0 && cv <= mostCV) {
		return 0, 0, false
	}
	k, degrees := float64(cv), float64(n-1)
	chi := distuv.ChiSquared{K: degrees}
	bound := func(p float64) float64 {
		u := chi.Quantile(p)
		return k / math.Sqrt(((u+2)/float64(n)-1)*k*k+u/degrees)
	}
	tail := float64(1-level) / 2
	low, high = unit.Fraction(bound(1-tail)), unit.Fraction(bound(tail))
	if math.IsNaN(float64(high)) || math.IsInf(float64(high), 0) { // two or three values say nearly nothing
		return 0, 0, false
	}
	return low, high, true
}
