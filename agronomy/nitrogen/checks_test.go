package nitrogen_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/grazing"
	"culm/agronomy/nitrogen"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

func seen[T unit.Quantity](v T) working.Fact[T] {
	return working.Fact[T]{Value: v, Origin: working.Origin{Kind: working.Observed, On: calendar.Date(2027, 2, 10)}}
}

// sampled is one sample of a layer from the surface, taken before this season's first nitrogen.
func sampled(a season.Analyte, ppm, inches float64) *season.Soil {
	return &season.Soil{
		Sample: "1", Day: calendar.Date(2026, 9, 1), Bottom: unit.Length(inches) * unit.Inch,
		Results: []season.Result{{Analyte: a, Value: ppm}},
	}
}

// holding is a sample that holds lb of nitrate-N an acre on the convention of 0.3 million lb to an acre-inch.
func holding(pounds, inches float64) *season.Soil {
	return sampled(season.NitrateN, pounds/0.3/inches, inches)
}

// ammonium is the same for ammonium-N.
func ammonium(pounds, inches float64) *season.Soil {
	return sampled(season.AmmoniumN, pounds/0.3/inches, inches)
}

func soils(all ...*season.Soil) []*season.Soil { return all }

// untested leaves out the samples of an analyte.
func untested(e *nitrogen.Evidence, a season.Analyte) {
	e.Soil = slices.DeleteFunc(slices.Clone(e.Soil), func(s *season.Soil) bool { _, ok := s.Find(a); return ok })
}

var shipped []*rulebook.Rule

func rules(tb testing.TB) []*rulebook.Rule {
	tb.Helper()
	if shipped == nil {
		books, err := rulebook.Shipped()
		if err != nil {
			tb.Fatal(err)
		}
		shipped = nitrogen.Rules(books)
	}
	return shipped
}

// wheat is a field of which everything is known, in invented numbers.
func wheat() nitrogen.Evidence {
	return nitrogen.Evidence{
		Crop: season.WheatGrain, YieldGoal: seen(60 * unit.WheatBushelPerAcre),
		Soil:          soils(holding(36, 24), ammonium(7, 12)),
		OrganicMatter: seen(2 * unit.Percent), PreviousCrop: "wheat", Tillage: season.Tilled,
		Response: nitrogen.ResponseIndex{Index: seen(unit.Ratio(0.72 / 0.55)), Low: 1.15, High: 1.45, Level: 0.9, HasInterval: true},
		Reading:  seen(unit.Index(0.55)), GrowingDays: seen(unit.Days(110)),
		GrainPrice: seen(5.50 * unit.PerWheatBushel), NitrogenPrice: seen(0.50 * unit.PerPound),
		Ramp: &season.Ramp{Steps: []season.RampStep{
			{Rate: 0}, {Rate: 40 * unit.PoundPerAcre, Better: true}, {Rate: 80 * unit.PoundPerAcre, Better: true}, {Rate: 120 * unit.PoundPerAcre},
		}},
		Applied: []nitrogen.Application{{Day: calendar.Date(2026, 9, 20), N: seen(40 * unit.PoundPerAcre)}},
	}
}

func canola() nitrogen.Evidence {
	return nitrogen.Evidence{
		Crop: season.Canola, YieldGoal: seen(2500 * unit.PoundOfGrainPerAcre),
		Soil: soils(holding(40, 24)), OrganicMatter: seen(2 * unit.Percent),
		FreshMass: seen(1.25 * unit.KilogramOfMatterPerSquareMetre),
	}
}

func answer(tb testing.TB, e nitrogen.Evidence, method string) nitrogen.Answer {
	tb.Helper()
	for _, a := range nitrogen.Answers(e, rules(tb)) {
		if a.Method == method {
			return a
		}
	}
	tb.Fatalf("no answer by %s", method)
	return nitrogen.Answer{}
}

func pounds(r unit.Rate) float64 { return float64(r / unit.PoundPerAcre) }

