package fertilizer

import (
	"math"

	"culm/agronomy/unit"
)

// ProductRate is the product to spread, kg of product per ha, for a rate of N.
func (p Product) ProductRate(n unit.Rate) unit.Rate { return n / unit.Rate(p.Nitrogen.Value) }

// NitrogenPerVolume is the mass of N in a litre of a liquid; false for a dry product.
func (p Product) NitrogenPerVolume() (unit.Density, bool) {
	return p.Density.Value * unit.Density(p.Nitrogen.Value), p.Form == Liquid
}

// SulfurPerVolume is the mass of S in a litre of a liquid; false for a dry product.
func (p Product) SulfurPerVolume() (unit.Density, bool) {
	return p.Density.Value * unit.Density(p.Sulfur.Value), p.Form == Liquid
}

// Volume is the liquid to spray for a rate of N, at the product's density; false for a dry product.
func (p Product) Volume(n unit.Rate) (unit.VolumePerArea, bool) {
	if p.Form != Liquid {
		return 0, false
	}
	// kg product/ha over kg/L is L/ha
	return unit.VolumePerArea(float64(p.ProductRate(n)) / float64(p.Density.Value)), true
}

// SulfurCarried is the S that comes with a rate of N.
func (p Product) SulfurCarried(n unit.Rate) unit.Rate {
	return p.ProductRate(n) * unit.Rate(p.Sulfur.Value)
}

// PricePerNitrogen is what a kg of N costs at a price per kg of product. The sulfur is counted as free;
// see PricePerNitrogenLessSulfur.
func (p Product) PricePerNitrogen(price unit.PricePerMass) unit.PricePerMass {
	return price / unit.PricePerMass(p.Nitrogen.Value)
}

// PricePerNitrogenLessSulfur is what a kg of N costs once the sulfur that comes with it is credited at what
// a kg of S is worth to the field. A field that does not need sulfur should credit nothing. The answer can
// be negative where sulfur is worth more than the product costs.
func (p Product) PricePerNitrogenLessSulfur(price, sulfur unit.PricePerMass) unit.PricePerMass {
	perProduct := price - sulfur*unit.PricePerMass(p.Sulfur.Value)
	return p.PricePerNitrogen(perProduct)
}

// Water is the density of water that sprayer tables are made for [cite.NebraskaNozzle].
const Water = 8.34 * unit.PoundPerGallon

// WaterTerms turns a volume of the product into the volume of water that the same nozzles at the same
// pressure would let out in its place, for reading a nozzle table made for water: volume times the square
// root of the specific gravity [cite.NebraskaNozzle]. False for a dry product.
func (p Product) WaterTerms(v unit.VolumePerArea) (unit.VolumePerArea, bool) {
	if p.Form != Liquid {
		return 0, false
	}
	return v * unit.VolumePerArea(math.Sqrt(float64(p.Density.Value/Water))), true
}

// WaterToCut is the volume of water to a volume of a liquid that brings its N down to a weaker analysis:
// cutting 32 % solution to 28 %, so that it does not salt out. False when the product is dry or no stronger
// than asked for. From the balance of mass.
func (p Product) WaterToCut(to unit.Fraction) (unit.Ratio, bool) {
	if p.Form != Liquid || to <= 0 || to >= p.Nitrogen.Value {
		return 0, false
	}
	perMass := float64(p.Nitrogen.Value/to) - 1 // kg of water to a kg of product
	return unit.Ratio(perMass * float64(p.Density.Value/Water)), true
}
