// Package quantity knows units as a book of guidance writes them: lb P2O5/ac/ppm P, $/bu, meq/100 cm3.
//
// A unit is a product of symbols with whole powers. What is weighed is part of the symbol: lb N and lb S are
// two symbols that never cancel, nor do P and P2O5, nor lb and kg. So the unit of every part of a formula can
// be worked out and compared, and nothing is converted in silence. Conversion is for values taken in from
// outside a book (Between, FromKind, ToKindFrom); an element is never turned into its oxide.
//
// # Writing units
//
// Factors stand side by side with a space between them; each divisor has its own slash: lb N/ac/in. A power
// is written behind the symbol without a sign: kg/m2; ppm2 P is (ppm P) squared. A substance stands behind a
// mass, ppm or %. A plain number is 1, and 1/day is a plain number a day. 100 g and 100 cm3 are symbols of
// their own, as laboratories write them.
//
//	money         $
//	mass          lb  kg  g  mg  t (1000 kg)  ton (2000 lb)  cwt (100 lb)  100 g
//	grain         bu, a mass once the crop is known: see Bushel
//	charge        meq  cmol
//	count         head  plant
//	area          ac  ha  (m2 and ft2 are powers of a length)
//	length        in  ft  mm  cm  m
//	volume        gal  L  100 cm3
//	temperature   C  F
//	time          day  year
//	share         ppm  %
//	acidity       pH
//	substances    N NO3 P P2O5 K K2O S SO4 Cl Zn Cu B Mn Fe Al Ca Mg Na CaCO3
package quantity

import (
	"slices"
	"strings"
)

// Unit is a unit in its one canonical spelling, so that two units are equal where == says so and a Unit can
// be the key of a map. The zero Unit is that of a plain number.
type Unit struct {
	text string // canonical; empty for a plain number
}

// String writes the unit canonically: "lb N/ac"; "1" for a plain number. Parse reads it back.
func (u Unit) String() string {
	if u.IsPlain() {
		return "1"
	}
	return u.text
}

// IsPlain says that it is the unit of a plain number.
func (u Unit) IsPlain() bool { return u.text == "" }

// MarshalText and UnmarshalText let a unit stand in JSON and YAML as it is written.
func (u Unit) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (u *Unit) UnmarshalText(text []byte) (err error) {
	*u, err = Parse(string(text))
	return err
}

// factor is one symbol of a unit with what is weighed and its power.
type factor struct {
	symbol    string
	substance string
	power     int
}

// name is the factor without its power: "ppm P".
func (f factor) name() string {
	if f.substance == "" {
		return f.symbol
	}
	return f.symbol + " " + f.substance
}

// write gives the factor to a positive power. A symbol that ends in a figure of its own is repeated.
func (f factor) write(between string) string {
	n := max(f.power, -f.power)
	if n == 1 {
		return f.name()
	}
	if strings.Contains(f.symbol, " ") {
		return strings.TrimSuffix(strings.Repeat(f.symbol+between, n), between)
	}
	return factor{symbol: f.symbol + string(rune('0'+n)), substance: f.substance}.name()
}

// of makes the unit of factors that were multiplied, in the order of the table of symbols.
func of(factors []factor) (Unit, error) {
	gathered := gather(factors)
	slices.SortFunc(gathered, inOrder)
	if err := bounded(gathered); err != nil {
		return Unit{}, err
	}
	return Unit{spell(gathered)}, nil
}

// gather adds up the powers of the same symbols and drops those that cancel.
func gather(factors []factor) []factor {
	var gathered []factor
	for _, f := range factors {
		i := slices.IndexFunc(gathered, func(g factor) bool { return g.symbol == f.symbol && g.substance == f.substance })
		if i < 0 {
			gathered = append(gathered, f)
			continue
		}
		gathered[i].power += f.power
	}
	return slices.DeleteFunc(gathered, func(f factor) bool { return f.power == 0 })
}

func spell(factors []factor) string {
	var above, below []string
	for _, f := range factors {
		if f.power > 0 {
			above = append(above, f.write(" "))
		} else {
			below = append(below, f.write("/"))
		}
	}
	if len(above) == 0 && len(below) > 0 {
		above = []string{"1"}
	}
	return strings.Join(append([]string{strings.Join(above, " ")}, below...), "/")
}
