package climate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"culm/agronomy/climate"
	"culm/agronomy/unit"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// plains is the law of the worked values: a chance of rain of 0.20 after a dry day and 0.45 after a wet one,
// gamma amounts of shape 0.8 and scale 8 mm.
func plains() climate.Rain {
	return climate.Rain{Chain: climate.Chain{AfterDry: 0.20, AfterWet: 0.45}, Amounts: climate.Amounts{Shape: 0.8, Scale: 8}}
}

func ExampleAtLeastOnce() {
	week := climate.Steady(plains(), 7)
	fmt.Printf("half an inch in one day of the seven, after a dry day: %.5f\n", climate.AtLeastOnce(week, 0, climate.HalfInch))
	// Output:
	// half an inch in one day of the seven, after a dry day: 0.22790
}

// Values worked out by a second hand for the model of Richardson (1981), to the digits they were written with.
func TestWorkedValues(t *testing.T) {
	r := plains()
	within := func(k int, mm unit.Water) float64 {
		return float64(climate.AtLeastOnce(climate.Steady(r, k), 0, mm))
	}
	exponential := climate.Amounts{Shape: 1, Scale: 8}
	for _, c := range []struct {
		name      string
		got, want float64
		digits    int
	}{
		{"share of wet days in the long run", float64(r.WetShare()), 0.26667, 5},
		{"any rain in 3 days", within(3, 0), 0.488, 3},
		{"any rain in 7 days", within(7, 0), 0.79028, 5},
		{"a wet day over a quarter inch", float64(r.Over(6.35)), 0.35550, 5},
		{"a wet day over half an inch", float64(r.Over(12.7)), 0.14721, 5},
		{"a wet day over an inch", float64(r.Over(25.4)), 0.02712, 5},
		{"exponential amounts over half an inch", float64(exponential.Over(12.7)), 0.20444, 5},
		{"half an inch within 3 days", within(3, 12.7), 0.09927, 5},
		{"half an inch within 5 days", within(5, 12.7), 0.16601, 5},
		{"half an inch within 7 days", within(7, 12.7), 0.22790, 5},
		{"half an inch within 10 days", within(10, 12.7), 0.31224, 5},
		{"a quarter inch within 3 days", within(3, 6.35), 0.22162, 5},
		{"a quarter inch within 5 days", within(5, 6.35), 0.35011, 5},
		{"a quarter inch within 7 days", within(7, 6.35), 0.45747, 5},
		{"a quarter inch within 10 days", within(10, 6.35), 0.58619, 5},
	} {
		if math.Abs(c.got-c.want) > 0.5000001*math.Pow10(-c.digits) {
			t.Errorf("%s: %.7f; want %v", c.name, c.got, c.want)
		}
	}
}

func drawChain(t *rapid.T, name string) climate.Chain {
	return climate.Chain{
		AfterDry: unit.Fraction(rapid.Float64Range(0, 1).Draw(t, name+" after dry")),
		AfterWet: unit.Fraction(rapid.Float64Range(0, 1).Draw(t, name+" after wet")),
	}
}

// Every sequence of dry and wet days has its own chance; the laws are what these add up to.
func TestLawsAgainstEverySequence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "days")
		days := make([]climate.Rain, n)
		for i := range days {
			days[i] = climate.Rain{
				Chain:   drawChain(t, fmt.Sprint("day ", i)),
				Amounts: climate.Amounts{Shape: unit.Ratio(rapid.Float64Range(0.3, 3).Draw(t, "shape")), Scale: 8, Least: 0.254},
			}
		}
		before := unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "wet before"))
		over := unit.Water(rapid.Float64Range(0, 30).Draw(t, "over"))
		counts := make([]float64, n+1)
		never := 0.0
		for sequence := range 1 << n {
			for first := range 2 { // the state of the day before
				chance := float64(before)
				if first == 0 {
					chance = 1 - chance
				}
				none, wetDays, was := 1.0, 0, first == 1
				for i := range days {
					p := float64(days[i].AfterDry)
					if was {
						p = float64(days[i].AfterWet)
					}
					if was = sequence>>i&1 == 1; was {
						chance *= p
						none *= 1 - float64(days[i].Over(over))
						wetDays++
					} else {
						chance *= 1 - p
					}
				}
				counts[wetDays] += chance
				never += chance * none
			}
		}
		for k, want := range counts {
			if got := climate.WetDays(days, before)[k]; math.Abs(float64(got)-want) > 1e-12 {
				t.Fatalf("%d wet days: %v; want %v", k, got, want)
			}
		}
		if got := climate.AtLeastOnce(days, before, over); math.Abs(float64(got)-(1-never)) > 1e-12 {
			t.Fatalf("at least once: %v; want %v", got, 1-never)
		}
	})
}

