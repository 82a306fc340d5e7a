package grazing_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"culm/agronomy/cite"
	"culm/agronomy/grazing"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

func seen[T unit.Quantity](v T) working.Fact[T] {
	return working.Fact[T]{Value: v, Origin: working.Origin{Kind: working.Observed}}
}

func steers() grazing.Herd {
	return grazing.Herd{Head: seen(unit.Ratio(160)), Mass: seen(635 * unit.Pound), Days: seen(unit.Days(120)), Area: seen(120 * unit.Acre)}
}

// 160 steers of 635 lb for 120 days on 120 acres. The formula is printed in Progressive Forage, article
// 49051, the variant in Hay and Forage Grower, article 2366; the herd's numbers are worked from them.
func ExampleWay_Nitrogen() {
	f, _ := steers().Forage()
	fmt.Printf("eaten %.0f lb, to grow %.1f lb/ac\n", float64(f.Eaten/unit.Pound), float64(f.Grown/unit.PoundOfMatterPerAcre))
	for _, w := range grazing.Ways() {
		fmt.Printf("%s: %.1f lb N/ac\n", w.Key, float64(w.Nitrogen(f.Grown)/unit.PoundPerAcre))
	}
	// Output:
	// eaten 365760 lb, to grow 3585.9 lb/ac
	// forage-1000: 129.3 lb N/ac
	// forage-1500: 115.9 lb N/ac
}

// Farm Progress, "High-priced stockers might still pencil profits": in at 550 lb and $149.23 a hundred, out
// at 844 lb and $123.42. The article rounds $0.7514 to 74 cents by calling 294 lb almost 300. DTN, 27 July
// 2015: 400 lb for $1,168, 450 lb for $1,273.
func ExampleValueOfGain() {
	steer, _ := grazing.ValueOfGain(
		grazing.Animal{Mass: 550 * unit.Pound, Price: 1.4923 * unit.PerPound},
		grazing.Animal{Mass: 844 * unit.Pound, Price: 1.2342 * unit.PerPound})
	calf, _ := grazing.ValueOfGain(
		grazing.Animal{Mass: 400 * unit.Pound, Price: 1168. / 400 * unit.PerPound},
		grazing.Animal{Mass: 450 * unit.Pound, Price: 1273. / 450 * unit.PerPound})
	fmt.Printf("$%.4f and $%.2f a lb\n", float64(steer/unit.PerPound), float64(calf/unit.PerPound))
	// Output: $0.7514 and $2.10 a lb
}

func TestValueOfGainNeedsAGain(t *testing.T) {
	steer := grazing.Animal{Mass: 250, Price: 3}
	for _, in := range []grazing.Animal{steer, {Mass: 300, Price: 3}, {Mass: unit.Mass(math.NaN()), Price: 3}} {
		if v, err := grazing.ValueOfGain(in, steer); err == nil {
			t.Errorf("in at %v kg, out at 250 kg: value of gain %v, want an error", in.Mass, v)
		}
	}
}

func TestForageSaysWhatIsMissing(t *testing.T) {
	for name, h := range map[string]grazing.Herd{
		"no herd":    {},
		"no weight":  {Head: seen(unit.Ratio(1)), Days: seen(unit.Days(1)), Area: seen(unit.Hectare)},
		"no area":    {Head: seen(unit.Ratio(1)), Mass: seen(unit.Tonne), Days: seen(unit.Days(1))},
		"zero area":  {Head: seen(unit.Ratio(1)), Mass: seen(unit.Tonne), Days: seen(unit.Days(1)), Area: seen(unit.Area(0))},
		"minus head": {Head: seen(unit.Ratio(-1)), Mass: seen(unit.Tonne), Days: seen(unit.Days(1)), Area: seen(unit.Hectare)},
	} {
		if f, why := h.Forage(); why == "" || f != (grazing.Forage{}) {
			t.Errorf("%s: forage %v, why %q; want none and a reason", name, f, why)
		}
	}
}

