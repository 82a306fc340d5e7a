package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"culm/advice"
	"culm/agronomy/fertility"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

type nutrientsCommand struct {
	fieldsAsked

	JSON    bool `name:"json" help:"Print the plans as JSON."`
	Working bool `help:"Print how each number came about."`
}

// nutrientPlan is the plan for lime and nutrients of a field, with the figures it opens to.
type nutrientPlan struct {
	Field   season.Field        `json:"field"`
	Ground  []advice.GroundPlan `json:"ground"`
	Figures working.Ledger      `json:"figures"`
}

// Run plans lime and nutrients for every field that has soil tests.
func (c *nutrientsCommand) Run(d *door) error {
	o, err := c.open(d)
	if err != nil {
		return err
	}
	t := terminal{w: d.out, units: o.units, working: c.Working}
	all := []nutrientPlan{}
	for _, fs := range o.fields {
		plan := o.advisor.Advise(fs)
		ground := nutrientPlan{Field: fs.Field, Ground: plan.Ground, Figures: groundFigures(&plan)}
		all = append(all, ground)
		if !c.JSON {
			t.ground(&plan, ground)
		}
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", "  ")
		return enc.Encode(map[string]any{"version": "culm.nutrients/1", "fields": all})
	}
	return nil
}

// groundFigures are the figures of a plan that stand behind its lime and nutrients.
func groundFigures(p *advice.Plan) working.Ledger {
	var l working.Ledger
	for _, f := range p.Figures.All() {
		if strings.HasPrefix(string(f.ID), "ground.") {
			l.Add(f)
		}
	}
	return l
}

// ground prints the lime and nutrients of a field, what limits most first.
func (t terminal) ground(p *advice.Plan, n nutrientPlan) {
	fmt.Fprintf(t.w, "%s — %s, %s\n", p.Field.Name, p.Producer.Name, p.Field.Crop)
	if len(n.Ground) == 0 {
		t.wrap("  ", "  ", "No soil test of this field is in the season.")
	}
	t.wrap("    nitrogen   ", "               ", p.Sentence.Read(&p.Figures, t.units))
	t.budget(p)
	for _, g := range n.Ground {
		t.wrap("  ", "  ", g.Sentence.Read(&p.Figures, t.units))
		var untested []string
		for _, need := range g.Needs {
			if need.Standing == fertility.Untested {
				untested = append(untested, need.Nutrient)
				continue
			}
			t.nutrient(p, need)
		}
		if len(untested) > 0 {
			t.wrap("      ", "      ", "not tested: "+strings.Join(untested, ", "))
		}
	}
	if t.working {
		t.figures(&advice.Plan{Figures: n.Figures, Sources: p.Sources})
	}
	fmt.Fprintln(t.w)
}

// budget prints the nitrogen budget of the way followed, or else of the first that is one.
func (t terminal) budget(p *advice.Plan) {
	var of *advice.RateAnswer
	for i := range p.Rates {
		if r := &p.Rates[i]; len(r.Budget) > 0 && (of == nil || r.Lead) {
			of = r
		}
	}
	if of == nil {
		return
	}
	t.wrap("               budget ", "                      ", of.Name)
	for _, line := range of.Budget {
		assumed := ""
		if line.Assumed {
			assumed = " ASSUMED"
		}
		fmt.Fprintf(t.w, "               %12s  %s%s\n", unit.Show(unit.KindRate, float64(line.Amount), t.units), line.Label, assumed)
	}
	f, _ := p.Figures.Get(of.Figure)
	fmt.Fprintf(t.w, "               %12s  to spread\n", f.Show(t.units))
}

// nutrient prints one nutrient: the tests, how it stands, what to spread, and each book's word.
func (t terminal) nutrient(p *advice.Plan, n advice.NutrientNeed) {
	show := func(id working.ID) string {
		f, _ := p.Figures.Get(id)
		return f.Show(t.units)
	}
	line := string(n.Standing) + ": " + n.Why
	if n.Rate != "" {
		line = string(n.Standing) + ": " + show(n.Rate) + " " + string(n.When) + "; " + n.Why
	}
	t.wrap(fmt.Sprintf("    %-10s ", n.Nutrient), "               ", line)
	for _, test := range n.Tests {
		level := ""
		if test.Critical != nil {
			level = ", critical " + test.Critical.Show(t.units).String()
		}
		t.wrap("               test   ", "                      ", test.Name+" "+show(test.Figure)+level+", "+test.Layer)
	}
	for i, d := range n.Doses {
		t.wrap("               "+map[bool]string{true: "spread ", false: "or     "}[i == 0], "                      ", t.dose(d, show))
	}
	for _, w := range n.Ways {
		mark, says := " ", "silent: "+w.Why
		if w.Lead {
			mark = ">"
		}
		if w.Answered {
			f, _ := p.Figures.Get(w.Figure)
			says = f.Show(t.units) + " [" + string(f.Status) + "]"
			if w.Rating != "" {
				says += ", called " + w.Rating
			}
		}
		t.wrap("             "+mark+" book   ", "                      ", w.Name+": "+says)
	}
	for _, a := range n.Assumed {
		t.wrap("               ASSUMED ", "                      ", a)
	}
	for _, doubt := range n.Doubts {
		t.wrap("               doubt  ", "                      ", doubt)
	}
	if n.Spread != "" {
		t.wrap("               spread already ", "                      ", show(n.Spread)+", taken off")
	}
	if n.BuildUp != "" {
		t.wrap("               build  ", "                      ", show(n.BuildUp)+" to raise the soil test to the level the book wants, over several years")
	}
	if n.Removed != "" {
		t.wrap("               next   ", "                      ", "the harvest at the yield goal carries off "+show(n.Removed))
	}
	for _, note := range n.Notes {
		t.wrap("               note   ", "                      ", note)
	}
}

func (t terminal) dose(d advice.NutrientDose, show func(working.ID) string) string {
	says := show(d.Amount) + " of " + d.Name
	if d.Portions > 1 {
		says += " in " + plural(d.Portions, "yearly portion")
	}
	if d.Cost != "" {
		says += " for " + show(d.Cost)
	}
	if d.BreakEven != "" {
		says += ", paid by " + show(d.BreakEven)
	}
	if len(d.Brings) > 0 {
		says += "; brings " + strings.Join(d.Brings, " and ")
	}
	if d.Slow != "" {
		says += "; " + d.Slow
	}
	for _, note := range d.Notes {
		says += ". " + strings.TrimSuffix(note, ".")
	}
	return says
}
