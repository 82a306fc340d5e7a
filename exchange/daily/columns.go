package daily

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/unit"
)

// kind says what stands in a column.
type kind uint8

const (
	otherColumn kind = iota
	stationColumn
	dateColumn
	lowColumn
	highColumn
	rainColumn
	snowColumn
)

// column is a column of the file: value = written × factor, less shift first.
type column struct {
	name     string
	kind     kind
	shift    float64
	factor   float64
	isBase   bool // already in the unit inside
	expected string
}

// known are the columns that can be read, by the name that carries the unit.
func known(name string) (column, bool) {
	switch name {
	case "station":
		return column{kind: stationColumn}, true
	case "date":
		return column{kind: dateColumn, expected: "a date such as 1995-01-31"}, true
	case "low_c":
		return number(lowColumn, 0, 1, "a temperature in °C"), true
	case "low_f":
		return number(lowColumn, 32, 1/1.8, "a temperature in °F"), true
	case "high_c":
		return number(highColumn, 0, 1, "a temperature in °C"), true
	case "high_f":
		return number(highColumn, 32, 1/1.8, "a temperature in °F"), true
	case "rain_mm":
		return number(rainColumn, 0, 1, "rain in mm, or T for a trace"), true
	case "rain_in":
		return number(rainColumn, 0, float64(unit.InchOfWater), "rain in inches, or T for a trace"), true
	case "snow_cm":
		return number(snowColumn, 0, 10, "depth of snow in cm, or T for a trace"), true
	case "snow_in":
		return number(snowColumn, 0, float64(unit.InchOfWater), "depth of snow in inches, or T for a trace"), true
	default:
		return column{}, false
	}
}

// Names lists the columns that can be read.
func Names() []string {
	return []string{"station", "date", "low_c", "low_f", "high_c", "high_f", "rain_mm", "rain_in", "snow_cm", "snow_in"}
}

func number(k kind, shift, factor float64, what string) column {
	return column{kind: k, shift: shift, factor: factor, isBase: shift == 0 && factor == 1, expected: what + ", or nothing"}
}

// columnsOf reads a header.
func columnsOf(header []byte, line int, l Layout) ([]column, error) {
	for from, to := range l.Columns {
		if _, ok := known(to); !ok {
			return nil, fmt.Errorf("column %s is said to be %s; expected one of %s", from, to, strings.Join(Names(), ", "))
		}
	}
	var columns []column
	taken := map[kind]string{}
	unused := len(l.Columns)
	for name := range fields(header) {
		name := string(name)
		c, ok := known(strings.ToLower(name))
		if as, told := l.Columns[name]; told {
			c, ok = known(as)
			unused--
		}
		if ok {
			if before, twice := taken[c.kind]; twice {
				return nil, &Error{Line: line, Column: name, Found: "the same as " + before, Expected: "each column once"}
			}
			taken[c.kind] = name
		}
		c.name = name
		columns = append(columns, c)
	}
	if unused > 0 {
		return nil, &Error{Line: line, Found: quoted(header), Expected: "the columns " + strings.Join(sortedKeys(l.Columns), ", ")}
	}
	if _, ok := taken[dateColumn]; !ok {
		return nil, &Error{Line: line, Found: quoted(header), Expected: "a header with a date column, such as date,low_c,high_c,rain_mm"}
	}
	for _, k := range []kind{lowColumn, highColumn, rainColumn, snowColumn} {
		if _, ok := taken[k]; ok {
			return columns, nil
		}
	}
	return nil, &Error{Line: line, Found: quoted(header), Expected: "at least one of " + strings.Join(Names()[2:], ", ")}
}

func sortedKeys(m map[string]string) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// fields cuts a line at its commas. A field may stand in quotes; a comma inside them does not cut.
func fields(line []byte) func(yield func([]byte) bool) {
	return func(yield func([]byte) bool) {
		for more := true; more; {
			var field []byte
			end := cut(line)
			field, more = line[:end], end < len(line)
			if more {
				line = line[end+1:]
			}
			field = bytes.TrimSpace(field)
			if len(field) >= 2 && field[0] == '"' && field[len(field)-1] == '"' {
				field = bytes.TrimSpace(field[1 : len(field)-1])
			}
			if !yield(field) {
				return
			}
		}
	}
}

// cut finds the first comma outside quotes, or the end.
func cut(line []byte) int {
	inQuotes := false
	for i, c := range line {
		switch {
		case c == '"':
			inQuotes = !inQuotes
		case c == ',' && !inQuotes:
			return i
		}
	}
	return len(line)
}
