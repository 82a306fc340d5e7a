package main

import (
	"encoding/json"
	"fmt"

	"culm/exchange/folder"
	"culm/season"
)

type checkCommand struct {
	Folder string `arg:"" help:"Season folder, or a zip of one."`
	JSON   bool   `name:"json" help:"Print the problems as JSON."`
	Date   string `help:"The day it is, as 2027-02-10; today when not given."`
}

// checkReport is the JSON of culm check.
type checkReport struct {
	Version  string           `json:"version"`
	Folder   string           `json:"folder"`
	Entries  int              `json:"entries"`
	Errors   int              `json:"errors"`
	Warnings int              `json:"warnings"`
	Problems []season.Problem `json:"problems"`
}

// Run reads the folder, reports every problem, and fails with exit code 3 when there is an error.
func (c *checkCommand) Run(d *door) error {
	today, err := d.today(c.Date)
	if err != nil {
		return exitError{exitUsage, err}
	}
	content, problems := folder.Open(c.Folder)
	problems = append(problems, content.Check(today)...)
	report := checkReport{
		Version: "culm.check/1", Folder: c.Folder, Entries: len(content.Entries), Problems: problems,
		Errors: count(problems, season.Fatal), Warnings: count(problems, season.Doubtful),
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", "  ")
		if report.Problems == nil {
			report.Problems = []season.Problem{}
		}
		if err := enc.Encode(report); err != nil {
			return err
		}
	} else {
		printProblems(d.out, folder.Limit(problems))
		fmt.Fprintf(d.out, "%s: %s, %s, %s\n", c.Folder, entryCount(report.Entries), plural(report.Errors, "error"), plural(report.Warnings, "warning"))
	}
	if report.Errors > 0 {
		return failWith(exitBadInput, "%s has %s", c.Folder, plural(report.Errors, "error"))
	}
	return nil
}

func entryCount(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}
