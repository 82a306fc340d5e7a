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
	// analytes are the laboratory's numbers that speak of it, the deciding one first; test is what books call that.
	analytes []season.Analyte
	test     rulebook.What
	// judgedBy is set where books may only judge the test.
	judgedBy rulebook.What
	carries  fertilizer.Nutrient // what products and removal are counted in; empty where no product is chosen for it
	window   Window
	// mobile nutrients are washed and used within a season, so an older test says little.
	mobile bool
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
	macro := func(a rulebook.Answer, name string, analyte season.Analyte, test rulebook.What, carries fertilizer.Nutrient, w Window) nutrient {
		return nutrient{answer: a, name: name, analytes: []season.Analyte{analyte}, test: test, carries: carries, window: w, mobile: w == Now}
	}
	trace := func(a rulebook.Answer, name string, analyte season.Analyte, test rulebook.What) nutrient {
		return nutrient{answer: a, name: name, analytes: []season.Analyte{analyte}, test: test, judgedBy: test, window: BeforePlanting}
	}
	return []nutrient{
		{
			answer: rulebook.Lime, name: "lime", test: rulebook.PH, window: BeforePlanting,
			analytes: []season.Analyte{season.PH, season.BufferPH, season.Acidity, season.Aluminium},
		},
		macro(rulebook.Phosphate, "phosphate", season.Phosphorus, rulebook.PhosphorusTest, fertilizer.Phosphate, BeforePlanting),
		macro(rulebook.Potash, "potash", season.Potassium, rulebook.PotassiumTest, fertilizer.Potash, BeforePlanting),
		macro(rulebook.Sulfur, "sulfur", season.SulfateS, rulebook.SulfateTest, fertilizer.SulfurS, Now),
		macro(rulebook.Chloride, "chloride", season.Chloride, rulebook.ChlorideTest, fertilizer.Chloride, Now),
		trace(rulebook.Zinc, "zinc", season.Zinc, rulebook.ZincTest),
		trace(rulebook.Manganese, "manganese", season.Manganese, rulebook.ManganeseTest),
		trace(rulebook.Copper, "copper", season.Copper, rulebook.CopperTest),
		trace(rulebook.Boron, "boron", season.Boron, rulebook.BoronTest),
		trace(rulebook.Iron, "iron", season.Iron, rulebook.IronTest),
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
