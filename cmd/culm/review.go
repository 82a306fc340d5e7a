package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"culm/advice"
	"culm/agronomy/review"
	"culm/agronomy/unit"
	"culm/season"
)

type reviewCommand struct {
	Folder string `arg:"" help:"Season folder with what was spread and harvested, or a zip of one."`
	Plans  string `required:"" help:"Folder of frozen plans, as written by culm advise --freeze." placeholder:"DIR"`
	Date   string `help:"The day it is, as 2027-02-10; today when not given."`
	JSON   bool   `name:"json" help:"Print the reviews as JSON."`
}

// reviewed is one field's review in the JSON of culm review.
type reviewed struct {
	Plan   string        `json:"plan"`
	Field  string        `json:"field"`
	Review review.Review `json:"review"`
}

// Run sets every frozen plan of the folder against what became of its field.
func (c *reviewCommand) Run(d *door) error {
	today, err := d.today(c.Date)
	if err != nil {
		return exitError{exitUsage, err}
	}
	entries, _, err := readFolder(d, c.Folder, today)
	if err != nil {
		return err
	}
	s := season.Assemble(entries)
	paths, err := filepath.Glob(filepath.Join(c.Plans, "*.json"))
	if err != nil || len(paths) == 0 {
		return failWith(exitBadInput, "%s holds no frozen plans (*.json)", c.Plans)
	}
	all := make([]reviewed, 0, len(paths))
	for _, path := range paths {
		frozen, err := readFrozen(path)
		if err != nil {
			return err
		}
		plan, err := frozen.Read()
		if err != nil {
			return failWith(exitBadInput, "%s: %w", path, err)
		}
		r, err := advice.After(plan, s)
		if err != nil {
			return failWith(exitBadInput, "field %s: %w", plan.Field.ID, err)
		}
		all = append(all, reviewed{Plan: frozen.ID, Field: plan.Field.ID, Review: r})
		if !c.JSON {
			printReview(d, plan, r, s.Settings.Units)
		}
	}
	if !c.JSON {
		return nil
	}
	enc := json.NewEncoder(d.out)
	enc.SetIndent("", "  ")
	return enc.Encode(map[string]any{"version": "culm.review/1", "reviews": all})
}

// readFrozen reads a frozen plan from a file.
func readFrozen(path string) (advice.Frozen, error) {
	info, err := os.Stat(path)
	if err != nil {
		return advice.Frozen{}, failWith(exitBadInput, "no frozen plan at %s: %w", path, err)
	}
	if info.Size() > largestPlan {
		return advice.Frozen{}, failWith(exitBadInput, "%s has %d bytes; a frozen plan has at most %d", path, info.Size(), largestPlan)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return advice.Frozen{}, err
	}
	var frozen advice.Frozen
	if err := json.Unmarshal(text, &frozen); err != nil {
		return advice.Frozen{}, failWith(exitBadInput, "%s is not a frozen plan: %w", path, err)
	}
	return frozen, nil
}

func printReview(d *door, plan advice.Plan, r review.Review, units unit.System) {
	t := terminal{w: d.out, units: units}
	fmt.Fprintf(d.out, "%s — %s, plan of %s\n", plan.Field.Name, plan.Producer.Name, plan.Today)
	t.wrap("  advised ", "          ", plan.Sentence.Read(&plan.Figures, units))
	t.wrap("  done    ", "          ", done(r, plan.Field.Crop, units))
	t.wrap("  verdict ", "          ", strings.Join(append([]string{string(r.Verdict)}, r.Why...), "; "))
	for _, u := range r.Unknown {
		t.wrap("  unknown ", "          ", u)
	}
	fmt.Fprintln(d.out)
}

// done says what was spread and what came of it.
func done(r review.Review, c season.Crop, s unit.System) string {
	parts := []string{string(r.Followed)}
	for _, p := range r.Passes {
		parts = append(parts, fmt.Sprintf("%s N as %s on %s", unit.Show(unit.KindRate, float64(p.Rate), s), p.Product, p.Day))
	}
	if r.HasGain {
		parts = append(parts, "gained "+unit.Show(c.YieldKind(), float64(r.Gain), s).String()+" over the strip without")
	}
	if r.HasNet {
		parts = append(parts, "netted "+unit.Show(unit.KindMoneyPerArea, float64(r.Net), s).String())
	}
	return strings.Join(parts, "; ")
}
