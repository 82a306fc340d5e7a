package quantity_test

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

// TestAgainstAtomicMasses: what one substance is as another, from atomic weights, to five digits.
func TestAgainstAtomicMasses(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     float64
	}{
		{"N", "NO3", (massN + 3*massO) / massN},
		{"NO3", "N", massN / (massN + 3*massO)},
		{"P", "P2O5", (2*massP + 5*massO) / (2 * massP)},
		{"P2O5", "P", 2 * massP / (2*massP + 5*massO)},
		{"K", "K2O", (2*massK + massO) / (2 * massK)},
		{"K2O", "K", 2 * massK / (2*massK + massO)},
		{"S", "SO4", (massS + 4*massO) / massS},
		{"Ca", "CaCO3", (massCa + massC + 3*massO) / massCa},
	} {
		if got, ok := quantity.Ratio(c.from, c.to); !ok || math.Abs(got-c.want) > 5e-5 {
			t.Errorf("1 %s is %v %s, atomic weights say %v", c.from, got, c.to, c.want)
		}
	}
}

// Forage laboratories print 6,000 ppm nitrate as 1,355 ppm nitrate-N.
func TestForageNitrate(t *testing.T) {
	if perNitrate, ok := quantity.Ratio("NO3", "N"); !ok || math.Abs(6000*perNitrate-1355) > 0.5 {
		t.Errorf("6,000 ppm nitrate are %v ppm nitrate-N, want 1,355", 6000*perNitrate)
	}
}
