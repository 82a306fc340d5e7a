package soil_test

import (
	"math"
	"testing"

	"culm/agronomy/soil"
	"culm/agronomy/unit"
)

// TestConversions holds the factors against atomic masses (IUPAC conventional: N 14.0067, O 15.9994,
// P 30.973762, K 39.0983) at the four decimals printed.
func TestConversions(t *testing.T) {
	const n, o, p, k = 14.0067, 15.9994, 30.973762, 39.0983
	for _, c := range []struct {
		name      string
		got, want float64
		tolerance float64
	}{
		{"NO3 per NO3-N", 1 / float64(soil.NitrogenFromNitrate(unit.Concentration(1))), (n + 3*o) / n, 5e-5},
		{"P2O5 per P", 1 / float64(soil.PhosphorusFromPentoxide(unit.Rate(1))), (2*p + 5*o) / (2 * p), 5e-5},
		{"K2O per K", 1 / float64(soil.PotassiumFromOxide(unit.Rate(1))), (2*k + o) / (2 * k), 5e-5},
		{"6000 ppm NO3 as NO3-N (forage laboratories print 1,355)", float64(soil.NitrogenFromNitrate(unit.Concentration(6000))), 1355, 0.5},
		{"0.3 million lb per acre-inch is a bulk density of 1.324", float64(soil.ConventionOf(1.324)), 0.3, 5e-4},
		{"lb/ac per ppm, inch and kg/L", float64(soil.ConventionOf(1)), 0.22661, 5e-6},
	} {
		if math.Abs(c.got-c.want) > c.tolerance {
			t.Errorf("%s: %v, want %v ± %v", c.name, c.got, c.want, c.tolerance)
		}
	}
}
