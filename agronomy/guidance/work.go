package guidance

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
	// rounding. Amount is Value as a typed amount, where the unit has a kind; the zero Amount where it has none.
	Value, Exact float64
	Amount       working.Amount
	// Low and High follow from the spans the publication gives for its numbers, if HasRange; in the rule's unit.
	Low, High float64
	HasRange  bool
	// Rating is the word for the answer, such as "low"; empty where the rule has no classes.
	Rating string
	// Expression is the formula in words and signs, Numbers the same with the numbers put in.
	Expression string
	Numbers    string
	Inputs     []Entry
	// Used are the constants and table cells the answer rests on.
	Used  []Entry
	Steps []Entry
	// Terms are the parts of the sum with their signs; their sum is Exact unless a floor or cap holds. Empty
	// where the rule is not a sum.
	Terms []Part
	// Floored and Capped say that a bound holds.
	Floored, Capped bool
	Assumed         []string
	Notes           []string
	// Status is that of the weakest number used, Sources the publications of all of them, each once.
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
	Standing
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

// Rate is the answer as a rate of nutrient; 0 where it is none.
func (w Worked) Rate() unit.Rate {
	if w.Why != "" || w.Amount.Kind != unit.KindRate {
		return 0
	}
	return unit.Rate(w.Amount.Base)
}

// Work finds a rule's answer for a field and explains it.
func (r *Rule) Work(f *Facts) Worked { return Worked{Rule: r, Why: "not built yet"} }
