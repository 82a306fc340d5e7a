// Package lab reads what laboratories send, as soil samples of a season: tables as CSV or as a workbook (XLSX),
// and the open exchange standard for laboratory results in its XML and JSON forms.
//
// A table says little about itself, so it is read by a Mapping, which a person saves once for each laboratory:
// which column is which analyte, in which unit, on which basis (NO3 or NO3-N, P or P2O5), by which method, from
// which depth. Suggest drafts one from the header and marks what it is not sure of with "?"; a mapping with a
// "?" in it is not read by. Neither unit nor method nor basis is ever guessed while reading.
//
// A report is taken whole or not at all: where anything in it cannot be read, Read gives the problems of every row,
// each with its file, line and column or cell, and no samples. Only a table that falls apart, or that lacks columns of
// the mapping, has its rows not looked at. Beyond 25 of a severity the problems are counted and not listed.
//
// Files come from strangers. Sizes are looked at before bytes are unpacked, and no formula, link or macro in a
// workbook is followed.
package lab

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"culm/agronomy/calendar"
	"culm/season"
)

// Bounds within which a file is a laboratory's report.
const (
	mb          = 1 << 20
	mostBytes   = 16 * mb
	mostRows    = 20_000
	mostColumns = 256
	mostCells   = 1_000_000
	mostCell    = 2000 // bytes of a cell
	mostListed  = 25   // problems of one severity
)

// Sample is a laboratory's row, with what was printed for each number.
type Sample struct {
	Soil  season.Soil  `json:"soil"`
	Where season.Where `json:"where"`
	// Sheet is that of a workbook, empty otherwise.
	Sheet string `json:"sheet,omitempty"`
	// Printed stands beside Soil.Results, one for one.
	Printed []Printed `json:"printed"`
	// NotTaken are results that the report has and the mapping leaves out.
	NotTaken []NotTaken `json:"notTaken,omitempty"`
}

// NotTaken is a result that no number is taken from.
type NotTaken struct {
	Analyte season.Analyte `json:"analyte"`
	Column  string         `json:"column"`
	Text    string         `json:"text"` // "ND"
	Why     string         `json:"why"`
}

// Printed is what the report says where a result was taken from.
type Printed struct {
	Column string `json:"column"` // its heading, or element and test
	Text   string `json:"text"`   // "36", without the unit that stands behind it
	Unit   string `json:"unit"`   // "lb/ac NO3-N"
	// Turned says in words how the result was made of it; empty where the number is as printed.
	Turned string `json:"turned,omitempty"`
}

// Taken is what a report says.
type Taken struct {
	Samples []Sample `json:"samples"`
	// LeftOut names the columns or elements that nothing was taken from.
	LeftOut []string `json:"leftOut,omitempty"`
}

// report gathers problems.
type report struct {
	file     string
	today    calendar.Day // zero where it is not known
	problems []season.Problem
	count    map[season.Severity]int
}

func newReport(file string) *report { return &report{file: file, count: map[season.Severity]int{}} }

func (r *report) wrong(at place, message, found, expected string) {
	r.add(season.Fatal, at, message, found, expected)
}

func (r *report) doubt(at place, message, found, expected string) {
	r.add(season.Doubtful, at, message, found, expected)
}

func (r *report) add(severity season.Severity, at place, message, found, expected string) {
	r.count[severity]++
	if r.count[severity] > mostListed {
		return
	}
	r.problems = append(r.problems, season.Problem{
		Severity: severity, File: r.file, Line: at.line, Field: at.name, Message: message, Found: shown(found), Expected: expected,
	})
}

// notToCome refuses a day after today.
func (r *report) notToCome(at place, day calendar.Day, found string) bool {
	if r.today.IsZero() || !day.After(r.today) {
		return true
	}
	r.wrong(at, "the day sampled, "+day.String()+", is still to come", quoted(found), "a day up to "+r.today.String()+", today; look at the order of day and month, or put the right day into date: in the mapping")
	return false
}

func (r *report) failed() bool { return r.count[season.Fatal] > 0 }

// all gives the problems listed, and how many more there were.
func (r *report) all() []season.Problem {
	problems := r.problems
	for _, severity := range []season.Severity{season.Fatal, season.Doubtful} {
		if more := r.count[severity] - mostListed; more > 0 {
			problems = append(problems, season.Problem{
				Severity: severity, File: r.file, Message: fmt.Sprintf("and %d more of the kind in this file", more),
			})
		}
	}
	return problems
}

// place is where a problem lies: a line and the name of a column, key or cell.
type place struct {
	line int
	name string
}

const mostShown = 120

// shown makes what was found fit to print: short, on one line, with unprintable characters escaped.
func shown(text string) string {
	text = strings.ToValidUTF8(text, "\uFFFD")
	var b strings.Builder
	n := 0
	for _, c := range text {
		if n++; n > mostShown {
			b.WriteString("…")
			break
		}
		if unicode.IsPrint(c) {
			b.WriteRune(c)
		} else {
			escaped := strconv.QuoteRuneToASCII(c)
			b.WriteString(escaped[1 : len(escaped)-1])
		}
	}
	return b.String()
}

// quoted is a found text in quotation marks, or "nothing".
func quoted(text string) string {
	if text == "" {
		return "nothing"
	}
	return `"` + text + `"`
}

// oneOf writes "a, b or c".
func oneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
