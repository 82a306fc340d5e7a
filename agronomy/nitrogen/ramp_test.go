package nitrogen_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"culm/agronomy/cite"
	"culm/agronomy/nitrogen"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

// Texas A&M: the last strip that still looked better than the one before it, less what the field got.
func TestRampOddities(t *testing.T) {
	steps := func(better ...bool) []season.RampStep {
		var all []season.RampStep
		for i, ok := range better {
			all = append(all, season.RampStep{Rate: unit.Rate(40*i) * unit.PoundPerAcre, Better: ok})
		}
		return all
	}
	ask := func(strips []season.RampStep) nitrogen.Answer {
		e := wheat()
		e.Applied = []nitrogen.Application{{N: seen(unit.Rate(0))}}
		e.Ramp = &season.Ramp{Steps: strips}
		return answer(t, e, nitrogen.StripRamp)
	}
	for _, c := range []struct {
		name   string
		strips []season.RampStep
		want   float64 // lb/ac
		says   string
	}{
		{"even rise", steps(false, true, true, false), 80, ""},
		{"the richest still better", steps(false, true, true, true), 120, "may be greater"},
		{"a strip out of turn", steps(false, false, true, false), 80, "step by step"},
		{"none better", steps(false, false, false), 0, "No strip looked better"},
		{"the first strip has none before it", steps(true, false), 0, "No strip looked better"},
	} {
		a := ask(c.strips)
		if got := pounds(a.Rate); a.Why != "" || math.Abs(got-c.want) > 1e-9 || !strings.Contains(strings.Join(a.Notes, " "), c.says) {
			t.Errorf("%s: %v lb/ac, %q, %q; want %v", c.name, got, a.Notes, a.Why, c.want)
		}
	}
	for says, strips := range map[string][]season.RampStep{
		"none was looked at": nil, "at least 2 strips": steps(true), "rates rise": {{Rate: 40}, {Rate: 40}},
	} {
		if a := ask(strips); !strings.Contains(a.Why, says) {
			t.Errorf("%v, %q; want a refusal that speaks of %q", a.Rate, a.Why, says)
		}
	}
}

// An answer stands no firmer than the weakest number it rests on.
func TestStanding(t *testing.T) {
	fields := map[season.Crop]nitrogen.Evidence{season.WheatGrain: wheat(), season.Canola: canola()}
	for method, want := range map[string]cite.Status{
		"in-season-2005": cite.FromMemory, "in-season-2001": cite.FromMemory, "strip-ramp": cite.Confirmed,
		"kansas-2003": cite.FromMemory, "minnesota": cite.Derived, // after wheat: of that nothing is printed
		"montana":  cite.FromMemory,                                                                   // the coefficient is confirmed, the steps for organic matter are not
		"ohio-974": cite.Confirmed, "washington-eb1987": cite.Derived, "nebraska-ec143": cite.Derived, // between printed cells
	} {
		if a := answer(t, fields[season.WheatGrain], method); a.Figure.Status != want {
			t.Errorf("%s: %s, want %s", method, a.Figure.Status, want)
		}
	}
	for method, want := range map[string]cite.Status{
		"canola-plains": cite.Derived, "canola-montana": cite.Confirmed, "canola-green-area": cite.FromMemory, // the depth of soil counted
	} {
		if a := answer(t, fields[season.Canola], method); a.Figure.Status != want {
			t.Errorf("%s: %s, want %s", method, a.Figure.Status, want)
		}
	}
}

func TestOutlookNeverFallsWithFeeding(t *testing.T) {
	all := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		e := nitrogen.Evidence{
			Crop:        season.WheatGrain,
			Response:    nitrogen.ResponseIndex{Index: seen(unit.Ratio(rapid.Float64Range(0, 4).Draw(t, "index")))},
			Reading:     seen(unit.Index(rapid.Float64Range(0, 1).Draw(t, "reading"))),
			GrowingDays: seen(unit.Days(rapid.Float64Range(30, 250).Draw(t, "days"))),
		}
		for _, a := range nitrogen.Answers(e, all)[:2] {
			if !a.Answered || a.Family != rulebook.FamilyInSeason || a.YieldGain.Cap < 0 || a.Gain(50) < 0 {
				t.Fatalf("%s: %q, a gain of %v", a.Method, a.Why, a.YieldGain.Cap)
			}
		}
	})
}

// An advisor's own book stands before those that come with Culm, within its family.
func TestOwnBooksStandFirstInTheirFamily(t *testing.T) {
	books, err := rulebook.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../rulebook/books/minnesota.yaml")
	if err != nil {
		t.Fatal(err)
	}
	own, err := rulebook.Parse("here.yaml", []byte(strings.Replace(string(text), "key: minnesota", "key: here", 1)))
	if err != nil {
		t.Fatal(err)
	}
	var methods []string
	for _, r := range nitrogen.Rules(append(books, own)) {
		methods = append(methods, r.Method())
	}
	want := "in-season-2005 in-season-2001 strip-ramp here kansas-2003 minnesota montana ohio-974 washington-eb1987 nebraska-ec143 canola-plains canola-montana canola-green-area"
	if got := strings.Join(methods, " "); got != want {
		t.Errorf("in the order\n%s, want\n%s", got, want)
	}
}
