package nitrogen

import (
	"math"

	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Disagreement says how far apart the answers lie, and what explains most of it.
type Disagreement struct {
	// Low and High are the least and the greatest answer, by the methods named. Answers counts them.
	Low, High             unit.Rate
	LowMethod, HighMethod string
	Answers               int
	// Lead and Farthest are the methods compared: the one the decision follows and the answer farthest from
	// it. Cause is what explains most of the difference between those two.
	Lead, Farthest string
	Cause          Cause
}

// CauseKind is the sort of thing that sets two answers apart.
type CauseKind string

// The kinds of cause. The empty kind means that the answers do not differ by more than a pound an acre, or
// that there are not two.
const (
	// CauseCoefficient: the ways count different nitrogen for each unit of yield.
	CauseCoefficient CauseKind = "nitrogen for each unit of yield"
	// CauseEfficiency: in-season ways take different shares of fertilizer to arrive.
	CauseEfficiency CauseKind = "uptake efficiency"
	// CauseYield: the ways count on different yields, or different gains of yield.
	CauseYield CauseKind = "yield counted on"
	// CauseSupply: the ways credit something differently, or one does not credit it.
	CauseSupply CauseKind = "supply"
	// CauseWay: the ways go by different things and have no input in common to lay it on.
	CauseWay CauseKind = "way of counting"
)

// Cause is what explains most of a difference, as data for a sentence.
type Cause struct {
	Kind CauseKind
	// What is the input, for a supply; Label says it in words.
	What  rulebook.What
	Label string
	// InLead and InFarthest are the two values, of one kind; zero for CauseWay.
	InLead, InFarthest working.Amount
	// Accounts is how much of farthest − lead it makes up; other causes may work against it, so it can be
	// more than the whole. Difference is the whole.
	Accounts, Difference unit.Rate
	// Assumed: one of the two values was observed by nobody.
	Assumed bool
}

// alike is the difference below which two answers agree: what a spreader cannot tell apart.
const alike = 1 * unit.PoundPerAcre

// Spread compares the answers. Lead is the index of the one the decision follows; −1 compares the least
// with the greatest.
func Spread(answers []Answer, lead int, crop season.Crop) Disagreement {
	d := Disagreement{}
	low, high := -1, -1
	for i, a := range answers {
		if !a.Answered {
			continue
		}
		d.Answers++
		if low < 0 || a.Rate < answers[low].Rate {
			low = i
		}
		if high < 0 || a.Rate > answers[high].Rate {
			high = i
		}
	}
	if d.Answers == 0 {
		return d
	}
	d.Low, d.LowMethod = answers[low].Rate, answers[low].Method
	d.High, d.HighMethod = answers[high].Rate, answers[high].Method
	from, to := lead, high
	switch {
	case lead < 0:
		from = low
	case answers[lead].Rate-answers[low].Rate > answers[high].Rate-answers[lead].Rate:
		to = low
	}
	d.Lead, d.Farthest = answers[from].Method, answers[to].Method
	d.Cause = cause(&answers[from], &answers[to], crop)
	return d
}

// cause takes both rates apart and finds the part that differs most in the direction of the difference.
func cause(lead, far *Answer, crop season.Crop) Cause {
	difference := far.Rate - lead.Rate
	if math.Abs(float64(difference)) < float64(alike) {
		return Cause{}
	}
	best := Cause{Kind: CauseWay, Label: "one goes by " + goesBy(lead) + ", the other by " + goesBy(far), Difference: difference}
	if !lead.Account.Known || !far.Account.Known {
		return best
	}
	for _, c := range parts(lead, far, crop) {
		c.Difference = difference
		if toward := c.Accounts * sign(difference); toward > alike && toward > best.Accounts*sign(difference) {
			best = c
		}
	}
	return best
}

func sign(r unit.Rate) unit.Rate {
	if r < 0 {
		return -1
	}
	return 1
}

// goesBy says what a way looks at.
func goesBy(a *Answer) string {
	switch a.Family {
	case rulebook.FamilyInSeason:
		return "what the sensor saw on strip and crop"
	case rulebook.FamilyRamp:
		return "how the strips look"
	case rulebook.FamilyPriceTable:
		return "soil nitrate and prices"
	case rulebook.FamilyGreenArea:
		return "the weight of the canopy"
	case FamilyCurve:
		return "trials and prices"
	case FamilyForage:
		return "what the herd eats"
	default:
		return "the yield goal"
	}
}

// parts splits the difference between two accounts exactly. With rate = k × Y − S, the difference in k
// counts at the mean Y, that in Y at the mean k, and supplies count as they are.
func parts(lead, far *Answer, crop season.Crop) []Cause {
	a, b := &lead.Account, &far.Account
	if gainA, gainB, ok := extraGrain(lead, far); ok {
		return coefficientAndYield(a.PerYield, b.PerYield, gainA, gainB, crop, CauseEfficiency, "gain expected from enough nitrogen")
	}
	all := coefficientAndYield(a.PerYield, b.PerYield, a.Yield, b.Yield, crop, CauseCoefficient, "yield counted on")
	if seesCrop(a) != seesCrop(b) {
		// One way has seen what crop and soil supply, the other adds it up from tests: only the sums compare.
		return append(all, supplyCause(wholeSupply(a), wholeSupply(b)), supplyCause(find(a, rulebook.Applied), find(b, rulebook.Applied)))
	}
	for _, s := range a.Supplies {
		all = append(all, supplyCause(s, find(b, s.What)))
	}
	for _, s := range b.Supplies {
		if find(a, s.What).Label == "" {
			all = append(all, supplyCause(find(a, s.What), s))
		}
	}
	return all
}

// extraGrain gives the gains of two in-season answers that both count the nitrogen in the extra grain.
func extraGrain(lead, far *Answer) (unit.Yield, unit.Yield, bool) {
	counts := func(a *Answer) bool {
		return a.Family == rulebook.FamilyInSeason && math.Abs(a.YieldGain.SlopeKgPerKg*float64(a.Account.PerYield)-1) < 1e-9
	}
	return lead.YieldGain.Cap, far.YieldGain.Cap, counts(lead) && counts(far)
}

func coefficientAndYield(kA, kB unit.NitrogenPerYield, yA, yB unit.Yield, crop season.Crop, kind CauseKind, yieldLabel string) []Cause {
	perYield := unit.KindPerWheat
	if !crop.IsWheat() {
		perYield = unit.KindPerCanola
	}
	return []Cause{
		{
			Kind: kind, Label: string(kind), InLead: working.Of(kA).As(perYield), InFarthest: working.Of(kB).As(perYield),
			Accounts: unit.Rate(float64(kB-kA) * float64(yA+yB) / 2),
		},
		{
			Kind: CauseYield, Label: yieldLabel, InLead: working.Of(yA).As(crop.YieldKind()), InFarthest: working.Of(yB).As(crop.YieldKind()),
			Accounts: unit.Rate(float64(yB-yA) * float64(kA+kB) / 2),
		},
	}
}

func supplyCause(a, b rulebook.Supply) Cause {
	named := a
	if a.Label == "" {
		named = b
	}
	return Cause{
		Kind: CauseSupply, What: named.What, Label: named.Label, InLead: working.Of(a.Amount), InFarthest: working.Of(b.Amount),
		Accounts: a.Amount - b.Amount, Assumed: a.Assumed || b.Assumed,
	}
}

func seesCrop(a *rulebook.Account) bool { return find(a, rulebook.CropAndSoil).Label != "" }

// find gives a supply, or a nameless one of nothing.
func find(a *rulebook.Account, what rulebook.What) rulebook.Supply {
	for _, s := range a.Supplies {
		if s.What == what {
			return s
		}
	}
	return rulebook.Supply{What: what}
}

// wholeSupply adds up everything that crop and soil supply, nitrogen already applied apart.
func wholeSupply(a *rulebook.Account) rulebook.Supply {
	whole := rulebook.Supply{What: rulebook.CropAndSoil, Label: "what crop and soil supply of themselves"}
	for _, s := range a.Supplies {
		if s.What != rulebook.Applied {
			whole.Amount += s.Amount
			whole.Assumed = whole.Assumed || s.Assumed
		}
	}
	return whole
}
