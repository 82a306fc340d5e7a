package quantity

import (
	"cmp"
	"slices"
	"strings"
)

// dimension counts the powers of what is measured. Two units convert into each other where their dimensions
// are the same.
type dimension struct {
	base [bases]int
	of   [substanceCount]int // of each substance: lb N/lb has one of N and none of mass
}

// What is measured.
const (
	money = iota
	mass
	bushel // until the crop is known
	charge
	head
	plant
	length
	temperature
	day
	year
	acidity
	bases
)

const substanceCount = 19

// symbol is what the table of units knows of one.
type symbol struct {
	order     int // among the factors of a unit
	what      int // measured; plain where it is a share
	power     int // of what: an acre is a length squared
	factor    float64
	substance bool // can stand behind it
}

// nothing is what a share measures: it is a plain number times a factor.
const nothing = -1

// Factors to kg, m, mol of charge and differences in C; exact, as agronomy/unit has them.
const (
	kilogramsPerPound = 0.45359237
	squareMetresAcre  = 4046.8564224
	litresPerGallon   = 3.785411784
	metresPerInch     = 0.0254
	cubicMetresLitre  = 1. / 1000
	perMillion        = 1. / 1000000
)

// symbolOf is a switch and not a map so that the package keeps no variable that someone could write to.
func symbolOf(s string) (symbol, bool) {
	switch s {
	case "$":
		return symbol{order: 0, what: money, power: 1, factor: 1}, true
	case "lb":
		return weighed(kilogramsPerPound), true
	case "kg":
		return weighed(1), true
	case "g":
		return weighed(1. / 1000), true
	case "mg":
		return weighed(perMillion), true
	case "t":
		return weighed(1000), true
	case "ton":
		return weighed(2000 * kilogramsPerPound), true
	case "cwt":
		return weighed(100 * kilogramsPerPound), true
	case "100 g":
		return symbol{order: 1, what: mass, power: 1, factor: 100. / 1000}, true
	case "bu":
		return symbol{order: 2, what: bushel, power: 1, factor: 1}, true
	case "meq":
		return symbol{order: 3, what: charge, power: 1, factor: 1. / 1000}, true
	case "cmol":
		return symbol{order: 3, what: charge, power: 1, factor: 1. / 100}, true
	case "head":
		return symbol{order: 4, what: head, power: 1, factor: 1}, true
	case "plant":
		return symbol{order: 4, what: plant, power: 1, factor: 1}, true
	case "ac":
		return symbol{order: 5, what: length, power: 2, factor: squareMetresAcre}, true
	case "ha":
		return symbol{order: 5, what: length, power: 2, factor: 10000}, true
	case "in":
		return symbol{order: 6, what: length, power: 1, factor: metresPerInch}, true
	case "ft":
		return symbol{order: 6, what: length, power: 1, factor: 12 * metresPerInch}, true
	case "mm":
		return symbol{order: 6, what: length, power: 1, factor: 1. / 1000}, true
	case "cm":
		return symbol{order: 6, what: length, power: 1, factor: 1. / 100}, true
	case "m":
		return symbol{order: 6, what: length, power: 1, factor: 1}, true
	case "gal":
		return symbol{order: 7, what: length, power: 3, factor: litresPerGallon * cubicMetresLitre}, true
	case "L":
		return symbol{order: 7, what: length, power: 3, factor: cubicMetresLitre}, true
	case "100 cm3":
		return symbol{order: 7, what: length, power: 3, factor: 100. / 1000000}, true
	case "C":
		return symbol{order: 8, what: temperature, power: 1, factor: 1}, true
	case "F":
		return symbol{order: 8, what: temperature, power: 1, factor: 1 / 1.8}, true
	case "day":
		return symbol{order: 9, what: day, power: 1, factor: 1}, true
	case "year":
		return symbol{order: 9, what: year, power: 1, factor: 1}, true
	case "ppm":
		return symbol{order: 10, what: nothing, factor: perMillion, substance: true}, true
	case "%":
		return symbol{order: 10, what: nothing, factor: 1. / 100, substance: true}, true
	case "pH":
		return symbol{order: 11, what: acidity, power: 1, factor: 1}, true
	}
	return symbol{}, false
}

func weighed(kilograms float64) symbol {
	return symbol{order: 1, what: mass, power: 1, factor: kilograms, substance: true}
}

// substances are those that guidance recommends or that laboratories report.
func substances() [substanceCount]string {
	return [...]string{"N", "NO3", "P", "P2O5", "K", "K2O", "S", "SO4", "Cl", "Zn", "Cu", "B", "Mn", "Fe", "Al", "Ca", "Mg", "Na", "CaCO3"}
}

func substanceIndex(s string) int {
	all := substances()
	return slices.Index(all[:], s)
}

// inOrder sorts the factors of a unit the way people say them: lb before head before ac before in.
func inOrder(f, g factor) int {
	fs, _ := symbolOf(f.symbol)
	gs, _ := symbolOf(g.symbol)
	return cmp.Or(cmp.Compare(fs.order, gs.order), strings.Compare(f.symbol, g.symbol), strings.Compare(f.substance, g.substance))
}

// meant guesses which symbol someone had in mind.
func meant(s string) string {
	switch strings.ToLower(s) {
	case "lbs", "pound", "pounds", "#":
		return "lb"
	case "acre", "acres", "a":
		return "ac"
	case "hectare", "hectares":
		return "ha"
	case "bushel", "bushels", "bus":
		return "bu"
	case "tonne", "tonnes", "mt":
		return "t"
	case "tons":
		return "ton"
	case "kilogram", "kilograms", "kgs":
		return "kg"
	case "inch", "inches", `"`, "″":
		return "in"
	case "foot", "feet":
		return "ft"
	case "litre", "liter", "litres", "liters":
		return "L"
	case "gallon", "gallons":
		return "gal"
	case "dollar", "dollars", "usd", "us$":
		return "$"
	case "percent", "pct":
		return "%"
	case "°c", "degc", "celsius":
		return "C"
	case "°f", "degf", "fahrenheit":
		return "F"
	case "d", "days":
		return "day"
	case "years", "yr":
		return "year"
	case "heads", "cow", "steer", "animal":
		return "head"
	case "plants":
		return "plant"
	case "p205": // with a zero
		return "P2O5"
	case "k20":
		return "K2O"
	case "no3-n":
		return "N"
	}
	return sameLetters(s)
}

// sameLetters finds a symbol that differs in capitals, or one with its substance glued on.
func sameLetters(s string) string {
	all := substances()
	known := append([]string{
		"lb", "kg", "g", "mg", "t", "ton", "cwt", "bu", "meq", "cmol", "head", "plant", "ac", "ha", "in", "ft",
		"mm", "cm", "m", "gal", "L", "C", "F", "day", "year", "ppm", "pH",
	}, all[:]...)
	for _, k := range known {
		if strings.EqualFold(k, s) {
			return k
		}
	}
	for _, k := range known {
		if rest, ok := strings.CutPrefix(s, k); ok && substanceIndex(rest) >= 0 {
			if sym, _ := symbolOf(k); sym.substance {
				return k + " " + rest
			}
		}
	}
	return ""
}
