package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"culm/advice"
	"culm/exchange/spots"
	"culm/season"
)

type spotsCommand struct {
	Folder  string `arg:"" help:"Season folder, or a zip of one."`
	Date    string `help:"The day it is, as 2027-02-10; today when not given."`
	GeoJSON string `name:"geojson" help:"Write the spots here as GeoJSON." placeholder:"FILE"`
	GPX     string `name:"gpx" help:"Write the spots here as GPX waypoints." placeholder:"FILE"`
	JSON    bool   `name:"json" help:"Print the comparison as JSON."`
}

// Run compares poor spots with good ground in every field that has any.
func (c *spotsCommand) Run(d *door) error {
	today, err := d.today(c.Date)
	if err != nil {
		return exitError{exitUsage, err}
	}
	content, _, err := readContent(d, c.Folder, today)
	if err != nil {
		return err
	}
	s := season.Assemble(content.Entries)
	var all []*season.Spot
	for _, f := range s.Fields {
		all = append(all, s.Spots[f.ID]...)
	}
	err = errors.Join(
		writeIf(c.GeoJSON, func(w io.Writer) error { return spots.WriteGeoJSON(w, all) }),
		writeIf(c.GPX, func(w io.Writer) error { return spots.WriteGPX(w, all) }),
	)
	if err != nil {
		return err
	}
	advisor, err := advice.NewAdvisor(content.Books...)
	if err != nil {
		return err
	}
	found := map[string]advice.SpotFindings{}
	for _, f := range s.Fields {
		if len(s.Spots[f.ID]) == 0 {
			continue
		}
		fs, _ := s.Of(f.ID, today)
		plan := advisor.Advise(fs)
		found[f.ID] = plan.Spots
		if !c.JSON {
			terminal{w: d.out, units: s.Settings.Units}.spots(&plan)
		}
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", "  ")
		return enc.Encode(map[string]any{"version": "culm.spots/1", "fields": found})
	}
	if len(all) == 0 {
		fmt.Fprintln(d.out, "No spots are marked in this season.")
	}
	return nil
}

// writeIf writes a file whole when a path is given.
func writeIf(path string, write func(io.Writer) error) error {
	if path == "" {
		return nil
	}
	var text bytes.Buffer
	if err := write(&text); err != nil {
		return err
	}
	return writeWhole(path, text.Bytes())
}

// spots prints how the poor spots of a field compare with the good ground beside them.
func (t terminal) spots(p *advice.Plan) {
	fmt.Fprintf(t.w, "%s — %s, %s\n", p.Field.Name, p.Producer.Name, p.Field.Crop)
	t.wrap("  ", "  ", p.Spots.Sentence.Read(&p.Figures, t.units))
	for _, n := range p.Spots.Nutrients {
		f, _ := p.Figures.Get(n.Difference)
		t.wrap(fmt.Sprintf("    %-16s ", n.Name), "                     ", fmt.Sprintf("good less poor %s in %s; %s", f.ShowWithRange(t.units), plural(n.Pairs, "pair"), n.Verdict))
	}
	for _, u := range p.Spots.Unmatched {
		t.wrap("    left out ", "             ", u)
	}
	fmt.Fprintln(t.w)
}
