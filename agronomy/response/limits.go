package response

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
	"culm/season"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Method is a way of finding limits for an optimum.
type Method string

// The methods.
const (
	MethodFieller   Method = "Fieller"
	MethodWald      Method = "Wald"
	MethodProfile   Method = "profile likelihood"
	MethodResiduals Method = "bootstrap of residuals"
	MethodCases     Method = "bootstrap of plots"
)

// Limits are the rates between which the economic optimum lies with a stated confidence, given that the
// form of the curve is right. High is not clamped to the rates tested, so that an optimum pinned down on
// one side only shows as that.
type Limits struct {
	Method Method        `json:"method"`
	Level  unit.Fraction `json:"level"`
	// Low is 0 where nothing rules out that no nitrogen pays, and the highest rate tested where even the
	// lower end lies above that.
	Low unit.Rate `json:"low"`
	// High means nothing when HighOpen is set: the plots set no upper limit, or one above twenty times the
	// highest rate tested.
	High     unit.Rate `json:"high"`
	HighOpen bool      `json:"highOpen,omitempty"`
	// Beyond: the limits reach above the highest rate tested. That part rests on the formula and on no plot.
	Beyond bool `json:"beyond,omitempty"`
	// The following count a bootstrap's draws: all of them, those that rise for ever and count as above
	// every limit, and those left with fewer than three rates, which no curve could be fitted to.
	Draws     int `json:"draws,omitempty"`
	Unlimited int `json:"unlimited,omitempty"`
	Unfitted  int `json:"unfitted,omitempty"`
}

// farthest is how many times the highest rate tested an upper limit may be. One further out is no limit to
// anybody, and is reported as open.
const farthest = 20

// newLimits turns a range of rates, which may be infinite, into limits.
func (t *trial) newLimits(m Method, level unit.Fraction, low, high float64) Limits {
	l := Limits{Method: m, Level: level, Beyond: high > t.highest()}
	l.Low = unit.Rate(min(max(low, 0), t.highest()))
	l.HighOpen = high > farthest*t.highest()
	if !l.HighOpen {
		l.High = unit.Rate(max(high, 0))
	}
	return l
}

// Refusal is the error for a curve whose optimum has no limits of the kind asked for.
type Refusal struct {
	Form Form
	Why  string
}

// Error implements error.
func (e *Refusal) Error() string { return "no limits from the " + e.Form.Name() + " form: " + e.Why }

// Fieller gives the limits of the quadratic's optimum: all rates N at which the slope could be equal to r,
// the ratio, as far as a t test can tell:
//
//	(b1 + 2 b2 N − r)² ≤ t² (v11 + 4 N v12 + 4 N² v22)
//
// v are the variances and the covariance of b1 and b2, and t is Student's with n − 3 degrees of freedom.
// In the notation of the worked example for [cite.Bachmaier2009] the set is A N² + B N + C ≤ 0 with
// A = b2² − t² v22, B = (b1 − r) b2 − t² v12, C = ((b1 − r)² − t² v11)/4. It is not symmetric, reaches
// further up than down, and is open above when the plots do not show that the curve bends at all. A curve
// that bends upward is a *Refusal.
//
// Where A is negative the set is two rays. The one kept holds the estimate; the other holds rates that
// would be the bottom of a valley and not the top of a hill.
func Fieller(plots []season.Plot, ratio unit.Ratio, level unit.Fraction) (Limits, error) {
	t, curve, err := begin(Quadratic, plots, ratio, level)
	if err != nil {
		return Limits{}, err
	}
	covariance, err := t.covariance(curve)
	if err != nil {
		return Limits{}, err
	}
	low, high := fieller(curve, covariance, float64(ratio), t.student(level))
	return t.newLimits(MethodFieller, level, low, high), nil
}

func fieller(curve Curve, v *mat.SymDense, r, t float64) (low, high float64) {
	_, b1, b2 := curve.values()
	a := b2*b2 - t*t*v.At(2, 2)
	b := (b1-r)*b2 - t*t*v.At(1, 2)
	c := (square(b1-r) - t*t*v.At(1, 1)) / 4
	d := b*b - 4*a*c
	if a <= 0 && d <= 0 {
		return math.Inf(-1), math.Inf(1)
	}
	if a == 0 {
		a = math.Copysign(0, -1) // one ray, the limit of two as the other moves away
	}
	// With a > 0 the estimate is in the set, and only rounding makes d negative. Of the two ways to write a
	// root, each end takes the one that subtracts no near-equal numbers.
	root := math.Sqrt(max(d, 0))
	first, second := (-b-root)/(2*a), (-b+root)/(2*a)
	if b < 0 {
		first = -2 * c / (b - root)
	} else if b > 0 {
		second = -2 * c / (b + root)
	}
	if a > 0 {
		return first, second
	}
	// Dividing by a negative a swapped the roots: the set is what lies outside second to first.
	if estimate, _ := curve.tangent(r); estimate >= first {
		return first, math.Inf(1)
	}
	return math.Inf(-1), second
}

