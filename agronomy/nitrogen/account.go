package nitrogen

import (
	"math"

	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
)

// Account is a rate taken apart, so that two ways of finding it can be compared:
// rate = PerYield × Yield − the supplies, never below 0.
type Account struct {
	Known bool
	// PerYield is the nitrogen the way counts for each kg of yield, and Yield the yield it counts it for.
	PerYield unit.NitrogenPerYield
	Yield    unit.Yield
	Supplies []Supply
}

// Supply is something that makes up for nitrogen: positive when it lowers the rate.
type Supply struct {
	What    rulebook.What
	Label   string
	Amount  unit.Rate
	Assumed bool
}

// The steps of in-season rules that others build on: the yield without more nitrogen and with enough.
const (
	stepAlone = "alone"
	stepFed   = "fed"
)

// accountOf takes a sum of terms apart. What the terms for the yield make is divided by the yield they count:
// the goal of a balance, the fed outlook of an in-season rule. It is unknown for rules that are no such sum.
func accountOf(w *rulebook.Worked) Account {
	yield, ok := countedYield(w)
	if !ok || !(yield > 0) {
		return Account{}
	}
	a := Account{Known: true, Yield: yield}
	rate := func(v float64) unit.Rate { return rateOf(w.Rule, v) }
	for _, t := range w.Terms {
		if t.For == rulebook.YieldGoal {
			a.PerYield += unit.NitrogenPerYield(float64(rate(t.Value)) / float64(yield))
			continue
		}
		a.supply(Supply{t.For, t.Label, -rate(t.Value), t.Assumed})
	}
	if held := w.Exact - w.Value; held != 0 && !w.Floored {
		a.supply(Supply{Label: "rounding, or the highest rate given", Amount: rate(held)})
	}
	return a
}

// supply adds up what stands for the same.
func (a *Account) supply(s Supply) {
	for i := range a.Supplies {
		if own := &a.Supplies[i]; own.What == s.What {
			own.Amount += s.Amount
			own.Assumed = own.Assumed || s.Assumed
			return
		}
	}
	if s.Amount == 0 {
		s.Amount = 0 // and not minus nothing
	}
	a.Supplies = append(a.Supplies, s)
}

// countedYield is the yield for which a rule counts nitrogen.
func countedYield(w *rulebook.Worked) (unit.Yield, bool) {
	hasTerm := false
	for _, t := range w.Terms {
		hasTerm = hasTerm || t.For == rulebook.YieldGoal
	}
	if !hasTerm {
		return 0, false
	}
	switch w.Rule.Family {
	case rulebook.FamilyBalance, rulebook.FamilyCanolaTable:
		e, ok := w.Input(rulebook.YieldGoal)
		return unit.Yield(e.Amount.Base), ok
	case rulebook.FamilyInSeason:
		e, ok := w.Step(stepFed)
		return unit.Yield(e.Amount.Base), ok
	default:
		return 0, false
	}
}

// countsExtraGrain says that an in-season rule counts the nitrogen in the grain to be gained: what crop and soil
// supply of themselves is that of the grain without more nitrogen.
func (a *Account) countsExtraGrain(alone unit.Yield) bool {
	supply := float64(find(a, rulebook.CropAndSoil).Amount)
	own := float64(a.PerYield) * float64(alone)
	return own > 0 && math.Abs(supply-own) < 1e-9*own
}
