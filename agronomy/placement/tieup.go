package placement

import (
	"culm/agronomy/cite"
	"culm/agronomy/cover"
	"culm/agronomy/unit"
)

// Coefficients of tie-up.
const (
	// fullTieUp is what flat fans are said to lose to residue that covers the ground. Common practice, no
	// source; scaled down with the cover.
	fullTieUp = 10 * unit.PoundPerAcre

	// carbonInResidue is the carbon in dry residue [cite.KansasResidueCarbon]; criticalRatio the C:N at
	// which residue neither takes nor gives N [cite.NRCSCarbonNitrogen].
	carbonInResidue = 0.40
	criticalRatio   = 24

	// decayedByMaturity is the most of the residue that decays while it could rob the crop: from memory, 0.2
	// to 0.4 by early spring.
	decayedByMaturity = unit.Fraction(0.4)
)

// touch is the share of a product that comes to lie on residue, against flat fans over the same ground.
// The figures are ours, to be replaced when a trial is found: granules roll and fall through, taken as
// half and at most all; a stream about 1.5 in wide every 7.5 in wets a fifth of the surface, at 3 in two fifths.
func touch(w Way) (expected, most unit.Rate) {
	switch w {
	case Broadcast:
		return 0.5, 1
	case Stream:
		return 0.2, 0.4
	default:
		return 1, 1
	}
}

// tieUp: 10 lb/ac times cover times what touches residue, but never more than the residue's carbon can take
// up; from nothing to that bound.
func (r *Result) tieUp(q Question) {
	expected, most := touch(r.Way)
	r.TiedUpHigh = most * q.bound(r.Residue.Value)
	r.TiedUp = min(fullTieUp*expected*unit.Rate(r.Residue.Value), r.TiedUpHigh)
	r.Source, r.Status = cite.Practice, cite.CommonPractice
}

// bound is the most N the residue can take up over the season, wherever it takes it from.
func (q Question) bound(residue unit.Fraction) unit.Rate {
	mass := q.ResidueMass.Value
	if !q.ResidueMass.Known() {
		mass = cover.ToMass(residue, cover.Coefficient(q.PreviousCrop))
	}
	return max(0, Immobilized(mass, decayedByMaturity, CarbonToNitrogen(q.PreviousCrop)))
}

// Immobilized is the N that decaying residue takes out of the soil; negative when it gives N instead:
//
//	mass × decayed × 0.40 × (1/24 - 1/(C:N))
//
// mass is dry, decayed its share that decays in the time in question. Straw at 80:1 takes up 11.67 lb N to
// 1,000 lb when all of it decays [cite.NRCSCarbonNitrogen].
func Immobilized(mass unit.Biomass, decayed unit.Fraction, carbonToNitrogen unit.Ratio) unit.Rate {
	kilograms := float64(mass) * float64(decayed) * carbonInResidue * (1.0/criticalRatio - 1/float64(carbonToNitrogen))
	return unit.Rate(kilograms)
}

// CarbonToNitrogen is the C:N of a crop's residue [cite.NRCSCarbonNitrogen; soybean cite.KansasResidueCarbon;
// canola from memory, 60 to 70]. Crops not listed are taken as wheat straw, which
// takes up nearly the most.
func CarbonToNitrogen(crop string) unit.Ratio {
	switch crop {
	case "soybean":
		return 15
	case "pea":
		return 29
	case "corn":
		return 57
	case "canola":
		return 65
	case "oat":
		return 70
	case "rye":
		return 82
	default: // wheat, sorghum
		return 80
	}
}
