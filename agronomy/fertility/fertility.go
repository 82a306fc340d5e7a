// Package fertility joins a field's soil tests with regional guidance into a plan for lime, phosphate, potash,
// sulfur, chloride and trace elements: what is short, how much of what, when it can still help, what it costs
// and what it must bring, and what limits first.
//
// The numbers are the rulebooks'. What this package adds is the trade's order of questions: a nutrient is
// looked at by every book that speaks of it, side by side and never blended; one of them leads; and where all
// are silent the plan says so and why. Nothing is carried over to a method, depth or crop that a book does not
// name.
package fertility

import (
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Question is what is known of a field, or of a part of it that was sampled apart.
type Question struct {
	Crop    season.Crop
	Tillage season.Tillage
	Texture season.Texture
	// Samples are the laboratory's rows that speak for the ground in question.
	Samples []*season.Soil
	// Facts are what else the books may ask for: yield goal, previous crop. Samples and depth of liming are
	// put in here.
	Facts *rulebook.Facts
	Rules []*rulebook.Rule
	// Prefer are keys of the books that lead, in order.
	Prefer []string
	// Prices are per kg of product, by the key of the carrier or product; Nitrogen is what a kg of N costs
	// otherwise, Grain what a kg of the crop brings.
	Prices   map[string]working.Fact[unit.PricePerMass]
	Nitrogen working.Fact[unit.PricePerMass]
	Grain    working.Fact[unit.PricePerMass]
	// LimeScore is the effective share of the lime at hand.
	LimeScore working.Fact[unit.Fraction]
	// Spread is what was spread this season, with all that it brought.
	Spread []Spreading
	// Today is the day of the question; old samples are doubted by it.
	Today calendar.Day
}

// Spreading is something spread on the ground.
type Spreading struct {
	Day    calendar.Day
	Brings map[fertilizer.Nutrient]unit.Rate
}

// Need is what one nutrient, or the soil's reaction, asks for.
type Need struct {
	Answer rulebook.Answer
	Name   string // "phosphate"
	// Tests are the laboratory's numbers it is judged by, with the critical level where one is known.
	Tests []Test
	// Ways are the books' answers, in order of their books; Lead is the index of the one followed, −1 when
	// none can answer.
	Ways []rulebook.Worked
	Lead int
	// LeadWhy says why that one.
	LeadWhy  string
	Standing Standing
	// Why says, in a sentence, what the standing rests on.
	Why string
	// Rate is what is still to be spread: what the way followed asks for, less Spread. It counts the nutrient as its
	// label does, or pure lime.
	Rate unit.Rate
	// Spread was spread since the ground was sampled, or this season where no test is gone by.
	Spread unit.Rate
	// When says in which window it can help the crop.
	When Window
	// Doses are what to spread of which product, in order of price; empty where nothing is needed.
	Doses []Dose
	// Removed is what the harvest at the yield goal carries off: what the next season starts without.
	Removed working.Fact[unit.Rate]
	// BuildUp is what would raise the soil test to the level its book wants, over several years.
	BuildUp rulebook.Worked
	Notes   []string
	// Doubts are what a reader must know before acting.
	Doubts []string
	// rank orders needs: what limits most, first.
	rank rank
}

// Plan looks at every nutrient that some book speaks of and puts what limits most first.
func Plan(q Question) []Need {
	liming := q.gather()
	var needs []Need
	for _, n := range nutrients() {
		if ways := append(q.ask(n.answer), q.judge(n)...); len(ways) > 0 {
			needs = append(needs, q.need(n, ways, &liming))
		}
	}
	slices.SortStableFunc(needs, func(a, b Need) int { return a.rank.compare(b.rank) })
	return needs
}

// FactsFor gives what the books are asked with, so that one rule can be worked out by itself. The facts belong to
// the caller.
func FactsFor(q Question) *rulebook.Facts {
	q.gather()
	return q.Facts
}

// gather puts the samples, and what the books say of liming, among facts of the question's own.
func (q *Question) gather() liming {
	facts := q.Facts.Clone()
	facts.Crop = q.Crop
	for _, s := range q.Samples {
		facts.Sample(s)
	}
	q.Facts = facts
	return q.askLiming()
}

// ask puts the question to every rule on a nutrient that is for the crop, or says why it is not.
func (q *Question) ask(a rulebook.Answer) []rulebook.Worked {
	var ways []rulebook.Worked
	for _, r := range q.Rules {
		if r.Answers != a {
			continue
		}
		if why, refuses := r.Refuses[q.Crop]; refuses {
			ways = append(ways, rulebook.Worked{Rule: r, Why: why})
		} else if r.For(q.Crop) {
			ways = append(ways, r.Work(q.Facts))
		}
	}
	return ways
}

// judge asks the rules that give no rate for a trace element but call its test low or not.
func (q *Question) judge(n nutrient) []rulebook.Worked {
	var ways []rulebook.Worked
	for _, r := range q.Rules {
		if r.Answers == rulebook.Index && r.Rating != nil && n.judgedBy != "" && r.Slot(n.judgedBy) >= 0 && r.For(q.Crop) {
			ways = append(ways, r.Work(q.Facts))
		}
	}
	return ways
}

func (q *Question) need(n nutrient, ways []rulebook.Worked, l *liming) Need {
	need := Need{Answer: n.answer, Name: n.name, Ways: ways, Tests: q.tests(n), When: n.window}
	need.Lead, need.LeadWhy = q.lead(ways)
	need.Removed, need.BuildUp = q.removed(n), q.buildUp(n)
	need.Spread = q.spreadSince(n, need.Tests)
	need.stand(n, l)
	switch {
	case need.Rate == 0:
	case n.answer == rulebook.Lime:
		need.Doses = []Dose{l.dose(q, need.Rate)}
		need.Why += l.how()
	default:
		q.doses(n, &need)
	}
	need.Notes = append(need.Notes, n.notes(q.Crop)...)
	need.Doubts = append(need.Doubts, q.age(n, need.Tests)...)
	need.rank = rankOf(&need)
	return need
}

// Leading is the answer followed; false when none can answer.
func (n Need) Leading() (rulebook.Worked, bool) {
	if n.Lead < 0 {
		return rulebook.Worked{}, false
	}
	return n.Ways[n.Lead], true
}
