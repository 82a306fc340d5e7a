package folder

import (
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

func soilChapter() chapter {
	return sheet[season.Soil, int]{
		kind:    season.KindSoil,
		columns: soilColumns,
		join:    func(rows []season.Soil, _ string, _ *rowsAt) season.Body { return &rows[0] },
		split:   func(body season.Body) []season.Soil { return []season.Soil{*body.(*season.Soil)} },
	}.chapter()
}

func soilColumns(*known) []column[season.Soil] {
	type row = season.Soil
	columns := []column[row]{
		text("sample", func(r *row) *string { return &r.Sample }).must(),
		text("field", func(r *row) *string { return &r.Field }).must(),
		date("date", func(r *row) *calendar.Day { return &r.Day }).must(),
		text("lab", func(r *row) *string { return &r.Lab }),
		amount("top", depths(), func(r *row) *unit.Length { return &r.Top }).must(),
		amount("bottom", depths(), func(r *row) *unit.Length { return &r.Bottom }).must(),
	}
	for _, a := range analytes() {
		columns = append(columns, resultColumn(a), methodColumn(a))
	}
	return columns
}

// analyteColumn says how an analyte stands in a table.
type analyteColumn struct {
	analyte season.Analyte
	head    string
	scale   scale
}

func analytes() []analyteColumn {
	ppm, percent := plainNumber()[0], percents()[0]
	return []analyteColumn{
		{season.NitrateN, "nitrate_n_ppm", ppm},
		{season.AmmoniumN, "ammonium_n_ppm", ppm},
		{season.OrganicMatter, "organic_matter_pct", percent},
		{season.PH, "ph", ppm},
		{season.BufferPH, "buffer_ph", ppm},
		{season.Phosphorus, "phosphorus_ppm", ppm},
		{season.Potassium, "potassium_ppm", ppm},
		{season.SulfateS, "sulfate_s_ppm", ppm},
		{season.Chloride, "chloride_ppm", ppm},
		{season.Zinc, "zinc_ppm", ppm},
		{season.Aluminium, "aluminium_ppm", ppm},
	}
}

// resultColumn holds a laboratory's number; "<1" is a result under the detection limit, which was 1.
func resultColumn(a analyteColumn) column[season.Soil] {
	return column[season.Soil]{
		heads: []string{a.head},
		read: func(c *found, row *season.Soil) {
			under := len(c.text) > 0 && c.text[0] == '<'
			if under {
				c.text = c.text[1:]
			}
			v, ok := a.scale.parse(c.text)
			if !ok {
				c.wrong("the result cannot be read", expectedNumber(c.String())+"; <1 for a result under a detection limit of 1")
				return
			}
			row.Results = append(row.Results, season.Result{Analyte: a.analyte, Value: v, Below: under})
		},
		write: func(row *season.Soil, _ unit.System) (int, string) {
			r, measured := row.Find(a.analyte)
			if !measured {
				return 0, ""
			}
			written := a.scale.format(r.Value)
			if r.Below {
				written = "<" + written
			}
			return 0, written
		},
	}
}

// methodColumn holds the extractant. It comes after the column of the result it belongs to.
func methodColumn(a analyteColumn) column[season.Soil] {
	name := strings.TrimSuffix(strings.TrimSuffix(a.head, "_ppm"), "_pct") + "_method"
	return column[season.Soil]{
		heads: []string{name},
		read: func(c *found, row *season.Soil) {
			i := slices.IndexFunc(row.Results, func(r season.Result) bool { return r.Analyte == a.analyte })
			if i >= 0 {
				row.Results[i].Method = unguarded(c.String())
			}
		},
		write: func(row *season.Soil, _ unit.System) (int, string) {
			r, _ := row.Find(a.analyte)
			return 0, guarded(r.Method)
		},
	}
}
