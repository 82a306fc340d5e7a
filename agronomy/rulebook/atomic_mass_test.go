package rulebook_test

import (
	"math"
	"testing"

	"culm/agronomy/rulebook/quantity"
)

// Standard atomic weights of IUPAC, table of 2007, the last to give one number with all its digits for each of
// these elements. The numbers abridged since (N 14.007, O 15.999, S 32.06) give 4.4266 in place of 4.4268 for
// nitrate, four parts in 100,000, and the trade prints 4.4268.
const (
	massN  = 14.0067
	massO  = 15.9994
	massP  = 30.973762
	massK  = 39.0983
	massS  = 32.065
	massCa = 40.078
	massC  = 12.0107
)

// TestUnitsAgainstAtomicMasses: what one substance is as another, from atomic weights, to five digits.
func TestUnitsAgainstAtomicMasses(t *testing.T) {
	for _, c := range []struct {
		unit, substance string
		want            float64
	}{
		{"ppm N", "NO3", (massN + 3*massO) / massN},
		{"ppm NO3", "N", massN / (massN + 3*massO)},
		{"lb P/ac", "P2O5", (2*massP + 5*massO) / (2 * massP)},
		{"lb P2O5/ac", "P", 2 * massP / (2*massP + 5*massO)},
		{"kg K/ha", "K2O", (2*massK + massO) / (2 * massK)},
		{"kg K2O/ha", "K", 2 * massK / (2*massK + massO)},
		{"ppm S", "SO4", (massS + 4*massO) / massS},
		{"lb Ca/ac", "CaCO3", (massCa + massC + 3*massO) / massCa},
	} {
		u, err := quantity.Parse(c.unit)
		if err != nil {
			t.Fatal(err)
		}
		got, restated, err := quantity.Restate(1, u, c.substance)
		if err != nil {
			t.Errorf("%s as %s: %v", c.unit, c.substance, err)
			continue
		}
		if math.Abs(got-c.want) > 5e-5 {
			t.Errorf("1 %s is %v %s, atomic weights say %v", c.unit, got, restated, c.want)
		}
	}
}

// The printed roundings of the trade: 6,000 ppm nitrate is 1,355 ppm nitrate-N; P2O5/P is 2.2914, K2O/K 1.2046.
func TestTradeRoundings(t *testing.T) {
	for _, c := range []struct {
		name            string
		value           float64
		unit, substance string
		want, half      float64
	}{
		{"forage nitrate", 6000, "ppm NO3", "N", 1355, 0.5},
		{"P2O5 per P", 1, "lb P/ac", "P2O5", 2.2914, 5e-5},
		{"K2O per K", 1, "lb K/ac", "K2O", 1.2046, 5e-5},
		{"NO3 per NO3-N", 1, "ppm N", "NO3", 4.4268, 5e-5},
	} {
		u, err := quantity.Parse(c.unit)
		if err != nil {
			t.Fatal(err)
		}
		if got, _, err := quantity.Restate(c.value, u, c.substance); err != nil || math.Abs(got-c.want) > c.half {
			t.Errorf("%s: %v, %v; want %v", c.name, got, err, c.want)
		}
	}
}
