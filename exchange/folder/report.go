package folder

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"culm/season"
)

// A file with the wrong separator has something wrong in every row. Beyond mostPerFile problems of one
// severity in one file, the rest are counted and not listed.
const mostPerFile = 25

// report gathers the problems of one file.
type report struct {
	file   string
	listed []season.Problem
	errors int
	doubts int
}

func (r *report) wrong(line int, field, message, found, expected string) {
	r.add(season.Problem{Severity: season.Fatal, Line: line, Field: field, Message: message, Found: found, Expected: expected})
}

func (r *report) doubt(line int, field, message, found, expected string) {
	r.add(season.Problem{Severity: season.Doubtful, Line: line, Field: field, Message: message, Found: found, Expected: expected})
}

func (r *report) add(p season.Problem) {
	count := &r.errors
	if p.Severity == season.Doubtful {
		count = &r.doubts
	}
	*count++
	if *count > mostPerFile {
		return
	}
	p.File = r.file
	p.Found = shown(p.Found)
	r.listed = append(r.listed, p)
}

// all gives the problems listed, and how many more there were.
func (r *report) all() []season.Problem {
	problems := r.listed
	more := func(n int, severity season.Severity, what string) {
		if n > mostPerFile {
			problems = append(problems, season.Problem{
				Severity: severity, File: r.file,
				Message: fmt.Sprintf("and %d more %s in this file", n-mostPerFile, what),
			})
		}
	}
	more(r.errors, season.Fatal, "errors")
	more(r.doubts, season.Doubtful, "warnings")
	return problems
}

// Limit lists at most 25 problems of each severity for each file and counts the others, so that a file with
// something wrong in every row stays readable. The order of what is listed is kept.
func Limit(problems []season.Problem) []season.Problem {
	var order []string
	byFile := map[string]*report{}
	for _, p := range problems {
		r, known := byFile[p.File]
		if !known {
			r = &report{file: p.File}
			byFile[p.File] = r
			order = append(order, p.File)
		}
		r.add(p)
	}
	var limited []season.Problem
	for _, file := range order {
		limited = append(limited, byFile[file].all()...)
	}
	return limited
}

const mostShown = 200

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
			quoted := strconv.QuoteRuneToASCII(c)
			b.WriteString(quoted[1 : len(quoted)-1])
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
