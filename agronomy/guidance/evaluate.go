package guidance

import "culm/agronomy/guidance/formula"

// Slots are a rule's inputs as bare numbers in the order of Rule.Inputs, with room for what is worked out on
// the way. Make them once with Rule.NewSlots and use them again and again; they belong to one goroutine.
type Slots struct {
	rule *Rule
	// all holds inputs, constants and steps, in this order.
	all   []formula.Slot
	known []knowledge // of the inputs
}

type knowledge uint8

const (
	missing knowledge = iota
	observed
	assumed
)

// NewSlots gives empty slots.
func (r *Rule) NewSlots() *Slots { return &Slots{rule: r} }

// Set gives input i a number in its own unit; for yes or no, 1 or 0.
func (s *Slots) Set(i int, v float64) {}

// SetWord gives input i a word.
func (s *Slots) SetWord(i int, w string) {}

// Clear makes input i missing.
func (s *Slots) Clear(i int) {}

// Value reads input i; false when it is missing and no default was put in.
func (s *Slots) Value(i int) (float64, bool) { return 0, false }

// Slot finds an input by name; -1 when the rule does not ask for it.
func (r *Rule) Slot(w What) int {
	for i := range r.Inputs {
		if r.Inputs[i].Name == w {
			return i
		}
	}
	return -1
}

// Silence says why a rule gives no answer. The zero Silence is an answer.
type Silence struct {
	kind  silenceKind
	index int
}

type silenceKind uint8

// Evaluate answers on bare numbers and allocates nothing. The value is in the rule's unit, bounded and rounded
// as the publication does. Missing inputs take their defaults.
func (r *Rule) Evaluate(s *Slots) (value float64, why Silence) { return 0, Silence{} }

// Why puts a silence into words.
func (r *Rule) Why(s *Slots, why Silence) string { return "" }
