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
// the opposite (response seen against none seen) is named in a warning, and where it is as strong as the
// first, neither decides: the numbers are those of the first, the verdict is ResponseUnsure. An earlier look
// at a reference that was looked at again by the same means does not count against anything: a response that
// comes or goes with time is no conflict. Without any finding the verdict is NoReference.
func Strongest(findings []Finding) Finding {
	if len(findings) == 0 {
		return Finding{Verdict: NoReference, Why: "no reference was read"}
	}
	sorted := Order(findings)
	first := sorted[0]
	first.Warnings = slices.Clone(first.Warnings)
	for i, other := range sorted {
		if !opposite(sorted[0].Verdict, other.Verdict) || outdated(other, sorted[:i]) {
			continue
		}
		first.Warnings = append(first.Warnings, conflict(sorted[0], other))
		if other.Strength == first.Strength {
			first.Verdict, first.Why = ResponseUnsure, alike(first, other)+" disagree"
		}
	}
	return first
}

// conflict says how two findings contradict each other. The first is the stronger, or neither is.
func conflict(first, other Finding) string {
	both := fmt.Sprintf("%s says %q, %s says %q", label(first), first.Verdict, label(other), other.Verdict)
	if other.Strength != first.Strength {
		return "Conflict: " + both + ". The stronger evidence decides; walk both before spreading."
	}
	return "Conflict: " + alike(first, other) + " disagree: " + both + ". Neither decides; walk both before spreading."
}

// alike names two findings that weigh the same.
func alike(a, b Finding) string {
	if sameReference(a, b) {
		return "two looks of the same strength at one reference"
	}
	return "two references of the same strength"
}

func opposite(a, b Verdict) bool {
	return a == ResponseSeen && b == NoResponse || a == NoResponse && b == ResponseSeen
}

func sameReference(a, b Finding) bool { return a.Strip == b.Strip && a.Against == b.Against }

// outdated says that one of the findings no weaker than it is a later look at the same reference by the same
// means.
func outdated(f Finding, noWeaker []Finding) bool {
	return slices.ContainsFunc(noWeaker, func(later Finding) bool {
		return sameReference(f, later) && f.Means == later.Means && f.Day.Before(later.Day)
	})
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
