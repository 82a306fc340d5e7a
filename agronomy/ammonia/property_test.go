package ammonia_test

import (
	"math"
	"testing"

	"culm/agronomy/ammonia"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

// anyWeather is up to thirty days of winter and spring, some of them unmeasured.
func anyWeather(t *rapid.T) []season.ForecastDay {
	days := steady(rapid.IntRange(0, 30).Draw(t, "days"), 0, nil)
	for i := range days {
		low := rapid.Float64Range(-15, 15).Draw(t, "low")
		days[i].Low, days[i].High = unit.Temperature(low), unit.Temperature(low+rapid.Float64Range(0, 15).Draw(t, "spread"))
		days[i].Rain = unit.Water(max(0, rapid.Float64Range(-30, 30).Draw(t, "rain")))
		days[i].Snow = unit.Water(max(0, rapid.Float64Range(-200, 60).Draw(t, "snow")))
		days[i].RainChance = unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "chance"))
		days[i].Has = season.Parts(rapid.IntRange(0, 7).Draw(t, "has"))
	}
	return days
}

func anySpreading(t *rapid.T) ammonia.Spreading {
	s := ammonia.Spreading{
		Product: rapid.SampledFrom(fertilizer.All()).Draw(t, "product"),
		Day:     spread().Add(rapid.IntRange(0, 10).Draw(t, "day")),
		Weather: anyWeather(t),
		Surface: rapid.SampledFrom([]ammonia.Surface{ammonia.SurfaceUnknown, ammonia.Moist, ammonia.DryGround, ammonia.OnSnow}).Draw(t, "surface"),
		Horizon: rapid.IntRange(0, 60).Draw(t, "horizon"), Inhibited: rapid.Bool().Draw(t, "inhibited"),
	}
	if rapid.Bool().Draw(t, "soil tested") {
		s.Soil.PH = observed(unit.Ratio(rapid.Float64Range(4, 9).Draw(t, "pH")))
		s.Soil.OrganicMatter = observed(unit.Fraction(rapid.Float64Range(0, 0.08).Draw(t, "organic matter")))
	}
	if rapid.Bool().Draw(t, "residue seen") {
		s.Soil.Residue = observed(unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "residue")))
	}
	return s
}

func TestMassCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		r, err := ammonia.Expect(s)
		if err != nil {
			t.Fatal(err)
		}
		for what, share := range map[string]unit.Fraction{"lost": r.Loss, "washed": r.Washed, "held": r.Held, "left": r.Left, "other": r.Other} {
			if !(share >= -1e-12 && share <= 1+1e-12) {
				t.Fatalf("%s is %v of the nitrogen", what, share)
			}
		}
		if sum := r.Loss + r.Washed + r.Held + r.Left + r.Other; math.Abs(float64(sum)-1) > 1e-9 {
			t.Fatalf("of the nitrogen %v is accounted for: %+v", sum, r)
		}
	})
}

func TestLossLiesWithinItsRangeAndItsUrea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		r, err := ammonia.Expect(s)
		if err != nil {
			t.Fatal(err)
		}
		if r.Low > r.Loss+1e-12 || r.Loss > r.High+1e-12 || r.Loss > r.WithoutRain+1e-12 {
			t.Fatalf("loss %v, range %v to %v, without rain %v", r.Loss, r.Low, r.High, r.WithoutRain)
		}
		if s.Product.Urea.Value > 0 && r.High > s.Product.Urea.Value {
			t.Fatalf("%s: up to %v lost of %v urea", s.Product.Key, r.High, s.Product.Urea.Value)
		}
	})
}

func TestSolutionsLoseByTheirUrea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		loss := func(key string) unit.Fraction {
			s.Product, _ = fertilizer.Find(key)
			r, err := ammonia.Expect(s)
			if err != nil {
				t.Fatal(err)
			}
			return r.Loss
		}
		thiosulfate, uan28, uan32 := loss("ammonium-thiosulfate"), loss("uan-28"), loss("uan-32")
		if !(thiosulfate <= uan28 && uan28 <= uan32) {
			t.Fatalf("ATS %v, UAN 28 %v, UAN 32 %v", thiosulfate, uan28, uan32)
		}
	})
}

