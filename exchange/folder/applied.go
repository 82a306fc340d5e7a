package folder

import (
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

func appliedChapter() chapter {
	return sheet[season.Applied, int]{
		kind:    season.KindApplied,
		columns: appliedColumns,
		join:    func(rows []season.Applied, _ string, _ *rowsAt) season.Body { return &rows[0] },
		split:   func(body season.Body) []season.Applied { return []season.Applied{*body.(*season.Applied)} },
	}.chapter()
}

func appliedColumns(*known) []column[season.Applied] {
	type row = season.Applied
	return []column[row]{
		text("field", func(r *row) *string { return &r.Field }).must(),
		date("date", func(r *row) *calendar.Day { return &r.Day }).must(),
		text("product", func(r *row) *string { return &r.Product }).must(),
		amount("n", rates(), func(r *row) *unit.Rate { return &r.Rate }).must(),
		text("placement", func(r *row) *string { return &r.Placement }),
		text("by", func(r *row) *string { return &r.By }),
		text("note", func(r *row) *string { return &r.Note }),
	}
}

func harvestChapter() chapter {
	return sheet[season.Harvest, int]{
		kind:    season.KindHarvest,
		columns: harvestColumns,
		join:    func(rows []season.Harvest, _ string, _ *rowsAt) season.Body { return &rows[0] },
		split:   func(body season.Body) []season.Harvest { return []season.Harvest{*body.(*season.Harvest)} },
	}.chapter()
}

func harvestColumns(k *known) []column[season.Harvest] {
	type row = season.Harvest
	seen := func(r *row) working.Origin { return seenBy(r.By, r.Day) }
	return slices.Concat(
		[]column[row]{
			text("field", func(r *row) *string { return &r.Field }).must(),
			date("date", func(r *row) *calendar.Day { return &r.Day }).must(),
			text("part", func(r *row) *string { return &r.Part }),
			yieldColumn(func(r *row) (season.Crop, string) { return k.crops[r.Field], "field " + quoted(r.Field) },
				func(r *row) *unit.Yield { return &r.Yield }).must(),
			text("by", func(r *row) *string { return &r.By }),
		},
		fact("protein", percents(), func(r *row) *working.Fact[unit.Fraction] { return &r.Protein }, seen),
		[]column[row]{text("note", func(r *row) *string { return &r.Note })},
	)
}

// yieldColumn holds a yield in bushels or in mass. crop gives the row's crop, and what it is the crop of in
// words: without it a bushel is no mass.
func yieldColumn[R any](crop func(*R) (season.Crop, string), at func(*R) *unit.Yield) column[R] {
	wheat, canola, noCrop := yields(season.WheatGrain), yields(season.Canola), yields("")
	bushels := func(row *R) (season.Crop, string, []scale) {
		switch c, of := crop(row); {
		case c.IsWheat():
			return c, of, wheat
		case c == season.Canola:
			return c, of, canola
		default:
			return "", of, append([]scale{{}}, noCrop...) // no bushel, at the bushel's place
		}
	}
	return column[R]{
		heads: headsOf("yield", wheat),
		read: func(c *found, row *R) {
			crop, of, scales := bushels(row)
			if crop == "" && c.head == 0 {
				if !c.row.failed { // an unknown crop has been reported
					c.wrong("the weight of a bushel is not known, because the crop of "+of+" is not",
						"a field of season.yaml, or the yield under yield_lb_ac")
				}
				return
			}
			if v, ok := c.number(scales[c.head]); ok {
				*at(row) = unit.Yield(v)
			}
		},
		write: func(row *R, system unit.System) (int, string) {
			crop, _, scales := bushels(row)
			head := forSystem(scales, system)
			if crop == "" && head == 0 {
				head = 1
			}
			return head, scales[head].format(float64(*at(row)))
		},
	}
}
