package rulebook_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

func seen[T unit.Quantity](v T) working.Fact[T] {
	return working.Fact[T]{Value: v, Origin: working.Origin{Kind: working.Observed}}
}

var byHand = working.Origin{Kind: working.Setting, By: "the advisor"}

// sampled is one sample from the surface, with results by method.
func sampled(inches float64, results ...season.Result) *season.Soil {
	return &season.Soil{Sample: "7", Lab: "Example lab", Day: calendar.Date(2026, 9, 1), Bottom: unit.Length(inches) * unit.Inch, Results: results}
}

// wheat is a field with a yield goal and a profile test, in invented numbers: 60 bu, 5 ppm over 24 in, 2 %
// organic matter, after soybean, no-till.
func wheat() *rulebook.Facts {
	f := &rulebook.Facts{Crop: season.WheatGrain}
	rulebook.Put(f, rulebook.YieldGoal, seen(60*unit.WheatBushelPerAcre))
	rulebook.Put(f, rulebook.OrganicMatter, seen(2*unit.Percent))
	f.Say(rulebook.PreviousCrop, "soybean", byHand)
	f.Say(rulebook.Tillage, string(season.NoTill), byHand)
	f.Sample(sampled(24, season.Result{Analyte: season.NitrateN, Value: 5}))
	return f
}

// A book's own worked examples run when it is read; this is one of them by hand. University of Minnesota
// Extension: 60 bu, soil test 40 lb, after soybean.
func ExampleRule_Work() {
	books, _ := rulebook.Shipped()
	i := slices.IndexFunc(books, func(b *rulebook.Book) bool { return b.Key == "minnesota" })
	r, _ := books[i].Rule("nitrogen")

	f := rulebook.Facts{Crop: season.WheatGrain}
	rulebook.Put(&f, rulebook.YieldGoal, seen(60*unit.WheatBushelPerAcre))
	rulebook.Put(&f, rulebook.Nitrate, seen(40*unit.PoundPerAcre))
	f.Say(rulebook.PreviousCrop, "soybean", working.Origin{Kind: working.Observed})
	w := r.Work(&f)
	fmt.Println(w.Expression)
	fmt.Println(w.Numbers())
	for _, t := range w.Terms {
		fmt.Printf("  %s: %.0f\n", t.Label, t.Value)
	}
	fmt.Printf("%.0f %s, %s\n", w.Value, r.Unit, w.Status)
	// Output:
	// 2.5 × yield goal − soil nitrate − legume (previous crop) − nitrogen already applied; not below 0; in lb N/ac
	// 2.5 × 60 − 40 − 20 − 0
	//   nitrogen for the yield: 150
	//   soil nitrate: -40
	//   previous crop: -20
	//   nitrogen already applied: 0
	// 90 lb N/ac, confirmed in the source
}

// Two regions for one field: the parts sum to the whole difference, the largest first.
func ExampleCompare() {
	books, _ := rulebook.Shipped()
	worked := map[string]rulebook.Worked{}
	for _, r := range rulebook.Answering(books, rulebook.Nitrogen, season.WheatGrain) {
		worked[r.Method()] = r.Work(wheat())
	}
	d := rulebook.Compare(worked["kansas-2003"], worked["minnesota"])
	fmt.Printf("%.0f less %.0f makes %.0f %s\n", d.B.Value, d.A.Value, d.Whole, d.Unit)
	for _, p := range d.Parts {
		if p.Makes != 0 {
			fmt.Printf("  %+.0f %s\n", p.Makes, p.Label)
		}
	}
	// Output:
	// 94 less 108 makes -14 lb N/ac
	//   +20 organic matter
	//   -20 previous crop
	//   -20 tillage
	//   +6 nitrogen for the yield
}

