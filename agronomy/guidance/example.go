package guidance

// Example is a worked example: inputs and the answer that must come out. It is run whenever the book is read.
type Example struct {
	Name   string
	Given  []Given
	Answer Printed
	// Silent is set where the rule must give no answer; the reason must contain this text.
	Silent string
	Rating string
	Steps  []StepValue
	// Within is how far the printed answer may be off beyond its last digit, with the reason.
	Within  float64
	Because string
	Standing
	Line int
}

// Given is one input of an example in the rule's own unit.
type Given struct {
	Name  What
	Value float64
	Word  string
}

// StepValue is a number on the way, in the unit of the step.
type StepValue struct {
	Key   string
	Value Printed
}

// Printed is a number as it was printed; its digits say how closely it can be met.
type Printed struct {
	Value    float64
	Decimals int
}
