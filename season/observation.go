package season

import (
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Reference is what a field's crop was compared with.
type Reference string

// The references, from the strongest evidence to the weakest.
const (
	StripReference Reference = "strip" // a strip that got extra nitrogen in the fall
	DungReference  Reference = "dung"  // dung spots in a grazed field
	UrineReference Reference = "urine" // urine spots in a grazed field
)

// Means is how a reading was taken.
type Means string

// The means.
const (
	Sensor Means = "sensor" // greenness index such as NDVI, 0 to 1
	Eye    Means = "eye"    // visual score of greenness, 0 to 10
)

// Place is where a reading was taken.
type Place string

// The places.
const (
	OnReference Place = "reference" // on the strip or spot
	Beside      Place = "beside"    // on the crop beside it
)

// Readings are the readings one observer took on one reference on one day.
type Readings struct {
	Field      string       `json:"field"`
	Strip      string       `json:"strip"` // names the strip or the group of spots: "A"
	Day        calendar.Day `json:"day"`
	Observer   string       `json:"observer"`
	Instrument string       `json:"instrument,omitempty"`
	Reference  Reference    `json:"reference"`
	Means      Means        `json:"means"`
	Readings   []Reading    `json:"readings"`
}

// Reading is one number at one place.
type Reading struct {
	// Pair joins a reading on the reference with one beside it: readings of the same pair number belong
	// together. Zero means not paired; a sensor log is paired by Along instead.
	Pair int `json:"pair,omitempty"`
	// Along is the distance along the strip; HasAlong says that it is known.
	Along    unit.Length `json:"along,omitempty"`
	HasAlong bool        `json:"hasAlong,omitempty"`
	Place    Place       `json:"place"`
	Value    float64     `json:"value"` // index 0 to 1, or score 0 to 10
}

// Kind implements Body.
func (*Readings) Kind() Kind { return KindReadings }

// Subject implements Body.
func (r *Readings) Subject() string {
	return strings.Join([]string{r.Field, r.Strip, r.Day.String(), string(r.Means), string(r.Reference), r.Observer}, "/")
}

// Ramp is a row of strips of stepped nitrogen and how they look.
type Ramp struct {
	Field    string       `json:"field"`
	Day      calendar.Day `json:"day"`
	Observer string       `json:"observer"`
	Steps    []RampStep   `json:"steps"`
}

// RampStep is one strip of a ramp.
type RampStep struct {
	Rate unit.Rate `json:"rate"` // preplant N on the strip
	// Better says that the strip looks better than the one with the next lower rate.
	Better bool `json:"better"`
}

// Kind implements Body.
func (*Ramp) Kind() Kind { return KindRamp }

// Subject implements Body.
func (r *Ramp) Subject() string { return r.Field + "/" + r.Day.String() + "/" + r.Observer }

// StageScale is the scale a growth stage was noted on. Stages are recorded on the scale used and not
// translated.
type StageScale string

// The scales.
const (
	Feekes StageScale = "feekes"
	Zadoks StageScale = "zadoks"
	BBCH   StageScale = "bbch"
)

// Visit is what was seen on a walk through a field. Every part may be missing.
type Visit struct {
	Field    string       `json:"field"`
	Day      calendar.Day `json:"day"`
	Observer string       `json:"observer"`
	// Scale is empty when no stage was noted.
	Scale      StageScale                  `json:"scale,omitempty"`
	Stage      float64                     `json:"stage,omitempty"`
	HollowStem working.Fact[unit.Length]   `json:"hollowStem,omitzero"` // length of hollow stem below the head
	Residue    working.Fact[unit.Fraction] `json:"residue,omitzero"`    // share of ground showing residue
	Green      working.Fact[unit.Fraction] `json:"green,omitzero"`      // share of ground under green leaf
	Stand      working.Fact[unit.Fraction] `json:"stand,omitzero"`      // share of a full stand
	// FreshMass is above-ground fresh mass of canola, from a cut square.
	FreshMass working.Fact[unit.Biomass] `json:"freshMass,omitzero"`
	// Frozen and Snow are what the ground was like that day; nil means not noted.
	Frozen *bool  `json:"frozen,omitempty"`
	Snow   *bool  `json:"snow,omitempty"`
	Note   string `json:"note,omitempty"`
}

// Kind implements Body.
func (*Visit) Kind() Kind { return KindVisit }

// Subject implements Body.
func (v *Visit) Subject() string { return v.Field + "/" + v.Day.String() + "/" + v.Observer }

// SpotKind says whether a spot is poor or the good ground it is compared with.
type SpotKind string

// The kinds of spot.
const (
	PoorSpot SpotKind = "poor"
	GoodSpot SpotKind = "good"
)

// Spot is a place in a field that was marked, and perhaps sampled.
type Spot struct {
	ID       string       `json:"id"`
	Field    string       `json:"field"`
	Day      calendar.Day `json:"day"`
	Observer string       `json:"observer"`
	Spot     SpotKind     `json:"spot"`
	Pair     string       `json:"pair"`             // joins a poor spot with the good one beside it
	Sample   string       `json:"sample,omitempty"` // id by which laboratory rows are matched
	At       Position     `json:"at"`
	Note     string       `json:"note,omitempty"`
}

// Kind implements Body.
func (*Spot) Kind() Kind { return KindSpot }

// Subject implements Body.
func (s *Spot) Subject() string { return s.Field + "/" + s.ID }

// Applied is nitrogen that was really spread on a field.
type Applied struct {
	Field     string       `json:"field"`
	Day       calendar.Day `json:"day"`
	Product   string       `json:"product"`
	Rate      unit.Rate    `json:"rate"` // of N
	Placement string       `json:"placement,omitempty"`
	By        string       `json:"by,omitempty"`
	Note      string       `json:"note,omitempty"`
}

// Kind implements Body.
func (*Applied) Kind() Kind { return KindApplied }

// Subject implements Body.
func (a *Applied) Subject() string { return a.Field + "/" + a.Day.String() + "/" + a.Product }

// Harvest is what was cut from a field or from a part of it.
type Harvest struct {
	Field   string                      `json:"field"`
	Day     calendar.Day                `json:"day"`
	Part    string                      `json:"part"` // "field", "reference" strip, or "none" for a strip without top-dress
	Yield   unit.Yield                  `json:"yield"`
	Protein working.Fact[unit.Fraction] `json:"protein,omitzero"`
	By      string                      `json:"by,omitempty"`
	Note    string                      `json:"note,omitempty"`
}

// Kind implements Body.
func (*Harvest) Kind() Kind { return KindHarvest }

// Subject implements Body.
func (h *Harvest) Subject() string { return h.Field + "/" + h.Part }
