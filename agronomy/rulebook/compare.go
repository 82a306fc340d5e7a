package rulebook

import (
	"fmt"
	"slices"

	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Difference lays two answers side by side.
type Difference struct {
	A, B Worked
	// Comparable is false where the two cannot be set against each other; Why says why.
	Comparable bool
	Why        string
	// Whole is B less A in the unit of A.
	Whole       float64
	WholeAmount working.Amount
	Unit        string
	// Parts split Whole exactly, the largest first: one for each thing that a term of either stands for, and for
	// what floors, caps and rounding make. Empty where one of the two is not a sum: NotSum then names it, and the
	// steps of both stand side by side in Beside.
	Parts  []Share
	NotSum string
	Beside []Beside
}

// Share is what one thing makes of a difference.
type Share struct {
	// For is empty for the bounds and rounding.
	For   What
	Label string
	// InA and InB are its terms in the unit of A; what one rule does not count is 0 there, and OnlyA or OnlyB is
	// set.
	InA, InB     float64
	OnlyA, OnlyB bool
	// Makes is InB less InA, Amount the same as a typed amount.
	Makes  float64
	Amount working.Amount
	// Assumed: one of the two rests on an input that nobody observed.
	Assumed bool
}

// Beside is a number of one rule beside that of the other; one of the two may be missing.
type Beside struct {
	Label      string
	InA, InB   Entry
	HasA, HasB bool
}

// Compare takes the difference between two answers apart, term by term. Both should be worked out on the same
// facts.
func Compare(a, b Worked) Difference {
	d := Difference{A: a, B: b}
	convert, err := quantity.Between(b.Rule.Unit, a.Rule.Unit, 0)
	switch {
	case a.Why != "":
		d.Why = a.Rule.Name + " " + a.Why
		return d
	case b.Why != "":
		d.Why = b.Rule.Name + " " + b.Why
		return d
	case err != nil:
		d.Why = fmt.Sprintf("%s answers in %s and %s in %s", a.Rule.Name, a.Rule.Unit, b.Rule.Name, b.Rule.Unit)
		return d
	}
	d.Comparable = true
	d.Unit = a.Rule.Unit.String()
	d.Whole = convert.Of(b.Value) - a.Value
	d.WholeAmount = d.amount(d.Whole)
	if len(a.Terms) == 0 || len(b.Terms) == 0 {
		d.NotSum = a.Rule.Name
		if len(a.Terms) > 0 {
			d.NotSum = b.Rule.Name
		}
		d.besides()
		return d
	}
	d.split(convert)
	return d
}

// amount gives a number in the unit of A as a typed amount.
func (d *Difference) amount(v float64) working.Amount {
	x := explainer{r: d.A.Rule}
	if d.A.Amount.Kind == "" {
		return working.Amount{}
	}
	x.bushel = bushelOfKind(d.A.Amount.Kind)
	return x.amount(v, d.A.Rule.Unit, "")
}

func bushelOfKind(k unit.Kind) quantity.Bushel {
	switch k {
	case unit.KindWheatYield, unit.KindPerWheat, unit.KindWheatPrice:
		return quantity.WheatBushel
	case unit.KindCanolaYield, unit.KindPerCanola, unit.KindCanolaPrice:
		return quantity.CanolaBushel
	default:
		return 0
	}
}

// split sets the terms of the two sums against each other.
func (d *Difference) split(convert quantity.Conversion) {
	at := func(w What, label string) *Share {
		i := slices.IndexFunc(d.Parts, func(s Share) bool { return s.For == w })
		if i < 0 {
			i = len(d.Parts)
			d.Parts = append(d.Parts, Share{For: w, Label: label, OnlyA: true, OnlyB: true})
		}
		return &d.Parts[i]
	}
	for _, t := range d.A.Terms {
		s := at(t.For, t.Label)
		s.InA, s.OnlyB, s.Assumed = s.InA+t.Value, false, s.Assumed || t.Assumed
	}
	for _, t := range d.B.Terms {
		s := at(t.For, t.Label)
		s.InB, s.OnlyA, s.Assumed = s.InB+convert.Of(t.Value), false, s.Assumed || t.Assumed
	}
	boundA, boundB := d.A.Rule.bounded(d.A.Exact)-d.A.Exact, convert.Of(d.B.Rule.bounded(d.B.Exact)-d.B.Exact)
	roundA := d.A.Value - d.A.Rule.bounded(d.A.Exact)
	roundB := convert.Of(d.B.Value - d.B.Rule.bounded(d.B.Exact))
	for _, s := range []Share{
		{Label: "held at a lowest or highest answer", InA: boundA, InB: boundB},
		{Label: "rounding", InA: roundA, InB: roundB},
	} {
		if s.InA != 0 || s.InB != 0 {
			d.Parts = append(d.Parts, s)
		}
	}
	for i := range d.Parts {
		s := &d.Parts[i]
		s.Makes = s.InB - s.InA
		s.Amount = d.amount(s.Makes)
	}
	slices.SortStableFunc(d.Parts, func(p, q Share) int {
		switch {
		case abs(p.Makes) > abs(q.Makes):
			return -1
		case abs(p.Makes) < abs(q.Makes):
			return 1
		default:
			return 0
		}
	})
}

func abs(v float64) float64 { return max(v, -v) }

// besides lays inputs and steps beside each other by name.
func (d *Difference) besides() {
	for _, list := range [][2][]Entry{{d.A.Inputs, d.B.Inputs}, {d.A.Steps, d.B.Steps}} {
		for _, e := range list[0] {
			d.Beside = append(d.Beside, Beside{Label: e.Label, InA: e, HasA: true})
		}
		for _, e := range list[1] {
			i := slices.IndexFunc(d.Beside, func(b Beside) bool { return b.HasA && b.InA.Name == e.Name && !b.HasB })
			if i < 0 {
				d.Beside = append(d.Beside, Beside{Label: e.Label, InB: e, HasB: true})
				continue
			}
			d.Beside[i].InB, d.Beside[i].HasB = e, true
		}
	}
}
