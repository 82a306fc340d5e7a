package rulebook

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/rulebook/formula"
)

// Slots are a rule's inputs as bare numbers in the order of Rule.Inputs, with room for what is worked out on
// the way. Make them once with Rule.NewSlots and use them again and again; they belong to one goroutine.
type Slots struct {
	rule *Rule
	// in holds the inputs as they were set, texts the words among them.
	in    []formula.Slot
	texts []string
	// all holds inputs with defaults, constants and steps, in this order, and present which inputs have a
	// value, after Evaluate.
	all     []formula.Slot
	present []bool
}

// NewSlots gives empty slots.
func (r *Rule) NewSlots() *Slots {
	s := &Slots{
		rule:    r,
		in:      make([]formula.Slot, len(r.Inputs)),
		texts:   make([]string, len(r.Inputs)),
		all:     make([]formula.Slot, len(r.Inputs)+len(r.Constants)+len(r.Steps)),
		present: make([]bool, len(r.Inputs)),
	}
	for i, c := range r.Constants {
		s.all[len(r.Inputs)+i] = formula.Slot{Number: c.Value, Given: true}
	}
	return s
}

// Clone gives slots that can be changed without touching these.
func (s *Slots) Clone() *Slots {
	return &Slots{
		rule: s.rule, in: slices.Clone(s.in), texts: slices.Clone(s.texts),
		all: slices.Clone(s.all), present: slices.Clone(s.present),
	}
}

// Set gives input i a number in its own unit; for yes or no, 1 or 0.
func (s *Slots) Set(i int, v float64) { s.in[i] = formula.Slot{Number: v, Given: true} }

// SetWord gives input i a word. Capitals make no difference.
func (s *Slots) SetWord(i int, w string) {
	s.in[i] = formula.Slot{Number: s.rule.words.Find(strings.ToLower(w)), Given: true}
	s.texts[i] = w
}

// Clear makes input i missing.
func (s *Slots) Clear(i int) { s.in[i], s.texts[i] = formula.Slot{}, "" }

// Value reads input i as Evaluate last took it, with defaults; false where it was missing.
func (s *Slots) Value(i int) (float64, bool) { return s.all[i].Number, s.present[i] }

// Step reads a number on the way as Evaluate last worked it out; false where the rule has no such step or got
// no answer that far.
func (s *Slots) Step(key string) (float64, bool) {
	first := len(s.rule.Inputs) + len(s.rule.Constants)
	for i := range s.rule.Steps {
		if s.rule.Steps[i].Key == key {
			return s.all[first+i].Number, s.all[first+i].Given
		}
	}
	return 0, false
}

// IsSet says that input i was given a value and stands on no default.
func (s *Slots) IsSet(i int) bool { return s.in[i].Given }

// Slot finds an input by name; -1 when the rule does not ask for it.
func (r *Rule) Slot(w What) int {
	for i := range r.Inputs {
		if r.Inputs[i].Name == w {
			return i
		}
	}
	return -1
}

// RestsOn says that the answer can move with an input. A rule may also ask for one only to know where to be
// silent or what to remark.
func (r *Rule) RestsOn(w What) bool {
	i := r.Slot(w)
	return i >= 0 && slices.Contains(r.rests.inputs, i)
}

// Silence says why a rule gives no answer. The zero Silence is an answer.
type Silence struct {
	kind  silenceKind
	index int // of an input, a step, a term or a condition, by kind
	part  formula.Silence
}

// Answered says that there is an answer.
func (s Silence) Answered() bool { return s.kind == answered }

type silenceKind uint8

const (
	answered silenceKind = iota
	missing              // an input
	outside              // an input, its range
	unusable             // an input, no finite number
	noWord               // an input, the words it may be
	said                 // a condition of the book
	inStep               // a step has no value
	inTerm               // a term or the answer has none
)

// Evaluate answers on bare numbers and allocates nothing. The value is in the rule's unit, bounded and rounded
// as the publication does. Missing inputs take their defaults.
func (r *Rule) Evaluate(s *Slots) (value float64, why Silence) {
	exact, why := r.exact(s)
	if why.kind != answered {
		return 0, why
	}
	return r.rounded(r.bounded(exact)), Silence{}
}

// exact is the answer before bounds and rounding.
func (r *Rule) exact(s *Slots) (value float64, why Silence) {
	if why = r.fill(s); why.kind != answered {
		return 0, why
	}
	if why = r.speak(s, 0); why.kind != answered {
		return 0, why
	}
	first := len(r.Inputs) + len(r.Constants)
	for n, i := range r.compiled.steps {
		v, silent := r.Steps[i].value(s.all)
		if silent.Why != formula.Answered {
			return 0, Silence{kind: inStep, index: i, part: silent}
		}
		s.all[first+i] = formula.Slot{Number: v, Given: true}
		if why = r.speak(s, n+1); why.kind != answered {
			return 0, why
		}
	}
	if r.Answer != nil {
		v, silent := r.Answer.Number(s.all)
		if silent.Why != formula.Answered {
			return 0, Silence{kind: inTerm, part: silent}
		}
		return v, Silence{}
	}
	for i := range r.Terms {
		v, silent := r.Terms[i].Is.Number(s.all)
		if silent.Why != formula.Answered {
			return 0, Silence{kind: inTerm, index: i, part: silent}
		}
		value += v
	}
	return value, Silence{}
}

// value works a step out; yes is 1.
func (t *Step) value(all []formula.Slot) (float64, formula.Silence) {
	if t.Is.Value().Kind == formula.YesNo {
		yes, silent := t.Is.YesNo(all)
		if yes {
			return 1, silent
		}
		return 0, silent
	}
	return t.Is.Number(all)
}