// 16 lb of usable dry matter for a lb of N and 8 lb for a lb of gain make about 2 lb of gain: common
// practice, no source. The Kansas mass balance adds 40 lb N for 100 lb of gain (from memory), which is the
// other end.
func TestGainFromNitrogen(t *testing.T) {
	low, high := grazing.GainFrom(1 * unit.PoundPerAcre)
	near := func(got, want float64) bool { return math.Abs(got-want) < 1e-9 }
	if !near(float64(low/unit.PoundOfGainPerAcre), 2) || !near(float64(high/unit.PoundOfGainPerAcre), 2.5) {
		t.Errorf("a lb of N makes %v to %v, want 2 to 2.5 lb of gain", low/unit.PoundOfGainPerAcre, high/unit.PoundOfGainPerAcre)
	}
	least, most := grazing.NitrogenFor(100 * unit.PoundOfGainPerAcre)
	if !near(float64(least/unit.PoundPerAcre), 40) || !near(float64(most/unit.PoundPerAcre), 50) {
		t.Errorf("100 lb of gain takes %v to %v lb of N, want 40 to 50", least/unit.PoundPerAcre, most/unit.PoundPerAcre)
	}
}

// Clemson University, nitrate levels in forage, ppm NO3-N of dry matter.
func TestNitrateClasses(t *testing.T) {
	for _, c := range []struct {
		ppm            unit.Concentration
		most, pregnant unit.Fraction
	}{
		{0, 1, 1},
		{1000, 1, 1},
		{1001, 1, 0.5},
		{1500, 1, 0.5},
		{1800, 0.5, 0.5},
		{2000, 0.5, 0.5},
		{3500, 0.35, 0},
		{3501, 0.25, 0},
		{4000, 0.25, 0},
		{4001, 0, 0},
		{20000, 0, 0},
	} {
		got, ok := grazing.JudgeNitrate(c.ppm)
		if !ok || got.MostOfRation != c.most || got.MostForPregnant != c.pregnant {
			t.Errorf("%v ppm NO3-N: %+v, %v; want %v of the ration, %v for pregnant animals", c.ppm, got, ok, c.most, c.pregnant)
		}
	}
	for _, ppm := range []float64{-1, math.NaN()} {
		if got, ok := grazing.JudgeNitrate(unit.Concentration(ppm)); ok {
			t.Errorf("%v ppm is judged %+v", ppm, got)
		}
	}
	// 6,000 ppm NO3 is 1,355 ppm NO3-N (from atomic masses).
	if got := grazing.NitrateN(6000); math.Abs(float64(got)-1355) > 0.5 {
		t.Errorf("6,000 ppm NO3 is %v ppm NO3-N, want 1,355", got)
	}
}

func TestMoreNitrateIsNeverSafer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 6000).Draw(t, "ppm")
		b := rapid.Float64Range(a, 6000).Draw(t, "more ppm")
		less, _ := grazing.JudgeNitrate(unit.Concentration(a))
		more, _ := grazing.JudgeNitrate(unit.Concentration(b))
		if more.MostOfRation > less.MostOfRation || more.MostForPregnant > less.MostForPregnant {
			t.Fatalf("%v ppm: %+v; %v ppm: %+v", a, less, b, more)
		}
	})
}

// Kansas State University, Forage Facts FORA23: wheat pasture has 20 to 30 % crude protein. 1,000 lb of dry
// matter at 25 % holds 40 lb of N, at the feed analysts' 6.25.
func TestProtein(t *testing.T) {
	if got := grazing.NitrogenHeld(1000*unit.PoundOfMatterPerAcre, 0.25) / unit.PoundPerAcre; math.Abs(float64(got)-40) > 1e-9 {
		t.Errorf("1,000 lb at 25 %% holds %v lb of N, want 40", got)
	}
	if p := grazing.JudgeProtein(0.25); p.SuggestsNitrogen || p.Source != cite.WheatPasture {
		t.Errorf("25 %%: %+v", p)
	}
	if p := grazing.JudgeProtein(0.12); !p.SuggestsNitrogen || p.Status != cite.CommonPractice {
		t.Errorf("12 %%: %+v", p)
	}
}

func TestMoreCattleTakeMoreNitrogen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := steers()
		h.Head.Value = unit.Ratio(rapid.Float64Range(0, 500).Draw(t, "head"))
		few, _ := h.Forage()
		h.Head.Value += unit.Ratio(rapid.Float64Range(0, 500).Draw(t, "more head"))
		many, _ := h.Forage()
		for _, w := range grazing.Ways() {
			a, b := w.Nitrogen(few.Grown), w.Nitrogen(many.Grown)
			if a < 0 || b < a {
				t.Fatalf("%s: %v for few, %v for many", w.Key, a, b)
			}
		}
	})
}
