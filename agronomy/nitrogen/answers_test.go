package nitrogen_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/nitrogen"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

func TestAnswersStandInFixedOrder(t *testing.T) {
	full := wheat()
	full.Calibration = &season.Calibration{Label: "two winters here", A: 0.4, B: 300, C: 1.5, D: -0.5, Efficiency: 0.6}
	full.Curves = []nitrogen.Curve{{Form: "linear-plateau", Optimum: 100}, {Form: "quadratic", Optimum: 150}}
	grazedOut := full
	grazedOut.Crop = season.WheatGrazeOut
	rape := canola()
	rape.Curves = full.Curves
	balances := []string{"kansas-2003", "minnesota", "montana", "ohio-974", "washington-eb1987", "nebraska-ec143"}
	for name, c := range map[string]struct {
		e    nitrogen.Evidence
		want []string
	}{
		"wheat for grain": {full, slices.Concat([]string{"in-season-own", "in-season-2005", "in-season-2001", "strip-ramp"}, balances,
			[]string{"curve-linear-plateau", "curve-quadratic"})},
		"nothing known": {nitrogen.Evidence{Crop: season.WheatGrain}, slices.Concat([]string{"in-season-2005", "in-season-2001", "strip-ramp"}, balances)},
		"grazed out": {grazedOut, slices.Concat([]string{"in-season-own", "in-season-2005", "in-season-2001", "strip-ramp"}, balances,
			[]string{"curve-linear-plateau", "curve-quadratic", "forage-1000", "forage-1500"})},
		"canola": {rape, []string{"in-season-2005", "in-season-2001", "strip-ramp", "canola-plains", "canola-montana", "canola-green-area", "curve-linear-plateau", "curve-quadratic"}},
	} {
		var got []string
		for _, a := range nitrogen.Answers(c.e, rules(t)) {
			got = append(got, a.Method)
			if a.Answered == (a.Why != "") {
				t.Errorf("%s: %s answered %v, why %q", name, a.Method, a.Answered, a.Why)
			}
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

func TestWhatIsMissingIsNamed(t *testing.T) {
	without := func(change func(*nitrogen.Evidence)) nitrogen.Evidence {
		e := wheat()
		change(&e)
		return e
	}
	for _, c := range []struct {
		method, says string
		e            nitrogen.Evidence
	}{
		{"kansas-2003", "yield goal", without(func(e *nitrogen.Evidence) { e.YieldGoal = working.Fact[unit.Yield]{} })},
		{"kansas-2003", "organic matter", without(func(e *nitrogen.Evidence) { e.OrganicMatter = working.Fact[unit.Fraction]{} })},
		{"minnesota", "nitrate test", without(func(e *nitrogen.Evidence) { untested(e, season.NitrateN) })},
		{"washington-eb1987", "ammonium test", without(func(e *nitrogen.Evidence) { untested(e, season.AmmoniumN) })},
		{"nebraska-ec143", "grain price", without(func(e *nitrogen.Evidence) { e.GrainPrice = working.Fact[unit.PricePerMass]{} })},
		{"nebraska-ec143", "the book was made for values from", without(func(e *nitrogen.Evidence) { e.NitrogenPrice = seen(0.80 * unit.PerPound) })},
		{"nebraska-ec143", "the book was made for values from", without(func(e *nitrogen.Evidence) { e.Soil = soils(holding(15*0.3*36, 36)) })},
		{"strip-ramp", "ramp", without(func(e *nitrogen.Evidence) { e.Ramp = nil })},
		{"in-season-2005", "response index", without(func(e *nitrogen.Evidence) { e.Response = nitrogen.ResponseIndex{} })},
		{"in-season-2005", "growing day", without(func(e *nitrogen.Evidence) { e.GrowingDays = working.Fact[unit.Days]{} })},
		{"in-season-2005", "growing days from planting to the reading is 0 day", without(func(e *nitrogen.Evidence) { e.GrowingDays = seen(unit.Days(0)) })},
		{"in-season-2005", "from 0 to 1", without(func(e *nitrogen.Evidence) { e.Reading = seen(unit.Index(1.2)) })},
		{"in-season-2001", "reading", without(func(e *nitrogen.Evidence) { e.Reading = seen(unit.Index(math.NaN())) })},
		{"kansas-2003", "yield goal", without(func(e *nitrogen.Evidence) { e.YieldGoal = seen(unit.Yield(-1)) })},
		{"in-season-2005", "No published equation", canola()},
	} {
		if a := answer(t, c.e, c.method); a.Answered || !strings.Contains(a.Why, c.says) {
			t.Errorf("%s: answered %v, %q; want a refusal that speaks of %q", c.method, a.Answered, a.Why, c.says)
		}
	}
}

func TestAssumptionsShow(t *testing.T) {
	e := wheat()
	e.Soil, e.Tillage, e.PreviousCrop, e.Applied = nil, "", "cotton", nil
	a := answer(t, e, "kansas-2003")
	want := []string{
		"nitrate in the soil, 0–24 in: no soil test; the book's default",
		"previous crop: no figure for cotton in this book; nothing is added or taken off",
		"tillage: not noted; nothing is added or taken off",
		"nitrogen already applied: nothing is recorded as spread this season",
	}
	if diff := cmp.Diff(want, a.Assumed); diff != "" {
		t.Errorf("assumed (-want +got):\n%s", diff)
	}
	// 144 − 30 by default (from memory) − 20.
	if got := pounds(a.Rate); math.Abs(got-94) > 1e-9 {
		t.Errorf("%v lb/ac, want 94", got)
	}
	if in, ok := input(a.Figure, "nitrate in the soil, 0–24 in"); !ok || in.Origin.Kind != working.Assumed {
		t.Errorf("soil nitrate as an input: %+v, want it assumed", in)
	}
}

func TestFallowDependsOnTheTest(t *testing.T) {
	// Kansas 2003 form, from memory: fallow takes 20 lb off where there is no profile test, nothing where
	// there is one.
	e := wheat()
	e.Applied, e.PreviousCrop = nil, "fallow"
	if got := pounds(answer(t, e, "kansas-2003").Rate); math.Abs(got-88) > 1e-9 {
		t.Errorf("tested: %v lb/ac, want 88", got)
	}
	untested(&e, season.NitrateN)
	if got := pounds(answer(t, e, "kansas-2003").Rate); math.Abs(got-74) > 1e-9 {
		t.Errorf("untested: %v lb/ac, want 144 − 30 − 20 − 20", got)
	}
}

func TestSamplesShortOfTheBooksDepth(t *testing.T) {
	e := wheat()
	e.Applied = nil
	below := sampled(season.NitrateN, 5, 12)
	below.Top = 6 * unit.Inch
	e.Soil = soils(below, sampled(season.NitrateN, 5, 6))
	a := answer(t, e, "kansas-2003")
	// 144 − 18 − 20: only what was found is credited, and the rest shows as an assumption.
	if got := pounds(a.Rate); math.Abs(got-106) > 1e-9 {
		t.Errorf("%v lb/ac, want 106", got)
	}
	if !slices.ContainsFunc(a.Assumed, func(s string) bool { return strings.Contains(s, "below the samples is counted as none") }) {
		t.Errorf("assumed %q, want the unsampled depth in it", a.Assumed)
	}
	if a := answer(t, e, "nebraska-ec143"); !slices.ContainsFunc(a.Assumed, func(s string) bool { return strings.Contains(s, "stands for all of it") }) {
		t.Errorf("assumed %q, want the unsampled depth in it", a.Assumed)
	}
	// 60 cm are 23.6 in: near enough to 24.
	e.Soil = soils(sampled(season.NitrateN, 5, 60/2.54))
	if a := answer(t, e, "kansas-2003"); slices.ContainsFunc(a.Assumed, func(s string) bool { return strings.Contains(s, "nitrate") }) {
		t.Errorf("assumed %q for a sample to 60 cm, want nothing about nitrate", a.Assumed)
	}
}

func TestNitrogenAlreadyApplied(t *testing.T) {
	on := func(day calendar.Day, lb float64) nitrogen.Application {
		return nitrogen.Application{Day: day, N: seen(unit.Rate(lb) * unit.PoundPerAcre)}
	}
	taken := calendar.Date(2026, 10, 1)
	for _, c := range []struct {
		name    string
		method  string
		sampled calendar.Day
		applied []nitrogen.Application
		want    float64 // lb/ac
		says    string
	}{
		{"after the soil sample it is subtracted", "kansas-2003", taken, []nitrogen.Application{on(taken.Add(10), 40)}, 48, ""},
		{"before the soil sample it is in the test", "kansas-2003", taken, []nitrogen.Application{on(taken.Add(-10), 40)}, 88, "is in the soil test"},
		{"on the same day it came after", "kansas-2003", taken, []nitrogen.Application{on(taken, 40)}, 48, ""},
		{"before and after", "kansas-2003", taken, []nitrogen.Application{on(taken.Add(-10), 40), on(taken.Add(10), 30)}, 58, "is in the soil test"},
		{"day of sampling not known", "kansas-2003", calendar.Day{}, []nitrogen.Application{on(taken, 40)}, 48, "not known"},
		{"a way without soil test subtracts all", "ohio-974", taken, []nitrogen.Application{on(taken.Add(-10), 15)}, 1.33*60 - 13 - 15, ""},
		{"Ohio counts at most 20 lb of fall nitrogen", "ohio-974", taken, []nitrogen.Application{on(taken, 50)}, 1.33*60 - 13 - 20, ""},
		{"but all of winter's", "ohio-974", taken, []nitrogen.Application{on(calendar.Date(2027, 1, 20), 50)}, 1.33*60 - 13 - 50, ""},
		{"the ramp subtracts what the field got", "strip-ramp", taken, []nitrogen.Application{on(taken, 10), on(taken.Add(90), 20)}, 50, ""},
		{"a sensor sees what came before", nitrogen.InSeason2005, taken, []nitrogen.Application{on(taken, 40)}, 37.0975 / float64(unit.PoundPerAcre), "already shows in the crop"},
		{"and not what came after", nitrogen.InSeason2005, taken, []nitrogen.Application{on(calendar.Date(2027, 2, 12), 20)}, 37.0975/float64(unit.PoundPerAcre) - 20, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := wheat()
			e.Applied = c.applied
			for _, s := range e.Soil {
				s.Day = c.sampled
			}
			a := answer(t, e, c.method)
			if got := pounds(a.Rate); math.Abs(got-c.want) > 1e-4 {
				t.Errorf("%v lb/ac, want %v", got, c.want)
			}
			if !strings.Contains(strings.Join(a.Notes, " "), c.says) {
				t.Errorf("notes %q do not speak of %q", a.Notes, c.says)
			}
		})
	}
}

func TestIntervalComesFromTheResponseIndex(t *testing.T) {
	e := wheat()
	a := answer(t, e, nitrogen.InSeason2005)
	for _, end := range []struct {
		index unit.Ratio
		want  unit.Rate
	}{{e.Response.Low, a.Low}, {e.Response.High, a.High}} {
		at := e
		at.Response = nitrogen.ResponseIndex{Index: seen(end.index)}
		if got := answer(t, at, nitrogen.InSeason2005); math.Abs(float64(got.Rate-end.want)) > 1e-9 || got.HasRange {
			t.Errorf("at an index of %v: %v kg/ha, range %v; the interval ends at %v", end.index, got.Rate, got.HasRange, end.want)
		}
	}
	if a.Figure.Interval == nil || a.Figure.Interval.Level != 0.9 {
		t.Errorf("the figure's interval is %+v, want that of the index", a.Figure.Interval)
	}
}

// By the 2005 form, each kg of N makes efficiency ÷ 0.0239 kg of grain up to the fed outlook; from memory.
func TestYieldGain(t *testing.T) {
	near := func(t *testing.T, what string, got, want, within float64) {
		t.Helper()
		if math.Abs(got-want) > within {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	a := answer(t, wheat(), nitrogen.InSeason2005)
	near(t, "slope", a.YieldGain.SlopeKgPerKg, 0.6/0.0239, 1e-9)
	near(t, "cap", float64(a.YieldGain.Cap), 2749.01-1817.69, 0.01)
	near(t, "gain at the rate", float64(a.Gain(a.Rate)), float64(a.YieldGain.Cap), 1e-6)
	near(t, "gain beyond the rate", float64(a.Gain(2*a.Rate)), float64(a.YieldGain.Cap), 1e-6)
	near(t, "gain at half the rate", float64(a.Gain(a.Rate/2)), float64(a.YieldGain.Cap/2), 1e-6)
	low, high := a.GainRange(200)
	if !(low < a.YieldGain.Cap && a.YieldGain.Cap < high) {
		t.Errorf("gain from %v to %v does not hold %v", low, high, a.YieldGain.Cap)
	}

	// Kansas counts 2.4 lb for 60 lb of grain: 25 lb of grain for each lb.
	a = answer(t, wheat(), "kansas-2003")
	near(t, "Kansas slope", a.YieldGain.SlopeKgPerKg, 25, 1e-9)
	near(t, "Kansas gain at 10 lb", float64(a.Gain(10*unit.PoundPerAcre)/unit.PoundOfGrainPerAcre), 250, 1e-9)
	// Canola: 0.05 lb for each lb.
	near(t, "canola slope", answer(t, canola(), "canola-plains").YieldGain.SlopeKgPerKg, 20, 1e-9)

	a = answer(t, wheat(), "in-season-2001")
	near(t, "2001 gain at the rate", float64(a.Gain(a.Rate)), 3370.59-2574.76, 0.01)

	for _, method := range []string{"strip-ramp", "nebraska-ec143"} {
		if a := answer(t, wheat(), method); a.YieldGain.Known || a.Gain(50) != 0 {
			t.Errorf("%s says something of yield: %+v", method, a.YieldGain)
		}
	}
}

func TestCurve(t *testing.T) {
	e := wheat() // 40 lb applied
	e.Curves = []nitrogen.Curve{
		{
			Form: "quadratic-plateau", Optimum: 120, Low: 90, High: 160, Level: 0.9, HasInterval: true, Reason: "from here on nitrogen brings less than it costs",
			Points: []nitrogen.CurvePoint{{Total: 0, Yield: 3000}, {Total: 100, Yield: 5000}, {Total: 200, Yield: 5500}},
		},
		{Form: "quadratic", Optimum: 200, Beyond: true, Low: 100, High: 300, HasInterval: true},
		{Form: "mitscherlich", Refused: true, Reason: "the curve bends upward"},
	}
	forty := 40 * unit.PoundPerAcre
	a := answer(t, e, "curve-quadratic-plateau")
	if a.Rate != 120-forty || a.Low != 90-forty || a.High != 160-forty || !a.HasRange {
		t.Errorf("%v (%v to %v) kg/ha, want the optimum and its bounds less what was applied", a.Rate, a.Low, a.High)
	}
	// From 44.83 to 120 kg: 20 kg a kg up to 100, 5 from there.
	if got, want := float64(a.Gain(120-forty)), (100-float64(forty))*20+20*5; math.Abs(got-want) > 1e-9 {
		t.Errorf("gain %v kg/ha, want %v", got, want)
	}
	if a := answer(t, e, "curve-quadratic"); a.HasRange || len(a.Notes) == 0 {
		t.Errorf("an optimum beyond the trial: range %v, notes %q; want no range and a note", a.HasRange, a.Notes)
	}
	if a := answer(t, e, "curve-mitscherlich"); a.Answered || a.Why != "the curve bends upward" {
		t.Errorf("a refused fit: answered %v, %q", a.Answered, a.Why)
	}
}

func TestOwnCalibration(t *testing.T) {
	e := wheat()
	e.Calibration = &season.Calibration{Label: "two winters on the river farms", A: 0.359, B: 324.4, C: 1.69, D: -0.70, Efficiency: 0.6}
	own, published := answer(t, e, nitrogen.OwnCalibration), answer(t, e, nitrogen.InSeason2005)
	if own.Rate != published.Rate || own.FittedOn != e.Calibration.Label {
		t.Errorf("the published numbers as an own calibration give %v, %q; published %v", own.Rate, own.FittedOn, published.Rate)
	}
	if own.Figure.Source != "" || own.Figure.Status != "" || strings.Contains(strings.Join(own.Notes, " "), "plains") {
		t.Errorf("an own calibration shows source %q, status %q, notes %q; want none of the publication's", own.Figure.Source, own.Figure.Status, own.Notes)
	}
	for label, want := range map[string]working.Origin{
		"own calibration: factor of the outlook":           {Kind: working.Setting, Why: e.Calibration.Label},
		"share of applied nitrogen that reaches the grain": {Kind: working.Setting, Why: e.Calibration.Label},
		"nitrogen in grain":                                {Kind: working.Rulebook, Source: cite.Raun2005},
	} {
		if got, ok := input(own.Figure, label); !ok || got.Origin != want {
			t.Errorf("%s: %+v, want %+v", label, got.Origin, want)
		}
	}
	e.Calibration.Efficiency = 0.5
	if own := answer(t, e, nitrogen.OwnCalibration); math.Abs(float64(own.Rate-published.Rate*0.6/0.5)) > 1e-9 {
		t.Errorf("at an efficiency of 0.5: %v, want %v", own.Rate, published.Rate*0.6/0.5)
	}
	for name, bad := range map[string]season.Calibration{
		"falls with the reading": {A: 1, B: -1, C: 1, Efficiency: 0.5},
		"not a number":           {A: math.NaN(), B: 1, C: 1, Efficiency: 0.5},
		"no efficiency":          {A: 1, B: 1, C: 1},
		"empty":                  {},
	} {
		e.Calibration = &bad
		if a := answer(t, e, nitrogen.OwnCalibration); a.Answered || a.Why == "" {
			t.Errorf("%s: %+v, want a refusal with its reason", name, a)
		}
	}
}

func TestWhatWouldChange(t *testing.T) {
	a := answer(t, wheat(), "kansas-2003")
	want := map[string]float64{ // lb/ac: from 48 by the coefficients of the book
		"yield goal":               48 + 2.4*5,
		"soil nitrate":             48 - 10,
		"organic matter":           48 - 10*0.5,
		"nitrogen already applied": 48 - 10,
	}
	got := map[string]float64{}
	for _, e := range a.Figure.WouldChange {
		got[e.Input] = math.Round(pounds(unit.Rate(e.To.Base))*1e6) / 1e6
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("effects (-want +got):\n%s", diff)
	}

	// A greener crop beside the same reference needs less.
	for _, e := range answer(t, wheat(), nitrogen.InSeason2005).Figure.WouldChange {
		if e.Input == "reading beside the reference" && !(e.To.Base < 37) {
			t.Errorf("0.05 more beside the reference: %v kg/ha, want less than 37", e.To.Base)
		}
	}
	// Nitrogen at $0.70 cannot rise by a tenth within the table, so it falls.
	e := wheat()
	e.NitrogenPrice = seen(0.70 * unit.PerPound)
	for _, effect := range answer(t, e, "nebraska-ec143").Figure.WouldChange {
		if effect.Input == "nitrogen price" && effect.By.Base >= 0 {
			t.Errorf("the nitrogen price moves by %v, out of the table", effect.By.Base)
		}
	}
}

// Kansas 2003 form, from memory: 40 lb for 100 lb/ac of live weight gained, 30 lb after sorghum. Montana, from
// memory: 10 lb for 1,000 lb of stubble, 20 lb more below 1 % organic matter and less above 3 %.
func TestTermsBesideYieldAndSoil(t *testing.T) {
	base := wheat()
	base.Applied = nil
	with := func(change func(*nitrogen.Evidence)) nitrogen.Evidence {
		e := base
		change(&e)
		return e
	}
	grazed := with(func(e *nitrogen.Evidence) { e.Crop, e.Gain = season.WheatGrazed, seen(100*unit.PoundOfGainPerAcre) })
	for _, c := range []struct {
		name, method string
		e            nitrogen.Evidence
		want         float64
	}{
		{"grazed", "kansas-2003", grazed, 88 + 40},
		{"gain on wheat that is not grazed counts for nothing", "kansas-2003", with(func(e *nitrogen.Evidence) { e.Gain = grazed.Gain }), 88},
		{"after sorghum", "kansas-2003", with(func(e *nitrogen.Evidence) { e.PreviousCrop = "Sorghum" }), 88 + 30},
		{"stubble", "montana", with(func(e *nitrogen.Evidence) { e.Stubble = seen(3000 * unit.PoundOfMatterPerAcre) }), 156 - 36 + 30},
		{"little organic matter", "montana", with(func(e *nitrogen.Evidence) { e.OrganicMatter = seen(0.8 * unit.Percent) }), 156 - 36 + 20},
		{"much organic matter", "montana", with(func(e *nitrogen.Evidence) { e.OrganicMatter = seen(3.5 * unit.Percent) }), 156 - 36 - 20},
	} {
		if got := pounds(answer(t, c.e, c.method).Rate); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %v lb/ac, want %v", c.name, got, c.want)
		}
	}
	grazed.Gain = working.Fact[unit.Gain]{}
	if a := answer(t, grazed, "kansas-2003"); !slices.ContainsFunc(a.Assumed, func(s string) bool { return strings.Contains(s, "live weight gained") }) {
		t.Errorf("grazed without a gain recorded assumes %q", a.Assumed)
	}
}

func TestPassWithoutItsRate(t *testing.T) {
	e := wheat()
	e.Applied = []nitrogen.Application{{Day: calendar.Date(2026, 9, 20)}}
	a := answer(t, e, "kansas-2003")
	if math.Abs(pounds(a.Rate)-88) > 1e-9 || !slices.Contains(a.Assumed, "nitrogen already applied: a pass is recorded without its rate") {
		t.Errorf("%v lb/ac, assumed %q", pounds(a.Rate), a.Assumed)
	}
}
