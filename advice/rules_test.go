package advice_test

import (
	"testing"

	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
)

// A rule worked out by itself gives what it gives in the plan, on every field of the demonstration.
func TestARuleByItselfAnswersAsInThePlan(t *testing.T) {
	a := advisor(t)
	byMethod := map[string]*rulebook.Rule{}
	for _, b := range a.Books() {
		for _, r := range b.Rules {
			byMethod[r.Method()] = r
		}
	}
	compared := 0
	for _, fs := range district(26) {
		for _, inPlan := range a.Advise(fs).Rates {
			r, ok := byMethod[inPlan.Method]
			if !ok { // a curve, or the advisor's own calibration
				continue
			}
			w := r.Work(a.FactsFor(fs, r))
			if (w.Why == "") != inPlan.Answered {
				t.Errorf("%s, %s: %q by itself, in the plan %q", fs.Field.Name, r.ID(), w.Why, inPlan.Why)
				continue
			}
			if !inPlan.Answered {
				continue
			}
			compared++
			if rate := unit.Rate(w.Amount.Base); rate != inPlan.Rate {
				t.Errorf("%s, %s: %v kg/ha by itself, in the plan %v", fs.Field.Name, r.ID(), rate, inPlan.Rate)
			}
		}
	}
	if compared < 50 {
		t.Errorf("only %d answers were compared", compared)
	}
}

// The same holds for lime and nutrients of a field as a whole.
func TestANutrientRuleByItselfAnswersAsInThePlan(t *testing.T) {
	a := advisor(t)
	byID := map[string]*rulebook.Rule{}
	for _, b := range a.Books() {
		for _, r := range b.Rules {
			byID[r.ID()] = r
		}
	}
	compared := 0
	for _, fs := range district(26) {
		plan := a.Advise(fs)
		for _, g := range plan.Ground {
			if g.Part != "" {
				continue
			}
			for _, n := range g.Needs {
				for _, way := range n.Ways {
					r := byID[way.Rule]
					if _, refuses := r.Refuses[fs.Field.Crop]; refuses {
						continue
					}
					w := r.Work(a.FactsFor(fs, r))
					if (w.Why == "") != way.Answered {
						t.Errorf("%s, %s: %q by itself, in the plan %q", fs.Field.Name, r.ID(), w.Why, way.Why)
						continue
					}
					if f, ok := plan.Figures.Get(way.Figure); ok && w.Amount.Base != f.Amount.Base {
						t.Errorf("%s, %s: %v by itself, in the plan %v", fs.Field.Name, r.ID(), w.Amount, f.Amount)
					}
					compared++
				}
			}
		}
	}
	if compared < 200 {
		t.Errorf("only %d answers were compared", compared)
	}
}
