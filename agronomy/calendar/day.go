// Package calendar has the one notion of time the agronomy needs: the day. It reads no clock; whoever
// calls says what day it is.
package calendar

import (
	"fmt"
	"time"
)

// Day is a day of the Gregorian calendar, without time zone: the date in the field. The zero Day means
// that no day is known.
type Day struct {
	// days since 1969-12-31, so that the zero value is no day and 1970-01-01 is 1.
	number int32
}

const layout = "2006-01-02"

// Date gives the day of a year, a month from 1 to 12 and a day of the month. Days beyond the month's end
// run on into the next, as in time.Date.
func Date(year int, month time.Month, day int) Day {
	return FromTime(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

// FromTime gives the day that t has in its own location.
func FromTime(t time.Time) Day {
	y, m, d := t.Date()
	seconds := time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix()
	return Day{int32(seconds/86400) + 1}
}

// Parse reads a day written 2027-02-10, and nothing else.
func Parse(s string) (Day, error) {
	t, err := time.Parse(layout, s)
	if err != nil {
		return Day{}, fmt.Errorf("%q is not a date; expected year-month-day such as 2027-02-10", s)
	}
	return FromTime(t), nil
}

// IsZero says that no day is known.
func (d Day) IsZero() bool { return d.number == 0 }

// Time is midnight UTC at the start of the day.
func (d Day) Time() time.Time { return time.Unix(int64(d.number-1)*86400, 0).UTC() }

// Add gives the day n days later, or earlier when n is negative.
func (d Day) Add(n int) Day { return Day{d.number + int32(n)} }

// Sub counts the days from e to d: positive when d is later.
func (d Day) Sub(e Day) int { return int(d.number - e.number) }

// Before says that d is earlier than e.
func (d Day) Before(e Day) bool { return d.number < e.number }

// After says that d is later than e.
func (d Day) After(e Day) bool { return d.number > e.number }

// Equal says that d and e are the same day.
func (d Day) Equal(e Day) bool { return d.number == e.number }

// Weekday is the day of the week.
func (d Day) Weekday() time.Weekday { return d.Time().Weekday() }

// String writes 2027-02-10, or "unknown" for the zero Day.
func (d Day) String() string {
	if d.IsZero() {
		return "unknown"
	}
	return d.Time().Format(layout)
}

// Spoken writes a day as people say it: "Wednesday 10 February".
func (d Day) Spoken() string { return d.Time().Format("Monday 2 January") }

// Short writes a day for a narrow column: "Wed 10 Feb".
func (d Day) Short() string { return d.Time().Format("Mon 2 Jan") }

// MarshalText writes 2027-02-10, or nothing for the zero Day.
func (d Day) MarshalText() ([]byte, error) {
	if d.IsZero() {
		return nil, nil
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what MarshalText wrote.
func (d *Day) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = Day{}
		return nil
	}
	parsed, err := Parse(string(text))
	if err != nil {
		return err
	}
	*d = parsed
	return nil
}
