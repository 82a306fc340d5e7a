package ammonia

import (
	"fmt"

	"culm/agronomy/unit"
)

// reason is what decided a loss.
type reason uint8

const (
	becauseDry      reason = iota // no rain carries it in
	becauseRain                   // a rain does
	becauseSnow                   // spread on snow
	becauseNotUrea                // no urea in it
	becauseSulfate                // ammonium sulfate, pH at most 7.5 or assumed so
	becauseAlkaline               // ammonium sulfate, pH above 7.5
	becauseNitrate                // ammonium nitrate
	becauseCourses                // several courses of weather
)

// Why says in a few words, in the reader's units, what decided the loss: "0.60 in of rain the day after
// carries it in".
func (r Result) Why(s unit.System) string {
	switch r.reason {
	case becauseRain:
		return r.Rain.words(r.urea, s)
	case becauseSnow:
		if r.inhibited {
			return "spread on snow, where trials lost 9 to 10 % of urea with an inhibitor"
		}
		return "spread on snow, where trials lost 20 to 25 % of urea"
	case becauseNotUrea:
		return "none of its nitrogen is urea"
	case becauseSulfate:
		return "ammonium sulfate is lost only from soils above pH 7.5"
	case becauseAlkaline:
		return "soil pH is above 7.5, where ammonium sulfate is lost too"
	case becauseNitrate:
		return "ammonium nitrate loses little as ammonia"
	case becauseCourses:
		return fmt.Sprintf("in %d of %d courses that the weather may take, rain carries most of it in", r.carried, r.courses)
	default:
		return r.dryWords(s)
	}
}

func (r Result) dryWords(s unit.System) string {
	until, told := r.End, "comes by "
	if !r.AssumedFrom.IsZero() {
		until, told = r.AssumedFrom.Add(-1), "is in sight by "
	}
	if until.Before(r.spread) {
		return "no weather is known for the days after"
	}
	rain := unit.Show(unit.KindWater, float64(LeastRain), s).String()
	return "no day with " + rain + " of rain " + told + until.Short() + r.ground()
}

func (r Result) ground() string {
	switch r.Surface {
	case Moist:
		return ", and the ground is moist"
	case DryGround:
		return ", but the ground is dry"
	default:
		return ""
	}
}

// words says what a rain does to the urea of a product.
func (e Rain) words(urea unit.Fraction, s unit.System) string {
	amount := unit.Show(unit.KindWater, float64(e.Amount), s).String() + " of rain " + afterWords(e.After)
	done := e.Washed / (urea * e.Chance) // of the urea spread, if the rain comes
	sure := e.Chance >= 1
	if !sure {
		amount = fmt.Sprintf("%.0f %% chance of %s", 100*float64(e.Chance), amount)
	}
	const most, some = 2.0 / 3, 0.4
	switch {
	case done >= most:
		return amount + choose(sure, " carries it in", ", which would carry it in")
	case done >= some:
		return amount + choose(sure, " carries part of it in", ", which would carry part of it in")
	default:
		return amount + choose(sure, " comes too late for most of it", ", too late for most of it")
	}
}

func choose(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

func afterWords(days int) string {
	switch days {
	case 0:
		return "the same day"
	case 1:
		return "the day after"
	default:
		return fmt.Sprintf("%d days after", days)
	}
}
