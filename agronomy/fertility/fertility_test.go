package fertility_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/fertility"
	"culm/agronomy/fertilizer"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"pgregory.net/rapid"
)

func rules(t testing.TB) []*rulebook.Rule {
	t.Helper()
	books, err := rulebook.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	var all []*rulebook.Rule
	for _, b := range books {
		all = append(all, b.Rules...)
	}
	return all
}

func sample(top, bottom float64, results ...season.Result) *season.Soil {
	return &season.Soil{
		Sample: "1", Field: "a", Day: calendar.Date(2026, 9, 8), Lab: "Flats Laboratory (invented)",
		Top: unit.Length(top) * unit.Inch, Bottom: unit.Length(bottom) * unit.Inch, Results: results,
	}
}

func result(a season.Analyte, v float64, method string) season.Result {
	return season.Result{Analyte: a, Value: v, Method: method}
}

func question(t testing.TB, crop season.Crop, goal unit.Yield, samples ...*season.Soil) fertility.Question {
	return asked(rules(t), crop, goal, samples...)
}

func asked(rules []*rulebook.Rule, crop season.Crop, goal unit.Yield, samples ...*season.Soil) fertility.Question {
	f := &rulebook.Facts{}
	rulebook.Put(f, rulebook.YieldGoal, working.Fact[unit.Yield]{Value: goal, Origin: working.Origin{Kind: working.Setting}})
	return fertility.Question{Crop: crop, Facts: f, Rules: rules, Samples: samples, Prices: map[string]working.Fact[unit.PricePerMass]{}}
}

func price[T unit.Quantity](v T) working.Fact[T] {
	return working.Fact[T]{Value: v, Origin: working.Origin{Kind: working.Setting}}
}

func find(t testing.TB, needs []fertility.Need, name string) fertility.Need {
	t.Helper()
	for _, n := range needs {
		if n.Name == name {
			return n
		}
	}
	t.Fatalf("no word on %s", name)
	return fertility.Need{}
}

// The rates are the books': Kansas State University's sulfur page, 60 bu at 1.5 % organic matter and a test of
// 10 lb, asks for 22.25 lb; South Dakota (Fixen 1987) asks for 60 lb of chloride less the 22 lb found.
func TestRatesAreThoseOfThePublications(t *testing.T) {
	perFeet := 10 / (0.3 * 24) // ppm that make 10 lb/ac in 24 in at 0.3 million lb an acre-inch
	q := question(t, season.WheatGrain, 60*unit.WheatBushelPerAcre,
		sample(0, 6, result(season.OrganicMatter, 0.015, "loss-on-ignition")),
		sample(0, 24, result(season.SulfateS, perFeet, "calcium-phosphate"), result(season.Chloride, 22/(0.3*24), "water")),
	)
	needs := fertility.Plan(q)
	for name, want := range map[string]float64{"sulfur": 22.25, "chloride": 38} { // 22 lb is below the 38 of Cate and Nelson
		n := find(t, needs, name)
		if got := float64(n.Rate / unit.PoundPerAcre); n.Standing != fertility.Short || math.Abs(got-want) > 0.005 || n.When != fertility.Now {
			t.Errorf("%s: %s, %.3f lb/ac %s; published %.2f", name, n.Standing, got, n.When, want)
		}
	}
}

// South Dakota asks for 60 lb less what is there up to 60, but from 38 lb on (5.3 ppm) few fields answered: what
// is asked for there limits nothing, and comes after what does.
func TestWhatIsAskedForAboveTheCriticalLevelLimitsNothing(t *testing.T) {
	q := question(t, season.WheatGrain, 60*unit.WheatBushelPerAcre,
		sample(0, 24, result(season.Chloride, 45/(0.3*24), "water")), sample(0, 6, result(season.Potassium, 125, "ammonium-acetate")))
	needs := fertility.Plan(q)
	if n := find(t, needs, "chloride"); n.Standing != fertility.Spare || math.Abs(float64(n.Rate/unit.PoundPerAcre)-15) > 0.01 {
		t.Errorf("chloride: %s, %v lb/ac", n.Standing, n.Rate/unit.PoundPerAcre)
	}
	if needs[0].Name != "potash" {
		t.Errorf("%s comes first, expected the potash that is short", needs[0].Name)
	}
}

