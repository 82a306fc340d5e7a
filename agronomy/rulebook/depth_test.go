package rulebook_test

import (
	"math"
	"strings"
	"testing"

	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// TestWhatWasNotSampledIsNotNone: a rule for 24 in of soil does not answer from 6 in, because what lies below is not
// known; where a book says what then counts, it shows as assumed and not as observed.
func TestWhatWasNotSampledIsNotNone(t *testing.T) {
	shallow := wheat()
	shallow.Sample(sampled(6, season.Result{Analyte: season.Chloride, Value: 20}, season.Result{Analyte: season.SulfateS, Value: 4}))
	for _, id := range []string{"south-dakota-chloride/chloride", "kansas-2003/chloride", "kansas-2003/sulfur"} {
		if w := rule(t, id).Work(shallow); !strings.Contains(w.Why, "was sampled 0 to 6 in (0 to 15 cm) only, and the book is for 0–24 in") {
			t.Errorf("%s: %v %q, want it to be silent", id, w.Value, w.Why)
		}
	}
	deep := wheat()
	deep.Sample(sampled(24, season.Result{Analyte: season.Chloride, Value: 5}))
	// 5 ppm are 36 lb over 24 in at 0.3 million lb to the acre-inch; 60 less 36, after Fixen.
	if w := rule(t, "south-dakota-chloride/chloride").Work(deep); w.Why != "" || math.Abs(w.Value-24) > 1e-9 {
		t.Errorf("%v %s, want 24", w.Value, w.Why)
	}
	part := &rulebook.Facts{Crop: season.WheatGrain}
	rulebook.Put(part, rulebook.YieldGoal, seen(60*unit.WheatBushelPerAcre))
	part.Sample(sampled(6, season.Result{Analyte: season.NitrateN, Value: 10}))
	w := rule(t, "minnesota/nitrogen").Work(part)
	in, _ := w.Input(rulebook.Nitrate)
	if in.Origin.Kind != working.Assumed || in.Origin.With != "soil sample 7" || !strings.Contains(strings.Join(w.Assumed, "; "), "what lies below the samples is counted as none") {
		t.Errorf("nitrate comes from %+v, and %q is assumed", in.Origin, w.Assumed)
	}
	for _, term := range w.Terms {
		if term.For == rulebook.Nitrate && !term.Assumed {
			t.Error("the term for nitrate shows as observed")
		}
	}
}

// TestASampleOfAnotherDepth: 8 in will do for 6 in and is said; 24 in is another soil.
func TestASampleOfAnotherDepth(t *testing.T) {
	for _, c := range []struct {
		inches  float64
		why     string
		assumes string
	}{
		{6, "", ""},
		{15 / 2.54, "", ""},
		{8, "", "sampled 0 to 8 in (0 to 20 cm), taken as it is"},
		{4, "", "taken as it is"},
		{24, "phosphorus in the soil was sampled 0 to 24 in (0 to 61 cm), and the book is for 0–6 in: that is another soil", ""},
		{12, "that is another soil", ""},
		{3, "that is another soil", ""},
	} {
		f := wheat()
		f.Sample(sampled(c.inches, season.Result{Analyte: season.Phosphorus, Value: 10, Method: season.Bray1}))
		w := rule(t, "kansas-2003/phosphate").Work(f)
		if !strings.Contains(w.Why, c.why) || (w.Why == "") != (c.why == "") {
			t.Errorf("%v in: %q, want %q", c.inches, w.Why, c.why)
		}
		if assumed := strings.Join(w.Assumed, "; "); !strings.Contains(assumed, c.assumes) || c.assumes == "" && strings.Contains(assumed, "taken as it is") {
			t.Errorf("%v in: assumes %q, want %q", c.inches, assumed, c.assumes)
		}
	}
}

// TestASampleFromBelow: a subsoil sample stands for no topsoil, and that is said.
func TestASampleFromBelow(t *testing.T) {
	f := wheat()
	below := sampled(24, season.Result{Analyte: season.Phosphorus, Value: 10, Method: season.Bray1}, season.Result{Analyte: season.Chloride, Value: 10})
	below.Top = 6 * unit.Inch
	f.Sample(below)
	for id, want := range map[string]string{
		"kansas-2003/phosphate":          "the phosphorus in the soil was sampled 6 to 24 in (15 to 61 cm) only, and the book is for 0–6 in",
		"south-dakota-chloride/chloride": "the chloride in the soil was sampled 6 to 24 in (15 to 61 cm) only, and the book is for 0–24 in",
	} {
		if w := rule(t, id).Work(f); w.Why != want {
			t.Errorf("%s: %q, want %q", id, w.Why, want)
		}
	}
}

// TestFreeLimeDecidesBeforePH: what package soil takes for calcareous, rules do, for phosphorus and potassium alike;
// measured lime decides before a pH, and another sample of the topsoil may tell.
func TestFreeLimeDecidesBeforePH(t *testing.T) {
	ph := func(v float64) season.Result {
		return season.Result{Analyte: season.PH, Value: v, Method: season.WaterOneToOne}
	}
	lime := func(v float64) season.Result { return season.Result{Analyte: season.Carbonate, Value: v} }
	k := season.Result{Analyte: season.Potassium, Value: 114, Method: season.Mehlich3}
	for _, c := range []struct {
		name  string
		tell  []season.Result
		other []season.Result
		why   string
	}{
		{"an acid soil", []season.Result{ph(6)}, nil, ""},
		{"from pH 7.3", []season.Result{ph(7.3)}, nil, "calcareous"},
		{"no pH at all", nil, nil, "nobody can tell"},
		{"no free lime found, though the pH is high", []season.Result{ph(7.6), lime(0)}, nil, ""},
		{"free lime found, though the pH is not high", []season.Result{ph(7.0), lime(0.02)}, nil, "the soil holds free lime (2 %)"},
		{"the pH of another sample", nil, []season.Result{ph(6)}, ""},
		{"the pH of another sample is high", nil, []season.Result{ph(8)}, "calcareous"},
	} {
		f := wheat()
		f.Sample(sampled(6, append(c.tell, k)...))
		if c.other != nil {
			f.Sample(sampled(6, c.other...))
		}
		w := rule(t, "kansas-2003/potash").Work(f)
		if !strings.Contains(w.Why, c.why) || (w.Why == "") != (c.why == "") {
			t.Errorf("%s: %q, want %q", c.name, w.Why, c.why)
		}
		// Ohio State ANR-75: Mehlich-3 is 1.14 times ammonium acetate, so 114 is 100.
		if in, _ := w.Input(rulebook.PotassiumTest); w.Why == "" && math.Abs(in.Value-100) > 1e-9 {
			t.Errorf("%s: %v ppm, want 100", c.name, in.Value)
		}
	}
}

// TestTheUsualMethodNeedNotBeStated: a pH without a method was measured in water, whichever other ways a rule takes too.
func TestTheUsualMethodNeedNotBeStated(t *testing.T) {
	f := wheat()
	f.Sample(sampled(6, season.Result{Analyte: season.PH, Value: 5.2}))
	if w := rule(t, "liming/acidity-wheat").Work(f); w.Why != "" || len(w.Assumed) != 0 {
		t.Errorf("%s; assumes %q", w.Why, w.Assumed)
	}
}

// TestReasonsAreSentences: what a rule lacks or cannot take reads after its name.
func TestReasonsAreSentences(t *testing.T) {
	for _, c := range []struct {
		id    string
		facts *rulebook.Facts
		want  string
	}{
		{"lime-effect/kansas", give(t, &rulebook.Facts{}, map[rulebook.What]string{"cce": "92 %", "passing60": "55 %"}), `needs a number by hand for "passes 8 mesh"`},
		{"oregon-em9585/lime", give(t, &rulebook.Facts{}, map[rulebook.What]string{rulebook.BufferPH: "6.2 pH", rulebook.TargetPH: "5.5 pH"}), "the target pH is 5.5, and the book was made for values from 5.6 to 7.2"},
		{"kansas-2003/lime", give(t, &rulebook.Facts{}, map[rulebook.What]string{rulebook.BufferPH: "6.2 pH", rulebook.TargetPH: "6.2 pH"}), "holds for its printed values only"},
	} {
		if w := rule(t, c.id).Work(c.facts); !strings.Contains(w.Why, c.want) {
			t.Errorf("%s: %q, want %q", c.id, w.Why, c.want)
		}
	}
}

// TestMethodsAsTheTradeWritesThem: no label is the name of a file.
func TestMethodsAsTheTradeWritesThem(t *testing.T) {
	for method, want := range map[string]string{
		season.Mehlich3: "Mehlich-3", season.Mehlich3ICP: "Mehlich-3 by ICP", season.Bray1: "Bray 1", season.Olsen: "Olsen", season.DTPA: "DTPA",
		season.AmmoniumAcetate: "ammonium acetate", season.WaterOneToOne: "water 1:1", season.SikoraBuffer: "Sikora", "kcl": "KCl", "something else": "something else",
	} {
		if got := rulebook.MethodLabel(method); got != want {
			t.Errorf("%s: %s, want %s", method, got, want)
		}
	}
}
