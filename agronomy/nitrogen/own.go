package nitrogen

import (
	"math"

	"culm/agronomy/rulebook"
	"culm/agronomy/working"
	"culm/season"
)

// The numbers of an in-season rule that an advisor may have fitted anew: outlook = factor × exp(exponent × growth
// per day), response at harvest = slope × response + constant, and the share of nitrogen that reaches the grain.
const (
	outlookFactor   = "outlookFactor"
	outlookExponent = "outlookExponent"
	harvestSlope    = "harvestSlope"
	harvestConstant = "harvestConstant"
	efficiency      = string(rulebook.Efficiency)
)

const ownName = "In-season, own calibration"

// own asks the advisor's calibration, which takes the place of the published numbers in the first in-season rule
// that has them all. Nobody published it: it has no source and no standing of its own. What the calibration does
// not set (nitrogen in grain, the caps) stays as published and keeps its source.
func (q *question) own(rules []*rulebook.Rule) Answer {
	a := Answer{Method: OwnCalibration, Name: ownName, Family: rulebook.FamilyInSeason, FittedOn: q.Calibration.Label}
	a.Why = "needs a rulebook that counts the nitrogen in the extra grain"
	for _, r := range rules {
		if r.Family != rulebook.FamilyInSeason || !hasConstants(r, outlookFactor, outlookExponent, harvestSlope, harvestConstant) {
			continue
		}
		if a.Why = unusable(*q.Calibration); a.Why != "" {
			return a
		}
		c := q.Calibration
		own, err := r.With(OwnCalibration, ownName, map[string]float64{
			outlookFactor: c.A, outlookExponent: c.B, harvestSlope: c.C, harvestConstant: c.D, efficiency: float64(c.Efficiency),
		}, working.Origin{Kind: working.Setting, Why: c.Label})
		if err != nil {
			a.Why = err.Error()
			return a
		}
		return q.askOwn(own, r)
	}
	return a
}

// askOwn asks a rule with the advisor's numbers and says what in it is still the publication's.
func (q *question) askOwn(own, published *rulebook.Rule) Answer {
	a := q.ask(own)
	if !a.Answered {
		return a
	}
	standing := a.Figure.Status
	a.Figure.Source, a.Figure.Status = "", ""
	a.Notes = append(a.Notes, "The advisor's own calibration. Nitrogen in grain and the cap on the response index stay those of "+published.Name+", "+string(standing)+".")
	a.Figure.Notes = a.Notes
	for i := range a.Figure.Inputs {
		in := &a.Figure.Inputs[i]
		if in.Origin.Kind == working.Setting && in.Label != label(own, efficiency) {
			in.Label = "own calibration: " + in.Label
		}
	}
	return a
}

func label(r *rulebook.Rule, name string) string {
	if i := r.Slot(rulebook.What(name)); i >= 0 {
		return r.Inputs[i].Label
	}
	return name
}

func hasConstants(r *rulebook.Rule, names ...string) bool {
	for _, n := range names {
		found := false
		for _, c := range r.Constants {
			found = found || c.Name == n
		}
		if !found {
			return false
		}
	}
	return true
}

// unusable says why a calibration cannot be reckoned with; empty when it can.
func unusable(c season.Calibration) string {
	for _, v := range []float64{c.A, c.B, c.C, c.D} {
		if math.IsNaN(v) || math.Abs(v) > 1e5 {
			return "the calibration has a number that cannot be used"
		}
	}
	switch {
	case c.A <= 0 || c.B <= 0 || c.C <= 0:
		return "the calibration must rise with the reading and with the response index: a, b and c above 0"
	case !(c.Efficiency > 0 && c.Efficiency <= 1):
		return "the calibration's efficiency must be above 0 and up to 1"
	default:
		return ""
	}
}
