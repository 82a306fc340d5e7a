package folder

import (
	"culm/agronomy/unit"
	"culm/season"
)

// trialRow is one plot.
type trialRow struct {
	of  season.Trial // without the plots
	one season.Plot
}

type trialKey struct {
	name, by string
	crop     season.Crop
	year     int
}

func trialsChapter() chapter {
	return sheet[trialRow, trialKey]{
		kind:    season.KindTrial,
		columns: trialColumns,
		key:     func(r *trialRow) trialKey { return trialKey{r.of.Name, r.of.By, r.of.Crop, r.of.Year} },
		join: func(rows []trialRow, _ string, _ *rowsAt) season.Body {
			all := rows[0].of
			for _, r := range rows {
				all.Plots = append(all.Plots, r.one)
			}
			return &all
		},
		split: func(body season.Body) []trialRow {
			b := body.(*season.Trial)
			of := *b
			of.Plots = nil
			var rows []trialRow
			for _, one := range b.Plots {
				rows = append(rows, trialRow{of, one})
			}
			return rows
		},
	}.chapter()
}

func trialColumns(*known) []column[trialRow] {
	type row = trialRow
	return []column[row]{
		text("trial", func(r *row) *string { return &r.of.Name }).must(),
		choice("crop", func(r *row) *season.Crop { return &r.of.Crop }, crops()...).must(),
		whole("year", func(r *row) *int { return &r.of.Year }).must(),
		text("by", func(r *row) *string { return &r.of.By }),
		amount("n", rates(), func(r *row) *unit.Rate { return &r.one.Rate }).must(),
		yieldColumn(func(r *row) (season.Crop, string) { return r.of.Crop, "the trial" },
			func(r *row) *unit.Yield { return &r.one.Yield }).must(),
	}
}

func crops() []season.Crop {
	return []season.Crop{season.WheatGrain, season.WheatGrazed, season.WheatGrazeOut, season.Canola}
}