// What a soil test is worth to a rule depends on depth, mass of soil and method; each is the book's.
func TestSoilTestsOnTheBooksConvention(t *testing.T) {
	nitrate := func(ppm float64) season.Result { return season.Result{Analyte: season.NitrateN, Value: ppm} }
	layer := func(top, bottom, ppm float64) *season.Soil {
		s := sampled(bottom, nitrate(ppm))
		s.Top = unit.Length(top) * unit.Inch
		return s
	}
	for _, c := range []struct {
		name    string
		samples []*season.Soil
		rate    float64 // lb/ac in 24 in at 0.3 lb for each ppm and inch
		mean    float64 // ppm over 36 in
		doubt   string
	}{
		// 5 ppm over 24 in are 36 lb at 0.3 million lb to an acre-inch.
		{"one layer of 24 in", []*season.Soil{layer(0, 24, 5)}, 36, 5, ""},
		{"two layers", []*season.Soil{layer(0, 6, 10), layer(6, 24, 4)}, 18 + 21.6, 5.5, ""},
		{"in any order", []*season.Soil{layer(6, 24, 4), layer(0, 6, 10)}, 18 + 21.6, 5.5, ""},
		{"deeper than the book counts", []*season.Soil{layer(0, 12, 10), layer(12, 36, 5)}, 36 + 18, 20. / 3, ""},
		{"60 cm are 24 in", []*season.Soil{layer(0, 60/2.54, 5)}, 36 * 60 / 2.54 / 24, 5, ""},
		{"only the topsoil", []*season.Soil{layer(0, 6, 10)}, 18, 10, "what lies below the samples is counted as none"},
	} {
		f := wheat().Clone()
		*f = rulebook.Facts{Crop: season.WheatGrain}
		for _, s := range c.samples {
			f.Sample(s)
		}
		rulebook.Put(f, rulebook.YieldGoal, seen(60*unit.WheatBushelPerAcre))
		w := rule(t, "minnesota/nitrogen").Work(f)
		in, _ := w.Input(rulebook.Nitrate)
		if math.Abs(in.Value-c.rate) > 1e-9 || in.Unit != "lb N/ac" {
			t.Errorf("%s: %v %s, want %v lb N/ac", c.name, in.Value, in.Unit, c.rate)
		}
		if assumed := strings.Join(w.Assumed, "; "); c.doubt == "" && strings.Contains(assumed, "sampled") || !strings.Contains(assumed, c.doubt) {
			t.Errorf("%s: assumes %q, want %q", c.name, assumed, c.doubt)
		}
		nebraska := rule(t, "nebraska-ec143/nitrogen")
		if v := nebraska.Slots(f); !v.IsSet(0) {
			t.Errorf("%s: no mean", c.name)
		} else {
			rulebook.Put(f, rulebook.GrainPrice, seen(5*unit.PerWheatBushel))
			rulebook.Put(f, rulebook.NitrogenPrice, seen(0.5*unit.PerPound))
			w := nebraska.Work(f)
			if in, _ := w.Input(rulebook.NitrateMean); math.Abs(in.Value-c.mean) > 1e-9 {
				t.Errorf("%s: mean %v ppm, want %v (%s)", c.name, in.Value, c.mean, w.Why)
			}
		}
	}
}

func TestLaboratoryMethods(t *testing.T) {
	phosphorus := func(method string, ppm, ph float64) *rulebook.Facts {
		f := wheat()
		results := []season.Result{{Analyte: season.Phosphorus, Value: ppm, Method: method}}
		if ph > 0 {
			results = append(results, season.Result{Analyte: season.PH, Value: ph, Method: season.WaterOneToOne})
		}
		f.Sample(sampled(6, results...))
		return f
	}
	kansas := rule(t, "kansas-2003/phosphate")
	for _, c := range []struct {
		name    string
		method  string
		ph      float64
		answers bool
		says    string
	}{
		{"the method the book is for", season.Bray1, 6.5, true, ""},
		{"the other", season.Mehlich3Colorimetric, 6.5, true, ""},
		{"an extract of which nobody says how it was read", season.Mehlich3, 6.5, true, "by a factor of 1"},
		{"read by plasma", season.Mehlich3ICP, 6.5, false, "was measured by Mehlich-3 by ICP, and the book is for Bray 1 or Mehlich-3 by color; the published ratio of Mehlich-3 and Bray-1"},
		{"Olsen", season.Olsen, 6.5, false, "was measured by Olsen, and the book is for Bray 1 or Mehlich-3 by color; what Olsen finds against other extractants differs from soil to soil"},
		{"not to be found out", season.UnknownMethod, 6.5, false, "nobody could tell how phosphorus was measured, and the book is for Bray 1 or Mehlich-3 by color"},
		{"not stated", "", 6.5, true, "the laboratory's method is not stated; taken to be Bray 1"},
		{"converted only where the soil is not calcareous", season.Mehlich3, 7.9, false, "at pH 7.9 the soil is taken to be calcareous (common practice: from pH 7.3)"},
		{"a little below what the soil package takes for calcareous", season.Mehlich3, 7.2, true, "by a factor of 1"},
		{"between what two standards once called calcareous", season.Mehlich3, 7.35, false, "calcareous"},
		{"not where nobody can tell", season.Mehlich3, 0, false, "without a pH in water nobody can tell"},
	} {
		w := kansas.Work(phosphorus(c.method, 10, c.ph))
		said := strings.Join(append(append([]string{w.Why}, w.Assumed...), w.Notes...), " ")
		if (w.Why == "") != c.answers || !strings.Contains(said, c.says) {
			t.Errorf("%s: %v, said %q; want %q", c.name, w.Value, said, c.says)
		}
		// 46 + 0.42 × 60 − 2.3 × 10 − 0.021 × 60 × 10, from memory.
		if c.answers && math.Abs(w.Value-35.6) > 1e-9 {
			t.Errorf("%s: %v lb P2O5/ac, want 35.6", c.name, w.Value)
		}
	}
}