// Every way, for an invented field of which everything is known but its stubble, with 40 lb applied in fall
// after the soil was sampled. The numbers are ours (regression); the published ones are checked below.
func ExampleAnswers() {
	books, _ := rulebook.Shipped()
	for _, a := range nitrogen.Answers(wheat(), nitrogen.Rules(books)) {
		switch {
		case !a.Answered:
			fmt.Printf("%s %s\n", a.Name, a.Why)
		case a.HasRange:
			fmt.Printf("%s: %.0f (%.0f to %.0f) lb/ac, %s\n", a.Name, pounds(a.Rate), pounds(a.Low), pounds(a.High), a.Figure.Status)
		default:
			fmt.Printf("%s: %.0f lb/ac, %s\n", a.Name, pounds(a.Rate), a.Figure.Status)
		}
	}
	// Output:
	// In-season, 2005 form: 33 (16 to 48) lb/ac, from memory
	// In-season, 2001 form: 53 (45 to 60) lb/ac, from memory
	// Ramp of strips: 40 lb/ac, confirmed in the source
	// Mass balance, Kansas 2003 form: 48 lb/ac, from memory
	// Mass balance, Minnesota: 74 lb/ac, derived from confirmed facts
	// Mass balance, Montana: 80 lb/ac, from memory
	// Yield-potential form, Ohio: 47 lb/ac, confirmed in the source
	// Worksheet, Washington dryland: 92 (92 to 102) lb/ac, derived from confirmed facts
	// Price table, Nebraska: 10 lb/ac, derived from confirmed facts
}

// The checks below go through evidence as a field gives it: a soil test in ppm by layer, yields in typed
// units, what was applied by day. The same numbers stand as worked examples in the books.
func TestPublishedRates(t *testing.T) {
	bare := func(e nitrogen.Evidence) nitrogen.Evidence {
		e.Applied = []nitrogen.Application{{Day: calendar.Date(2026, 8, 1), N: seen(unit.Rate(0))}}
		return e
	}
	goal := func(e nitrogen.Evidence, y unit.Yield) nitrogen.Evidence { e.YieldGoal = seen(y); return e }
	with := func(e nitrogen.Evidence, change func(*nitrogen.Evidence)) nitrogen.Evidence {
		change(&e)
		return bare(e)
	}
	for _, c := range []struct {
		name     string
		method   string
		e        nitrogen.Evidence
		want     float64 // lb/ac
		decimals int     // as printed
	}{
		// Kansas State University, eUpdate 541-2: printed table.
		{"canola 2,500 lb, profile 40, 2 %", "canola-plains", bare(canola()), 85, 0},
		{"canola 1,500 lb, profile 80, 2 %", "canola-plains", with(goal(canola(), 1500*unit.PoundOfGrainPerAcre), func(e *nitrogen.Evidence) { e.Soil = soils(holding(80, 24)) }), 0, 0},
		{"canola 3,000 lb, profile 20, 1 %", "canola-plains", with(goal(canola(), 3000*unit.PoundOfGrainPerAcre), func(e *nitrogen.Evidence) {
			e.Soil, e.OrganicMatter = soils(holding(20, 24)), seen(1*unit.Percent)
		}), 145, 0},
		// Montana State University: 3.25 lb for a bushel, soil and fertilizer; derived.
		{"canola 40 bu in Montana, soil 30", "canola-montana", with(goal(canola(), 40*unit.CanolaBushelPerAcre), func(e *nitrogen.Evidence) { e.Soil = soils(holding(30, 24)) }), 100, 0},
		// University of Minnesota; derived from the printed equation.
		{"wheat 60 bu in Minnesota, test 40, after soybean", "minnesota", with(wheat(), func(e *nitrogen.Evidence) {
			e.Soil, e.PreviousCrop = soils(holding(40, 24)), "soybean"
		}), 90, 0},
		// Ohio State University: 1.33 × yield potential − 13.
		{"wheat 100 bu in Ohio", "ohio-974", bare(goal(wheat(), 100*unit.WheatBushelPerAcre)), 120.0, 1},
		{"wheat 70 bu in Ohio", "ohio-974", bare(goal(wheat(), 70*unit.WheatBushelPerAcre)), 80.1, 1},
		// University of Nebraska, EC143 table.
		{"Nebraska 4 ppm, wheat $5.50, nitrogen $0.50", "nebraska-ec143", with(wheat(), func(e *nitrogen.Evidence) { e.Soil = soils(holding(4*0.3*36, 36)) }), 60, 0},
		{"Nebraska 6 ppm, wheat $3.50, nitrogen $0.50", "nebraska-ec143", with(wheat(), func(e *nitrogen.Evidence) {
			e.Soil, e.GrainPrice = soils(holding(6*0.3*36, 36)), seen(3.50*unit.PerWheatBushel)
		}), 0, 0},
		// Washington worksheet in Wheat Life; derived.
		{"hard red winter 60 bu in Washington", "washington-eb1987", with(wheat(), func(e *nitrogen.Evidence) {
			e.Soil, e.OrganicMatter = soils(holding(87, 72), ammonium(7, 12)), seen(3.1*unit.Percent)
		}), 59, 0},
		// Texas A&M: last gain at 80, 40 applied.
		{"ramp of strips", "strip-ramp", wheat(), 40, 0},
		// Kansas 2003 form, from memory.
		{"wheat 60 bu in Kansas, 5 ppm over 24 in", "kansas-2003", bare(wheat()), 88, 0},
		{"the same in no-till", "kansas-2003", with(wheat(), func(e *nitrogen.Evidence) { e.Tillage = season.NoTill }), 108, 0},
		// Montana State University: 2.6 lb for a bushel; derived.
		{"wheat 50 bu in Montana, soil 45", "montana", with(goal(wheat(), 50*unit.WheatBushelPerAcre), func(e *nitrogen.Evidence) { e.Soil = soils(holding(45, 24)) }), 85, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := answer(t, c.e, c.method)
			if !a.Answered {
				t.Fatal(a.Why)
			}
			if got := pounds(a.Rate); math.Abs(got-c.want) > 0.5*math.Pow10(-c.decimals)+1e-9 {
				t.Errorf("%v lb/ac, want %v", got, c.want)
			}
		})
	}
}

