package main

import (
	"fmt"
	"io"
	"os"

	"culm/agronomy/rulebook"
)

type rulebookCheckCommand struct {
	Files  []string `arg:"" name:"file" help:"Files of books, or keys of books that come with Culm or lie in the season."`
	Season string   `help:"Season folder whose own books may be named by key." placeholder:"FOLDER"`
	JSON   bool     `name:"json" help:"Print the findings as JSON."`
}

// rulebookReport is the JSON of culm rulebook check.
type rulebookReport struct {
	Version  string            `json:"version"`
	Problems int               `json:"problems"`
	Books    []rulebook.Report `json:"books"`
}

// Run checks every file and fails with exit code 3 where one has a problem.
func (c *rulebookCheckCommand) Run(d *door) error {
	report := rulebookReport{Version: "culm.rulebook-check/1"}
	for _, name := range c.Files {
		path, text, err := c.text(d, name)
		if err != nil {
			return err
		}
		r := rulebook.Check(path, text)
		report.Books = append(report.Books, r)
		report.Problems += len(r.Problems())
		if !c.JSON {
			printFindings(d.out, r)
		}
	}
	if c.JSON {
		if err := printJSON(d.out, report); err != nil {
			return err
		}
	}
	if report.Problems > 0 {
		return failWith(exitBadInput, "%s in %s", plural(report.Problems, "problem"), plural(len(c.Files), "file"))
	}
	return nil
}

// text is what a book's file holds; a name without the ending of a file, which is none, is a key.
func (c *rulebookCheckCommand) text(d *door, name string) (path string, text []byte, err error) {
	if _, err := os.Stat(name); err != nil && !isBookFile(name) {
		book, err := bookByKey(d, name, c.Season)
		if err != nil {
			return "", nil, err
		}
		return book.File, []byte(book.Text), nil
	}
	text, err = readBookFile(name)
	return name, text, err
}

// printFindings tells what each stage looked at and found; the problems stand by themselves, so that an editor can
// jump to them.
func printFindings(w io.Writer, r rulebook.Report) {
	for _, p := range r.Problems() {
		fmt.Fprintln(w, p.Error())
	}
	t := terminal{w: w}
	fmt.Fprintf(w, "%s\n", r.File)
	for _, s := range r.Stages {
		result := fmt.Sprintf("well: %s", lookedAt(s))
		switch {
		case !s.Ran:
			result = "not looked at, because of what stands above"
		case len(s.Problems) > 0:
			result = plural(len(s.Problems), "problem")
		}
		t.wrap(fmt.Sprintf("  %-9s ", s.Stage), "            ", result)
		for _, n := range s.Notes {
			t.wrap("            note ", "                 ", n)
		}
	}
	if r.OK() {
		fmt.Fprintln(w, "  the book can be used")
	}
}

func lookedAt(f rulebook.Finding) string {
	switch f.Stage {
	case rulebook.StageReading:
		return plural(f.Checked, "rule")
	case rulebook.StageUnits:
		return plural(f.Checked, "expression")
	case rulebook.StageRanges:
		return plural(f.Checked, "range")
	case rulebook.StageAnswers:
		return plural(f.Checked, "answer")
	case rulebook.StageClaims:
		return plural(f.Checked, "pair") + " of answers"
	default:
		return plural(f.Checked, "worked example")
	}
}