// Soil too acid comes before what is short, what is short before what nobody tested, and of two that are short
// the one farther below its critical level first: wheat with 5 of 20 ppm P and 120 of 130 ppm K.
func TestWhatLimitsMostComesFirst(t *testing.T) {
	q := question(t, season.WheatGrain, 60*unit.WheatBushelPerAcre, sample(0, 6,
		result(season.PH, 5.0, "water-1:1"), result(season.BufferPH, 6.4, "sikora"), result(season.Aluminium, 60, "kcl"),
		result(season.Phosphorus, 5, "bray-1"), result(season.Potassium, 120, "ammonium-acetate"), result(season.Zinc, 2, "mehlich-3"),
	))
	var order []string
	for _, n := range fertility.Plan(q) {
		order = append(order, n.Name+" "+string(n.Standing))
	}
	got := strings.Join(order, ", ")
	if want := "lime short, phosphate short, potash short, "; !strings.HasPrefix(got, want) || !strings.HasSuffix(got, "zinc enough") {
		t.Errorf("in order: %s\nexpected %s… and zinc, of which there is enough, last", got, want)
	}
}

// Kansas State University, eUpdate 559-6: wheat suffers where pH is below 5.5 and aluminium above 25 ppm.
// Montana EB0224: canola does well from 5.5 on; that it is limed to 6.0 is from memory.
func TestLimeIsForTheCropAndNotForTheBuffer(t *testing.T) {
	for _, row := range []struct {
		name   string
		crop   season.Crop
		ph, al float64
		want   fertility.Standing
	}{
		{"a buffer below neutral alone is no reason to lime wheat", season.WheatGrain, 5.9, 0, fertility.Enough},
		{"acid, with aluminium", season.WheatGrain, 5.1, 60, fertility.Short},
		{"acid, aluminium not tested", season.WheatGrain, 5.1, 0, fertility.Short},
		{"acid, but aluminium is low", season.WheatGrain, 5.1, 10, fertility.Enough},
		{"canola is limed where wheat is not yet, on a target from memory", season.Canola, 5.9, 0, fertility.Spare},
		{"wheat for forage as well", season.WheatGrazed, 5.9, 0, fertility.Spare},
		{"canola suffers below 5.5", season.Canola, 5.3, 0, fertility.Short},
	} {
		results := []season.Result{result(season.PH, row.ph, "water-1:1"), result(season.BufferPH, 6.4, "sikora")}
		if row.al > 0 {
			results = append(results, result(season.Aluminium, row.al, "kcl"))
		}
		n := find(t, fertility.Plan(question(t, row.crop, 2500, sample(0, 6, results...))), "lime")
		if n.Standing != row.want {
			t.Errorf("%s: %s, %s", row.name, n.Standing, n.Why)
		}
	}
}

