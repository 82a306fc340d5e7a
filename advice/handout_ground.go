package advice

import (
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
		if doses := p.dosesFor(when, s); len(doses) > 0 {
			lines = append(lines, sentenceCase(string(when))+": "+strings.Join(doses, "; ")+".")
		}
	}
	if lines == nil {
		return []string{"Of what was tested in the soil and a book speaks of, nothing is short."}
	}
	return lines
}

// dosesFor lists what a window asks for, of the field first and then of the parts that ask for something else.
func (p *Plan) dosesFor(when fertility.Window, s unit.System) []string {
	var doses []string
	told := map[string]bool{}
	for _, g := range p.Ground {
		var here []string
		for _, n := range g.Needs {
			if n.Standing != fertility.Short || n.When != when {
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
		return n.Nutrient + " is short, and no book followed gives a rate"
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
	return words
}
