package ground

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/season"
)

// Soil is how a texture group holds water. Fractions are of the soil's volume.
type Soil struct {
	Texture       season.Texture `json:"texture"`
	FieldCapacity unit.Fraction  `json:"fieldCapacity"`
	WiltingPoint  unit.Fraction  `json:"wiltingPoint"`
	Pores         unit.Fraction  `json:"pores"` // full of water when saturated
	// ReadilyEvaporable is what a wet surface loses as fast as the air takes it (REW).
	ReadilyEvaporable unit.Water `json:"readilyEvaporable"`
	// Drains is the share of the water above field capacity that leaves the top layer in a day. At 0.78, a
	// twentieth is left after the 48 hours that field capacity is defined by [cite.FieldCapacity]; clay is slower,
	// from memory.
	Drains unit.Fraction `json:"drains"`
	// Group is the hydrologic soil group, A to D [cite.TR55Soils].
	Group  string      `json:"group"`
	Source cite.Key    `json:"source"`
	Status cite.Status `json:"status"`
}

// CropWater is how a crop draws water, after FAO-56 Tables 11, 12, 17 and 22.
type CropWater struct {
	Crop string `json:"crop"` // "wheat" or "canola"
	// SingleInitial to SingleEnd are single crop coefficients; SingleFrozen is that of the first stage on frozen
	// ground.
	SingleInitial float64 `json:"singleInitial"`
	SingleFrozen  float64 `json:"singleFrozen"`
	SingleMiddle  float64 `json:"singleMiddle"`
	SingleEnd     float64 `json:"singleEnd"`
	// BasalInitial to BasalEnd are those of the crop alone, without evaporation from bare ground.
	BasalInitial float64 `json:"basalInitial"`
	BasalMiddle  float64 `json:"basalMiddle"`
	BasalEnd     float64 `json:"basalEnd"`
	// Depletion is the share of available water that can be drawn without stress at 5 mm a day.
	Depletion float64 `json:"depletion"`
	// Height is that of the grown crop; RootsLeast and RootsMost bound how deep it roots, m.
	Height     unit.Length `json:"height"`
	RootsLeast unit.Length `json:"rootsLeast"`
	RootsMost  unit.Length `json:"rootsMost"`
	// The days of the four stages from planting, of winter wheat planted in October in Idaho.
	InitialDays     int `json:"initialDays"`
	DevelopmentDays int `json:"developmentDays"`
	MiddleDays      int `json:"middleDays"`
	LateDays        int `json:"lateDays"`
	// StagesFrom says whose stages these are when they are not the crop's own.
	StagesFrom string      `json:"stagesFrom,omitempty"`
	Source     cite.Key    `json:"source"`
	Status     cite.Status `json:"status"`
}

//go:embed soils.json
var shippedSoils string

//go:embed crops.json
var shippedCrops string

// Soils are the texture groups that come with the program.
func Soils() []Soil { return mustParse(ParseSoils, shippedSoils) }

// Crops are the crops that come with the program.
func Crops() []CropWater { return mustParse(ParseCrops, shippedCrops) }

func mustParse[T any](parse func(string) ([]T, error), text string) []T {
	list, err := parse(text)
	if err != nil {
		panic("ground: shipped data: " + err.Error()) // cannot happen: a test parses it
	}
	return list
}

// ParseSoils reads a JSON list of soils and refuses one that could not hold water so.
func ParseSoils(text string) ([]Soil, error) { return parse(text, Soil.check) }

// ParseCrops reads a JSON list of crops and refuses coefficients that no crop has.
func ParseCrops(text string) ([]CropWater, error) { return parse(text, CropWater.check) }

func parse[T any](text string, check func(T) error) ([]T, error) {
	var list []T
	decoder := json.NewDecoder(strings.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&list); err != nil {
		return nil, fmt.Errorf("ground data: %w", err)
	}
	for i, one := range list {
		if err := check(one); err != nil {
			return nil, fmt.Errorf("ground data, entry %d: %w", i+1, err)
		}
	}
	return list, nil
}

func (s Soil) check() error {
	switch {
	case !(0 < s.WiltingPoint && s.WiltingPoint < s.FieldCapacity && s.FieldCapacity < s.Pores && s.Pores < 1):
		return fmt.Errorf("soil %q: wilting point %v, field capacity %v, pores %v; expected each above the one before, between 0 and 1", s.Texture, s.WiltingPoint, s.FieldCapacity, s.Pores)
	case !(0 < s.ReadilyEvaporable && s.ReadilyEvaporable < s.TotalEvaporable()):
		return fmt.Errorf("soil %q: %v mm evaporate readily; expected above 0 and less than the total of %.1f mm", s.Texture, s.ReadilyEvaporable, s.TotalEvaporable())
	case !(0 < s.Drains && s.Drains <= 1):
		return fmt.Errorf("soil %q: drains %v a day; expected above 0 and at most 1", s.Texture, s.Drains)
	case len(s.Group) != 1 || !strings.Contains("ABCD", s.Group):
		return fmt.Errorf("soil %q: hydrologic group is %q; expected A, B, C or D", s.Texture, s.Group)
	case s.Source == "" || s.Status == "":
		return fmt.Errorf("soil %q: source and status are missing", s.Texture)
	}
	return nil
}

