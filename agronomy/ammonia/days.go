package ammonia

import (
	"sort"

	"culm/agronomy/calendar"
	"culm/agronomy/weather"
	"culm/season"
)

// Days puts a station's record and the forecast after it into the one list that a Spreading takes. What was
// measured stands over what was forecast, and is certain; only rain that is forecast keeps its chance. The
// list serves all products and days of a field.
func Days(record []season.WeatherDay, forecast *season.Forecast) []season.ForecastDay {
	joined := weather.WithForecast(record, forecast)
	days := make([]season.ForecastDay, len(joined))
	for i, d := range joined {
		days[i].WeatherDay = d
	}
	if forecast == nil {
		return days
	}
	for _, f := range forecast.Days {
		if !hasMeasuredRain(record, f.Day) {
			days[from(days, f.Day)].RainChance = f.RainChance
		}
	}
	return days
}

func hasMeasuredRain(record []season.WeatherDay, day calendar.Day) bool {
	i := sort.Search(len(record), func(i int) bool { return !record[i].Day.Before(day) })
	return i < len(record) && record[i].Day == day && record[i].Has&season.HasRain != 0
}
