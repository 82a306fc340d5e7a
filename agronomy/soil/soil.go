// Package soil reads a laboratory's report for two questions: how much nitrate the profile holds for the
// crop, and what poor spots lack that the good ground beside them has.
//
// It keeps to what was sampled. A layer that no one sampled is not filled in, a test by one extractant is
// not held against a critical level found with another, and conversions are functions that a caller must
// name. Depths travel with every number, because the equations of different states ask for different ones.
//
// How the numbers become a rate of lime, phosphorus, potassium or sulfur is regional guidance and stands in
// rulebooks, not here.
package soil

import (
	"fmt"

	"culm/agronomy/unit"
	"culm/season"
)

// rounding is how far apart two depths may be and still mean the same: 15 cm is called 6 in, 60 cm 24 in.
const rounding = 1 * unit.Inch

// same says that two depths mean the same.
func same(a, b unit.Length) bool { return a-b < rounding && b-a < rounding }

// Depth writes a layer the way both kinds of reader know it: "0 to 6 in (0 to 15 cm)".
func Depth(top, bottom unit.Length) string {
	return fmt.Sprintf("%.0f to %.0f in (%.0f to %.0f cm)",
		float64(top/unit.Inch), float64(bottom/unit.Inch), float64(top)*100, float64(bottom)*100)
}

// Name gives an analyte its name in words.
func Name(a season.Analyte) string {
	switch a {
	case season.NitrateN:
		return "nitrate"
	case season.AmmoniumN:
		return "ammonium"
	case season.OrganicMatter:
		return "organic matter"
	case season.PH:
		return "pH"
	case season.BufferPH:
		return "buffer pH"
	case season.SulfateS:
		return "sulfate sulfur"
	case season.CEC:
		return "cation exchange capacity"
	case season.Acidity:
		return "buffer acidity"
	case season.SolubleSalts:
		return "soluble salts"
	case season.Carbonate:
		return "free lime"
	default:
		return string(a)
	}
}

// KindOf says what an analyte's value measures, and so how it is shown: a share, a bare number, or ppm. The
// unit of a bare number is season.Analyte.Unit.
func KindOf(a season.Analyte) unit.Kind {
	switch a.Unit() {
	case "share":
		return unit.KindShare
	case "ppm":
		return unit.KindConcentration
	default:
		return unit.KindRatio
	}
}