func (c CropWater) check() error {
	switch {
	case c.Crop != "wheat" && c.Crop != "canola":
		return fmt.Errorf("crop is %q; expected wheat or canola", c.Crop)
	case !(0 < c.BasalInitial && c.BasalInitial < c.BasalMiddle && c.BasalMiddle < 1.5 && 0 < c.BasalEnd && c.BasalEnd <= c.BasalMiddle):
		return fmt.Errorf("crop %s: basal coefficients %v, %v, %v; expected the middle one highest, below 1.5", c.Crop, c.BasalInitial, c.BasalMiddle, c.BasalEnd)
	case !(0.1 <= c.Depletion && c.Depletion <= 0.8):
		return fmt.Errorf("crop %s: depletion is %v; expected 0.1 to 0.8", c.Crop, c.Depletion)
	case c.InitialDays < 1 || c.DevelopmentDays < 1 || c.MiddleDays < 1 || c.LateDays < 1:
		return fmt.Errorf("crop %s: stages of %d, %d, %d and %d days; expected each at least 1", c.Crop, c.InitialDays, c.DevelopmentDays, c.MiddleDays, c.LateDays)
	case !(0 < c.RootsLeast && c.RootsLeast <= c.RootsMost) || !(c.Height > 0):
		return fmt.Errorf("crop %s: height and roots; expected above 0, the least no deeper than the most", c.Crop)
	case c.Source == "" || c.Status == "":
		return fmt.Errorf("crop %s: source and status are missing", c.Crop)
	}
	return nil
}

// SoilOf gives the soil of a texture; loam, and true, where the texture is not known.
func SoilOf(texture season.Texture) (soil Soil, assumed bool) {
	soils := Soils()
	of := func(t season.Texture) int {
		return slices.IndexFunc(soils, func(s Soil) bool { return s.Texture == t })
	}
	if i := of(texture); i >= 0 {
		return soils[i], false
	}
	return soils[of(season.Loam)], true
}

// CropOf gives the water figures of a crop; those of wheat where there are no others.
func CropOf(crop season.Crop) CropWater {
	crops := Crops()
	name := "wheat"
	if crop == season.Canola {
		name = "canola"
	}
	return crops[slices.IndexFunc(crops, func(c CropWater) bool { return c.Crop == name })]
}

// TopLayer is how deep the layer reaches that dries by evaporation and that carries a wheel: 10 cm, the deepest
// that FAO-56 allows for the first and what Mueller and others found to govern the second [cite.Mueller2011].
const TopLayer = 0.10 * unit.Metre

// TotalEvaporable is the water that the top layer can lose by evaporation (TEW, FAO-56 Eq. 73), mm.
func (s Soil) TotalEvaporable() unit.Water {
	return totalEvaporable(s.FieldCapacity, s.WiltingPoint, TopLayer)
}

func totalEvaporable(fieldCapacity, wiltingPoint unit.Fraction, depth unit.Length) unit.Water {
	return unit.Water(1000 * float64(fieldCapacity-0.5*wiltingPoint) * float64(depth))
}

// Available is the water that roots of a depth can draw (TAW, FAO-56 Eq. 82), mm.
func (s Soil) Available(roots unit.Length) unit.Water {
	return unit.Water(1000 * float64(s.FieldCapacity-s.WiltingPoint) * float64(roots))
}

// aboveCapacity is the most water that the top layer holds above field capacity, mm.
func (s Soil) aboveCapacity() unit.Water {
	return unit.Water(1000 * float64(s.Pores-s.FieldCapacity) * float64(TopLayer))
}

// SmallGrain is the curve number of a small grain on contoured ground in good condition, by hydrologic soil group
// [cite.SCS1985].
func (s Soil) SmallGrain() CurveNumber {
	return map[string]CurveNumber{"A": 61, "B": 73, "C": 81, "D": 84}[s.Group]
}

// Basal is the crop coefficient without evaporation on a day (FAO-56 Fig. 37): level in the first stage, rising in
// the second, level in the third, falling in the last.
func (c CropWater) Basal(day, planted calendar.Day) float64 {
	rise, level := c.InitialDays, c.InitialDays+c.DevelopmentDays
	fall, end := level+c.MiddleDays, level+c.MiddleDays+c.LateDays
	switch since := day.Sub(planted); {
	case since <= rise:
		return c.BasalInitial
	case since <= level:
		return between(c.BasalInitial, c.BasalMiddle, float64(since-rise)/float64(c.DevelopmentDays))
	case since <= fall:
		return c.BasalMiddle
	case since <= end:
		return between(c.BasalMiddle, c.BasalEnd, float64(since-fall)/float64(c.LateDays))
	default:
		return c.BasalEnd
	}
}

func between(a, b, share float64) float64 { return a + share*(b-a) }
