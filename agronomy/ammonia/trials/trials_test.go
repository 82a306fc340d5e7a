package trials_test

import (
	"flag"
	"math"
	"os"
	"testing"

	"culm/agronomy/ammonia/trials"
	"culm/agronomy/cite"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write docs/ammonia.md")

func outcomes(t *testing.T) []trials.Outcome {
	t.Helper()
	all, err := trials.Run()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The page and the reckoning say the same. After a change of the reckoning: go test -run Document -update,
// and read the difference as what it is, a change of advice.
func TestDocument(t *testing.T) {
	const page = "../../../docs/ammonia.md"
	otherwise, err := trials.OtherWeather()
	if err != nil {
		t.Fatal(err)
	}
	now := trials.Document(outcomes(t), otherwise)
	if *update {
		if err := os.WriteFile(page, []byte(now), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	written, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(written), now); d != "" {
		t.Errorf("docs/ammonia.md is not what is reckoned now (-page +now):\n%s", d)
	}
}

// Montana prints averages of 18.1 and 6.5 %; the means of the seasons are computed from its 17 rows.
func TestMontanaIsTypedRight(t *testing.T) {
	by := map[string]trials.Summary{}
	for _, s := range trials.Summarize(outcomes(t)) {
		by[s.Group] = s
	}
	for _, row := range []struct {
		group string
		n     int
		mean  float64 // percent
		half  float64 // of the last printed digit
	}{
		{"Montana, urea, 17 trials", 17, 18.1, 0.05},
		{"Montana, urea with inhibitor, 17 trials", 17, 6.5, 0.05},
		{"Montana, urea, fall", 6, 14.25, 0.005},
		{"Montana, urea with inhibitor, fall", 6, 3.93, 0.005},
		{"Montana, urea, winter", 5, 23.40, 0.005},
		{"Montana, urea with inhibitor, winter", 5, 8.72, 0.005},
		{"Montana, urea, spring", 6, 17.63, 0.005},
		{"Montana, urea with inhibitor, spring", 6, 7.33, 0.005},
	} {
		if s := by[row.group]; s.N != row.n || math.Abs(100*s.Measured-row.mean) > row.half+1e-9 {
			t.Errorf("%s: %d trials with a mean of %.3f %%, published %d and %v", row.group, s.N, 100*s.Measured, row.n, row.mean)
		}
	}
}

// What the publications say of sorts of trials, held against what is reckoned for each of them.
func TestSortsLieWherePublished(t *testing.T) {
	ranges := map[string][2]float64{ // percent; Engel 2011 and Montana
		"moist ground, slow drying": {30, 44}, "dry ground, light rains": {10, 20}, "dry ground, heavy rain": {0, 10}, "on snow": {20, 25},
	}
	for _, o := range outcomes(t) {
		for sort, r := range ranges {
			if o.Study == "Montana" && !o.Inhibited && len(o.Name) > len(sort) && o.Name[len(o.Name)-len(sort):] == sort {
				if got := 100 * o.Reckoned; got < r[0] || got > r[1] {
					t.Errorf("%s: %.1f %% reckoned, published %v to %v", o.Name, got, r[0], r[1])
				}
			}
		}
	}
}

// The reckoning must be no worse than the plainest peer on what it has not seen.
func TestBetterThanOneMean(t *testing.T) {
	peers := trials.Peers(outcomes(t))
	if one, reckoned := peers[0].RMSE, peers[2].RMSE; reckoned >= one {
		t.Errorf("held-out trials: RMSE %.3f, one mean for all %.3f", reckoned, one)
	}
}

func TestSourcesAreInTheCatalogue(t *testing.T) {
	seen := map[string]bool{}
	for _, o := range trials.All() {
		if _, ok := cite.Find(o.Source); !ok {
			t.Errorf("%s: source %q is not in the catalogue", o.Key, o.Source)
		}
		if seen[o.Key] {
			t.Errorf("trial %s stands twice", o.Key)
		}
		seen[o.Key] = true
		if o.Given == "" || o.Assumed == "" && o.Role != trials.Given {
			t.Errorf("%s does not say what was published and what was made up", o.Key)
		}
	}
}
