package soil

import (
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/season"
)

// Extractants, as results name them.
const (
	Bray1           = season.Bray1
	Mehlich3        = season.Mehlich3
	Olsen           = season.Olsen
	AmmoniumAcetate = season.AmmoniumAcetate
)

// Critical is the level of a soil test at which a crop begins to be limited.
type Critical struct {
	Analyte season.Analyte
	// Level is in the unit of the analyte. A value below it limits the crop; where Harmful is set, one above.
	Level   float64
	Harmful bool
	// Methods are the extractants the level holds for; none where the analyte's name says how it is measured.
	Methods []string
	// Bottom is the depth the sample must reach; 0 where a sample of the plough layer will do.
	Bottom unit.Length
	Source cite.Key
	Status cite.Status
	// Note is the scope of the level, in a sentence.
	Note string
}

// Short says that a value is on the wrong side of the level.
func (c Critical) Short(value float64) bool {
	if c.Harmful {
		return value > c.Level
	}
	return value < c.Level
}

// side names the wrong side.
func (c Critical) side() string {
	if c.Harmful {
		return "above"
	}
	return "below"
}

// chlorideCritical is Fixen's 38 lb/ac in 0 to 24 in, found by the method of Cate and Nelson, as ppm over
// that depth: 38 ÷ (0.3 × 24).
const chlorideCritical = 38 / (0.3 * 24)

// levels is the table of critical levels: wheat's, then what differs for canola.
func levels(crop season.Crop) []Critical {
	all := []Critical{
		{
			Analyte: season.Phosphorus, Level: 20, Methods: []string{Mehlich3, Bray1},
			Source: cite.WheatPCritical, Status: cite.Confirmed,
			Note: "20 ppm Mehlich-3 or Bray phosphorus, for wheat in Kansas.",
		},
		{
			Analyte: season.Potassium, Level: 130, Methods: []string{AmmoniumAcetate},
			Source: cite.CornSoyKCritical, Status: cite.Confirmed,
			Note: "130 ppm exchangeable potassium, found on ground in corn and soybean.",
		},
		{
			Analyte: season.Potassium, Level: 130 * mehlichPerAcetate, Methods: []string{Mehlich3},
			Source: cite.OhioANR75, Status: cite.Derived,
			Note: "130 ppm exchangeable potassium, found on ground in corn and soybean, times 1.14 for Mehlich-3, a mean of soils of Ohio and Indiana.",
		},
		{
			Analyte: season.Zinc, Level: 1.0, Methods: []string{Mehlich3},
			Source: cite.RutgersCritical, Status: cite.Confirmed,
			Note: "1.0 ppm Mehlich-3 zinc, for crops in general; wheat seldom answers to zinc.",
		},
		{
			Analyte: season.Copper, Level: 0.5, Methods: []string{Mehlich3},
			Source: cite.RutgersCritical, Status: cite.Confirmed, Note: "0.5 ppm Mehlich-3 copper, for crops in general.",
		},
		{
			Analyte: season.Boron, Level: 0.5, Methods: []string{Mehlich3},
			Source: cite.RutgersCritical, Status: cite.Confirmed, Note: "0.5 ppm Mehlich-3 boron, for crops in general.",
		},
		{
			Analyte: season.Iron, Level: 50, Methods: []string{Mehlich3},
			Source: cite.RutgersCritical, Status: cite.Confirmed, Note: "50 ppm Mehlich-3 iron, for crops in general.",
		},
	}
	if crop == season.Canola {
		all[0].Source, all[0].Status = cite.WashingtonFS045E, cite.Derived
		all[0].Note = "Wheat's 20 ppm Mehlich-3 or Bray phosphorus; the needs of winter canola are held to be similar to wheat's."
		return append(all, Critical{
			Analyte: season.PH, Level: 5.5, Source: cite.CanolaPH, Status: cite.Confirmed,
			Note: "Canola does well from pH 5.5 to 8.5. Liming to 6.0 or more is advised from memory, unconfirmed.",
		})
	}
	return append(all,
		Critical{
			Analyte: season.PH, Level: 5.5, Source: cite.WheatPH, Status: cite.Confirmed,
			Note: "Wheat yields fall below pH 5.5 where aluminium is above 25 ppm too.",
		},
		Critical{
			Analyte: season.Aluminium, Level: 25, Harmful: true, Source: cite.WheatPH, Status: cite.Confirmed,
			Note: "Wheat yields fall above 25 ppm KCl-extractable aluminium where pH is below 5.5 too.",
		},
		Critical{
			Analyte: season.Chloride, Level: chlorideCritical, Bottom: ProfileDepth, Source: cite.ChlorideFixen, Status: cite.Derived,
			Note: "38 lb/ac in 0 to 24 in, in South Dakota: 5.3 ppm over that depth. Up to 30 lb/ac is low, from 60 nothing answers.",
		},
	)
}

