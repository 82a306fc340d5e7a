package lab

import (
	"regexp"
	"slices"
	"strings"

	"culm/season"
)

// What a heading says, as far as words tell. It is for suggestions only: reading goes by the mapping.

// words are the parts of a heading between spaces, brackets, underscores and commas, in small letters.
func words(heading string) []string {
	text := strings.ReplaceAll(strings.ToLower(heading), "(+)", "") // of cmol(+)/kg
	list := strings.FieldsFunc(text, func(r rune) bool {
		return strings.ContainsRune(" _()[]{},;\t\n|", r)
	})
	for i := range list {
		list[i] = strings.Trim(list[i], ":")
	}
	return slices.DeleteFunc(list, func(w string) bool { return w == "" || w == "/" })
}

// flat is a heading in small letters with single spaces for all that stands between words, "no3-n lb/ac".
func flat(heading string) string { return strings.Join(words(heading), " ") }

// analyteWords are patterns on flat headings, the more particular first.
var analyteWords = []struct {
	pattern *regexp.Regexp
	analyte season.Analyte
	as      string // where the heading tells the basis
}{
	{regexp.MustCompile(`\b(no3-n|no3n|n-no3|nitrate-n|nitrate n|nitrate nitrogen)\b`), season.NitrateN, "NO3-N"},
	{regexp.MustCompile(`\b(no3|nitrate)\b`), season.NitrateN, Undecided},
	{regexp.MustCompile(`\b(nh4-n|nh4n|n-nh4|ammonium-n|ammonium n|ammonium nitrogen)\b`), season.AmmoniumN, "NH4-N"},
	{regexp.MustCompile(`\b(nh4|ammonium)\b`), season.AmmoniumN, Undecided},
	{regexp.MustCompile(`\b(buffer ph|ph buffer|buffer|bph|b-ph|buffer-ph|sikora|smp)\b`), season.BufferPH, ""},
	{regexp.MustCompile(`\bph\b`), season.PH, ""},
	{regexp.MustCompile(`(^| )(om|o\.m\.|organic matter|humus)( |$)`), season.OrganicMatter, ""},
	{regexp.MustCompile(`\b(cec|cation exchange)\b`), season.CEC, ""},
	{regexp.MustCompile(`\b(p2o5|phosphate)\b`), season.Phosphorus, "P2O5"},
	{regexp.MustCompile(`(^|[ /-])(p|p1|phosphorus|olsen|bray)( |/|-icp|$)`), season.Phosphorus, "P"},
	{regexp.MustCompile(`\b(k2o|potash)\b`), season.Potassium, "K2O"},
	{regexp.MustCompile(`(^|[ /-])(k|potassium)( |/|$)`), season.Potassium, "K"},
	{regexp.MustCompile(`\b(so4-s|so4s|s-so4|sulfate-s|sulphate-s|sulfate s)\b`), season.SulfateS, "SO4-S"},
	{regexp.MustCompile(`\b(so4|sulfate|sulphate)\b`), season.SulfateS, Undecided},
	{regexp.MustCompile(`(^|[ /-])(s|sulfur|sulphur)( |/|$)`), season.SulfateS, "SO4-S"},
	{regexp.MustCompile(`(^|[ /-])(cl|chloride)( |/|$)`), season.Chloride, ""},
	{regexp.MustCompile(`(^|[ /-])(zn|zinc)( |/|$)`), season.Zinc, ""},
	{regexp.MustCompile(`(^|[ /-])(al|aluminium|aluminum)( |/|$)`), season.Aluminium, ""},
	{regexp.MustCompile(`\b(caco3|carbonate|free lime|excess lime)\b`), season.Carbonate, ""},
	{regexp.MustCompile(`(^|[ /-])(ca|calcium)( |/|$)`), season.Calcium, ""},
	{regexp.MustCompile(`(^|[ /-])(mg|magnesium)( |/|$)`), season.Magnesium, ""},
	{regexp.MustCompile(`(^|[ /-])(na|sodium)( |/|$)`), season.Sodium, ""},
	{regexp.MustCompile(`(^|[ /-])(cu|copper)( |/|$)`), season.Copper, ""},
	{regexp.MustCompile(`(^|[ /-])(b|boron)( |/|$)`), season.Boron, ""},
	{regexp.MustCompile(`(^|[ /-])(fe|iron)( |/|$)`), season.Iron, ""},
	{regexp.MustCompile(`(^|[ /-])(mn|manganese)( |/|$)`), season.Manganese, ""},
	{regexp.MustCompile(`\b(acidity|exchangeable acidity)\b`), season.Acidity, ""},
	{regexp.MustCompile(`(^| )(ec|soluble salts|salts|conductivity)( |$)`), season.SolubleSalts, ""},
}

