// Package rulebook holds regional guidance as data: one readable file for each publication, with its inputs,
// numbers, tables and expressions, the standing and source of each number, and the publication's own worked
// examples.
//
// A book is checked when it is read: its keys and sources, the units of every expression, its ranges, that it
// answers everything inside its ranges with a number that is finite and not negative or says why it is silent,
// what it claims of itself, and its worked examples at the digits printed. A book that fails is refused with
// file and line, so a mistyped number cannot give advice.
//
// Numbers stand in a book as they are printed, in its own units; package quantity knows those units and
// package formula the expressions. Facts takes in what a field's records say and puts it into a book's units,
// depths and laboratory methods. Evaluate answers on bare numbers and allocates nothing; Work answers with all
// that a reader may ask about the number; Compare lays two answers side by side, term by term.
//
// Which evidence a field has, which nitrogen was spread before, and which of several answers a decision
// follows is not decided here.
package rulebook

import (
	"slices"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook/formula"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Book is one publication's guidance. Parse makes it; it is not changed afterwards and may be used from
// several goroutines at once.
type Book struct {
	// Key names the book everywhere, such as "minnesota"; Name is what people read.
	Key  string
	Name string
	// Region is where the guidance is meant for, Edition which state of it this is. Year is 0 where the
	// publication does not say.
	Region    string
	Publisher string
	Edition   string
	Year      int
	About     string
	// Sources are the book's own; a name that is not among them is one of Culm's catalogue.
	Sources []cite.Source
	Rules   []*Rule
	// found are the publications of the catalogue that the book names.
	found map[cite.Key]cite.Source
	// File is the name the book was read under, Text what it held, Digest the SHA-256 of it in hexadecimal.
	File   string
	Text   string
	Digest string
}

// Rule finds a rule by its key.
func (b *Book) Rule(key string) (*Rule, bool) {
	for _, r := range b.Rules {
		if r.Key == key {
			return r, true
		}
	}
	return nil, false
}

// Source finds a publication among the book's own and then in the catalogue.
func (b *Book) Source(k cite.Key) (cite.Source, bool) {
	for _, s := range b.Sources {
		if s.Key == k {
			return s, true
		}
	}
	if s, ok := b.found[k]; ok {
		return s, true
	}
	return cite.Find(k)
}

// Answer says what a rule is about: a nutrient to be applied, lime, or something on the way.
type Answer string

// What rules answer. A nutrient is its rate to apply, as N, P2O5, K2O, S, Cl or the element, whatever the unit
// of the rule says.
const (
	Nitrogen    Answer = "nitrogen"
	Phosphate   Answer = "phosphate"
	Potash      Answer = "potash"
	Sulfur      Answer = "sulfur"
	Chloride    Answer = "chloride"
	Zinc        Answer = "zinc"
	Copper      Answer = "copper"
	Boron       Answer = "boron"
	Iron        Answer = "iron"
	Manganese   Answer = "manganese"
	Lime        Answer = "lime"        // pure lime, or of the score the rule names
	LimeEffect  Answer = "lime-effect" // the effective share of a lime
	LimeTarget  Answer = "lime-target" // the pH to lime to
	DepthOfLime Answer = "lime-depth"  // the depth that lime acts in
	LimeMost    Answer = "lime-most"   // the most lime to be spread at once
	BuildUp     Answer = "build-up"    // nutrient to raise a soil test
	Removal     Answer = "removal"     // nutrient that leaves with the harvest
	Uptake      Answer = "uptake"      // nutrient the standing crop takes up
	Forage      Answer = "forage"      // nitrogen for what cattle eat
	Index       Answer = "index"       // a number that is judged, not applied
)

// The families of nitrogen rules, as people read them.
const (
	FamilyBalance     = "mass balance"
	FamilyCanolaTable = "canola table"
	FamilyPriceTable  = "price table"
	FamilyRamp        = "ramp"
	FamilyInSeason    = "in-season"
	FamilyGreenArea   = "green area"
)

// Rule is one way of finding one number. All fields are for reading.
type Rule struct {
	Book *Book
	Line int

	Key  string
	Name string
	// Answers says what the rule is about. Family is set for nitrogen.
	Answers Answer
	Family  string
	// Crops are those the rule is for; empty is any. Refuses gives the reason for a crop that people might
	// expect it to serve.
	Crops   []season.Crop
	Refuses map[season.Crop]string
	// FittedOn says on what crops, soils and years the numbers rest.
	FittedOn string
	Source   cite.Key
	Where    string // page or table
	Unit     quantity.Unit
	Notes    []string

	Inputs    []Input
	Constants []Constant
	Tables    []Table
	Classes   []Classes
	Steps     []Step
	// Terms are set where the answer is their sum, Answer where it is one expression.
	Terms  []Term
	Answer *formula.Formula
	// Rating names the classes whose word stands beside the answer; nil for none.
	Rating *Classes
	Floor  *Bound
	Cap    *Bound
	Round  *Rounding
	// Silent are conditions under which the rule gives no answer, Remarks those under which it says more.
	Silent   []Remark
	Remarks  []Remark
	Claims   []Claim
	Examples []Example

	// Standing of the form itself; its Status may be empty, where the numbers speak for it.
	Form Standing

	// own is known where an advisor's numbers stand in place of some of the book's.
	own      working.Origin
	replaced map[string]bool
	written  written // the answer
	compiled
}

// compiled is what Rule.compile makes of a rule's expressions.
type compiled struct {
	words *formula.Words
	// tables are those of Tables as formulas call them.
	tables map[string]*formula.Table
	// steps and defaults are the orders in which those are worked out. Each condition of silence speaks after
	// so many steps in that order, as soon as it can.
	steps, defaults []int
	after           []int
	// needed inputs are those that the answer itself rests on.
	needed []bool
	// rests is what the answer rests on, through the steps on the way.
	rests behind
	// inWords is the formula in words, measures how each unit is shown.
	inWords  string
	measures map[quantity.Unit][3]measure
}

// behind is what an expression rests on, each by its index and in order.
type behind struct{ inputs, constants, tables []int }

// add joins what another rests on.
func (b *behind) add(o behind) {
	b.inputs, b.constants, b.tables = joined(b.inputs, o.inputs), joined(b.constants, o.constants), joined(b.tables, o.tables)
}

func joined(a, b []int) []int {
	all := append(slices.Clone(a), b...)
	slices.Sort(all)
	return slices.Compact(all)
}

// written is an expression as it stands in the file.
type written struct {
	is    *formula.Expression
	line  int
	field string
}

// ID names the rule everywhere: "minnesota/nitrogen".
func (r *Rule) ID() string { return r.Book.Key + "/" + r.Key }

// Method is the name by which seasons and plans know the rule: the book's key for its nitrogen rule, else the ID.
func (r *Rule) Method() string {
	if r.Key == string(Nitrogen) {
		return r.Book.Key
	}
	return r.ID()
}

// For says that the rule is for a crop.
func (r *Rule) For(c season.Crop) bool {
	for _, own := range r.Crops {
		if own == c {
			return true
		}
	}
	return len(r.Crops) == 0
}

// Sort is what kind of thing an input is.
type Sort int

// The sorts of input.
const (
	Number Sort = iota
	Word
	YesNo
)

// Input is something a rule asks for.
type Input struct {
	Name What
	// Label is the name in words, Symbol the letter a page may use for it; empty for none.
	Label  string
	Symbol string
	short  string // the label inside a formula
	// perArea says that the unit is a mass on an area.
	perArea bool
	Sort    Sort
	Unit    quantity.Unit
	// Low and High are the range the book was made for. Outside it the rule is silent.
	Low, High float64
	// Usual is a milder range: outside it the answer carries a note. Nil for none.
	Usual *Usual
	// Words are the words that the input may be; nil for any.
	Words []string
	// Asked inputs are known to no notebook: they are given by hand.
	Asked bool
	// Optional inputs count 0 where missing, and that is an absence and not an assumption.
	Optional bool
	Default  *Default
	// Soil is set for what a laboratory finds in the soil.
	Soil *Soil
	Line int
}

// Usual is the range for which a publication prints its numbers.
type Usual struct {
	Low, High float64
	Note      string
}

// Default stands in where an input is missing.
type Default struct {
	// Is is set where the default follows from other inputs; otherwise Value or Word is the default.
	Is    *formula.Formula
	Value float64
	// Low and High are the span the publication gives; both zero where it gives one number.
	Low, High float64
	Word      string
	// Published says that the publication itself gives the number and no field is expected to have its own;
	// it shows as the book's and not as assumed.
	Published bool
	Why       string
	Standing
	written written
	number  float64 // of the word
	rests   behind
}

// Standing is where a number comes from and how far it was confirmed there.
type Standing struct {
	Status cite.Status
	Source cite.Key
	Where  string // page or table
	Note   string
}

// Soil says to what depth a rule counts what is in the soil, on what mass of soil, and by which method.
type Soil struct {
	Top, Bottom unit.Length // AsSampled: Bottom is 0
	AsSampled   bool
	Depth       string // as written: "24 in"
	// PerAcreInch is the convention for the mass of soil, million lb per acre-inch; 0 where the input is a
	// concentration.
	PerAcreInch unit.PoundsPerMillion
	// Partial says what holds where only a part of the depth was sampled.
	Partial Partial
	analyte season.Analyte
	// Methods are the laboratory methods the rule is for; nil for any.
	Methods  []string
	Converts []Conversion
}

// Partial says how a rule takes a profile of which only the upper part was sampled.
type Partial string

// The ways to take a part of a profile. What was not sampled is not known, so a rule is silent unless its book says
// otherwise; then it shows as assumed.
const (
	PartialSilent Partial = "silent"
	PartialNone   Partial = "count the rest as none"
	PartialAlike  Partial = "count the rest as alike" // for a mean
)

func partialWords() []string {
	return []string{string(PartialSilent), string(PartialNone), string(PartialAlike)}
}

// assumes says what is then assumed.
func (p Partial) assumes() string {
	if p == PartialAlike {
		return "the mean of what was sampled stands for all of it"
	}
	return "what lies below the samples is counted as none"
}

// Conversion is an open way from another method's result to one that the rule is for.
type Conversion struct {
	From   string
	Factor float64
	// Known marks a published ratio of package soil; otherwise the factor is the book's own.
	Known bool
	// Unless is the condition under which the source says not to convert; nil for none.
	Unless *formula.Formula
	Standing
	written written
}

// Constant is a published number.
type Constant struct {
	Name  string
	Label string
	Value float64
	Unit  quantity.Unit
	// Low and High are the span the publication gives; both zero where it gives one number.
	Low, High float64
	Standing
	Line int
}

// HasSpan says that the publication gives a span and not one number.
func (c Constant) HasSpan() bool { return c.Low != 0 || c.High != 0 }

// Table is read off by numbers (Axes) or by a word (By).
type Table struct {
	Name  string
	Label string
	Unit  quantity.Unit
	Standing
	Line int

	By    What
	Rows  []WordRow
	Other *WordRow // for words that no row names; nil: the rule is silent

	Axes    []Axis
	Between Between
	Hold    bool // beyond the edge its value holds; otherwise the rule is silent
	// Cells are in order of the axes, the last turning fastest; NaN is a cell that could not be read.
	Cells []float64
}

// WordRow is a row of a table by words.
type WordRow struct {
	Words []string
	Value float64
	Why   string
	Standing
}

// Axis is one edge of a table, rising.
type Axis struct {
	Name  string
	Label string
	Unit  quantity.Unit
	At    []float64
}

// Between says how a table is read between its printed levels.
type Between string

// The ways to read between printed levels.
const (
	StraightLine Between = "straight line"
	Nearest      Between = "nearest"
	Below        Between = "the one below"
	Above        Between = "the one above"
	PrintedOnly  Between = "printed values only"
)

// Classes give a number a word, such as low, medium and high.
type Classes struct {
	Name string
	By   string // an input, a step or "answer"
	Of   []Class
	Standing
	Line int
	slot int // of By among all slots; -1 for the answer
}

// Class is one word; the last has no Below.
type Class struct {
	Below float64
	Last  bool
	Word  string
}

// Step is a named number on the way.
type Step struct {
	Key   string
	Label string
	Is    *formula.Formula
	Unit  quantity.Unit
	Line  int

	written written
	rests   behind
}

// Term is one part of a sum.
type Term struct {
	Is    *formula.Formula
	For   What
	Label string
	Line  int

	written written
	rests   behind
}

// Bound is a floor or a cap in the unit of the answer.
type Bound struct {
	Value float64
	Why   string
	Standing
}

// Rounding is how the publication rounds its answers.
type Rounding struct {
	To  float64
	How string // nearest, up or down
}

// Remark is a sentence under a condition.
type Remark struct {
	When *formula.Formula
	Say  string
	// Standing is set where the answer then rests on something of this standing, such as a habit.
	Standing
	Line int

	written written
}

// Claim is what a book says of itself: when an input rises, the answer never rises or never falls.
type Claim struct {
	Input What
	Rises bool // the input rises; otherwise it falls
	Never string
	Line  int
}
