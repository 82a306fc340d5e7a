package nitrogen

import "culm/agronomy/rulebook"

// FactsFor puts the evidence as one rule is asked it, less the nitrogen already applied that the rule has to
// subtract. The facts belong to the caller.
func FactsFor(e Evidence, r *rulebook.Rule) *rulebook.Facts {
	q := e.question()
	credit := q.appliedFor(r)
	credit.putApplied(q.facts)
	return q.facts
}
