package folder

import (
	"slices"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// weatherRow is a day's weather, and which of the two temperatures the row gave.
type weatherRow struct {
	season.WeatherDay
	hasLow, hasHigh bool
}

type monthKey struct {
	year  int
	month time.Month
}

// weatherChapter is weather/<station>.csv. Each month of it makes one entry, so that a log which grows day by
// day replaces one small entry and not the whole winter.
func weatherChapter() chapter {
	return sheet[weatherRow, monthKey]{
		kind:    season.KindWeather,
		columns: func(*known) []column[weatherRow] { return weatherColumns() },
		key: func(r *weatherRow) monthKey {
			year, month, _ := r.Day.Time().Date()
			return monthKey{year, month}
		},
		join: func(rows []weatherRow, station string, at *rowsAt) season.Body {
			year, month, _ := rows[0].Day.Time().Date()
			w := &season.Weather{Station: station, Year: year, Month: month, Days: make([]season.WeatherDay, len(rows))}
			inOrder(rows, at, func(r weatherRow) calendar.Day { return r.Day })
			for i := range rows {
				rows[i].temperature(i, at)
				w.Days[i] = rows[i].WeatherDay
			}
			return w
		},
		split: func(body season.Body) []weatherRow {
			var rows []weatherRow
			for _, d := range body.(*season.Weather).Days {
				has := d.Has&season.HasTemperature != 0
				rows = append(rows, weatherRow{d, has, has})
			}
			return rows
		},
	}.chapter()
}

// temperature notes that the day has temperatures. One alone gives no mean and is left out.
func (r *weatherRow) temperature(part int, at *rowsAt) {
	switch {
	case r.hasLow && r.hasHigh:
		r.Has |= season.HasTemperature
	case r.hasLow || r.hasHigh:
		r.Low, r.High = 0, 0
		at.report.doubt(int(at.lines[part]), "low", "a day has one of its two temperatures only, which is left out",
			r.Day.String(), "low and high, or neither")
	}
}

// inOrder sorts rows by day, and their lines with them. Most files are in order already.
func inOrder[R any](rows []R, at *rowsAt, day func(R) calendar.Day) {
	byDay := func(a, b R) int { return day(a).Sub(day(b)) }
	if slices.IsSortedFunc(rows, byDay) {
		return
	}
	order := make([]int, len(rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return byDay(rows[i], rows[j]) })
	before, lines := slices.Clone(rows), slices.Clone(at.lines)
	for to, from := range order {
		rows[to], at.lines[to] = before[from], lines[from]
	}
}

func weatherColumns() []column[weatherRow] {
	type row = weatherRow
	return []column[row]{
		date("date", func(r *row) *calendar.Day { return &r.Day }).must(),
		number("low", temperatures(),
			func(r *row) (float64, bool) { return float64(r.Low), r.hasLow },
			func(r *row, v float64) { r.Low, r.hasLow = unit.Temperature(v), true }).should(),
		number("high", temperatures(),
			func(r *row) (float64, bool) { return float64(r.High), r.hasHigh },
			func(r *row, v float64) { r.High, r.hasHigh = unit.Temperature(v), true }).should(),
		number("rain", rains(),
			func(r *row) (float64, bool) { return float64(r.Rain), r.Has&season.HasRain != 0 },
			func(r *row, v float64) { r.Rain, r.Has = unit.Water(v), r.Has|season.HasRain }).should(),
		number("snow", snows(),
			func(r *row) (float64, bool) { return float64(r.Snow), r.Has&season.HasSnow != 0 },
			func(r *row, v float64) { r.Snow, r.Has = unit.Water(v), r.Has|season.HasSnow }),
	}
}
