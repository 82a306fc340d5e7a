package fertility

import (
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/rulebook"
)

// Standing says how a nutrient stands.
type Standing string

// The standings.
const (
	// Short: the test is below the level where the crop begins to be limited, or, where no such level is known, a
	// book that looks at the test asks for some.
	Short Standing = "short"
	// Spare: a book asks for some, though the test is not below that level, or the book does not look at the soil.
	Spare Standing = "spare"
	// Low: the test of a trace element is low, and no book prints a rate.
	Low Standing = "low"
	// Enough: a book answers and asks for none.
	Enough Standing = "enough"
	// Silent: tested, and neither a book nor a critical level can judge it.
	Silent Standing = "silent"
	// Untested: no laboratory number that anything could go by.
	Untested Standing = "untested"
)

// stand finds how the nutrient stands: by its test against the critical level first, because that needs no yield
// goal and no price, and by the book that leads for the rate.
func (n *Need) stand(of nutrient, l *liming) {
	sound, why := false, ""
	if of.answer == rulebook.Lime {
		n.Notes = append(n.Notes, l.target.Notes...)
		sound, why = l.sound(n.Tests)
	}
	limited, below := n.limited()
	switch {
	case sound:
		n.Standing, n.Why, n.Lead, n.LeadWhy = Enough, why, -1, ""
	case n.Lead >= 0:
		n.answered(of, limited, below)
	case limited && of.judgedBy != "":
		n.Standing, n.Why = Low, below+"; no book prints a rate"
	case limited:
		n.Standing, n.Why = Short, below+"; no rate, because "+silence(n.Ways)
	case below != "":
		n.Standing, n.Why = Enough, below
	case len(n.Tests) == 0:
		n.Standing, n.Why = Untested, "no laboratory number for it is at hand"
	default:
		n.Standing, n.Why = Silent, silence(n.Ways)
	}
}

// limited says that a test is on the wrong side of its critical level, and puts the comparison into words; empty
// where no test can be held against a level.
func (n *Need) limited() (bool, string) {
	t, ok := n.held()
	if !ok {
		return false, ""
	}
	side := "not below"
	if t.Critical.Short(t.Result.Value) {
		side = "below"
	}
	return side == "below", fmt.Sprintf("%.4g is %s %.4g, where the crop begins to be limited", t.Result.Value, side, t.Critical.Level)
}

// held is the first test that can be held against a critical level that is a least.
func (n *Need) held() (Test, bool) {
	for _, t := range n.Tests {
		if t.HasCritical && t.Critical.Level > 0 && !t.Critical.Harmful {
			return t, true
		}
	}
	return Test{}, false
}

// answered takes the word of the way that leads.
func (n *Need) answered(of nutrient, limited bool, below string) {
	w := n.Ways[n.Lead]
	if w.Rule.Answers == rulebook.Index {
		n.judged(w, limited)
		return
	}
	asked := w.Rate()
	n.Rate = max(0, asked-n.Spread)
	switch {
	case asked == 0 && limited:
		n.Standing, n.Why = Short, below+", yet "+w.Rule.Name+" asks for none"
	case asked == 0:
		n.Standing, n.Why = Enough, "the soil supplies enough by "+w.Rule.Name
	case n.Rate == 0:
		n.Standing, n.Why = Enough, "what was spread already covers what "+w.Rule.Name+" asks for"
	case limited:
		n.Standing, n.Why = Short, below+"; asked for by "+w.Rule.Name
	case below != "":
		n.Standing, n.Why = Spare, below+", but "+w.Rule.Name+" asks for some"
	case !of.looksAtSoil(w.Rule):
		n.Standing, n.Why = Spare, w.Rule.Name+" asks for it without looking at the soil"
	default:
		n.Standing, n.Why = Short, "asked for by "+w.Rule.Name
	}
	if w.Rating != "" {
		n.Why += ", which calls the test " + w.Rating
	}
}

// judged takes the word of a book that calls a test low or not and prints no rate.
func (n *Need) judged(w rulebook.Worked, limited bool) {
	n.Standing, n.Why = Enough, "called "+w.Rating+" by "+w.Rule.Name
	if limited || w.Rating == w.Rule.Rating.Of[0].Word {
		n.Standing, n.Why = Low, n.Why+", which prints no rate"
	}
}

// looksAtSoil says that a rule goes by a laboratory's number for the nutrient.
func (n nutrient) looksAtSoil(r *rulebook.Rule) bool {
	return slices.ContainsFunc(r.Inputs, func(in rulebook.Input) bool { return in.Soil != nil && in.Name == n.test })
}

// silence gathers why no book answers, each reason once.
func silence(ways []rulebook.Worked) string {
	var said, all []string
	for _, w := range ways {
		if !slices.Contains(said, w.Why) {
			said = append(said, w.Why)
			all = append(all, w.Rule.Name+" "+w.Why)
		}
	}
	return strings.Join(all, "; ")
}
