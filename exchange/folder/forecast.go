package folder

import (
	"bytes"
	"math"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/exchange/nws"
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

// readGrid reads forecast/<station>.json, a grid forecast of the US National Weather Service as it is fetched.
// Its hours are gathered into days of the mean solar time of the station's meridian, to the hour: the file
// does not say the zone, and a day's weather hardly moves with an hour.
func readGrid(data []byte, station string, k *known, r *report) []made {
	at, known := k.stations[station]
	if !known {
		r.wrong(0, "station", "there is no station with this id, so the forecast's days have no midnight", quoted(station), "the id of a station of season.yaml as the file's name")
		return nil
	}
	zone := time.FixedZone("", int(math.Round(at.Lon/15))*3600)
	f, problems, err := nws.Read(bytes.NewReader(data), station, zone)
	for _, p := range problems {
		r.add(p)
	}
	if err != nil {
		r.wrong(0, "", "the forecast cannot be read: "+err.Error(), "", "the reply of the weather service for a grid square")
		return nil
	}
	e, err := k.habits.entry(f, stamp{}, season.Where{File: r.file})
	if err != nil {
		r.wrong(0, "", "the forecast cannot be kept: "+err.Error(), "", "")
		return nil
	}
	return []made{{entry: e}}
}
