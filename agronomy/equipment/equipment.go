// Package equipment answers what a sprayer or a dry spreader has to be set to so that it delivers a rate, and how
// evenly it does by a test on a tailgate: nozzle, pressure and speed; what a boom's nozzles let out; how the
// pattern of a spreader adds up swath by swath.
//
// It knows no makes. Nozzles are those the user owns, or the sizes of ISO 10625, whose scope is sprayers for crop
// protection: for fertilizer, and for streams above all, the flows of a nozzle's own maker hold and not these.
// Air seeders and applicators below the surface are left out.
package equipment

import (
	"fmt"
	"math"

	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
)

// Liquids that go through a nozzle weigh between the lightest and the heaviest; anything else is a density in
// other units than it says.
const (
	lightest = 0.75 * unit.KilogramPerLitre
	heaviest = 1.60 * unit.KilogramPerLitre
)

// CheckDensity refuses a density that no spray liquid has, and says what it may have been meant in.
func CheckDensity(d unit.Density) error {
	if d >= lightest && d <= heaviest {
		return nil
	}
	was := float64(d)
	lb := was / float64(unit.PoundPerGallon)
	hint := ""
	switch {
	case math.IsNaN(was) || was <= 0:
	case plausible(unit.Density(was) * unit.PoundPerGallon):
		hint = fmt.Sprintf("; %.4g looks like lb/gal", was)
	case plausible(unit.Density(lb) * unit.KilogramPerLitre):
		hint = fmt.Sprintf("; %.4g looks like kg/L, or a specific gravity", lb)
	case plausible(unit.Density(was / 1000)):
		hint = fmt.Sprintf("; %.4g looks like kg/m³", was)
	}
	return fmt.Errorf("the liquid's density is %.4g kg/L (%.4g lb/gal); expected %.2f to %.2f kg/L (%.1f to %.1f lb/gal)%s", was, lb,
		float64(lightest), float64(heaviest), float64(lightest/unit.PoundPerGallon), float64(heaviest/unit.PoundPerGallon), hint)
}

func plausible(d unit.Density) bool { return d >= lightest && d <= heaviest }

// flowFactor is √(density of water ÷ density of the liquid): a nozzle lets out so much of the liquid for each
// gallon of water at the same pressure [cite.NebraskaNozzle].
func flowFactor(d unit.Density) unit.Flow {
	return unit.Flow(math.Sqrt(float64(fertilizer.Water / d)))
}

// positive refuses what must be above zero and finite; name says what it is, expected an amount that makes sense.
func positive[T unit.Quantity](name string, v T, expected string) error {
	if v > 0 && !math.IsInf(float64(v), 0) {
		return nil
	}
	return fmt.Errorf("the %s is %s; expected %s", name, unit.Show(v.Kind(), float64(v), unit.US), expected)
}
