package fertility

import (
	"fmt"
	"strconv"

	"culm/agronomy/fertilizer"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// liming is what the books say of lime before any rate: the pH to lime to, the depth it acts in, and the most
// that is left on the surface at once. Each is the zero Worked, with Why set, where no book says.
type liming struct {
	target, depth, most rulebook.Worked
}

// askLiming finds them and puts target and depth among the facts, for the books that reckon with them.
func (q *Question) askLiming() liming {
	l := liming{target: q.follow(rulebook.LimeTarget), depth: q.follow(rulebook.DepthOfLime), most: q.follow(rulebook.LimeMost)}
	if l.target.Why == "" {
		q.Facts.Follow(rulebook.TargetPH, l.target)
	}
	if l.depth.Why == "" {
		q.Facts.Follow(rulebook.LimeDepth, l.depth)
	}
	return l
}

// follow is the answer that leads among the rules on one question.
func (q *Question) follow(a rulebook.Answer) rulebook.Worked {
	ways := q.ask(a)
	if i, _ := q.lead(ways); i >= 0 {
		return ways[i]
	}
	return rulebook.Worked{Why: "no book says"}
}

// sound says that the soil is not too acid for the crop, whatever a buffer would ask for: a lime requirement is
// the way to a target, not the reason to go there. Where pH is low and aluminium was found to be low too, wheat
// does not suffer yet.
func (l *liming) sound(tests []Test) (bool, string) {
	if l.target.Why != "" || len(tests) == 0 || tests[0].Analyte != season.PH {
		return false, ""
	}
	ph := tests[0].Result.Value
	if ph >= l.target.Value {
		return true, fmt.Sprintf("pH %.1f is not below %.1f, what %s asks for", ph, l.target.Value, l.target.Rule.Name)
	}
	for _, t := range tests {
		if t.Analyte == season.Aluminium && t.HasCritical && !t.Critical.Short(t.Result.Value) {
			return true, fmt.Sprintf("pH %.1f is low, but aluminium is at %.0f ppm and harms only above %.0f: lime can wait, and the ground is worth testing again", ph, t.Result.Value, t.Critical.Level)
		}
	}
	return false, ""
}

// how says what a rate of lime is reckoned to.
func (l *liming) how() string {
	how := ""
	if l.target.Why == "" {
		how += fmt.Sprintf("; to pH %.1f (%s)", l.target.Value, l.target.Status)
	}
	if l.depth.Why == "" {
		how += fmt.Sprintf("; for the %.3g %s that lime acts in", l.depth.Value, l.depth.Rule.Unit)
	}
	return how
}

// dose turns pure lime into the lime at hand, and splits what is more than the surface of no-till ground takes.
func (l *liming) dose(q *Question, pure unit.Rate) Dose {
	d := Dose{Key: fertilizer.LimeKey, Name: "agricultural lime", Product: pure, Portions: 1}
	if q.LimeScore.Known() {
		d.Product = pure / unit.Rate(q.LimeScore.Value)
	} else {
		d.Name = "pure, fine lime"
		d.Notes = append(d.Notes, "Counted as pure, fine lime: the effective score of the lime at hand is not known, and any lime takes more of it than this. Set lime-score to what its laboratory found.")
	}
	if most := l.most.Rate(); q.Tillage == season.NoTill && most > 0 && d.Product > most {
		for d.Product/unit.Rate(d.Portions) > most {
			d.Portions++
		}
		d.Notes = append(d.Notes, "No-till: more than lies on the surface at once ("+l.most.Rule.Name+"), so it is split into "+strconv.Itoa(d.Portions)+" yearly portions, with a shallow sample in between.")
	}
	if price := q.Prices[fertilizer.LimeKey]; price.Known() {
		d.Cost = working.Fact[unit.MoneyPerArea]{Value: unit.MoneyPerArea(float64(d.Product) * float64(price.Value)), Origin: working.Origin{Kind: working.Computed, With: "the price of lime"}}
	}
	d.breakEven(q.Grain)
	return d
}
