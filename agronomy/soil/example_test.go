package soil_test

import (
	"fmt"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/season"
)

// layer is a laboratory's row with one result.
func layer(sample string, top, bottom float64, day calendar.Day, a season.Analyte, value float64, method string) *season.Soil {
	return &season.Soil{
		Sample: sample, Field: "home", Day: day, Lab: "laboratory",
		Top: unit.Length(top) * unit.Inch, Bottom: unit.Length(bottom) * unit.Inch,
		Results: []season.Result{{Analyte: a, Value: value, Method: method}},
	}
}

// Two layers: 8 ppm in the top 6 in is 14.4 lb/ac at 0.3 million lb to the acre-inch, 4 ppm in the 18 in
// below it 21.6.
func ExampleProfileOf() {
	day := calendar.Date(2027, 1, 20)
	p, err := soil.ProfileOf(season.NitrateN, []*season.Soil{
		layer("12", 0, 6, day, season.NitrateN, 8, ""),
		layer("12", 6, 24, day, season.NitrateN, 4, ""),
	}, soil.ProfileDepth, soil.ThreeTenths)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f lb/ac in %s, sampled %s\n", float64(p.Held.Value/unit.PoundPerAcre), soil.Depth(0, p.Depth), p.Day)
	// Output:
	// 36.0 lb/ac in 0 to 24 in (0 to 61 cm), sampled 2027-01-20
}

// Where only the top was sampled, only the top is counted.
func ExampleProfileOf_shallow() {
	p, _ := soil.ProfileOf(season.NitrateN, []*season.Soil{
		layer("12", 0, 6, calendar.Date(2027, 1, 20), season.NitrateN, 8, ""),
	}, soil.ProfileDepth, soil.ThreeTenths)
	fmt.Printf("%.1f lb/ac, whole profile: %v\n%s\n", float64(p.Held.Value/unit.PoundPerAcre), p.Full, p.Warnings[0])
	// Output:
	// 14.4 lb/ac, whole profile: false
	// Only 0 to 6 in (0 to 15 cm) was sampled for nitrate: what lies below, to 24 in (61 cm), is not known and not counted.
}

// spotsOf makes pairs of spots, and the rows of one analyte in them.
func spotsOf(a season.Analyte, method string, good, poor []float64) ([]*season.Spot, []*season.Soil) {
	day := calendar.Date(2027, 2, 3)
	var spots []*season.Spot
	var rows []*season.Soil
	for i := range good {
		pair := fmt.Sprint(i + 1)
		spots = append(spots,
			&season.Spot{ID: pair + "g", Field: "home", Pair: pair, Spot: season.GoodSpot, Sample: "G" + pair},
			&season.Spot{ID: pair + "p", Field: "home", Pair: pair, Spot: season.PoorSpot, Sample: "P" + pair})
		rows = append(rows,
			layer("G"+pair, 0, 6, day, a, good[i], method),
			layer("P"+pair, 0, 6, day, a, poor[i], method))
	}
	return spots, rows
}

// Five pairs, pH. The expected numbers of the paired t test were worked out in R.
func ExampleCompare() {
	spots, rows := spotsOf(season.PH, "", []float64{5.8, 6.1, 5.5, 6.0, 5.9}, []float64{4.9, 5.1, 4.8, 5.0, 5.2})
	m := soil.Match(spots, rows)
	for _, n := range soil.Compare(m.Pairs, season.Canola) {
		fmt.Printf("%s: %.2f higher on good ground (%.4f to %.4f), t %.2f, p %.6f\n", n.Name, n.Mean, n.Low, n.High, n.T, n.P)
		fmt.Println(n.Verdict)
	}
	// Output:
	// pH: 0.86 higher on good ground (0.6717 to 1.0483), t 12.68, p 0.000223
	// The poor spots are below the critical level and the good ground is not: likely the cause.
}
