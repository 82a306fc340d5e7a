package folder

import (
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// readingRow is one reading with what it shares with the others of its strip and day.
type readingRow struct {
	of  season.Readings // without the list
	one season.Reading
}

type readingsKey struct {
	field, strip, observer, instrument string
	day                                calendar.Day
	reference                          season.Reference
	means                              season.Means
}

func readingsChapter() chapter {
	return sheet[readingRow, readingsKey]{
		kind:    season.KindReadings,
		columns: readingColumns,
		key: func(r *readingRow) readingsKey {
			return readingsKey{
				field: r.of.Field, strip: r.of.Strip, observer: r.of.Observer, instrument: r.of.Instrument,
				day: r.of.Day, reference: r.of.Reference, means: r.of.Means,
			}
		},
		join: func(rows []readingRow, _ string, _ *rowsAt) season.Body {
			all := rows[0].of
			for _, r := range rows {
				all.Readings = append(all.Readings, r.one)
			}
			return &all
		},
		split: func(body season.Body) []readingRow {
			b := body.(*season.Readings)
			of := *b
			of.Readings = nil
			var rows []readingRow
			for _, one := range b.Readings {
				rows = append(rows, readingRow{of, one})
			}
			return rows
		},
	}.chapter()
}

func readingColumns(*known) []column[readingRow] {
	type row = readingRow
	return []column[row]{
		text("field", func(r *row) *string { return &r.of.Field }).must(),
		text("strip", func(r *row) *string { return &r.of.Strip }),
		date("date", func(r *row) *calendar.Day { return &r.of.Day }).must(),
		text("observer", func(r *row) *string { return &r.of.Observer }),
		text("instrument", func(r *row) *string { return &r.of.Instrument }),
		choice("reference", func(r *row) *season.Reference { return &r.of.Reference },
			season.StripReference, season.DungReference, season.UrineReference).must(),
		choice("means", func(r *row) *season.Means { return &r.of.Means }, season.Sensor, season.Eye).must(),
		whole("pair", func(r *row) *int { return &r.one.Pair }),
		number("along", distances(),
			func(r *row) (float64, bool) { return float64(r.one.Along), r.one.HasAlong },
			func(r *row, v float64) { r.one.Along, r.one.HasAlong = unit.Length(v), true }),
		choice("place", func(r *row) *season.Place { return &r.one.Place }, season.OnReference, season.Beside).must(),
		amount("value", plainNumber(), func(r *row) *float64 { return &r.one.Value }).must(),
	}
}

// rampRow is one strip of a ramp.
type rampRow struct {
	of     season.Ramp // without the steps
	one    season.RampStep
	better *bool
}

type rampKey struct {
	field, observer string
	day             calendar.Day
}

func rampsChapter() chapter {
	return sheet[rampRow, rampKey]{
		kind:    season.KindRamp,
		columns: rampColumns,
		key:     func(r *rampRow) rampKey { return rampKey{r.of.Field, r.of.Observer, r.of.Day} },
		join: func(rows []rampRow, _ string, _ *rowsAt) season.Body {
			all := rows[0].of
			for _, r := range rows {
				r.one.Better = *r.better
				all.Steps = append(all.Steps, r.one)
			}
			return &all
		},
		split: func(body season.Body) []rampRow {
			b := body.(*season.Ramp)
			of := *b
			of.Steps = nil
			var rows []rampRow
			for _, one := range b.Steps {
				rows = append(rows, rampRow{of, one, &one.Better})
			}
			return rows
		},
	}.chapter()
}

func rampColumns(*known) []column[rampRow] {
	type row = rampRow
	return []column[row]{
		text("field", func(r *row) *string { return &r.of.Field }).must(),
		date("date", func(r *row) *calendar.Day { return &r.of.Day }).must(),
		text("observer", func(r *row) *string { return &r.of.Observer }),
		amount("n", rates(), func(r *row) *unit.Rate { return &r.one.Rate }).must(),
		yesNo("better", func(r *row) **bool { return &r.better }).must(),
	}
}
