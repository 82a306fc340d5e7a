package rulebook

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Worked is an answer with all that a reader may ask about it.
type Worked struct {
	Rule *Rule
	// Why says why there is no answer; empty when there is one.
	Why string
	// Value is the answer in the rule's unit, bounded and rounded as the publication does; Exact is it before
	// both. Amount is Value as a typed amount, where the unit has a kind; the zero Amount where it has none.
	Value, Exact float64
	Amount       working.Amount
	// Low and High follow from the spans the publication gives for its numbers, if HasRange; in the rule's unit.
	Low, High float64
	HasRange  bool
	// Rating is the word for the answer, such as "low"; empty where the rule has no classes.
	Rating string
	// Expression is the formula in words and signs; Numbers writes the same with the numbers put in.
	Expression string
	Inputs     []Entry
	// Used are the constants and table rows the answer rests on.
	Used  []Entry
	Steps []Entry
	// Terms are the parts of the sum with their signs; their sum is Exact. Empty where the rule is not a sum.
	Terms []Part
	// Floored and Capped say that a bound holds.
	Floored, Capped bool
	// Assumed says of each input that nobody observed what stands in and why; Notes are remarks on the answer.
	Assumed []string
	Notes   []string
	// Status is that of the weakest number used, those of rules followed among them. What Culm or the book assumes by
	// common practice where an input is missing stands under Assumed and does not count here, but for a word of which a
	// table prints nothing: the answer is then derived at best. Sources are the publications of all, each once.
	Status  cite.Status
	Sources []cite.Source

	slots *Slots
}

// Entry is a number or a word on the way to an answer.
type Entry struct {
	Name  string // key of the input, constant, table or step
	Label string
	Value float64 // in the book's unit
	Unit  string  // as the book writes it
	Word  string  // for words, and for yes and no
	// Amount is Value as a typed amount, where the unit has a kind; the zero Amount where it has none.
	Amount working.Amount
	Origin working.Origin
	// Absent marks an optional input that is missing and counts nothing.
	Absent bool
	Standing
}

// Part is a term of a sum, in the rule's unit.
type Part struct {
	For     What
	Label   string
	Value   float64
	Amount  working.Amount
	Assumed bool // an input of it was observed by nobody
}

// Numbers writes the formula with the numbers put in: "2.5 × 60 − 40 − 20". Empty where there is no answer.
func (w Worked) Numbers() string {
	if w.Why != "" {
		return ""
	}
	return w.Rule.withNumbers(w.slots.all)
}

// Step finds a number on the way by its key.
func (w Worked) Step(key string) (Entry, bool) {
	for _, s := range w.Steps {
		if s.Name == key {
			return s, true
		}
	}
	return Entry{}, false
}

// Input finds an input by its name; false where the rule does not ask for it or it is not known.
func (w Worked) Input(name What) (Entry, bool) {
	for _, in := range w.Inputs {
		if in.Name == string(name) {
			return in, true
		}
	}
	return Entry{}, false
}

// Rate is the answer as a rate of nutrient; 0 where it is none.
func (w Worked) Rate() unit.Rate {
	if w.Why != "" || w.Amount.Kind != unit.KindRate {
		return 0
	}
	return unit.Rate(w.Amount.Base)
}

// Slots are the inputs the answer was worked out on, without defaults, so that one can be moved and the rule
// asked anew. They belong to the caller. Nil where the rule was not asked at all.
func (w Worked) Slots() *Slots {
	if w.slots == nil {
		return nil
	}
	return w.slots.Clone()
}

// Work finds a rule's answer for a field and explains it.
func (r *Rule) Work(f *Facts) Worked {
	w := Worked{Rule: r, Expression: r.InWords()}
	if f.Crop != "" && !r.For(f.Crop) {
		if w.Why = r.Refuses[f.Crop]; w.Why == "" {
			w.Why = "is not for " + f.Crop.String()
		}
		return w
	}
	t := r.take(f)
	w.slots = t.slots
	exact, silence := r.exact(t.slots)
	if w.Why = t.whyRefused(r); w.Why != "" {
		return w
	}
	if w.Why = r.Why(t.slots, silence); w.Why != "" {
		return w
	}
	x := &explainer{r: r, t: t, w: &w, all: t.slots.all, bushel: bushelOf(f.Crop)}
	x.answer(exact)
	x.inputs()
	x.used()
	x.steps()
	x.terms()
	x.span()
	x.notes()
	x.sources()
	return w
}

// whyRefused says why an input that the answer rests on could not be taken although a field has it.
func (t *taken) whyRefused(r *Rule) string {
	for i, why := range t.refused {
		if why != "" && r.needed[i] {
			return why
		}
	}
	return ""
}

// Text writes the entry's value for a reader: the word, or the number with its unit.
func (e Entry) Text() string {
	switch {
	case e.Word != "":
		return e.Word
	case e.Unit == "" || e.Unit == "1" || e.Unit == "pH":
		return short(e.Value)
	default:
		return short(e.Value) + " " + e.Unit
	}
}
