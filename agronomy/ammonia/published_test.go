package ammonia_test

import (
	"math"
	"testing"

	"culm/agronomy/ammonia"
	"culm/agronomy/unit"
)

// The curve at 8 mm: exp(-8 ln10/15) = 0.293, computed; 19/67 = 0.284 observed (Holcomb 2011).
func TestRainCurve(t *testing.T) {
	for _, row := range []struct {
		name string
		mm   unit.Water
		left float64
	}{
		{"8 mm", 8, 0.293},
		{"15 mm, nine tenths gone", 15, 0.100},
		{"just under 4 mm does not count", 3.9, 1},
		{"none", 0, 1},
	} {
		if got := float64(ammonia.Remaining(row.mm)); math.Abs(got-row.left) > 0.0005 {
			t.Errorf("%s leaves %.4f, expected %.3f", row.name, got, row.left)
		}
	}
}

// Godwin and Jones 1991, equations as read in public code; values computed from them.
func TestHydrolysis(t *testing.T) {
	for _, row := range []struct {
		name      string
		oc        float64
		ph        unit.Ratio
		capacity  float64
		tolerance float64
	}{
		{"organic carbon 1.5 %, pH 6.5", 1.5, 6.5, 0.65325, 5e-6},
		{"organic carbon 1.0 %, pH 8.0", 1.0, 8.0, 0.574, 5e-4},
		{"organic carbon 0.5 %, pH 6.0", 0.5, 6.0, 0.288, 5e-4},
		{"never below 0.25", 0, 5, 0.25, 0},
	} {
		if got := ammonia.Capacity(row.oc, row.ph); math.Abs(got-row.capacity) > row.tolerance {
			t.Errorf("%s: capacity %v, expected %v", row.name, got, row.capacity)
		}
	}
	for _, row := range []struct {
		celsius unit.Temperature
		perDay  float64
	}{{0, 0.1307}, {5, 0.2123}, {10, 0.2940}, {20, 0.4573}} {
		got := ammonia.Hydrolysed(ammonia.Capacity(1.5, 6.5), row.celsius, 1)
		if math.Abs(got-row.perDay) > 0.00005 {
			t.Errorf("at %v °C %v a day, expected %v", row.celsius, got, row.perDay)
		}
	}
	if got := ammonia.TemperatureFactor(0); math.Abs(got-0.20) > 1e-12 {
		t.Errorf("temperature factor at 0 °C is %v, expected 0.20: cold slows, it does not stop", got)
	}
	if got := ammonia.TemperatureFactor(-8); got > 1e-12 {
		t.Errorf("temperature factor at -8 °C is %v, expected 0", got)
	}
	if got := ammonia.Hydrolysed(ammonia.Capacity(6, 5), 32, 1); got != 1 {
		t.Errorf("a rich warm soil hydrolyses %v of what there is in a day, expected all", got)
	}
}

// Goebes 2003, quoted: urea 15.81 % and UAN 8.00 % of N, so UAN loses 0.506 of what urea loses.
func TestSolutionLosesAboutHalf(t *testing.T) {
	if uan, urea := 9.71*14/17, 19.2*14/17; math.Abs(uan-8.00) > 0.005 || math.Abs(urea-15.81) > 0.005 {
		t.Errorf("factors as NH3-N: urea %.3f, UAN %.3f", urea, uan)
	}
	loss := func(key string) float64 {
		return float64(expect(t, ammonia.Spreading{Product: product(t, key), Day: spread(), Weather: steady(30, 10, nil)}).Loss)
	}
	if got := loss("uan-28") / loss("urea"); math.Abs(got-9.71/19.2) > 0.01 {
		t.Errorf("UAN 28 loses %.3f of what urea loses, inventory %.3f", got, 9.71/19.2)
	}
}
