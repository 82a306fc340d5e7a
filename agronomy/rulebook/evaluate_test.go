package rulebook_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/season"
)

// anyInputs draws a rule's inputs from somewhat beyond its ranges, with anything missing.
func anyInputs(t *rapid.T, r *rulebook.Rule) *rulebook.Slots {
	s := r.NewSlots()
	for i, in := range r.Inputs {
		name := string(in.Name)
		switch {
		case rapid.IntRange(0, 5).Draw(t, name+" known") == 0:
		case in.Sort == rulebook.Word:
			s.SetWord(i, rapid.SampledFrom([]string{"wheat", "Soybean", "fallow", "no-till", "loam", "something else", ""}).Draw(t, name))
		case in.Sort == rulebook.YesNo:
			s.Set(i, float64(rapid.IntRange(0, 1).Draw(t, name)))
		default:
			slack := (in.High - in.Low) / 20
			s.Set(i, rapid.Float64Range(in.Low-slack, in.High+slack).Draw(t, name))
		}
	}
	return s
}

func everyRule(tb testing.TB) []*rulebook.Rule {
	var all []*rulebook.Rule
	for _, b := range shipped(tb) {
		all = append(all, b.Rules...)
	}
	return all
}

// Whatever goes in, an answer is a finite number, not below zero for what is applied, and silence has a reason.
func TestNeverNaN(t *testing.T) {
	rules := everyRule(t)
	rapid.Check(t, func(t *rapid.T) {
		r := rules[rapid.IntRange(0, len(rules)-1).Draw(t, "rule")]
		s := anyInputs(t, r)
		v, why := r.Evaluate(s)
		words := r.Why(s, why)
		switch {
		case why.Answered() && (math.IsNaN(v) || math.IsInf(v, 0) || v < 0 && r.Answers != rulebook.Index):
			t.Fatalf("%s: %v", r.ID(), v)
		case why.Answered() == (words != ""):
			t.Fatalf("%s: %v, %q", r.ID(), v, words)
		}
	})
}

// Where a book claims it, more in the soil never calls for more from the bag.
func TestMoreSoilTestNeverMeansMoreFertilizer(t *testing.T) {
	var rules []*rulebook.Rule
	for _, r := range everyRule(t) {
		for _, c := range r.Claims {
			if i := r.Slot(c.Input); r.Inputs[i].Soil != nil {
				rules = append(rules, r)
				break
			}
		}
	}
	if len(rules) < 10 {
		t.Fatalf("only %d rules claim anything of a soil test", len(rules))
	}
	rapid.Check(t, func(t *rapid.T) {
		r := rules[rapid.IntRange(0, len(rules)-1).Draw(t, "rule")]
		c := rapid.SampledFrom(r.Claims).Draw(t, "claim")
		i := r.Slot(c.Input)
		s := anyInputs(t, r)
		in := r.Inputs[i]
		low := rapid.Float64Range(in.Low, in.High).Draw(t, "less")
		high := rapid.Float64Range(low, in.High).Draw(t, "more")
		s.Set(i, low)
		before, why1 := r.Evaluate(s)
		s.Set(i, high)
		after, why2 := r.Evaluate(s)
		if !why1.Answered() || !why2.Answered() {
			return
		}
		mayNotRise := (c.Never == "never rises") == c.Rises
		if slack := 1e-9 * (1 + math.Abs(before)); mayNotRise && after > before+slack || !mayNotRise && after < before-slack {
			t.Fatalf("%s: %v at %s %v, %v at %v", r.ID(), before, c.Input, low, after, high)
		}
	})
}

// Work and Evaluate give the same number.
func TestWorkIsEvaluateExplained(t *testing.T) {
	f := wheat()
	rulebook.Put(f, rulebook.GrainPrice, seen(5*unit.PerWheatBushel))
	rulebook.Put(f, rulebook.NitrogenPrice, seen(0.5*unit.PerPound))
	answered := 0
	for _, r := range everyRule(t) {
		if !r.For(season.WheatGrain) {
			continue
		}
		w := r.Work(f)
		v, why := r.Evaluate(r.Slots(f))
		if (w.Why == "") != why.Answered() || w.Value != v {
			t.Errorf("%s: Work gives %v (%s), Evaluate %v", r.ID(), w.Value, w.Why, v)
		}
		if w.Why != "" {
			continue
		}
		answered++
		if w.Expression == "" || w.Numbers() == "" || w.Status == "" || len(w.Sources) == 0 {
			t.Errorf("%s: %q, %q, %q, %v", r.ID(), w.Expression, w.Numbers(), w.Status, w.Sources)
		}
		sum := 0.0
		for _, p := range w.Terms {
			sum += p.Value
		}
		if len(w.Terms) > 0 && math.Abs(sum-w.Exact) > 1e-9 {
			t.Errorf("%s: the terms make %v, the answer is %v", r.ID(), sum, w.Exact)
		}
	}
	if answered < 8 {
		t.Errorf("only %d rules answer", answered)
	}
}

