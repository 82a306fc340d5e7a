package soil

import (
	"culm/agronomy/unit"
	"culm/season"
)

// Conventions for the mass of soil, in million lb to the acre-inch. Laboratories and bulletins use one or
// the other; it belongs to the recommendation that the number goes into. 5 ppm over 24 in is 36 lb/ac by the
// first and 40 by the second.
const (
	// ThreeTenths is 2 million lb to a furrow slice of about 6.7 in, or 2.4 million to 8 in: a bulk density
	// of 1.324 kg/L.
	ThreeTenths unit.PoundsPerMillion = 0.3
	// OneThird is 2 million lb to 6 in, the "times two for 6 in" of many bulletins.
	OneThird unit.PoundsPerMillion = 1.0 / 3
)

// ConventionOf gives the exact mass of soil for a bulk density: 0.22661 million lb per acre-inch for each
// kg/L.
func ConventionOf(bulkDensity unit.Density) unit.PoundsPerMillion {
	const squareMetresPerHectare, litresPerCubicMetre = 10000, 1000
	litres := float64(unit.Acre) * squareMetresPerHectare * float64(unit.Inch) * litresPerCubicMetre
	return unit.PoundsPerMillion(litres * float64(bulkDensity) / float64(unit.Pound) / 1e6)
}

// ConcentrationOf turns a mass that a laboratory printed per area back into the concentration it measured:
// ppm = lb/ac ÷ (million lb per acre-inch × depth in inches). It undoes unit.Concentration.InSoil. The
// convention must be the laboratory's own, and depth and convention above zero.
func ConcentrationOf(held unit.Rate, depth unit.Length, convention unit.PoundsPerMillion) unit.Concentration {
	return unit.Concentration(held / unit.Concentration(1).InSoil(depth, convention))
}

// Masses of a compound per mass of the element in it, from atomic masses (N 14.0067, O 15.9994, P 30.9738,
// K 39.0983, S 32.065, H 1.00794).
const (
	nitratePerNitrogen     = 4.4268
	ammoniumPerNitrogen    = 1.2878
	pentoxidePerPhosphorus = 2.2914
	oxidePerPotassium      = 1.2046
	sulfatePerSulfur       = 2.9959
)

// NitrogenFromAmmonium turns ammonium (NH4) into the nitrogen in it (NH4-N).
func NitrogenFromAmmonium[T unit.Quantity](ammonium T) T { return ammonium / ammoniumPerNitrogen }

// SulfurFromSulfate turns sulfate (SO4) into the sulfur in it (SO4-S).
func SulfurFromSulfate[T unit.Quantity](sulfate T) T { return sulfate / sulfatePerSulfur }

// NitrogenFromNitrate turns nitrate (NO3) into the nitrogen in it (NO3-N).
func NitrogenFromNitrate[T unit.Quantity](nitrate T) T { return nitrate / nitratePerNitrogen }

// PhosphorusFromPentoxide turns P2O5 into P.
func PhosphorusFromPentoxide[T unit.Quantity](p2o5 T) T { return p2o5 / pentoxidePerPhosphorus }

// PotassiumFromOxide turns K2O into K.
func PotassiumFromOxide[T unit.Quantity](k2o T) T { return k2o / oxidePerPotassium }

// ConcentrationFromCharge turns exchangeable cations in meq/100 g, the same number as cmol(+)/kg, into ppm: one
// is the atomic mass over the charge, times ten (Ca 40.078, Mg 24.305, K 39.0983, Na 22.9898). ok is false for
// an analyte that is no such cation.
func ConcentrationFromCharge(a season.Analyte, meq float64) (ppm unit.Concentration, ok bool) {
	var each float64
	switch a {
	case season.Calcium:
		each = 40.078 / 2
	case season.Magnesium:
		each = 24.305 / 2
	case season.Potassium:
		each = 39.0983
	case season.Sodium:
		each = 22.9898
	default:
		return 0, false
	}
	return unit.Concentration(meq * each * 10), true
}
