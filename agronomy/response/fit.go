package response

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
	"culm/season"
)

// Fit fits one form to the plots by least squares. It needs at least four plots and three different rates;
// other input is a *BadPlots.
//
// The quadratic and the square root are linear in their parameters and have one solution. In the other
// three, one parameter is not linear: the join M or J, or the rate constant c. For each value of it the
// rest is a straight-line fit, so the whole range of it is searched on a grid, every valley is followed to
// its bottom, and the deepest wins. There is no starting value to be unlucky with.
//
// The three that level off never fall: where the plots do, the fit is flat at the mean yield. Where the
// plots rise in a straight line or faster the curve is marked Straight, and where they have all their
// response by the second-lowest rate, Sudden. The join of a quadratic-plateau may lie above the highest
// rate; the curve is then the quadratic, and its plateau an extrapolation.
func Fit(form Form, plots []season.Plot) (Curve, error) {
	if !form.isKnown() {
		return Curve{}, fmt.Errorf("response form %q is not known; expected one of %v", form, Forms())
	}
	t, err := newTrial(plots)
	if err != nil {
		return Curve{}, err
	}
	return t.fit(form), nil
}

func (t *trial) fit(form Form) Curve {
	switch form {
	case Quadratic:
		return t.describe(form, t.quadratic())
	case SquareRoot:
		return t.describe(form, t.squareRoot())
	case LinearPlateau:
		return t.linearPlateau()
	case QuadraticPlateau:
		return t.quadraticPlateau()
	default:
		return t.mitscherlich()
	}
}

// describe puts a curve's parameters together with how well it fits.
func (t *trial) describe(form Form, values [parameters]float64) Curve {
	c := Curve{
		Form: form, Plots: len(t.plots), Rates: len(t.steps),
		Lowest: unit.Rate(t.lowest()), Highest: unit.Rate(t.highest()),
	}
	for i, name := range form.parameterNames() {
		c.Parameters[i] = Parameter{name, values[i]}
	}
	c.RSS = t.squares(c.yield)
	if t.total > 0 {
		c.R2 = unit.Fraction(1 - c.RSS/t.total)
	}
	c.ResidualSD = unit.Yield(math.Sqrt(c.RSS / t.freedom()))
	return c
}

func (t *trial) quadratic() [parameters]float64 {
	// About the mean rate the two regressors are nearly independent, which keeps the digits.
	middle := 0.0
	for _, s := range t.steps {
		middle += s.plots * s.rate / float64(len(t.plots))
	}
	c0, c1, c2 := t.plane(
		func(n float64) float64 { return n - middle },
		func(n float64) float64 { return square(n - middle) })
	return [parameters]float64{c0 - middle*c1 + square(middle)*c2, c1 - 2*middle*c2, c2}
}

func (t *trial) squareRoot() [parameters]float64 {
	a, b, c := t.plane(func(n float64) float64 { return n }, math.Sqrt)
	return [parameters]float64{a, b, c}
}

// plane is the least-squares fit of yield = p + q u + r v, with u and v functions of the rate that three
// different rates tell apart.
func (t *trial) plane(u, v func(rate float64) float64) (p, q, r float64) {
	var uMean, vMean float64
	for _, s := range t.steps {
		share := s.plots / float64(len(t.plots))
		uMean += share * u(s.rate)
		vMean += share * v(s.rate)
	}
	var uu, uv, vv, uy, vy float64
	for _, s := range t.steps {
		du, dv, dy := u(s.rate)-uMean, v(s.rate)-vMean, s.mean-t.mean
		uu += s.plots * du * du
		uv += s.plots * du * dv
		vv += s.plots * dv * dv
		uy += s.plots * du * dy
		vy += s.plots * dv * dy
	}
	det := uu*vv - uv*uv
	q = (uy*vv - vy*uv) / det
	r = (vy*uu - uy*uv) / det
	return t.mean - q*uMean - r*vMean, q, r
}
