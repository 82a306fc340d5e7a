package bookpage

import (
	"math"
	"slices"
	"strconv"

	"culm/agronomy/rulebook"
)

// RuleOf describes a rule.
func RuleOf(r *rulebook.Rule) Rule {
	out := Rule{
		ID: r.ID(), Key: r.Key, Name: r.Name, Answers: string(r.Answers), Family: r.Family, Crops: []string{}, FittedOn: r.FittedOn,
		Unit: r.Unit.String(), Source: r.Source, Where: r.Where, Notes: r.Notes,
		Floor: boundOf(r.Floor), Cap: boundOf(r.Cap), Silent: remarksOf(r.Silent), Remarks: remarksOf(r.Remarks), Inputs: []Input{},
	}
	for _, c := range r.Crops {
		out.Crops = append(out.Crops, string(c))
	}
	for c, why := range r.Refuses {
		if out.Refuses == nil {
			out.Refuses = map[string]string{}
		}
		out.Refuses[string(c)] = why
	}
	if r.Answer != nil {
		out.Answer = r.Answer.InWords()
	}
	for _, t := range r.Terms {
		out.Terms = append(out.Terms, Part{For: string(t.For), Label: t.Label, Is: t.Is.InWords()})
	}
	for _, s := range r.Steps {
		out.Steps = append(out.Steps, Part{Key: s.Key, Label: s.Label, Is: s.Is.InWords(), Unit: s.Unit.String()})
	}
	if r.Round != nil {
		out.Round = &Rounding{r.Round.To, r.Round.How}
	}
	if r.Rating != nil {
		out.Rating = r.Rating.Name
	}
	for _, in := range r.Inputs {
		one := inputOf(in)
		if in.Sort == rulebook.Word && in.Words == nil {
			one.Named = namedBy(r, in.Name)
		}
		out.Inputs = append(out.Inputs, one)
	}
	for _, c := range r.Constants {
		one := Constant{Name: c.Name, Label: c.Label, Value: c.Value, Unit: c.Unit.String(), Standing: standingOf(c.Standing)}
		if c.HasSpan() {
			one.Low, one.High = &c.Low, &c.High
		}
		out.Constants = append(out.Constants, one)
	}
	for _, t := range r.Tables {
		out.Tables = append(out.Tables, tableOf(r, t))
	}
	for _, c := range r.Classes {
		out.Classes = append(out.Classes, classesOf(r, c))
	}
	for _, c := range r.Claims {
		out.Claims = append(out.Claims, claimOf(r, c))
	}
	for _, e := range r.Examples {
		out.Examples = append(out.Examples, exampleOf(r, e))
	}
	out.Status = weakest(r.Form.Status, out.ownStandings())
	return out
}

func standingOf(s rulebook.Standing) Standing {
	return Standing{Status: s.Status, Source: s.Source, Where: s.Where, Note: s.Note}
}

func boundOf(b *rulebook.Bound) *Bound {
	if b == nil {
		return nil
	}
	return &Bound{b.Value, b.Why, standingOf(b.Standing)}
}

func remarksOf(all []rulebook.Remark) []Remark {
	var out []Remark
	for _, r := range all {
		out = append(out, Remark{When: r.When.InWords(), Say: r.Say})
	}
	return out
}

func inputOf(in rulebook.Input) Input {
	out := Input{Name: string(in.Name), Label: in.Label, Words: in.Words, Optional: in.Optional, Asked: in.Asked}
	switch in.Sort {
	case rulebook.Number:
		out.Sort, out.Unit, out.Low, out.High = "number", in.Unit.String(), &in.Low, &in.High
	case rulebook.Word:
		out.Sort = "word"
	default:
		out.Sort = "yes or no"
	}
	if in.Usual != nil {
		out.Usual = &Usual{in.Usual.Low, in.Usual.High, in.Usual.Note}
	}
	if in.Soil != nil {
		out.Soil = &Soil{Depth: in.Soil.Depth, PerAcreInch: float64(in.Soil.PerAcreInch), Methods: in.Soil.Methods}
		for _, c := range in.Soil.Converts {
			one := Conversion{From: c.From, Factor: c.Factor, Standing: standingOf(c.Standing)}
			if c.Unless != nil {
				one.Unless = c.Unless.InWords()
			}
			out.Soil.Converts = append(out.Soil.Converts, one)
		}
	}
	if d := in.Default; d != nil {
		out.Default = &DefaultFor{Word: d.Word, Why: d.Why, Standing: standingOf(d.Standing)}
		switch {
		case d.Is != nil:
			out.Default.Is = d.Is.InWords()
		case in.Sort == rulebook.Number:
			out.Default.Value = &d.Value
		}
	}
	return out
}

