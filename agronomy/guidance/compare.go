package guidance

import "culm/agronomy/working"

// Difference lays two answers of one unit side by side.
type Difference struct {
	A, B Worked
	// Comparable is false where the two cannot be set against each other; Why says why.
	Comparable bool
	Why        string
	// Whole is B less A in the unit of A; Parts sum to it exactly. Parts are empty where one is not a sum: then
	// the steps of both stand side by side in Beside.
	Whole       float64
	WholeAmount working.Amount
	Unit        string
	Parts       []Share
	Beside      []Beside
}

// Share is what one term makes of a difference.
type Share struct {
	For   What
	Label string
	// InA and InB are the term's values in the unit of A; a term that one rule does not have is 0 there, and
	// OnlyA or OnlyB is set.
	InA, InB     float64
	OnlyA, OnlyB bool
	// Makes is how much of Whole it is.
	Makes   float64
	Assumed bool
}

// Beside is a step of one rule beside that of the other; one of the two may be missing.
type Beside struct {
	Label      string
	InA, InB   Entry
	HasA, HasB bool
}

// Compare takes the difference between two answers apart, term by term.
func Compare(a, b Worked) Difference { return Difference{A: a, B: b} }
