package crop

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"
)

// LeafCaution goes with every leaf number and canola stage from degree days.
const LeafCaution = "counted with degree days fitted on spring-sown crops: good for leaves in fall, not through the winter"

// Wheat's degree days in Fahrenheit (cite.NorthDakotaGDD): base 32, highs capped at 70 until the second leaf
// is out and at 95 after. Lows are not capped.
const (
	wheatBase       = 32
	secondLeafAfter = 395 // F days
	capBefore       = 70
	capAfter        = 95
	canolaBase      = 41 // F, no cap
)

// WheatDegreeDays adds up wheat's degree days from the day after planting to a day, both included. The cap on
// a day depends on the sum before it, so a missing day makes all later ones a little uncertain.
func WheatDegreeDays(days []season.WeatherDay, planted, to calendar.Day) weather.Sum[unit.DegreeDays] {
	var all weather.Sum[unit.DegreeDays]
	if planted.IsZero() {
		return all
	}
	for day := planted.Add(1); !day.After(to); day = day.Add(1) {
		rule := weather.Rule{Method: weather.EachFirst, Base: unit.Fahrenheit(wheatBase), Cap: unit.Fahrenheit(capBefore), Capped: true, HighOnly: true}
		if all.Total >= unit.FahrenheitDays(secondLeafAfter) {
			rule.Cap = unit.Fahrenheit(capAfter)
		}
		today := weather.DegreeDays(days, day, day, rule)
		all.Total += today.Total
		all.Days += today.Days
		all.Missing += today.Missing
	}
	return all
}

// FallLeaves is the number of leaves wheat has made by a day on the scale of Haun 1973, counted up to the
// end of the planting year and no further. It returns false when planting is unknown, a day of weather is
// missing, or nothing is up yet.
func FallLeaves(days []season.WeatherDay, planted, day calendar.Day) (unit.Ratio, bool) {
	if planted.IsZero() {
		return 0, false
	}
	if last := calendar.Date(planted.Time().Year(), time.December, 31); day.After(last) {
		day = last
	}
	sum := WheatDegreeDays(days, planted, day)
	if !sum.Complete() {
		return 0, false
	}
	return LeafNumber(sum.Total)
}

// LeafNumber is wheat's number of leaves after some degree days since planting: HaunNumber up to the flag
// leaf's collar, 8. It returns false before the table's first row, 0.5, and after the flag leaf.
func LeafNumber(sum unit.DegreeDays) (unit.Ratio, bool) {
	n, ok := HaunNumber(sum)
	if n > flagLeafCollar {
		return 0, false
	}
	return n, ok
}

// flagLeafCollar is the number at which the last leaf is out.
const flagLeafCollar unit.Ratio = 8

// HaunNumber is wheat's stage on the scale of Haun 1973 after some degree days since planting: the North Dakota
// table (cite.NorthDakotaGDD), 143 F days (79.4 C days) to a leaf, between whose rows it runs straight. Beyond
// the leaves it has 9 for the boot, 11 for headed and 11.4 for flowering. The table was fitted on spring wheat,
// and a winter wheat must not be carried through the winter with it. It returns false outside the table, 0.5 to
// 12.
func HaunNumber(sum unit.DegreeDays) (unit.Ratio, bool) {
	table := haun()
	f := sum.Fahrenheit()
	if f < table[0].degreeDays || f > table[len(table)-1].degreeDays {
		return 0, false
	}
	for i := 1; i < len(table); i++ {
		if a, b := table[i-1], table[i]; f <= b.degreeDays {
			return unit.Ratio(a.number + (b.number-a.number)*(f-a.degreeDays)/(b.degreeDays-a.degreeDays)), true
		}
	}
	return 0, false
}

type haunRow struct{ number, degreeDays float64 } // F days

func haun() []haunRow {
	return []haunRow{
		{0.5, 180},
		{1, 252},
		{2, 395},
		{3, 538},
		{4, 681},
		{5, 824},
		{6, 967},
		{7, 1110},
		{7.5, 1181},
		{8, 1255},
		{9, 1396},
		{10, 1539},
		{10.2, 1567},
		{11, 1682},
		{11.4, 1739},
		{11.6, 1768},
		{12, 1825},
	}
}

// CanolaDegreeDays adds up canola's degree days from the day after planting to a day, both included.
func CanolaDegreeDays(days []season.WeatherDay, planted, to calendar.Day) weather.Sum[unit.DegreeDays] {
	if planted.IsZero() {
		return weather.Sum[unit.DegreeDays]{}
	}
	return weather.DegreeDays(days, planted.Add(1), to, weather.Rule{Method: weather.MeanFirst, Base: unit.Fahrenheit(canolaBase)})
}

// CanolaStage names canola's stage after some degree days since planting (cite.NorthDakotaGDD). The source
// prints the rosette's fourth leaf from 297 to 727 F days, overlapping the third leaf's 257 to 396; it is
// read here as 397, so that the rows follow each other.
func CanolaStage(sum unit.DegreeDays) string {
	f := sum.Fahrenheit()
	for _, row := range []struct {
		below float64 // F days
		name  string
	}{
		{257, "seedling"},
		{397, "rosette, third leaf"},
		{728, "rosette, fourth leaf"},
		{829, "early bud"},
		{933, "late bud"},
		{1166, "early flower"},
		{1398, "late flower"},
		{1635, "early ripening"},
		{1875, "late ripening"},
	} {
		if f < row.below {
			return row.name
		}
	}
	return "ripe"
}
