package advice

import (
	"fmt"

	"culm/agronomy/crop"
	"culm/agronomy/guidance"
	"culm/agronomy/rulebook"
)

// Advisor computes plans by a set of regional guidance. It does not change once made, and may be used from
// several goroutines at once.
type Advisor struct {
	books     []rulebook.Book
	rules     []*guidance.Rule
	deadlines []crop.DeadlineRule
}

// NewAdvisor gives an advisor that goes by the guidance shipped with Culm. An error means that the program
// was built with a wrong book, which the tests exclude.
func NewAdvisor() (*Advisor, error) {
	books, err := rulebook.Shipped()
	if err != nil {
		return nil, fmt.Errorf("reading the shipped rulebooks: %w", err)
	}
	guides, err := guidance.Shipped()
	if err != nil {
		return nil, fmt.Errorf("reading the shipped rulebooks: %w", err)
	}
	a := &Advisor{books: books, deadlines: crop.ShippedRules()}
	for _, b := range guides {
		a.rules = append(a.rules, b.Rules...)
	}
	return a, nil
}
