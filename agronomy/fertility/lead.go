package fertility

import (
	"cmp"
	"slices"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
)

// lead picks the answer to follow and says why: the first of the preferred books that can answer; else the one
// written for this crop before one for crops in general, then with the fewest assumed inputs, then with the
// numbers of best standing, then in order of the books; a book that only judges the test comes last. It blends
// nothing.
func (q *Question) lead(ways []rulebook.Worked) (int, string) {
	for _, key := range q.Prefer {
		for i, w := range ways {
			if w.Why == "" && (w.Rule.Book.Key == key || w.Rule.ID() == key) {
				return i, "the first of the season's books that can answer" + standing(w)
			}
		}
	}
	best := -1
	for i, w := range ways {
		if w.Why == "" && (best < 0 || compare(w, ways[best]) < 0) {
			best = i
		}
	}
	if best < 0 {
		return -1, ""
	}
	why := "the only book that can answer"
	if slices.ContainsFunc(ways, func(w rulebook.Worked) bool { return w.Why == "" && w.Rule != ways[best].Rule }) {
		why = "of the books that can answer, the one that is for this crop and rests on the least guessing; name books in the season's settings to choose another"
	}
	return best, why + standing(ways[best])
}

func compare(a, b rulebook.Worked) int {
	judges := func(w rulebook.Worked) int {
		if w.Rule.Answers == rulebook.Index {
			return 1
		}
		return 0
	}
	general := func(w rulebook.Worked) int {
		if len(w.Rule.Crops) == 0 {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(judges(a), judges(b)), cmp.Compare(general(a), general(b)), cmp.Compare(len(a.Assumed), len(b.Assumed)), cmp.Compare(strength(a.Status), strength(b.Status)))
}

// strength orders standings from the best.
func strength(s cite.Status) int {
	return slices.Index([]cite.Status{cite.Confirmed, cite.Quoted, cite.Derived, cite.FromMemory, cite.CommonPractice}, s)
}

func standing(w rulebook.Worked) string {
	switch w.Status {
	case cite.FromMemory:
		return "; it rests on numbers from memory"
	case cite.CommonPractice:
		return "; it rests on numbers of common practice, without a source"
	default:
		return ""
	}
}
