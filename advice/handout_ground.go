package advice

import (
	"slices"
	"strings"

	"culm/agronomy/fertility"
	"culm/agronomy/unit"
)

// groundLines say in a sentence for each window what to do about lime and nutrients; nothing where the ground was
// not tested. They hold what is short, and leave the rest to the field's own page.
func (p *Plan) groundLines(s unit.System) []string {
	if len(p.Ground) == 0 {
		return nil
	}
	var lines []string
	for _, when := range []fertility.Window{fertility.Now, fertility.BeforePlanting} {
		if doses := p.doses(s, func(n NutrientNeed) bool { return n.When == when && isShort(n) }); len(doses) > 0 {
			lines = append(lines, sentenceCase(string(when))+": "+strings.Join(doses, "; ")+".")
		}
	}
	if lines == nil {
		lines = []string{"Of what could be judged in the soil, nothing is short."}
	}
	if doses := p.doses(s, func(n NutrientNeed) bool { return n.Standing == fertility.Spare && n.Rate != "" }); len(doses) > 0 {
		lines = append(lines, "A book asks for it, though no test shows it short: "+strings.Join(doses, "; ")+".")
	}
	if names := p.unjudged(); len(names) > 0 {
		lines = append(lines, "Tested, but nothing at hand can judge it: "+strings.Join(names, ", ")+".")
	}
	return lines
}

// unjudged names what was tested somewhere in the field and could not be judged.
func (p *Plan) unjudged() []string {
	var names []string
	for _, g := range p.Ground {
		for _, n := range g.Needs {
			if n.Standing == fertility.Silent && !slices.Contains(names, n.Nutrient) {
				names = append(names, n.Nutrient)
			}
		}
	}
	return names
}

func isShort(n NutrientNeed) bool {
	return n.Standing == fertility.Short || n.Standing == fertility.Low
}

// doses lists what the needs that are asked about ask for, of the field first and then of the parts that ask for
// something else.
func (p *Plan) doses(s unit.System, asked func(NutrientNeed) bool) []string {
	var doses []string
	told := map[string]bool{}
	for _, g := range p.Ground {
		var here []string
		for _, n := range g.Needs {
			if !asked(n) {
				continue
			}
			if d := p.doseInWords(n, s); !told[d] {
				told[d] = true
				here = append(here, d)
			}
		}
		if len(here) == 0 {
			continue
		}
		where := ""
		if g.Part != "" {
			where = "in " + g.Part + " "
		}
		doses = append(doses, where+strings.Join(here, ", "))
	}
	return doses
}

// doseInWords is "143 lb/ac of gypsum for sulfur ($4/ac)".
func (p *Plan) doseInWords(n NutrientNeed, s unit.System) string {
	if len(n.Doses) == 0 {
		if rate, ok := p.Figures.Get(n.Rate); ok {
			return rate.Show(s) + " of " + n.Nutrient
		}
		if n.Standing == fertility.Low {
			return n.Nutrient + " tests low, and no book gives a rate"
		}
		return n.Nutrient + " is short, and no book gives a rate"
	}
	d := n.Doses[0]
	amount, _ := p.Figures.Get(d.Amount)
	words := amount.Show(s) + " of " + d.Name
	if !strings.Contains(d.Name, n.Nutrient) {
		words += " for " + n.Nutrient
	}
	if cost, ok := p.Figures.Get(d.Cost); ok {
		words += " (" + cost.Show(s) + ")"
	}
	if d.Portions > 1 {
		words += " over several years"
	}
	if n.Standing == fertility.Spare {
		words += " " + string(n.When)
	}
	return words
}
