package formula

// distance counts the letters to change, add or drop between two names; no more than matter for a suggestion.
func distance(a, b string) int {
	if len(a)-len(b) > 2 || len(b)-len(a) > 2 {
		return 3
	}
	previous := make([]int, len(b)+1)
	for j := range previous {
		previous[j] = j
	}
	for i := range len(a) {
		current := make([]int, len(b)+1)
		current[0] = i + 1
		for j := range len(b) {
			change := previous[j]
			if a[i] != b[j] {
				change++
			}
			current[j+1] = min(change, previous[j+1]+1, current[j]+1)
		}
		previous = current
	}
	return previous[len(b)]
}