// fill takes the inputs with their defaults, and finds what is missing or outside what the book is for.
func (r *Rule) fill(s *Slots) Silence {
	copy(s.all, s.in)
	for _, i := range r.compiled.defaults {
		in := &r.Inputs[i]
		s.present[i] = s.in[i].Given
		if !s.in[i].Given && in.Default != nil {
			s.present[i] = r.putDefault(s, i)
		}
		if !s.present[i] {
			if r.needed[i] && !in.Optional {
				return Silence{kind: missing, index: i}
			}
			continue
		}
		if why := in.refuses(s.all[i]); why != answered && (r.needed[i] || in.Sort == Number && why == unusable) {
			return Silence{kind: why, index: i}
		}
		if in.Sort == Number && r.needed[i] { // a hair outside, as left by changing units, is on the edge
			s.all[i].Number = min(max(s.all[i].Number, in.Low), in.High)
		}
	}
	return Silence{}
}

// putDefault puts a default in; false where it rests on something missing.
func (r *Rule) putDefault(s *Slots, i int) bool {
	d := r.Inputs[i].Default
	switch {
	case d.Word != "":
		s.all[i] = formula.Slot{Number: d.number}
	case d.Is != nil:
		for _, k := range d.rests.inputs {
			if !s.present[k] {
				return false
			}
		}
		v, silent := d.Is.Number(s.all)
		if silent.Why != formula.Answered {
			return false
		}
		s.all[i] = formula.Slot{Number: v}
	default:
		s.all[i] = formula.Slot{Number: d.Value}
	}
	return true
}

// refuses says why a value cannot be taken.
func (in *Input) refuses(v formula.Slot) silenceKind {
	switch in.Sort {
	case Word:
		if in.Words != nil && v.Number < 0 {
			return noWord
		}
	case Number:
		slack := hair * max(1, math.Abs(in.Low), math.Abs(in.High))
		switch {
		case math.IsNaN(v.Number) || math.IsInf(v.Number, 0):
			return unusable
		case v.Number < in.Low-slack || v.Number > in.High+slack:
			return outside
		}
	}
	return answered
}

// speak asks the book's own conditions of silence that can speak after so many steps.
func (r *Rule) speak(s *Slots, after int) Silence {
	for i := range r.Silent {
		if r.after[i] != after {
			continue
		}
		if yes, silent := r.Silent[i].When.YesNo(s.all); yes && silent.Why == formula.Answered {
			return Silence{kind: said, index: i}
		}
	}
	return Silence{}
}

// bounded holds a value to floor and cap.
func (r *Rule) bounded(v float64) float64 {
	if r.Floor != nil {
		v = max(v, r.Floor.Value)
	}
	if r.Cap != nil {
		v = min(v, r.Cap.Value)
	}
	return v
}

// rounded rounds as the publication does. A hair's breadth, as left by binary numbers, is on the level.
func (r *Rule) rounded(v float64) float64 {
	if r.Round == nil {
		return v
	}
	n := v / r.Round.To
	switch r.Round.How {
	case "up":
		n = math.Ceil(n - hair)
	case "down":
		n = math.Floor(n + hair)
	default:
		n = math.Floor(n + 0.5 + hair)
	}
	return n * r.Round.To
}

// Why puts a silence into words; empty for an answer.
func (r *Rule) Why(s *Slots, why Silence) string {
	switch why.kind {
	case answered:
		return ""
	case said:
		return r.Silent[why.index].Say
	case inStep:
		return r.whyNoValue(s, why.part, r.Steps[why.index].Label)
	case inTerm:
		if r.Answer != nil {
			return r.whyNoValue(s, why.part, "the answer")
		}
		return r.whyNoValue(s, why.part, r.Terms[why.index].Label)
	}
	in := &r.Inputs[why.index]
	switch why.kind {
	case missing:
		return "needs " + r.needs(in)
	case unusable:
		return "the " + in.Label + " given is not a number a field can have"
	case noWord:
		return "the " + in.Label + " is " + strconv.Quote(s.texts[why.index]) + ", and the book knows " + strings.Join(in.Words, ", ")
	default:
		return "the " + in.Label + " is " + quantityText(s.all[why.index].Number, in.Unit) + ", and the book was made for values from " + plain(in.Low) + " to " + plain(in.High)
	}
}

// needs names what is missing and what could stand in.
func (r *Rule) needs(in *Input) string {
	need := neededText(in)
	if in.Default == nil || len(in.Default.rests.inputs) == 0 {
		return need
	}
	var others []string
	for _, k := range in.Default.rests.inputs {
		others = append(others, "the "+r.Inputs[k].Label)
	}
	return need + ", or " + strings.Join(others, " and ") + " for the book's own figure"
}

func (r *Rule) whyNoValue(s *Slots, part formula.Silence, label string) string {
	switch part.Why {
	case formula.TableSilent:
		for i := range r.Tables {
			t := &r.Tables[i]
			if r.tables[t.Name] != part.Table {
				continue
			}
			word := ""
			if t.By != "" {
				word = s.texts[r.Slot(t.By)]
			}
			return t.silentWhy(part.Code, word)
		}
		return "a table gives nothing"
	case formula.DividedByZero:
		return label + " cannot be worked out: it would be divided by zero"
	case formula.TooLarge:
		return label + " cannot be worked out: it grows beyond anything a field can have"
	default:
		return label + " has no value for these inputs"
	}
}

// plain writes a number as it is printed: 2.4, 0.05, 13.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// short writes a number that was worked out, to six digits.
func short(v float64) string { return plain(sixDigits(v)) }

func sixDigits(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if err != nil { // infinite or not a number
		return v
	}
	return r
}
