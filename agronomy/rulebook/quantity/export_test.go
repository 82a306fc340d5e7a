package quantity

// Ratio is how much of one substance a mass of another is, as messages tell it.
func Ratio(from, to string) (float64, bool) { return between(from, to) }
