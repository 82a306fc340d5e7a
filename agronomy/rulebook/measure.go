package rulebook

import (
	"culm/agronomy/rulebook/formula"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// measure turns a number in a unit of a book into a typed amount; the zero measure into none.
type measure struct {
	kind unit.Kind
	quantity.Conversion
}

// bushels are those of no crop, of wheat and of canola, in the order of measures.
func bushels() [3]quantity.Bushel {
	return [3]quantity.Bushel{0, quantity.WheatBushel, quantity.CanolaBushel}
}

// measures finds once how each unit of the rule is shown, without a crop, for wheat and for canola.
func (c *compiler) measures() {
	rule := c.rule
	all := map[quantity.Unit][3]measure{}
	note := func(u quantity.Unit) {
		if _, known := all[u]; known {
			return
		}
		var three [3]measure
		for i, b := range bushels() {
			if kind, ok := quantity.KindOf(u, b); ok {
				if conv, err := quantity.ToKindFrom(u, kind, b); err == nil {
					three[i] = measure{kind, conv}
				}
			}
		}
		all[u] = three
	}
	note(rule.Unit)
	for _, in := range rule.Inputs {
		note(in.Unit)
	}
	for _, k := range rule.Constants {
		note(k.Unit)
	}
	for _, t := range rule.Tables {
		note(t.Unit)
	}
	for _, s := range rule.Steps {
		note(s.Unit)
	}
	rule.compiled.measures = all
	rule.inWords = rule.spell(func(f *formula.Formula) string { return f.InWords() }, true)
}

func (r *Rule) measure(u quantity.Unit, b quantity.Bushel) measure {
	three := r.measures[u]
	switch b {
	case quantity.WheatBushel:
		return three[1]
	case quantity.CanolaBushel:
		return three[2]
	default:
		return three[0]
	}
}

// AmountOf gives a number in a unit of the rule as a typed amount; the zero Amount where the unit has no kind. The
// crop decides how much a bushel weighs.
func (r *Rule) AmountOf(v float64, u quantity.Unit, c season.Crop) working.Amount {
	m := r.measure(u, bushelOf(c))
	if m.kind == "" {
		return working.Amount{}
	}
	return working.Amount{Base: m.Of(v), Kind: m.kind}
}

// NumberOf gives a typed amount in a unit of the rule. It fails where the two do not measure the same.
func (r *Rule) NumberOf(a working.Amount, u quantity.Unit, c season.Crop) (float64, error) {
	b := bushelOf(c)
	if m := r.measure(u, b); m.kind != "" && (m.kind == a.Kind || unit.BaseSymbol(m.kind) == unit.BaseSymbol(a.Kind)) {
		return (a.Base - m.Offset) / m.Factor, nil
	}
	return quantity.FromKind(a.Kind, a.Base, u, b)
}
