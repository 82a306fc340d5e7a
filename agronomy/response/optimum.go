package response

import (
	"math"

	"culm/agronomy/unit"
)

// Optimum is the rate at which one more unit of nitrogen costs what it brings.
type Optimum struct {
	// Rate is the economic optimum; see the marks below for what kind of number it is.
	Rate unit.Rate `json:"rate"`
	// Interior: Rate lies within the rates tested and more and less than it both pay worse.
	Interior bool `json:"interior,omitempty"`
	// Beyond: nitrogen still pays at the highest rate tested. Rate is that rate, and the optimum is not
	// below it; how far above, the trial cannot say.
	Beyond bool `json:"beyond,omitempty"`
	// Below: the optimum is not above Rate; how far below, the trial cannot say. Either there is no plot
	// without nitrogen and already at the lowest rate the last of it does not pay, or the whole response had
	// come by the second-lowest rate.
	Below bool `json:"below,omitempty"`
	// Refused: the curve bends upward and has no optimum. Rate means nothing.
	Refused bool `json:"refused,omitempty"`
	// Reason says in words why the answer is what it is.
	Reason string `json:"reason"`
}

// Optimum finds the economic optimum: the rate where the slope has come down to ratio, the price of N per
// kg over the price of the crop per kg, both in the same currency. A ratio of 0 asks for the most yield.
// Where the slope is nowhere above the ratio, no nitrogen pays and the rate is exactly 0. A ratio that is
// negative or not a number is refused.
//
// The closed forms are those of Form.OptimumExpression. They are not used on a Sudden curve, whose steepness
// is not known: there the second-lowest rate is either worth its price or it is not. The package comment
// says why the optimum of one form is not to be trusted alone.
func (c Curve) Optimum(ratio unit.Ratio) Optimum {
	r := float64(ratio)
	if !(r >= 0) || math.IsInf(r, 1) {
		return Optimum{Refused: true, Reason: "the price of nitrogen over the price of the crop must be a number from 0 up"}
	}
	n, found := c.tangent(r)
	lowest, highest := float64(c.Lowest), float64(c.Highest)
	switch {
	case !found:
		return Optimum{Refused: true, Reason: bendsUpward}
	case n > highest:
		return Optimum{Rate: c.Highest, Beyond: true, Reason: "nitrogen still pays at the highest rate tested; the optimum is not below it"}
	case lowest > 0 && n < lowest:
		return Optimum{Rate: c.Lowest, Below: true, Reason: "already at the lowest rate tested the last nitrogen does not pay; the optimum is not above it"}
	case c.Sudden > 0 && n > 0:
		return Optimum{Rate: c.Sudden, Below: true, Reason: "the whole response had come by the second-lowest rate tested, and it pays; the optimum is not above it"}
	case n <= 0:
		return Optimum{Reason: "nowhere does nitrogen bring more yield than it costs"}
	case c.Form == LinearPlateau:
		return Optimum{Rate: unit.Rate(n), Interior: true, Reason: "up to here nitrogen brings more yield than it costs, and none beyond"}
	default:
		return Optimum{Rate: unit.Rate(n), Interior: true, Reason: "from here on nitrogen brings less yield than it costs"}
	}
}

// tangent is the rate at which the slope comes down to r, by formula and without regard to what was
// tested: -Inf where the slope is nowhere above r, +Inf where it never comes down. On a Sudden curve it is
// the rate by which the response had come, if that pays. It is not found when the curve bends upward and
// is somewhere steeper than r.
func (c Curve) tangent(r float64) (rate float64, found bool) {
	if c.bendsUp() {
		return math.Inf(-1), c.slope(float64(c.Highest)) <= r
	}
	if sudden := float64(c.Sudden); sudden > 0 {
		step := sudden - float64(c.Lowest)
		if c.yield(sudden)-c.yield(float64(c.Lowest)) > r*step {
			return sudden, true
		}
		return endless(false), true
	}
	p, q, s := c.values()
	switch c.Form {
	case Quadratic:
		if s == 0 {
			return endless(q > r), true
		}
		return (r - q) / (2 * s), true
	case QuadraticPlateau:
		if q == 0 {
			return endless(false), true
		}
		return s - r/q, true
	case LinearPlateau:
		if q <= r || c.Straight {
			return endless(q > r), true
		}
		return s, true
	case Mitscherlich:
		if steepest := (p - q) * s; steepest <= r || r == 0 {
			return endless(steepest > r), true
		}
		return math.Log((p-q)*s/r) / s, true
	default:
		if q >= r {
			return endless(q > r || s > 0), true
		}
		return square(s / (2 * (r - q))), true
	}
}

const bendsUpward = "yield rises ever faster with nitrogen, so the curve has no optimum"

// bendsUp says that the slope grows with the rate.
func (c Curve) bendsUp() bool {
	_, _, last := c.values()
	return c.Form == Quadratic && last > 0 || c.Form == SquareRoot && last < 0
}

func endless(above bool) float64 {
	if above {
		return math.Inf(1)
	}
	return math.Inf(-1)
}
