package nitrogen

import (
	"math"
	"strings"

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
	// CauseWay: the ways go by different things, or no one input makes most of the difference. The label says
	// which.
	CauseWay CauseKind = "way of counting"
)

// Cause is what explains most of a difference, as data for a sentence.
type Cause struct {
	Kind CauseKind
	// What is the input, for a supply that a book names; Label says it in words. It stands after "most of the
	// difference is", and for CauseWay after "no one input explains it:".
	What  rulebook.What
	Label string
	// InLead and InFarthest are the two values, of one kind; zero for CauseWay.
	InLead, InFarthest working.Amount
	// Accounts is how much of farthest − lead it makes up: more than half and at most the whole, or 0 for
	// CauseWay. Difference is the whole.
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

// cause takes both rates apart and finds the part that makes most of the difference: more than half of it,
// and not more than all. A part that is more than all is undone by others, unless one of the rates would go
// below 0 and does not: then it counts for the whole.
func cause(lead, far *Answer, crop season.Crop) Cause {
	difference := far.Rate - lead.Rate
	if math.Abs(float64(difference)) < float64(alike) {
		return Cause{}
	}
	all := parts(lead, far, crop)
	whole := difference * sign(difference)
	best, toward, against := Cause{}, unit.Rate(0), unit.Rate(0)
	for _, c := range all {
		t := c.Accounts * sign(difference)
		if t > toward {
			best, toward = c, t
		}
		against = max(against, -t)
	}
	opposed := against > alike
	if toward > whole/2 && (toward <= whole+alike || !opposed) {
		best.Difference, best.Accounts = difference, min(toward, whole)*sign(difference)
		return best
	}
	return Cause{Kind: CauseWay, Label: apart(lead, far, all, opposed), Difference: difference}
}

// apart says in words what sets two ways apart of which no one part makes most of the difference.
func apart(lead, far *Answer, all []Cause, opposed bool) string {
	byLead, byFar := goesBy(lead), goesBy(far)
	switch {
	case byLead != byFar:
		return "one goes by " + byLead + ", the other by " + byFar
	case lead.Family == FamilyCurve:
		return "both go by " + byLead + ", but the form of curve differs, " + formOf(lead) + " against " + formOf(far)
	case len(all) == 0:
		return "both go by " + byLead + ", each in its own way"
	}
	largest := all[0]
	for _, c := range all {
		if math.Abs(float64(c.Accounts)) > math.Abs(float64(largest.Accounts)) {
			largest = c
		}
	}
	if opposed {
		return "several inputs pull in opposite directions; the largest is " + largest.Label
	}
	return "several inputs add up; the largest is " + largest.Label
}

func formOf(a *Answer) string { return strings.TrimPrefix(a.Method, "curve-") }

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
// counts at the mean Y, that in Y at the mean k, and supplies count as they are. There are none where one of
// the two cannot be taken apart.
func parts(lead, far *Answer, crop season.Crop) []Cause {
	a, b := &lead.Account, &far.Account
	if lead.Family == FamilyForage && far.Family == FamilyForage {
		return forageParts(lead.Forage, far.Forage)
	}
	if !a.Known || !b.Known {
		return nil
	}
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

// forageParts splits the difference between (grown − free) ÷ perNitrogen of two ways for one herd.
func forageParts(a, b ForageAccount) []Cause {
	nourished := float64(a.Grown-a.Free+b.Grown-b.Free) / 2
	return []Cause{
		{
			Kind: CauseSupply, Label: "the forage taken to grow before nitrogen counts",
			InLead: working.Of(a.Free), InFarthest: working.Of(b.Free),
			Accounts: unit.Rate(float64(a.Free-b.Free) * (1/a.PerNitrogen + 1/b.PerNitrogen) / 2),
		},
		{
			Kind: CauseCoefficient, Label: "the forage counted on from each unit of nitrogen",
			InLead: working.Of(unit.Ratio(a.PerNitrogen)), InFarthest: working.Of(unit.Ratio(b.PerNitrogen)),
			Accounts: unit.Rate((1/b.PerNitrogen - 1/a.PerNitrogen) * nourished),
		},
	}
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

func supplyCause(a, b Supply) Cause {
	named := a
	if a.Label == "" {
		named = b
	}
	return Cause{
		Kind: CauseSupply, What: named.What, Label: named.Label, InLead: working.Of(a.Amount), InFarthest: working.Of(b.Amount),
		Accounts: a.Amount - b.Amount, Assumed: a.Assumed || b.Assumed,
	}
}

func seesCrop(a *Account) bool { return find(a, rulebook.CropAndSoil).Label != "" }

// find gives a supply, or a nameless one of nothing.
func find(a *Account, what rulebook.What) Supply {
	for _, s := range a.Supplies {
		if s.What == what {
			return s
		}
	}
	return Supply{What: what}
}

// wholeSupply adds up everything that crop and soil supply, nitrogen already applied apart.
func wholeSupply(a *Account) Supply {
	whole := Supply{What: rulebook.CropAndSoil, Label: "what crop and soil supply of themselves"}
	for _, s := range a.Supplies {
		if s.What != rulebook.Applied {
			whole.Amount += s.Amount
			whole.Assumed = whole.Assumed || s.Assumed
		}
	}
	return whole
}
