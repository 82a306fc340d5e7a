package climate_test

import (
	"math"
	"testing"

	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// The simulator against the closed form: the share of simulated weeks with a day over an amount lies within
// Monte Carlo error (four standard errors) of the exact chance, in every season, from either state.
func TestSimulatorAgainstTheClosedForm(t *testing.T) {
	c := fitted(t)
	s := climate.NewSimulator(c, 42)
	const members, k = 20_000, 7
	days := make([]season.WeatherDay, k)
	for _, first := range []struct{ month, day int }{{2, 10}, {4, 28}, {8, 1}, {12, 28}} {
		for _, wet := range []bool{false, true} {
			start := day(2027, 1, 1).Add(31*(first.month-1) + first.day)
			var hits [3]int
			var wetDays [k + 1]int
			amounts := [3]unit.Water{0, 6.35, 12.7}
			for member := range members {
				s.Run(days, start, climate.State{Wet: wet, KnowsWet: true}, member)
				for i, over := range amounts {
					hits[i] += anyOver(days, over)
				}
				wetDays[countWet(days)]++
			}
			before := unit.Fraction(0)
			if wet {
				before = 1
			}
			law := c.Coming(start, k)
			for i, over := range amounts {
				p := float64(climate.AtLeastOnce(law, before, over))
				near(t, start.String(), float64(hits[i])/members, p, math.Sqrt(p*(1-p)/members))
			}
			for n, chance := range climate.WetDays(law, before) {
				p := float64(chance)
				near(t, start.String()+" wet days", float64(wetDays[n])/members, p, math.Sqrt(p*(1-p)/members)+1e-9)
			}
		}
	}
}

func anyOver(days []season.WeatherDay, over unit.Water) int {
	for i := range days {
		if days[i].Rain > over {
			return 1
		}
	}
	return 0
}

func countWet(days []season.WeatherDay) int {
	n := 0
	for i := range days {
		if days[i].Rain >= climate.WetFrom {
			n++
		}
	}
	return n
}

// 64 sequences at once against the exact law, by the chi-square test: the statistic exceeds its 99.99 %
// quantile once in ten thousand such tests, and the seed is fixed.
func TestCountsOfWetDaysAgainstTheExactLaw(t *testing.T) {
	for _, c := range []struct {
		name string
		law  []climate.Rain
		wet  unit.Fraction
	}{
		{"a fortnight", climate.Steady(plains(), 14), 0.3},
		{"six weeks that change", fitted(t).Coming(day(2027, 2, 1), 42), 1},
		{"a fraction of few binary digits", climate.Steady(climate.Rain{Chain: climate.Chain{AfterDry: 0.5, AfterWet: 0.25}}, 6), 0.5},
		{"nearly never", climate.Steady(climate.Rain{Chain: climate.Chain{AfterDry: 1e-3, AfterWet: 0.999}}, 9), 0},
	} {
		const n = 200_001 // no multiple of 64
		counts := climate.CountWetDays(c.law, c.wet, n, 3)
		exact := climate.WetDays(c.law, c.wet)
		chi, free, all := 0.0, -1.0, 0
		var rare, rareSeen float64
		for k := range exact {
			all += counts[k]
			want := n * float64(exact[k])
			if want < 5 {
				rare, rareSeen = rare+want, rareSeen+float64(counts[k])
				continue
			}
			chi += (float64(counts[k]) - want) * (float64(counts[k]) - want) / want
			free++
		}
		if rare >= 1 {
			chi += (rareSeen - rare) * (rareSeen - rare) / rare
			free++
		}
		limit := distuv.ChiSquared{K: free}.Quantile(0.9999)
		if all != n || chi > limit {
			t.Errorf("%s: %d sequences, chi-square %.1f with %v degrees of freedom; want %d and below %.1f", c.name, all, chi, free, n, limit)
		}
	}
}

func TestCertainChains(t *testing.T) {
	always := climate.CountWetDays(climate.Steady(climate.Rain{Chain: climate.Chain{AfterDry: 1, AfterWet: 1}}, 5), 0, 1000, 1)
	never := climate.CountWetDays(climate.Steady(climate.Rain{Chain: climate.Chain{}}, 5), 1, 1000, 1)
	inTurn := climate.CountWetDays(climate.Steady(climate.Rain{Chain: climate.Chain{AfterDry: 1}}, 5), 0, 1000, 1)
	if always[5] != 1000 || never[0] != 1000 || inTurn[3] != 1000 {
		t.Errorf("always %v, never %v, in turn %v", always, never, inTurn)
	}
}

// The same seed gives the same weather; another seed, member or day another.
func TestSeed(t *testing.T) {
	c := fitted(t)
	draw := func(seed uint64, member int) []season.WeatherDay {
		days := make([]season.WeatherDay, 30)
		climate.NewSimulator(c, seed).Run(days, day(2027, 2, 1), climate.State{}, member)
		return days
	}
	if diff := cmp.Diff(draw(1, 0), draw(1, 0)); diff != "" {
		t.Errorf("the same seed: %s", diff)
	}
	if cmp.Equal(draw(1, 0), draw(2, 0)) || cmp.Equal(draw(1, 0), draw(1, 1)) {
		t.Error("another seed or member gives the same weather")
	}
}

// A day has the same chances whenever it is asked for: from the second day on, the weather drawn from today
// and from tomorrow is the same once both are in the same state.
func TestDrawsBelongToTheDay(t *testing.T) {
	c := fitted(t)
	s := climate.NewSimulator(c, 9)
	rapid.Check(t, func(t *rapid.T) {
		member := rapid.IntRange(0, 1000).Draw(t, "member")
		today := day(2027, 1, 1).Add(rapid.IntRange(0, 365).Draw(t, "day"))
		whole, rest := make([]season.WeatherDay, 10), make([]season.WeatherDay, 9)
		start := climate.State{KnowsWet: true, KnowsTemperature: true}
		after := s.Run(whole[:1], today, start, member)
		s.Run(whole[1:], today.Add(1), after, member)
		s.Run(rest, today.Add(1), after, member)
		if diff := cmp.Diff(whole[1:], rest); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestEveryDrawnDayCanBe(t *testing.T) {
	c := fitted(t)
	s := climate.NewSimulator(c, 3)
	days := make([]season.WeatherDay, 366*20)
	s.Run(days, day(2000, 1, 1), climate.State{}, 0)
	for _, d := range days {
		if d.Low > d.High || d.Rain < 0 || d.Rain > 0 && d.Rain < c.WetFrom || d.Has != season.HasRain|season.HasTemperature {
			t.Fatalf("%+v", d)
		}
	}
}

func TestRunAllocatesNothing(t *testing.T) {
	s := climate.NewSimulator(fitted(t), 3)
	days := make([]season.WeatherDay, 14)
	if n := testing.AllocsPerRun(100, func() { s.Run(days, day(2027, 2, 1), climate.State{}, 5) }); n > 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkRunOfThreeWeeks(b *testing.B) {
	s := climate.NewSimulator(fit(b, invented(10, 1)), 3)
	days := make([]season.WeatherDay, 21)
	b.ReportAllocs()
	member := 0
	for b.Loop() {
		member++
		s.Run(days, day(2027, 2, 1), climate.State{}, member)
	}
}

func BenchmarkCountWetDays(b *testing.B) {
	law := climate.Steady(plains(), 14)
	for b.Loop() {
		climate.CountWetDays(law, 0.3, 50_000, 1)
	}
}

func BenchmarkFitThirtyYears(b *testing.B) {
	record := invented(30, 1)
	for b.Loop() {
		fit(b, record)
	}
}

// Simulated temperatures have the spread, the range and the memory that the climate says: departures from the
// usual have variance 1, and the correlations of Memory, over 4,000 Marches (four standard errors; a
// correlation's is below 1/sqrt(n) even for days that hang together, taken with a tenth of the days).
func TestSimulatedTemperatureKeepsItsStatistics(t *testing.T) {
	c := fitted(t)
	s := climate.NewSimulator(c, 8)
	days := make([]season.WeatherDay, 31)
	const years = 4000
	var same, lag [2][2]float64
	var mean [2]float64
	for year := range years {
		s.Run(days, day(2027, 3, 1), climate.State{}, year)
		var before [2]float64
		for i, d := range days {
			u := c.UsualOn(d.Day, d.Rain >= c.WetFrom)
			z := [2]float64{
				(float64(d.Low+d.High)/2 - float64(u.Mean)) / float64(u.Spread),
				(math.Sqrt(float64(d.High-d.Low)) - u.RootRange) / u.RootSpread,
			}
			for a := range z {
				mean[a] += z[a] / (31 * years)
				for b := range z {
					same[a][b] += z[a] * z[b] / (31 * years)
					if i > 0 {
						lag[a][b] += z[a] * before[b] / (30 * years)
					}
				}
			}
			before = z
		}
	}
	want := c.Months[2].Memory
	se := 1 / math.Sqrt(31*years/10)
	for a := range same {
		near(t, "departure on average", mean[a], 0, se)
		for b := range same {
			near(t, "same day", same[a][b], want.Same[a][b], se)
			near(t, "day before", lag[a][b], want.Lag[a][b], se)
		}
	}
	if want.Lag[0][0] < 0.6 || want.Same[0][1] < 0.4 {
		t.Errorf("memory %+v says nothing", want)
	}
}
