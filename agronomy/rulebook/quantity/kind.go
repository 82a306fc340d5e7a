package quantity

import (
	"fmt"
	"strings"

	"culm/agronomy/unit"
)

// FromKind gives a typed quantity's number in a unit of a book. A kind says no substance; the caller knows
// which it was, and the unit's is taken as that. A kind without a unit of its own gives pH and plain numbers.
func FromKind(k unit.Kind, base float64, to Unit, b Bushel) (float64, error) {
	c, err := betweenKind(k, to, b)
	if err != nil {
		return 0, err
	}
	return (base - c.Offset) / c.Factor, nil
}

// ToKindFrom finds the conversion of numbers in a unit of a book to the base of a kind. The substance is dropped.
func ToKindFrom(u Unit, k unit.Kind, b Bushel) (Conversion, error) { return betweenKind(k, u, b) }

// betweenKind converts from a unit to the base of a kind.
func betweenKind(k unit.Kind, u Unit, b Bushel) (Conversion, error) {
	base, ok := baseOf(k)
	if !ok {
		return Conversion{}, fmt.Errorf("%s is not measured in a unit of a book", k)
	}
	switch k {
	case unit.KindWheatYield, unit.KindPerWheat, unit.KindWheatPrice:
		b = WheatBushel
	case unit.KindCanolaYield, unit.KindPerCanola, unit.KindCanolaPrice:
		b = CanolaBushel
	}
	bare := u.bare()
	c, err := Between(bare, base, b)
	if err != nil {
		return Conversion{}, fmt.Errorf("%s does not stand for a %s", u, strings.ReplaceAll(string(k), "-", " "))
	}
	return c, nil
}

// bare drops what the kinds do not know: substances, and that a pH is more than a number.
func (u Unit) bare() Unit {
	factors := u.factors()
	kept := factors[:0]
	for _, f := range factors {
		if f.symbol != "pH" {
			kept = append(kept, factor{f.symbol, "", f.power})
		}
	}
	bare, _ := of(kept) // fewer factors of smaller powers, or the same
	return bare
}

// baseOf is the unit that the numbers of a kind are in: see agronomy/unit.
func baseOf(k unit.Kind) (Unit, bool) {
	switch k {
	case unit.KindRate, unit.KindProductRate, unit.KindYield, unit.KindWheatYield, unit.KindCanolaYield, unit.KindGain, unit.KindBiomass:
		return Unit{"kg/ha"}, true
	case unit.KindPerYield, unit.KindPerWheat, unit.KindPerCanola, unit.KindFraction, unit.KindShare, unit.KindRatio, unit.KindIndex, unit.KindCoefficient:
		return Unit{}, true
	case unit.KindConcentration:
		return Unit{"ppm"}, true
	case unit.KindMass:
		return Unit{"kg"}, true
	case unit.KindArea:
		return Unit{"ha"}, true
	case unit.KindLength:
		return Unit{"m"}, true
	case unit.KindWater:
		return Unit{"mm"}, true
	case unit.KindTemperature:
		return Unit{"C"}, true
	case unit.KindDegreeDays:
		return Unit{"C day"}, true
	case unit.KindDays:
		return Unit{"day"}, true
	case unit.KindDensity:
		return Unit{"kg/L"}, true
	case unit.KindVolume:
		return Unit{"L"}, true
	case unit.KindVolumePerArea:
		return Unit{"L/ha"}, true
	case unit.KindMoney:
		return Unit{"$"}, true
	case unit.KindMoneyPerArea, unit.KindPassPrice:
		return Unit{"$/ha"}, true
	case unit.KindPrice, unit.KindNutrientPrice, unit.KindWheatPrice, unit.KindCanolaPrice, unit.KindProductPrice:
		return Unit{"$/kg"}, true
	}
	return Unit{}, false
}

// KindOf is the kind in which a number in this unit is best shown, where there is one: lb N/ac is a rate,
// lb/ac without a substance a rate of product, bu/ac a yield of the bushel's crop. pH and a plain number are
// unit.KindCoefficient. False for units that no kind has, such as meq/100 g.
func KindOf(u Unit, b Bushel) (unit.Kind, bool) {
	if (u.has("%") || u.has("ppm") || u.has("pH")) && len(u.factors()) > 1 {
		return "", false // lb N/ac/% is for each percent, and no rate of its own
	}
	for _, k := range []unit.Kind{
		kindOfGrain(u, b), kindByName(u), unit.KindMoneyPerArea, unit.KindMoney, unit.KindArea, unit.KindMass,
		unit.KindVolume, unit.KindDensity,
	} {
		if k == "" {
			continue
		}
		if _, err := betweenKind(k, u, b); err == nil {
			return k, true
		}
	}
	return "", false
}

// kindOfGrain tells the crops' bushels apart.
func kindOfGrain(u Unit, b Bushel) unit.Kind {
	if !u.has("bu") || b != WheatBushel && b != CanolaBushel {
		return ""
	}
	pick := func(wheat, canola unit.Kind) unit.Kind {
		if b == WheatBushel {
			return wheat
		}
		return canola
	}
	switch dimensionOf(u.bare(), b) {
	case dimensionOf(Unit{"bu/ac"}, b):
		return pick(unit.KindWheatYield, unit.KindCanolaYield)
	case dimensionOf(Unit{"lb/bu"}, b):
		return pick(unit.KindPerWheat, unit.KindPerCanola)
	case dimensionOf(Unit{"$/bu"}, b):
		return pick(unit.KindWheatPrice, unit.KindCanolaPrice)
	}
	return ""
}

// kindByName uses what dimensions do not show: a substance, a percent sign, gallons on an area where the dimension
// is a length.
func kindByName(u Unit) unit.Kind {
	d := dimensionOf(u, 0)
	names := d.of != dimension{}.of
	d.of = dimension{}.of
	switch d {
	case dimensionOf(Unit{"kg/ha"}, 0):
		if names {
			return unit.KindRate
		}
		return unit.KindProductRate
	case dimensionOf(Unit{"$/kg"}, 0):
		if names {
			return unit.KindNutrientPrice
		}
		return unit.KindProductPrice
	case dimensionOf(Unit{"C"}, 0):
		return unit.KindTemperature
	case dimensionOf(Unit{"C day"}, 0):
		return unit.KindDegreeDays
	case dimensionOf(Unit{"day"}, 0):
		return unit.KindDays
	case dimensionOf(Unit{"m"}, 0):
		if u.has("gal") || u.has("L") {
			return unit.KindVolumePerArea
		}
		return unit.KindLength
	case dimension{}:
		return kindOfShare(u, names)
	case dimensionOf(Unit{"pH"}, 0):
		return unit.KindCoefficient
	}
	return ""
}

func kindOfShare(u Unit, names bool) unit.Kind {
	switch {
	case u.has("%"):
		return unit.KindShare
	case u.has("ppm"), u.has("mg") && u.has("kg"):
		return unit.KindConcentration
	case names:
		return unit.KindPerYield
	}
	return unit.KindCoefficient
}

func (u Unit) has(symbol string) bool {
	for _, f := range u.factors() {
		if f.symbol == symbol {
			return true
		}
	}
	return false
}
