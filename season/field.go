package season

import (
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Crop is what grows in a field and what it is for.
type Crop string

// The crops.
const (
	WheatGrain    Crop = "wheat-grain"     // winter wheat for grain, not grazed
	WheatGrazed   Crop = "wheat-grazed"    // dual purpose: grazed in winter, then grain
	WheatGrazeOut Crop = "wheat-graze-out" // grazed to the end, no grain
	Canola        Crop = "canola"          // winter canola for seed
)

// IsWheat says that the crop is winter wheat of any purpose.
func (c Crop) IsWheat() bool { return c == WheatGrain || c == WheatGrazed || c == WheatGrazeOut }

// IsGrazed says that cattle are on the field in winter.
func (c Crop) IsGrazed() bool { return c == WheatGrazed || c == WheatGrazeOut }

// YieldKind is the kind a yield of the crop is shown as.
func (c Crop) YieldKind() unit.Kind {
	if c == Canola {
		return unit.KindCanolaYield
	}
	return unit.KindWheatYield
}

// PriceKind is the kind a grain price of the crop is shown as.
func (c Crop) PriceKind() unit.Kind {
	if c == Canola {
		return unit.KindCanolaPrice
	}
	return unit.KindWheatPrice
}

// String names the crop in words.
func (c Crop) String() string {
	switch c {
	case WheatGrain:
		return "winter wheat for grain"
	case WheatGrazed:
		return "grazed winter wheat"
	case WheatGrazeOut:
		return "winter wheat grazed out"
	case Canola:
		return "winter canola"
	default:
		return string(c)
	}
}

// Tillage is how the ground was worked before planting.
type Tillage string

// The kinds of tillage. The empty Tillage is unknown.
const (
	NoTill  Tillage = "no-till"
	Reduced Tillage = "reduced"
	Tilled  Tillage = "tilled"
)

// Texture is the soil's texture group. The empty Texture is unknown.
type Texture string

// The texture groups.
const (
	Sand      Texture = "sand"
	SandyLoam Texture = "sandy-loam"
	Loam      Texture = "loam"
	SiltLoam  Texture = "silt-loam"
	ClayLoam  Texture = "clay-loam"
	Clay      Texture = "clay"
)

// Settings are the advisor's choices for a season.
type Settings struct {
	Name     string `json:"name"`
	District string `json:"district"`
	Advisor  string `json:"advisor"`
	// Invented marks a made-up season; every page says so.
	Invented bool `json:"invented,omitempty"`
	// HarvestYear is the year the crop is cut.
	HarvestYear int         `json:"harvestYear"`
	Units       unit.System `json:"units"`
	// LeadWheat and LeadCanola name the way of finding a rate that the decision follows where it can be
	// answered, in order of preference; the others stand beside it. Empty means the order Culm ships with.
	LeadWheat  []string `json:"leadWheat,omitempty"`
	LeadCanola []string `json:"leadCanola,omitempty"`
	// Calibration overrides the in-season wheat calibration, with a label saying where it was fitted.
	Calibration *Calibration `json:"calibration,omitempty"`
	// MaximumYield caps the in-season yield outlook for wheat; missing means the calibration's own.
	MaximumYield working.Fact[unit.Yield] `json:"maximumYield,omitzero"`
	// Books name the rulebooks whose guidance on lime and nutrients leads, in order of preference; the others
	// stand beside it. Empty means the order Culm ships with.
	Books []string `json:"books,omitempty"`
	// LimeScore is the effective share of the lime that can be had, as its laboratory found it.
	LimeScore working.Fact[unit.Fraction] `json:"limeScore,omitzero"`
	// SoftGround is the share of field capacity above which the top layer is too soft for a machine, and
	// SaturatedGround the share of its pores full of water from which it is saturated, as the advisor has found them
	// on the district's soils; missing means the limits Culm ships with (ground.Usual).
	SoftGround      working.Fact[unit.Fraction] `json:"softGround,omitzero"`
	SaturatedGround working.Fact[unit.Fraction] `json:"saturatedGround,omitzero"`
	// LocalRules is the user's own text on setbacks, dates and licences; it is printed with the cautions.
	LocalRules string `json:"localRules,omitempty"`
}

// Kind implements Body.
func (*Settings) Kind() Kind { return KindSettings }

// Subject implements Body: a season has one set of settings.
func (*Settings) Subject() string { return "season" }

// Calibration is an in-season wheat calibration of the form yield = a × exp(b × reading ÷ growing days),
// with the harvest response index c × index + d, in t/ha.
type Calibration struct {
	Label string  `json:"label"` // where and on what it was fitted
	A     float64 `json:"a"`
	B     float64 `json:"b"`
	C     float64 `json:"c"`
	D     float64 `json:"d"`
	// Efficiency is the share of applied nitrogen that reaches the grain.
	Efficiency unit.Fraction `json:"efficiency"`
}

// Producer is a person or farm that grows the crop.
type Producer struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Kind implements Body.
func (*Producer) Kind() Kind { return KindProducer }

// Subject implements Body.
func (p *Producer) Subject() string { return p.ID }

// Field is what is fixed about a field for the season.
type Field struct {
	ID       string `json:"id"` // unique in the season, fit for a file name
	Name     string `json:"name"`
	Producer string `json:"producer"` // id
	Crop     Crop   `json:"crop"`
	Station  string `json:"station"` // id of the weather station that stands for the field
	// Stations are ids of further stations whose weather counts with that of Station, by distance. Where none
	// is named, StationsWithin takes in every station that lies within this distance of Station; zero takes
	// in none. Where Station is empty, it also chooses that: the nearest to the boundary.
	Stations       []string    `json:"stations,omitempty"`
	StationsWithin unit.Length `json:"stationsWithin,omitempty"`
	// Planted is the zero Day when unknown.
	Planted calendar.Day `json:"planted,omitzero"`
	// ElongationSeen are days of earlier springs on which this field's crop was seen to begin to lengthen: first
	// hollow stem or the first node of wheat, bolting of canola.
	ElongationSeen []calendar.Day           `json:"elongationSeen,omitempty"`
	Tillage        Tillage                  `json:"tillage,omitempty"`
	Texture        Texture                  `json:"texture,omitempty"`
	PreviousCrop   string                   `json:"previousCrop,omitempty"` // wheat, soybean, corn, sorghum, fallow, canola, pea ...
	YieldGoal      working.Fact[unit.Yield] `json:"yieldGoal,omitzero"`
	// AreaGiven is the producer's acres; missing means the area inside the boundary.
	AreaGiven working.Fact[unit.Area] `json:"areaGiven,omitzero"`
	// Heads and HeadMass describe the herd of a grazed field, GrazingDays how long it stays, Gain the live
	// weight gained so far per area. All are missing where there are no cattle.
	Heads       working.Fact[unit.Ratio] `json:"heads,omitzero"`
	HeadMass    working.Fact[unit.Mass]  `json:"headMass,omitzero"`
	GrazingDays working.Fact[unit.Days]  `json:"grazingDays,omitzero"`
	// HerbicideDue says that a herbicide is to be sprayed at about the time of top-dressing, so that a liquid
	// put down by flat fans can share the pass.
	HerbicideDue bool   `json:"herbicideDue,omitempty"`
	Note         string `json:"note,omitempty"`
}

// Kind implements Body.
func (*Field) Kind() Kind { return KindField }

// Subject implements Body.
func (f *Field) Subject() string { return f.ID }

// Position is a place on the ground in degrees of WGS 84: longitude first, as in GeoJSON.
type Position struct {
	Lon float64 `json:"lon"`
	Lat float64 `json:"lat"`
}

// Boundary is the outline of a field: polygons, each an outer ring followed by its holes, every ring closed.
type Boundary struct {
	Field    string         `json:"field"`
	Polygons [][][]Position `json:"polygons"`
}

// Kind implements Body.
func (*Boundary) Kind() Kind { return KindBoundary }

// Subject implements Body.
func (b *Boundary) Subject() string { return b.Field }