// noResult is on headings about something else than what was measured: saturation of bases, ratings, advice.
var noResult = regexp.MustCompile(`\b(sat|saturation|base|bs|rating|index|recommend|recommendation|rec|ratio|level|comment|total)\b`)

// analyteOf guesses what a column measures.
func analyteOf(heading string) (a season.Analyte, as string) {
	text := flat(heading)
	// A unit is taken out first: the mg of mg/kg is no magnesium.
	for _, w := range words(heading) {
		if u, ok := findUnit(w); ok && u.dimension != bare {
			text = strings.Join(strings.Fields(strings.ReplaceAll(" "+text+" ", " "+w+" ", " ")), " ")
		}
	}
	if noResult.MatchString(text) {
		return "", ""
	}
	for _, w := range analyteWords {
		if w.pattern.MatchString(text) {
			if isShare := slices.Contains(words(heading), "%"); isShare && w.analyte.Unit() != "share" {
				return "", "" // a base as its share of the exchange capacity
			}
			return w.analyte, w.as
		}
	}
	return "", ""
}

// unitInHeading finds the unit in a heading; it is Undecided where there is none, or two.
func unitInHeading(heading string, a season.Analyte) string {
	if a.Unit() == "" {
		return "none"
	}
	found := ""
	for _, w := range words(heading) {
		u, ok := findUnit(w)
		if !ok || u.dimension == bare {
			continue
		}
		if found != "" && found != u.name {
			return Undecided
		}
		found = u.name
	}
	if found == "" {
		return Undecided
	}
	return found
}

// methodWords are patterns on flat headings.
var methodWords = []struct {
	pattern *regexp.Regexp
	method  string
}{
	{regexp.MustCompile(`(mehlich[- ]?3|\bm3\b|\bm-3\b|m3-).*icp|icp.*(mehlich[- ]?3|\bm3\b)`), season.Mehlich3ICP},
	{regexp.MustCompile(`(mehlich[- ]?3|\bm3\b|m3-).*color|color.*(mehlich[- ]?3|\bm3\b)`), season.Mehlich3Colorimetric},
	{regexp.MustCompile(`mehlich[- ]?3|\bm3\b|\bm-3\b|\bm3-`), season.Mehlich3},
	{regexp.MustCompile(`mehlich[- ]?1|\bm1\b`), "mehlich-1"},
	{regexp.MustCompile(`\bcal\b`), "cal"},
	{regexp.MustCompile(`\bdl\b`), "dl"},
	{regexp.MustCompile(`\bh3a\b`), "h3a"},
	{regexp.MustCompile(`\bresin\b`), "resin"},
	{regexp.MustCompile(`modified[- ]morgan`), "modified-morgan"},
	{regexp.MustCompile(`\bmorgan\b`), "morgan"},
	{regexp.MustCompile(`\bedta\b`), "edta"},
	{regexp.MustCompile(`bray[- ]?(p|p-)?2|\bp2\b`), "bray-2"},
	{regexp.MustCompile(`bray|\bp1\b`), season.Bray1},
	{regexp.MustCompile(`olsen|bicarb`), season.Olsen},
	{regexp.MustCompile(`ammonium acetate|nh4oac|nh4ac|\baa\b`), season.AmmoniumAcetate},
	{regexp.MustCompile(`dtpa`), season.DTPA},
	{regexp.MustCompile(`\bhcl\b`), "hcl"},
	{regexp.MustCompile(`hot water`), "hot-water"},
	{regexp.MustCompile(`sikora`), season.SikoraBuffer},
	{regexp.MustCompile(`\bsmp\b`), season.SMPBuffer},
	{regexp.MustCompile(`adams`), season.AdamsEvansBuffer},
	{regexp.MustCompile(`woodruff`), "woodruff"},
	{regexp.MustCompile(`mehlich`), season.MehlichBuffer},
	{regexp.MustCompile(`cacl2|calcium chloride`), season.CalciumChloride},
	{regexp.MustCompile(`\bkcl\b`), "kcl"},
	{regexp.MustCompile(`\b1:1\b`), season.WaterOneToOne},
	{regexp.MustCompile(`\b1:2[.,]5\b`), "water-1:2.5"},
	{regexp.MustCompile(`\b1:2\b`), "water-1:2"},
	{regexp.MustCompile(`\b1:5\b`), "water-1:5"},
	{regexp.MustCompile(`paste`), "saturated-paste"},
	{regexp.MustCompile(`\bloi\b|ignition`), "loss-on-ignition"},
	{regexp.MustCompile(`walkley`), "walkley-black"},
	{regexp.MustCompile(`calcium phosphate`), "calcium-phosphate"},
}

