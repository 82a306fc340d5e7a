package server

import (
	"slices"
	"strings"

	"culm/advice"
	"culm/agronomy/cite"
	"culm/agronomy/fertility"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// groundPart is a part of the field with its plan for lime and nutrients, as the page shows it.
type groundPart struct {
	advice.GroundPlan
	// Shown are the nutrients that some book could judge, or that were tested in vain; of a part of the field
	// only those that stand otherwise than in the field as a whole.
	Shown []advice.NutrientNeed
	// Alike are those of a part that stand as in the whole field.
	Alike []advice.NutrientNeed
}

// groundParts lays out the field and each part that was sampled apart.
func (f fieldView) groundParts() []groundPart {
	var parts []groundPart
	for _, g := range f.Plan.Ground {
		p := groundPart{GroundPlan: g}
		for _, n := range g.Needs {
			switch {
			case n.Standing == fertility.Untested:
			case g.Part != "" && f.asInTheField(n):
				p.Alike = append(p.Alike, n)
			default:
				p.Shown = append(p.Shown, n)
			}
		}
		parts = append(parts, p)
	}
	return parts
}

// asInTheField says that a part of the field asks for the same as the whole of it.
func (f fieldView) asInTheField(n advice.NutrientNeed) bool {
	whole := f.Plan.Ground[0]
	if whole.Part != "" {
		return false
	}
	i := slices.IndexFunc(whole.Needs, func(w advice.NutrientNeed) bool { return w.Nutrient == n.Nutrient })
	return i >= 0 && whole.Needs[i].Standing == n.Standing && f.says(whole.Needs[i]) == f.says(n)
}

// says is what is to be done about a nutrient, as read.
func (f fieldView) says(n advice.NutrientNeed) string {
	return f.toSpread(n).Read(&f.Plan.Figures, f.Plan.Units)
}

// alike names the nutrients that stand as in the whole field.
func (p groundPart) alike() string {
	var names []string
	for _, n := range p.Alike {
		names = append(names, n.Nutrient)
	}
	return "As in the field as a whole: " + list(names)
}

// untested names the nutrients that no laboratory number speaks of, in a sentence; empty when there are none.
func untested(g advice.GroundPlan) string {
	var names []string
	for _, n := range g.Needs {
		if n.Standing == fertility.Untested {
			names = append(names, n.Nutrient)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Not tested, so nothing is said of " + list(names) + "."
}

// partName heads a part of the field.
func partName(g advice.GroundPlan) string {
	if g.Part == "" {
		return "The field as a whole"
	}
	return sentenceCase(g.Part)
}

// critical is the level a test is held against; empty where none is known.
func critical(t advice.NutrientTest, s unit.System) string {
	if t.Critical == nil {
		return ""
	}
	return "crop begins to be limited at " + t.Critical.Show(s).String()
}

// standingWord says how a nutrient stands.
func standingWord(s fertility.Standing) string {
	switch s {
	case fertility.Short:
		return "Short"
	case fertility.Spare:
		return "Asked for, not short"
	case fertility.Low:
		return "Low"
	case fertility.Enough:
		return "Enough"
	case fertility.Silent:
		return "No book speaks"
	default:
		return "Not tested"
	}
}

// toSpread says what to spread and when, what it costs and what pays for it, or why nothing is spread.
func (f fieldView) toSpread(n advice.NutrientNeed) working.Sentence {
	if n.Rate == "" {
		return working.Sentence{working.Words(sentenceCase(n.Why) + ".")}
	}
	rate := f.number(n.Rate)
	if len(n.Doses) == 0 {
		return working.Sentence{working.Words("Spread "), rate, working.Words(" of " + countedAs(n.Nutrient) + " " + string(n.When) + ".")}
	}
	d := n.Doses[0]
	s := working.Sentence{working.Words("Spread "), f.number(d.Amount), working.Words(" of " + d.Name + portions(d) + " " + string(n.When))}
	if d.Cost != "" {
		s = append(s, working.Words(" for "), f.number(d.Cost))
	}
	s = append(s, working.Words(". That is "), rate, working.Words(" of "+countedAs(n.Nutrient)))
	switch {
	case d.BreakEven != "":
		s = append(s, working.Words("; "), f.number(d.BreakEven), working.Words(" more pays for it."))
	case d.Cost == "":
		s = append(s, working.Words("; no price is noted for it."))
	default:
		s = append(s, working.Words("."))
	}
	return s
}

// another is a further product that brings the same.
func (f fieldView) another(d advice.NutrientDose) working.Sentence {
	s := working.Sentence{working.Words("Or "), f.number(d.Amount), working.Words(" of " + d.Name + portions(d))}
	if d.Cost != "" {
		s = append(s, working.Words(" for "), f.number(d.Cost))
	}
	if d.Slow != "" {
		s = append(s, working.Words("; "+d.Slow))
	}
	return append(s, working.Words("."))
}

// takenOff says what the harvest carries off.
func (f fieldView) takenOff(n advice.NutrientNeed) working.Sentence {
	return working.Sentence{working.Words("The harvest at the yield goal carries off "), f.number(n.Removed), working.Words(", which the next season starts without.")}
}

func (f fieldView) number(id working.ID) working.Part {
	figure, _ := f.Plan.Figures.Get(id)
	return working.Number(figure)
}

// status is how far the numbers behind a figure were confirmed.
func (f fieldView) status(id working.ID) cite.Status {
	figure, _ := f.Plan.Figures.Get(id)
	return figure.Status
}

// countedAs is what a rate of a nutrient counts.
func countedAs(nutrient string) string {
	switch nutrient {
	case "lime":
		return "pure lime"
	case "phosphate":
		return "phosphate as P₂O₅"
	case "potash":
		return "potash as K₂O"
	default:
		return nutrient
	}
}

// portions says that a dose comes in several.
func portions(d advice.NutrientDose) string {
	if d.Portions < 2 {
		return ""
	}
	return ", in " + number(d.Portions) + " yearly portions,"
}

// followed is the id of the rule that a nutrient's rate follows; empty where none is.
func followed(n advice.NutrientNeed) string {
	for _, w := range n.Ways {
		if w.Lead {
			return w.Rule
		}
	}
	return ""
}

// reckoned says what a rate of lime is reckoned to, which its number alone does not tell; nothing for a nutrient.
func reckoned(n advice.NutrientNeed) []string {
	if n.Rate == "" || n.Nutrient != "lime" {
		return nil
	}
	all := []string{sentenceCase(n.Why) + "."}
	for _, d := range n.Doses[:min(len(n.Doses), 1)] {
		all = append(all, d.Notes...)
	}
	return all
}

// layer is the depth a test was sampled to, in the reader's units: of "0 to 6 in (0 to 15 cm)" one of the two.
func layer(t advice.NutrientTest, s unit.System) string {
	us, metric, both := strings.Cut(strings.TrimSuffix(t.Layer, ")"), " (")
	switch {
	case !both:
		return t.Layer
	case s == unit.Metric:
		return metric
	default:
		return us
	}
}

// remarksOn gathers what there is to note on a nutrient, each once.
func remarksOn(n advice.NutrientNeed) []string {
	var all []string
	add := func(texts ...string) {
		for _, t := range texts {
			if !slices.Contains(all, t) {
				all = append(all, t)
			}
		}
	}
	if n.LeadWhy != "" {
		add("Why that book: " + n.LeadWhy + ".")
	}
	for _, d := range n.Doses[:min(len(n.Doses), 1)] {
		add(d.Notes...)
		if len(d.Brings) > 0 {
			add(sentenceCase(d.Name) + " brings along " + strings.Join(d.Brings, ", ") + ".")
		}
	}
	add(n.Notes...)
	return all
}
