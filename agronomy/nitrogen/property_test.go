package nitrogen_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"culm/agronomy/calendar"
	"culm/agronomy/grazing"
	"culm/agronomy/nitrogen"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

func maybe[T unit.Quantity](t *rapid.T, label string, low, high T) working.Fact[T] {
	if !rapid.Bool().Draw(t, label+" known") {
		return working.Fact[T]{}
	}
	return seen(T(rapid.Float64Range(float64(low), float64(high)).Draw(t, label)))
}

// anyField draws a field, with anything missing.
func anyField(t *rapid.T) nitrogen.Evidence {
	e := nitrogen.Evidence{
		Crop:          rapid.SampledFrom([]season.Crop{season.WheatGrain, season.WheatGrazed, season.WheatGrazeOut, season.Canola}).Draw(t, "crop"),
		YieldGoal:     maybe(t, "yield goal", unit.Yield(0), 9000),
		OrganicMatter: maybe(t, "organic matter", unit.Fraction(0), 0.1),
		PreviousCrop:  rapid.SampledFrom([]string{"", "wheat", "soybean", "fallow", "sorghum", "cotton"}).Draw(t, "previous crop"),
		Tillage:       rapid.SampledFrom([]season.Tillage{"", season.NoTill, season.Tilled}).Draw(t, "tillage"),
		Stubble:       maybe(t, "stubble", unit.Biomass(0), 8000),
		Gain:          maybe(t, "gain", unit.Gain(0), 300),
		Response:      nitrogen.ResponseIndex{Index: maybe(t, "response", unit.Ratio(0.5), 3)},
		Reading:       maybe(t, "reading", unit.Index(0), 1),
		GrowingDays:   maybe(t, "growing days", unit.Days(0), 200),
		MaximumYield:  maybe(t, "highest yield", unit.Yield(1000), 12000),
		GrainPrice:    maybe(t, "grain price", 3*unit.PerWheatBushel, 7*unit.PerWheatBushel),
		NitrogenPrice: maybe(t, "nitrogen price", 0.2*unit.PerPound, 0.8*unit.PerPound),
		FreshMass:     maybe(t, "fresh mass", unit.Biomass(0), 60000),
		Herd: grazing.Herd{
			Head: maybe(t, "head", unit.Ratio(0), 500), Mass: maybe(t, "mass", unit.Mass(50), 700),
			Days: maybe(t, "days", unit.Days(0), 200), Area: maybe(t, "area", unit.Area(0), 200),
		},
	}
	top := unit.Length(0)
	for _, bottom := range []unit.Length{6 * unit.Inch, 24 * unit.Inch, 36 * unit.Inch} {
		s := &season.Soil{Sample: "1", Day: calendar.Date(2026, 9, 15), Top: top, Bottom: bottom}
		if ppm := maybe(t, "nitrate", unit.Concentration(0), 20); ppm.Known() {
			s.Results = append(s.Results, season.Result{Analyte: season.NitrateN, Value: float64(ppm.Value)})
		}
		if ppm := maybe(t, "ammonium", unit.Concentration(0), 10); ppm.Known() {
			s.Results = append(s.Results, season.Result{Analyte: season.AmmoniumN, Value: float64(ppm.Value)})
		}
		e.Soil = append(e.Soil, s)
		top = bottom
	}
	for range rapid.IntRange(0, 3).Draw(t, "passes") {
		e.Applied = append(e.Applied, nitrogen.Application{
			Day: calendar.Date(2026, 8, 1).Add(rapid.IntRange(0, 220).Draw(t, "day")), N: maybe(t, "applied", unit.Rate(0), 100),
		})
	}
	if e.Response.Index.Known() && rapid.Bool().Draw(t, "interval") {
		e.Response.Low = e.Response.Index.Value * unit.Ratio(rapid.Float64Range(0.7, 1).Draw(t, "low"))
		e.Response.High = e.Response.Index.Value * unit.Ratio(rapid.Float64Range(1, 1.4).Draw(t, "high"))
		e.Response.HasInterval = true
	}
	return e
}

