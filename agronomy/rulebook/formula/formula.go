// Package formula reads the expressions of a book of guidance, checks their units, and works them out.
//
// The syntax is that of the library github.com/expr-lang/expr, whose parser is used; of its language only
// arithmetic is let in: + - * / **, comparisons, and or not, a ? b : c, names, words in quotes, numbers, true
// and false, the functions min max abs exp ln sqrt given, and tables that the caller provides. A plain number
// in an expression has no unit, except 0, which fits any: a number with a unit is a named constant.
//
//	e, err := formula.Parse("max(0, perBushel * yieldGoal - nitrate)") // syntax and limits; e.Names() lists names
//	f, err := e.Check(env)                                            // kinds and units of every part; compiled
//	v, silence := f.Number(slots)                                     // no allocation
//
// A formula that cannot answer says so (Silence) instead of giving a number: a table was silent, something
// was divided by zero, a logarithm or a root has no value, a number grew past all bounds. What is not worked
// out cannot be silent: the branch of a ? b : c that is not taken, the right of "and" where the left is false.
//
// The library's own machine gives the same numbers where a formula answers, but boxes and allocates every one
// of them; the tests hold the two against each other. It differs where a formula is silent: it divides by
// zero to infinity and takes roots of negative numbers to no number.
package formula

import (
	"strconv"
	"strings"

	"culm/agronomy/rulebook/quantity"
)

// Limits of an expression, so that a hostile one costs nothing.
const (
	MaxText  = 2000 // bytes
	MaxNodes = 512
	MaxDepth = 32 // of brackets in the text, and of parts within parts
)

// Kind is what a value is.
type Kind uint8

// The kinds of values.
const (
	Number Kind = iota
	Word
	YesNo
)

// String names the kind for a message: "a number".
func (k Kind) String() string {
	return [...]string{"a number", "a word", "a condition"}[k]
}

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
	Label string  // in words, for the printed formula; the name itself where empty, a number where it reads as one
	Slot  int     // place in the slots
	Fixed bool    // Is is the value, and there is no slot
	Is    float64 // as in Slot.Number
}

// Table is a function of a book, of one to three arguments.
type Table struct {
	Value         // what it gives
	Label string  // in words, for the printed formula; the name of the table where empty
	Args  []Value // kind and unit of each; Words where only those are known, nil where any word may be asked
	// At looks up. Arguments that there are not are 0; a word is its number. silent is 0 for an answer and
	// otherwise a code of the caller's own. It must not allocate, and never panics on finite numbers.
	At func(a, b, c float64) (value float64, silent uint8)
}

// Env is what the names and tables of an expression mean. Words are those of its tables and names; words in
// quotes are added to it.
type Env struct {
	Names  map[string]Name
	Tables map[string]*Table
	Words  *Words
}

// Words numbers the words of a book from 0, so that a word can stand in a slot. The zero value is ready.
type Words struct {
	numbers map[string]float64
	words   []string
}

// Number gives the number of a word, adding it if it is new.
func (w *Words) Number(word string) float64 {
	if n, ok := w.numbers[word]; ok {
		return n
	}
	if w.numbers == nil {
		w.numbers = map[string]float64{}
	}
	n := float64(len(w.words))
	w.numbers[word], w.words = n, append(w.words, word)
	return n
}

// Find gives the number of a word, or -1, the number of no word, if it is not known.
func (w *Words) Find(word string) float64 {
	if n, ok := w.numbers[word]; ok {
		return n
	}
	return -1
}

// Word gives the word of a number; empty if there is none.
func (w *Words) Word(number float64) string {
	if i := int(number); i >= 0 && i < len(w.words) {
		return w.words[i]
	}
	return ""
}

// Problem is something wrong in an expression, with the column where it stands, counted in characters from 1.
type Problem struct {
	Column int
	Text   string
}

// Problems is the error of Parse, Check and Gives; it is never empty.
type Problems []Problem

// Error lists the problems, one a line: "column 12: ...".
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, one := range p {
		lines[i] = "column " + strconv.Itoa(one.Column) + ": " + one.Text
	}
	return strings.Join(lines, "\n")
}

// Formula is a checked expression, ready to be worked out. It can be used from many places at once.
type Formula struct {
	root  *node // as written, for printing
	run   *code
	words *Words
}

// Value says what it gives. A number that is always 0 has AnyUnit.
func (f *Formula) Value() Value { return f.root.value }
