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
		text("zone", func(r *row) *string { return &r.Zone }),
		amount("top", depths(), func(r *row) *unit.Length { return &r.Top }).must(),
		amount("bottom", depths(), func(r *row) *unit.Length { return &r.Bottom }).must(),
		number("soil_mass_mlb_ac_in", plainNumber(),
			func(r *row) (float64, bool) { return float64(r.SoilMass), r.SoilMass != 0 },
			func(r *row, v float64) { r.SoilMass = unit.PoundsPerMillion(v) }),
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

// analytes heads each column with the analyte and its unit, "cec_meq_100g".
func analytes() []analyteColumn {
	units := map[string]string{
		"": "", "ppm": "_ppm", "share": "_pct", "meq/100 g": "_meq_100g", "meq/100 cm3": "_meq_100cm3", "dS/m": "_ds_m",
	}
	var columns []analyteColumn
	for _, a := range season.Analytes() {
		scale := plainNumber()[0]
		if a.Unit() == "share" {
			scale = percents()[0]
		}
		columns = append(columns, analyteColumn{a, snake(a) + units[a.Unit()], scale})
	}
	return columns
}

func snake(a season.Analyte) string { return strings.ReplaceAll(string(a), "-", "_") }

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

// methodColumn holds how the result was measured. It comes after the column of the result it belongs to.
func methodColumn(a analyteColumn) column[season.Soil] {
	name := snake(a.analyte) + "_method"
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
