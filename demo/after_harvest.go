package demo

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// outcome is what became of a field of the cast: what its producer really spread, and what was cut.
type outcome struct {
	field string
	top   []spread
	cut   calendar.Day
	yield cuts   // bu/ac
	test  cuts   // grain protein, %; not tested when zero
	note  string // of the whole field's harvest
}

// cuts are the parts of a field that were cut and weighed apart. Zero was not.
type cuts struct {
	field, reference, none float64
}

// AfterHarvest gives the entries that the cast's producers add to Season's by the end of June: what was
// really spread, which is not always what was advised, and what was harvested.
func AfterHarvest(seed uint64) []season.Entry {
	n := &notebook{seed: seed}
	for _, s := range cast() {
		for _, o := range outcomes() {
			if o.field == s.name {
				writeOutcome(n, s, o)
			}
		}
	}
	return n.inOrder()
}

func writeOutcome(n *notebook, s story, o outcome) {
	id := slug(s.name)
	for _, a := range o.top {
		n.write(s.producer, a.day, a.applied(id, s.producer))
	}
	for _, part := range []struct {
		name, note     string
		yield, protein float64
	}{
		{"field", o.note, o.yield.field, o.test.field},
		{"reference", "", o.yield.reference, o.test.reference},
		{"none", "", o.yield.none, o.test.none},
	} {
		if part.yield == 0 {
			continue
		}
		h := &season.Harvest{Field: id, Day: o.cut, Part: part.name, Yield: bushelsPerAcre(part.yield, s.crop), By: s.producer, Note: part.note}
		if part.protein > 0 {
			h.Protein = working.Fact[unit.Fraction]{Value: percent(part.protein), Origin: working.Origin{
				Kind: working.Observed, By: "Divide Co-op (invented)", On: o.cut, With: "near infrared at the elevator",
			}}
		}
		n.write(s.producer, o.cut, h)
	}
}

func march(day int) calendar.Day { return calendar.Date(2027, time.March, day) }

func june(day int) calendar.Day { return calendar.Date(2027, time.June, day) }

func outcomes() []outcome {
	return []outcome{
		{
			// The strip was right.
			field: "Mill Quarter", top: []spread{{march(2), urea, 50, "broadcast", ""}}, cut: june(17),
			yield: cuts{56.8, 57.9, 45.6}, test: cuts{12.4, 12.9, 10.9},
		},
		{
			field: "Stubble Quarter", top: []spread{{march(4), uan28, 45, "stream", ""}}, cut: june(15),
			yield: cuts{50.2, 53.1, 39.4}, test: cuts{11.8, 12.4, 10.3},
		},
		{
			// Nothing was spread, and nothing was missed.
			field: "Schoolhouse Quarter", cut: june(18), yield: cuts{52.4, 52.9, 0}, test: cuts{12.8, 13.0, 0},
		},
		{
			// Spread against the evidence: it did not pay.
			field: "Windmill Eighty", top: []spread{{march(9), urea, 30, "broadcast", ""}}, cut: june(18),
			yield: cuts{47.6, 48.8, 46.9}, test: cuts{12.7, 13.1, 12.2},
		},
		{
			field: "Elevator Eighty", top: []spread{{march(3), urea, 40, "broadcast", ""}}, cut: june(19),
			yield: cuts{50.6, 0, 42.3}, test: cuts{12.3, 0, 11.0},
		},
		{
			// Protein says that the sand ran out of nitrogen even so.
			field: "Sand Hill Quarter", top: []spread{{march(8), "uan-32", 35, "stream", ""}}, cut: june(14),
			yield: cuts{38.4, 42.1, 31.7}, test: cuts{11.2, 11.9, 10.1},
		},
		{
			field: "Gumbo Flat", top: []spread{{march(10), urea, 25, "broadcast", ""}}, cut: june(21),
			yield: cuts{51.2, 52.3, 44.6}, test: cuts{12.6, 12.9, 11.7}, note: "Spread late; too wet before.",
		},
		{
			// The carried-over nitrate was found by the roots after all: the soil test was nearer than the strip.
			field: "Feedlot Quarter", cut: june(19), yield: cuts{59.4, 60.5, 0}, test: cuts{13.1, 13.4, 0},
		},
		{
			field: "Thin Ridge", cut: june(12), yield: cuts{20.4, 21.6, 0}, test: cuts{14.1, 14.6, 0},
		},
		{
			field: "Milo Eighty", top: []spread{{march(5), uan28, 40, "stream", ""}}, cut: june(22),
			yield: cuts{41.5, 45.2, 31.9}, test: cuts{11.3, 12.1, 10.0},
		},
		{
			field: "Bull Pasture", top: []spread{{march(6), urea, 35, "broadcast", ""}}, cut: june(16),
			yield: cuts{39.6, 0, 31.8}, test: cuts{12.2, 0, 11.1}, note: "Steers off on 24 February.",
		},
		{
			// Cattle stayed too long.
			field: "Airstrip Eighty", top: []spread{{march(1), uan28, 35, "stream", ""}}, cut: june(11),
			yield: cuts{28.9, 36.8, 25.1}, test: cuts{12.8, 12.4, 11.9}, note: "Steers off on 22 February, twelve days after the call.",
		},
		{
			field: "Depot Quarter", top: []spread{{march(2), urea, 55, "broadcast", ""}}, cut: june(9),
			yield: cuts{46.3, 47.0, 37.8},
		},
		{
			field: "Red Gate Eighty", top: []spread{{march(1), uan28, 45, "stream", ""}}, cut: june(8),
			yield: cuts{33.6, 35.9, 27.4}, note: "Half a crop on the sour spots.",
		},
		{
			field: "Creek Eighty", cut: june(20), yield: cuts{66.1, 63.8, 0}, test: cuts{12.9, 13.6, 0}, note: "Strip lodged.",
		},
		{
			// The strip had been burnt: the field needed nitrogen and the readings could not show it.
			field: "Cemetery Quarter", top: []spread{{march(9), urea, 30, "broadcast", ""}}, cut: june(20),
			yield: cuts{46.8, 41.9, 40.3}, test: cuts{12.0, 12.6, 10.9},
		},
		{
			field: "Both Sides", top: []spread{{march(3), urea, 30, "broadcast", ""}}, cut: june(19),
			yield: cuts{50.1, 51.4, 42.6}, test: cuts{12.3, 12.7, 11.2},
		},
		{
			field: "Slick Spot Eighty", top: []spread{{march(4), urea, 35, "broadcast", ""}}, cut: june(21),
			yield: cuts{44.6, 46.2, 36.4}, test: cuts{12.1, 12.5, 10.9},
		},
		{
			field: "North Slope", top: []spread{{march(4), urea, 40, "broadcast", ""}}, cut: june(23),
			yield: cuts{50.3, 51.4, 40.6}, test: cuts{12.2, 12.6, 10.8},
		},
	}
}
