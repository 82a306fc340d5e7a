package weather

import (
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// GrowingBase is the daily mean above which a day counts as a growing day of winter wheat between planting
// and a sensor reading, 4.4 C (40 F). From memory: see cite.Raun2002.
const GrowingBase unit.Temperature = 4.4

// Method is how a day's low and high become degree days. McMaster and Wilhelm 1997 found both in use under
// one name, up to 83 % apart for wheat at a base of 0 C; a sum means nothing without its method.
type Method int

// The two interpretations of McMaster and Wilhelm 1997 (cite.McMasterWilhelm1997).
const (
	// MeanFirst (their Method 1) takes the mean of low and high and compares that with the base.
	MeanFirst Method = 1
	// EachFirst (their Method 2) raises low and high to the base before it takes the mean.
	EachFirst Method = 2
)

// Rule says how degree days are counted.
type Rule struct {
	Method Method
	Base   unit.Temperature
	// Cap is the temperature above which growth gains nothing more: MeanFirst lowers the mean to it,
	// EachFirst the low and the high. It counts only when Capped is set.
	Cap    unit.Temperature
	Capped bool
	// HighOnly lets EachFirst lower only the high to the cap, as some published rules do.
	HighOnly bool
}

// Day gives the degree days of one day; never less than zero.
func (r Rule) Day(low, high unit.Temperature) unit.DegreeDays {
	mean := (low + high) / 2
	if r.Method == EachFirst {
		raised := r.within(low)
		if r.HighOnly {
			raised = max(low, r.Base)
		}
		mean = (raised + r.within(high)) / 2
		return unit.DegreeDays(mean - r.Base)
	}
	return unit.DegreeDays(r.within(mean) - r.Base)
}

func (r Rule) within(t unit.Temperature) unit.Temperature {
	if r.Capped {
		t = min(t, r.Cap)
	}
	return max(t, r.Base)
}

// DegreeDays adds up the degree days from one day to another, both included.
func DegreeDays(days []season.WeatherDay, from, to calendar.Day, r Rule) Sum[unit.DegreeDays] {
	return sum(days, from, to, func(d season.WeatherDay) (unit.DegreeDays, bool) {
		return r.Day(d.Low, d.High), d.Has&season.HasTemperature != 0
	})
}

// GrowingDays counts the days from one day to another, both included, whose mean is above a base. Days in
// the sum's Days were known; Total of them were growing days.
func GrowingDays(days []season.WeatherDay, from, to calendar.Day, base unit.Temperature) Sum[unit.Days] {
	return sum(days, from, to, func(d season.WeatherDay) (unit.Days, bool) {
		mean, known := Mean(d)
		if mean > base {
			return 1, known
		}
		return 0, known
	})
}
