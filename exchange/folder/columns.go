package folder

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// text is a column of words.
func text[R any](name string, at func(*R) *string) column[R] {
	return column[R]{
		heads: []string{name},
		read:  func(c *found, row *R) { *at(row) = unguarded(c.String()) },
		write: func(row *R, _ unit.System) (int, string) { return 0, guarded(*at(row)) },
	}
}

// guarded puts an apostrophe before text that a spreadsheet would take for a formula and run, and before
// text that begins with an apostrophe, so that it can be told.
func guarded(text string) string {
	if text != "" && strings.ContainsRune("=+-@'\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}

func unguarded(text string) string {
	if len(text) > 1 && text[0] == '\'' && strings.ContainsRune("=+-@'\t\r", rune(text[1])) {
		return text[1:]
	}
	return text
}

// choice is a column in which one of a few words stands.
func choice[R any, T ~string](name string, at func(*R) *T, allowed ...T) column[R] {
	return column[R]{
		heads: []string{name},
		read: func(c *found, row *R) {
			if i := slices.Index(allowed, T(c.text)); i >= 0 {
				*at(row) = allowed[i]
				return
			}
			c.wrong("the word is not known", oneOf(allowed))
		},
		write: func(row *R, _ unit.System) (int, string) { return 0, string(*at(row)) },
	}
}

// oneOf writes "strip, dung or urine".
func oneOf[T ~string](words []T) string {
	var list []string
	for _, w := range words {
		list = append(list, string(w))
	}
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " or " + list[len(list)-1]
}

// date is a column of days.
func date[R any](name string, at func(*R) *calendar.Day) column[R] {
	return column[R]{
		heads: []string{name},
		read: func(c *found, row *R) {
			day, ok := parseDay(c.text)
			if !ok {
				c.wrong("the date cannot be read", expectedDate+dateElsewhere(c))
				return
			}
			*at(row) = day
		},
		write: func(row *R, _ unit.System) (int, string) {
			if at(row).IsZero() {
				return 0, ""
			}
			return 0, at(row).String()
		},
	}
}

const expectedDate = "year-month-day, such as 2027-02-10"

// dateElsewhere helps where two columns were swapped.
func dateElsewhere(c *found) string {
	for i, other := range c.row.cells {
		if _, isDay := parseDay(other.text); isDay && i < len(c.row.header) {
			return "; column " + c.row.header[i] + " of the same row holds a date: are the two swapped?"
		}
	}
	return ""
}

// parseDay reads 2027-02-10 and nothing else. It is calendar.Parse for the hundred thousand rows of a
// district's weather.
func parseDay(text []byte) (calendar.Day, bool) {
	if len(text) != 10 || text[4] != '-' || text[7] != '-' {
		return calendar.Day{}, false
	}
	number := func(from, to int) (n int) {
		for _, c := range text[from:to] {
			if c < '0' || c > '9' {
				return -1
			}
			n = n*10 + int(c-'0')
		}
		return n
	}
	year, month, day := number(0, 4), number(5, 7), number(8, 10)
	if year < 0 || month < 1 || month > 12 || day < 1 || day > daysIn(year, time.Month(month)) {
		return calendar.Day{}, false
	}
	return calendar.Date(year, time.Month(month), day), true
}

func daysIn(year int, month time.Month) int {
	switch month {
	case time.February:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case time.April, time.June, time.September, time.November:
		return 30
	default:
		return 31
	}
}

// moment is a column of instants, such as 2027-02-10T05:30:00-06:00, which keep their offset from UTC. A date
// alone is its midnight in UTC.
func moment[R any](name string, at func(*R) *time.Time) column[R] {
	return column[R]{
		heads: []string{name},
		read: func(c *found, row *R) {
			t, ok := parseMoment(c.String())
			if !ok {
				c.wrong("the time cannot be read", "a date or a date and time with its zone, such as 2027-02-10T05:30:00-06:00")
				return
			}
			*at(row) = t
		},
		write: func(row *R, _ unit.System) (int, string) {
			if at(row).IsZero() {
				return 0, ""
			}
			return 0, at(row).Format(time.RFC3339Nano)
		},
	}
}

func parseMoment(text string) (time.Time, bool) {
	if day, ok := parseDay([]byte(text)); ok {
		return day.Time(), true
	}
	t, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		return time.Time{}, false
	}
	_, offset := t.Zone()
	if offset == 0 {
		return t.UTC(), true
	}
	return t.In(time.FixedZone("", offset)), true // and not this machine's zone, should it have the same offset
}

// yesNo is a column of answers; an empty cell is not known.
func yesNo[R any](name string, at func(*R) **bool) column[R] {
	return column[R]{
		heads: []string{name},
		read: func(c *found, row *R) {
			switch c.String() {
			case "yes", "no":
				answer := c.String() == "yes"
				*at(row) = &answer
			default:
				c.wrong("the answer cannot be read", "yes, no, or an empty cell where nobody looked")
			}
		},
		write: func(row *R, _ unit.System) (int, string) {
			switch answer := *at(row); {
			case answer == nil:
				return 0, ""
			case *answer:
				return 0, "yes"
			default:
				return 0, "no"
			}
		},
	}
}

// whole is a column of whole numbers; zero is an empty cell.
func whole[R any](name string, at func(*R) *int) column[R] {
	return column[R]{
		heads: []string{name},
		read: func(c *found, row *R) {
			n, err := strconv.Atoi(c.String())
			if err != nil {
				c.wrong("the number cannot be read", "a whole number")
				return
			}
			*at(row) = n
		},
		write: func(row *R, _ unit.System) (int, string) {
			if *at(row) == 0 {
				return 0, ""
			}
			return 0, strconv.Itoa(*at(row))
		},
	}
}

// number is a column of numbers in one of several units. set takes the amount in the base unit; get gives it
// back, and whether there is one.
func number[R any](name string, scales []scale, get func(*R) (float64, bool), set func(*R, float64)) column[R] {
	return column[R]{
		heads: headsOf(name, scales),
		read: func(c *found, row *R) {
			if v, ok := c.number(scales[c.head]); ok {
				set(row, v)
			}
		},
		write: func(row *R, system unit.System) (int, string) {
			head := forSystem(scales, system)
			v, known := get(row)
			if !known {
				return head, ""
			}
			return head, scales[head].format(v)
		},
	}
}

// amount is a number that every row has.
func amount[R any, Q ~float64](name string, scales []scale, at func(*R) *Q) column[R] {
	return number(name, scales,
		func(row *R) (float64, bool) { return float64(*at(row)), true },
		func(row *R, v float64) { *at(row) = Q(v) })
}

func headsOf(name string, scales []scale) []string {
	var heads []string
	for _, s := range scales {
		if s.suffix == "" {
			heads = append(heads, name)
		} else {
			heads = append(heads, name+"_"+s.suffix)
		}
	}
	return heads
}

// number reads the cell as a number in a unit, or reports it.
func (c *found) number(s scale) (float64, bool) {
	v, ok := s.parse(c.text)
	if !ok {
		c.wrong("the number cannot be read", expectedNumber(c.String()))
	}
	return v, ok
}

func expectedNumber(text string) string {
	if comma := strings.IndexByte(text, ','); comma >= 0 && strings.Count(text, ",") == 1 {
		return fmt.Sprintf("digits with a point in decimal numbers, such as %s", strings.Replace(shown(text), ",", ".", 1))
	}
	return "digits with a point in decimal numbers, such as 12.5; leave the cell empty where nothing was measured"
}

// fact is a number with its origin, in two columns: the number, and under <name>_from what the origin has
// beyond the usual, such as "with: photo". The usual origin is made from the row, so the columns for day and
// observer must come before.
func fact[R any, Q unit.Quantity](name string, scales []scale, at func(*R) *working.Fact[Q], usual func(*R) working.Origin) []column[R] {
	value := number(name, scales,
		func(row *R) (float64, bool) { return float64(at(row).Value), at(row).Known() },
		nil)
	value.read = func(c *found, row *R) {
		if v, ok := c.number(scales[c.head]); ok {
			*at(row) = working.Fact[Q]{Value: Q(v), Origin: usual(row)}
		}
	}
	from := column[R]{
		heads: []string{name + "_from"},
		read: func(c *found, row *R) {
			if !at(row).Known() {
				c.wrong("an origin is given for a value that is not there", "an empty cell, or a value in column "+value.heads[0])
				return
			}
			if err := readOrigin(c.String(), &at(row).Origin); err != nil {
				c.wrong("the origin cannot be read: "+err.Error(), originExample)
			}
		},
		write: func(row *R, _ unit.System) (int, string) {
			if !at(row).Known() {
				return 0, ""
			}
			return 0, writeOrigin(at(row).Origin, usual(row))
		},
	}
	return []column[R]{value, from}
}