func TestRatesAreSound(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		e := anyField(t)
		answers := nitrogen.Answers(e, all)
		for _, a := range answers {
			if a.Answered == (a.Why != "") {
				t.Fatalf("%s: answered %v, why %q", a.Method, a.Answered, a.Why)
			}
			if !(a.Rate >= 0) || math.IsInf(float64(a.Rate), 0) {
				t.Fatalf("%s: %v", a.Method, a.Rate)
			}
			if a.HasRange && !(0 <= a.Low && a.Low <= a.Rate && a.Rate <= a.High) {
				t.Fatalf("%s: %v not from %v to %v", a.Method, a.Rate, a.Low, a.High)
			}
			for _, effect := range a.Figure.WouldChange {
				if !(effect.To.Base >= 0) || math.IsInf(effect.To.Base, 0) {
					t.Fatalf("%s: %+v", a.Method, effect)
				}
			}
			if g := float64(a.Gain(a.Rate)); !(g >= 0) || g > 1e5 {
				t.Fatalf("%s gains %v kg/ha", a.Method, g)
			}
		}
		lead, reason := nitrogen.Lead(answers, nil, e.Crop)
		if reason == "" {
			t.Fatal("a lead without a reason")
		}
		d := nitrogen.Spread(answers, lead, e.Crop)
		if d.Answers > 0 && !(d.Low <= d.High) || lead >= 0 && (answers[lead].Rate < d.Low || answers[lead].Rate > d.High) {
			t.Fatalf("%+v", d)
		}
	})
}

func TestMoreSoilNitrateNeverRaisesARate(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		e := anyField(t)
		i := rapid.IntRange(0, 2).Draw(t, "layer")
		ppm := rapid.Float64Range(0, 10).Draw(t, "ppm")
		layer := func(ppm float64) *season.Soil {
			s := *e.Soil[i]
			s.Results = []season.Result{{Analyte: season.NitrateN, Value: ppm}}
			return &s
		}
		more := e
		more.Soil = slices.Clone(e.Soil)
		e.Soil[i], more.Soil[i] = layer(ppm), layer(ppm+rapid.Float64Range(0, 10).Draw(t, "more ppm"))
		before := nitrogen.Answers(e, all)
		for k, after := range nitrogen.Answers(more, all) {
			if before[k].Answered && after.Answered && after.Rate > before[k].Rate+1e-9 {
				t.Fatalf("%s: %v with less nitrate, %v with more", after.Method, before[k].Rate, after.Rate)
			}
		}
	})
}

func TestMoreAppliedNeverRaisesARate(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		e := anyField(t)
		before := nitrogen.Answers(e, all)
		e.Applied = append(e.Applied, nitrogen.Application{Day: calendar.Date(2026, 11, 1), N: seen(unit.Rate(30))})
		for k, after := range nitrogen.Answers(e, all) {
			if after.Rate > before[k].Rate+1e-9 {
				t.Fatalf("%s: %v before, %v with 30 kg more applied", after.Method, before[k].Rate, after.Rate)
			}
		}
	})
}

func TestAsGreenAsTheStripNeedsNothing(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		e := anyField(t)
		e.Crop = season.WheatGrain
		e.Response = nitrogen.ResponseIndex{Index: seen(unit.Ratio(rapid.Float64Range(0.1, 1).Draw(t, "index")))}
		e.Calibration = &season.Calibration{A: 0.4, B: 300, C: 1.2, D: 0.1, Efficiency: 0.6}
		for _, a := range nitrogen.Answers(e, all)[:3] {
			if a.Rate != 0 || a.Gain(50) != 0 {
				t.Fatalf("%s: %v kg/ha, gain %v, though the crop is as green as the strip", a.Method, a.Rate, a.Gain(50))
			}
		}
	})
}

