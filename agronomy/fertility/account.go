package fertility

import (
	"fmt"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// removed is what the harvest at the yield goal carries off, by the first book on removal that can answer.
func (q *Question) removed(n nutrient) working.Fact[unit.Rate] {
	w := q.firstOf(rulebook.Removal, n)
	if w.Rule == nil {
		return working.Fact[unit.Rate]{}
	}
	return working.Fact[unit.Rate]{Value: w.Rate(), Origin: working.Origin{Kind: working.Rulebook, Source: w.Rule.Source, With: w.Rule.Name}}
}

// buildUp is what would raise the soil test, by the first book that can answer; the zero Worked where none can or
// nothing is asked for.
func (q *Question) buildUp(n nutrient) rulebook.Worked {
	if w := q.firstOf(rulebook.BuildUp, n); w.Rule != nil && w.Rate() > 0 {
		return w
	}
	return rulebook.Worked{}
}

// firstOf is the first answer to a question that is counted in a nutrient; its Rule is nil where there is none.
func (q *Question) firstOf(a rulebook.Answer, n nutrient) rulebook.Worked {
	if n.carries == "" {
		return rulebook.Worked{}
	}
	for _, w := range q.ask(a) {
		if w.Why == "" && strings.Contains(w.Rule.Unit.String(), " "+string(n.carries)+"/") {
			return w
		}
	}
	return rulebook.Worked{}
}

// spreadSince is how much of a nutrient was spread since its test was drawn, or this season without one: the test
// has seen what was spread before it.
func (q *Question) spreadSince(n nutrient, tests []Test) unit.Rate {
	var drawn calendar.Day
	if len(tests) > 0 {
		drawn = tests[0].Sample.Day
	}
	total := unit.Rate(0)
	for _, s := range q.Spread {
		if n.carries != "" && (drawn.IsZero() || s.Day.After(drawn)) {
			total += s.Brings[n.carries]
		}
	}
	return total
}

// Ages beyond which a test is doubted: what moves in soil is tested for the season, the rest every three to four
// years. Common practice, no source.
const (
	mobileDays   = 365
	immobileDays = 4 * 365
)

// age doubts tests that are old.
func (q *Question) age(n nutrient, tests []Test) []string {
	if len(tests) == 0 || q.Today.IsZero() {
		return nil
	}
	drawn, most := tests[0].Sample.Day, immobileDays
	if n.mobile {
		most = mobileDays
	}
	if old := q.Today.Sub(drawn); old > most {
		return []string{fmt.Sprintf("The test is of %s, %.1f years ago: sample again before acting on it (common practice, no source).", drawn.Spoken(), float64(old)/365)}
	}
	return nil
}