// Wald gives symmetric limits: the optimum, and on both sides of it Student's t times a standard error
// carried over from the parameters by the delta method. They are easily had and too low at both ends where
// the curve is flat, as it is near its top: prefer Fieller or Profile. A curve that gives no rate with the
// slope asked for has no such limits and is a *Refusal.
func Wald(form Form, plots []season.Plot, ratio unit.Ratio, level unit.Fraction) (Limits, error) {
	t, curve, err := begin(form, plots, ratio, level)
	if err != nil {
		return Limits{}, err
	}
	optimum, _ := curve.tangent(float64(ratio))
	if math.IsInf(optimum, 0) || curve.Straight || curve.Sudden > 0 {
		return Limits{}, &Refusal{form, "the plots do not bracket a rate where the slope is equal to the price ratio, so it has no standard error"}
	}
	covariance, err := t.covariance(curve)
	if err != nil {
		return Limits{}, err
	}
	g := mat.NewVecDense(parameters, curve.optimumGradient(optimum, float64(ratio)))
	reach := t.student(level) * math.Sqrt(mat.Inner(g, covariance, g))
	return t.newLimits(MethodWald, level, optimum-reach, optimum+reach), nil
}

// begin checks what all limits need and fits the curve.
func begin(form Form, plots []season.Plot, ratio unit.Ratio, level unit.Fraction) (*trial, Curve, error) {
	if !form.isKnown() {
		return nil, Curve{}, fmt.Errorf("response form %q is not known; expected one of %v", form, Forms())
	}
	if !(level > 0 && level < 1) {
		return nil, Curve{}, fmt.Errorf("confidence level is %v; expected more than 0 and less than 1", float64(level))
	}
	if r := float64(ratio); !(r >= 0) || math.IsInf(r, 1) {
		return nil, Curve{}, fmt.Errorf("price of nitrogen over price of crop is %v; expected 0 or more", r)
	}
	t, err := newTrial(plots)
	if err != nil {
		return nil, Curve{}, err
	}
	curve := t.fit(form)
	if curve.bendsUp() {
		return nil, Curve{}, &Refusal{form, bendsUpward}
	}
	return t, curve, nil
}

// student is the two-sided quantile of Student's t at a level.
func (t *trial) student(level unit.Fraction) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: t.freedom()}.Quantile(0.5 + float64(level)/2)
}

// covariance is that of the parameters: s² (J'J)⁻¹, with J the derivatives of the fitted yields. For the
// forms that are linear in their parameters it is exact.
func (t *trial) covariance(c Curve) (*mat.SymDense, error) {
	information := mat.NewSymDense(parameters, nil)
	for _, s := range t.steps {
		information.SymRankOne(information, s.plots, mat.NewVecDense(parameters, c.yieldGradient(s.rate)))
	}
	// The parameters have units of their own; made alike, what is singular is so in fact and not by unit.
	var size [parameters]float64
	for i := range size {
		size[i] = math.Sqrt(information.At(i, i))
	}
	rescale := func(m *mat.SymDense) {
		for i := range size {
			for j := i; j < parameters; j++ {
				m.SetSym(i, j, m.At(i, j)/(size[i]*size[j]))
			}
		}
	}
	rescale(information)
	var factor mat.Cholesky
	inverse := mat.NewSymDense(parameters, nil)
	if !factor.Factorize(information) || factor.InverseTo(inverse) != nil {
		return nil, &Refusal{c.Form, "the plots do not tell its parameters apart, so they have no standard errors"}
	}
	rescale(inverse)
	inverse.ScaleSym(c.RSS/t.freedom(), inverse)
	return inverse, nil
}

// yieldGradient is the derivative of yield by each parameter.
func (c Curve) yieldGradient(n float64) []float64 {
	p, q, r := c.values()
	switch c.Form {
	case Quadratic:
		return []float64{1, n, n * n}
	case QuadraticPlateau:
		short := max(r-n, 0)
		return []float64{1, -short * short / 2, -q * short}
	case LinearPlateau:
		if n < r {
			return []float64{1, n, 0}
		}
		return []float64{1, r, q}
	case Mitscherlich:
		e := math.Exp(-r * n)
		return []float64{1 - e, e, (p - q) * n * e}
	default:
		return []float64{1, n, math.Sqrt(n)}
	}
}

// optimumGradient is the derivative of the optimum n at price ratio ratio by each parameter.
func (c Curve) optimumGradient(n, ratio float64) []float64 {
	p, q, r := c.values()
	switch c.Form {
	case Quadratic:
		return []float64{0, -1 / (2 * r), -n / r}
	case QuadraticPlateau:
		return []float64{0, ratio / (q * q), 1}
	case LinearPlateau:
		return []float64{0, 0, 1}
	case Mitscherlich:
		return []float64{1 / ((p - q) * r), -1 / ((p - q) * r), (1/r - n) / r}
	default:
		return []float64{0, 2 * n / (ratio - q), 2 * n / r}
	}
}
