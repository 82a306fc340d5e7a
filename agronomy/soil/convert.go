package soil

import "culm/agronomy/unit"

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

// Masses of a compound per mass of the element in it, from atomic masses (N 14.0067, O 15.9994, P 30.9738,
// K 39.0983).
const (
	nitratePerNitrogen     = 4.4268
	pentoxidePerPhosphorus = 2.2914
	oxidePerPotassium      = 1.2046
)

// NitrogenFromNitrate turns nitrate (NO3) into the nitrogen in it (NO3-N).
func NitrogenFromNitrate[T unit.Quantity](nitrate T) T { return nitrate / nitratePerNitrogen }

// NitrateFromNitrogen turns nitrate-nitrogen (NO3-N) into nitrate (NO3).
func NitrateFromNitrogen[T unit.Quantity](nitrogen T) T { return nitrogen * nitratePerNitrogen }

// PhosphorusFromPentoxide turns P2O5 into P.
func PhosphorusFromPentoxide[T unit.Quantity](p2o5 T) T { return p2o5 / pentoxidePerPhosphorus }

// PentoxideFromPhosphorus turns P into P2O5.
func PentoxideFromPhosphorus[T unit.Quantity](p T) T { return p * pentoxidePerPhosphorus }

// PotassiumFromOxide turns K2O into K.
func PotassiumFromOxide[T unit.Quantity](k2o T) T { return k2o / oxidePerPotassium }

// OxideFromPotassium turns K into K2O.
func OxideFromPotassium[T unit.Quantity](k T) T { return k * oxidePerPotassium }

// Mean ratios between extractants: Ohio State University, ANR-75, 2019, [cite.OhioANR75], on soils of Ohio
// and Indiana.
const (
	mehlichPerBray    = 1.35
	mehlichPerAcetate = 1.14
)

// MehlichFromBray estimates Mehlich-3 phosphorus from Bray-1: 1.35 times, on soils of Ohio and Indiana. Not
// for calcareous soils, where Bray fails; and nothing converts Olsen phosphorus that is not fitted to the
// soil at hand.
func MehlichFromBray(bray unit.Concentration) unit.Concentration { return bray * mehlichPerBray }

// MehlichFromAcetate estimates Mehlich-3 potassium from ammonium acetate potassium: 1.14 times, on soils of
// Ohio and Indiana.
func MehlichFromAcetate(acetate unit.Concentration) unit.Concentration {
	return acetate * mehlichPerAcetate
}
