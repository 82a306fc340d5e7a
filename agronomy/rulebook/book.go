// Package rulebook holds the published ways of finding a nitrogen rate as data: one readable file per
// publication, with its coefficients, the standing of each, its units, its region, the range it was made
// for, and its own worked examples. A book whose examples do not come out as printed is refused when it is
// read, so a mistyped coefficient cannot give advice.
//
// A book takes one of five forms. A mass balance counts what the crop needs for its yield and takes off
// what soil and season supply. A price table is read off. A ramp is a row of strips that the eye judges. An
// in-season form turns a sensor reading and a response index into an outlook. A green-area form weighs the
// canopy of oilseed rape. Numbers stand in a book as they are printed, in its own units; conversion to and
// from the units of package unit happens where inputs go in and the rate comes out.
//
// What a field's evidence is, which nitrogen was already spread, and how the answers compare is the
// business of package nitrogen.
package rulebook

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Book is one published way of finding a nitrogen rate. It is made by Parse and not changed afterwards.
type Book struct {
	// Key names the method everywhere, such as "kansas-2003"; Name is what people read.
	Key  string `yaml:"key"`
	Name string `yaml:"name"`
	// Region is where the guidance is meant for, Edition which state of it this is.
	Region  string   `yaml:"region"`
	Edition string   `yaml:"edition"`
	Source  cite.Key `yaml:"source"`
	// FittedOn says on what crops, soils and years the numbers rest.
	FittedOn string `yaml:"fittedOn"`
	// Crops are those the book is for. Refuses gives the reason for a crop that people might expect it to
	// serve and that it does not.
	Crops   []season.Crop          `yaml:"crops"`
	Refuses map[season.Crop]string `yaml:"refuses"`
	Units   Units                  `yaml:"units"`
	// Ranges bound the inputs the publication covers; outside them an answer carries a remark.
	Ranges []Range `yaml:"ranges"`
	// Notes are remarks that every answer carries.
	Notes []string `yaml:"notes"`

	// Exactly one form is set.
	Balance    *Balance    `yaml:"massBalance"`
	PriceTable *PriceTable `yaml:"priceTable"`
	Ramp       *Ramp       `yaml:"ramp"`
	InSeason   *InSeason   `yaml:"inSeason"`
	GreenArea  *GreenArea  `yaml:"greenArea"`

	Examples []Example `yaml:"examples"`

	expression string
	// calibrated is known where an advisor's own numbers stand in an in-season form.
	calibrated working.Origin
}

// The families of forms, as people read them.
const (
	FamilyBalance     = "mass balance"
	FamilyCanolaTable = "canola table"
	FamilyPriceTable  = "price table"
	FamilyRamp        = "ramp"
	FamilyInSeason    = "in-season"
	FamilyGreenArea   = "green area"
)

// form is what every way of finding a rate can do. The inputs are already filled with the book's defaults.
type form interface {
	family(*Book) string
	// uses are the inputs that can move the rate.
	uses() Uses
	// fill puts the book's defaults where an input is missing.
	fill(*Book, *Inputs)
	// refuse says why no rate can be worked out; empty when one can.
	refuse(*Book, *Inputs) string
	// rate is the floor-0 rate. It is called only where refuse is silent, and allocates nothing.
	rate(*Book, *Inputs) unit.Rate
	// explain adds what a reader may ask about the rate.
	explain(*Book, *Inputs, *Worked)
	// words is the formula in words and signs.
	words(*Book) string
	check(*checker, *Book)
}

func (b *Book) form() form {
	switch {
	case b.Balance != nil:
		return b.Balance
	case b.PriceTable != nil:
		return b.PriceTable
	case b.Ramp != nil:
		return b.Ramp
	case b.InSeason != nil:
		return b.InSeason
	default:
		return b.GreenArea
	}
}

// Family is the kind of way the book is, one of the Family constants.
func (b *Book) Family() string { return b.form().family(b) }

// Uses are the inputs that can move the book's rate.
func (b *Book) Uses() Uses { return b.form().uses() }

// For says that the book is for a crop.
func (b *Book) For(c season.Crop) bool {
	for _, own := range b.Crops {
		if own == c {
			return true
		}
	}
	return false
}

// Coefficient is a published number in the book's own units, with its standing.
type Coefficient struct {
	Value float64 `yaml:"value"`
	// Low and High are the span the publication gives; both zero where it gives one number.
	Low  float64 `yaml:"low"`
	High float64 `yaml:"high"`
	// Source is the publication when it is another than the book's.
	Source cite.Key    `yaml:"source"`
	Status cite.Status `yaml:"status"`
}

func (c Coefficient) hasSpan() bool { return c.Low != 0 || c.High != 0 }

// sourceOf is the publication of a coefficient: its own where it names one, else the book's.
func (b *Book) sourceOf(c Coefficient) cite.Key {
	if c.Source != "" {
		return c.Source
	}
	return b.Source
}

// Range bounds an input.
type Range struct {
	Input What    `yaml:"input"`
	Low   float64 `yaml:"low"` // in the book's units; organic matter in percent
	High  float64 `yaml:"high"`
	Note  string  `yaml:"note"`
}

// Units are those a book is printed in.
type Units struct {
	Rate  RateUnit  `yaml:"rate"`
	Yield YieldUnit `yaml:"yield"`
}

// RateUnit names a unit of mass per area: "lb/ac" or "kg/ha".
type RateUnit string

// YieldUnit names a unit of yield: "wheat bu/ac", "canola bu/ac", "lb/ac", "kg/ha" or "t/ha".
type YieldUnit string

func (u RateUnit) rate() unit.Rate {
	if u == "kg/ha" {
		return unit.KilogramPerHectare
	}
	return unit.PoundPerAcre
}

// perMass is the price of one per unit of mass: per lb or per kg.
func (u RateUnit) perMass() unit.PricePerMass {
	if u == "kg/ha" {
		return unit.PerKilogram
	}
	return unit.PerPound
}

func (u RateUnit) known() bool { return u == "lb/ac" || u == "kg/ha" }

func (u YieldUnit) yield() unit.Yield {
	switch u {
	case "wheat bu/ac":
		return unit.WheatBushelPerAcre
	case "canola bu/ac":
		return unit.CanolaBushelPerAcre
	case "lb/ac":
		return unit.PoundOfGrainPerAcre
	case "kg/ha":
		return unit.KilogramOfGrainPerHectare
	default:
		return unit.TonneOfGrainPerHectare
	}
}

// perMass is the price of one per bushel, lb, kg or t.
func (u YieldUnit) perMass() unit.PricePerMass {
	switch u {
	case "wheat bu/ac":
		return unit.PerWheatBushel
	case "canola bu/ac":
		return unit.PerCanolaBushel
	case "lb/ac":
		return unit.PerPound
	case "kg/ha":
		return unit.PerKilogram
	default:
		return unit.PerTonne
	}
}

// short is the unit without the crop, as it stands in an expression.
func (u YieldUnit) short() string {
	switch u {
	case "wheat bu/ac", "canola bu/ac":
		return "bu/ac"
	default:
		return string(u)
	}
}

func (u YieldUnit) known() bool {
	switch u {
	case "wheat bu/ac", "canola bu/ac", "lb/ac", "kg/ha", "t/ha":
		return true
	}
	return false
}
