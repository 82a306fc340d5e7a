package fertilizer

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// The keys of what carries phosphate, potash, sulfur and chloride besides the nitrogen products.
const (
	MonoammoniumPhosphateKey Key = "monoammonium-phosphate"
	DiammoniumPhosphateKey   Key = "diammonium-phosphate"
	TripleSuperphosphateKey  Key = "triple-superphosphate"
	PotassiumChlorideKey     Key = "potassium-chloride"
	GypsumKey                Key = "gypsum"
	ElementalSulfurKey       Key = "elemental-sulfur"
)

// LimeKey names agricultural lime on a price list. What a ton of it is worth depends on the laboratory's
// effective score of that lime, so no analysis stands here.
const LimeKey Key = "lime"

// Nutrient names what a carrier brings, as labels and recommendations count it.
type Nutrient string

// The nutrients: nitrogen as N, phosphate as P2O5, potash as K2O, sulfur as S, chloride as Cl.
const (
	NitrogenN Nutrient = "N"
	Phosphate Nutrient = "P2O5"
	Potash    Nutrient = "K2O"
	SulfurS   Nutrient = "S"
	Chloride  Nutrient = "Cl"
)

// Carrier is a fertilizer seen by all that it brings.
type Carrier struct {
	Key  Key
	Name string
	// Holds is the mass of each nutrient in the mass of product as sold.
	Holds map[Nutrient]Published[unit.Fraction]
	// Slow says why the nutrient does not come in time for the standing crop; empty when it does.
	Slow string
	// Note is what a buyer should know.
	Note string
}

// Share is how much of a nutrient is in the product.
func (c Carrier) Share(n Nutrient) unit.Fraction { return c.Holds[n].Value }

// ProductRate is the product to spread for a rate of the nutrient. The carrier must hold it.
func (c Carrier) ProductRate(n Nutrient, rate unit.Rate) unit.Rate {
	return rate / unit.Rate(c.Share(n))
}

// PricePer is what a kg of a nutrient costs at a price per kg of product, with the nitrogen that comes along
// credited at what a kg of N costs elsewhere; zero credits nothing. It is never below 0.
func (c Carrier) PricePer(n Nutrient, price, nitrogen unit.PricePerMass) unit.PricePerMass {
	if n != NitrogenN {
		price -= nitrogen * unit.PricePerMass(c.Share(NitrogenN))
	}
	return max(0, price/unit.PricePerMass(c.Share(n)))
}

// CarriersOf lists what brings a nutrient to the ground other than as a by-product of nitrogen alone.
func CarriersOf(n Nutrient) []Carrier {
	var all []Carrier
	for _, c := range carriers() {
		if c.Share(n) > 0 {
			all = append(all, c)
		}
	}
	return all
}

// CarrierOf finds a product, a nitrogen product or another, as a carrier of all that it holds.
func CarrierOf(key Key) (Carrier, bool) {
	for _, c := range carriers() {
		if c.Key == key {
			return c, true
		}
	}
	p, ok := Find(key)
	return Carrier{Key: p.Key, Name: p.Name, Holds: map[Nutrient]Published[unit.Fraction]{NitrogenN: p.Nitrogen, SulfurS: p.Sulfur}}, ok
}

func carriers() []Carrier {
	type holds = map[Nutrient]Published[unit.Fraction]
	return []Carrier{
		{Key: MonoammoniumPhosphateKey, Name: "monoammonium phosphate 11-52-0", Holds: holds{NitrogenN: grade(11), Phosphate: grade(52)}},
		{Key: DiammoniumPhosphateKey, Name: "diammonium phosphate 18-46-0", Holds: holds{NitrogenN: grade(18), Phosphate: grade(46)}},
		{Key: TripleSuperphosphateKey, Name: "triple superphosphate 0-46-0", Holds: holds{Phosphate: grade(46)}},
		{Key: PotassiumChlorideKey, Name: "potassium chloride 0-0-60", Holds: holds{Potash: grade(60), Chloride: chlorideWith(60)}},
		{Key: AmmoniumSulfateKey, Name: "ammonium sulfate 21-0-0-24S", Holds: holds{NitrogenN: grade(21), SulfurS: grade(24)}},
		{
			Key: AmmoniumThiosulfateKey, Name: "ammonium thiosulfate 12-0-0-26S", Holds: holds{NitrogenN: grade(12), SulfurS: grade(26)},
			Note: "Streamed in a blend with UAN; it burns leaves.",
		},
		{
			Key: GypsumKey, Name: "gypsum", Holds: holds{SulfurS: {Value: gypsumSulfur, Source: cite.Practice, Status: cite.Derived, Note: "pure CaSO4·2H2O by its formula; what is sold holds less"}},
			Note: "Brings sulfate and calcium and does not raise pH.",
		},
		{
			Key: ElementalSulfurKey, Name: "elemental sulfur 90 %", Holds: holds{SulfurS: {Value: 0.90, Source: cite.Practice, Status: cite.FromMemory}},
			Slow: "elemental sulfur must first be turned to sulfate by the soil, which takes longer than this season",
		},
	}
}

// gypsumSulfur is S in CaSO4·2H2O: 32.06 of 172.17 by atomic masses.
const gypsumSulfur unit.Fraction = 32.06 / 172.17

// chlorideWith is the Cl that comes with a percentage of K2O as KCl: 2 × 35.45 of 94.196.
func chlorideWith(percentPotash float64) Published[unit.Fraction] {
	return Published[unit.Fraction]{
		Value:  unit.Fraction(percentPotash*2*35.45/94.196) * unit.Percent,
		Source: cite.MaterialsSheet, Status: cite.Derived, Note: "by its formula",
	}
}
