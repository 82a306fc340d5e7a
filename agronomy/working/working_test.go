package working_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"github.com/google/go-cmp/cmp"
)

// A rate by mass balance with its working, and the sentence that opens to it.
func Example() {
	var l working.Ledger
	goal := working.Fact[unit.Yield]{
		Value:  60 * unit.WheatBushelPerAcre,
		Origin: working.Origin{Kind: working.Setting, By: "the producer"},
	}
	var nitrate working.Fact[unit.Rate] // nobody sampled
	credit := nitrate.Or(30*unit.PoundPerAcre, "no soil test")
	rate := l.Add(working.Figure{
		ID: "rate.example", Label: "Nitrogen by mass balance", Amount: working.Of(120 * unit.PoundPerAcre),
		Expression: "2.5 × yield goal − soil nitrate",
		Inputs:     []working.Input{goal.Input("yield goal"), credit.Input("soil nitrate")},
		Source:     cite.MinnesotaWheat, Status: cite.Confirmed,
	})
	sentence := working.Sentence{working.Words("Spread "), working.Number(rate), working.Words(" of nitrogen.")}
	fmt.Printf("%q\n", sentence.Read(&l, unit.US))
	fmt.Println(rate.Inputs[1].Label, rate.Inputs[1].Origin.Kind, "because", rate.Inputs[1].Origin.Why)
	// Output:
	// "Spread 120\u202flb/ac of nitrogen."
	// soil nitrate assumed because no soil test
}

func TestMissingIsNotZero(t *testing.T) {
	var unknown working.Fact[unit.Rate]
	zero := working.Fact[unit.Rate]{Origin: working.Origin{Kind: working.Observed}}
	if unknown.Known() || !zero.Known() {
		t.Errorf("missing: known %v; an observed zero: known %v", unknown.Known(), zero.Known())
	}
	if got := zero.Or(30, "default"); got.Value != 0 {
		t.Errorf("an observed zero gave way to the default %v", got.Value)
	}
}

func TestLedgerSurvivesJSON(t *testing.T) {
	day := calendar.Date(2027, 2, 9)
	var l working.Ledger
	l.Add(working.Figure{
		ID: "need.index", Label: "response index", Amount: working.Of(unit.Ratio(1.2)),
		Interval: &working.Interval{Low: 1.1, High: 1.3, Level: 0.9},
		Inputs: []working.Input{{
			Label: "readings", Amount: working.Of(unit.Index(0.6)),
			Origin: working.Origin{Kind: working.Observed, By: "R. Example", On: day, With: "sensor"},
		}},
		WouldChange: []working.Effect{{Input: "readings", By: working.Of(unit.Index(0.05)), To: working.Of(unit.Ratio(1.1))}},
		Notes:       []string{"calibrated elsewhere"},
	})
	l.Add(working.Figure{ID: "day", Label: "day", Text: day.Spoken()})
	text, err := json.Marshal(l) // by value, as inside a plan
	if err != nil {
		t.Fatal(err)
	}
	var back working.Ledger
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(l.All(), back.All()); diff != "" {
		t.Errorf("figures changed on the way through JSON (-before +after):\n%s", diff)
	}
}

func TestAmountRefusesAnotherUnit(t *testing.T) {
	var a working.Amount
	err := json.Unmarshal([]byte(`{"value":64,"unit":"lb/ac","kind":"nutrient-rate"}`), &a)
	if err == nil {
		t.Errorf("64 lb/ac was read as %v kg/ha", a.Base)
	}
}

func TestEnteringAnIDTwiceReplaces(t *testing.T) {
	var l working.Ledger
	l.Add(working.Figure{ID: "a", Label: "first"})
	l.Add(working.Figure{ID: "b", Label: "other"})
	l.Add(working.Figure{ID: "a", Label: "second"})
	if n := len(l.All()); n != 2 {
		t.Fatalf("%d figures, want 2", n)
	}
	if f, _ := l.Get("a"); f.Label != "second" {
		t.Errorf("a is %q, want the figure entered last", f.Label)
	}
}
