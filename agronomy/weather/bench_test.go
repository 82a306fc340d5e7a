package weather_test

import (
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/weather"
	"culm/season"
)

// Thirty years of three stations, as one field of several asks for them.
func BenchmarkBlend(b *testing.B) {
	logs := make([]weather.Log, 3)
	for i := range logs {
		logs[i] = weather.Log{Station: string(rune('a' + i)), Distance: 5000}
		for day := calendar.Date(1997, 1, 1); day.Before(calendar.Date(2027, 1, 1)); day = day.Add(1) {
			logs[i].Days = append(logs[i].Days, season.WeatherDay{Day: day, High: 9, Rain: 3, Has: season.HasTemperature | season.HasRain})
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		weather.Blend(logs)
	}
}