func TestMoreDaysAreNeverLessLikely(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := climate.Rain{Chain: drawChain(t, "chain"), Amounts: climate.Amounts{Shape: 0.7, Scale: 9, Least: 0.254}}
		n := rapid.IntRange(1, 30).Draw(t, "days")
		over := unit.Water(rapid.Float64Range(0, 40).Draw(t, "over"))
		fewer, more := climate.AtLeastOnce(climate.Steady(r, n), 0, over), climate.AtLeastOnce(climate.Steady(r, n+1), 0, over)
		if more < fewer-1e-15 || fewer < -1e-12 || more > 1+1e-12 {
			t.Fatalf("%d days %v, one more %v", n, fewer, more)
		}
		if higher := climate.AtLeastOnce(climate.Steady(r, n), 0, over+1); higher > fewer+1e-15 {
			t.Fatalf("over %v mm %v, over 1 mm more %v", over, fewer, higher)
		}
	})
}

// The chances by day of spreading are the closed form from that day on, whatever the day before was.
func TestWashInsFollowTheChain(t *testing.T) {
	c := fitted(t)
	first := day(2027, 2, 10)
	for i, w := range c.WashIns(first, 5, 7, 1, climate.HalfInch) {
		whole := c.Coming(first, i+7)
		quiet := append(climate.Steady(climate.Rain{}, 0), whole...)
		for k := range i { // rain before the day of spreading does not count
			quiet[k].Amounts = climate.Amounts{Shape: 1, Scale: 1e-9}
		}
		if want := climate.AtLeastOnce(quiet, 1, climate.HalfInch); math.Abs(float64(w.Within-want)) > 1e-12 || w.Day != first.Add(i) {
			t.Errorf("%s within 7 days: %v; want %v", w.Day, w.Within, want)
		}
	}
}

// The distribution that gonum has for the gamma law, beside ours.
func TestAmountsAgainstAnotherGamma(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := climate.Amounts{
			Shape: unit.Ratio(rapid.Float64Range(0.2, 5).Draw(t, "shape")),
			Scale: unit.Water(rapid.Float64Range(0.5, 30).Draw(t, "scale")),
			Least: unit.Water(rapid.SampledFrom([]float64{0, 0.254, 1}).Draw(t, "least")),
		}
		g := distuv.Gamma{Alpha: float64(a.Shape), Beta: 1 / float64(a.Scale)}
		x := rapid.Float64Range(1, 60).Draw(t, "mm")
		want := g.Survival(x) / g.Survival(float64(a.Least))
		if got := float64(a.Over(unit.Water(x))); math.Abs(got-want) > 1e-9 {
			t.Fatalf("over %v: %v; want %v", x, got, want)
		}
		if back := float64(a.Over(a.Quantile(unit.Fraction(1 - want)))); want > 1e-6 && want < 0.999 && math.Abs(back-want) > 1e-6 {
			t.Fatalf("the quantile of %v lies at %v", 1-want, 1-back)
		}
	})
}

func TestMeanAmountAgainstAverage(t *testing.T) {
	a := climate.Amounts{Shape: 0.7, Scale: 9, Least: 0.254}
	g := distuv.Gamma{Alpha: 0.7, Beta: 1. / 9, Src: rand.NewPCG(1, 2)}
	sum, squares, n := 0.0, 0.0, 0.0
	for range 400_000 {
		if x := g.Rand(); x >= 0.254 {
			sum, squares, n = sum+x, squares+x*x, n+1
		}
	}
	mean := sum / n
	if miss, se := math.Abs(mean-float64(a.Mean())), math.Sqrt((squares/n-mean*mean)/n); miss > 4*se {
		t.Errorf("mean %v; the average of %v draws is %v ± %v", a.Mean(), n, mean, se)
	}
}
