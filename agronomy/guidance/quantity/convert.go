package quantity

import "culm/agronomy/unit"

// Bushel is the mass of a bushel in pounds: 60 for wheat, 50 for canola. 0 where no crop is known; then bu
// converts to nothing but bu.
type Bushel float64

// The bushels of the two crops.
const (
	WheatBushel  Bushel = 60
	CanolaBushel Bushel = 50
)

// Conversion turns a number in one unit into a number in another: to = from*Factor + Offset. The offset is 0
// except between the plain temperatures C and F.
type Conversion struct{ Factor, Offset float64 }

// Of converts a number.
func (c Conversion) Of(v float64) float64 { return v*c.Factor + c.Offset }

// Between finds the conversion for a value that comes from outside a book, such as 4 t/ha for a yield goal in
// bu/ac or 40 lb/ac for nitrate in lb N/ac. Units of the same dimension convert: kg/ha and lb/ac, mg/kg and
// ppm, % and 1. A unit that names no substance takes that of the other; two different substances are an
// error, also P and P2O5 (see Restate). Also an error: a depth and a mass of soil would be needed (ppm and
// lb/ac), or a crop (bu) where the bushel is 0.
func Between(from, to Unit, b Bushel) (Conversion, error) { return Conversion{Factor: 1}, nil }

// Restate gives the same amount as another substance, by atomic masses: 10 ppm P as P2O5 is 22.914 ppm P2O5.
// It knows N and NO3, P and P2O5, K and K2O, S and SO4, Ca and CaCO3. The unit must name one substance, once.
func Restate(v float64, u Unit, substance string) (float64, Unit, error) { return v, u, nil }

// FromKind gives a typed quantity's number in a unit of a book. A kind says no substance; the caller knows
// which it was, and the unit's is taken as that.
func FromKind(k unit.Kind, base float64, to Unit, b Bushel) (float64, error) { return base, nil }

// ToKind gives the base value of a kind for a number in a unit of a book. The substance is dropped.
func ToKind(v float64, u Unit, k unit.Kind, b Bushel) (base float64, err error) { return v, nil }

// KindOf is the kind in which an answer in this unit is best shown, where there is one: lb N/ac is a rate,
// lb/ac without a substance a rate of product, bu/ac a yield of the bushel's crop. A kind without its own unit
// (pH, a ratio) is unit.KindCoefficient; false for units no kind has, such as meq/100 g.
func KindOf(u Unit, b Bushel) (unit.Kind, bool) { return "", false }

// Value is a number as a person typed it, with the unit if they gave one.
type Value struct {
	Number  float64
	Unit    Unit
	HasUnit bool
}

// ParseValue reads "40lb/ac", "40 lb N/ac", "4.5", "$5.50/bu", "2 %".
func ParseValue(text string) (Value, error) { return Value{}, nil }

// In gives the value in a unit; a value without unit is already in it. See Between.
func (v Value) In(to Unit, b Bushel) (float64, error) { return v.Number, nil }
