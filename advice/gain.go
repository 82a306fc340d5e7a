package advice

import (
	"fmt"

	"culm/agronomy/cite"
	"culm/agronomy/nitrogen"
	"culm/agronomy/unit"
)

// gainCurve is what the crop gains from nitrogen that reaches it: the curve of an answer, or else a straight
// line up to a cap.
type gainCurve struct {
	answer nitrogen.Answer // used when it knows of yield
	slope  float64         // kg of grain, or of live weight, for each kg of N; 0 for a curve
	cap    unit.Yield
	// capHigh is the cap at the high end of the evidence; equal to cap where there is no range.
	capHigh unit.Yield
	// forms are the same trials fitted by other curves: between them the gain is taken to lie.
	forms []nitrogen.Answer

	from   string // whose the curve is
	source cite.Key
	status cite.Status
	notes  []string
}

// known says that anything is known of what nitrogen brings.
func (g gainCurve) known() bool { return g.slope > 0 || len(g.answer.YieldGain.Points) > 0 }

func (g gainCurve) at(n unit.Rate) unit.Yield {
	if g.answer.YieldGain.Known {
		return g.answer.Gain(n)
	}
	return min(unit.Yield(float64(n)*g.slope), g.cap)
}

// bounds gives the gain at the ends of the evidence; both are the gain itself where there is no range.
func (g gainCurve) bounds(n unit.Rate) (low, high unit.Yield) {
	low, high = g.at(n), g.at(n)
	if g.answer.YieldGain.Known {
		low, high = g.answer.GainRange(n)
	}
	for _, f := range g.forms {
		low, high = min(low, f.Gain(n)), max(high, f.Gain(n))
	}
	return low, high
}

// high is the curve at the high end of the evidence.
func (g gainCurve) high() gainCurve {
	g.cap = g.capHigh
	g.answer.YieldGain.Cap = g.answer.YieldGain.CapHigh
	return g
}

// expression says how the gain is reckoned.
func (g gainCurve) expression() string {
	if g.slope == 0 {
		return "read off the curve of " + g.from + ": yield with the nitrogen reaching the crop less yield without"
	}
	return fmt.Sprintf("nitrogen reaching the crop × %.1f kg for each kg, at most the gain expected by %s", g.slope, g.from)
}
