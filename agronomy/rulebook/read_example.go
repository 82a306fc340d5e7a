package rulebook

import (
	"slices"
	"strings"

	"culm/agronomy/rulebook/formula"
)

// examples reads the worked examples.
func (b *bookReader) examples(m mapping, r *Rule) {
	all := m.list("examples", maxWords)
	if len(all) == 0 {
		m.fail("examples", "must hold at least one worked example: without one nobody sees a mistyped number")
	}
	for _, n := range all {
		e := b.mapping(n, join(m.path, "examples"), "name", "given", "answer", "silent", "rating", "steps", "within", "status", "source", "where", "note", "crop")
		own := Example{Name: e.needed("name"), Silent: e.text("silent"), Rating: e.text("rating"), Line: n.Line}
		own.Standing = b.standing(e, Standing{Source: r.Source, Where: r.Where}, true)
		own.Crop = e.oneOf("crop", cropWords()...)
		if e.has("answer") == (own.Silent != "") {
			e.fail("answer", "an example needs either the answer as printed, or silent: and words of the reason")
		} else if e.has("answer") {
			own.Answer = b.printed(e, "answer")
		}
		given := e.under("given", maxParts)
		for _, k := range given.keys {
			own.Given = append(own.Given, b.given(given, k.Value, r))
		}
		steps := e.under("steps", maxParts)
		for _, k := range steps.keys {
			if !slices.ContainsFunc(r.Steps, func(s Step) bool { return s.Key == k.Value }) {
				steps.fail(k.Value, "is no step of the rule")
			}
			own.Steps = append(own.Steps, StepValue{Key: k.Value, Value: b.printed(steps, k.Value)})
		}
		if e.has("within") {
			w := e.under("within", maxParts, "of", "because")
			own.Within, own.Because = w.neededNumber("of"), w.needed("because")
			if own.Within < 0 {
				w.fail("of", "must not be below 0")
			}
		}
		r.Examples = append(r.Examples, own)
	}
}

// given reads one input of an example: a number, plain arithmetic such as 0.72 / 0.55, a word, or yes or no.
func (b *bookReader) given(m mapping, name string, r *Rule) Given {
	g := Given{Name: What(name)}
	i := r.Slot(g.Name)
	if i < 0 {
		m.fail(name, "is no input of the rule")
		return g
	}
	n := m.values[name]
	switch in := &r.Inputs[i]; {
	case in.Sort == Word:
		g.Word = m.needed(name)
	case in.Sort == YesNo:
		if m.yes(name) {
			g.Value = 1
		}
	case isNumber(n):
		g.Value = m.neededNumber(name)
	case instead(n) != "":
		m.fail(name, "found %s, expected the number alone, in %s as the input has it%s", found(n), in.Unit, instead(n))
	default:
		g.Value = b.arithmetic(m, name)
	}
	return g
}

func (b *bookReader) arithmetic(m mapping, key string) float64 {
	w := b.expression(m, key)
	if w.is == nil {
		return 0
	}
	f, err := w.is.Check(formula.Env{Words: &formula.Words{}})
	if err != nil {
		b.wrong(w, err)
		return 0
	}
	if f.Value().Kind != formula.Number {
		m.fail(key, "found no number")
		return 0
	}
	v, silent := f.Number(nil)
	if silent.Why != formula.Answered {
		m.fail(key, "has no value")
	}
	return v
}

// printed reads a number and counts its decimals.
func (b *bookReader) printed(m mapping, key string) Printed {
	n := m.values[key]
	v, ok := m.number(key)
	if !ok {
		return Printed{}
	}
	if strings.ContainsAny(n.Value, "eE") {
		m.fail(key, "found %s, expected a number as printed, such as 59.39", n.Value)
	}
	_, decimals, _ := strings.Cut(n.Value, ".")
	return Printed{Value: v, Decimals: len(decimals)}
}

// claims reads what the book says of itself.
func (b *bookReader) claims(m mapping, r *Rule) {
	for _, n := range m.list("claims", maxClaim) {
		c := b.mapping(n, join(m.path, "claims"), "when", "answer")
		name, moves, _ := strings.Cut(c.needed("when"), " ")
		own := Claim{Input: What(name), Rises: moves == "rises", Never: c.oneOf("answer", neverRises, neverFalls), Line: n.Line}
		i := r.Slot(own.Input)
		switch {
		case i < 0 || r.Inputs[i].Sort != Number || moves != "rises" && moves != "falls":
			c.fail("when", "found %q, expected an input that is a number and rises or falls, such as nitrate rises", c.text("when"))
		case own.Never == "":
			c.fail("answer", "must be %q or %q", neverRises, neverFalls)
		default:
			r.Claims = append(r.Claims, own)
		}
	}
}

const (
	neverRises = "never rises"
	neverFalls = "never falls"
)
