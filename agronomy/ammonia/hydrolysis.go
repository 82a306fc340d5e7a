package ammonia

import (
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Values that stand in for a soil that was not tested: those of the check value published with the
// equation's reading, an ordinary cropped topsoil.
const (
	assumedPH            = 6.5
	assumedOrganicCarbon = 1.5 // %
)

// carbonInMatter: organic matter is taken to be 1.724 times organic carbon (van Bemmelen; from memory).
const carbonInMatter = 1.724

// Capacity is the share of urea a soil hydrolyses in a day at its best temperature and moisture, from
// organic carbon (%) and pH:
//
//	AK = max(0.25, -1.12 + 1.31 OC + 0.203 pH - 0.155 OC pH)
//
// [cite.GodwinJones1991], as read in public code. It passes 1 on soils rich in carbon; a day then hydrolyses
// all there is. Other code bounds AK to 0..1 instead.
func Capacity(organicCarbon float64, ph unit.Ratio) float64 {
	oc, p := organicCarbon, float64(ph)
	return max(0.25, -1.12+1.31*oc+0.203*p-0.155*oc*p)
}

// TemperatureFactor slows hydrolysis with the temperature of the soil: T/40 + 0.20, between 0 and 1, so 0
// at -8 °C, 0.20 at freezing and 1 at 32 °C [cite.GodwinJones1991].
func TemperatureFactor(soil unit.Temperature) float64 {
	return clamp(float64(soil)/40 + 0.20)
}

// MoistureFactor slows hydrolysis with the water of the soil: 0 for dry, 1 for moist, plus 0.20, at most 1
// [cite.GodwinJones1991].
func MoistureFactor(soilWater unit.Fraction) float64 {
	return clamp(float64(soilWater) + 0.20)
}

// Hydrolysed is the share of the urea present that turns to ammonium in a day. The weaker of the two
// factors rules [cite.GodwinJones1991].
func Hydrolysed(capacity float64, soil unit.Temperature, soilWater unit.Fraction) float64 {
	return min(1, capacity*min(MoistureFactor(soilWater), TemperatureFactor(soil)))
}

// capacityOf takes the soil as tested, or assumed where it was not.
func capacityOf(ph working.Fact[unit.Ratio], matter working.Fact[unit.Fraction]) float64 {
	p, oc := unit.Ratio(assumedPH), assumedOrganicCarbon
	if ph.Known() {
		p = ph.Value
	}
	if matter.Known() {
		oc = 100 * float64(matter.Value) / carbonInMatter
	}
	return Capacity(oc, p)
}

func clamp(x float64) float64 { return min(1, max(0, x)) }