// A value comes in whatever unit it was observed in.
func TestFactsComeInAnyUnit(t *testing.T) {
	r := rule(t, "minnesota/nitrogen")
	give := func(f *rulebook.Facts, w rulebook.What, v float64, u string) {
		parsed, err := quantity.Parse(u)
		if err != nil {
			t.Fatal(err)
		}
		f.Give(w, v, parsed, byHand)
	}
	// 60 bu of 60 lb on an acre are 4.03507 t/ha, 40 lb are 44.834 kg/ha.
	for name, fill := range map[string]func(f *rulebook.Facts){
		"typed":       func(f *rulebook.Facts) { rulebook.Put(f, rulebook.Nitrate, seen(40*unit.PoundPerAcre)) },
		"by hand, lb": func(f *rulebook.Facts) { give(f, rulebook.Nitrate, 40, "lb N/ac") },
		"by hand, kg": func(f *rulebook.Facts) { give(f, rulebook.Nitrate, 40*1.12085115619, "kg/ha") },
		"yield in t/ha": func(f *rulebook.Facts) {
			give(f, rulebook.Nitrate, 40, "lb/ac")
			give(f, rulebook.YieldGoal, 4.0350641623, "t/ha")
		},
		"yield in pounds": func(f *rulebook.Facts) {
			give(f, rulebook.Nitrate, 40, "lb/ac")
			give(f, rulebook.YieldGoal, 3600, "lb/ac")
		},
		"the latest said counts": func(f *rulebook.Facts) {
			give(f, rulebook.Nitrate, 90, "lb/ac")
			rulebook.Put(f, rulebook.Nitrate, seen(40*unit.PoundPerAcre))
		},
	} {
		f := wheat()
		if fill(f); math.Abs(r.Work(f).Value-90) > 1e-6 {
			t.Errorf("%s: %v, want 90", name, r.Work(f).Value)
		}
	}
	f := wheat()
	if give(f, rulebook.Nitrate, 5, "ppm N"); !strings.Contains(r.Work(f).Why, "cannot be put into lb N/ac") {
		t.Errorf("a share of soil as a mass on an area: %q", r.Work(f).Why)
	}
}

func TestWhatIsMissingIsNamed(t *testing.T) {
	for _, c := range []struct {
		name, id, says string
		change         func(*rulebook.Facts)
	}{
		{"no yield goal", "minnesota/nitrogen", "needs a yield goal", func(f *rulebook.Facts) { rulebook.Put(f, rulebook.YieldGoal, working.Fact[unit.Yield]{}) }},
		{"outside the range", "minnesota/nitrogen", "the yield goal is 300 bu/ac, and the book was made for values from 10 to 150", func(f *rulebook.Facts) {
			rulebook.Put(f, rulebook.YieldGoal, seen(300*unit.WheatBushelPerAcre))
		}},
		{"below zero", "minnesota/nitrogen", "the book was made for", func(f *rulebook.Facts) { rulebook.Put(f, rulebook.YieldGoal, seen(unit.Yield(-1))) }},
		{"no number", "minnesota/nitrogen", "yield goal given is not a number", func(f *rulebook.Facts) { rulebook.Put(f, rulebook.YieldGoal, seen(unit.Yield(math.NaN()))) }},
		{"no price", "nebraska-ec143/nitrogen", "needs the grain price", func(*rulebook.Facts) {}},
		{"another crop", "minnesota/nitrogen", "is not for winter canola", func(f *rulebook.Facts) { f.Crop = season.Canola }},
		{"a crop refused with the reason", "minnesota/nitrogen", "No grain is cut", func(f *rulebook.Facts) { f.Crop = season.WheatGrazeOut }},
	} {
		f := wheat()
		c.change(f)
		if w := rule(t, c.id).Work(f); !strings.Contains(w.Why, c.says) || w.Value != 0 {
			t.Errorf("%s: %v, %q; want %q", c.name, w.Value, w.Why, c.says)
		}
	}
}

