package folder

import (
	"cmp"
	"slices"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// forecastRow is one day of a forecast, or one step of some hours: from its time up to the time of the next.
type forecastRow struct {
	issued time.Time
	by     string
	weatherRow
	chance, wind, humidity step

	// The rest is of steps only.
	time                               string  // as written; a time without offset is one of the station's clock
	hours                              float64 // that the step is long; 0 where the next row tells
	temperature, dewPoint, gust, cloud step
}

// step is a value and whether the row gives it.
type step struct {
	value float64
	known bool
}

// forecastKey has the moment in UTC, since two times of one zone are not the same to Go.
type forecastKey struct {
	issued time.Time
	offset int
	by     string
}

// forecastForm says of what the rows of a table are.
type forecastForm struct{ days, hours bool }

// formOf is the form of a file: days, unless it has a column named time; then hours, or both where it has dates too.
func formOf(data []byte) forecastForm {
	header, _, ok := readHeader(newScanner(data), &report{})
	hours := ok && slices.Contains(header, "time")
	return forecastForm{days: !hours || slices.Contains(header, "date"), hours: hours}
}

// formFor is the form in which entries are written: with hours if any has them.
func formFor(entries []season.Entry) forecastForm {
	withHours := slices.ContainsFunc(entries, func(e season.Entry) bool { return len(e.Body.(*season.Forecast).Hours) > 0 })
	return forecastForm{days: true, hours: withHours}
}

// readForecast reads forecast/<station>.csv in the form that its header says.
func readForecast(data []byte, station string, k *known, r *report) []made {
	form, zone := formOf(data), time.UTC
	switch {
	case form.hours && form.days:
		zone, _ = zoneOf(station, k, &report{}) // the days are there, and most times say their clock
	case form.hours:
		var ok bool
		if zone, ok = zoneOf(station, k, r); !ok {
			return nil
		}
	}
	entries := forecastSheet(form, zone).read(data, station, k, r)
	for i := range entries { // the parts of a forecast are its days; its hours, and days made of them, have no line of their own
		days := entries[i].entry.Body.(*season.Forecast).Days
		entries[i].lines = entries[i].lines[:min(len(days), len(entries[i].lines))]
		if !form.days {
			entries[i].lines = nil
		}
	}
	return entries
}

// forecastChapter is forecast/<station>.csv. A file may hold several issues. The hours of a forecast stand below its
// days, whose figures stay as they were said or first gathered.
func forecastChapter() chapter {
	return chapter{
		kind: season.KindForecast,
		read: readForecast,
		write: func(entries []season.Entry, k *known, system unit.System) []byte {
			return forecastSheet(formFor(entries), time.UTC).write(entries, k, system)
		},
	}
}

// forecastSheet is a table of one form. The hours of an issue become days of the time zone where the table has none;
// where it has, the zone may be nil.
func forecastSheet(form forecastForm, zone *time.Location) chapter {
	return sheet[forecastRow, forecastKey]{
		kind:    season.KindForecast,
		columns: func(*known) []column[forecastRow] { return forecastColumns(form) },
		key: func(r *forecastRow) forecastKey {
			_, offset := r.issued.Zone()
			return forecastKey{r.issued.UTC(), offset, r.by}
		},
		join: func(rows []forecastRow, station string, at *rowsAt) season.Body {
			return joinForecast(rows, station, form, zone, at)
		},
		split: splitForecast,
	}.chapter()
}

// joinForecast makes a forecast of the rows of an issue: the days first, in order, and below them the steps.
func joinForecast(rows []forecastRow, station string, form forecastForm, zone *time.Location, at *rowsAt) season.Body {
	f := &season.Forecast{Station: station, Issued: rows[0].issued, By: rows[0].by}
	for i := range rows {
		if rows[i].Day.IsZero() == (rows[i].time == "") {
			at.wrong(i, "date", "a row of a table with dates and times is of a day or of an hour", rows[i].time, "a date or a time")
			return nil
		}
	}
	last := calendar.Date(9999, time.December, 31)
	inOrder(rows, at, func(r forecastRow) calendar.Day {
		if r.time != "" {
			return last
		}
		return r.Day
	})
	days := slices.IndexFunc(rows, func(r forecastRow) bool { return r.time != "" })
	if days < 0 {
		days = len(rows)
	}
	for i, r := range rows[:days] {
		r.weatherRow.temperature(i, at)
		f.Days = append(f.Days, r.day())
	}
	if days == len(rows) {
		return f
	}
	spans := placed(rows, days, zone, at)
	series := expand(spans, at)
	if f.Hours = series.Hours(cmp.Or(zone, time.UTC)); form.days {
		setClocks(f.Hours, spans)
	}
	if days == 0 && zone != nil {
		f.Days = series.Days(zone)
	}
	if len(f.Days) == 0 {
		at.wrong(0, "time", "the forecast covers no whole day", "", "every hour from midnight to midnight")
		return nil
	}
	return f
}

// day is a row that is one.
func (r *forecastRow) day() season.ForecastDay {
	d := season.ForecastDay{
		WeatherDay: r.WeatherDay,
		RainChance: unit.Fraction(r.chance.value), Wind: unit.Speed(r.wind.value), Humidity: unit.Fraction(r.humidity.value),
	}
	if r.wind.known {
		d.Has |= season.HasWind
	}
	if r.humidity.known {
		d.Has |= season.HasHumidity
	}
	return d
}

// splitForecast takes the rows out of a forecast again: its days, then its hours, each with its offset from UTC.
func splitForecast(body season.Body) []forecastRow {
	b := body.(*season.Forecast)
	var rows []forecastRow
	for _, d := range b.Days {
		has := d.Has&season.HasTemperature != 0
		rows = append(rows, forecastRow{
			issued: b.Issued, by: b.By, weatherRow: weatherRow{d.WeatherDay, has, has},
			chance: step{float64(d.RainChance), d.RainChance != 0}, wind: step{float64(d.Wind), d.Has&season.HasWind != 0},
			humidity: step{float64(d.Humidity), d.Has&season.HasHumidity != 0},
		})
	}
	for _, h := range b.Hours {
		given := func(part season.HourParts, v float64) step { return step{v, h.Has&part != 0} }
		row := forecastRow{
			issued: b.Issued, by: b.By, time: h.At.In(time.FixedZone("", 60*h.Ahead)).Format(withOffset),
			temperature: given(season.HourTemperature, float64(h.Temperature)), humidity: given(season.HourHumidity, float64(h.Humidity)),
			wind: given(season.HourWind, float64(h.Wind)), gust: given(season.HourGust, float64(h.Gust)),
			cloud: given(season.HourCloud, float64(h.Cloud)), chance: given(season.HourRainChance, float64(h.RainChance)),
		}
		if h.Has&season.HourRain != 0 {
			row.Rain, row.Has = h.Rain, season.HasRain
		}
		rows = append(rows, row)
	}
	return rows
}

// forecastColumns are those of a form. Where a table has days and hours, no row fills the columns of both.
func forecastColumns(form forecastForm) []column[forecastRow] {
	type row = forecastRow
	value := func(name string, scales []scale, at func(*row) *step) column[row] {
		return number(name, scales,
			func(r *row) (float64, bool) { return at(r).value, at(r).known },
			func(r *row, v float64) { *at(r) = step{v, true} })
	}
	var ofWeather []column[row] // date, low, high, rain, snow
	for _, c := range weatherColumns() {
		ofWeather = append(ofWeather, column[row]{
			heads: c.heads, required: c.required && !form.hours, filled: c.filled && !form.hours,
			read:  func(f *found, r *row) { c.read(f, &r.weatherRow) },
			write: func(r *row, s unit.System) (int, string) { return c.write(&r.weatherRow, s) },
		})
	}
	columns := []column[row]{moment("issued", func(r *row) *time.Time { return &r.issued }).must()}
	if form.days {
		columns = append(columns, ofWeather[0])
	}
	if form.hours {
		at := text("time", func(r *row) *string { return &r.time })
		if !form.days {
			at = at.must()
		}
		columns = append(columns, at,
			number("hours", plainNumber(), func(r *row) (float64, bool) { return r.hours, r.hours != 0 }, func(r *row, v float64) { r.hours = v }))
	}
	if form.days {
		columns = append(columns, ofWeather[1:3]...)
	}
	if form.hours {
		columns = append(columns,
			value("temperature", temperatures(), func(r *row) *step { return &r.temperature }),
			value("dew_point", temperatures(), func(r *row) *step { return &r.dewPoint }))
	}
	columns = append(append(columns, ofWeather[3:]...),
		value("rain_chance", percents(), func(r *row) *step { return &r.chance }),
		value("wind", winds(), func(r *row) *step { return &r.wind }))
	if form.hours {
		columns = append(columns,
			value("gust", winds(), func(r *row) *step { return &r.gust }),
			value("cloud", percents(), func(r *row) *step { return &r.cloud }))
	}
	return append(columns,
		value("humidity", percents(), func(r *row) *step { return &r.humidity }),
		text("by", func(r *row) *string { return &r.by }))
}
