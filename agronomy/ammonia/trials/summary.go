package trials

import (
	"math"
	"strings"
	"time"
)

// Summary sets a group of outcomes against what was measured. Means, Bias and RMSE are shares.
type Summary struct {
	Group              string
	N                  int
	Measured, Reckoned float64 // means
	Bias, RMSE         float64 // of reckoned less measured
	Ranged, Within     int     // outcomes with a range, and measured values inside of theirs
}

// Summarize gives the groups that docs/ammonia.md shows: Montana's parts, sorts and seasons, then the rest.
func Summarize(outcomes []Outcome) []Summary {
	var all []Summary
	add := func(group string, keep func(Outcome) bool) {
		if s := summary(group, outcomes, keep); s.N > 0 {
			all = append(all, s)
		}
	}
	montana := func(inhibited bool) func(Outcome) bool {
		return func(o Outcome) bool { return o.Study == "Montana" && o.Inhibited == inhibited }
	}
	for _, inhibited := range []bool{false, true} {
		what, in := "urea", montana(inhibited)
		if inhibited {
			what = "urea with inhibitor"
		}
		add("Montana, "+what+", 17 trials", in)
		for _, role := range []Role{Calibration, Held} {
			add("Montana, "+what+", "+string(role), func(o Outcome) bool { return in(o) && o.Role == role })
		}
		for _, s := range []Season{Fall, Winter, Spring} {
			add("Montana, "+what+", "+string(s), func(o Outcome) bool { return in(o) && SeasonOf(o.Day.Time()) == s })
		}
		if inhibited {
			continue
		}
		for _, sort := range []string{"moist ground, slow drying", "dry ground, light rains", "dry ground, heavy rain", "on snow"} {
			add("Montana, "+what+", "+sort, func(o Outcome) bool { return in(o) && strings.HasSuffix(o.Name, sort) })
		}
	}
	add("elsewhere, loss, held out", func(o Outcome) bool { return o.Study != "Montana" && o.Role == Held && o.Measure == Lost })
	add("elsewhere, loss, held out, without air-dry pasture", func(o Outcome) bool {
		return o.Study != "Montana" && o.Role == Held && o.Measure == Lost && !strings.HasPrefix(o.Key, "black-dry")
	})
	add("left by rain, held out", func(o Outcome) bool { return o.Measure == LeftByRain && o.Role == Held })
	add("every loss held out", func(o Outcome) bool { return o.Role == Held && o.Measure == Lost })
	return all
}

func summary(group string, outcomes []Outcome, keep func(Outcome) bool) Summary {
	s := Summary{Group: group}
	squares := 0.0
	for _, o := range outcomes {
		if !keep(o) {
			continue
		}
		s.N++
		s.Measured += o.Measured
		s.Reckoned += o.Reckoned
		by := o.Reckoned - o.Measured
		squares += by * by
		if o.Low < o.High {
			s.Ranged++
			if o.Low <= o.Measured && o.Measured <= o.High {
				s.Within++
			}
		}
	}
	n := float64(s.N)
	s.Measured, s.Reckoned, s.RMSE = s.Measured/n, s.Reckoned/n, math.Sqrt(squares/n)
	s.Bias = s.Reckoned - s.Measured
	return s
}

// Peer is a way of foretelling Montana's held-out trials that takes nothing but means of the calibration
// trials, with its root mean square error: what the reckoning must beat.
type Peer struct {
	Name string
	RMSE float64
}

// Peers are one mean for all trials, and a mean for each sort of trial; of urea without an inhibitor.
func Peers(outcomes []Outcome) []Peer {
	sortOf := func(o Outcome) string { _, sort, _ := strings.Cut(o.Name, ", "); return sort }
	mean := map[string][2]float64{} // sum and number, by sort; "" for all
	for _, o := range outcomes {
		if o.Study != "Montana" || o.Inhibited || o.Role != Calibration {
			continue
		}
		for _, sort := range []string{"", sortOf(o)} {
			m := mean[sort]
			mean[sort] = [2]float64{m[0] + o.Measured, m[1] + 1}
		}
	}
	var one, bySort, reckoned, n float64
	for _, o := range outcomes {
		if o.Study != "Montana" || o.Inhibited || o.Role != Held {
			continue
		}
		square := func(sort string) float64 { by := mean[sort][0]/mean[sort][1] - o.Measured; return by * by }
		one += square("")
		bySort += square(sortOf(o))
		reckoned += (o.Reckoned - o.Measured) * (o.Reckoned - o.Measured)
		n++
	}
	return []Peer{
		{"one mean for all", math.Sqrt(one / n)},
		{"a mean for each sort of ground and rain", math.Sqrt(bySort / n)},
		{"the reckoning", math.Sqrt(reckoned / n)},
	}
}

// Season is that of Montana's table: by the date of spreading.
type Season string

// The seasons.
const (
	Fall   Season = "fall"
	Winter Season = "winter"
	Spring Season = "spring"
)

// SeasonOf follows Montana's table: fall to 29 November, winter to 5 March, then spring.
func SeasonOf(t time.Time) Season {
	switch month := t.Month(); {
	case month >= time.October && month <= time.November:
		return Fall
	case month == time.December || month <= time.February || month == time.March && t.Day() <= 5:
		return Winter
	default:
		return Spring
	}
}