// Crop Production Magazine: soil mineral nitrogen 50, a crop at green area index 1, recovery 0.6 make
// 125 kg N/ha.
func TestGreenAreaExample(t *testing.T) {
	e := canola()
	e.YieldGoal = working.Fact[unit.Yield]{}
	e.Soil = soils(holding(50/float64(unit.PoundPerAcre), 90/2.54))
	a := answer(t, e, "canola-green-area")
	if math.Abs(float64(a.Rate)-125) > 0.5 {
		t.Errorf("%v kg/ha, want 125", a.Rate)
	}
	// Teagasc: 30 kg for each 0.5 t above 3.5 t, up to 5 t.
	e.YieldGoal = seen(4 * unit.TonneOfGrainPerHectare)
	if a := answer(t, e, "canola-green-area"); math.Abs(float64(a.Rate)-155) > 0.5 {
		t.Errorf("%v kg/ha for 4 t, want 155", a.Rate)
	}
	e.YieldGoal = seen(6 * unit.TonneOfGrainPerHectare)
	if a := answer(t, e, "canola-green-area"); math.Abs(float64(a.Rate)-215) > 0.5 {
		t.Errorf("%v kg/ha for 6 t, want no more than for 5 t: 215", a.Rate)
	}
}

// Reading 0.55 beside a strip at 0.72 after 110 growing days, by the forms printed in the papers of 2001,
// 2002, 2003 and 2005. The coefficients are from memory, the numbers derived from them: they check the
// arithmetic and not the papers.
func TestInSeasonSteps(t *testing.T) {
	type step struct {
		label    string
		want     float64 // base units
		decimals int     // of the base unit
	}
	for method, steps := range map[string][]step{
		nitrogen.InSeason2005: {
			{"growth per growing day", 0.0050000, 7},
			{"response index, capped", 1.30909, 5},
			{"yield outlook without top-dress", 1817.69, 2},
			{"response index at harvest", 1.51236, 5},
			{"yield outlook with enough nitrogen", 2749.01, 2},
		},
		"in-season-2001": {
			{"growth per growing day", 0.0050000, 7},
			{"response index, capped", 1.30909, 5},
			{"yield outlook without top-dress", 2574.76, 2},
			{"yield outlook with enough nitrogen", 3370.59, 2},
			{"nitrogen in grain", 0.0213712, 7},
			{"nitrogen in all the grain", 72.034, 3},
			{"nitrogen the crop holds already", 30.458, 3},
		},
	} {
		a := answer(t, wheat(), method)
		for _, s := range steps {
			got, ok := input(a.Figure, s.label)
			if !ok || math.Abs(got.Amount.Base-s.want) > 0.5*math.Pow10(-s.decimals)+1e-12 {
				t.Errorf("%s: %s is %v, want %v", method, s.label, got.Amount.Base, s.want)
			}
		}
		want := map[string]float64{nitrogen.InSeason2005: 37.10, "in-season-2001": 59.39}[method]
		if math.Abs(float64(a.Rate)-want) > 0.005 || a.Figure.Status != cite.FromMemory {
			t.Errorf("%s: %v kg/ha, %s; want %v, from memory", method, a.Rate, a.Figure.Status, want)
		}
	}
}

