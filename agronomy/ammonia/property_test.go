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
		Horizon: rapid.IntRange(0, 60).Draw(t, "horizon"),
	}
	if rapid.Bool().Draw(t, "soil tested") {
		s.SoilPH = observed(unit.Ratio(rapid.Float64Range(4, 9).Draw(t, "pH")))
		s.OrganicMatter = observed(unit.Fraction(rapid.Float64Range(0, 0.08).Draw(t, "organic matter")))
	}
	if rapid.Bool().Draw(t, "residue seen") {
		s.Residue = observed(unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "residue")))
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
		if s.Product.Key != fertilizer.AmmoniumSulfateKey && r.High > s.Product.Urea.Value {
			t.Fatalf("%s: up to %v lost of %v urea", s.Product.Key, r.High, s.Product.Urea.Value)
		}
	})
}

func TestSolutionLosesNoMoreThanUrea(t *testing.T) {
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
		thiosulfate, uan28, uan32, urea := loss("ammonium-thiosulfate"), loss("uan-28"), loss("uan-32"), loss("urea")
		if !(thiosulfate <= uan28 && uan28 <= uan32 && uan32 <= urea) {
			t.Fatalf("ATS %v, UAN 28 %v, UAN 32 %v, urea %v", thiosulfate, uan28, uan32, urea)
		}
	})
}

func TestMoreRainInTheFirstEventNeverRaisesTheLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpreading(t)
		loss := func() unit.Fraction {
			r, err := ammonia.Expect(s)
			if err != nil {
				t.Fatal(err)
			}
			return r.Loss
		}
		for i := range s.Weather {
			if w := &s.Weather[i]; w.Has&season.HasRain != 0 && w.Rain >= ammonia.LeastRain && !w.Day.Before(s.Day) {
				before := loss()
				w.Rain += unit.Water(rapid.Float64Range(0, 40).Draw(t, "more"))
				if after := loss(); after > before+1e-12 {
					t.Fatalf("more rain on %v raised the loss from %v to %v", w.Day, before, after)
				}
				return
			}
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
