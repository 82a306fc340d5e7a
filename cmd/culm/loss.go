package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"culm/agronomy/ammonia/trials"
	"culm/agronomy/cite"
)

type lossCommand struct {
	Trials lossTrialsCommand `cmd:"" help:"Set the reckoned loss of ammonia beside that of published trials."`
}

type lossTrialsCommand struct {
	JSON bool `name:"json" help:"Print the trials as JSON."`
}

// lossJSON is the machine-readable table. Shares are of the nitrogen applied, or of the loss without rain or
// inhibitor; half-loss times are in days.
type lossJSON struct {
	Version string        `json:"version"` // culm.loss-trials/1
	Trials  []trialJSON   `json:"trials"`
	Groups  []summaryJSON `json:"groups"`
}

type trialJSON struct {
	Key       string      `json:"key"`
	Study     string      `json:"study"`
	Name      string      `json:"name"`
	Source    cite.Key    `json:"source"`
	Status    cite.Status `json:"status"`
	Inhibitor bool        `json:"inhibitor"`
	Part      trials.Role `json:"part"`
	Measure   string      `json:"measure"`
	Unit      string      `json:"unit"` // "1" for shares, "d" for days
	Measured  float64     `json:"measured"`
	Reckoned  float64     `json:"reckoned"`
	Low       *float64    `json:"low,omitempty"`
	High      *float64    `json:"high,omitempty"`
	Missed    bool        `json:"missed"`
	Published string      `json:"published"` // of ground and weather
	Assumed   string      `json:"assumed"`
}

type summaryJSON struct {
	Group    string  `json:"group"`
	Trials   int     `json:"trials"`
	Measured float64 `json:"measured"`
	Reckoned float64 `json:"reckoned"`
	Bias     float64 `json:"bias"`
	RMSE     float64 `json:"rmse"`
	Ranged   int     `json:"ranged"`
	Within   int     `json:"within"`
}

// Run prints the trials.
func (c *lossTrialsCommand) Run(d *door) error {
	outcomes, err := trials.Run()
	if err != nil {
		return err
	}
	if !c.JSON {
		return printTrials(d.out, outcomes)
	}
	enc := json.NewEncoder(d.out)
	enc.SetIndent("", "  ")
	return enc.Encode(trialsJSON(outcomes))
}

func trialsJSON(outcomes []trials.Outcome) lossJSON {
	out := lossJSON{Version: "culm.loss-trials/1"}
	for _, o := range outcomes {
		t := trialJSON{
			Key: o.Key, Study: o.Study, Name: o.Name, Source: o.Source, Status: o.Status, Inhibitor: o.Inhibited, Part: o.Role,
			Measure: string(o.Measure), Unit: "1", Measured: o.Measured, Reckoned: o.Reckoned, Missed: o.Missed(),
			Published: o.Given, Assumed: o.Assumed,
		}
		if o.Measure == trials.HalfLoss {
			t.Unit = "d"
		}
		if o.Low < o.High {
			t.Low, t.High = &o.Low, &o.High
		}
		out.Trials = append(out.Trials, t)
	}
	for _, s := range trials.Summarize(outcomes) {
		out.Groups = append(out.Groups, summaryJSON{s.Group, s.N, s.Measured, s.Reckoned, s.Bias, s.RMSE, s.Ranged, s.Within})
	}
	return out
}

// printTrials writes the table for a person: trials, groups, and what to keep in mind.
func printTrials(w io.Writer, outcomes []trials.Outcome) error {
	table := func(lines func(io.Writer)) error {
		tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		lines(tab)
		return tab.Flush()
	}
	each := table(func(w io.Writer) {
		fmt.Fprintln(w, "study\ttrial\tpart\tmeasured\treckoned\t80 % range\t")
		for _, o := range outcomes {
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", o.Study, nameOf(o), o.Role, o.Measure.Number(o.Measured), o.Measure.Number(o.Reckoned), o.Range(), missed(o))
		}
	})
	fmt.Fprintln(w)
	groups := table(func(w io.Writer) {
		fmt.Fprintln(w, "in groups, points in a hundred\ttrials\tmeasured\treckoned\tbias\tRMSE\tin range")
		for _, s := range trials.Summarize(outcomes) {
			fmt.Fprintf(w, "%s\t%d\t%.1f\t%.1f\t%+.1f\t%.1f\t%s\n", s.Group, s.N, 100*s.Measured, 100*s.Reckoned, 100*s.Bias, 100*s.RMSE, s.Inside())
		}
	})
	_, last := fmt.Fprint(w, keepInMind)
	return errors.Join(each, groups, last)
}

func nameOf(o trials.Outcome) string {
	if o.Inhibited && !strings.Contains(o.Name, "inhibitor") {
		return o.Name + ", inhibitor"
	}
	return o.Name
}

func missed(o trials.Outcome) string {
	if o.Missed() {
		return "missed"
	}
	return ""
}

const keepInMind = `
No weather of any trial was at hand: it is made up from what each publication says, and which of
Montana's trials was of which sort is taken from its loss. Coefficients are fitted to the calibration
rows. What that proves and what not is in docs/ammonia.md.
`