func input(f working.Figure, label string) (working.Input, bool) {
	for _, in := range f.Inputs {
		if in.Label == label {
			return in, true
		}
	}
	return working.Input{}, false
}

// A reader must be able to follow the numbers: a share of nitrogen in grain of 2 % or a step of 0 % of
// organic matter hides them.
func TestSmallNumbersShowTheirDigits(t *testing.T) {
	for _, c := range []struct{ method, label, want string }{
		{nitrogen.InSeason2005, "growth per growing day", "0.00500"},
		{nitrogen.InSeason2005, "nitrogen in grain", "2.39%"},
		{nitrogen.InSeason2005, "share of applied nitrogen that reaches the grain", "60%"},
		{"in-season-2001", "nitrogen in grain", "2.14%"},
		{"kansas-2003", "organic matter", "2.00%"},
	} {
		got, ok := input(answer(t, wheat(), c.method).Figure, c.label)
		if shown := got.Amount.Show(unit.US).String(); !ok || shown != c.want {
			t.Errorf("%s: %s shows as %s, want %s", c.method, c.label, shown, c.want)
		}
	}
	for _, e := range answer(t, wheat(), "kansas-2003").Figure.WouldChange {
		if shown := e.By.Show(unit.US).String(); e.Input == "organic matter" && shown != "0.50%" {
			t.Errorf("organic matter is moved by %s, want 0.50%%", shown)
		}
	}
}

// The herd of Progressive Forage, article 49051, as worked in package grazing: 129.3 lb, and 115.9 lb by the
// variant of Hay and Forage Grower, article 2366, less 40 lb applied.
func TestForageForWheatGrazedOut(t *testing.T) {
	e := wheat()
	e.Crop = season.WheatGrazeOut
	e.Herd = grazing.Herd{Head: seen(unit.Ratio(160)), Mass: seen(635 * unit.Pound), Days: seen(unit.Days(120)), Area: seen(120 * unit.Acre)}
	for method, want := range map[string]float64{"forage-1000": 89.3, "forage-1500": 75.9} {
		if a := answer(t, e, method); math.Abs(pounds(a.Rate)-want) > 0.05 {
			t.Errorf("%s: %v lb/ac, want %v", method, pounds(a.Rate), want)
		}
	}
	if a := answer(t, e, nitrogen.InSeason2005); a.Answered || a.Why == "" {
		t.Errorf("in-season for wheat grazed out: %+v, want a refusal with its reason", a)
	}
}
