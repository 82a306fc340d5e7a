package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"culm/advice"
	"culm/agronomy/equipment"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/exchange/tailgate"
)

type catchCommand struct {
	File    string                    `arg:"" help:"Table of what was caught under each nozzle: nozzle,caught_oz (or caught_ml, caught_l, caught_gal); - reads from the pipe."`
	Time    time.Duration             `help:"Time that was caught for, as 30s." required:"" placeholder:"TIME"`
	Speed   given[unit.Speed]         `help:"Speed of work, as 6mph; with --spacing it tells the rate." placeholder:"SPEED"`
	Spacing given[unit.Length]        `help:"Spacing of the nozzles, as 20in." placeholder:"LENGTH"`
	Target  given[unit.VolumePerArea] `help:"Rate that is wanted, as 20gal/ac." placeholder:"RATE"`
	Density given[unit.Density]       `help:"Density of the liquid that will be sprayed, as 10.65lb/gal, where water was caught in its place." placeholder:"DENSITY"`
	Rated   given[unit.Flow]          `help:"What a new nozzle lets out at this pressure, as 0.4gal/min." placeholder:"FLOW"`
	Units   string                    `enum:"us,metric" default:"us" help:"Units to read: us or metric."`
	Working bool                      `help:"Print how each number came about."`
	JSON    bool                      `name:"json" help:"Print the test as JSON."`
}

// catchJSON is the machine-readable test. Amounts are in base units: L, L/min, L/ha; shares are of 1.
type catchJSON struct {
	Version  string         `json:"version"` // culm.catch/1
	Seconds  float64        `json:"seconds"`
	Mean     float64        `json:"mean_l"`
	Flow     float64        `json:"flow_l_min"`
	Total    float64        `json:"total_l_min"`
	CV       float64        `json:"cv"`
	CVLow    *float64       `json:"cvLow,omitempty"`
	CVHigh   *float64       `json:"cvHigh,omitempty"`
	Off      int            `json:"wornOrBlocked"`
	Rate     *float64       `json:"rate_l_ha,omitempty"`
	OffRate  *float64       `json:"offTarget,omitempty"`
	OffRated *float64       `json:"offRated,omitempty"`
	Nozzles  []caughtJSON   `json:"nozzles"`
	Notes    []noteJSON     `json:"notes,omitempty"`
	Figures  working.Ledger `json:"figures"`
}

type caughtJSON struct {
	Nozzle  int               `json:"nozzle"`
	Caught  float64           `json:"caught_l"`
	Off     float64           `json:"off"`
	Finding equipment.Finding `json:"finding"`
}

// readTable opens a table, or the pipe for "-".
func readTable[T any](path string, read func(io.Reader) (T, error)) (T, error) {
	if path == "-" {
		return read(os.Stdin)
	}
	var none T
	f, err := os.Open(path)
	if err != nil {
		return none, exitError{exitBadInput, err}
	}
	v, err := read(f)
	if err = errors.Join(err, f.Close()); err != nil {
		return none, failWith(exitBadInput, "%s: %w", path, err)
	}
	return v, nil
}

// Run weighs the catch and prints it.
func (c *catchCommand) Run(d *door) error {
	volumes, err := readTable(c.File, tailgate.Nozzles)
	if err != nil {
		return err
	}
	catch := equipment.Catch{
		Caught: volumes, Time: c.Time, Speed: c.Speed.Value, Spacing: c.Spacing.Value, Target: c.Target.Value,
		Density: c.Density.Value, Rated: c.Rated.Value,
	}
	switch {
	case c.Speed.Given && c.Speed.Value == 0:
		return failWith(exitBadInput, "the speed is 0; expected a speed above zero: a rig that stands still has no rate")
	case c.Speed.Given != c.Spacing.Given:
		return failWith(exitBadInput, "the rate needs both --speed and --spacing; only one is given")
	case c.Target.Given && !c.Speed.Given:
		return failWith(exitBadInput, "--target needs --speed and --spacing, from which the rate is told")
	}
	b, err := catch.Test()
	if err != nil {
		return failWith(exitBadInput, "%s: %w", c.File, err)
	}
	var figures working.Ledger
	b.Work(&figures, catch)
	if c.JSON {
		return printJSON(d.out, c.document(catch, b, figures))
	}
	c.print(d, b, figures)
	return nil
}

