package demo

import (
	"fmt"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

const (
	mehlich3 = "mehlich-3"
	sikora   = "sikora"
)

// writeSoil enters the composite of a field, in its layers.
func writeSoil(n *notebook, ordinal int, field string, t *soilTest) {
	if t == nil {
		return
	}
	sample := fmt.Sprintf("D26-%04d", 1000+ordinal)
	n.report(t.day, &season.Soil{
		Sample: sample, Field: field, Day: t.day, Lab: laboratory, Top: 0, Bottom: inchesDeep(6),
		Results: t.top(),
	})
	if !t.shallow {
		n.report(t.day, &season.Soil{
			Sample: sample, Field: field, Day: t.day, Lab: laboratory, Top: inchesDeep(6), Bottom: inchesDeep(24),
			Results: measured(t.nitrateIn(1), t.sulfateIn(1), t.chlorideIn(1)),
		})
	}
}

// report enters a laboratory's result, eight days after the sample was drawn.
func (n *notebook) report(drawn calendar.Day, s *season.Soil) {
	reported := drawn.Add(8).Time().Add(20 * time.Hour)
	if s.Top > 0 {
		reported = reported.Add(time.Minute) // the layers of one sample come in order
	}
	n.writeAt(laboratory, drawn, reported, s)
}

// top are the results of the upper layer, in the order of season's analytes.
func (t soilTest) top() []season.Result {
	return measured(
		t.nitrateIn(0),
		season.Result{Analyte: season.OrganicMatter, Value: float64(percent(round(t.organic, 0.1)))},
		season.Result{Analyte: season.PH, Value: t.ph},
		season.Result{Analyte: season.BufferPH, Value: t.buffer, Method: sikora},
		season.Result{Analyte: season.Phosphorus, Value: t.phosphorus, Method: mehlich3},
		season.Result{Analyte: season.Potassium, Value: t.potassium, Method: mehlich3},
		t.sulfateIn(0),
		t.chlorideIn(0),
		season.Result{Analyte: season.Zinc, Value: t.zinc, Method: "dtpa"},
	)
}

// What moves with water is measured in both layers.
func (t soilTest) nitrateIn(layer int) season.Result {
	return detected(season.NitrateN, t.nitrate[layer], 1)
}

func (t soilTest) sulfateIn(layer int) season.Result {
	return detected(season.SulfateS, t.sulfate[layer], 2)
}

func (t soilTest) chlorideIn(layer int) season.Result {
	return detected(season.Chloride, t.chloride[layer], 2)
}

// detected is a result as the laboratory gives it: below its limit of detection it gives the limit.
func detected(a season.Analyte, value, limit float64) season.Result {
	if value > 0 && value < limit {
		return season.Result{Analyte: a, Value: limit, Below: true}
	}
	return season.Result{Analyte: a, Value: value}
}

// measured leaves out what was not measured.
func measured(all ...season.Result) []season.Result {
	var out []season.Result
	for _, r := range all {
		if r.Value > 0 {
			out = append(out, r)
		}
	}
	return out
}

// writeSpots enters a field's poor and good spots and what the laboratory found in them.
func writeSpots(n *notebook, ordinal int, field string, s story) {
	next := 0
	mark := func(day calendar.Day, kind season.SpotKind, pair string, at point, note string) string {
		next++
		sample := fmt.Sprintf("D27-%04d", 100*(ordinal+1)+next)
		n.write(scoutsPhone, day, &season.Spot{
			ID: fmt.Sprintf("%s%s", pair, string(kind)[:1]), Field: field, Day: day, Observer: scout,
			Spot: kind, Pair: pair, Sample: sample, At: at.position(), Note: note,
		})
		return sample
	}
	for i, p := range s.spots {
		pair := fmt.Sprint(i + 1)
		poor := s.block.at(p.east, p.north)
		good := point{poor.x + 32, poor.y + 12}
		n.report(p.day, p.poor.body(field, mark(p.day, season.PoorSpot, pair, poor, p.note), p.day))
		n.report(p.day, p.good.body(field, mark(p.day, season.GoodSpot, pair, good, ""), p.day))
	}
	for i, p := range s.strays {
		mark(p.day, season.PoorSpot, fmt.Sprint(len(s.spots)+i+1), s.block.at(p.east, p.north), p.note)
	}
}

func (t spotTest) body(field, sample string, day calendar.Day) *season.Soil {
	return &season.Soil{
		Sample: sample, Field: field, Day: day, Lab: laboratory, Top: 0, Bottom: inchesDeep(6),
		Results: measured(
			season.Result{Analyte: season.OrganicMatter, Value: float64(percent(round(t.organic, 0.1)))},
			season.Result{Analyte: season.PH, Value: t.ph},
			season.Result{Analyte: season.BufferPH, Value: t.buffer, Method: sikora},
			season.Result{Analyte: season.Phosphorus, Value: t.phosphorus, Method: mehlich3},
			season.Result{Analyte: season.Potassium, Value: t.potassium, Method: mehlich3},
			season.Result{Analyte: season.Aluminium, Value: t.aluminium},
		),
	}
}
