// Package nitrogen finds how much top-dress nitrogen a field needs, by every published way that can answer,
// side by side. The ways disagree, and they are never blended: Lead picks the one a decision follows, and
// Spread says how far apart they lie and which input or choice explains most of it.
//
// Evidence is what is known of one field. Answers puts it to the nitrogen rules of package rulebook, to an
// advisor's own in-season calibration, to response curves fitted elsewhere and, for wheat grazed to the end, to
// the forage of package grazing. A way that cannot answer says why.
//
// The sufficiency-index method is left out because it was made for corn. Canola readings are not turned
// into a rate because no published equation does. What the crop lacks is the business of package need, and
// what nitrogen costs and brings that of the plan.
package nitrogen

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/grazing"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Evidence is what is known of a field. Everything but the crop may be missing; missing is not zero.
type Evidence struct {
	Crop      season.Crop
	YieldGoal working.Fact[unit.Yield]
	// Soil are the samples that speak for the field, not for a spot of it. The day on which nitrate was last
	// sampled divides what was applied before it, and is in the test, from what came after.
	Soil          []*season.Soil
	OrganicMatter working.Fact[unit.Fraction] // of the top layer
	PreviousCrop  string
	Tillage       season.Tillage
	Stubble       working.Fact[unit.Biomass]
	// Gain is live weight gained on the field, Herd what grazes it.
	Gain working.Fact[unit.Gain]
	Herd grazing.Herd
	// Applied is the nitrogen spread this season, one entry for each pass.
	Applied []Application

	Response ResponseIndex
	// Reading is the mean sensor index beside the reference. The day it was taken is that of its origin.
	Reading     working.Fact[unit.Index]
	GrowingDays working.Fact[unit.Days] // from planting to the reading
	// Calibration is the advisor's own, beside the published ones.
	Calibration  *season.Calibration
	MaximumYield working.Fact[unit.Yield]

	GrainPrice    working.Fact[unit.PricePerMass]
	NitrogenPrice working.Fact[unit.PricePerMass] // per kg of N
	Ramp          *season.Ramp
	Curves        []Curve
	// FreshMass is that of canola above ground, from a cut square. The day of the cut is that of its origin.
	FreshMass working.Fact[unit.Biomass]
}

// ResponseIndex is how much higher a sensor reads on the reference than beside it. It must come from a
// sensor; scores by eye give no rate.
type ResponseIndex struct {
	Index working.Fact[unit.Ratio]
	// Low and High bound it at the confidence Level; HasInterval says that they are known.
	Low, High   unit.Ratio
	Level       unit.Fraction
	HasInterval bool
}

// Application is one pass of nitrogen.
type Application struct {
	Day calendar.Day
	N   working.Fact[unit.Rate]
}

// Curve is one form of response curve fitted to trials, with the total nitrogen that pays best at the
// season's prices.
type Curve struct {
	Form    string // "quadratic-plateau"
	Optimum unit.Rate
	// Low and High bound the optimum at Level; HasInterval says that they are known.
	Low, High   unit.Rate
	Level       unit.Fraction
	HasInterval bool
	// Beyond: the optimum is not below Optimum, the highest rate tested.
	Beyond bool
	// Refused: the fit has no optimum.
	Refused bool
	// Reason says why the optimum is what it is, or is not.
	Reason   string
	FittedOn string
	Source   cite.Key
	Status   cite.Status
	// Points are yields read off the curve at rising total nitrogen, close enough for straight lines
	// between them.
	Points []CurvePoint
}

// CurvePoint is a yield on a curve.
type CurvePoint struct {
	Total unit.Rate
	Yield unit.Yield
}

// sampled is the day on which the field was last sampled for nitrate. It returns false when it never was; the
// day itself may be unknown.
func (e *Evidence) sampled() (day calendar.Day, ok bool) {
	for _, s := range e.Soil {
		if _, tested := s.Find(season.NitrateN); tested {
			ok = true
			if s.Day.After(day) {
				day = s.Day
			}
		}
	}
	return day, ok
}
