// Package cite is the catalogue of the publications that Culm's numbers come from. Formulas name a Key;
// every page that shows a number can show the full reference and whether the number was confirmed in it.
package cite

// Key names a publication in the catalogue.
type Key string

// Status says how far a published number was confirmed.
type Status string

// The statuses, from the strongest to the weakest.
const (
	// Confirmed: read in the publication or in a stored copy of it.
	Confirmed Status = "confirmed in the source"
	// Quoted: read in a second publication that quotes the first.
	Quoted Status = "quoted by another source"
	// Derived: arithmetic of ours on confirmed facts.
	Derived Status = "derived from confirmed facts"
	// FromMemory: recalled and not yet confirmed; to be checked before anyone relies on it.
	FromMemory Status = "from memory"
	// CommonPractice: a habit of the trade that no publication was found for.
	CommonPractice Status = "common practice, no source"
)

// Source is a full reference.
type Source struct {
	Key   Key    `json:"key"`
	Text  string `json:"text"`            // authors, year, title, where it appeared
	Where string `json:"where,omitempty"` // DOI or address
	// Status is that of the numbers taken from it; a formula may state a weaker one of its own.
	Status Status `json:"status"`
}

// Find looks a publication up.
func Find(k Key) (Source, bool) {
	for _, list := range catalogue() {
		for _, s := range list {
			if s.Key == k {
				return s, true
			}
		}
	}
	return Source{}, false
}

// All lists the catalogue: nitrogen, then product, placement and timing, then machines, then the ground, then soil tests and practice.
func All() []Source {
	var all []Source
	for _, list := range catalogue() {
		all = append(all, list...)
	}
	return all
}

func catalogue() [5][]Source {
	return [5][]Source{nitrogenSources(), timingSources(), equipmentSources(), groundSources(), practiceSources()}
}
