package main

import (
	"encoding/json"
	"fmt"

	"culm/agronomy/soil"
	"culm/exchange/tailgate"
)

type criticalCommand struct {
	File   string  `arg:"" help:"Table of trials without the nutrient: test_ppm,yield_pct (of the yield with enough); - reads from the pipe."`
	Enough float64 `default:"90" help:"Yield that counts as enough, in percent, for the count of quadrants."`
	JSON   bool    `name:"json" help:"Print the levels as JSON."`
}

// criticalJSON are the two critical levels; the second is missing where it cannot be found.
type criticalJSON struct {
	Version   string          `json:"version"` // culm.critical/1
	Trials    int             `json:"trials"`
	Split     soil.Split      `json:"leastSquares"`
	Enough    float64         `json:"enough_pct"`
	Quadrants *soil.Quadrants `json:"quadrants,omitempty"`
	WhyNot    string          `json:"whyNoQuadrants,omitempty"`
}

// Run finds the soil test below which a nutrient limits, for a book of one's own.
func (c *criticalCommand) Run(d *door) error {
	trials, err := readTable(c.File, tailgate.Trials)
	if err != nil {
		return err
	}
	found := criticalJSON{Version: "culm.critical/1", Trials: len(trials), Enough: c.Enough}
	if found.Split, err = soil.CateNelson(trials); err != nil {
		return failWith(exitBadInput, "%s: %w", c.File, err)
	}
	if q, err := soil.CateNelsonQuadrants(trials, c.Enough); err == nil {
		found.Quadrants = &q
	} else {
		found.WhyNot = err.Error()
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", "  ")
		return enc.Encode(found)
	}
	fmt.Fprintf(d.out, "%s, by Cate and Nelson\n", plural(len(trials), "trial"))
	fmt.Fprintf(d.out, "  least squares   critical level %.4g ppm, between %.4g and %.4g; yields %.1f %% below and %.1f %% above, R2 %.3f\n",
		found.Split.Critical, found.Split.Low, found.Split.High, found.Split.YieldBelow, found.Split.YieldAbove, found.Split.R2)
	if q := found.Quadrants; q != nil {
		fmt.Fprintf(d.out, "  quadrants       critical level %.4g ppm, between %.4g and %.4g; %d agree and %d contradict it, %.4g %% counting as enough\n",
			q.Critical, q.Low, q.High, q.Agree, q.Disagree, c.Enough)
	} else {
		fmt.Fprintf(d.out, "  quadrants       none: %s\n", found.WhyNot)
	}
	return nil
}
