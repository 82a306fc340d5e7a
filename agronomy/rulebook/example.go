package rulebook

import (
	"math"
	"strings"
)

// Example is a worked example: inputs and the answer that must come out. It is run whenever the book is read.
type Example struct {
	Name string
	// Crop decides how much a bushel weighs where a rule is for several; empty for the rule's first.
	Crop   string
	Given  []Given
	Answer Printed // in the unit of the rule
	// Silent is set where the rule must give no answer: the reason must contain it.
	Silent string
	Rating string
	Steps  []StepValue
	// Within is how far the printed answer may be off beyond its last digit, with the reason.
	Within  float64
	Because string
	Standing
	Line int
}

// Given is one input of an example in the rule's own unit.
type Given struct {
	Name  What
	Value float64
	Word  string
}

// StepValue is a number on the way, in the unit of the step.
type StepValue struct {
	Key   string
	Value Printed
}

// Printed is a number as it was printed; its digits say how closely it can be met.
type Printed struct {
	Value    float64
	Decimals int
}

// meets says that a value rounds to the printed one, or comes within the allowance.
func (p Printed) meets(v, allowance float64) bool {
	// Half a last digit is itself not exact in binary.
	return math.Abs(v-p.Value) <= allowance+0.5*math.Pow10(-p.Decimals)+hair
}

// Slots are the example's inputs.
func (e Example) Slots(r *Rule) *Slots {
	s := r.NewSlots()
	for _, g := range e.Given {
		i := r.Slot(g.Name)
		if g.Word != "" {
			s.SetWord(i, g.Word)
			continue
		}
		s.Set(i, g.Value)
	}
	return s
}

// worked runs the examples of a rule.
func (r *reader) worked(rule *Rule, f *Finding) {
	for _, e := range rule.Examples {
		f.Checked++
		r.example(rule, e)
	}
}

func (r *reader) example(rule *Rule, e Example) {
	field := "rules." + rule.Key + ".examples (" + e.Name + ")"
	s := e.Slots(rule)
	got, silence := rule.Evaluate(s)
	why := rule.Why(s, silence)
	switch {
	case e.Silent != "" && silence.Answered():
		r.fail(e.Line, field, "gives %s, expected no answer because of %q", quantityText(got, rule.Unit), e.Silent)
		return
	case e.Silent != "" && !strings.Contains(why, e.Silent):
		r.fail(e.Line, field, "gives no answer because %s; expected %q in the reason", why, e.Silent)
		return
	case e.Silent != "":
		return
	case !silence.Answered():
		r.fail(e.Line, field, "gives no answer: %s", why)
		return
	case !e.Answer.meets(got, e.Within):
		r.fail(e.Line, field, "gives %s, printed is %s", quantityText(got, rule.Unit), plain(e.Answer.Value))
	}
	first := len(rule.Inputs) + len(rule.Constants)
	for _, v := range e.Steps {
		for i := range rule.Steps {
			if step := &rule.Steps[i]; step.Key == v.Key && !v.Value.meets(s.all[first+i].Number, 0) {
				r.fail(e.Line, field, "gives %s for %s, printed is %s", quantityText(s.all[first+i].Number, step.Unit), v.Key, plain(v.Value.Value))
			}
		}
	}
	if e.Rating != "" {
		if rating := rule.rate(s, got); rating != e.Rating {
			r.fail(e.Line, field, "is rated %q, printed is %q", rating, e.Rating)
		}
	}
}

// rate is the word for an answer that was worked out on slots; empty where the rule has none.
func (r *Rule) rate(s *Slots, answer float64) string {
	if r.Rating == nil {
		return ""
	}
	v := answer
	if r.Rating.slot >= 0 {
		v = s.all[r.Rating.slot].Number
	}
	for _, c := range r.Rating.Of {
		if c.Last || v < c.Below {
			return c.Word
		}
	}
	return ""
}
