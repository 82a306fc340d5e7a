package rulebook_test

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"

	"pgregory.net/rapid"
)

// TestBooksStand checks every shipped book as `culm rulebook check` does: keys and sources, units, ranges, an
// answer everywhere inside the ranges, the claims, the worked examples.
func TestBooksStand(t *testing.T) {
	names, err := filepath.Glob("books/*.yaml")
	if err != nil || len(names) < 20 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		report := rulebook.Check(filepath.Base(name), text)
		for _, p := range report.Problems() {
			t.Error(p)
		}
		if !report.OK() {
			t.Errorf("%s does not stand", name)
		}
		if b := report.Book; b != nil && b.Key+".yaml" != filepath.Base(name) {
			t.Errorf("%s calls itself %s", name, b.Key)
		}
	}
}

// TestBooksSayWhatTheyAreWorth: every rule names a publication, every constant has a standing, and whatever
// says "from memory" in words has that status.
func TestBooksSayWhatTheyAreWorth(t *testing.T) {
	for _, b := range shipped(t) {
		for _, s := range b.Sources {
			if says := strings.Contains(strings.ToLower(s.Text), "from memory"); says != (s.Status == cite.FromMemory) {
				t.Errorf("%s: the source %s says %q and has the status %q", b.Key, s.Key, s.Text, s.Status)
			}
		}
		for _, r := range b.Rules {
			if _, ok := b.Source(r.Source); !ok {
				t.Errorf("%s names no publication", r.ID())
			}
			for _, c := range r.Constants {
				if c.Status == "" {
					t.Errorf("%s: %s has no standing", r.ID(), c.Name)
				}
			}
			if s, _ := b.Source(r.Source); s.Status == cite.FromMemory {
				for _, c := range r.Constants {
					if c.Source == r.Source && c.Status == cite.Confirmed {
						t.Errorf("%s: %s is called confirmed in a publication that is only recalled", r.ID(), c.Name)
					}
				}
			}
		}
	}
}

// TestMoreInTheSoilNeverMeansMore: every shipped rule for a rate of a nutrient says of each soil test of that
// nutrient that the rate never rises with it, and every one for lime says so of the buffer pH. The check holds
// them to it.
func TestMoreInTheSoilNeverMeansMore(t *testing.T) {
	tests := map[rulebook.Answer][]rulebook.What{
		rulebook.Nitrogen:  {rulebook.Nitrate, rulebook.NitrateMean, rulebook.Ammonium, rulebook.OrganicMatter},
		rulebook.Phosphate: {rulebook.PhosphorusTest},
		rulebook.Potash:    {rulebook.PotassiumTest},
		rulebook.Sulfur:    {rulebook.SulfateTest, rulebook.OrganicMatter},
		rulebook.Chloride:  {rulebook.ChlorideTest},
		rulebook.BuildUp:   {rulebook.PhosphorusTest, rulebook.PotassiumTest},
		rulebook.Lime:      {rulebook.BufferPH},
	}
	for _, b := range shipped(t) {
		for _, r := range b.Rules {
			for _, what := range tests[r.Answers] {
				i := r.Slot(what)
				// Ohio asks for organic matter only to see whether the form is for the soil.
				if i < 0 || r.Inputs[i].Optional {
					continue
				}
				if !slices.ContainsFunc(r.Claims, func(c rulebook.Claim) bool {
					return c.Input == what && c.Rises && c.Never == "never rises"
				}) {
					t.Errorf("%s does not say that it never rises with %s", r.ID(), what)
				}
			}
		}
	}
}

// TestNoBookGivesANumberThatIsNone asks every shipped rule for every kind of input, sensible or not: it answers with
// a finite number, or is silent and says why.
func TestNoBookGivesANumberThatIsNone(t *testing.T) {
	var rules []*rulebook.Rule
	for _, b := range shipped(t) {
		rules = append(rules, b.Rules...)
	}
	rapid.Check(t, func(rt *rapid.T) {
		r := rapid.SampledFrom(rules).Draw(rt, "rule")
		slots := r.NewSlots()
		for i, in := range r.Inputs {
			switch {
			case rapid.IntRange(0, 9).Draw(rt, "missing") == 0:
			case in.Sort == rulebook.Word:
				slots.SetWord(i, rapid.SampledFrom([]string{"", "fallow", "wheat", "no-till", "mineral", "moss"}).Draw(rt, string(in.Name)))
			case rapid.IntRange(0, 9).Draw(rt, "wild") == 0:
				slots.Set(i, rapid.Float64().Draw(rt, string(in.Name)))
			default:
				slots.Set(i, rapid.Float64Range(in.Low, in.High).Draw(rt, string(in.Name)))
			}
		}
		v, why := r.Evaluate(slots)
		switch {
		case !why.Answered() && r.Why(slots, why) == "":
			rt.Fatalf("%s is silent and does not say why", r.ID())
		case math.IsNaN(v) || math.IsInf(v, 0) || v < 0 && r.Answers != rulebook.Index:
			rt.Fatalf("%s gives %v", r.ID(), v)
		}
	})
}

// readOnce reads the shipped books once for all tests.
var readOnce = sync.OnceValues(rulebook.Shipped)

// shipped gives the books that come with Culm.
func shipped(t testing.TB) []*rulebook.Book {
	t.Helper()
	books, err := readOnce()
	if err != nil {
		t.Fatal(err)
	}
	return books
}

// rule finds a rule by its full name, such as "minnesota/nitrogen".
func rule(t testing.TB, id string) *rulebook.Rule {
	t.Helper()
	for _, b := range shipped(t) {
		for _, r := range b.Rules {
			if r.ID() == id {
				return r
			}
		}
	}
	t.Fatalf("no rule %s", id)
	return nil
}

// given are inputs by name: numbers in the rule's own units, or words.
type given map[rulebook.What]any

// ask evaluates a rule; ok is false where it is silent.
func ask(t testing.TB, r *rulebook.Rule, in given) (v float64, ok bool) {
	t.Helper()
	slots := r.NewSlots()
	for name, value := range in {
		i := r.Slot(name)
		if i < 0 {
			t.Fatalf("%s does not ask for %s", r.ID(), name)
		}
		switch value := value.(type) {
		case string:
			slots.SetWord(i, value)
		case int:
			slots.Set(i, float64(value))
		case float64:
			slots.Set(i, value)
		default:
			t.Fatalf("%s is a %T", name, value)
		}
	}
	v, why := r.Evaluate(slots)
	if !why.Answered() {
		t.Logf("%s: %s", r.ID(), r.Why(slots, why))
	}
	return v, why.Answered()
}

// answer evaluates a rule that must answer.
func answer(t testing.TB, r *rulebook.Rule, in given) float64 {
	t.Helper()
	v, ok := ask(t, r, in)
	if !ok {
		t.Errorf("%s is silent for %v", r.ID(), in)
	}
	return v
}
