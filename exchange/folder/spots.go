package folder

import (
	"culm/agronomy/calendar"
	"culm/season"
)

func spotsChapter() chapter {
	return sheet[season.Spot, int]{
		kind:    season.KindSpot,
		columns: spotColumns,
		join:    func(rows []season.Spot, _ string, _ *rowsAt) season.Body { return &rows[0] },
		split:   func(body season.Body) []season.Spot { return []season.Spot{*body.(*season.Spot)} },
	}.chapter()
}

func spotColumns(*known) []column[season.Spot] {
	type row = season.Spot
	return []column[row]{
		text("spot", func(r *row) *string { return &r.ID }).must(),
		text("field", func(r *row) *string { return &r.Field }).must(),
		date("date", func(r *row) *calendar.Day { return &r.Day }).must(),
		text("observer", func(r *row) *string { return &r.Observer }),
		choice("kind", func(r *row) *season.SpotKind { return &r.Spot }, season.PoorSpot, season.GoodSpot).must(),
		text("pair", func(r *row) *string { return &r.Pair }),
		text("sample", func(r *row) *string { return &r.Sample }),
		amount("lon", plainNumber(), func(r *row) *float64 { return &r.At.Lon }).must(),
		amount("lat", plainNumber(), func(r *row) *float64 { return &r.At.Lat }).must(),
		text("note", func(r *row) *string { return &r.Note }),
	}
}
