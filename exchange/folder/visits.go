package folder

import (
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// visitRow is a visit, and whether a stage was noted: a stage may be 0.
type visitRow struct {
	season.Visit
	hasStage bool
}

func visitsChapter() chapter {
	return sheet[visitRow, int]{
		kind:    season.KindVisit,
		columns: visitColumns,
		join: func(rows []visitRow, _ string, at *rowsAt) season.Body {
			v := rows[0]
			if v.hasStage != (v.Scale != "") {
				at.wrong(0, "stage", "a stage needs its scale, and a scale its stage", quoted(string(v.Scale)),
					"both, such as feekes and 5, or neither")
				return nil
			}
			return &v.Visit
		},
		split: func(body season.Body) []visitRow {
			b := body.(*season.Visit)
			return []visitRow{{*b, b.Scale != ""}}
		},
	}.chapter()
}

func visitColumns(*known) []column[visitRow] {
	type row = visitRow
	seen := func(r *row) working.Origin { return seenBy(r.Observer, r.Day) }
	return slices.Concat(
		[]column[row]{
			text("field", func(r *row) *string { return &r.Field }).must(),
			date("date", func(r *row) *calendar.Day { return &r.Day }).must(),
			text("observer", func(r *row) *string { return &r.Observer }),
			choice("scale", func(r *row) *season.StageScale { return &r.Scale }, season.Feekes, season.Zadoks, season.BBCH),
			number("stage", plainNumber(),
				func(r *row) (float64, bool) { return r.Stage, r.hasStage },
				func(r *row, v float64) { r.Stage, r.hasStage = v, true }),
		},
		fact("hollow_stem", stems(), func(r *row) *working.Fact[unit.Length] { return &r.HollowStem }, seen),
		fact("residue", percents(), func(r *row) *working.Fact[unit.Fraction] { return &r.Residue }, seen),
		fact("green", percents(), func(r *row) *working.Fact[unit.Fraction] { return &r.Green }, seen),
		fact("stand", percents(), func(r *row) *working.Fact[unit.Fraction] { return &r.Stand }, seen),
		fact("fresh", freshMasses(), func(r *row) *working.Fact[unit.Biomass] { return &r.FreshMass }, seen),
		[]column[row]{
			yesNo("frozen", func(r *row) **bool { return &r.Frozen }),
			yesNo("snow", func(r *row) **bool { return &r.Snow }),
			text("note", func(r *row) *string { return &r.Note }),
		},
	)
}
