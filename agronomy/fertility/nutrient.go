package fertility

import (
	"culm/agronomy/fertilizer"
	"culm/agronomy/rulebook"
	"culm/season"
)

// nutrient is a chapter of the plan.
type nutrient struct {
	answer rulebook.Answer
	name   string
	// analytes are the laboratory's numbers that speak of it, the deciding one first.
	analytes []season.Analyte
	carries  fertilizer.Nutrient // empty where no product is chosen for it
	removal  string              // rule of a removal book; empty where harvest carries off little
	window   Window
}

// Window is when a nutrient can still help.
type Window string

// The windows (common practice, no source, but for sulfur: a top-dress of sulfate before Feekes 5 in wheat and
// before flowering in canola is published).
const (
	// Now: with the top-dress, on the standing crop.
	Now Window = "with the top-dress"
	// BeforePlanting: worked or placed in before the next crop is planted.
	BeforePlanting Window = "before the next planting"
)

// nutrients lists the chapters in the order in which a report names them.
func nutrients() []nutrient {
	return []nutrient{
		{answer: rulebook.Lime, name: "lime", analytes: []season.Analyte{season.PH, season.BufferPH, season.Acidity, season.Aluminium}, window: BeforePlanting},
		{answer: rulebook.Phosphate, name: "phosphate", analytes: []season.Analyte{season.Phosphorus}, carries: fertilizer.Phosphate, removal: "phosphate", window: BeforePlanting},
		{answer: rulebook.Potash, name: "potash", analytes: []season.Analyte{season.Potassium}, carries: fertilizer.Potash, removal: "potash", window: BeforePlanting},
		{answer: rulebook.Sulfur, name: "sulfur", analytes: []season.Analyte{season.SulfateS}, carries: fertilizer.SulfurS, removal: "sulfur", window: Now},
		{answer: rulebook.Chloride, name: "chloride", analytes: []season.Analyte{season.Chloride}, carries: fertilizer.Chloride, window: Now},
		{answer: rulebook.Zinc, name: "zinc", analytes: []season.Analyte{season.Zinc}, window: BeforePlanting},
		{answer: rulebook.Manganese, name: "manganese", analytes: []season.Analyte{season.Manganese}, window: BeforePlanting},
		{answer: rulebook.Copper, name: "copper", analytes: []season.Analyte{season.Copper}, window: BeforePlanting},
		{answer: rulebook.Boron, name: "boron", analytes: []season.Analyte{season.Boron}, window: BeforePlanting},
		{answer: rulebook.Iron, name: "iron", analytes: []season.Analyte{season.Iron}, window: BeforePlanting},
	}
}

// notes are what the trade adds to the numbers of a nutrient for a crop.
func (n nutrient) notes(crop season.Crop) []string {
	canola := crop == season.Canola
	switch n.answer {
	case rulebook.Lime:
		if canola {
			return []string{"Canola suffers from acid soil before wheat does: it does well from pH 5.5 to 8.5, and liming comes before it in the rotation."}
		}
		return []string{"Lime acts slowly and only as deep as it is worked in: spread it well ahead of planting."}
	case rulebook.Phosphate:
		if canola {
			return []string{"Canola is fastidious about phosphate near the seed: no more than 20 lb P2O5 an acre (22 kg/ha) with the seed in the row."}
		}
		return []string{"Phosphate hardly moves in soil: it helps the next crop when placed at planting, and this one little."}
	case rulebook.Sulfur:
		if canola {
			return []string{"Sulfate rescues canola up to flowering; elemental sulfur is too slow. Sulfur tests are unreliable: texture, organic matter and history count too."}
		}
		return []string{"Pale young leaves speak of sulfur, pale old leaves of nitrogen; sulfate is top-dressed before Feekes 5."}
	case rulebook.Boron:
		if canola {
			return []string{"Trials of boron on canola show no consistent benefit, and too much of it is poison to the crop."}
		}
		return []string{"Too much boron is poison to the crop."}
	default:
		return nil
	}
}
