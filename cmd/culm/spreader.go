package main

import (
	"fmt"
	"io"

	"culm/advice"
	"culm/agronomy/equipment"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/exchange/tailgate"
	"culm/server/picture"
)

type spreaderCommand struct {
	File    string               `arg:"" help:"Table of what each pan caught: at_ft,caught_g (or at_m, at_in, at_cm; caught_mg, caught_kg), 0 in the middle, left below zero; - reads from the pipe."`
	Swath   given[unit.Length]   `help:"Swath that is driven, as 60ft; the widest acceptable one when not given." placeholder:"LENGTH"`
	Limit   given[unit.Fraction] `help:"Variation still accepted, as 15%." placeholder:"SHARE"`
	Pan     float64              `help:"Opening of a pan in square metres, such as 0.25; it tells the rate." placeholder:"M2"`
	Passes  int                  `help:"Passes in the same direction that the pans caught together." default:"1"`
	Wind    given[unit.Speed]    `help:"Wind across the way driven, as 5mph." placeholder:"SPEED"`
	Bulk    given[unit.Density]  `help:"Bulk density of the material, as 46lb/ft3." placeholder:"DENSITY"`
	SVG     string               `name:"svg" help:"Draw one pass and the passes added up into this file." placeholder:"FILE"`
	Units   string               `enum:"us,metric" default:"us" help:"Units to read: us or metric."`
	Working bool                 `help:"Print how each number came about."`
	JSON    bool                 `name:"json" help:"Print the test as JSON."`
}

// spreaderJSON is the machine-readable test. Lengths are in m, catches in kg, rates in kg/ha of material; shares are of 1.
type spreaderJSON struct {
	Version   string         `json:"version"` // culm.spreader/1
	Limit     float64        `json:"limit"`
	Effective *float64       `json:"effectiveSwath_m,omitempty"`
	Side      float64        `json:"side_m"`
	Ways      []drivenJSON   `json:"ways"`
	Notes     []noteJSON     `json:"notes,omitempty"`
	Figures   working.Ledger `json:"figures"`
}

type drivenJSON struct {
	Driving equipment.Driving `json:"driving"`
	Widest  *float64          `json:"widestSwath_m,omitempty"`
	Swath   *float64          `json:"swath_m,omitempty"`
	CV      *float64          `json:"cv,omitempty"`
	Verdict string            `json:"verdict,omitempty"`
	Rate    *float64          `json:"rate_kg_ha,omitempty"`
	Curve   []evennessJSON    `json:"curve"`
}

type evennessJSON struct {
	Swath float64 `json:"swath_m"`
	Mean  float64 `json:"mean_kg"`
	CV    float64 `json:"cv"`
}

// Run adds the passes up and prints what comes of it.
func (c *spreaderCommand) Run(d *door) error {
	pans, err := readTable(c.File, tailgate.Pans)
	if err != nil {
		return err
	}
	test := equipment.PanTest{
		Pans: pans, Opening: c.Pan, Passes: c.Passes, Swath: c.Swath.Value, Wind: c.Wind.Value, Bulk: c.Bulk.Value, Limit: c.Limit.Value,
	}
	if c.Swath.Given && c.Swath.Value == 0 {
		return failWith(exitBadInput, "the swath is 0; expected one above zero")
	}
	s, err := test.Test()
	if err != nil {
		return failWith(exitBadInput, "%s: %w", c.File, err)
	}
	units := unit.System(c.Units)
	if err := writeIf(c.SVG, func(w io.Writer) error { return picture.Pattern(w, &s, units) }); err != nil {
		return err
	}
	var figures working.Ledger
	s.Work(&figures, test)
	if c.JSON {
		return printJSON(d.out, spreaderDocument(&s, figures))
	}
	t := terminal{w: d.out, units: units}
	t.spreader(&s)
	if c.Working {
		t.figures(&advice.Plan{Figures: figures})
	}
	return nil
}

func spreaderDocument(s *equipment.Spreader, figures working.Ledger) spreaderJSON {
	doc := spreaderJSON{Version: "culm.spreader/1", Limit: float64(s.Limit), Side: float64(s.Side), Notes: notesJSON(s.Notes), Figures: figures}
	number := func(v float64, known bool) *float64 {
		if !known {
			return nil
		}
		return &v
	}
	doc.Effective = number(float64(s.Effective), s.HasEffective)
	for i := range s.Ways {
		w := &s.Ways[i]
		at, known := w.At()
		j := drivenJSON{
			Driving: w.Driving, Widest: number(float64(w.Widest.Swath), w.HasWidest), Swath: number(float64(at.Swath), known),
			CV: number(float64(at.CV), known), Rate: number(float64(w.Rate), w.HasRate),
		}
		if known {
			j.Verdict = equipment.Verdict(at.CV)
		}
		for _, e := range w.Curve {
			j.Curve = append(j.Curve, evennessJSON{float64(e.Swath), float64(e.Mean), float64(e.CV)})
		}
		doc.Ways = append(doc.Ways, j)
	}
	return doc
}

// spreader prints a pan test: what to drive, and the table of swaths.
func (t terminal) spreader(s *equipment.Spreader) {
	for i := range s.Ways {
		w := &s.Ways[i]
		line := fmt.Sprintf("Driven %s, no swath keeps within %.0f %%.", words(w.Driving), 100*float64(s.Limit))
		if w.HasWidest {
			line = fmt.Sprintf("Driven %s, the widest acceptable swath is %s: %.1f %% variation.", words(w.Driving), swathIn(w.Widest.Swath, t.units), 100*float64(w.Widest.CV))
		}
		if at, known := w.At(); known && at.Swath != w.Widest.Swath {
			line += fmt.Sprintf(" At %s it is %.1f %%, %s.", swathIn(at.Swath, t.units), 100*float64(at.CV), equipment.Verdict(at.CV))
		}
		if w.HasRate {
			line += " Rate " + unit.Show(unit.KindProductRate, float64(w.Rate), t.units).String() + " of material."
		}
		t.wrap("", "  ", line)
	}
	if s.HasEffective {
		t.wrap("", "  ", "Quick rule, from half of the middle's catch to half of it: "+swathIn(s.Effective, t.units)+".")
	}
	fmt.Fprintf(t.w, "\n  swath      round and round   back and forth\n")
	for i, a := range s.Ways[0].Curve {
		b := s.Ways[1].Curve[i]
		fmt.Fprintf(t.w, "  %-9s  %6.1f %%          %6.1f %%   %s\n", swathIn(a.Swath, t.units), 100*float64(a.CV), 100*float64(b.CV), equipment.Verdict(max(a.CV, b.CV)))
	}
	for _, n := range s.Notes {
		t.wrap("  note ", "       ", n.Text)
	}
}

func words(d equipment.Driving) string {
	if d == equipment.Progressive {
		return "round and round"
	}
	return "back and forth"
}

// swathIn writes a swath in the unit that tramlines are measured in.
func swathIn(x unit.Length, s unit.System) string {
	if s == unit.Metric {
		return fmt.Sprintf("%.4g\u202fm", float64(x))
	}
	return fmt.Sprintf("%.3g\u202fft", float64(x/unit.Foot))
}