// The parts of a comparison sum to the whole, whatever the two rules are.
func TestPartsSumToTheDifference(t *testing.T) {
	rules := rulebook.Answering(shipped(t), rulebook.Nitrogen, season.WheatGrain)
	rapid.Check(t, func(t *rapid.T) {
		f := wheat()
		rulebook.Put(f, rulebook.YieldGoal, seen(unit.Yield(rapid.Float64Range(15, 140).Draw(t, "bu"))*unit.WheatBushelPerAcre))
		rulebook.Put(f, rulebook.Nitrate, seen(unit.Rate(rapid.Float64Range(0, 300).Draw(t, "nitrate"))*unit.PoundPerAcre))
		rulebook.Put(f, rulebook.Ammonium, seen(unit.Rate(rapid.Float64Range(0, 100).Draw(t, "ammonium"))*unit.PoundPerAcre))
		a := rules[rapid.IntRange(0, len(rules)-1).Draw(t, "a")].Work(f)
		b := rules[rapid.IntRange(0, len(rules)-1).Draw(t, "b")].Work(f)
		d := rulebook.Compare(a, b)
		if !d.Comparable || len(d.Parts) == 0 {
			return
		}
		sum := 0.0
		for _, p := range d.Parts {
			sum += p.Makes
		}
		if math.Abs(sum-d.Whole) > 1e-9 {
			t.Fatalf("%s against %s: parts make %v of %v", a.Rule.ID(), b.Rule.ID(), sum, d.Whole)
		}
	})
}

func TestEvaluatingAllocatesNothing(t *testing.T) {
	for _, r := range everyRule(t) {
		s := middle(r)
		if n := testing.AllocsPerRun(100, func() { r.Evaluate(s) }); n != 0 {
			t.Errorf("%s allocates %v times", r.ID(), n)
		}
	}
}

// middle sets every input to the middle of its range.
func middle(r *rulebook.Rule) *rulebook.Slots {
	s := r.NewSlots()
	for i, in := range r.Inputs {
		switch in.Sort {
		case rulebook.Word:
			s.SetWord(i, "wheat")
		case rulebook.Number:
			s.Set(i, (in.Low+in.High)/2)
		}
	}
	return s
}

// A million recommendations by six books: the target is under 2 microseconds each and no allocation.
func BenchmarkMillionAcrossSixBooks(b *testing.B) {
	ids := []string{"kansas-2003/nitrogen", "minnesota/nitrogen", "montana/nitrogen", "nebraska-ec143/nitrogen", "washington-eb1987/nitrogen", "in-season-2005/nitrogen"}
	var rules []*rulebook.Rule
	var slots []*rulebook.Slots
	for _, id := range ids {
		r := rule(b, id)
		rules, slots = append(rules, r), append(slots, middle(r))
	}
	const fields = 1_000_000
	b.ReportAllocs()
	for b.Loop() {
		for n := range fields {
			k := n % len(rules)
			s := slots[k]
			for i, in := range rules[k].Inputs {
				if in.Name == rulebook.YieldGoal {
					s.Set(i, 20+float64(n%100))
				}
			}
			rules[k].Evaluate(s)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/fields, "ns/recommendation")
}

func BenchmarkWork(b *testing.B) {
	r, f := rule(b, "kansas-2003/nitrogen"), wheat()
	b.ReportAllocs()
	for b.Loop() {
		r.Work(f)
	}
}

func BenchmarkShipped(b *testing.B) {
	for b.Loop() {
		if _, err := rulebook.Shipped(); err != nil {
			b.Fatal(err)
		}
	}
}
