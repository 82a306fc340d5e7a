package rulebook_test

import (
	"slices"
	"strings"
	"testing"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
	"culm/agronomy/rulebook/quantity"
	"culm/season"
)

// give notes numbers in units as books write them: "4 ppm N".
func give(t *testing.T, f *rulebook.Facts, numbers map[rulebook.What]string) *rulebook.Facts {
	t.Helper()
	for w, text := range numbers {
		v, err := quantity.ParseValue(text)
		if err != nil {
			t.Fatal(err)
		}
		f.Give(w, v.Number, v.Unit, byHand)
	}
	return f
}

// TestBetweenPrintedCellsIsDerived: Nebraska EC143 prints 60 lb at 4 ppm, wheat at $5.50 and nitrogen at $0.50, and
// Oregon EM 9585 prints 3.7 ton at buffer pH 6.2 to pH 6.8 for 6 in. What lies between printed cells is a straight
// line of ours, and another depth a habit.
func TestBetweenPrintedCellsIsDerived(t *testing.T) {
	nebraska := func(ppm, wheat string) *rulebook.Facts {
		return give(t, &rulebook.Facts{Crop: season.WheatGrain}, map[rulebook.What]string{rulebook.NitrateMean: ppm + " ppm N", rulebook.GrainPrice: wheat + " $/bu", rulebook.NitrogenPrice: "0.5 $/lb N"})
	}
	oregon := func(buffer, depth, ph string) *rulebook.Facts {
		f := give(t, &rulebook.Facts{}, map[rulebook.What]string{rulebook.BufferPH: buffer + " pH", rulebook.TargetPH: "6.8 pH", rulebook.LimeDepth: depth + " in"})
		if ph != "" {
			give(t, f, map[rulebook.What]string{rulebook.PH: ph + " pH"})
		}
		return f
	}
	for _, c := range []struct {
		name, id string
		facts    *rulebook.Facts
		want     cite.Status
	}{
		{"a printed cell of Nebraska", "nebraska-ec143/nitrogen", nebraska("4", "5.50"), cite.Confirmed},
		{"between two rows", "nebraska-ec143/nitrogen", nebraska("5", "5.50"), cite.Derived},
		{"between two columns", "nebraska-ec143/nitrogen", nebraska("4", "5"), cite.Derived},
		{"a printed cell of Oregon", "oregon-em9585/lime", oregon("6.2", "6", ""), cite.Confirmed},
		{"between its rows", "oregon-em9585/lime", oregon("6.25", "6", ""), cite.Derived},
		{"for another depth", "oregon-em9585/lime", oregon("6.2", "2.5", ""), cite.CommonPractice},
		{"at the target, where the table is not read", "oregon-em9585/lime", oregon("6.25", "6", "6.9"), cite.CommonPractice},
	} {
		if w := rule(t, c.id).Work(c.facts); w.Why != "" || w.Status != c.want {
			t.Errorf("%s: %v [%s] %s, want [%s]", c.name, w.Value, w.Status, w.Why, c.want)
		}
	}
}

// TestWhatAnotherRuleGaveKeepsItsStanding: that canola is limed to pH 6.0 is from memory, so the lime that rests on
// it is too, though Oregon's table is confirmed; and its publication is named.
func TestWhatAnotherRuleGaveKeepsItsStanding(t *testing.T) {
	f := give(t, &rulebook.Facts{Crop: season.Canola}, map[rulebook.What]string{rulebook.BufferPH: "6.2 pH"})
	target := rule(t, "liming/target-canola").Work(f)
	f.Follow(rulebook.TargetPH, target)
	w := rule(t, "oregon-em9585/lime").Work(f)
	if w.Status != cite.FromMemory {
		t.Errorf("stands as %q, want from memory", w.Status)
	}
	if !slices.ContainsFunc(w.Sources, func(s cite.Source) bool { return s.Key == "canola-lime" }) {
		t.Errorf("names %v, want the source of the target among them", w.Sources)
	}
	if in, _ := w.Input(rulebook.TargetPH); in.Status != cite.FromMemory || in.Origin.With != target.Rule.Name {
		t.Errorf("the target is %+v", in)
	}
	f.Follow(rulebook.TargetPH, rulebook.Worked{Why: "no book says"})
	if w := rule(t, "oregon-em9585/lime").Work(f); w.Why == "" {
		t.Error("an answer that is none left a target behind")
	}
}

// TestAWordThatNobodyPrintsRanksNoBetter: of the crops before, Minnesota's page prints soybean, beans and peas. A crop
// of which it prints nothing, or none noted, never stands better than one it prints.
func TestAWordThatNobodyPrintsRanksNoBetter(t *testing.T) {
	status := func(id, crop string) (cite.Status, string) {
		f := wheat()
		f.Say(rulebook.PreviousCrop, crop, byHand)
		f.Sample(sampled(12, season.Result{Analyte: season.AmmoniumN, Value: 2}))
		w := rule(t, id).Work(f)
		if w.Why != "" {
			t.Fatalf("%s after %s: %s", id, crop, w.Why)
		}
		return w.Status, strings.Join(w.Assumed, "; ")
	}
	for _, c := range []struct {
		id, crop string
		want     cite.Status
		assumes  string
	}{
		{"minnesota/nitrogen", "soybean", cite.Confirmed, ""},
		{"minnesota/nitrogen", "corn", cite.Derived, ""},
		{"minnesota/nitrogen", "cotton", cite.Derived, "no figure for cotton in this book; nothing"},
		{"minnesota/nitrogen", "", cite.Derived, "not noted"},
		{"minnesota/nitrogen", "soybeans", cite.Derived, "no figure for soybeans in this book (is soybean meant?)"},
		{"washington-eb1987/nitrogen", "fallow", cite.Derived, ""},
		{"kansas-2003/nitrogen", "cotton", cite.FromMemory, "no figure for cotton"},
	} {
		got, assumed := status(c.id, c.crop)
		if got != c.want || !strings.Contains(assumed, c.assumes) {
			t.Errorf("%s after %q: [%s], assumes %q; want [%s], %q", c.id, c.crop, got, assumed, c.want, c.assumes)
		}
	}
}

// TestStandingsThatTheNotesAdmit: what a note of a book admits, the standing shows: the depth of soil counted for the
// canopy is from memory, the signs of Kansas' sulfur are read back, and pH 5.5 is printed as a level and not a target.
func TestStandingsThatTheNotesAdmit(t *testing.T) {
	canopy := give(t, &rulebook.Facts{Crop: season.Canola}, map[rulebook.What]string{rulebook.FreshMass: "1.25 kg/m2", rulebook.Nitrate: "50 kg N/ha"})
	sulfur := give(t, &rulebook.Facts{Crop: season.WheatGrain}, map[rulebook.What]string{rulebook.YieldGoal: "60 bu/ac", rulebook.OrganicMatter: "1.5 %", rulebook.SulfateTest: "10 lb S/ac"})
	for id, c := range map[string]struct {
		facts *rulebook.Facts
		want  cite.Status
	}{
		"canola-green-area/nitrogen": {canopy, cite.FromMemory},
		"kansas-2003/sulfur":         {sulfur, cite.Derived},
		"liming/target-grain":        {&rulebook.Facts{Crop: season.WheatGrain}, cite.Derived},
	} {
		if w := rule(t, id).Work(c.facts); w.Why != "" || w.Status != c.want {
			t.Errorf("%s: [%s] %s, want [%s]", id, w.Status, w.Why, c.want)
		}
	}
}