func TestAssumptionsShow(t *testing.T) {
	f := &rulebook.Facts{Crop: season.WheatGrain}
	rulebook.Put(f, rulebook.YieldGoal, seen(60*unit.WheatBushelPerAcre))
	rulebook.Put(f, rulebook.OrganicMatter, seen(2*unit.Percent))
	f.Say(rulebook.PreviousCrop, "cotton", byHand)
	w := rule(t, "kansas-2003/nitrogen").Work(f)
	for _, want := range []string{"nitrate in the soil, 0–24 in: no soil test", "previous crop: no figure for cotton in this book", "tillage: not noted"} {
		if !slices.ContainsFunc(w.Assumed, func(s string) bool { return strings.HasPrefix(s, want) }) {
			t.Errorf("assumes %q, want %q among it", w.Assumed, want)
		}
	}
	// 2.4 × 60 − 30 by default − 20, from memory.
	if math.Abs(w.Value-94) > 1e-9 || w.Status != cite.FromMemory {
		t.Errorf("%v, %s", w.Value, w.Status)
	}
	if in, _ := w.Input(rulebook.Nitrate); in.Origin.Kind != working.Assumed {
		t.Errorf("the default's origin is %+v", in.Origin)
	}
	for _, term := range w.Terms {
		if want := term.For == rulebook.Nitrate || term.For == rulebook.PreviousCrop || term.For == rulebook.Tillage; term.Assumed != want && term.Value != 0 {
			t.Errorf("%s: assumed %v", term.Label, term.Assumed)
		}
	}
}

// Wheat Life prints 15 to 20 lb for each percent of organic matter; the answer spans both.
func TestSpansOfPublishedNumbers(t *testing.T) {
	f := wheat()
	f.Sample(sampled(12, season.Result{Analyte: season.AmmoniumN, Value: 2}))
	f.Say(rulebook.PreviousCrop, "winter wheat", byHand)
	w := rule(t, "washington-eb1987/nitrogen").Work(f)
	if w.Why != "" || !w.HasRange || w.Low != w.Value || math.Abs(w.High-w.Low-2*5) > 1e-9 {
		t.Errorf("%v from %v to %v, %q; want 10 lb of span at 2 %%", w.Value, w.Low, w.High, w.Why)
	}
}

func TestAnAdvisorsOwnNumbers(t *testing.T) {
	published := rule(t, "minnesota/nitrogen")
	origin := working.Origin{Kind: working.Setting, Why: "five winters of strips here"}
	own, err := published.With("here", "Mass balance, here", map[string]float64{"perBushel": 2.2}, origin)
	if err != nil {
		t.Fatal(err)
	}
	w := own.Work(wheat())
	// 2.2 × 60 − 36 − 20.
	if math.Abs(w.Value-76) > 1e-9 || own.Method() != "here" || !strings.HasPrefix(w.Expression, "2.2 × yield goal") {
		t.Errorf("%v by %s: %s", w.Value, own.Method(), w.Expression)
	}
	for _, e := range w.Used {
		if isOwn := e.Origin == origin; isOwn != (e.Name == "perBushel") {
			t.Errorf("%s comes from %+v", e.Name, e.Origin)
		}
	}
	if again := published.Work(wheat()); math.Abs(again.Value-94) > 1e-9 || !strings.HasPrefix(again.Expression, "2.5 ×") {
		t.Errorf("the published rule has changed: %v, %s", again.Value, again.Expression)
	}
	for name, numbers := range map[string]map[string]float64{"unknown": {"perStone": 1}, "no number": {"perBushel": math.NaN()}} {
		if _, err := published.With("here", "here", numbers, origin); err == nil {
			t.Errorf("%s: was taken", name)
		}
	}
}

// What cannot be set against each other is said, and a rule that is no sum is laid beside the other step by step.
func TestComparingWhatDoesNotCompare(t *testing.T) {
	kansas, minnesota := rule(t, "kansas-2003/nitrogen"), rule(t, "minnesota/nitrogen")
	if d := rulebook.Compare(kansas.Work(wheat()), minnesota.Work(&rulebook.Facts{Crop: season.WheatGrain})); d.Comparable || !strings.Contains(d.Why, "needs a yield goal") {
		t.Errorf("%+v", d.Why)
	}
	phosphate := rule(t, "kansas-2003/phosphate")
	f := wheat()
	f.Sample(sampled(6, season.Result{Analyte: season.Phosphorus, Value: 10, Method: season.Bray1}))
	if d := rulebook.Compare(kansas.Work(f), phosphate.Work(f)); d.Comparable || !strings.Contains(d.Why, "lb P2O5/ac") {
		t.Errorf("nitrogen against phosphate: %+v", d)
	}
	// What leaves with the grain is one product and no sum.
	var removals []rulebook.Worked
	for _, r := range rulebook.Answering(shipped(t), rulebook.Removal, season.WheatGrain) {
		if strings.Contains(r.ID(), "phosphate") {
			removals = append(removals, r.Work(f))
		}
	}
	d := rulebook.Compare(removals[0], removals[1])
	if !d.Comparable || d.NotSum == "" || len(d.Parts) > 0 || len(d.Beside) == 0 || !d.Beside[0].HasA || !d.Beside[0].HasB {
		t.Errorf("%+v", d)
	}
}
