package ghcn

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"culm/agronomy/calendar"
	"culm/season"
)

// Bounds within which a file is one that the network wrote. A year of every station has 40 million lines.
const (
	longestLine  = 4096
	mostProblems = 100 // listed one by one; the rest are counted
	mostStations = 5   // named in a message
)

// Options say what a file does not.
type Options struct {
	// File is the name that problems carry.
	File string
	// Station is the network's id of the station to read, as USC00141767. It may be empty where the file has
	// one station only.
	Station string
	// MorningReader says that the observer reads in the morning, for values whose hour is not given.
	MorningReader bool
}

// IsRecord says whether a text begins as a daily record of the network, in either form.
func IsRecord(text []byte) bool {
	line, _, _ := bytes.Cut(text[:min(len(text), longestLine)], []byte("\n"))
	first := strings.TrimRight(string(line), "\r")
	return isDlyLine(first) || isCSVLine(first) || isCSVHead(first) || isWideHead(first)
}

// Read reads the record of one station in either form. What cannot be read or believed is left out and
// reported with its line and element; an error means that there is no record at all: not this kind of file,
// several stations and none chosen, or not one usable day.
func Read(in io.Reader, o Options) (*Record, []season.Problem, error) {
	r := &reader{o: o, wanted: o.Station, days: map[calendar.Day]*gathered{}, lines: map[monthKey]int{}, tallies: map[tally]*count{}}
	lines := bufio.NewScanner(in)
	lines.Buffer(make([]byte, 0, longestLine), longestLine)
	take := r.csvLine
	for lines.Scan() {
		r.line++
		if r.isOthers(lines.Bytes()) {
			continue
		}
		line := strings.TrimRight(lines.Text(), " \r")
		if r.line == 1 {
			line = strings.TrimPrefix(line, "\ufeff")
			switch {
			case isWideHead(line):
				return nil, nil, errors.New("this file has a column for each element and does not say whether they are metric; expected the network's own files, one element to a line")
			case isDlyLine(line):
				take = r.dlyLine
			case !isCSVLine(line) && !isCSVHead(line):
				return nil, nil, fmt.Errorf("this is no daily record of the network: line 1 is %q; expected a .dly line or station, day, element, value and flags", clip(line))
			}
		}
		if line != "" {
			take(line)
		}
	}
	if err := lines.Err(); err != nil {
		return nil, r.all(), fmt.Errorf("reading the record after line %d: %w", r.line, err)
	}
	record, err := r.record()
	return record, r.all(), err
}

// reader gathers the values of one station.
type reader struct {
	o        Options
	line     int
	wanted   string   // station to read; that of the first line where none was named
	others   []string // further stations of the file
	days     map[calendar.Day]*gathered
	lines    map[monthKey]int
	totals   []Total
	soil     []SoilReading
	shifted  int
	unhoured bool // some rain or high came without its hour

	problems []season.Problem
	unlisted int
	tallies  map[tally]*count
	order    []tally
}

// isWanted says whether a line is of the station that is read.
func (r *reader) isWanted(id string) bool {
	if r.wanted == "" {
		r.wanted = id
	}
	if id == r.wanted {
		return true
	}
	if len(r.others) < mostStations && (len(r.others) == 0 || r.others[len(r.others)-1] != id) {
		r.others = append(r.others, strings.Clone(id))
	}
	return false
}

// isOthers passes over the lines of stations already known not to be wanted: nearly all of a year's file.
func (r *reader) isOthers(line []byte) bool {
	if len(line) < idEnd || len(r.others) == 0 {
		return false
	}
	return string(line[:idEnd]) == r.others[len(r.others)-1]
}

// tally is something that happens to many values and is reported once, with how often.
type tally struct{ field, message, expected string }

type count struct {
	n     int
	line  int // the first
	found string
}

func (r *reader) count(t tally, line int, found string) {
	c := r.tallies[t]
	if c == nil {
		c = &count{line: line, found: found}
		r.tallies[t] = c
		r.order = append(r.order, t)
	}
	c.n++
}

func (r *reader) doubt(field, message, found, expected string) {
	if len(r.problems) >= mostProblems {
		r.unlisted++
		return
	}
	r.problems = append(r.problems, season.Problem{
		Severity: season.Doubtful, File: r.o.File, Line: r.line, Field: field, Message: message, Found: found, Expected: expected,
	})
}

// all gives the problems listed, the tallies, and how many problems were not listed.
func (r *reader) all() []season.Problem {
	problems := r.problems
	for _, t := range r.order {
		c := r.tallies[t]
		found := c.found
		if c.n > 1 {
			found = fmt.Sprintf("%d times, the first %s", c.n, c.found)
		}
		problems = append(problems, season.Problem{
			Severity: season.Doubtful, File: r.o.File, Line: c.line, Field: t.field, Message: t.message, Found: found, Expected: t.expected,
		})
	}
	if r.unlisted > 0 {
		problems = append(problems, season.Problem{Severity: season.Doubtful, File: r.o.File, Message: fmt.Sprintf("and %d more lines or values that cannot be read", r.unlisted)})
	}
	return problems
}

func itoa(n int) string { return strconv.Itoa(n) }

// clip keeps a hostile text from filling a message.
func clip(text string) string {
	const most = 40
	if len(text) > most {
		text = text[:most] + "…"
	}
	return strings.ToValidUTF8(text, "\uFFFD")
}
