// Package fertilizer knows the nitrogen products a standing crop can be top-dressed with: what they hold,
// how they flow, freeze and burn, and the arithmetic from a rate of nitrogen to product, gallons and money.
//
// Each printed figure keeps its source and how far it was confirmed. Where two sources disagree, both stand.
// Anhydrous ammonia is left out: it cannot be put on a standing crop. Of inhibitors it knows that of urease, on urea;
// those of nitrification are left out.
package fertilizer

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// The products' keys, as prices and records name them.
const (
	UreaKey                Key = "urea"
	InhibitedUreaKey       Key = "urea-inhibitor"
	UAN28Key               Key = "uan-28"
	UAN32Key               Key = "uan-32"
	AmmoniumSulfateKey     Key = "ammonium-sulfate"
	AmmoniumThiosulfateKey Key = "ammonium-thiosulfate"
)

// Key names a product.
type Key = string

// Form is whether a product is spread or sprayed.
type Form string

// The forms.
const (
	Dry    Form = "dry"
	Liquid Form = "liquid"
)

// Published is a figure as a source prints it. The zero Published is not known, which is not zero.
type Published[T unit.Quantity] struct {
	Value T
	// Low and High are the ends of the range where the source prints a range; Value is then its middle.
	Low, High T
	Source    cite.Key
	Status    cite.Status
	// Note says what the figure holds for: "at 60 °F".
	Note string
	// Others are what other sources print in its place.
	Others []Published[T]
}

// Known says that a source gives the figure.
func (p Published[T]) Known() bool { return p.Status != "" }

// Caution is a warning that belongs to a product.
type Caution struct {
	Key    string
	Text   string
	Source cite.Key
	Status cite.Status
}

// Product is a fertilizer that carries nitrogen.
type Product struct {
	Key  Key
	Name string
	Form Form
	// Nitrogen and Sulfur are the mass of the element in the mass of product as sold.
	Nitrogen, Sulfur Published[unit.Fraction]
	// Urea, Ammonium and Nitrate are the forms' shares of the product's nitrogen; they add up to 1.
	Urea, Ammonium, Nitrate Published[unit.Fraction]
	// Inhibited marks a product that carries a urease inhibitor.
	Inhibited bool
	// Density is that of a liquid at 60 °F, or the bulk density of a dry product.
	Density Published[unit.Density]
	// SaltOut is the temperature at which a liquid begins to drop crystals.
	SaltOut Published[unit.Temperature]
	// BlendOnly marks a product that is not top-dressed alone to meet the whole need for nitrogen, with
	// the reason.
	BlendOnly bool
	BlendWhy  string
	Cautions  []Caution
}

// Find looks a product up by its key.
func Find(key Key) (Product, bool) {
	switch key {
	case UreaKey:
		return urea(), true
	case InhibitedUreaKey:
		return inhibitedUrea(), true
	case UAN28Key:
		return uan28(), true
	case UAN32Key:
		return uan32(), true
	case AmmoniumSulfateKey:
		return ammoniumSulfate(), true
	case AmmoniumThiosulfateKey:
		return ammoniumThiosulfate(), true
	default:
		return Product{}, false
	}
}

// All lists the products: dry urea first, without and with an inhibitor, then the solutions, then those that carry sulfur.
func All() []Product {
	return []Product{urea(), inhibitedUrea(), uan28(), uan32(), ammoniumSulfate(), ammoniumThiosulfate()}
}

// WithDensity is the product with another density in place of the first: one of Others, or one that was
// read on a hydrometer.
func (p Product) WithDensity(d Published[unit.Density]) Product {
	p.Density = d
	return p
}
