// Package working lets every number show how it came about: the expression it was computed from, the
// values that went in with their units and origin, the published source, and what would change it.
//
// A Fact is a value with its origin, before anything is computed; a missing value is the zero Fact, never
// zero. A Figure is a number in a finding or a plan. A Ledger holds a plan's figures, each under an id by
// which a sentence, a page and the JSON refer to it. Nothing here knows a crop.
package working

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// OriginKind says how a value came to be known. The kinds look different on every surface.
type OriginKind string

// The kinds of origin.
const (
	Observed OriginKind = "observed" // someone or something saw it
	Assumed  OriginKind = "assumed"  // nobody saw it; a default stands in, and says so
	Rulebook OriginKind = "rulebook" // regional guidance or a publication gives it
	Setting  OriginKind = "setting"  // the advisor chose it
	Computed OriginKind = "computed" // another figure of the same plan
)

// Origin is where a value comes from.
type Origin struct {
	Kind OriginKind `json:"kind"`
	// By names the observer, the laboratory, the instrument's owner or whoever chose the setting.
	By string `json:"by,omitempty"`
	// On is the day observed.
	On calendar.Day `json:"on,omitzero"`
	// With is the instrument or method.
	With string `json:"with,omitempty"`
	// Entry is the id of the notebook entry that holds it.
	Entry string `json:"entry,omitempty"`
	// Where is the file and line it was read from, such as "soil.csv:4".
	Where string `json:"where,omitempty"`
	// Source is the publication, for values from a rulebook.
	Source cite.Key `json:"source,omitempty"`
	// Why explains an assumption in words: "no soil test; the rulebook's default".
	Why string `json:"why,omitempty"`
}

// Fact is a value with its origin. The zero Fact is a missing value.
type Fact[T unit.Quantity] struct {
	Value  T      `json:"value"`
	Origin Origin `json:"origin"`
}

// Known says that there is a value.
func (f Fact[T]) Known() bool { return f.Origin.Kind != "" }

// IsZero lets a missing fact be left out of JSON.
func (f Fact[T]) IsZero() bool { return !f.Known() }

// Or gives the fact itself when it is known, otherwise the assumption with its reason.
func (f Fact[T]) Or(value T, why string) Fact[T] {
	if f.Known() {
		return f
	}
	return Fact[T]{Value: value, Origin: Origin{Kind: Assumed, Why: why}}
}

// Amount is the fact's value as an Amount.
func (f Fact[T]) Amount() Amount { return Of(f.Value) }

// Input names the fact as an input of a figure.
func (f Fact[T]) Input(label string) Input {
	return Input{Label: label, Amount: Of(f.Value), Origin: f.Origin}
}

// FromBook is a coefficient given by a publication.
func FromBook[T unit.Quantity](value T, source cite.Key) Fact[T] {
	return Fact[T]{Value: value, Origin: Origin{Kind: Rulebook, Source: source}}
}

// Amount is a number in the base unit of its kind.
type Amount struct {
	Base float64
	Kind unit.Kind
}

// Of gives the amount of a typed quantity.
func Of[T unit.Quantity](q T) Amount { return Amount{Base: float64(q), Kind: q.Kind()} }

// As gives the same number under a kind that shows it better, such as a yield in wheat bushels. The base
// unit of the two kinds must be the same.
func (a Amount) As(k unit.Kind) Amount { return Amount{Base: a.Base, Kind: k} }

// Show writes the amount for a person.
func (a Amount) Show(s unit.System) unit.Shown { return unit.Show(a.Kind, a.Base, s) }

// Input is a value that went into a figure: either a figure of the same ledger, named by Figure, or a
// value of its own.
type Input struct {
	Label  string `json:"label"`
	Figure ID     `json:"figure,omitempty"`
	Amount Amount `json:"amount"`
	// Text stands in place of the number for what is a word, or has a unit that no kind of amount has.
	Text   string `json:"text,omitempty"`
	Origin Origin `json:"origin"`
}

// Show writes the value of an input for a person.
func (in Input) Show(s unit.System) string {
	if in.Text != "" {
		return in.Text
	}
	return in.Amount.Show(s).String()
}

// Interval is the range within which a figure lies with the stated confidence.
type Interval struct {
	Low, High float64
	// Level is the confidence, such as 0.9; 0 where the range is not a confidence interval but the span of
	// a stated range of inputs, such as prices.
	Level unit.Fraction
}

// Effect says how far a figure would move if one input were different.
type Effect struct {
	// Change is the difference in words: "soil nitrate 10 lb/ac higher" is built from these two.
	Input string `json:"input"`
	By    Amount `json:"by"`
	// To is the figure's new value.
	To Amount `json:"to"`
}

// ID names a figure within one plan: "need.response-index", "rate.kansas-2003".
type ID string

// Figure is a number with its working.
type Figure struct {
	ID     ID     `json:"id"`
	Label  string `json:"label"`
	Amount Amount `json:"amount"`
	// Text stands in place of the number for what is not one, such as a date or a product.
	Text     string    `json:"text,omitempty"`
	Interval *Interval `json:"interval,omitempty"`
	// Expression is the formula in words and signs: "2.4 × yield goal − profile nitrate".
	Expression string  `json:"expression,omitempty"`
	Inputs     []Input `json:"inputs,omitempty"`
	// Source is the publication of the method and Status says whether its numbers were confirmed there.
	Source cite.Key    `json:"source,omitempty"`
	Status cite.Status `json:"status,omitempty"`
	// Origin is set for a figure that was not computed but observed, assumed or set.
	Origin      Origin   `json:"origin,omitzero"`
	WouldChange []Effect `json:"wouldChange,omitempty"`
	// Notes are remarks on validity: calibrated elsewhere, outside the range it was fitted on.
	Notes []string `json:"notes,omitempty"`
}

// Ref names the figure as an input of another.
func (f Figure) Ref() Input {
	return Input{Label: f.Label, Figure: f.ID, Amount: f.Amount, Origin: Origin{Kind: Computed}}
}

// Ledger holds the figures of a plan in the order they were worked out.
type Ledger struct {
	figures []Figure
	byID    map[ID]int
}

// Add enters a figure and hands it back. Entering an id twice replaces the earlier figure in its place.
func (l *Ledger) Add(f Figure) Figure {
	if i, ok := l.byID[f.ID]; ok {
		l.figures[i] = f
		return f
	}
	if l.byID == nil {
		l.byID = map[ID]int{}
	}
	l.byID[f.ID] = len(l.figures)
	l.figures = append(l.figures, f)
	return f
}

// Get finds a figure.
func (l *Ledger) Get(id ID) (Figure, bool) {
	i, ok := l.byID[id]
	if !ok {
		return Figure{}, false
	}
	return l.figures[i], true
}

// All lists the figures in the order they were entered. The caller must not change them.
func (l *Ledger) All() []Figure { return l.figures }
