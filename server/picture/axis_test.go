package picture

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

func labels(a Axis) string {
	var all []string
	for _, t := range a.ticks() {
		all = append(all, t.label)
	}
	return strings.Join(all, " ")
}

func TestAnAxisRunsBetweenRoundNumbers(t *testing.T) {
	lb := func(n float64) float64 { return n * float64(unit.PoundPerAcre) }
	for _, c := range []struct {
		name  string
		kind  unit.Kind
		units unit.System
		base  []float64
		want  string
	}{
		{"rates from nothing to 171 lb/ac", unit.KindRate, unit.US, []float64{0, lb(44), lb(171)}, "0 50 100 150 200"},
		{"the same in kg/ha", unit.KindRate, unit.Metric, []float64{0, lb(44), lb(171)}, "0 50 100 150 200"},
		{"an index", unit.KindIndex, unit.US, []float64{0.46, 0.64}, "0.45 0.50 0.55 0.60 0.65"},
		{"money below and above nothing", unit.KindMoney, unit.US, []float64{-40, 90}, "−50 0 50 100"},
		{"a single number", unit.KindRatio, unit.US, []float64{5.5}, "5.0 5.2 5.4 5.6 5.8 6.0"},
		{"no number at all", unit.KindRatio, unit.US, nil, "0.0 0.2 0.4 0.6 0.8 1.0"},
		{"what is no number is passed over", unit.KindRatio, unit.US, []float64{math.NaN(), math.Inf(1), 0, 1}, "0.0 0.2 0.4 0.6 0.8 1.0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := labels(AxisOver(c.kind, c.units, 5, c.base...)); got != c.want {
				t.Errorf("ticks %s, want %s", got, c.want)
			}
		})
	}
}

// TestEverythingLiesOnItsAxis: whatever an axis is laid over is drawn inside the picture, in order, and the
// ticks are few.
func TestEverythingLiesOnItsAxis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 1, 20).Draw(t, "base")
		steps := rapid.IntRange(2, 8).Draw(t, "steps")
		a := AxisOver(unit.KindRate, unit.US, steps, base...)
		for _, b := range base {
			at, err := strconv.ParseFloat(strings.TrimSuffix(a.across(b), "%"), 64)
			if err != nil || at < 0 || at > 100 {
				t.Fatalf("%v is drawn at %s", b, a.across(b))
			}
		}
		if n := len(a.ticks()); n < 2 || n > 2*steps+3 {
			t.Fatalf("%d ticks for about %d steps", n, steps)
		}
		for i := range base {
			for j := range base {
				if base[i] < base[j] && a.share(base[i]) > a.share(base[j]) {
					t.Fatalf("%v is drawn right of %v", base[i], base[j])
				}
			}
		}
	})
}
