package season

import (
	"fmt"

	"culm/agronomy/unit"
)

// Machine is what a rig spreads with.
type Machine string

// The machines.
const (
	Sprayer  Machine = "sprayer"
	Spreader Machine = "spreader"
)

// Rig is a machine that spreads, as its operator knows it. Whatever is zero or empty is not known.
type Rig struct {
	ID      string  `json:"id"`
	Name    string  `json:"name,omitempty"`
	Machine Machine `json:"machine"`
	// Width is that of the boom, or the swath that a spreader is driven at.
	Width unit.Length `json:"width,omitempty"`
	// Nozzles and Spacing describe a boom.
	Nozzles int         `json:"nozzles,omitempty"`
	Spacing unit.Length `json:"spacing,omitempty"`
	Tank    unit.Volume `json:"tank,omitempty"`
	Hopper  unit.Mass   `json:"hopper,omitempty"`
	// Speed is that of work.
	Speed unit.Speed `json:"speed,omitempty"`
	// Monitor is the unit that the rig's monitor shows rates in.
	Monitor Monitor `json:"monitor,omitempty"`
	// Tips are the nozzles that go with the rig.
	Tips []Tip  `json:"tips,omitempty"`
	Note string `json:"note,omitempty"`
}

// Monitor is a unit in which a rig's monitor shows rates.
type Monitor string

// The units of monitors.
const (
	GallonsAnAcre      Monitor = "gal/ac"
	PoundsAnAcre       Monitor = "lb/ac"
	LitresAHectare     Monitor = "L/ha"
	KilogramsAHectare  Monitor = "kg/ha"
	ThousandSquareFeet Monitor = "lb/1000ft2"
)

// Tip is a nozzle by its flow of water at a pressure, as its maker prints it.
type Tip struct {
	Name string    `json:"name"`
	Flow unit.Flow `json:"flow"`
	// At is the pressure of Flow; Low and High bound what it works at, both zero when not known.
	At   unit.Pressure `json:"at"`
	Low  unit.Pressure `json:"low,omitempty"`
	High unit.Pressure `json:"high,omitempty"`
	// Streams is set where it makes streams, not fans.
	Streams bool `json:"streams,omitempty"`
}

// Kind implements Body.
func (*Rig) Kind() Kind { return KindRig }

// Subject implements Body.
func (r *Rig) Subject() string { return r.ID }

// Title is the rig's name, or its id where it has none.
func (r *Rig) Title() string {
	if r.Name != "" {
		return r.Name
	}
	return r.ID
}

// limit is a measure of a rig with the range in which it is believed.
type limit struct {
	field, what, found string
	v, most            float64
	expected           string
}

// rig looks at a rig's measures. Zero is not known, and nothing is said of it.
func (c *checker) rig(e Entry, r *Rig) {
	show := func(k unit.Kind, v float64) string { return unit.Show(k, v, unit.US).String() }
	for _, l := range []limit{
		{"width", "the rig is as wide as no rig", fmt.Sprintf("%.4g ft", float64(r.Width/unit.Foot)), float64(r.Width), 60, "up to 197 ft (60 m)"},
		{"spacing", "the nozzles stand further apart than on any boom", show(unit.KindLength, float64(r.Spacing)), float64(r.Spacing), 3, "up to 118 in (3 m)"},
		{"nozzles", "the boom has more nozzles than any", fmt.Sprint(r.Nozzles), float64(r.Nozzles), 400, "up to 400"},
		{"tank", "the tank is larger than any", show(unit.KindVolume, float64(r.Tank)), float64(r.Tank), 20_000, "up to 5,283 gal (20,000 L)"},
		{"hopper", "the hopper is larger than any", show(unit.KindMass, float64(r.Hopper)), float64(r.Hopper), 30_000, "up to 66,139 lb (30 t)"},
		{"speed", "the rig is faster than any", show(unit.KindSpeed, float64(r.Speed)), float64(r.Speed), 60 / 3.6, "up to 37 mph (60 km/h)"},
	} {
		if !(l.v >= 0 && l.v <= l.most) {
			c.say(e, wrong(l.field, l.what, l.found, l.expected))
		}
	}
	if r.Nozzles > 0 && r.Spacing > 0 && r.Width > 0 {
		if boom := float64(r.Spacing) * float64(r.Nozzles); boom < 0.9*float64(r.Width) || boom > 1.1*float64(r.Width) {
			c.say(e, doubt("width", "nozzles times spacing is not the width of the boom", fmt.Sprintf("%.4g ft", float64(r.Width/unit.Foot)), fmt.Sprintf("about %.4g ft", boom/float64(unit.Foot))))
		}
	}
	for _, t := range r.Tips {
		if !(t.Flow > 0 && t.Flow <= 50) || !(t.At > 0 && t.At <= 2000) || (t.Low != 0 || t.High != 0) && !(t.Low > 0 && t.Low < t.High && t.High <= 2000) {
			c.say(e, wrong("tips", "tip "+t.Name+" is not one that sprays", fmt.Sprintf("%s at %s", show(unit.KindFlow, float64(t.Flow)), show(unit.KindPressure, float64(t.At))), "a flow and the pressure it is for, and a range from low to high"))
		}
	}
}
