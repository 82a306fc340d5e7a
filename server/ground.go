package server

import (
	"strings"

	"culm/advice"
	"culm/agronomy/fertility"
	"culm/agronomy/unit"
)

// judged are the nutrients of a part that some book could judge, or that were tested in vain.
func judged(g advice.GroundPlan) []advice.NutrientNeed {
	var found []advice.NutrientNeed
	for _, n := range g.Needs {
		if n.Standing != fertility.Untested {
			found = append(found, n)
		}
	}
	return found
}

// untested names the nutrients that no laboratory number speaks of, in a sentence; empty when there are none.
func untested(g advice.GroundPlan) string {
	var names []string
	for _, n := range g.Needs {
		if n.Standing == fertility.Untested {
			names = append(names, n.Nutrient)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Not tested, so nothing is said of them: " + strings.Join(names, ", ") + "."
}

// partName heads a part of the field.
func partName(g advice.GroundPlan) string {
	if g.Part == "" {
		return "The field"
	}
	return sentenceCase(g.Part)
}

// critical is the level a test is held against; empty where none is known.
func critical(t advice.NutrientTest, s unit.System) string {
	if t.Critical == nil {
		return ""
	}
	return "critical " + t.Critical.Show(s).String()
}

// standingWord says how a nutrient stands.
func standingWord(s fertility.Standing) string {
	switch s {
	case fertility.Short:
		return "Short"
	case fertility.Spare:
		return "Some asked for"
	case fertility.Enough:
		return "Enough"
	case fertility.Silent:
		return "No book speaks"
	default:
		return "Not tested"
	}
}

// split says that a dose comes in portions.
func split(d advice.NutrientDose) string {
	if d.Portions < 2 {
		return ""
	}
	return "in " + number(d.Portions) + " yearly portions"
}
