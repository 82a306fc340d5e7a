package nitrogen

import (
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Answer is what one published way says of a field.
type Answer struct {
	// Rule is the book's rule that answers; nil for curves and forage.
	Rule   *rulebook.Rule
	Method string // key, such as "kansas-2003"
	Name   string
	Family string // a Family constant of package rulebook, or FamilyCurve or FamilyForage
	// Answered is false when the way cannot answer; Why says why.
	Answered bool
	Why      string
	// Rate is nitrogen still to be spread, never below 0. Low and High bound it if HasRange.
	Rate, Low, High unit.Rate
	HasRange        bool
	// Figure is the rate with its working; its id is "rate." and the method.
	Figure   working.Figure
	FittedOn string
	Notes    []string
	// Assumed lists inputs that nobody observed.
	Assumed []string
	// YieldGain is what the way implies for yield.
	YieldGain YieldGain
	// Account is the rate taken apart for comparison with others.
	Account Account
	// Forage is that of an answer by FamilyForage; the zero value for others.
	Forage ForageAccount
}

// ForageAccount is a rate for forage taken apart: (Grown − Free) ÷ PerNitrogen, before what was already
// applied is taken off.
type ForageAccount struct {
	Grown, Free unit.Biomass
	PerNitrogen float64 // forage for each nitrogen, kg/kg
}

// Families beside those of package rulebook.
const (
	FamilyCurve  = "response curve"
	FamilyForage = "forage"
)

// YieldGain is the yield that nitrogen brings by a way's own logic: a straight line up to a cap, or a curve.
type YieldGain struct {
	// Known is false where a way says nothing of yield, as a price table or a ramp.
	Known bool
	// SlopeKgPerKg is grain for each nitrogen that reaches the crop, up to Cap.
	SlopeKgPerKg float64
	Cap          unit.Yield
	// CapLow and CapHigh bound the cap where the evidence gives an interval; both equal Cap otherwise.
	CapLow, CapHigh unit.Yield
	// From is nitrogen the crop already had when the line or curve begins to count for it.
	From unit.Rate
	// Points are the curve, where there is one.
	Points []CurvePoint
}

// Gain is the yield over none spread that n brings, where n is nitrogen that reaches the crop. It is 0
// where the way says nothing of yield.
func (a Answer) Gain(n unit.Rate) unit.Yield { return a.YieldGain.at(n, a.YieldGain.Cap) }

// GainRange bounds Gain where the evidence gives an interval; otherwise both equal Gain.
func (a Answer) GainRange(n unit.Rate) (low, high unit.Yield) {
	return a.YieldGain.at(n, a.YieldGain.CapLow), a.YieldGain.at(n, a.YieldGain.CapHigh)
}

func (g YieldGain) at(n unit.Rate, most unit.Yield) unit.Yield {
	switch {
	case !g.Known || !(n > 0):
		return 0
	case len(g.Points) > 0:
		return read(g.Points, g.From+n) - read(g.Points, g.From)
	default:
		line := func(n unit.Rate) unit.Yield { return min(unit.Yield(float64(n)*g.SlopeKgPerKg), most) }
		return line(g.From+n) - line(g.From)
	}
}

// read reads a curve between its points, and holds its end values beyond them: past what was tested a
// trial says nothing.
func read(points []CurvePoint, total unit.Rate) unit.Yield {
	last := len(points) - 1
	if total <= points[0].Total {
		return points[0].Yield
	}
	for i := 1; i <= last; i++ {
		if a, b := points[i-1], points[i]; total <= b.Total {
			share := unit.Yield((total - a.Total) / (b.Total - a.Total))
			return a.Yield + share*(b.Yield-a.Yield)
		}
	}
	return points[last].Yield
}
