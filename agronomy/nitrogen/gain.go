package nitrogen

import (
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/season"
)

// rateOf is a rule's answer as a rate.
func rateOf(r *rulebook.Rule, v float64) unit.Rate { return unit.Rate(r.AmountOf(v, r.Unit, "").Base) }

// yieldGain is what a rule's logic says of yield.
func (q *question) yieldGain(w *rulebook.Worked, a *Answer) YieldGain {
	switch {
	case w.Rule.Family == rulebook.FamilyInSeason:
		return q.inSeasonGain(w, a)
	case a.Account.Known && a.Account.PerYield > 0:
		// Each unit of yield costs PerYield, so each unit of nitrogen makes its inverse, up to the goal.
		slope := 1 / float64(a.Account.PerYield)
		g := YieldGain{Known: true, SlopeKgPerKg: slope, Cap: unit.Yield(float64(a.Rate) * slope)}
		g.CapLow, g.CapHigh = g.Cap, g.Cap
		if a.HasRange {
			g.CapLow, g.CapHigh = unit.Yield(float64(a.Low)*slope), unit.Yield(float64(a.High)*slope)
		}
		return g
	default:
		return YieldGain{}
	}
}

// inSeasonGain is the outlook fed over the outlook alone. Where the rule counts the nitrogen in the extra
// grain, each nitrogen makes efficiency ÷ nitrogen in grain; where it counts all the grain's nitrogen, the
// rate it gives is taken to just reach the fed outlook.
func (q *question) inSeasonGain(w *rulebook.Worked, a *Answer) YieldGain {
	s := w.Slots()
	i := w.Rule.Slot(rulebook.Response)
	alone, ok := outlook(w.Rule, s, stepAlone)
	if !ok || i < 0 {
		return YieldGain{}
	}
	gain := func(response unit.Ratio) unit.Yield {
		s.Set(i, float64(response))
		w.Rule.Evaluate(s)
		fed, _ := outlook(w.Rule, s, stepFed)
		return max(0, fed-alone)
	}
	applied, _ := w.Input(rulebook.Applied)
	g := YieldGain{Known: true, Cap: gain(q.Response.Index.Value), From: unit.Rate(applied.Amount.Base)}
	g.CapLow, g.CapHigh = g.Cap, g.Cap
	if a.HasRange {
		g.CapLow, g.CapHigh = gain(q.Response.Low), gain(q.Response.High)
	}
	switch total := a.Rate + g.From; {
	case a.Account.countsExtraGrain(alone):
		g.SlopeKgPerKg = 1 / float64(a.Account.PerYield)
	case total > 0:
		g.SlopeKgPerKg = float64(g.Cap) / float64(total)
	}
	return g
}

// outlook reads a yield among the steps of a rule that was evaluated on the slots.
func outlook(r *rulebook.Rule, s *rulebook.Slots, key string) (unit.Yield, bool) {
	for _, step := range r.Steps {
		if step.Key != key {
			continue
		}
		v, ok := s.Step(key)
		return unit.Yield(r.AmountOf(v, step.Unit, season.WheatGrain).Base), ok
	}
	return 0, false
}
