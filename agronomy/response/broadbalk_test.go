package response_test

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"testing"

	"culm/agronomy/response"
	"culm/agronomy/unit"
	"culm/internal/opendata"
	"culm/season"
)

// broadbalk is winter wheat after winter wheat at Broadbalk, harvests 1985 to 2000, in the strips that
// differ only in nitrogen. Rothamsted Research 2023, doi:10.23637/rbk1-yld6822-01, CC BY 4.0.
func broadbalk(t *testing.T, section string) map[int][]season.Plot {
	t.Helper()
	rows, err := csv.NewReader(opendata.Open(t, "nresp_broadbalk_1968_2022/yield_data.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) int { return slices.Index(rows[0], name) }
	year, strip, inSection := at("harvest_year"), at("strip"), at("section")
	nitrogen, grain := at("total_fertilizer_n_amount"), at("grain")
	byYear := map[int][]season.Plot{}
	for _, row := range rows[1:] {
		harvest, _ := strconv.Atoi(row[year])
		stepped := slices.Contains([]string{"5", "6", "7", "8", "9", "15", "16"}, row[strip])
		// A fallow year has * for its grain, which is no yield of 0.
		if row[inSection] != section || harvest < 1985 || harvest > 2000 || !stepped || row[grain] == "*" {
			continue
		}
		byYear[harvest] = append(byYear[harvest], season.Plot{
			Rate:  unit.Rate(number(t, row[nitrogen])),
			Yield: unit.Yield(number(t, row[grain])) * unit.TonneOfGrainPerHectare,
		})
	}
	return byYear
}

func pooled(byYear map[int][]season.Plot) []season.Plot {
	var plots []season.Plot
	for year := 1985; year <= 2000; year++ {
		plots = append(plots, byYear[year]...)
	}
	return plots
}

// Straight means by a second program (R), 16 harvests at each rate.
func TestBroadbalkMeans(t *testing.T) {
	for section, wants := range map[string]map[unit.Rate]string{
		"1": {0: "1.281875", 48: "3.2500", 96: "5.320625", 144: "6.1800", 192: "6.57375", 240: "7.268125", 288: "7.28625"},
		"9": {0: "1.2038", 48: "3.6250", 96: "5.1825", 144: "6.3237", 192: "6.8169", 240: "7.1894", 288: "7.6275"},
	} {
		plots := in(1000, pooled(broadbalk(t, section)))
		for rate, want := range wants {
			at := slices.DeleteFunc(slices.Clone(plots), func(p season.Plot) bool { return p.Rate != rate })
			printed(t, fmt.Sprintf("section %s at %v, %d harvests", section, rate, len(at)), mean(at), want)
		}
	}
}

// Second program (R).
func TestBroadbalkPooled(t *testing.T) {
	want := printedFit{response.Quadratic, map[string]string{"b0": "1.400372", "b1": "0.04636021", "b2": "-8.854619e-05"}, "", ""}
	want.check(t, in(1000, pooled(broadbalk(t, "9"))), 0.005)
}

// The optimum of one field from year to year, at 5 kg of grain for 1 kg of N, the break-even ratio of the
// UK guide for cereals: how little one year's optimum says of the next. The pooled quadratic puts it at
// 234 kg N/ha; year by year it runs from 182 to 279, and in four years of sixteen nitrogen still paid at the
// highest rate, 288. These are regression values of ours; nothing is published.
func TestBroadbalkYearByYear(t *testing.T) {
	const ratio = 5
	byYear := broadbalk(t, "9")
	var quadratic []float64
	beyond := 0
	for year := 1985; year <= 2000; year++ {
		answers, err := response.Compare(byYear[year], ratio)
		if err != nil {
			t.Fatal(err)
		}
		line := strconv.Itoa(year)
		for _, a := range answers {
			line += fmt.Sprintf("  %s %.0f", a.Curve.Form, a.Optimum.Rate)
			if a.Optimum.Beyond {
				line += "+"
			}
			switch {
			case a.Curve.Form != response.Quadratic:
			case a.Optimum.Interior:
				quadratic = append(quadratic, float64(a.Optimum.Rate))
			case a.Optimum.Beyond:
				beyond++
			}
		}
		t.Log(line)
	}
	if len(quadratic) != 12 || beyond != 4 {
		t.Errorf("%d years inside the trial and %d beyond it", len(quadratic), beyond)
	}
	printed(t, "lowest", slices.Min(quadratic), "182")
	printed(t, "highest", slices.Max(quadratic), "279")
	printed(t, "pooled", float64(fit(t, response.Quadratic, pooled(byYear)).Optimum(ratio).Rate), "234")
}
