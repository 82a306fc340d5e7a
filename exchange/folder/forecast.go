package folder

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// forecastRow is one day of a forecast.
type forecastRow struct {
	issued time.Time
	by     string
	weatherRow
	chance, wind, humidity float64
}

// forecastKey has the moment in UTC, since two times of one zone are not the same to Go.
type forecastKey struct {
	issued time.Time
	offset int
	by     string
}

// forecastChapter is forecast/<station>.csv. A file may hold several issues.
func forecastChapter() chapter {
	return sheet[forecastRow, forecastKey]{
		kind:    season.KindForecast,
		columns: func(*known) []column[forecastRow] { return forecastColumns() },
		key: func(r *forecastRow) forecastKey {
			_, offset := r.issued.Zone()
			return forecastKey{r.issued.UTC(), offset, r.by}
		},
		join: func(rows []forecastRow, station string, at *rowsAt) season.Body {
			f := &season.Forecast{Station: station, Issued: rows[0].issued, By: rows[0].by}
			inOrder(rows, at, func(r forecastRow) calendar.Day { return r.Day })
			for i, r := range rows {
				r.temperature(i, at)
				f.Days = append(f.Days, season.ForecastDay{
					WeatherDay: r.WeatherDay,
					RainChance: unit.Fraction(r.chance), Wind: unit.Speed(r.wind), Humidity: unit.Fraction(r.humidity),
				})
			}
			return f
		},
		split: func(body season.Body) []forecastRow {
			b := body.(*season.Forecast)
			var rows []forecastRow
			for _, d := range b.Days {
				has := d.Has&season.HasTemperature != 0
				rows = append(rows, forecastRow{
					issued: b.Issued, by: b.By, weatherRow: weatherRow{d.WeatherDay, has, has},
					chance: float64(d.RainChance), wind: float64(d.Wind), humidity: float64(d.Humidity),
				})
			}
			return rows
		},
	}.chapter()
}

func forecastColumns() []column[forecastRow] {
	type row = forecastRow
	columns := []column[row]{moment("issued", func(r *row) *time.Time { return &r.issued }).must()}
	for _, c := range weatherColumns() {
		columns = append(columns, column[row]{
			heads: c.heads, required: c.required, filled: c.filled,
			read:  func(f *found, r *row) { c.read(f, &r.weatherRow) },
			write: func(r *row, s unit.System) (int, string) { return c.write(&r.weatherRow, s) },
		})
	}
	return append(columns,
		number("rain_chance", percents(),
			func(r *row) (float64, bool) { return r.chance, r.chance != 0 },
			func(r *row, v float64) { r.chance = v }),
		number("wind", winds(),
			func(r *row) (float64, bool) { return r.wind, r.Has&season.HasWind != 0 },
			func(r *row, v float64) { r.wind, r.Has = v, r.Has|season.HasWind }),
		number("humidity", percents(),
			func(r *row) (float64, bool) { return r.humidity, r.Has&season.HasHumidity != 0 },
			func(r *row, v float64) { r.humidity, r.Has = v, r.Has|season.HasHumidity }),
		text("by", func(r *row) *string { return &r.by }),
	)
}
