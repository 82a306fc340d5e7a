package fertilizer_test

import (
	"fmt"
	"testing"

	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
)

// At $700 a ton, and nitrogen at 50 cents a pound elsewhere, monoammonium phosphate sells its phosphate at
// (0.35 − 0.11 × 0.50) ÷ 0.52 = 57 cents a pound.
func ExampleCarrier_PricePer() {
	for _, c := range fertilizer.CarriersOf(fertilizer.Phosphate) {
		price := c.PricePer(fertilizer.Phosphate, 700*unit.PerShortTon, 0.50*unit.PerPound)
		fmt.Printf("%s: $%.3f/lb P2O5\n", c.Name, price/unit.PerPound)
	}
	// Output:
	// monoammonium phosphate 11-52-0: $0.567/lb P2O5
	// diammonium phosphate 18-46-0: $0.565/lb P2O5
	// triple superphosphate 0-46-0: $0.761/lb P2O5
}

// Standard atomic weights: K2O 94.196, KCl 74.55, so that 60 % K2O as KCl is 95 % KCl with 45.2 % Cl.
func TestPotassiumChlorideBringsChloride(t *testing.T) {
	c := fertilizer.CarriersOf(fertilizer.Chloride)
	if len(c) != 1 {
		t.Fatalf("%d carriers of chloride, expected potassium chloride alone", len(c))
	}
	near(t, "% Cl", 100*float64(c[0].Share(fertilizer.Chloride)), 45.2, 1)
	near(t, "lb of product for 38 lb Cl", float64(c[0].ProductRate(fertilizer.Chloride, 38*unit.PoundPerAcre)/unit.PoundPerAcre), 38/0.452, 0)
}

// CaSO4·2H2O holds 18.6 % S.
func TestGypsumHoldsSulfurByItsFormula(t *testing.T) {
	for _, c := range fertilizer.CarriersOf(fertilizer.SulfurS) {
		if c.Key == fertilizer.GypsumKey {
			near(t, "% S in gypsum", 100*float64(c.Share(fertilizer.SulfurS)), 18.6, 1)
		}
	}
}

func TestEveryShareOfACarrierNamesItsSource(t *testing.T) {
	for _, n := range []fertilizer.Nutrient{fertilizer.NitrogenN, fertilizer.Phosphate, fertilizer.Potash, fertilizer.SulfurS, fertilizer.Chloride} {
		for _, c := range fertilizer.CarriersOf(n) {
			if h := c.Holds[n]; !h.Known() || h.Source == "" || h.Value <= 0 || h.Value > 1 {
				t.Errorf("%s holds %v of %s (%s, %s)", c.Name, h.Value, n, h.Source, h.Status)
			}
		}
	}
}
