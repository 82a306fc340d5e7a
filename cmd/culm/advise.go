package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/paper"
	"culm/season"
	"culm/server/desk"
	"culm/server/page"

	"golang.org/x/sync/errgroup"
)

type adviseCommand struct {
	fieldsAsked

	JSON    bool   `name:"json" help:"Print one JSON document with every plan."`
	Working bool   `help:"Print how each number came about."`
	Full    bool   `help:"Print days, ways and cautions even for many fields."`
	Out     string `help:"Write a producer's page for each field here, as HTML and PDF." placeholder:"DIR"`
	Freeze  string `help:"Write each plan with everything it was computed from here, for culm replay." placeholder:"DIR"`
}

// adviceDocument is the JSON of culm advise.
type adviceDocument struct {
	Version  string           `json:"version"`
	Engine   string           `json:"engine"`
	Today    calendar.Day     `json:"today"`
	Season   string           `json:"season"`
	Invented bool             `json:"invented,omitempty"`
	Problems []season.Problem `json:"problems,omitempty"`
	// Plans come last, so that they can be written one by one.
	Plans []advice.Plan `json:"plans"`
}

// Run reads the folder, computes the plans and prints or writes them.
func (c *adviseCommand) Run(ctx context.Context, d *door) error {
	o, err := c.open(d)
	if err != nil {
		return err
	}
	for _, dir := range []string{c.Out, c.Freeze} {
		if dir == "" {
			continue
		}
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return err
		}
	}
	printer := c.printer(d, o)
	if err := printer.begin(); err != nil {
		return err
	}
	err = forEachPlan(ctx, o.advisor, o.fields, func(fs season.FieldSeason, p *advice.Plan) error {
		return errors.Join(c.writePage(fs, p), c.freeze(d, o.advisor, fs))
	}, printer.plan)
	return errors.Join(err, printer.end())
}

// together is how many fields are computed before their plans are printed and let go.
const together = 64

// forEachPlan computes the plans, several at a time, and hands each to beside, at the same time as others,
// and then to inOrder, one by one in the order of the fields. What it hands over does not depend on how many
// processors there are.
func forEachPlan(ctx context.Context, advisor *advice.Advisor, seasons []season.FieldSeason,
	beside func(season.FieldSeason, *advice.Plan) error, inOrder func(*advice.Plan) error,
) error {
	var skies desk.Skies
	for chunk := range slices.Chunk(seasons, together) {
		plans := make([]advice.Plan, len(chunk))
		group, ctx := errgroup.WithContext(ctx)
		group.SetLimit(runtime.GOMAXPROCS(0))
		for i := range chunk {
			group.Go(func() error {
				if err := ctx.Err(); err != nil {
					return err
				}
				plans[i] = advisor.AdviseUnder(skies.Of(chunk[i]), chunk[i])
				return beside(chunk[i], &plans[i])
			})
		}
		if err := group.Wait(); err != nil {
			return err
		}
		for i := range plans {
			if err := inOrder(&plans[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// freeze writes a plan with its input. Writing the same plan again leaves the first as it is.
func (c *adviseCommand) freeze(d *door, advisor *advice.Advisor, fs season.FieldSeason) error {
	if c.Freeze == "" {
		return nil
	}
	frozen, err := advisor.Freeze(fs, version, d.now(), fs.Settings.Advisor)
	if err != nil {
		return err
	}
	path := filepath.Join(c.Freeze, frozen.ID+".json")
	if _, err := os.Stat(path); err == nil {
		return nil
	}
	text, err := json.MarshalIndent(frozen, "", " ")
	if err != nil {
		return err
	}
	return writeWhole(path, text)
}

// writePage writes a field's producer's page, as HTML and as PDF.
func (c *adviseCommand) writePage(fs season.FieldSeason, p *advice.Plan) error {
	if c.Out == "" {
		return nil
	}
	pdf, err := paper.Page(p, fs.Boundary)
	if err != nil {
		return err
	}
	html, err := page.Standalone(p, fs.Boundary)
	if err != nil {
		return fmt.Errorf("producer's page of field %s: %w", p.Field.ID, err)
	}
	base := filepath.Join(c.Out, p.Field.ID)
	return errors.Join(writeWhole(base+".pdf", pdf), writeWhole(base+".html", html))
}

// writeWhole writes a file so that it is there whole or not at all.
func writeWhole(path string, text []byte) error {
	temp, err := os.CreateTemp(filepath.Dir(path), ".culm-*")
	if err != nil {
		return err
	}
	_, err = temp.Write(text)
	err = errors.Join(err, temp.Chmod(0o644), temp.Close())
	if err == nil {
		err = os.Rename(temp.Name(), path)
	}
	if err != nil {
		os.Remove(temp.Name())
	}
	return err
}