// Oregon State University, EM 9585: Sikora buffer 6.2 to pH 6.0 takes 2.0 tons of pure lime an acre in a 6-in
// sample. Lime of score 50 takes twice that. Nothing is worked in on no-till ground, where lime acts 2 to 3 in
// deep (Iowa State University 2019), so there it is 2.5/6 of that.
func TestLimeAtHandAndItsDepth(t *testing.T) {
	q := question(t, season.Canola, 2500, sample(0, 6, result(season.PH, 5.2, "water-1:1"), result(season.BufferPH, 6.2, "sikora")))
	q.Prefer = []string{"oregon-em9585"}
	q.LimeScore = price(unit.Fraction(0.50))
	q.Prices[fertilizer.LimeKey] = price(40 * unit.PerShortTon)
	for _, row := range []struct {
		tillage    season.Tillage
		tons, cost float64
		portions   int
	}{
		{season.Tilled, 4.0, 160, 1},
		{season.NoTill, 4.0 * 2.5 / 6, 160 * 2.5 / 6, 1},
	} {
		q.Tillage = row.tillage
		q.Facts.Say(rulebook.Tillage, string(row.tillage), working.Origin{Kind: working.Setting})
		n := find(t, fertility.Plan(q), "lime")
		if len(n.Doses) != 1 {
			t.Fatalf("%s: %s, %s; doses %v", row.tillage, n.Standing, n.Why, n.Doses)
		}
		d := n.Doses[0]
		if tons := float64(d.Product / (2000 * unit.PoundPerAcre)); math.Abs(tons-row.tons) > 0.01 || d.Portions != row.portions {
			t.Errorf("%s: %.3f tons in %d portions, expected %.3f in %d", row.tillage, tons, d.Portions, row.tons, row.portions)
		}
		if cost := float64(d.Cost.Value / unit.PerAcre); math.Abs(cost-row.cost) > 0.5 {
			t.Errorf("%s: $%.2f an acre, expected %.2f", row.tillage, cost, row.cost)
		}
	}
	q.LimeScore = price(unit.Fraction(0.20))
	if d := find(t, fertility.Plan(q), "lime").Doses[0]; d.Portions != 3 {
		t.Errorf("%.2f tons on no-till ground come in %d portions, expected 3 of no more than 2 tons (EM 9057)", float64(d.Product/(2000*unit.PoundPerAcre)), d.Portions)
	}
}

// A laboratory's method that no book is for is named, and not converted.
func TestAMethodNoBookIsForIsRefused(t *testing.T) {
	q := question(t, season.WheatGrain, 60*unit.WheatBushelPerAcre, sample(0, 6, result(season.PH, 8.1, "water-1:1"), result(season.Phosphorus, 8, "olsen")))
	n := find(t, fertility.Plan(q), "phosphate")
	if n.Standing != fertility.Silent || !strings.Contains(n.Why, "olsen") {
		t.Errorf("%s: %s", n.Standing, n.Why)
	}
	if len(n.Doses) != 0 || n.Rate != 0 {
		t.Errorf("a rate of %v although no book speaks", n.Rate)
	}
}

// The cheapest sulfate with a price comes first; elemental sulfur, however cheap, does not come in time.
func TestSulfurMustComeInTime(t *testing.T) {
	q := question(t, season.Canola, 2240)
	q.Prices[fertilizer.ElementalSulfurKey] = price(300 * unit.PerShortTon)
	q.Prices[fertilizer.GypsumKey] = price(60 * unit.PerShortTon)
	q.Prices[fertilizer.AmmoniumSulfateKey] = price(420 * unit.PerShortTon)
	q.Nitrogen = price(0.60 * unit.PerPound)
	q.Grain = price(10.25 * unit.PerCanolaBushel)
	n := find(t, fertility.Plan(q), "sulfur")
	if len(n.Doses) == 0 || n.Doses[0].Slow != "" || n.Doses[len(n.Doses)-1].Slow == "" {
		t.Fatalf("%s, doses %+v", n.Why, n.Doses)
	}
	best := n.Doses[0]
	// gypsum: 0.03 ÷ 0.186 = $0.161/lb S. Ammonium sulfate: (0.21 − 0.21 × 0.60) ÷ 0.24 = $0.35/lb S.
	if best.Key != fertilizer.GypsumKey {
		t.Errorf("%s comes first", best.Name)
	}
	bushels := float64(best.BreakEven.Value / unit.CanolaBushelPerAcre)
	if want := float64(best.Cost.Value/unit.PerAcre) / 10.25; math.Abs(bushels-want) > 1e-9 {
		t.Errorf("pays from %.3f bu/ac, expected %.3f", bushels, want)
	}
}

