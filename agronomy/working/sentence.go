package working

import (
	"strings"

	"culm/agronomy/unit"
)

// Part is a piece of a sentence: plain words, or a number or claim that opens to the figure behind it.
type Part struct {
	Text   string `json:"text,omitempty"`
	Figure ID     `json:"figure,omitempty"`
	// Ranged writes the figure with its interval.
	Ranged bool `json:"ranged,omitempty"`
}

// Sentence is a decision or a finding in words. The same sentence stands on every surface; only the units
// in which its figures are written differ from reader to reader.
type Sentence []Part

// Words is a plain piece.
func Words(s string) Part { return Part{Text: s} }

// Claim is a piece of words that opens to a figure: "ahead of rain".
func Claim(s string, f Figure) Part { return Part{Text: s, Figure: f.ID} }

// Number is a figure written as a number in the reader's units.
func Number(f Figure) Part { return Part{Figure: f.ID} }

// Range is a figure written with its interval: 64 (48 to 79) lb/ac.
func Range(f Figure) Part { return Part{Figure: f.ID, Ranged: true} }

// Read gives each part's text in a reader's units.
func (p Part) Read(l *Ledger, s unit.System) string {
	if p.Text != "" || p.Figure == "" {
		return p.Text
	}
	f, ok := l.Get(p.Figure)
	if !ok {
		return "?"
	}
	if p.Ranged {
		return f.ShowWithRange(s)
	}
	return f.Show(s)
}

// Read gives the whole sentence in a reader's units.
func (t Sentence) Read(l *Ledger, s unit.System) string {
	var b strings.Builder
	for _, p := range t {
		b.WriteString(p.Read(l, s))
	}
	return b.String()
}

// Show writes the figure without its interval.
func (f Figure) Show(s unit.System) string {
	if f.Text != "" {
		return f.Text
	}
	return f.Amount.Show(s).String()
}

// ShowWithRange writes the figure with its interval, if it has one: 64 (48 to 79) lb/ac.
func (f Figure) ShowWithRange(s unit.System) string {
	if f.Text != "" || f.Interval == nil {
		return f.Show(s)
	}
	return unit.ShowRange(f.Amount.Kind, f.Amount.Base, f.Interval.Low, f.Interval.High, s)
}
