package main

import (
	"fmt"
	"io"

	"culm/agronomy/calendar"
	"culm/agronomy/rulebook"
	"culm/exchange/folder"
	"culm/season"
)

// readFolder reads a season folder or a zip of one and checks it as of a day. Problems that make the
// season unusable are printed and become an error with exit code 3; doubts are returned.
func readFolder(d *door, path string, today calendar.Day) ([]season.Entry, []season.Problem, error) {
	content, problems, err := readContent(d, path, today)
	return content.Entries, problems, err
}

// readContent is readFolder with all that the folder holds, such as the advisor's own rulebooks.
func readContent(d *door, path string, today calendar.Day) (folder.Content, []season.Problem, error) {
	content, problems := folder.Open(path)
	problems = folder.Limit(append(problems, content.Check(today)...))
	if errors := count(problems, season.Fatal); errors > 0 {
		printProblems(d.err, problems)
		return folder.Content{}, problems, failWith(exitBadInput, "%s has %s; nothing was computed or written", path, plural(errors, "error"))
	}
	return content, problems, nil
}

// readRulebooks reads the advisor's own rulebooks from a folder; none where no folder is named.
func readRulebooks(d *door, dir string) ([]*rulebook.Book, error) {
	if dir == "" {
		return nil, nil
	}
	books, problems := folder.Rulebooks(dir)
	if errors := count(problems, season.Fatal); errors > 0 {
		printProblems(d.err, problems)
		return nil, failWith(exitBadInput, "%s has %s", dir, plural(errors, "error"))
	}
	return books, nil
}

func count(problems []season.Problem, s season.Severity) int {
	n := 0
	for _, p := range problems {
		if p.Severity == s {
			n++
		}
	}
	return n
}

// printProblems writes one problem a line: file:line: column: what is wrong, found this, expected that.
func printProblems(w io.Writer, problems []season.Problem) {
	for _, p := range problems {
		fmt.Fprintln(w, describe(p))
	}
}

func describe(p season.Problem) string {
	place := season.Where{File: p.File, Line: p.Line}.String()
	if place != "" {
		place += ": "
	}
	if p.Field != "" {
		place += p.Field + ": "
	}
	text := place + string(p.Severity) + ": " + p.Message
	if p.Found != "" {
		text += "; found " + p.Found
	}
	if p.Expected != "" {
		text += "; expected " + p.Expected
	}
	return text
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
