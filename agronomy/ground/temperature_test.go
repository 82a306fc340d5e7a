package ground_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"

	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"
)

// The daily means 0, 1 ... 10 C weigh 1, 2 ... 11 (BIOME-BGC, reading that the day itself weighs most).
func ExampleElevenDayMean() {
	var means [11]unit.Temperature
	for i := range means {
		means[i] = unit.Temperature(i)
	}
	soil := ground.ElevenDayMean(means)
	fmt.Printf("%.4f C; with an annual mean of 8 C %.4f C, under snow %.4f C\n",
		float64(soil), float64(ground.DrawnToYear(soil, 8, false)), float64(ground.DrawnToYear(soil, 8, true)))
	// Output: 6.6667 C; with an annual mean of 8 C 6.9333 C, under snow 7.7733 C
}

// Nine days of frost in January at 39 degrees north, after soil at rest with a mild day.
func ExampleWarmth() {
	january := ground.Extraterrestrial(39, 15)
	w := ground.WarmthOf(4, january)
	for day := 1; day <= 9; day++ {
		w = w.Next(-4, january, false)
		if day%3 == 0 {
			fmt.Printf("day %d: %.1f C at 5 cm, %.1f C at 10 cm, chance of frost %.0f %%\n", day,
				float64(w.At(ground.FiveCentimetres)), float64(w.At(ground.TenCentimetres)), 100*float64(w.FrostChance(0)))
		}
	}
	// Output:
	// day 3: 1.5 C at 5 cm, 2.7 C at 10 cm, chance of frost 2 %
	// day 6: 0.0 C at 5 cm, 1.1 C at 10 cm, chance of frost 8 %
	// day 9: 0.0 C at 5 cm, 0.2 C at 10 cm, chance of frost 19 %
}

// figures are the five of a depth, as fitted; in the order base, air, sun, share, underSnow.
type figures [5]float64

func (f figures) course(days []measured, latitude float64) []float64 {
	out := make([]float64, len(days))
	var snow ground.Snow
	warmth, begun := 0.0, false
	for i, d := range days {
		if d.Has&season.HasTemperature == 0 {
			out[i] = warmth
			continue
		}
		mean := (d.Low + d.High) / 2
		aim := f[0] + f[1]*float64(mean) + f[2]*ground.Extraterrestrial(latitude, d.Day.Day.Time().YearDay())
		wet, white := ground.RainOrSnow(d.Rain, mean)
		snow, _ = snow.Next(wet, white, mean, d.High)
		share := f[3]
		if snow.Lies() {
			share *= f[4]
		}
		if !begun {
			warmth, begun = aim, true
		} else {
			warmth += share * (aim - max(0, warmth))
		}
		out[i] = warmth
	}
	return out
}

// TestFiguresAreThoseFitted fits the five figures of each depth anew, on October to April of every second season,
// and holds the shipped ones against them: with three digits they must be as good as the fit, to a hundredth of a
// degree.
func TestFiguresAreThoseFitted(t *testing.T) {
	days := manhattan(t)
	course := ground.Run(ground.Site{Latitude: manhattanLatitude, HasLatitude: true}, weatherOf(days), days[0].Day.Day, days[len(days)-1].Day.Day)
	for _, depth := range []struct {
		name    string
		of      func(measured) float64
		shipped func(ground.Condition) unit.Temperature
	}{
		{"5 cm", func(m measured) float64 { return m.soil5 }, func(c ground.Condition) unit.Temperature { return c.Soil5 }},
		{"10 cm", func(m measured) float64 { return m.soil10 }, func(c ground.Condition) unit.Temperature { return c.Soil10 }},
	} {
		error2 := func(estimate func(i int) float64) float64 {
			var e tally
			for i, d := range days {
				if d.hasSoil && fits(d.Day.Day) && inUse(d.Day.Day) {
					e.add(estimate(i), depth.of(d))
				}
			}
			return e.rmse()
		}
		fit := func(x []float64) float64 {
			soil := figures(x).course(days, manhattanLatitude)
			return error2(func(i int) float64 { return max(0, soil[i]) })
		}
		best, err := optimize.Minimize(optimize.Problem{Func: fit}, []float64{0.5, 0.8, 0.06, 0.2, 0.1}, &optimize.Settings{MajorIterations: 5000}, &optimize.NelderMead{})
		if err != nil {
			t.Fatal(err)
		}
		shipped := error2(func(i int) float64 { return float64(depth.shipped(course.Conditions[i])) })
		t.Logf("%s: fitted %.4f, RMSE %.3f C; as shipped %.3f C", depth.name, best.X, best.F, shipped)
		if math.Abs(shipped-best.F) > 0.01 {
			t.Errorf("%s: the shipped figures are no longer those fitted", depth.name)
		}
	}
}

