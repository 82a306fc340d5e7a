package nitrogen

import (
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
	"culm/season"
)

// Lead picks the answer that a decision follows and says why. Preference names methods in the advisor's
// order and goes first; where none of them can answer, the order Culm ships with decides:
//
//   - wheat for grain: own calibration, in-season 2005, ramp of strips, then the mass balance with the fewest
//     assumed inputs, the price table, in-season 2001, response curves
//   - wheat grazed to the end: the forage the herd eats, then a ramp
//   - canola: the canola table with the fewest assumed inputs, then green area, then response curves
//
// That order is Culm's own: what the crop itself shows stands before what is counted from a yield goal, fewer
// assumptions before more, and of equally many, numbers found in their source before numbers from memory. It
// blends nothing. The reason says where the way picked rests on numbers from memory. The index is −1 when no
// way can answer.
func Lead(answers []Answer, preference []string, crop season.Crop) (index int, reason string) {
	var passed []string
	for _, method := range preference {
		i := slices.IndexFunc(answers, func(a Answer) bool { return a.Method == method })
		switch {
		case i >= 0 && answers[i].Answered:
			return i, "first in the advisor's order" + standing(&answers[i]) + though(passed)
		case i >= 0:
			passed = append(passed, saying(&answers[i]))
		}
	}
	for _, rank := range order(crop) {
		if i := rank.pick(answers); i >= 0 {
			reason = rank.reason
			if rank.family != "" && rank.counts {
				reason += assumedWords(len(answers[i].Assumed))
			}
			return i, reason + standing(&answers[i]) + though(passed)
		}
	}
	return -1, "no way of finding a rate can answer" + though(passed)
}

// rank is a step of an order: a method, or the member of a family that rests on the least guessing.
type rank struct {
	method, family string
	reason         string
	counts         bool // say how many inputs were assumed
}

func order(crop season.Crop) []rank {
	curve := rank{family: FamilyCurve, reason: "only a response curve can answer"}
	switch crop {
	case season.Canola:
		return []rank{
			{family: rulebook.FamilyCanolaTable, reason: "of the canola tables it rests on the fewest assumptions", counts: true},
			{family: rulebook.FamilyGreenArea, reason: "no canola table can answer, and the canopy was weighed"},
			curve,
		}
	case season.WheatGrazeOut:
		return []rank{
			{family: FamilyForage, reason: "the wheat is grazed to the end, and this counts what the herd eats", counts: true},
			{family: rulebook.FamilyRamp, reason: "the crop itself shows on the ramp which rate still helped"},
		}
	default:
		return []rank{
			{method: OwnCalibration, reason: "the advisor's own calibration stands before published ones"},
			{method: InSeason2005, reason: "the crop was compared with a reference by sensor"},
			{method: StripRamp, reason: "the crop itself shows on the ramp which rate still helped"},
			{family: rulebook.FamilyBalance, reason: "no way that looks at the crop can answer; of the mass balances it rests on the fewest assumptions", counts: true},
			{family: rulebook.FamilyPriceTable, reason: "no way that looks at the crop and no mass balance can answer"},
			{family: rulebook.FamilyInSeason, reason: "the crop was compared with a reference by sensor"},
			curve,
		}
	}
}

// pick finds the answer of a rank; of equals the first.
func (r rank) pick(answers []Answer) int {
	best := -1
	for i := range answers {
		a := &answers[i]
		if !a.Answered || r.method != "" && a.Method != r.method || r.family != "" && a.Family != r.family {
			continue
		}
		if best < 0 || a.guessesLess(&answers[best]) {
			best = i
		}
	}
	return best
}

// guessesLess says that an answer has fewer assumed inputs than another, or as many and numbers of better
// standing.
func (a *Answer) guessesLess(b *Answer) bool {
	if len(a.Assumed) != len(b.Assumed) {
		return len(a.Assumed) < len(b.Assumed)
	}
	return !isUnconfirmed(a) && isUnconfirmed(b)
}

// isUnconfirmed says that a way rests on numbers that were not found in a source.
func isUnconfirmed(a *Answer) bool {
	return a.Figure.Status == cite.FromMemory || a.Figure.Status == cite.CommonPractice
}

// standing says where a way rests on numbers that were not found in a source.
func standing(a *Answer) string {
	switch a.Figure.Status {
	case cite.FromMemory:
		return "; it rests on numbers from memory"
	case cite.CommonPractice:
		return "; it rests on numbers of common practice, without a source"
	default:
		return ""
	}
}

// saying joins a way's name with why it cannot answer.
func saying(a *Answer) string {
	if strings.HasPrefix(a.Why, "needs ") || strings.HasPrefix(a.Why, "is not ") {
		return a.Name + " " + a.Why
	}
	return a.Name + ": " + a.Why
}

func assumedWords(n int) string {
	switch n {
	case 0:
		return " (no input assumed)"
	case 1:
		return " (one input assumed)"
	default:
		return " (" + strconv.Itoa(n) + " inputs assumed)"
	}
}

func though(passed []string) string {
	if len(passed) == 0 {
		return ""
	}
	return "; passed over: " + strings.Join(passed, "; ")
}
