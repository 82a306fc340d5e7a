package need

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Order sorts findings by strength, then by day, the latest first; findings alike in both keep an order of
// their own that does not depend on how they came in. Findings without a reference come last. The list
// handed in is left as it is.
func Order(findings []Finding) []Finding {
	sorted := slices.Clone(findings)
	slices.SortStableFunc(sorted, func(a, b Finding) int {
		return cmp.Or(
			b.Strength.rank()-a.Strength.rank(),
			b.Day.Sub(a.Day),
			cmp.Compare(b.Pairs, a.Pairs),
			strings.Compare(a.Strip, b.Strip),
			strings.Compare(string(a.Against), string(b.Against)),
			strings.Compare(a.Observer, b.Observer),
		)
	})
	return sorted
}

// Strongest gives the finding that decides: the first in Order. Findings are never averaged. One that says
// the opposite (response seen against none seen) is named in a warning, unless it is an earlier look at the
// same reference: a response that comes or goes with time is no conflict. Without any finding the verdict is
// NoReference.
func Strongest(findings []Finding) Finding {
	if len(findings) == 0 {
		return Finding{Verdict: NoReference, Why: "no reference was read"}
	}
	sorted := Order(findings)
	first := sorted[0]
	first.Warnings = slices.Clone(first.Warnings)
	for _, other := range sorted[1:] {
		if opposite(first.Verdict, other.Verdict) && !outdated(other, first) {
			first.Warnings = append(first.Warnings, fmt.Sprintf(
				"Conflict: %s says %q, %s says %q. The stronger evidence decides; walk both before spreading.",
				label(first), first.Verdict, label(other), other.Verdict))
		}
	}
	return first
}

func opposite(a, b Verdict) bool {
	return a == ResponseSeen && b == NoResponse || a == NoResponse && b == ResponseSeen
}

// outdated says that a finding is an earlier look at the same reference by the same means.
func outdated(earlier, later Finding) bool {
	return earlier.Strip == later.Strip && earlier.Against == later.Against && earlier.Means == later.Means &&
		earlier.Day.Before(later.Day)
}

// label names a finding in a warning.
func label(f Finding) string {
	name := string(f.Against)
	if !strings.Contains(strings.ToLower(f.Strip), name) {
		name += " " + f.Strip
	} else {
		name = f.Strip
	}
	return fmt.Sprintf("%s on %s (%s evidence)", name, f.Day.Short(), f.Strength)
}
