package advice

import (
	"fmt"

	"culm/agronomy/crop"
	"culm/agronomy/nitrogen"
	"culm/agronomy/rulebook"
)

// Advisor computes plans by a set of regional guidance. It does not change once made, and may be used from
// several goroutines at once.
type Advisor struct {
	books     []*rulebook.Book
	own       map[string]bool  // keys of books that do not come with Culm
	rules     []*rulebook.Rule // of all books
	nitrogen  []*rulebook.Rule // those for nitrogen, in the order in which they stand side by side
	deadlines []crop.DeadlineRule
}

// NewAdvisor gives an advisor that goes by the guidance shipped with Culm and by books of the advisor's own. A
// book of one's own with the key of a shipped one takes its place. It fails when two of them have one key. Any
// other error means that the program was built with a wrong book, which the tests exclude.
func NewAdvisor(own ...*rulebook.Book) (*Advisor, error) {
	shipped, err := rulebook.Shipped()
	if err != nil {
		return nil, fmt.Errorf("reading the shipped rulebooks: %w", err)
	}
	a := &Advisor{own: map[string]bool{}, deadlines: crop.ShippedRules()}
	at := map[string]int{}
	for _, b := range shipped {
		at[b.Key] = len(a.books)
		a.books = append(a.books, b)
	}
	files := map[string]string{}
	for _, b := range own {
		if first, twice := files[b.Key]; twice {
			return nil, fmt.Errorf("%s: key: the rulebook %s calls itself %q too; expected a key of its own", b.File, first, b.Key)
		}
		files[b.Key] = b.File
		a.own[b.Key] = true
		if i, replaces := at[b.Key]; replaces {
			a.books[i] = b
			continue
		}
		a.books = append(a.books, b)
	}
	for _, b := range a.books {
		a.rules = append(a.rules, b.Rules...)
	}
	a.nitrogen = nitrogen.Rules(a.books)
	return a, nil
}

// Books are the books the advisor goes by, the shipped ones in order of their keys and then those of one's own.
// They are for reading.
func (a *Advisor) Books() []*rulebook.Book { return a.books }
