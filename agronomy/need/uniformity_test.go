package need

import (
	"encoding/csv"
	"strconv"
	"testing"

	"culm/agronomy/unit"
	"culm/internal/opendata"
)

// TestEqualGroundBesideEqualGround reads fields that were all treated alike as if every other row were a
// reference strip: the uniformity trials of Mercer and Hall 1911 and Montgomery 1912, 1913 (wheat) and of
// Khan and Dalal 1943 (brassica), grain weights of single plots. There is no response to see.
//
// It shows what an interval from one strip can and cannot do. Taking each of 88 strips against its
// neighbour, both ways across each field, the 90 % interval excludes 1 in 19, where about 9 would be chance;
// drawing pairs one by one excludes it in 30. The rest is real: one row of plots is better ground than the
// next from end to end, and no resampling along a single strip can tell that from nitrogen. A second strip
// can. "Response seen" is said of 8; the upper tail of chance alone would be 4.4, with a standard error of 2.0.
func TestEqualGroundBesideEqualGround(t *testing.T) {
	strips, excluded, naive, seen := 0, 0, 0, 0
	for _, rows := range uniformFields(t) {
		for i := 0; i+1 < len(rows); i += 2 {
			on, beside := rows[i], rows[i+1]
			f := Finding{Pairs: len(on), Index: unit.Ratio(mean(on) / mean(beside)), Level: 0.9}
			o := Options{Resamples: 2000, Level: 0.9, Seed: 1}
			f.resample(on, beside, o)
			f.judge()
			strips++
			excluded += yes(f.Low > 1 || f.High < 1)
			seen += yes(f.Verdict == ResponseSeen)
			low, high := bounds(circularBlocks(on, beside, 1, o.Resamples, o.Seed), o)
			naive += yes(low > 1 || high < 1)
		}
	}
	t.Logf("%d strips: interval excludes 1 in %d, one by one in %d; response seen in %d", strips, excluded, naive, seen)
	if excluded >= naive {
		t.Errorf("blocks exclude 1 in %d strips, pairs drawn one by one in %d: blocks should do so less often", excluded, naive)
	}
	if float64(seen) > 4.4+3*2.0 {
		t.Errorf("response seen in %d of %d strips where there is none, more than chance explains", seen, strips)
	}
}

func yes(b bool) int {
	if b {
		return 1
	}
	return 0
}

// uniformFields gives each trial twice: as the rows of its plan and as its columns.
func uniformFields(t *testing.T) (fields [][][]float64) {
	for _, trial := range []struct {
		file             string
		row, column, val int
		part             int // the column that tells fields of one file apart; -1 for one field
	}{
		{"mercer.wheat", 0, 1, 2, -1},
		{"montgomery.wheat", 2, 1, 3, 0},
		{"khan.brassica", 1, 2, 3, 0},
	} {
		read := csv.NewReader(opendata.Open(t, "uniformity_wheat_open/"+trial.file+".uniformity.tsv"))
		read.Comma = '\t'
		records, err := read.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		parts := map[string]map[[2]int]float64{}
		var names []string
		for _, rec := range records[1:] {
			name := trial.file
			if trial.part >= 0 {
				name = rec[trial.part]
			}
			if parts[name] == nil {
				parts[name] = map[[2]int]float64{}
				names = append(names, name)
			}
			parts[name][[2]int{number(t, rec[trial.row]), number(t, rec[trial.column])}] = float(t, rec[trial.val])
		}
		for _, name := range names {
			rows, columns := plan(parts[name])
			fields = append(fields, rows, columns)
		}
	}
	return fields
}

// plan lays plots out as rows and as columns.
func plan(plots map[[2]int]float64) (rows, columns [][]float64) {
	height, width := 0, 0
	for at := range plots {
		height, width = max(height, at[0]), max(width, at[1])
	}
	rows, columns = make([][]float64, height), make([][]float64, width)
	for r := range height {
		for c := range width {
			v := plots[[2]int{r + 1, c + 1}]
			rows[r] = append(rows[r], v)
			columns[c] = append(columns[c], v)
		}
	}
	return rows, columns
}

func number(t *testing.T, s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func float(t *testing.T, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
