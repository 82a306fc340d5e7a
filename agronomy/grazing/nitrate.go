package grazing

import (
	"math"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// NitratePerNitrogen is the mass of nitrate, NO3, that holds a mass of N, from atomic masses. Laboratories
// report either; a number without its name is a danger.
const NitratePerNitrogen = 4.4268

// NitrateN turns a laboratory's nitrate (NO3) into nitrate nitrogen (NO3-N), ppm of dry matter.
func NitrateN(nitrate unit.Concentration) unit.Concentration { return nitrate / NitratePerNitrogen }

// NitrateClass is what a laboratory says of forage by its nitrate [cite.ForageNitrate].
type NitrateClass struct {
	// The class is above Above and up to UpTo, ppm NO3-N in dry matter.
	Above, UpTo unit.Concentration
	// MostOfRation is the share of the ration's dry matter it may make up, and MostForPregnant that for
	// pregnant animals; 1 is no limit, 0 is not to be fed.
	MostOfRation, MostForPregnant unit.Fraction
	Words                         string
}

// NitrateCaution goes with every word about nitrate in forage.
const NitrateCaution = "These limits are for nitrate nitrogen (NO3-N) in dry matter; nitrate (NO3) reads 4.4 times as high. Other laboratories draw stricter lines. Leave what to feed to a veterinarian."

// NitrateClasses are the classes from safe to not to be fed [cite.ForageNitrate]. Where a limit is printed
// as 35 to 40 %, the lower stands.
func NitrateClasses() []NitrateClass {
	return []NitrateClass{
		{0, 1000, 1, 1, "safe"},
		{1000, 1500, 1, 0.5, "safe for animals that are not pregnant; for pregnant ones at most half of the ration"},
		{1500, 2000, 0.5, 0.5, "at most half of the ration"},
		{2000, 3500, 0.35, 0, "at most 35 to 40 % of the ration, and none for pregnant animals"},
		{3500, 4000, 0.25, 0, "at most a quarter of the ration, and none for pregnant animals"},
		{4000, unit.Concentration(math.Inf(1)), 0, 0, "do not feed"},
	}
}

// JudgeNitrate finds the class of forage by its NO3-N, ppm of dry matter. It returns false for a number
// below zero or none at all.
func JudgeNitrate(nitrateN unit.Concentration) (NitrateClass, bool) {
	if !(nitrateN >= 0) {
		return NitrateClass{}, false
	}
	classes := NitrateClasses()
	for _, c := range classes {
		if nitrateN <= c.UpTo {
			return c, true
		}
	}
	return classes[len(classes)-1], true
}

// Crude protein of wheat pasture.
const (
	// UsualProteinLow and UsualProteinHigh bound crude protein of wheat pasture [cite.WheatPasture].
	UsualProteinLow  unit.Fraction = 0.20
	UsualProteinHigh unit.Fraction = 0.30
	// LowProtein is where forage suggests that more nitrogen would help: below the high teens, common
	// practice without a source.
	LowProtein unit.Fraction = 0.17
	// ProteinPerNitrogen is crude protein for each nitrogen, by the convention of feed analysis.
	ProteinPerNitrogen = 6.25
)

// Protein is what crude protein says of the nitrogen in forage.
type Protein struct {
	SuggestsNitrogen bool
	Words            string
	Source           cite.Key
	Status           cite.Status
}

// JudgeProtein reads crude protein of wheat forage, a share of dry matter.
func JudgeProtein(p unit.Fraction) Protein {
	switch {
	case p < LowProtein:
		return Protein{true, "low for wheat pasture: the crop is short of nitrogen", cite.Practice, cite.CommonPractice}
	case p < UsualProteinLow:
		return Protein{false, "below what wheat pasture usually has", cite.WheatPasture, cite.Confirmed}
	case p <= UsualProteinHigh:
		return Protein{false, "as wheat pasture usually has", cite.WheatPasture, cite.Confirmed}
	default:
		return Protein{false, "above what wheat pasture usually has", cite.WheatPasture, cite.Confirmed}
	}
}

// NitrogenHeld is the nitrogen that dry matter of a crude protein holds.
func NitrogenHeld(dry unit.Biomass, protein unit.Fraction) unit.Rate {
	return unit.Rate(float64(dry) * float64(protein) / ProteinPerNitrogen)
}