// TestFrostChanceIsThatFitted fits the two figures of the chance of frost anew, on November to March of the same
// seasons, and holds the shipped ones against them: they must be as likely to a thousandth of a day's mean log
// likelihood.
func TestFrostChanceIsThatFitted(t *testing.T) {
	days := manhattan(t)
	course := figuresOfFiveCentimetres.course(days, manhattanLatitude)
	unlikely := func(x []float64) float64 {
		sum, n := 0.0, 0
		for i, d := range days {
			if d.hasSoil && fits(d.Day.Day) && inWinter(d.Day.Day) {
				chance := 1 / (1 + math.Exp(x[0]+x[1]*course[i]))
				if d.soil5 > 0 {
					chance = 1 - chance
				}
				sum -= math.Log(chance)
				n++
			}
		}
		return sum / float64(n)
	}
	best, err := optimize.Minimize(optimize.Problem{Func: unlikely}, []float64{0.5, 1}, nil, &optimize.NelderMead{})
	if err != nil {
		t.Fatal(err)
	}
	shipped := unlikely(frostFigures())
	t.Logf("fitted %.3f, %.5f; as shipped %.5f", best.X, best.F, shipped)
	if shipped-best.F > 0.001 {
		t.Error("the shipped figures are no longer those fitted")
	}
}

// figuresOfFiveCentimetres are the shipped ones; TestFiguresAreThoseFitted holds them against the fit.
var figuresOfFiveCentimetres = figures{0.686, 0.838, 0.0503, 0.203, 0.103}

// frostFigures reads the two figures of the chance of frost off two chances.
func frostFigures() []float64 {
	odds := func(warmth float64) float64 {
		chance := float64(ground.Warmth{Shallow: warmth}.FrostChance(0))
		return math.Log(1/chance - 1)
	}
	return []float64{odds(0), odds(1) - odds(0)}
}

// tally gathers how far estimates are off.
type tally struct {
	n            int
	sum, squares float64
	within3      int
}

func (e *tally) add(estimate, measured float64) {
	off := estimate - measured
	e.n++
	e.sum += off
	e.squares += off * off
	if math.Abs(off) <= 3 {
		e.within3++
	}
}

func (e tally) bias() float64 { return e.sum / float64(e.n) }
func (e tally) rmse() float64 { return math.Sqrt(e.squares / float64(e.n)) }

// The warmer the air, the warmer the soil; snow slows it; and frost is the likelier the colder.
func TestWarmthHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sun := rapid.Float64Range(5, 40).Draw(t, "sun")
		w := ground.WarmthOf(unit.Temperature(rapid.Float64Range(-15, 25).Draw(t, "start")), sun)
		mean := unit.Temperature(rapid.Float64Range(-25, 30).Draw(t, "mean"))
		warmer, same, snowed := w.Next(mean+1, sun, false), w.Next(mean, sun, false), w.Next(mean, sun, true)
		if warmer.Shallow <= same.Shallow || warmer.FrostChance(0) >= same.FrostChance(0) && same.FrostChance(0) < 1 && same.FrostChance(0) > 1e-9 {
			t.Fatalf("%v, in warmer air %v", same, warmer)
		}
		if math.Abs(snowed.Shallow-w.Shallow) > math.Abs(same.Shallow-w.Shallow)+1e-12 {
			t.Fatalf("from %v to %v, under snow %v", w, same, snowed)
		}
		doubtful := same.FrostChance(5)
		if sure := same.FrostChance(0); math.Abs(float64(doubtful)-0.5) > math.Abs(float64(sure)-0.5)+1e-12 {
			t.Fatalf("chance %v, with a doubtful forecast %v", sure, doubtful)
		}
	})
}

func january(day int) calendar.Day { return calendar.Date(2026, time.January, day) }

// However far ahead, a forecast is taken to miss by no more than the climate spreads, so that warm soil is not called
// frozen because its day is far off.
func TestWarmSoilIsNotFrozenAtAnyLead(t *testing.T) {
	warm := ground.Warmth{Shallow: 5, Deep: 5}
	for lead := range 60 {
		for _, usual := range []unit.Temperature{0, 4, 6} {
			if chance := warm.FrostChance(ground.ForecastSpread(lead, usual)); chance >= ground.FrostStops {
				t.Errorf("%d days ahead, spread %v: soil at 5 C is frozen with %.2f", lead, usual, chance)
			}
		}
	}
	if near, far := ground.ForecastSpread(1, 4), ground.ForecastSpread(60, 4); near >= far || far > 4 {
		t.Errorf("a spread of %.2f on the first day, %.2f at last; the climate's is 4", near, far)
	}
}
