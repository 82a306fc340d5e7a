package main

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"culm/agronomy/unit"
	"culm/exchange/folder"
	"culm/notebook"
	"culm/season"
)

type importCommand struct {
	Folder   string `arg:"" help:"Season folder, or a zip of one."`
	Database string `default:"culm.sqlite" help:"The notebook." placeholder:"FILE"`
	Date     string `help:"The day it is, as 2027-02-10; today when not given."`
	DryRun   bool   `help:"Say what would be written, and write nothing."`
	JSON     bool   `name:"json" help:"Print what was written as JSON."`
}

// Run takes the folder into the notebook: what is new is appended, what has changed supersedes, what is the
// same is left. All of it or nothing is written.
func (c *importCommand) Run(ctx context.Context, d *door) error {
	today, err := d.today(c.Date)
	if err != nil {
		return exitError{exitUsage, err}
	}
	entries, problems, err := readFolder(d, c.Folder, today)
	if err != nil {
		return err
	}
	printProblems(d.err, problems)
	book, err := notebook.Open(ctx, c.Database, notebook.Options{})
	if err != nil {
		return err
	}
	defer book.Close()
	take := book.Import
	if c.DryRun {
		take = book.PlanImport
	}
	plan, err := take(ctx, entries)
	if err != nil {
		return err
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", "  ")
		return enc.Encode(plan.Counts)
	}
	for _, kind := range slices.Sorted(maps.Keys(plan.Counts)) {
		n := plan.Counts[kind]
		fmt.Fprintf(d.out, "%-10s %5d new %5d changed %5d the same\n", kind, n.New, n.Changed, n.Same+n.Kept+n.Repeated)
	}
	done := "written to"
	if c.DryRun {
		done = "would be written to"
	}
	fmt.Fprintf(d.out, "%s %s %s\n", entryCount(len(plan.Append)), done, c.Database)
	return nil
}

type exportCommand struct {
	Folder   string `arg:"" help:"The season folder to write."`
	Database string `default:"culm.sqlite" help:"The notebook." placeholder:"FILE"`
	Units    string `enum:"us,metric,season" default:"season" help:"Units of the numbers: us, metric, or as the season says."`
}

// Run writes every entry of the notebook as a season folder that reads back without loss.
func (c *exportCommand) Run(ctx context.Context, d *door) error {
	book, err := notebook.Open(ctx, c.Database, notebook.Options{Existing: true})
	if err != nil {
		return err
	}
	defer book.Close()
	entries, err := book.Entries(ctx, notebook.Filter{})
	if err != nil {
		return err
	}
	if err := folder.Write(c.Folder, entries, unitsOf(c.Units, season.Assemble(entries))); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "%s written to %s\n", entryCount(len(entries)), c.Folder)
	return nil
}

// unitsOf reads the choice of units on the command line.
func unitsOf(choice string, s *season.Season) unit.System {
	switch choice {
	case "us":
		return unit.US
	case "metric":
		return unit.Metric
	default:
		return s.Settings.Units
	}
}
