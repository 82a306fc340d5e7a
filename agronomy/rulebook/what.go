package rulebook

import (
	"strings"

	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/season"
)

// What names an input as a book's file does, or what a term of a sum stands for.
type What string

// The vocabulary: what a notebook can fill.
const (
	YieldGoal      What = "yieldGoal"
	Nitrate        What = "nitrate"     // NO3-N in the soil, mass per area
	NitrateMean    What = "nitrateMean" // its mean concentration over the depth
	Ammonium       What = "ammonium"    // NH4-N
	OrganicMatter  What = "organicMatter"
	PreviousCrop   What = "previousCrop" // a word
	Tillage        What = "tillage"      // a word, as season.Tillage
	Stubble        What = "stubble"
	LiveGain       What = "gain"
	Applied        What = "applied"       // nitrogen already spread, as far as the other inputs do not show it
	AppliedInFall  What = "appliedInFall" // the part of it spread in fall
	GrainPrice     What = "grainPrice"
	NitrogenPrice  What = "nitrogenPrice"
	Response       What = "response" // response index
	Reading        What = "reading"  // sensor index beside the reference
	GrowingDays    What = "growingDays"
	MaximumYield   What = "maximumYield"
	Efficiency     What = "efficiency"
	FreshMass      What = "freshMass"
	LastRate       What = "lastRate" // of the ramp's last strip that still looked better
	PH             What = "ph"
	BufferPH       What = "bufferPH"
	Acidity        What = "acidity" // Mehlich buffer acidity
	PhosphorusTest What = "phosphorus"
	PotassiumTest  What = "potassium"
	SulfateTest    What = "sulfate"
	ChlorideTest   What = "chloride"
	ZincTest       What = "zinc"
	CopperTest     What = "copper"
	BoronTest      What = "boron"
	IronTest       What = "iron"
	ManganeseTest  What = "manganese"
	Aluminium      What = "aluminium"
	CEC            What = "cec"
	Texture        What = "texture" // a word
	LimeDepth      What = "limeDepth"
	TargetPH       What = "targetPH"
	PhosphatePrice What = "phosphatePrice"
	PotashPrice    What = "potashPrice"
	Heads          What = "heads"
	LiveMass       What = "liveMass"
	GrazingDays    What = "grazingDays"
	Area           What = "area"

	// Only for terms: the constant of a form, and what crop and soil have shown they supply of themselves.
	TheConstant What = "constant"
	CropAndSoil What = "cropAndSoil"
)

// entry is what the vocabulary knows of an input.
type entry struct {
	what    What
	label   string
	term    string         // label of a term that stands for it
	analyte season.Analyte // that a laboratory measures
	onlyFor bool           // for terms only
}

func vocabulary() []entry {
	return []entry{
		{what: YieldGoal, label: "yield goal", term: "nitrogen for the yield"},
		{what: Nitrate, label: "nitrate in the soil", term: "soil nitrate", analyte: season.NitrateN},
		{what: NitrateMean, label: "mean nitrate in the soil", term: "mean soil nitrate", analyte: season.NitrateN},
		{what: Ammonium, label: "ammonium in the soil", term: "soil ammonium", analyte: season.AmmoniumN},
		{what: OrganicMatter, label: "organic matter", analyte: season.OrganicMatter},
		{what: PreviousCrop, label: "previous crop"},
		{what: Tillage, label: "tillage"},
		{what: Stubble, label: "stubble"},
		{what: LiveGain, label: "live weight gained", term: "grazing"},
		{what: Applied, label: "nitrogen already applied"},
		{what: AppliedInFall, label: "nitrogen applied in fall"},
		{what: GrainPrice, label: "grain price"},
		{what: NitrogenPrice, label: "nitrogen price"},
		{what: Response, label: "response index"},
		{what: Reading, label: "reading beside the reference"},
		{what: GrowingDays, label: "growing days"},
		{what: MaximumYield, label: "highest yield counted on"},
		{what: Efficiency, label: "share of applied nitrogen that arrives"},
		{what: FreshMass, label: "fresh mass of the crop"},
		{what: LastRate, label: "highest rate that still looked better"},
		{what: PH, label: "soil pH", analyte: season.PH},
		{what: BufferPH, label: "buffer pH", analyte: season.BufferPH},
		{what: Acidity, label: "soil acidity", analyte: season.Acidity},
		{what: PhosphorusTest, label: "phosphorus in the soil", term: "soil phosphorus", analyte: season.Phosphorus},
		{what: PotassiumTest, label: "potassium in the soil", term: "soil potassium", analyte: season.Potassium},
		{what: SulfateTest, label: "sulfate in the soil", term: "soil sulfate", analyte: season.SulfateS},
		{what: ChlorideTest, label: "chloride in the soil", term: "soil chloride", analyte: season.Chloride},
		{what: ZincTest, label: "zinc in the soil", term: "soil zinc", analyte: season.Zinc},
		{what: CopperTest, label: "copper in the soil", term: "soil copper", analyte: season.Copper},
		{what: BoronTest, label: "boron in the soil", term: "soil boron", analyte: season.Boron},
		{what: IronTest, label: "iron in the soil", term: "soil iron", analyte: season.Iron},
		{what: ManganeseTest, label: "manganese in the soil", term: "soil manganese", analyte: season.Manganese},
		{what: Aluminium, label: "aluminium in the soil", term: "soil aluminium", analyte: season.Aluminium},
		{what: CEC, label: "cation exchange capacity", analyte: season.CEC},
		{what: Texture, label: "soil texture"},
		{what: LimeDepth, label: "depth limed"},
		{what: TargetPH, label: "target pH"},
		{what: PhosphatePrice, label: "phosphate price"},
		{what: PotashPrice, label: "potash price"},
		{what: Heads, label: "cattle"},
		{what: LiveMass, label: "mean live weight"},
		{what: GrazingDays, label: "days of grazing"},
		{what: Area, label: "area"},
		{what: TheConstant, label: "the constant of the form", onlyFor: true},
		{what: CropAndSoil, label: "what crop and soil supply of themselves", onlyFor: true},
	}
}

