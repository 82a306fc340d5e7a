package cover_test

import (
	"fmt"
	"math"
	"testing"

	"culm/agronomy/cover"

	"pgregory.net/rapid"
)

// Straw passes the bare rule that excess green be above 0, and not that excess green minus excess red be.
// Example colours; formulas of Woebbecke and others 1995, Meyer and Neto 2008; values computed.
func ExampleExcessGreenMinusRed() {
	for _, c := range []struct {
		name    string
		r, g, b float64
	}{{"plant", 80, 140, 60}, {"bare soil", 120, 100, 80}, {"straw", 200, 180, 120}} {
		fmt.Printf("%s: %.4f - %.4f = %.4f\n", c.name, cover.ExcessGreen(c.r, c.g, c.b), cover.ExcessRed(c.r, c.g, c.b), cover.ExcessGreenMinusRed(c.r, c.g, c.b))
	}
	// Output:
	// plant: 0.5000 - -0.1000 = 0.6000
	// bare soil: 0.0000 - 0.2267 = -0.2267
	// straw: 0.0800 - 0.2000 = -0.1200
}

// Six grey levels with counts 8, 7, 2, 6, 9, 4, a teaching example (from memory; every number computed anew):
// variance within the classes 1.5268, 0.5561, 0.4909, 0.9779, 2.2491 for thresholds 1 to 5.
func ExampleOtsu() {
	s, _ := cover.Otsu([]int{8, 7, 2, 6, 9, 4})
	fmt.Printf("upper class from level %d; within %.4f, between %.4f, total %.4f\n", s.Level, s.Within, s.Between(), s.Total)
	// Output:
	// upper class from level 3; within 0.4909, between 2.6287, total 3.1196
}

func TestBlackIsNoPlant(t *testing.T) {
	if v := cover.ExcessGreenMinusRed(0, 0, 0); v > 0 || math.IsNaN(v) {
		t.Errorf("black: %v", v)
	}
	if _, _, _, ok := cover.Chromatic(0, 0, 0); ok {
		t.Error("black has chromatic coordinates")
	}
}

// Chromatic indices do not depend on brightness.
func TestIndicesDoNotDependOnBrightness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		band := rapid.Float64Range(1, 255)
		r, g, b := band.Draw(t, "r"), band.Draw(t, "g"), band.Draw(t, "b")
		light := rapid.Float64Range(0.1, 10).Draw(t, "light")
		for _, index := range []func(r, g, b float64) float64{cover.ExcessGreen, cover.ExcessRed, cover.ExcessGreenMinusRed} {
			if d := index(r, g, b) - index(light*r, light*g, light*b); math.Abs(d) > 1e-9 {
				t.Fatalf("brighter by %v: differs by %v", light, d)
			}
		}
	})
}

// Otsu's threshold has the least variance within of all, found here by trying each.
func TestOtsuIsTheLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		counts := rapid.SliceOfN(rapid.IntRange(0, 50), 2, 20).Draw(t, "counts")
		got, ok := cover.Otsu(counts)
		least := math.Inf(1)
		for level := 1; level < len(counts); level++ {
			if w, both := within2(counts, level); both {
				least = min(least, w)
			}
		}
		if ok != !math.IsInf(least, 1) {
			t.Fatalf("found %v, least %v", ok, least)
		}
		if ok && math.Abs(got.Within-least) > 1e-9 {
			t.Fatalf("level %d: within %v, least %v", got.Level, got.Within, least)
		}
	})
}

// within2 is the mean squared distance of each count from the mean of its class.
func within2(counts []int, level int) (float64, bool) {
	var squares, all float64
	for _, part := range [][2]int{{0, level}, {level, len(counts)}} {
		var n, sum float64
		for i := part[0]; i < part[1]; i++ {
			n += float64(counts[i])
			sum += float64(counts[i]) * float64(i)
		}
		if n == 0 {
			return 0, false
		}
		for i := part[0]; i < part[1]; i++ {
			squares += float64(counts[i]) * (float64(i) - sum/n) * (float64(i) - sum/n)
		}
		all += n
	}
	return squares / all, true
}
