package nitrogen

import (
	"slices"
	"strconv"

	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// fewestStrips is how many strips make a ramp: the first has none before it to look better than.
const fewestStrips = 2

// lastRate reads a row of strips with stepped nitrogen: the highest rate whose strip still looked better than
// the one before it, 0 when none did. Why says why a ramp cannot be read; a ramp that nobody looked at gives a
// missing rate.
func lastRate(r *season.Ramp) (rate working.Fact[unit.Rate], notes []string, why string) {
	if r == nil || len(r.Steps) == 0 {
		return rate, nil, ""
	}
	steps := strips(r)
	if len(steps) < fewestStrips {
		return rate, nil, "needs a ramp of at least " + strconv.Itoa(fewestStrips) + " strips"
	}
	last := -1
	for i, s := range steps {
		if !(s.Rate >= 0 && s.Rate < 1e5) || i > 0 && s.Rate <= steps[i-1].Rate {
			return rate, nil, "needs strips whose rates rise from one to the next"
		}
		if i > 0 && s.Better {
			last = i
		}
	}
	rate.Origin = working.Origin{Kind: working.Observed, By: r.Observer, On: r.Day, With: "ramp of strips"}
	if last < 0 {
		return rate, nil, ""
	}
	rate.Value = steps[last].Rate
	if last == len(steps)-1 {
		notes = append(notes, "The strip with the most nitrogen still looked better: the need may be greater than the ramp can show.")
	}
	if slices.ContainsFunc(steps[1:last], func(s season.RampStep) bool { return !s.Better }) {
		notes = append(notes, "The strips did not improve step by step; look at the ramp again.")
	}
	return rate, notes, ""
}

// strips gives the ramp in order of rate.
func strips(r *season.Ramp) []season.RampStep {
	if r == nil {
		return nil
	}
	order := func(a, b season.RampStep) int {
		switch {
		case a.Rate < b.Rate:
			return -1
		case a.Rate > b.Rate:
			return 1
		default:
			return 0
		}
	}
	if slices.IsSortedFunc(r.Steps, order) {
		return r.Steps
	}
	steps := slices.Clone(r.Steps)
	slices.SortStableFunc(steps, order)
	return steps
}
