// Package weather reads a station's daily record and forecast for what the advice needs: where days are
// missing, degree days and growing days, rain, the state of the ground, and whether the numbers can be true.
//
// A record is a list of season.WeatherDay in order of day. A day, or a part of a day, that was not measured
// is missing: sums say how many days they lack, and nothing is filled in unless the caller asks for it and
// is told what was filled. The mean of a day is the mean of its low and its high, as in every source used
// here.
package weather

import (
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Sum is what was added up over a span of days, over how many days, and on how many nothing was known.
type Sum[T unit.Quantity] struct {
	Total   T
	Days    int // added up
	Missing int // in the span but not known
}

// Complete says that no day of the span was missing, and that there was one.
func (s Sum[T]) Complete() bool { return s.Missing == 0 && s.Days > 0 }

// Mean is the mean of a day's low and high. It returns false when they were not measured.
func Mean(d season.WeatherDay) (unit.Temperature, bool) {
	return (d.Low + d.High) / 2, d.Has&season.HasTemperature != 0
}

// Rain is the rain and melted snow of the days from the first to the last, both included.
func Rain(days []season.WeatherDay, from, to calendar.Day) Sum[unit.Water] {
	return sum(days, from, to, func(d season.WeatherDay) (unit.Water, bool) {
		return d.Rain, d.Has&season.HasRain != 0
	})
}

// WithForecast joins a record with the forecast of the days that follow. Where a day is in both, what was
// measured stands and the forecast adds the parts that were not. A nil forecast adds nothing.
func WithForecast(record []season.WeatherDay, f *season.Forecast) []season.WeatherDay {
	if f == nil {
		return slices.Clone(record)
	}
	joined := append(make([]season.WeatherDay, 0, len(record)+len(f.Days)), record...)
	for _, coming := range f.Days {
		i, known := search(joined, coming.Day)
		if !known {
			joined = slices.Insert(joined, i, coming.WeatherDay)
			continue
		}
		addParts(&joined[i], coming.WeatherDay)
	}
	return joined
}

// addParts takes from one day the parts that another lacks.
func addParts(to *season.WeatherDay, from season.WeatherDay) {
	lacks := from.Has &^ to.Has
	if lacks&season.HasTemperature != 0 {
		to.Low, to.High = from.Low, from.High
	}
	if lacks&season.HasRain != 0 {
		to.Rain = from.Rain
	}
	if lacks&season.HasSnow != 0 {
		to.Snow = from.Snow
	}
	to.Has |= lacks
}

// sum adds up what value gives for each day of a span; value returns false for what is not known.
func sum[T unit.Quantity](days []season.WeatherDay, from, to calendar.Day, value func(season.WeatherDay) (T, bool)) Sum[T] {
	var s Sum[T]
	if from.IsZero() || to.Before(from) {
		return s
	}
	start, _ := search(days, from)
	for _, d := range days[start:] {
		if d.Day.After(to) {
			break
		}
		if v, known := value(d); known {
			s.Total += v
			s.Days++
		}
	}
	s.Missing = to.Sub(from) + 1 - s.Days
	return s
}

// search finds a day in a record, or the place where it belongs.
func search(days []season.WeatherDay, day calendar.Day) (int, bool) {
	return slices.BinarySearchFunc(days, day, func(d season.WeatherDay, day calendar.Day) int { return d.Day.Sub(day) })
}

// on gives a day of a record; of a day that is not in it no part is known.
func on(days []season.WeatherDay, day calendar.Day) season.WeatherDay {
	if i, ok := search(days, day); ok {
		return days[i]
	}
	return season.WeatherDay{Day: day}
}
