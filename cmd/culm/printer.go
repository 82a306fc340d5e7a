package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/season"
)

// printer prints plans as they come.
type printer interface {
	begin() error
	plan(*advice.Plan) error
	end() error
}

// briefFrom is the number of fields up to which everything about each is printed.
const briefFrom = 3

func (c *adviseCommand) printer(d *door, o openSeason) printer {
	out := bufio.NewWriter(d.out)
	if c.JSON {
		return &jsonPrinter{w: out, head: adviceDocument{
			Version: "culm.advice/1", Engine: version, Today: o.today, Season: o.season.Settings.Name,
			Invented: o.season.Settings.Invented, Problems: o.problems,
		}}
	}
	return &textPrinter{
		terminal: terminal{w: out, units: o.units, working: c.Working, full: c.Full || c.Working || len(o.fields) <= briefFrom},
		out:      out, err: d.err, season: o.season, today: o.today, problems: o.problems, told: map[string]bool{},
	}
}

// textPrinter prints for a person at a terminal.
type textPrinter struct {
	terminal
	out      *bufio.Writer
	err      io.Writer
	season   *season.Season
	today    calendar.Day
	problems []season.Problem
	common   []string // cautions that are printed once, at the end
	told     map[string]bool
}

func (t *textPrinter) begin() error {
	fmt.Fprintf(t.out, "%s, %s. %s.\n", t.season.Settings.Name, t.season.Settings.District, t.today.Spoken())
	if t.season.Settings.Invented {
		fmt.Fprintln(t.out, "Everything in this season is invented: place, people and numbers.")
	}
	fmt.Fprintln(t.out)
	return nil
}

func (t *textPrinter) plan(p *advice.Plan) error {
	t.terminal.plan(p)
	for _, c := range p.Cautions {
		if (c.Always || !t.full) && !t.told[c.Text] {
			t.told[c.Text] = true
			t.common = append(t.common, c.Text)
		}
	}
	return nil
}

func (t *textPrinter) end() error {
	if !t.full {
		fmt.Fprintln(t.out, "For days, rates side by side and cautions of one field: --field ID; of all: --full; for how each number came about: --working.")
	}
	for _, c := range t.common {
		t.wrap("caution ", "        ", c)
	}
	fmt.Fprintln(t.out, "Culm advises; the product's label, local rules and the licensed person decide.")
	printProblems(t.err, t.problems)
	return t.out.Flush()
}

// jsonPrinter writes one adviceDocument, plan by plan, so that a region's plans need not be held at once.
type jsonPrinter struct {
	w     *bufio.Writer
	head  adviceDocument
	begun bool
}

func (j *jsonPrinter) begin() error {
	j.head.Plans = []advice.Plan{}
	head, err := json.MarshalIndent(j.head, "", " ")
	if err != nil {
		return err
	}
	const tail = "[]\n}" // the empty list of plans, which comes last
	_, err = j.w.Write(head[:len(head)-len(tail)])
	return err
}

func (j *jsonPrinter) plan(p *advice.Plan) error {
	text, err := json.MarshalIndent(p, "  ", " ")
	if err != nil {
		return err
	}
	before := "[\n  "
	if j.begun {
		before = ",\n  "
	}
	j.begun = true
	_, err = j.w.WriteString(before + string(text))
	return err
}

func (j *jsonPrinter) end() error {
	after := "\n ]\n}\n"
	if !j.begun {
		after = "[]\n}\n"
	}
	if _, err := j.w.WriteString(after); err != nil {
		return err
	}
	return j.w.Flush()
}