// A test below the critical level is short whether or not a rate can be had: without a yield goal no book gives
// one, and 3 of 20 ppm phosphorus is short all the same.
func TestShortWithoutARate(t *testing.T) {
	q := question(t, season.WheatGrain, 0, sample(0, 6,
		result(season.Phosphorus, 3, "bray-1"), result(season.Potassium, 60, "ammonium-acetate")))
	q.Facts = &rulebook.Facts{}
	needs := fertility.Plan(q)
	if needs[0].Name != "phosphate" || needs[1].Name != "potash" {
		t.Errorf("%s and %s come first", needs[0].Name, needs[1].Name)
	}
	for _, n := range needs[:2] {
		if n.Standing != fertility.Short || n.Rate != 0 || !strings.Contains(n.Why, "yield goal") {
			t.Errorf("%s: %s, %s", n.Name, n.Standing, n.Why)
		}
	}
}

// A book that does not look at the soil can ask for sulfur and cannot call it short.
func TestABookThatDoesNotLookAtTheSoilCallsNothingShort(t *testing.T) {
	q := question(t, season.Canola, 2240, sample(0, 24, result(season.SulfateS, 50, "calcium-phosphate")), sample(0, 6, result(season.Potassium, 90, "ammonium-acetate")))
	needs := fertility.Plan(q)
	if n := find(t, needs, "sulfur"); n.Standing != fertility.Spare {
		t.Errorf("sulfur at 50 ppm: %s, %s", n.Standing, n.Why)
	}
	if needs[0].Name != "potash" {
		t.Errorf("%s comes first", needs[0].Name)
	}
}

// 30 lb of nitrogen as ammonium sulfate 21-0-0-24S brought 34.3 lb of sulfur, more than the 28 lb that 40 bushels
// of canola take up (Canola Council of Canada 2012, 0.6 to 0.8 lb a bushel). What was spread before a sample was
// drawn is in its number already.
func TestWhatWasSpreadIsTakenOff(t *testing.T) {
	brought := fertility.Spreading{Day: calendar.Date(2026, 12, 28), Brings: map[fertilizer.Nutrient]unit.Rate{fertilizer.SulfurS: 30.0 / 21 * 24 * unit.PoundPerAcre}}
	q := question(t, season.Canola, 40*unit.CanolaBushelPerAcre)
	if n := find(t, fertility.Plan(q), "sulfur"); math.Abs(float64(n.Rate/unit.PoundPerAcre)-28) > 0.01 {
		t.Fatalf("%v lb/ac without anything spread", n.Rate/unit.PoundPerAcre)
	}
	q.Spread = []fertility.Spreading{brought}
	if n := find(t, fertility.Plan(q), "sulfur"); n.Rate != 0 || n.Standing != fertility.Enough {
		t.Errorf("%v lb/ac still asked for: %s", n.Rate/unit.PoundPerAcre, n.Why)
	}
	later := sample(0, 24, result(season.SulfateS, 3, "calcium-phosphate"))
	later.Day = calendar.Date(2027, 1, 20)
	q.Samples = []*season.Soil{later}
	if n := find(t, fertility.Plan(q), "sulfur"); n.Spread != 0 {
		t.Errorf("%v lb/ac counted that the sample has seen", n.Spread/unit.PoundPerAcre)
	}
}

// What a soil test says fades: sulfur's within the season, phosphorus' in some years (common practice, no source).
func TestOldTestsAreDoubted(t *testing.T) {
	q := question(t, season.WheatGrain, 60*unit.WheatBushelPerAcre,
		sample(0, 6, result(season.Phosphorus, 10, "bray-1"), result(season.OrganicMatter, 0.015, "loss-on-ignition")), sample(0, 24, result(season.SulfateS, 1, "calcium-phosphate")))
	for _, row := range []struct {
		today      calendar.Day
		nutrient   string
		wantsDoubt bool
	}{
		{calendar.Date(2027, 2, 10), "sulfur", false},
		{calendar.Date(2028, 2, 10), "sulfur", true},
		{calendar.Date(2028, 2, 10), "phosphate", false},
		{calendar.Date(2041, 2, 10), "phosphate", true},
	} {
		q.Today = row.today
		if n := find(t, fertility.Plan(q), row.nutrient); (len(n.Doubts) > 0) != row.wantsDoubt {
			t.Errorf("%s of 2026 in %s: doubts %v", row.nutrient, row.today, n.Doubts)
		}
	}
}

