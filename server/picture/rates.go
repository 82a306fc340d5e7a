package picture

// Estimate is a number with the range it may have, in the base unit of its axis.
type Estimate struct {
	Value, Low, High float64
	Ranged           bool // Low and High are known
	Lead             bool // the one that the decision follows
}