// CriticalLevel finds the level that a test of an analyte by a method, on a sample down to a depth, can be
// held against for a crop. Where none can, whyNot says why in words; it is empty otherwise.
//
// A test by another extractant is never held against a level: the numbers of two extractants differ by soil.
// Potassium by Mehlich-3 has a level of its own, converted openly; see its Note.
func CriticalLevel(crop season.Crop, a season.Analyte, method string, bottom unit.Length) (c Critical, whyNot string) {
	var known []string
	for _, c := range levels(crop) {
		switch {
		case c.Analyte != a:
		case len(c.Methods) > 0 && !c.holdsFor(method):
			known = append(known, c.Methods...)
		case len(c.Methods) == 0 && !plain(a, method):
			known = append(known, "water")
		case c.Bottom > 0 && bottom < c.Bottom-rounding:
			return Critical{}, fmt.Sprintf("the critical level is for %s, not for %s", Depth(0, c.Bottom), Depth(0, bottom))
		default:
			return c, ""
		}
	}
	switch {
	case len(known) > 0 && (Method(method) == "" || Method(method) == season.UnknownMethod):
		return Critical{}, "the laboratory's method is not known, and the critical level holds for " + strings.Join(known, " and ") + " only"
	case len(known) > 0:
		return Critical{}, fmt.Sprintf("measured by %s, and the critical level holds for %s only", Method(method), strings.Join(known, " and "))
	}
	return Critical{}, noLevel(a)
}

// holdsFor says that the level was found with a method. Plasma or color matters for phosphorus only, where the
// levels come from the years of color; of metals both count the same.
func (c Critical) holdsFor(method string) bool {
	if c.Analyte == season.Phosphorus && Method(method) == season.Mehlich3ICP {
		return false
	}
	return slices.Contains(c.Methods, season.Extractant(method))
}

// plain says that a method is the one an analyte's name implies: pH in water, aluminium by KCl.
func plain(a season.Analyte, method string) bool {
	m := Method(method)
	switch a {
	case season.PH:
		return m == "" || strings.Contains(m, "water") || m == "1:1"
	case season.Aluminium:
		return m == "" || strings.Contains(m, "kcl")
	default:
		return true
	}
}

// noLevel says why an analyte has no critical level here.
func noLevel(a season.Analyte) string {
	switch a {
	case season.NitrateN, season.AmmoniumN:
		return "it moves and turns over within weeks, so it has no critical level: ask the crop"
	case season.SulfateS:
		return "soil tests of sulfate are unreliable: go by texture, organic matter and history"
	case season.OrganicMatter:
		return "it has no critical level, but feeds nitrogen and sulfur"
	case season.Manganese:
		return "what manganese a crop finds hangs on pH as well: a rulebook weighs the two together"
	case season.CEC, season.Acidity, season.BufferPH, season.Carbonate:
		return "it has no critical level: it only sets rates"
	default:
		return "no critical level is known for this crop"
	}
}

// Method brings the name of a method to the form results use: "Mehlich 3" is mehlich-3.
func Method(name string) string { return season.MethodName(name) }
