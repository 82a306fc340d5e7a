package lab

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/season"
)

// dimension is what a printed unit measures.
type dimension int

const (
	massInMass   dimension = iota // base ppm
	massPerArea                   // base kg/ha
	charge                        // base meq/100 g
	volumeCharge                  // base meq/100 cm3
	conductivity                  // base dS/m
	bare                          // a pH
)

// printedUnit is a unit as reports print it.
type printedUnit struct {
	name      string   // as mappings write it
	spellings []string // others, tidied: see tidyUnit
	dimension dimension
	factor    float64 // base units in one
}

// printedUnits is the table of units. Exact by definition, but for ppm as mg/kg by weight.
func printedUnits() []printedUnit {
	return []printedUnit{
		{"ppm", []string{"mg/kg", "ug/g", "µg/g", "μg/g", "mgkg-1", "partspermillion"}, massInMass, 1},
		{"%", []string{"pct", "percent", "g/100g"}, massInMass, 1e4},
		{"g/kg", []string{"gkg-1"}, massInMass, 1e3},
		{"mg/100g", []string{"mgper100g"}, massInMass, 10},
		{"lb/ac", []string{"lbs/ac", "lb/a", "lbs/a", "lb/acre", "lbs/acre", "#/ac", "#/a", "lbac", "lbperacre", "poundsperacre", "lbac-1"}, massPerArea, float64(unit.PoundPerAcre)},
		{"kg/ha", []string{"kgha-1"}, massPerArea, 1},
		{"meq/100g", []string{"cmol/kg", "cmol(+)/kg", "cmolc/kg", "cmol+/kg", "cmolckg-1", "me/100g", "milliequivalents/100g"}, charge, 1},
		{"meq/100cm3", []string{"meq/100cc", "meq/100cm³", "cmol/dm3", "cmol/l"}, volumeCharge, 1},
		{"dS/m", []string{"mmho/cm", "mmhos/cm", "ms/cm"}, conductivity, 1},
		{"uS/cm", []string{"µs/cm", "μs/cm", "umho/cm"}, conductivity, 1e-3},
		{"none", []string{"ph", "phunits", "su", "unitless", "-"}, bare, 1},
	}
}

// tidyUnit takes out what spellings of one unit differ by.
func tidyUnit(name string) string {
	return strings.NewReplacer(" ", "", "\t", "", "\n", "", "\u00a0", "", "⁻¹", "-1", ".", "").Replace(strings.ToLower(strings.TrimSpace(name)))
}

func findUnit(name string) (printedUnit, bool) {
	tidied := tidyUnit(name)
	for _, u := range printedUnits() {
		if tidyUnit(u.name) == tidied || slices.Contains(u.spellings, tidied) {
			return u, true
		}
	}
	return printedUnit{}, false
}

// isPerArea says that a unit counts per area, so that it takes a depth and a mass of soil to become ppm.
func isPerArea(name string) bool {
	u, ok := findUnit(name)
	return ok && u.dimension == massPerArea
}

// fits says whether an analyte may be printed in a unit. A nutrient in percent is none: it is the share of a base
// in the exchange capacity.
func fits(a season.Analyte, u printedUnit) bool {
	d := u.dimension
	switch a.Unit() {
	case "share":
		return d == massInMass
	case "meq/100 g":
		return d == charge
	case "meq/100 cm3":
		return d == volumeCharge
	case "dS/m":
		return d == conductivity
	case "":
		return d == bare
	default:
		_, isCation := soil.ConcentrationFromCharge(a, 1)
		return d == massInMass && u.name != "%" || d == massPerArea || d == charge && isCation
	}
}

// scaleFor finds a unit, or says why an analyte is not printed in it.
func scaleFor(a season.Analyte, name string) (printedUnit, string) {
	u, ok := findUnit(name)
	switch {
	case !ok && slices.Contains([]string{"mg/dm3", "mg/l", "g/m3", "mg/cm3", "lb/1000ft2"}, tidyUnit(name)):
		return u, "the unit is by volume or area of soil, and becomes ppm only with a bulk density that the report does not give"
	case !ok:
		return u, "the unit is not known"
	case !fits(a, u):
		return u, fmt.Sprintf("%s is not measured in this unit", a)
	default:
		return u, ""
	}
}

// unitsOf lists the units an analyte may be printed in, as mappings write them.
func unitsOf(a season.Analyte) (names []string) {
	for _, u := range printedUnits() {
		if fits(a, u) {
			names = append(names, u.name)
		}
	}
	return names
}

// quantity is a number with all that it takes to turn it into the season's unit.
type quantity struct {
	analyte     season.Analyte
	value       float64
	unit, basis string
	top, bottom unit.Length
	soilMass    unit.PoundsPerMillion
}

// turn gives the value in the analyte's own unit, in words how, and where it cannot, why not.
func (n quantity) turn() (value float64, how, whyNot string) {
	u, whyNot := scaleFor(n.analyte, n.unit)
	if whyNot != "" {
		return 0, "", whyNot
	}
	value = n.value * u.factor
	var steps []string
	switch {
	case u.dimension == massPerArea && n.soilMass == 0:
		return 0, "", "results per area need the laboratory's mass of soil to become ppm"
	case u.dimension == massPerArea:
		value = float64(soil.ConcentrationOf(unit.Rate(value), n.bottom-n.top, n.soilMass))
		steps = append(steps, fmt.Sprintf("%s at %.4g million lb of soil to the acre-inch", soil.Depth(n.top, n.bottom), float64(n.soilMass)))
	case u.dimension == charge && n.analyte.Unit() == "ppm":
		ppm, _ := soil.ConcentrationFromCharge(n.analyte, value)
		value = float64(ppm)
		steps = append(steps, "charges to mass by atomic mass")
	case n.analyte.Unit() == "share":
		value = nineDigits(value / 1e6) // 2.8 % is 0.028, and not what binary division makes of it
	case u.factor != 1:
		steps = append(steps, fmt.Sprintf("times %g", u.factor))
	}
	if element, from := ofElement(n.basis, value); from != "" {
		value = element
		steps = append(steps, from)
	}
	if len(steps) > 0 {
		value = nineDigits(value)
	}
	return value, strings.Join(steps, "; "), ""
}

// nineDigits takes out of a value that was turned the noise of binary arithmetic behind its ninth
// digit. No laboratory prints more than five, and the soil table is read by people.
func nineDigits(v float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 9, 64), 64)
	if err != nil {
		return v
	}
	return rounded
}

// ofElement turns a compound into the element that is counted; from is empty where it is that already.
func ofElement(basis string, v float64) (element float64, from string) {
	c := unit.Concentration(v)
	switch basis {
	case "NO3":
		return float64(soil.NitrogenFromNitrate(c)), "NO3 to NO3-N"
	case "NH4":
		return float64(soil.NitrogenFromAmmonium(c)), "NH4 to NH4-N"
	case "P2O5":
		return float64(soil.PhosphorusFromPentoxide(c)), "P2O5 to P"
	case "K2O":
		return float64(soil.PotassiumFromOxide(c)), "K2O to K"
	case "SO4":
		return float64(soil.SulfurFromSulfate(c)), "SO4 to SO4-S"
	default:
		return v, ""
	}
}