func (c *catchCommand) document(catch equipment.Catch, b equipment.Boom, figures working.Ledger) catchJSON {
	number := func(v float64, known bool) *float64 {
		if !known {
			return nil
		}
		return &v
	}
	doc := catchJSON{
		Version: "culm.catch/1", Seconds: catch.Time.Seconds(), Mean: float64(b.Mean), Flow: float64(b.Flow), Total: float64(b.Total),
		CV: float64(b.CV), CVLow: number(float64(b.Low), b.HasInterval), CVHigh: number(float64(b.High), b.HasInterval), Off: b.Off,
		Rate: number(float64(b.Rate), b.HasRate), OffRate: number(float64(b.OffTarget), b.HasOffTarget), OffRated: number(float64(b.OffRated), b.HasOffRated),
		Notes: notesJSON(b.Notes), Figures: figures,
	}
	for _, n := range b.Nozzles {
		doc.Nozzles = append(doc.Nozzles, caughtJSON{n.Nozzle, float64(n.Volume), float64(n.Off), n.Finding})
	}
	return doc
}

func (c *catchCommand) print(d *door, b equipment.Boom, figures working.Ledger) {
	t := terminal{w: d.out, units: unit.System(c.Units)}
	switch b.Off {
	case 0:
		t.wrap("", "  ", fmt.Sprintf("All %s within 10 %% of their average.", plural(len(b.Nozzles), "nozzle")))
	default:
		t.wrap("", "  ", fmt.Sprintf("%d of %s worn or blocked: more than 10 %% off their average.", b.Off, plural(len(b.Nozzles), "nozzle")))
	}
	if b.HasRate {
		line := "The boom delivers " + unit.Show(unit.KindVolumePerArea, float64(b.Rate), t.units).String()
		if b.HasOffTarget {
			line += fmt.Sprintf(", %+.0f %% of what is wanted", 100*float64(b.OffTarget))
		}
		t.wrap("", "  ", line+".")
	}
	line := fmt.Sprintf("Average nozzle %s; variation along the boom %.1f %%", unit.Show(unit.KindFlow, float64(b.Flow), t.units), 100*float64(b.CV))
	if b.HasInterval {
		line += fmt.Sprintf(" (%.1f to %.1f, 95 %%)", 100*float64(b.Low), 100*float64(b.High))
	}
	t.wrap("", "  ", line+".")
	if b.HasOffRated {
		t.wrap("", "  ", fmt.Sprintf("Against the rating of a new nozzle: %+.0f %%.", 100*float64(b.OffRated)))
	}
	fmt.Fprintln(d.out)
	for _, n := range b.Nozzles {
		mark, word := " ", ""
		switch n.Finding {
		case equipment.Worn:
			mark, word = "!", "worn: change it"
		case equipment.Blocked:
			mark, word = "!", "blocked: clean it"
		case equipment.Watch:
			mark, word = "·", "more than 5 % off"
		}
		t.wrap(fmt.Sprintf("  %s nozzle %-3d %8s  %+4.0f %%  ", mark, n.Nozzle, caughtIn(n.Volume, t.units), 100*float64(n.Off)), "      ", word)
	}
	for _, n := range b.Notes {
		t.wrap("  note ", "       ", n.Text)
	}
	if c.Working {
		t.figures(&advice.Plan{Figures: figures})
	}
}

func caughtIn(v unit.Volume, s unit.System) string {
	if s == unit.Metric {
		return fmt.Sprintf("%.0f mL", float64(v)*1000)
	}
	return fmt.Sprintf("%.1f oz", float64(v/equipment.FluidOunce))
}
