package main

import (
	"fmt"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/exchange/folder"
	"culm/season"
)

type appliedCommand struct {
	Folder    string                    `arg:"" help:"Season folder; the pass is written to its applied.csv."`
	Field     string                    `help:"The field, by id." required:"" placeholder:"ID"`
	Day       string                    `help:"The day it was spread, as 2027-02-12." required:"" placeholder:"DATE"`
	Product   string                    `help:"What was spread, such as urea or uan-28." required:"" placeholder:"KEY"`
	N         given[unit.Rate]          `name:"n" help:"Nitrogen that was spread, as 45lb/ac." placeholder:"RATE" xor:"rate" required:""`
	Weight    given[unit.Rate]          `help:"Product that was spread, by weight, as 100lb/ac." placeholder:"RATE" xor:"rate" required:""`
	Liquid    given[unit.VolumePerArea] `help:"Liquid that was spread, as 15gal/ac." placeholder:"RATE" xor:"rate" required:""`
	Placement string                    `help:"How: broadcast, flat-fan or stream." enum:",broadcast,flat-fan,stream" default:""`
	By        string                    `help:"Who drove." placeholder:"NAME"`
	Note      string                    `help:"What was left out, wind, loads." placeholder:"TEXT"`
	Correct   bool                      `help:"Write it as a correction of what stands for the field, the day and the product."`
	Date      string                    `help:"The day it is, as 2027-02-13; today when not given."`
	JSON      bool                      `name:"json" help:"Print what became of it as JSON."`
}

// Run adds the pass to the season.
func (c *appliedCommand) Run(d *door) error {
	today, err := d.today(c.Date)
	if err != nil {
		return exitError{exitUsage, err}
	}
	pass, err := c.pass()
	if err != nil {
		return exitError{exitBadInput, err}
	}
	var corrected time.Time
	if c.Correct {
		corrected = d.now()
	}
	outcome, problems, err := folder.AddApplied(c.Folder, pass, today, corrected)
	if err != nil {
		return exitError{exitBadInput, err}
	}
	if n := count(problems, season.Fatal); n > 0 {
		printProblems(d.err, problems)
		return failWith(exitBadInput, "%s has %s; nothing was written", c.Folder, plural(n, "error"))
	}
	if c.JSON {
		if err := printJSON(d.out, map[string]any{"version": "culm.applied/1", "outcome": outcome, "applied": pass}); err != nil {
			return err
		}
	}
	if outcome == folder.Other {
		return failWith(exitBadInput, "%s on field %s on %s stands there already with other words; --correct puts this in its place", c.Product, c.Field, c.Day)
	}
	if !c.JSON {
		words := map[folder.Addition]string{folder.Added: "Written", folder.Corrected: "Corrected", folder.Same: "There already"}[outcome]
		fmt.Fprintf(d.out, "%s: %s of nitrogen as %s on %s, %s.\n", words, unit.Show(unit.KindRate, float64(pass.Rate), unit.US), pass.Product, pass.Field, pass.Day)
	}
	return nil
}

// pass is what was spread, as nitrogen whatever it was told in.
func (c *appliedCommand) pass() (*season.Applied, error) {
	day, err := calendar.Parse(c.Day)
	if err != nil {
		return nil, err
	}
	a := &season.Applied{Field: c.Field, Day: day, Product: c.Product, Rate: c.N.Value, Placement: c.Placement, By: c.By, Note: c.Note}
	if !c.N.Given {
		p, ok := fertilizer.Find(c.Product)
		switch {
		case !ok:
			return nil, fmt.Errorf("how much nitrogen %q holds is not known; give the nitrogen with --n", c.Product)
		case c.Weight.Given:
			a.Rate = c.Weight.Value * unit.Rate(p.Nitrogen.Value)
		case p.Form != fertilizer.Liquid:
			return nil, fmt.Errorf("%s is dry; give its weight with --weight, or the nitrogen with --n", p.Name)
		default:
			held, _ := p.NitrogenPerVolume()
			a.Rate = unit.Rate(float64(c.Liquid.Value) * float64(held))
		}
	}
	if a.Rate <= 0 {
		return nil, fmt.Errorf("the rate is %s; expected what was spread, above zero", unit.Show(unit.KindRate, float64(a.Rate), unit.US))
	}
	return a, nil
}