// namedBy lists the words that the tables read by an input name, each once.
func namedBy(r *rulebook.Rule, input rulebook.What) []string {
	var words []string
	for _, t := range r.Tables {
		if t.By != input {
			continue
		}
		for _, row := range t.Rows {
			for _, w := range row.Words {
				if !slices.Contains(words, w) {
					words = append(words, w)
				}
			}
		}
	}
	return words
}

func tableOf(r *rulebook.Rule, t rulebook.Table) Table {
	out := Table{Name: t.Name, Label: t.Label, Unit: t.Unit.String(), Standing: standingOf(t.Standing)}
	if len(t.Axes) == 0 {
		out.By = labelOf(r, string(t.By))
		for _, row := range t.Rows {
			out.Words = append(out.Words, wordRowOf(row))
		}
		if t.Other != nil {
			other := wordRowOf(*t.Other)
			out.Other = &other
		}
		return out
	}
	out.Between, out.Beyond = string(t.Between), "silent"
	if t.Hold {
		out.Beyond = "hold"
	}
	for _, a := range t.Axes {
		label := a.Label
		if label == "" {
			label = labelOf(r, a.Name)
		}
		out.Axes = append(out.Axes, Axis{Label: label, Unit: a.Unit.String(), At: a.At})
	}
	for _, v := range t.Cells {
		if math.IsNaN(v) {
			out.Cells = append(out.Cells, nil)
			continue
		}
		out.Cells = append(out.Cells, &v)
	}
	return out
}

func wordRowOf(w rulebook.WordRow) WordRow {
	return WordRow{Words: w.Words, Value: w.Value, Why: w.Why, Standing: standingOf(w.Standing)}
}

func classesOf(r *rulebook.Rule, c rulebook.Classes) Classes {
	out := Classes{Name: c.Name, By: labelOf(r, c.By), Standing: standingOf(c.Standing)}
	for _, one := range c.Of {
		class := Class{Word: one.Word}
		if !one.Last {
			class.Below = &one.Below
		}
		out.Of = append(out.Of, class)
	}
	return out
}

// labelOf names an input or a step in words.
func labelOf(r *rulebook.Rule, name string) string {
	for _, in := range r.Inputs {
		if string(in.Name) == name {
			return in.Label
		}
	}
	for _, s := range r.Steps {
		if s.Key == name && s.Label != "" {
			return s.Label
		}
	}
	return name
}

func claimOf(r *rulebook.Rule, c rulebook.Claim) string {
	way := "falls"
	if c.Rises {
		way = "rises"
	}
	return "When " + labelOf(r, string(c.Input)) + " " + way + ", the answer " + c.Never + "."
}

func exampleOf(r *rulebook.Rule, e rulebook.Example) Example {
	out := Example{Name: e.Name, Crop: e.Crop, Given: []Given{}, Silent: e.Silent, Rating: e.Rating, Standing: standingOf(e.Standing)}
	if e.Silent == "" {
		out.Answer, out.Digits = &e.Answer.Value, e.Answer.Decimals
	}
	for _, g := range e.Given {
		given := Given{Name: labelOf(r, string(g.Name)), Word: g.Word}
		if g.Word == "" {
			given.Value = &g.Value
			if i := r.Slot(g.Name); i >= 0 {
				given.Unit = r.Inputs[i].Unit.String()
			}
		}
		out.Given = append(out.Given, given)
	}
	for _, s := range e.Steps {
		if out.Steps == nil {
			out.Steps = map[string]string{}
		}
		out.Steps[labelOf(r, s.Key)] = printed(s.Value.Value, s.Value.Decimals)
	}
	return out
}

// printed writes a number with the decimals it was printed with.
func printed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
