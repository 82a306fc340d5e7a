// Package hourly gathers forecast values, each of which holds over some span of time, into hours, and the
// hours into days of a field. Every reader of an hourly or gridded forecast uses it, so that hours and days are
// made the same way whoever issued the forecast.
//
// What holds throughout a span, such as temperature, holds in each of its hours; what adds up over it, such as
// rain, is split in equal parts by time, also across midnight. Days are those of the field's own clock: 23
// hours when clocks are put forward and 25 when they are put back. A day that is not covered from midnight to
// midnight lacks that part: the rest of a day is not the day.
package hourly

import (
	"maps"
	"math"
	"slices"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"
)

// Hours is one kind of value by the hour, by the Unix time of the hour divided by 3600.
type Hours map[int64]hour

// hour is one hour: the time-weighted sum of the values in it, and how much of it is covered.
type hour struct {
	sum     float64 // value times its share of the hour, or for what adds up the amount itself
	seconds float64
}

// Add puts a value into the hours from start up to but not including end: in equal parts by time if it adds
// up, otherwise whole. Spans must not overlap.
func (h Hours) Add(start, end time.Time, value float64, addsUp bool) {
	total := end.Sub(start).Seconds()
	for at := start.Truncate(time.Hour); at.Before(end); at = at.Add(time.Hour) {
		from, to := latest(at, start), earliest(at.Add(time.Hour), end)
		seconds := to.Sub(from).Seconds()
		key := at.Unix() / 3600
		one := h[key]
		one.seconds += seconds
		if addsUp {
			one.sum += value * (seconds / total)
		} else {
			one.sum += value * (seconds / 3600) // so that what holds for a whole hour is not rounded
		}
		h[key] = one
	}
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earliest(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// covered says that an hour is known from its first second to its last.
func (o hour) covered() bool { return math.Abs(o.seconds-3600) < 1 }

// mean is the value that held in an hour.
func (o hour) mean() float64 { return o.sum / (o.seconds / 3600) }

// Series are the kinds of value that hours and days are made of: degrees C, mm of rain, mm of snow, the chance of
// rain as a share, m/s, humidity and cloud as shares. Any may be nil. DewPoint stands in for humidity where that is
// not given.
type Series struct {
	Temperature, DewPoint, Rain, Snow, Chance, Wind, Gust, Humidity, Cloud Hours
}

// humid is the series with humidity also where only the dew point tells it: the pressure of vapour at the dew
// point as a share of that of saturated air (FAO-56 Eq. 10 and 14).
func (s Series) humid() Series {
	all := Hours{}
	for key, dew := range s.DewPoint {
		air := s.Temperature[key]
		if dew.covered() && air.covered() && isAir(dew.mean()) && isAir(air.mean()) {
			full := ground.SaturationPressure(unit.Temperature(air.mean()))
			all[key] = hour{min(1, ground.VapourPressureAtDewPoint(unit.Temperature(dew.mean()))/full), 3600}
		}
	}
	for key, given := range s.Humidity {
		if _, also := all[key]; !also || given.covered() {
			all[key] = given
		}
	}
	s.Humidity = all
	return s
}

// isAir says that air has had such a temperature, C, about which the equations hold.
func isAir(c float64) bool { return c > -90 && c < 60 }

// Hours gathers the hours as they are, from the first of which a part is known throughout to the last, with what
// the clocks of a time zone show in each. Snow that falls is in the rain as water and not told apart.
func (s Series) Hours(loc *time.Location) season.Hours {
	s = s.humid()
	known := map[int64]season.Hour{}
	take := func(from Hours, part season.HourParts, addsUp bool, set func(*season.Hour, float64)) {
		for key, one := range from {
			if !one.covered() {
				continue
			}
			value := one.sum
			if !addsUp {
				value = one.mean()
			}
			h := known[key]
			set(&h, value)
			h.Has |= part
			known[key] = h
		}
	}
	take(s.Temperature, season.HourTemperature, false, func(h *season.Hour, v float64) { h.Temperature = unit.Temperature(v) })
	take(s.Humidity, season.HourHumidity, false, func(h *season.Hour, v float64) { h.Humidity = unit.Fraction(v) })
	take(s.Wind, season.HourWind, false, func(h *season.Hour, v float64) { h.Wind = unit.Speed(v) })
	take(s.Gust, season.HourGust, false, func(h *season.Hour, v float64) { h.Gust = unit.Speed(v) })
	take(s.Cloud, season.HourCloud, false, func(h *season.Hour, v float64) { h.Cloud = unit.Fraction(v) })
	take(s.Rain, season.HourRain, true, func(h *season.Hour, v float64) { h.Rain = unit.Water(v) })
	take(s.Chance, season.HourRainChance, false, func(h *season.Hour, v float64) { h.RainChance = unit.Fraction(v) })
	if len(known) == 0 {
		return nil
	}
	keys := slices.Sorted(maps.Keys(known))
	var hours season.Hours
	for key := keys[0]; key <= keys[len(keys)-1]; key++ {
		h := known[key]
		h.At = time.Unix(3600*key, 0).UTC()
		_, ahead := h.At.In(loc).Zone()
		h.Ahead = ahead / 60
		hours = append(hours, h)
	}
	return hours
}

// Daylight hours of a winter day, in which a sprayer works: wind and humidity are their means.
const (
	daylightFrom = 8
	daylightTo   = 18
)

// Days gathers the hours into days of a time zone, from the first of which anything is known to the last.
//
// Of each day it takes the lowest and highest hourly temperature, the rain, the snow that falls (as
// WeatherDay.Snow, present only when some falls, since old snow may lie where none does), the highest chance
// of rain in any of its hours (0 also when none was given), and the means of wind and humidity from 8 to 18
// o'clock.
func (s Series) Days(loc *time.Location) []season.ForecastDay {
	s = s.humid()
	first, last, some := s.span()
	if !some {
		return nil
	}
	var days []season.ForecastDay
	for day := calendar.FromTime(first.In(loc)); !day.After(calendar.FromTime(last.In(loc))); day = day.Add(1) {
		days = append(days, s.day(day, loc))
	}
	empty := func(d season.ForecastDay) bool { return d.Has == 0 }
	for len(days) > 0 && empty(days[0]) {
		days = days[1:]
	}
	for len(days) > 0 && empty(days[len(days)-1]) {
		days = days[:len(days)-1]
	}
	return days
}

// span is the first and the last hour of any kind.
func (s Series) span() (first, last time.Time, some bool) {
	var keys []int64
	for _, hours := range []Hours{s.Temperature, s.Rain, s.Snow, s.Wind, s.Humidity} {
		for key := range hours {
			keys = append(keys, key)
		}
	}
	if len(keys) == 0 {
		return first, last, false
	}
	return time.Unix(3600*slices.Min(keys), 0), time.Unix(3600*slices.Max(keys), 0), true
}

// day gathers the hours of one local day.
func (s Series) day(day calendar.Day, loc *time.Location) season.ForecastDay {
	whole, daylight := hoursOf(day, 0, 24, loc), hoursOf(day, daylightFrom, daylightTo, loc)
	d := season.ForecastDay{WeatherDay: season.WeatherDay{Day: day}}
	if t, ok := s.Temperature.over(whole); ok {
		d.Low, d.High = unit.Temperature(t.low), unit.Temperature(t.high)
		d.Has |= season.HasTemperature
	}
	if t, ok := s.Rain.over(whole); ok {
		d.Rain = unit.Water(t.sum)
		d.Has |= season.HasRain
	}
	if t, ok := s.Snow.over(whole); ok && t.sum > 0 {
		d.Snow = unit.Water(t.sum)
		d.Has |= season.HasSnow
	}
	if t, ok := s.Wind.over(daylight); ok {
		d.Wind = unit.Speed(t.mean)
		d.Has |= season.HasWind
	}
	if t, ok := s.Humidity.over(daylight); ok {
		d.Humidity = unit.Fraction(t.mean)
		d.Has |= season.HasHumidity
	}
	for _, key := range whole {
		if one := s.Chance[key]; one.seconds > 0 {
			d.RainChance = max(d.RainChance, unit.Fraction(one.mean()))
		}
	}
	return d
}

// hoursOf lists the hours of a local day from one o'clock to another.
func hoursOf(day calendar.Day, from, to int, loc *time.Location) []int64 {
	y, m, d := day.Time().Date()
	end := time.Date(y, m, d, to, 0, 0, 0, loc)
	var keys []int64
	for at := time.Date(y, m, d, from, 0, 0, 0, loc); at.Before(end); at = at.Add(time.Hour) {
		keys = append(keys, at.Unix()/3600)
	}
	return keys
}

// totals are the figures of a run of hours. The sum is that of what adds up.
type totals struct{ low, high, mean, sum float64 }

// over are the figures of some hours; false unless every one of them is covered.
func (h Hours) over(keys []int64) (t totals, known bool) {
	if len(keys) == 0 {
		return t, false
	}
	for i, key := range keys {
		one := h[key]
		if !one.covered() {
			return totals{}, false
		}
		v := one.mean()
		if i == 0 {
			t.low, t.high = v, v
		}
		t.low, t.high = min(t.low, v), max(t.high, v)
		t.sum += one.sum
		t.mean += v
	}
	t.mean /= float64(len(keys))
	return t, true
}
