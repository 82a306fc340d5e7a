package rulebook_test

import (
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"culm/agronomy/unit"
	"culm/internal/opendata"
)

// limed is the mean topsoil pH in water of a treatment of the long-term liming experiment at Rothamsted
// (Glendining, Holland, McGrath, Goulding 2023, doi:10.23637/rcs10-soil-01, CC BY 4.0), and the chalk it had had
// by then in t CaCO3/ha.
type limed struct{ pH, lime float64 }

func rothamsted(t *testing.T, year string) map[string]limed {
	t.Helper()
	rows, err := csv.NewReader(opendata.Open(t, "lime_rothamsted/soil/soil_data.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := func(name string) int { return slices.Index(rows[0], name) }
	sums, counts := map[string]limed{}, map[string]float64{}
	for _, row := range rows[1:] {
		pH, err := strconv.ParseFloat(row[column("soil_pH")], 64)
		if err != nil || row[column("sample_year")] != year || !strings.HasPrefix(row[column("soil_depth")], "0-") {
			continue
		}
		level := row[column("lime_factor_level")]
		lime, _ := strconv.ParseFloat(row[column("cumulative_lime")], 64) // none on the baseline
		sums[level] = limed{sums[level].pH + pH, lime}
		counts[level]++
	}
	for level, n := range counts {
		sums[level] = limed{sums[level].pH / n, sums[level].lime}
	}
	return sums
}

// Means of soil pH by level of lime, as computed from the same file with R and given with the data. The means
// given for 1994 (6.01 and 7.93 at two levels) count the subsoil that was sampled in a few plots of that year, and
// are left out.
func TestRothamstedMeans(t *testing.T) {
	for year, want := range map[string][4]float64{
		"1964": {4.96, 5.80, 6.79, 7.40}, "1974": {4.40, 4.96, 5.54, 6.59}, "1983": {4.35, 5.59, 6.65, 7.42},
	} {
		got := rothamsted(t, year)
		for i, level := range []string{"0", "L", "M", "H"} {
			if math.Abs(got[level].pH-want[i]) > 0.005+hair {
				t.Errorf("%s, %s: pH %.3f, want %.2f", year, level, got[level].pH, want[i])
			}
		}
	}
}

// TestLimeAtRothamsted asks what Oregon's lime table says of chalk on a silty clay loam in England, from 1962 to
// 1983. No buffer pH was measured there. The least rate of 1962, two years after it was spread, gives the one that
// makes the table true for it; with that buffer pH the table is the soil's curve of lime against pH, and the rest
// is predicted from it: lime spread on a soil of one pH carries it along the curve. Depth is the plough's 9 in.
//
// What must hold is the direction. The size is reported and not forced: another country, a pH in more water (1:2.5),
// chalk, and soil that goes on turning acid meanwhile.
//
// Found: from pH 4.96, 10 t/ha predicts pH 6.58 where 6.79 was observed, and 20 t/ha more than the 7.2 of the last
// column, observed 7.40. Sixteen years later 10 t/ha on pH 6.34 predicts 7.2 or more, observed 7.53; and 8 t/ha on
// pH 5.77 predicts 6.94, observed 6.65.
func TestLimeAtRothamsted(t *testing.T) {
	oregon := rule(t, "oregon-em9585/lime")
	const ploughed = 9 // in
	rate := func(buffer, target float64) float64 {
		return answer(t, oregon, given{"bufferPH": buffer, "targetPH": target, "limeDepth": ploughed})
	}
	shortTons := func(tonnesPerHectare float64) float64 {
		return tonnesPerHectare * 1000 / float64(unit.PoundPerAcre) / 2000
	}
	least := rothamsted(t, "1964")["L"]
	// More buffer pH, less lime: the buffer pH at which the table asks for what was spread.
	buffer := bisect(4.8, 6.9, func(b float64) bool { return rate(b, least.pH) > shortTons(least.lime) })
	t.Logf("5 t/ha to pH %.2f is the table at buffer pH %.2f", least.pH, buffer)
	for _, c := range []struct{ level, from, to string }{
		{"M", "", "1964"}, {"H", "", "1964"}, {"H", "1978", "1980"}, {"M", "1981", "1983"},
	} {
		after := rothamsted(t, c.to)[c.level]
		before, reached := limed{pH: rothamsted(t, "1964")["0"].pH}, 0.0 // nothing was spread before 1962
		if c.from != "" {
			before = rothamsted(t, c.from)[c.level]
			reached = rate(buffer, before.pH)
		}
		reached += shortTons(after.lime - before.lime)
		predicted, more := 7.2, " or more"
		if rate(buffer, predicted) > reached {
			predicted, more = bisect(5.6, 7.2, func(pH float64) bool { return rate(buffer, pH) < reached }), ""
		}
		t.Logf("%s to %s: %.1f t/ha on pH %.2f predicts %.2f%s, observed %.2f", c.from, c.to, after.lime-before.lime, before.pH, predicted, more, after.pH)
		if predicted <= before.pH || after.pH <= before.pH {
			t.Errorf("lime on pH %.2f predicts %.2f, observed %.2f: it should rise", before.pH, predicted, after.pH)
		}
	}
}

// bisect finds where a condition that holds below stops to hold.
func bisect(low, high float64, holds func(float64) bool) float64 {
	for range 60 {
		if mid := low + (high-low)/2; holds(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