// The same field written down in US customary and in metric units.
func TestChangingUnitsChangesNothing(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		bushels := rapid.Float64Range(10, 120).Draw(t, "bu/ac")
		dollars := rapid.Float64Range(3.6, 6.4).Draw(t, "$/bu")
		cents := rapid.Float64Range(0.26, 0.74).Draw(t, "$/lb")
		applied := rapid.Float64Range(0, 60).Draw(t, "lb/ac")
		us, metric := wheat(), wheat()
		us.YieldGoal = seen(unit.Yield(bushels) * unit.WheatBushelPerAcre)
		us.GrainPrice, us.NitrogenPrice = seen(unit.PricePerMass(dollars)*unit.PerWheatBushel), seen(unit.PricePerMass(cents)*unit.PerPound)
		us.Applied[0].N = seen(unit.Rate(applied) * unit.PoundPerAcre)
		// 60 lb of 0.45359237 kg to a bushel, 0.40468564224 ha to an acre.
		metric.YieldGoal = seen(unit.Yield(bushels*60*0.45359237/0.40468564224/1000) * unit.TonneOfGrainPerHectare)
		metric.GrainPrice = seen(unit.PricePerMass(dollars/(60*0.45359237)*1000) * unit.PerTonne)
		metric.NitrogenPrice = seen(unit.PricePerMass(cents/0.45359237) * unit.PerKilogram)
		metric.Applied = []nitrogen.Application{{Day: us.Applied[0].Day, N: seen(unit.Rate(applied*0.45359237/0.40468564224) * unit.KilogramPerHectare)}}
		metric.Soil[0].Bottom = 0.6096
		inMetric := nitrogen.Answers(metric, all)
		for k, a := range nitrogen.Answers(us, all) {
			if b := inMetric[k]; a.Answered != b.Answered || math.Abs(float64(a.Rate-b.Rate)) > 1e-9*(1+float64(a.Rate)) {
				t.Fatalf("%s: %v in US units, %v in metric", a.Method, a.Rate, b.Rate)
			}
		}
	})
}

// The parts in which Spread takes two mass balances apart make up the whole difference.
func TestAccountsAddUp(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		for _, a := range nitrogen.Answers(anyField(t), all) {
			if !a.Account.Known || a.Rate == 0 {
				continue
			}
			rate := float64(a.Account.PerYield) * float64(a.Account.Yield)
			for _, s := range a.Account.Supplies {
				rate -= float64(s.Amount)
			}
			if math.Abs(rate-float64(a.Rate)) > 1e-6*(1+math.Abs(rate)) {
				t.Fatalf("%s: the account comes to %v, the rate is %v: %+v", a.Method, rate, a.Rate, a.Account)
			}
		}
	})
}

// What is named as making most of a difference makes more than half of it and not more than all.
func TestACauseIsMostOfTheDifference(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		e := anyField(t)
		answers := nitrogen.Answers(e, all)
		for i, a := range answers {
			if !a.Answered {
				continue
			}
			c := nitrogen.Spread(answers, i, e.Crop).Cause
			share := float64(c.Accounts / c.Difference)
			switch {
			case c.Kind == "":
			case c.Label == "", c.Kind == nitrogen.CauseWay && c.Accounts != 0, c.Kind != nitrogen.CauseWay && !(share > 0.5 && share <= 1):
				t.Fatalf("%s leads: %+v", a.Method, c)
			}
		}
	})
}

func BenchmarkAnswers(b *testing.B) {
	all, e := rules(b), wheat()
	b.ReportAllocs()
	for b.Loop() {
		nitrogen.Answers(e, all)
	}
}

func BenchmarkAnswersLeadSpread(b *testing.B) {
	all, e := rules(b), wheat()
	b.ReportAllocs()
	for b.Loop() {
		answers := nitrogen.Answers(e, all)
		lead, _ := nitrogen.Lead(answers, nil, e.Crop)
		nitrogen.Spread(answers, lead, e.Crop)
	}
}
