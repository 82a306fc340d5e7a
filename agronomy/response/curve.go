package response

import (
	"math"

	"culm/agronomy/unit"
)

// Curve is yield as a function of nitrogen, fitted to the plots of a trial.
type Curve struct {
	Form Form `json:"form"`
	// Parameters are in the order in which the form's expression is read in its source: b0, b1, b2; Ymax, k,
	// M; a, b, J; A, y0, c; a, b, c. Rates and yields are in kg/ha.
	Parameters [parameters]Parameter `json:"parameters"`
	// RSS is the residual sum of squares, (kg/ha)².
	RSS float64 `json:"rss"`
	// R2 is the share of the variance of yield that the curve explains; 0 when all yields are equal. It
	// does not say which form is right.
	R2 unit.Fraction `json:"r2"`
	// ResidualSD is the scatter of plots about the curve, with three fewer degrees of freedom than plots.
	ResidualSD unit.Yield `json:"residualSD"`
	Plots      int        `json:"plots"`
	Rates      int        `json:"rates"` // different rates
	// Lowest and Highest bound the rates tested, and with them what the curve can be asked.
	Lowest  unit.Rate `json:"lowest"`
	Highest unit.Rate `json:"highest"`
	// Straight: the plots rise in a straight line or ever faster, and a form that levels off was fitted as
	// straight as it goes. Its level is out of sight and the parameters that describe it say nothing.
	Straight bool `json:"straight,omitempty"`
	// Sudden is the second-lowest rate tested when the whole response had come by then and a form that
	// levels off cannot tell at which rate below: the steepness that was fitted says nothing. 0 otherwise.
	Sudden unit.Rate `json:"sudden,omitempty"`
}

// Parameter is one number of a curve.
type Parameter struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
}

// values gives the parameters in order, for use in formulas.
func (c Curve) values() (p, q, r float64) {
	return c.Parameters[0].Value, c.Parameters[1].Value, c.Parameters[2].Value
}

// Yield reads the curve. Outside Lowest to Highest it goes on by formula, which no plot supports.
func (c Curve) Yield(rate unit.Rate) unit.Yield { return unit.Yield(c.yield(float64(rate))) }

func (c Curve) yield(n float64) float64 {
	p, q, r := c.values()
	switch c.Form {
	case Quadratic:
		return p + n*(q+n*r)
	case QuadraticPlateau:
		return p - q/2*square(max(r-n, 0))
	case LinearPlateau:
		return p + q*min(n, r)
	case Mitscherlich:
		return p - (p-q)*math.Exp(-r*n)
	default:
		return p + q*n + r*math.Sqrt(n)
	}
}

// Slope is the yield that the last unit of nitrogen brought, kg of crop per kg of N. At the join of a
// linear-plateau it is that of the line. The square root form is infinitely steep at rate 0.
func (c Curve) Slope(rate unit.Rate) unit.Ratio { return unit.Ratio(c.slope(float64(rate))) }

func (c Curve) slope(n float64) float64 {
	p, q, r := c.values()
	switch c.Form {
	case Quadratic:
		return q + 2*r*n
	case QuadraticPlateau:
		return q * max(r-n, 0)
	case LinearPlateau:
		if n > r {
			return 0
		}
		return q
	case Mitscherlich:
		return (p - q) * r * math.Exp(-r*n)
	default:
		if r == 0 {
			return q
		}
		return q + r/(2*math.Sqrt(n))
	}
}

// NetGain is the yield gained over no nitrogen, less the yield that pays for the nitrogen, where ratio is
// the price of N per kg over the price of the crop per kg. Times the price of the crop it is money.
func (c Curve) NetGain(rate unit.Rate, ratio unit.Ratio) unit.Yield {
	return c.Yield(rate) - c.Yield(0) - unit.Yield(float64(ratio)*float64(rate))
}