// methodInHeading finds the method in a heading, among those of the analyte; it is Undecided where there is
// none and one is needed.
func methodInHeading(heading string, a season.Analyte) string {
	text := strings.ReplaceAll(flat(heading), "soluble salts", "")
	for _, w := range methodWords {
		if w.pattern.MatchString(text) && slices.Contains(a.Methods(), w.method) {
			return w.method
		}
	}
	if a.NeedsMethod() {
		return Undecided
	}
	return ""
}

// part is what a column is for, apart from results.
type part int

const (
	noPart part = iota
	samplePart
	labNumberPart // the laboratory's own number of a sample
	fieldPart
	zonePart
	datePart
	labPart
	topPart
	bottomPart
	depthPart
)

var partWords = []struct {
	pattern *regexp.Regexp
	part    part
}{
	{regexp.MustCompile(`^(sample|sample id|sample no\.?|sample number|sample name|sampleid|your id|id|sample #)$`), samplePart},
	{regexp.MustCompile(`^(lab no\.?|lab number|lab id|lab #)$`), labNumberPart},
	{regexp.MustCompile(`^(field|field id|field name|field no\.?|paddock)$`), fieldPart},
	{regexp.MustCompile(`^(zone|management zone)$`), zonePart},
	{regexp.MustCompile(`^(date sampled|sample date|sampling date|sampled|date|sampled on|date taken)$`), datePart},
	{regexp.MustCompile(`^(lab|laboratory|lab name)$`), labPart},
}

func partOf(heading string) part {
	text := flat(heading)
	for _, w := range partWords {
		if w.pattern.MatchString(text) {
			return w.part
		}
	}
	return depthPartOf(heading)
}

// depthPartOf knows the end of a layer by its words, in any order: "Beg Depth", "Depth (in) / from". Words that say
// other things too, such as begin and end, need depth beside them.
func depthPartOf(heading string) part {
	list := words(strings.ReplaceAll(strings.ToLower(heading), "depth", " depth "))
	isDepth := slices.Contains(list, "depth") || slices.Contains(list, "layer")
	found := noPart
	for _, w := range list {
		switch w {
		case "depth", "layer", "sample", "sampling":
		case "top", "from", "upper":
			found = topPart
		case "bottom", "to", "lower":
			found = bottomPart
		case "start", "starting", "begin", "beginning", "beg", "min":
			if found = topPart; !isDepth {
				return noPart
			}
		case "end", "ending", "max":
			if found = bottomPart; !isDepth {
				return noPart
			}
		default:
			if lengthName(w) == "" {
				return noPart
			}
		}
	}
	if found == noPart && isDepth {
		return depthPart
	}
	return found
}

// lengthInHeading is the unit of depth in a heading, or Undecided.
func lengthInHeading(heading string) string {
	for _, w := range words(heading) {
		if name := lengthName(w); name != "" {
			return name
		}
	}
	return Undecided
}