// A trace element that a book calls low without a rate does not come before what has one.
func TestACallWithoutARateComesAfterRates(t *testing.T) {
	q := question(t, season.WheatGrain, 60*unit.WheatBushelPerAcre,
		sample(0, 6, result(season.Zinc, 0.2, "mehlich-3"), result(season.Phosphorus, 18, "bray-1")))
	needs := fertility.Plan(q)
	if needs[0].Name != "phosphate" || find(t, needs, "zinc").Standing != fertility.Low {
		t.Errorf("first %s; zinc %s", needs[0].Name, find(t, needs, "zinc").Standing)
	}
}

// More in the soil never asks for more, whatever else is known.
func TestMoreInTheSoilNeverAsksForMore(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		goal := unit.Yield(rapid.Float64Range(1000, 6000).Draw(t, "goal"))
		at := func(p, k, s, cl float64) []fertility.Need {
			q := asked(all, season.WheatGrain, goal, sample(0, 6,
				result(season.OrganicMatter, 0.02, "loss-on-ignition"), result(season.Phosphorus, p, "bray-1"), result(season.Potassium, k, "ammonium-acetate")),
				sample(0, 24, result(season.SulfateS, s, "calcium-phosphate"), result(season.Chloride, cl, "water")))
			return fertility.Plan(q)
		}
		ppm := func(name string, most float64) (float64, float64) {
			low := rapid.Float64Range(0, most).Draw(t, name)
			return low, low + rapid.Float64Range(0, most).Draw(t, "more "+name)
		}
		p, moreP := ppm("P", 40)
		k, moreK := ppm("K", 200)
		s, moreS := ppm("S", 10)
		cl, moreCl := ppm("Cl", 10)
		poor, rich := at(p, k, s, cl), at(moreP, moreK, moreS, moreCl)
		for _, name := range []string{"phosphate", "potash", "sulfur", "chloride"} {
			for i, w := range findIn(poor, name).Ways {
				other := findIn(rich, name).Ways[i]
				if w.Why == "" && other.Why == "" && other.Value > w.Value+1e-9 || math.IsNaN(w.Value) {
					t.Fatalf("%s by %s: %v with little in the soil, %v with more", name, w.Rule.ID(), w.Value, other.Value)
				}
			}
		}
	})
}

func findIn(needs []fertility.Need, name string) fertility.Need {
	for _, n := range needs {
		if n.Name == name {
			return n
		}
	}
	return fertility.Need{}
}

// Example shows the plan for a field of wheat, what limits most first.
func Example() {
	books, _ := rulebook.Shipped()
	q := fertility.Question{
		Crop: season.WheatGrain, Facts: &rulebook.Facts{},
		Samples: []*season.Soil{sample(0, 6, result(season.Phosphorus, 10, "bray-1"), result(season.Potassium, 160, "ammonium-acetate"))},
	}
	for _, b := range books {
		if b.Key == "kansas-2003" {
			q.Rules = b.Rules
		}
	}
	rulebook.Put(q.Facts, rulebook.YieldGoal, working.Fact[unit.Yield]{Value: 60 * unit.WheatBushelPerAcre, Origin: working.Origin{Kind: working.Setting}})
	for _, n := range fertility.Plan(q) {
		if way, ok := n.Leading(); ok {
			fmt.Printf("%s: %s, %.1f lb/ac (%s)\n", n.Name, n.Standing, n.Rate/unit.PoundPerAcre, way.Status)
		}
	}
	// Output:
	// phosphate: short, 35.6 lb/ac (from memory)
	// potash: enough, 0.0 lb/ac (from memory)
}