// A first rain that is heavier leaves less to lose, all else the same: the surface is wet either way.
func TestMoreRainInTheFirstEventNeverRaisesTheLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		s.Surface = ammonia.Moist
		first := rapid.IntRange(0, 9).Draw(t, "first day of rain")
		loss := func(mm float64) unit.Fraction {
			s.Weather = steady(30, 8, rainOn{first: mm})
			s.Day = spread()
			r, err := ammonia.Expect(s)
			if err != nil {
				t.Fatal(err)
			}
			return r.Loss
		}
		mm := rapid.Float64Range(5, 40).Draw(t, "rain")
		more := mm + rapid.Float64Range(0, 40).Draw(t, "more")
		if a, b := loss(mm), loss(more); b > a+1e-12 {
			t.Fatalf("%v mm lose %v, %v mm %v", mm, a, more, b)
		}
	})
}

func TestTraceAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		r, err := ammonia.Expect(s)
		if err != nil {
			t.Fatal(err)
		}
		terms, err := ammonia.Trace(s)
		if err != nil {
			t.Fatal(err)
		}
		if terms == nil {
			return // on snow, or no urea
		}
		var lost, washed unit.Fraction
		for _, d := range terms {
			lost += d.Lost
			washed += d.Washed
		}
		if math.Abs(float64(lost-r.Loss)) > 1e-9 || math.Abs(float64(washed-r.Washed)) > 1e-9 {
			t.Fatalf("days add up to lost %v, washed %v; the result has %v, %v", lost, washed, r.Loss, r.Washed)
		}
		if last := terms[len(terms)-1]; last.Day != r.End || math.Abs(float64(last.AtRisk-r.Left)) > 1e-9 {
			t.Fatalf("last day %+v; the result ends %v with %v left", last, r.End, r.Left)
		}
	})
}

// A course walked once gives what each day reckoned alone gives, as long as both see the same days.
func TestCourseAgreesWithExpect(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		s.Surface, s.Horizon = ammonia.SurfaceUnknown, 0
		alone, err := ammonia.Expect(s)
		if err != nil {
			t.Fatal(err)
		}
		early := rapid.IntRange(0, 12).Draw(t, "walked from so many days before")
		c := ammonia.Walk(s.Weather, s.Day.Add(-early), early+ammonia.DefaultHorizon, nil)
		walked, err := c.Expect(s.Day, &s.Product, s.Inhibited, &s.Soil)
		if err != nil {
			t.Fatal(err)
		}
		if alone != walked {
			t.Fatalf("alone %+v\nwalked %+v", alone, walked)
		}
	})
}

// The mean over courses lies among them, and their difference widens the range.
func TestOverCourses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		var courses []*ammonia.Course
		low, high := 1.0, 0.0
		for range rapid.IntRange(1, 5).Draw(t, "courses") {
			c := ammonia.Walk(anyWeather(t), s.Day, ammonia.DefaultHorizon, nil)
			courses = append(courses, c)
			r, err := c.Expect(s.Day, &s.Product, s.Inhibited, &s.Soil)
			if err != nil {
				t.Fatal(err)
			}
			low, high = min(low, float64(r.Loss)), max(high, float64(r.Loss))
		}
		over, err := ammonia.Over(courses, s.Day, &s.Product, s.Inhibited, &s.Soil)
		if err != nil {
			t.Fatal(err)
		}
		if l := float64(over.Loss); l < low-1e-12 || l > high+1e-12 || over.Low > over.Loss+1e-12 || over.High < over.Loss-1e-12 {
			t.Fatalf("over courses that lose %v to %v: %v (%v to %v)", low, high, over.Loss, over.Low, over.High)
		}
		if sum := over.Loss + over.Washed + over.Held + over.Left + over.Other; math.Abs(float64(sum)-1) > 1e-9 {
			t.Fatalf("of the nitrogen %v is accounted for", sum)
		}
	})
}
