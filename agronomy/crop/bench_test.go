package crop_test

import (
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/crop"
	"culm/agronomy/unit"
	"culm/season"
)

// thirtyYears is a made-up record of a station.
func thirtyYears() []season.WeatherDay {
	var days []season.WeatherDay
	for day := calendar.Date(1997, 1, 1); day.Before(calendar.Date(2027, 2, 10)); day = day.Add(1) {
		high := unit.Temperature(float64(day.Time().YearDay()%180)/6 + float64(day.Time().Day()%7) - 3)
		days = append(days, season.WeatherDay{Day: day, Low: high - 9, High: high, Has: season.HasTemperature | season.HasRain})
	}
	return days
}

// A day table for a thousand fields has a second in all; this is one field's part of it.
func BenchmarkDeadlineFromThirtyYears(b *testing.B) {
	q := crop.Question{Crop: season.WheatGrain, HarvestYear: 2027, At: plains, HasAt: true, Rules: crop.ShippedRules(), Weather: thirtyYears()}
	b.ReportAllocs()
	for b.Loop() {
		if d := crop.DeadlineFor(q); d.Springs.Years() < 29 {
			b.Fatal(d)
		}
	}
}
