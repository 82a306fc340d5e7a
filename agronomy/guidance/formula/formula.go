// Package formula reads the expressions of a book of guidance, checks their units, and works them out.
//
// The syntax is that of the library github.com/expr-lang/expr, whose parser is used; of its language only
// arithmetic is let in: + - * / **, comparisons, and or not, a ? b : c, names, words in quotes, numbers, the
// functions min max abs exp ln sqrt given, and tables that the caller provides. A plain number in an expression
// has no unit, except 0, which fits any: a number with a unit is a named constant.
//
//	e, err := formula.Parse("max(0, perBushel * yieldGoal - nitrate)") // syntax and limits; e.Names() lists names
//	f, err := e.Check(env)                                            // kinds and units of every part; compiled
//	v, silence := f.Number(slots)                                     // no allocation
//
// A formula that cannot answer says so (Silence) instead of giving a number: a table was silent, something
// was divided by zero, a logarithm or a root has no value, a number grew past all bounds.
package formula

import (
	"strconv"

	"culm/agronomy/guidance/quantity"
)

// Limits of an expression, so that a hostile one costs nothing.
const (
	MaxText  = 2000 // bytes
	MaxNodes = 512
	MaxDepth = 32
)

// Kind is what a value is.
type Kind uint8

// The kinds of values.
const (
	Number Kind = iota
	Word
	YesNo
)

// Value describes a value before it is known: its kind, the unit of a number, the words a word may be.
type Value struct {
	Kind Kind
	Unit quantity.Unit
	// Words lists what a word may be; nil where it may be any.
	Words []string
	// AnyUnit marks the number 0, and what is made of nothing but zeros: it fits every unit.
	AnyUnit bool
}

// Slot holds one value while formulas are worked out: a number in its unit, the number of a word (see Words),
// 1 or 0 for yes or no. Numbers must be finite. Given answers given(name).
type Slot struct {
	Number float64
	Given  bool
}

// Name is something an expression can name. Its value stands in a slot, or is fixed before anything is
// worked out (a constant) and compiled in.
type Name struct {
	Value
	Label string  // in words, for the printed formula; the name itself where empty
	Slot  int     // place in the slots
	Fixed bool    // Is is the value, and there is no slot
	Is    float64 // as in Slot.Number
}

// Table is a function of a book, of one to three arguments.
type Table struct {
	Value         // what it gives
	Label string  // in words, for the printed formula
	Args  []Value // kind and unit of each; Words where only those are known, nil where any word may be asked
	// At looks up. Arguments that there are not are 0; a word is its number. silent is 0 for an answer and
	// otherwise a code of the caller's own. It must not allocate, and never panics on finite numbers.
	At func(a, b, c float64) (value float64, silent uint8)
}

// Env is what the names and tables of an expression mean.
type Env struct {
	Names  map[string]Name
	Tables map[string]*Table
	Words  *Words
}

// Words numbers the words of a book, so that a word can stand in a slot. The zero value is ready.
type Words struct {
	numbers map[string]float64
	words   []string
}

// Number gives the number of a word, adding it if it is new.
func (w *Words) Number(word string) float64 { return 0 }

// Find gives the number of a word, or -1, the number of no word, if it is not known.
func (w *Words) Find(word string) float64 { return -1 }

// Word gives the word of a number; empty if there is none.
func (w *Words) Word(number float64) string { return "" }

// Problem is something wrong in an expression, with the column where it stands, counted in characters from 1.
type Problem struct {
	Column int
	Text   string
}

// Problems is the error of Parse and Check; it is never empty.
type Problems []Problem

// Error lists the problems, one a line: "column 12: ...".
func (p Problems) Error() string { return "column " + strconv.Itoa(p[0].Column) + ": " + p[0].Text }

// Expression is an expression that was read but whose names mean nothing yet.
type Expression struct{ text string }

// Parse reads an expression. The error is of type Problems.
func Parse(text string) (*Expression, error) { return &Expression{text}, nil }

// Text is the expression as it was written.
func (e *Expression) Text() string { return e.text }

// Names lists the names used, tables and functions apart, each once in order of appearance. A name under
// given() counts.
func (e *Expression) Names() []string { return nil }

// Tables lists what is called and is no function of the language, each once in order of appearance.
func (e *Expression) Tables() []string { return nil }

// Check gives names their meaning, works out kind and unit of every part and compiles. The error is of type
// Problems and lists every problem found.
func (e *Expression) Check(env Env) (*Formula, error) { return &Formula{}, nil }

// Formula is a checked expression, ready to be worked out. It can be used from many places at once.
type Formula struct{ value Value }

// Value says what it gives. A number that is always 0 has AnyUnit.
func (f *Formula) Value() Value { return f.value }

// Gives checks that the formula gives this kind of value in this unit; the error is of type Problems.
func (f *Formula) Gives(want Value) error { return nil }

// Why says why there is no answer.
type Why uint8

// The reasons.
const (
	Answered Why = iota
	TableSilent
	DividedByZero
	NoValue  // a logarithm or root of a number that has none
	TooLarge // beyond all bounds
)

// Silence is why a formula gave no answer; the zero Silence means that it did.
type Silence struct {
	Why    Why
	Column int    // of the part that failed
	Table  *Table // that was silent
	Code   uint8  // its code
}

// Number works the formula out; it allocates nothing. The formula must give a number (or a word, whose number
// is meant). slots must be as long as the names of the Env ask.
func (f *Formula) Number(slots []Slot) (float64, Silence) { return 0, Silence{} }

// YesNo works out a condition; it allocates nothing. False where silent.
func (f *Formula) YesNo(slots []Slot) (bool, Silence) { return false, Silence{} }

// InWords prints the formula with labels and signs: "nitrogen per bushel × yield goal − soil nitrate".
func (f *Formula) InWords() string { return "" }

// WithNumbers prints it with the numbers put in: "2.4 × 60 − 40". A table stands as the number it gave, and
// of a ? b : c only the branch taken.
func (f *Formula) WithNumbers(slots []Slot) string { return "" }
