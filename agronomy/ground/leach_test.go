package ground_test

import (
	"fmt"
	"math"
	"testing"

	"culm/agronomy/ground"
	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

// Burns's equation as Scotter, White and Dyson (1993) write it: 9 cm of drainage through 30 cm of soil that holds 0.30.
func ExampleLeached() {
	x, _ := ground.Leached(90, 0.30, 0.30)
	layers, _ := ground.LeachedInLayers(90, 0.30, 0.30)
	fmt.Printf("%.5f below 30 cm; in layers of 1 cm %.5f\n", float64(x), float64(layers))
	// Output: 0.36788 below 30 cm; in layers of 1 cm 0.37393
}

// Reckoned elsewhere on the same equation: 50 kg/ha, 20 mm of 100 mm of pores moving, half of them excluded.
func TestLeachedFromLayer(t *testing.T) {
	if got, err := ground.LeachedFromLayer(50, 20, 100, 0.5); err != nil || math.Abs(float64(got)-16.484) > 0.0005 {
		t.Errorf("%v kg/ha, reckoned elsewhere 16.484 (%v)", got, err)
	}
}

// 30 in a year, 12 in of it from October to March, reckoned elsewhere with constants from memory; the ratings are
// Cornell's.
func TestScreeningIndex(t *testing.T) {
	for _, row := range []struct {
		group  string
		index  float64
		rating string
	}{{"A", 7.946, "intermediate"}, {"B", 3.947, "intermediate"}, {"C", 1.716, "low"}, {"D", 0.779, "low"}} {
		got, rating, err := ground.ScreeningIndex(row.group, 30*unit.InchOfWater, 12*unit.InchOfWater)
		if err != nil || math.Abs(got-row.index) > 0.0005 || rating != row.rating {
			t.Errorf("%s: %v (%s), reckoned elsewhere %v (%s) (%v)", row.group, got, rating, row.index, row.rating, err)
		}
	}
	if got, _, err := ground.ScreeningIndex("E", 762, 300); err == nil {
		t.Errorf("group E has an index of %v", got)
	}
}

// More drainage leaches more, never more than all; deeper down less arrives.
func TestLeachedHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drainage := unit.Water(rapid.Float64Range(0, 500).Draw(t, "drainage"))
		depth := unit.Length(rapid.Float64Range(0.05, 2).Draw(t, "depth"))
		capacity := unit.Fraction(rapid.Float64Range(0.05, 0.45).Draw(t, "capacity"))
		for _, leached := range []func(unit.Water, unit.Length, unit.Fraction) (unit.Fraction, error){ground.Leached, ground.LeachedInLayers} {
			x, err := leached(drainage, depth, capacity)
			more, _ := leached(drainage+10, depth, capacity)
			deeper, _ := leached(drainage, depth+0.1, capacity)
			if err != nil || !(x >= 0 && x <= 1) || more < x || deeper > x {
				t.Fatalf("%v, with more drainage %v, deeper %v (%v)", x, more, deeper, err)
			}
		}
	})
	if x, err := ground.Leached(-1, 0.3, 0.3); err == nil {
		t.Errorf("%v leached by a negative drainage", x)
	}
}
