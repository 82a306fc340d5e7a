package nitrogen

import (
	"cmp"
	"slices"

	"culm/agronomy/rulebook"
)

// Rules picks the rules of books that answer nitrogen, in the order in which their answers stand side by side:
// by family, what the crop itself shows first; within a family an advisor's own books before those that come
// with Culm.
func Rules(books []*rulebook.Book) []*rulebook.Rule {
	rules := rulebook.Answering(books, rulebook.Nitrogen, "")
	shipped := shippedOrder()
	at := func(r *rulebook.Rule) int { return slices.Index(shipped, r.Method()) }
	slices.SortStableFunc(rules, func(a, b *rulebook.Rule) int {
		return cmp.Or(slices.Index(families(), a.Family)-slices.Index(families(), b.Family), at(a)-at(b), cmp.Compare(a.ID(), b.ID()))
	})
	return rules
}

func families() []string {
	return []string{
		rulebook.FamilyInSeason, rulebook.FamilyRamp, rulebook.FamilyBalance, rulebook.FamilyPriceTable, rulebook.FamilyCanolaTable, rulebook.FamilyGreenArea,
	}
}

// shippedOrder is that of the books that come with Culm, where the family alone does not say: the newer of two
// in-season forms first, and of the canola tables the one for winter canola.
func shippedOrder() []string {
	return []string{
		"in-season-2005", "in-season-2001", "strip-ramp", "kansas-2003", "minnesota", "montana", "ohio-974", "washington-eb1987",
		"nebraska-ec143", "canola-plains", "canola-montana", "canola-green-area",
	}
}
