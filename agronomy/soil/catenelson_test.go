package soil_test

import (
	"bufio"
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/soil"
	"culm/internal/opendata"

	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

// cottonTrials reads the potassium trials of Cate and Nelson 1971, Soil Sci. Soc. Am. J. 35:658, table 2:
// relative yield of cotton in percent against soil potassium in ppm.
func cottonTrials(t *testing.T) []soil.TrialPoint {
	t.Helper()
	var trials []soil.TrialPoint
	lines := bufio.NewScanner(opendata.Open(t, "soiltest_cate_potassium/cate.potassium.tsv"))
	for lines.Scan() {
		var p soil.TrialPoint
		if _, err := fmt.Sscan(strings.ReplaceAll(lines.Text(), "\t", " "), &p.Yield, &p.Test); err == nil {
			trials = append(trials, p)
		}
	}
	if len(trials) != 24 {
		t.Fatalf("read %d trials, want 24", len(trials))
	}
	return trials
}

// TestCottonPotassium: a split between 44 and 49 ppm, R2 0.70665355 and class means 62.3625 and 94.10625 were
// computed from the same table with R 4.2.2, a second implementation. The printed results of the paper do not
// quite match its own table, as the documentation of the data notes.
func TestCottonPotassium(t *testing.T) {
	s, err := soil.CateNelson(cottonTrials(t))
	if err != nil {
		t.Fatal(err)
	}
	if s.Low != 44 || s.High != 49 {
		t.Errorf("the critical level lies between %v and %v ppm, want 44 and 49", s.Low, s.High)
	}
	for _, c := range []struct {
		name            string
		got, want, half float64
	}{
		{"R2", s.R2, 0.70665355, 5e-9},
		{"mean yield below", s.YieldBelow, 62.3625, 5e-5},
		{"mean yield above", s.YieldAbove, 94.10625, 5e-6},
	} {
		if math.Abs(c.got-c.want) > c.half {
			t.Errorf("%s is %v, want %v", c.name, c.got, c.want)
		}
	}
}

// TestCottonQuadrants counts instead, with 80 % of the yield as enough, and takes a second opinion from trying
// every line: none leaves fewer trials that contradict it.
func TestCottonQuadrants(t *testing.T) {
	trials := cottonTrials(t)
	const enough = 80
	q, err := soil.CateNelsonQuadrants(trials, enough)
	if err != nil {
		t.Fatal(err)
	}
	fewest := len(trials)
	for x := 20.5; x < 220; x++ {
		against := 0
		for _, p := range trials {
			if (p.Test > x) != (p.Yield >= enough) {
				against++
			}
		}
		fewest = min(fewest, against)
	}
	if q.Disagree != fewest || q.Agree+q.Disagree != len(trials) {
		t.Errorf("the line leaves %d trials against it and %d for it; the best of all lines leaves %d", q.Disagree, q.Agree, fewest)
	}
	if s, _ := soil.CateNelson(trials); q.Low != s.Low || q.High != s.High {
		t.Errorf("counting puts the level at %v to %v ppm, least squares at %v to %v", q.Low, q.High, s.Low, s.High)
	}
}

// TestSplitIsARegression takes a second opinion from gonum: R2 is that of a straight line through the two class
// means, and no other split has a greater one.
func TestSplitIsARegression(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		trials := make([]soil.TrialPoint, rapid.IntRange(4, 30).Draw(t, "trials"))
		for i := range trials {
			trials[i] = soil.TrialPoint{
				Test:  float64(rapid.IntRange(1, 40).Draw(t, "test")),
				Yield: float64(rapid.IntRange(20, 110).Draw(t, "yield")),
			}
		}
		s, err := soil.CateNelson(trials)
		if err != nil {
			t.Skip(err)
		}
		r2 := func(critical float64) float64 {
			var side, yield []float64
			for _, p := range trials {
				class := 0.0
				if p.Test > critical {
					class = 1
				}
				side, yield = append(side, class), append(yield, p.Yield)
			}
			a, b := stat.LinearRegression(side, yield, nil, false)
			return stat.RSquared(side, yield, nil, a, b)
		}
		if got := r2(s.Critical); math.Abs(got-s.R2) > 1e-9 {
			t.Fatalf("R2 %v, gonum finds %v", s.R2, got)
		}
		for _, p := range trials {
			if other := r2(p.Test); !math.IsNaN(other) && other > s.R2+1e-9 {
				t.Fatalf("a split above %v explains %v, more than %v", p.Test, other, s.R2)
			}
		}
	})
}

func TestNoCriticalLevel(t *testing.T) {
	for _, c := range []struct {
		name   string
		trials []soil.TrialPoint
	}{
		{"three trials", []soil.TrialPoint{{1, 2}, {2, 3}, {3, 4}}},
		{"one soil test", []soil.TrialPoint{{1, 2}, {1, 3}, {1, 4}, {1, 5}}},
		{"one yield", []soil.TrialPoint{{1, 2}, {2, 2}, {3, 2}, {4, 2}}},
		{"a yield that is no number", []soil.TrialPoint{{1, 2}, {2, math.NaN()}, {3, 4}, {4, 5}}},
	} {
		if s, err := soil.CateNelson(c.trials); err == nil {
			t.Errorf("%s: found %v", c.name, s)
		}
		if q, err := soil.CateNelsonQuadrants(c.trials, 2.5); err == nil {
			t.Errorf("%s: found %v", c.name, q)
		}
	}
}

func ExampleCateNelson() {
	s, _ := soil.CateNelson([]soil.TrialPoint{{10, 55}, {15, 60}, {20, 65}, {30, 94}, {40, 96}, {55, 95}})
	fmt.Printf("critical between %v and %v ppm; yields %v %% below it, %v %% above\n", s.Low, s.High, s.YieldBelow, s.YieldAbove)
	// Output: critical between 20 and 30 ppm; yields 60 % below it, 95 % above
}
