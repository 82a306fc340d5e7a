package ghcn

import (
	"strings"
	"time"

	"culm/agronomy/calendar"
)

// The columns of a .dly line, from 0: the identifier in 1-11, year 12-15, month 16-17, element 18-21, and
// then for each of 31 days a value of five columns and three flags of one. Day 31 has its value in 262-266.
const (
	idEnd, yearEnd, monthEnd, elementEnd = 11, 15, 17, 21
	dayWidth, valueWidth                 = 8, 5
)

// valueColumns are the columns of a day's value, the first and the one after the last, from 0.
func valueColumns(day int) (from, to int) {
	from = elementEnd + (day-1)*dayWidth
	return from, from + valueWidth
}

func isDlyLine(line string) bool {
	if len(line) < elementEnd+valueWidth || !isStation(line[:idEnd]) {
		return false
	}
	_, _, ok := yearAndMonth(line)
	return ok && isElement(line[monthEnd:elementEnd])
}

func yearAndMonth(line string) (year int, month time.Month, ok bool) {
	if strings.Trim(line[idEnd:monthEnd], "0123456789") != "" {
		return 0, 0, false
	}
	year, _ = number(line[idEnd:yearEnd]) // four digits, as has been seen
	m, _ := number(line[yearEnd:monthEnd])
	return year, time.Month(m), m >= 1 && m <= 12 && year >= 1700 && year <= 2200
}

// dlyLine takes a line of a month apart and hands on its days.
func (r *reader) dlyLine(line string) {
	if !isDlyLine(line) {
		r.doubt("", "the line cannot be read and is left out", clip(line), "station, year, month, element and 31 days of eight columns")
		return
	}
	if !r.isWanted(line[:idEnd]) {
		return
	}
	element := line[monthEnd:elementEnd]
	year, month, _ := yearAndMonth(line)
	last := calendar.Date(year, month+1, 1).Sub(calendar.Date(year, month, 1))
	for day := 1; day <= 31; day++ {
		from, to := valueColumns(day)
		switch {
		case len(line) < to && day > last:
			return
		case len(line) < to:
			r.doubt(element, "the line is cut short; its last days are left out", "nothing from column "+itoa(from+1)+" on", "269 columns")
			return
		}
		n, err := number(line[from:to])
		field := element + ", day " + itoa(day)
		switch {
		case err != nil:
			r.doubt(field, "the value cannot be read and is left out", clip(line[from:to]), "a whole number in columns "+itoa(from+1)+" to "+itoa(to))
		case n == none:
		case day > last:
			r.doubt(field, "the month has no such day; the value is left out", itoa(n), "-9999")
		default:
			flags := (line + "   ")[to:]
			r.take(value{
				element: element, day: calendar.Date(year, month, day), number: n,
				measure: strings.TrimSpace(flags[:1]), quality: strings.TrimSpace(flags[1:2]), line: r.line,
			})
		}
	}
}
