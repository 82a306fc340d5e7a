package server

import (
	"context"
	"strings"
	"testing"

	"culm/advice"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

func written(t *testing.T, o opener, s working.Sentence) string {
	t.Helper()
	var b strings.Builder
	if err := o.words(s).Render(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWhatOpens(t *testing.T) {
	var l working.Ledger
	rate := l.Add(working.Figure{ID: "rate", Amount: working.Of(48 * unit.PoundPerAcre)})
	rain := l.Add(working.Figure{ID: "rain", Text: "rain"})
	o := opener{ledger: &l, units: unit.US, loose: func() map[working.ID]bool { return nil }}
	for _, c := range []struct {
		name     string
		sentence working.Sentence
		want     string
	}{
		{
			"a number is a button, and the stop after it stays with it",
			working.Sentence{working.Words("Spread "), working.Number(rate), working.Words(", today")},
			`Spread <span class="keep"><button type="button" class="open" popovertarget="w-rate">48` + "\u202f" + `lb/ac</button>,</span> today`,
		},
		{
			"a claim in words is a link, so that it can break at the end of a line",
			working.Sentence{working.Claim("though no soaking rain is in sight", rain), working.Words("; wait")},
			`<a class="open" href="#w-rain" data-slip>though no soaking rain is in sight</a>; wait`,
		},
		{
			"spaces at the ends of a claim stay outside it",
			working.Sentence{working.Words("ahead"), working.Claim(" of rain ", rain), working.Words("only")},
			`ahead <button type="button" class="open" popovertarget="w-rain">of rain</button> only`,
		},
		{
			"what has no figure does not open",
			working.Sentence{{Text: "a <claim>", Figure: "none"}},
			`a &lt;claim&gt;`,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := written(t, o, c.sentence); got != c.want {
				t.Errorf("written as\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

func TestWhatRestsOnSomethingLooseLooksSo(t *testing.T) {
	var p advice.Plan
	l := &p.Figures
	from := func(id working.ID, inputs ...working.Input) working.Figure {
		return l.Add(working.Figure{ID: id, Text: string(id), Inputs: inputs})
	}
	seen := working.Fact[unit.Rate]{Origin: working.Origin{Kind: working.Observed}}
	var unknown working.Fact[unit.Rate]
	firm := from("firm", seen.Input("nitrate"))
	assumed := from("assumed", seen.Input("nitrate"), unknown.Or(3, "no test").Input("sulfate"))
	from("at-a-remove", firm.Ref(), assumed.Ref())
	l.Add(working.Figure{ID: "from-memory", Status: cite.FromMemory})
	l.Add(working.Figure{ID: "habit", Inputs: []working.Input{{Origin: working.Origin{Kind: working.Rulebook, Source: cite.Practice}}}})
	// Two figures that name each other do not go round for ever.
	l.Add(working.Figure{ID: "a", Inputs: []working.Input{{Figure: "b"}}})
	l.Add(working.Figure{ID: "b", Inputs: []working.Input{{Figure: "a"}}})

	loose := looseIn(&p)
	for id, want := range map[working.ID]bool{
		"firm": false, "assumed": true, "at-a-remove": true, "from-memory": true, "habit": true, "a": false,
	} {
		if loose[id] != want {
			t.Errorf("%s is loose: %v, want %v", id, loose[id], want)
		}
	}
}

func TestMovedSaysHigherAndLower(t *testing.T) {
	rate := working.Figure{Amount: working.Of(50 * unit.PoundPerAcre)}
	for _, c := range []struct {
		name   string
		by     working.Amount
		wantBy string
	}{
		{"more", working.Of(10 * unit.PoundPerAcre), "10\u202flb/ac higher"},
		{"less", working.Of(-10 * unit.PoundPerAcre), "10\u202flb/ac lower"},
		{"a difference in temperature has no offset", working.Of(unit.Temperature(5)), "9\u202f°F higher"},
	} {
		by, to := moved(rate, working.Effect{By: c.by, To: working.Of(40 * unit.PoundPerAcre)}, unit.US)
		if by != c.wantBy || to != "40\u202flb/ac" {
			t.Errorf("%s: %q, %q; want %q, 40 lb/ac", c.name, by, to, c.wantBy)
		}
	}
}