func lookUp(w What) (entry, bool) {
	for _, e := range vocabulary() {
		if e.what == w {
			return e, true
		}
	}
	return entry{}, false
}

// isInput says that a notebook can hold it.
func isInput(w What) bool {
	e, known := lookUp(w)
	return known && !e.onlyFor
}

// isTerm says that a term can stand for it.
func isTerm(w What) bool {
	_, known := lookUp(w)
	return known
}

func inputWords() []string {
	var all []string
	for _, e := range vocabulary() {
		if !e.onlyFor {
			all = append(all, string(e.what))
		}
	}
	return all
}

func termWords() []string { return append(inputWords(), string(TheConstant), string(CropAndSoil)) }

// inputLabel is an input in words.
func inputLabel(w What) string {
	if e, known := lookUp(w); known {
		return e.label
	}
	return spaced(string(w))
}

// shortLabel is an input in words inside a formula.
func shortLabel(w What) string {
	if e, known := lookUp(w); known && e.analyte != "" && e.term != "" {
		return e.term
	}
	return inputLabel(w)
}

// termLabel is what a term stands for in words.
func termLabel(w What) string {
	if e, known := lookUp(w); known && e.term != "" {
		return e.term
	}
	return inputLabel(w)
}

// analyteOf is what a laboratory measures for an input.
func analyteOf(w What) (season.Analyte, bool) {
	e, known := lookUp(w)
	return e.analyte, known && e.analyte != ""
}

// where says where in the soil something lies: " in the soil, 0–24 in".
func (s *Soil) where() string {
	switch {
	case s == nil || s.Depth == "":
		return ""
	case s.AsSampled:
		return ", all depths sampled"
	case s.Top == 0:
		return ", 0–" + s.Depth
	default:
		return ", " + s.Depth
	}
}

// reach is the depth alone: "0–24 in".
func (s *Soil) reach() string { return strings.TrimPrefix(s.where(), ", ") }

// neededText is what a rule lacks, after "needs".
func neededText(in *Input) string {
	switch in.Name {
	case YieldGoal:
		return "a yield goal, and none is set for the field"
	case Nitrate, NitrateMean:
		return "a nitrate test of the soil, to " + in.Soil.Depth
	case Ammonium:
		return "an ammonium test of the soil, to " + in.Soil.Depth
	case OrganicMatter:
		return "the soil's organic matter"
	case LastRate:
		return "a ramp of strips, and none was looked at"
	case Response:
		return "a response index from a sensor on a reference strip and beside it"
	case Reading:
		return "a sensor reading of the crop beside the reference"
	case GrowingDays:
		return "the count of growing days from planting to the reading"
	case FreshMass:
		return "the fresh mass of the crop from a cut square"
	}
	switch {
	case in.Soil != nil:
		return "a soil test: " + in.Label
	case in.Asked && in.Sort == YesNo:
		return "a yes or no by hand to \"" + in.Label + "\""
	case in.Asked && in.Sort == Word:
		return "a word by hand for \"" + in.Label + "\""
	case in.Asked:
		return "a number by hand for \"" + in.Label + "\""
	}
	return "the " + in.Label
}

// quantityText writes a number with its unit. A pH is a number alone: "the target pH is 5.5".
func quantityText(v float64, u quantity.Unit) string { return withUnit(short(v), u) }

func withUnit(number string, u quantity.Unit) string {
	if u.IsPlain() || u.String() == "pH" {
		return number
	}
	return number + " " + u.String()
}

// kindOf is the kind in which an input without a unit is best shown; empty where its unit says.
func kindOf(w What) unit.Kind {
	switch w {
	case Response, PH, BufferPH, TargetPH, Heads:
		return unit.KindRatio
	case Reading:
		return unit.KindIndex
	case Efficiency:
		return unit.KindFraction
	default:
		return ""
	}
}
