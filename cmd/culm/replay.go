package main

import (
	"encoding/json"
	"errors"
	"fmt"

	"culm/advice"
)

type replayCommand struct {
	Plan string `arg:"" help:"A frozen plan, as written by culm advise --freeze or downloaded from the notebook."`
	JSON bool   `name:"json" help:"Print the comparison as JSON."`
}

// largestPlan bounds how much of a frozen plan is read: a season with years of weather is far below.
const largestPlan = 64 << 20

// Run computes the frozen plan again. It succeeds only when every number is identical.
func (c *replayCommand) Run(d *door) error {
	frozen, err := readFrozen(c.Plan)
	if err != nil {
		return err
	}
	advisor, err := advice.NewAdvisor()
	if err != nil {
		return err
	}
	replay, err := advisor.Replay(frozen)
	if errors.Is(err, advice.ErrDamaged) {
		return failWith(exitDifferent, "%s: %w", c.Plan, err)
	}
	if err != nil {
		return failWith(exitBadInput, "%s: %w", c.Plan, err)
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", "  ")
		if err := enc.Encode(replay); err != nil {
			return err
		}
	} else {
		printReplay(d, frozen, replay)
	}
	if !replay.Identical {
		return failWith(exitDifferent, "%d of %d values differ", len(replay.Differences), replay.Compared)
	}
	return nil
}

func printReplay(d *door, frozen advice.Frozen, r advice.Replay) {
	fmt.Fprintf(d.out, "Plan %s for field %s, made %s by culm %s.\n", frozen.ID, r.Field, frozen.Made.Format("2006-01-02 15:04 MST"), frozen.Engine)
	for _, changed := range r.Changed {
		fmt.Fprintln(d.out, changed)
	}
	if r.Identical {
		fmt.Fprintf(d.out, "Computed again: all %d values are identical.\n", r.Compared)
		return
	}
	for _, diff := range r.Differences {
		fmt.Fprintf(d.out, "%s\n  then %s\n  now  %s\n", diff.Path, diff.Then, diff.Now)
	}
}
