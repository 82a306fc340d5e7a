package soil_test

import (
	"math"
	"testing"

	"culm/agronomy/soil"
	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

// TestConversions holds the factors against atomic masses (IUPAC conventional: N 14.0067, O 15.9994,
// P 30.973762, K 39.0983) at the four decimals printed, and the extractants against the worked values of Ohio
// State ANR-75's ratios: Bray 20 is Mehlich-3 27.0, acetate 130 is Mehlich-3 148.2.
func TestConversions(t *testing.T) {
	const n, o, p, k = 14.0067, 15.9994, 30.973762, 39.0983
	for _, c := range []struct {
		name      string
		got, want float64
		tolerance float64
	}{
		{"NO3 per NO3-N", float64(soil.NitrateFromNitrogen(unit.Concentration(1))), (n + 3*o) / n, 5e-5},
		{"P2O5 per P", float64(soil.PentoxideFromPhosphorus(unit.Rate(1))), (2*p + 5*o) / (2 * p), 5e-5},
		{"K2O per K", float64(soil.OxideFromPotassium(unit.Rate(1))), (2*k + o) / (2 * k), 5e-5},
		{"6000 ppm NO3 as NO3-N (forage laboratories print 1,355)", float64(soil.NitrogenFromNitrate(unit.Concentration(6000))), 1355, 0.5},
		{"Bray 20 as Mehlich-3", float64(soil.MehlichFromBray(20)), 27.0, 0.05},
		{"acetate 130 as Mehlich-3", float64(soil.MehlichFromAcetate(130)), 148.2, 0.05},
		{"0.3 million lb per acre-inch is a bulk density of 1.324", float64(soil.ConventionOf(1.324)), 0.3, 5e-4},
		{"lb/ac per ppm, inch and kg/L", float64(soil.ConventionOf(1)), 0.22661, 5e-6},
	} {
		if math.Abs(c.got-c.want) > c.tolerance {
			t.Errorf("%s: %v, want %v ± %v", c.name, c.got, c.want, c.tolerance)
		}
	}
}

func TestConversionsUndoEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := unit.Rate(rapid.Float64Range(0, 1e4).Draw(t, "x"))
		for name, y := range map[string]unit.Rate{
			"nitrate":   soil.NitrogenFromNitrate(soil.NitrateFromNitrogen(x)),
			"pentoxide": soil.PhosphorusFromPentoxide(soil.PentoxideFromPhosphorus(x)),
			"potash":    soil.PotassiumFromOxide(soil.OxideFromPotassium(x)),
		} {
			if math.Abs(float64(x-y)) > 1e-9 {
				t.Errorf("%s there and back: %v became %v", name, x, y)
			}
		}
	})
}
