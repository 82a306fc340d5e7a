package ground_test

import (
	"fmt"
	"math"
	"testing"

	"culm/agronomy/ground"
	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

// Stull's own example (2011) is 20 C and 50 %: 13.7 C.
func ExampleDeltaT() {
	wet, _ := ground.WetBulb(20, 0.50)
	delta, _ := ground.DeltaT(20, 0.50)
	fmt.Printf("wet bulb %.2f C, %.2f C below the air\n", float64(wet), float64(delta))
	// Output: wet bulb 13.70 C, 6.30 C below the air
}

// Values of the same equation reckoned in another program: regressions. A web page prints 21.92 for 30 C and
// 50 %; the equation gives 22.297, and the page is wrong.
func TestWetBulb(t *testing.T) {
	for _, row := range []struct {
		air            unit.Temperature
		humidity       unit.Fraction
		wet, below     float64
		printedToHalfs float64
	}{
		{10, 0.80, 7.93, 2.07, 0.005},
		{25, 0.30, 14.59, 10.41, 0.005},
		{5, 0.90, 4.00, 1.01, 0.006}, // 3.995 and 1.005, both rounded up
		{30, 0.50, 22.297, 7.703, 0.0005},
	} {
		wet, err := ground.WetBulb(row.air, row.humidity)
		below, _ := ground.DeltaT(row.air, row.humidity)
		if err != nil || math.Abs(float64(wet)-row.wet) > row.printedToHalfs || math.Abs(float64(below)-row.below) > row.printedToHalfs {
			t.Errorf("%v C, %v: %v and %v below, want %v and %v (%v)", row.air, row.humidity, wet, below, row.wet, row.below, err)
		}
	}
	for _, humidity := range []unit.Fraction{0.04, 1, unit.Fraction(math.NaN())} {
		if wet, err := ground.WetBulb(20, humidity); err == nil {
			t.Errorf("%v C for a humidity of %v, which the fit does not cover", wet, humidity)
		}
	}
}

// Damper air has the higher wet bulb.
func TestWetBulbRisesWithHumidity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := unit.Temperature(rapid.Float64Range(0, 40).Draw(t, "air"))
		drier := unit.Fraction(rapid.Float64Range(0.10, 0.90).Draw(t, "humidity"))
		a, _ := ground.WetBulb(air, drier)
		b, _ := ground.WetBulb(air, drier+0.05)
		if !(a < b) {
			t.Fatalf("%v C at %v, %v C damper", a, drier, b)
		}
	})
}
