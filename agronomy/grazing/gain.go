package grazing

import (
	"fmt"

	"culm/agronomy/unit"
)

// Animal is an animal bought or sold.
type Animal struct {
	Mass  unit.Mass
	Price unit.PricePerMass // of live weight
}

func (a Animal) worth() float64 { return float64(a.Mass) * float64(a.Price) }

// ValueOfGain is what each unit of live weight put on is worth: what the animal sells for less what it cost,
// over what it gained [cite.ValueOfGain]. A heavier animal sells for less a pound, so this is below either
// price. It may be negative. The error says that the animal did not gain.
func ValueOfGain(in, out Animal) (unit.PricePerMass, error) {
	gained := float64(out.Mass - in.Mass)
	if !(gained > 0) || !(in.Mass > 0) {
		return 0, fmt.Errorf("value of gain: the animal goes in at %.4g kg and out at %.4g kg; expected a gain", float64(in.Mass), float64(out.Mass))
	}
	return unit.PricePerMass((out.worth() - in.worth()) / gained), nil
}

// Gain for each nitrogen, kg/kg: 16 to 20 of dry matter for each nitrogen [cite.ForageNVariant], and 8 of
// dry matter for each gain, which is common practice without a source. The low end is the one usually
// quoted: about 2 lb of gain for a lb of nitrogen.
const (
	GainPerNitrogenLow  = 16. / 8
	GainPerNitrogenHigh = 20. / 8
)

// GainFrom is the live weight that nitrogen on forage can bring, low and high.
func GainFrom(n unit.Rate) (low, high unit.Gain) {
	return unit.Gain(n) * GainPerNitrogenLow, unit.Gain(n) * GainPerNitrogenHigh
}

// NitrogenFor is the nitrogen that a gain takes, low and high.
func NitrogenFor(g unit.Gain) (low, high unit.Rate) {
	return unit.Rate(g) / GainPerNitrogenHigh, unit.Rate(g) / GainPerNitrogenLow
}
