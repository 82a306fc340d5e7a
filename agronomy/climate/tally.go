package climate

import (
	"math"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Tally counts a record: what the fit of the rain needs of it, month by month. A day whose rain is not
// known breaks the chain: neither it nor the day after it tells how wet and dry follow on each other.
type Tally struct {
	WetFrom     unit.Water
	First, Last calendar.Day
	Months      [12]MonthTally // January first
}

// MonthTally counts the days of one month, over all years. The month is that of the later day of a pair.
type MonthTally struct {
	Days           int // with rain known
	Wet            int
	AfterDry       int // days whose day before was dry
	WetAfterDry    int // those of them that were wet
	AfterWet       int
	WetAfterWet    int
	amount, logSum float64 // of wet days: sum of mm, and of their logarithms
}

// Chain is the plain share of wet days among those counted, without leaning on any other month. A month
// without such days gives NaN.
func (m *MonthTally) Chain() Chain {
	return Chain{
		unit.Fraction(m.WetAfterDry) / unit.Fraction(m.AfterDry),
		unit.Fraction(m.WetAfterWet) / unit.Fraction(m.AfterWet),
	}
}

// Amount is the rain of the wet days counted.
func (m *MonthTally) Amount() unit.Water { return unit.Water(m.amount) }

// Count tallies a record in order of day. Trace, a rain too small to measure, is rain known and zero.
func Count(record []season.WeatherDay, wetFrom unit.Water) Tally {
	t := Tally{WetFrom: wetFrom}
	if len(record) == 0 {
		return t
	}
	t.First, t.Last = record[0].Day, record[len(record)-1].Day
	const (
		unknown = iota
		dry
		wet
	)
	before, product := unknown, 1.0
	var in months
	var month *MonthTally
	for i := range record {
		d := &record[i]
		if i > 0 && d.Day.Sub(record[i-1].Day) != 1 {
			before = unknown
		}
		if turn := in.enter(d.Day); turn || month == nil {
			if month != nil {
				month.logSum += math.Log(product)
				product = 1
			}
			month = &t.Months[in.month-1]
		}
		rain, known := rainOf(d)
		if !known {
			before = unknown
			continue
		}
		month.Days++
		isWet := 0
		if rain >= wetFrom && rain > 0 {
			isWet = 1
			month.Wet++
			month.amount += float64(rain)
			product *= float64(rain)
			if product > 1e200 || product < 1e-200 {
				month.logSum += math.Log(product)
				product = 1
			}
		}
		switch before {
		case dry:
			month.AfterDry++
			month.WetAfterDry += isWet
		case wet:
			month.AfterWet++
			month.WetAfterWet += isWet
		}
		before = dry + isWet
	}
	if month != nil {
		month.logSum += math.Log(product)
	}
	return t
}

// months tells the month of days that come in order without asking the calendar for each.
type months struct {
	year       int
	month      time.Month
	start, end calendar.Day // first day of the month, and of the next
}

// enter goes to the month of a day, and says whether that is another than before.
func (m *months) enter(day calendar.Day) bool {
	switch {
	case !day.Before(m.start) && day.Before(m.end):
		return false
	case day == m.end && m.month != 0: // the day after, as mostly
		if m.month++; m.month > time.December {
			m.year, m.month = m.year+1, time.January
		}
		m.start = m.end
	default:
		m.year, m.month, _ = day.Time().Date()
		m.start = calendar.Date(m.year, m.month, 1)
	}
	m.end = m.start.Add(daysIn(m.month))
	if m.month == time.February && isLeap(m.year) {
		m.end = m.end.Add(1)
	}
	return true
}

func isLeap(year int) bool { return year%4 == 0 && (year%100 != 0 || year%400 == 0) }

// dayOfMonth counts from 1.
func (m *months) dayOfMonth(day calendar.Day) int { return day.Sub(m.start) + 1 }
