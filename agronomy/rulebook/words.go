package rulebook

import (
	"strings"

	"culm/agronomy/rulebook/formula"
)

// InWords is the rule's formula in words and signs, with its steps.
func (r *Rule) InWords() string { return r.inWords }

func (r *Rule) withNumbers(all []formula.Slot) string {
	return r.spell(func(f *formula.Formula) string { return f.WithNumbers(all) }, false)
}

// spell joins the terms, and tells of steps, bounds, rounding and unit where asked.
func (r *Rule) spell(write func(*formula.Formula) string, inFull bool) string {
	var s strings.Builder
	if r.Answer != nil {
		s.WriteString(write(r.Answer))
	}
	for i := range r.Terms {
		term := write(r.Terms[i].Is)
		switch negative, isNegative := strings.CutPrefix(term, "−"); {
		case i == 0:
			s.WriteString(term)
		case isNegative:
			s.WriteString(" − " + negative)
		default:
			s.WriteString(" + " + term)
		}
	}
	if !inFull {
		return s.String()
	}
	for _, i := range r.compiled.steps {
		s.WriteString("; " + r.Steps[i].Label + " = " + write(r.Steps[i].Is))
	}
	if r.Floor != nil {
		s.WriteString("; not below " + plain(r.Floor.Value))
	}
	if r.Cap != nil {
		s.WriteString("; not above " + plain(r.Cap.Value))
	}
	if r.Round != nil {
		s.WriteString("; rounded " + roundingWord(r.Round.How) + " " + plain(r.Round.To))
	}
	if !r.Unit.IsPlain() {
		s.WriteString("; in " + r.Unit.String())
	}
	return s.String()
}

func roundingWord(how string) string {
	switch how {
	case "up":
		return "up to the next full"
	case "down":
		return "down to the last full"
	default:
		return "to the nearest full"
	}
}

// sentence makes a clause one: a capital first, a full stop last.
func sentence(s string) string {
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}
