package weather

import (
	"fmt"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// LongestFill is the longest gap of temperature, in days, that FillTemperature closes. Common practice, no
// source.
const LongestFill = 3

// Gap is a run of days on which a part of the weather was not measured.
type Gap struct {
	Part     season.Parts // one part
	From, To calendar.Day // both missing
}

// Days counts the days of the gap.
func (g Gap) Days() int { return g.To.Sub(g.From) + 1 }

// String writes "no rain from 2015-01-03 to 2015-01-05 (3 days)".
func (g Gap) String() string {
	if g.From == g.To {
		return fmt.Sprintf("no %s on %s", partName(g.Part), g.From)
	}
	return fmt.Sprintf("no %s from %s to %s (%d days)", partName(g.Part), g.From, g.To, g.Days())
}

func partName(p season.Parts) string {
	switch p {
	case season.HasTemperature:
		return "temperature"
	case season.HasRain:
		return "rain"
	case season.HasSnow:
		return "snow depth"
	case season.HasWind:
		return "wind"
	case season.HasHumidity:
		return "humidity"
	default:
		return "measurement"
	}
}

// Gaps lists the runs of days between two days, both included, on which temperature or rain is missing, in
// order of day. Snow depth is not asked for: many stations never measure it.
func Gaps(days []season.WeatherDay, from, to calendar.Day) []Gap {
	gaps := append(GapsOf(season.HasTemperature, days, from, to), GapsOf(season.HasRain, days, from, to)...)
	slices.SortStableFunc(gaps, func(a, b Gap) int { return a.From.Sub(b.From) })
	return gaps
}

// GapsOf lists the runs of days on which one part is missing.
func GapsOf(part season.Parts, days []season.WeatherDay, from, to calendar.Day) []Gap {
	var gaps []Gap
	if from.IsZero() {
		return nil
	}
	for day := from; !day.After(to); day = day.Add(1) {
		if on(days, day).Has&part != 0 {
			continue
		}
		if last := len(gaps) - 1; last >= 0 && gaps[last].To == day.Add(-1) {
			gaps[last].To = day
			continue
		}
		gaps = append(gaps, Gap{Part: part, From: day, To: day})
	}
	return gaps
}

// FillTemperature closes gaps of temperature of up to LongestFill days with the mean of the day before and
// the day after, and says which days it filled: whoever shows a number made with them must say so. Longer
// gaps and gaps at an end stay open. Rain is never filled in; a guess at it would be worth nothing.
func FillTemperature(days []season.WeatherDay, from, to calendar.Day) (with []season.WeatherDay, filled []calendar.Day) {
	with = slices.Clone(days)
	for _, gap := range GapsOf(season.HasTemperature, days, from, to) {
		before, after := on(days, gap.From.Add(-1)), on(days, gap.To.Add(1))
		if gap.Days() > LongestFill || before.Has&after.Has&season.HasTemperature == 0 {
			continue
		}
		estimate := season.WeatherDay{
			Low: mid(before.Low, after.Low), High: mid(before.High, after.High), Has: season.HasTemperature,
		}
		for day := gap.From; !day.After(gap.To); day = day.Add(1) {
			i, there := search(with, day)
			if !there {
				with = slices.Insert(with, i, season.WeatherDay{Day: day})
			}
			addParts(&with[i], estimate)
			filled = append(filled, day)
		}
	}
	return with, filled
}

func mid(a, b unit.Temperature) unit.Temperature { return (a + b) / 2 }
