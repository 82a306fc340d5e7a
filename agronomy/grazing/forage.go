// Package grazing answers what cattle on wheat mean for its nitrogen: how much the forage they eat takes,
// what the gain it makes is worth, and when forage holds more nitrate than they should be given.
//
// It leaves out when cattle must come off and what staying costs the grain, which the stage of the crop
// decides, and every question of feeding that a veterinarian decides.
package grazing

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Herd is what grazes a field. Each part may be missing.
type Herd struct {
	Head working.Fact[unit.Ratio]
	// Mass is the mean live weight of an animal over the time on the field.
	Mass working.Fact[unit.Mass]
	Days working.Fact[unit.Days]
	Area working.Fact[unit.Area]
}

// What a herd eats and leaves, as in [cite.ForageN].
const (
	// Intake is the dry matter an animal eats a day, as a share of its live weight.
	Intake unit.Fraction = 0.03
	// Eaten is the share of the forage grown that ends in an animal; the rest is trodden and left.
	Eaten unit.Fraction = 0.85
)

// Forage is the dry matter a herd takes.
type Forage struct {
	Eaten unit.Mass    // by the herd in all its days
	Grown unit.Biomass // that must grow for it, for each area
}

// Forage gives the dry matter the herd needs [cite.ForageN]: head × live weight × 3 % × days, and over
// 85 % and the area, what must grow. When something is missing or cannot be, it says what, and the Forage
// is zero.
func (h Herd) Forage() (Forage, string) {
	switch {
	case !h.Head.Known():
		return Forage{}, "needs the number of cattle"
	case !h.Mass.Known():
		return Forage{}, "needs the mean live weight of the cattle"
	case !h.Days.Known():
		return Forage{}, "needs the days of grazing"
	case !h.Area.Known():
		return Forage{}, "needs the area grazed"
	case !(h.Area.Value > 0):
		return Forage{}, "needs an area above 0"
	case !isAmount(float64(h.Head.Value)), !isAmount(float64(h.Mass.Value)), !isAmount(float64(h.Days.Value)), !isAmount(float64(h.Area.Value)):
		return Forage{}, "has a number for the herd that no herd can have"
	}
	eaten := unit.Mass(float64(h.Head.Value) * float64(h.Mass.Value) * float64(Intake) * float64(h.Days.Value))
	return Forage{Eaten: eaten, Grown: unit.Biomass(float64(eaten) / float64(Eaten) / float64(h.Area.Value))}, ""
}

func isAmount(v float64) bool { return v >= 0 && v < 1e7 }

// Way is a published way from forage to nitrogen: a part of the forage grows without fertilizer, and each
// unit of nitrogen grows so much of the rest.
type Way struct {
	Key, Name string
	// Free is the dry matter that soil and fall nitrogen grow of themselves.
	Free unit.Biomass
	// PerNitrogen is dry matter for each nitrogen, kg/kg.
	PerNitrogen float64
	Expression  string
	Source      cite.Key
	Status      cite.Status
}

// Ways are the published ways, side by side.
func Ways() []Way {
	return []Way{
		{
			"forage-1000", "Forage eaten, 20 to 1", 1000 * unit.PoundOfMatterPerAcre, 20,
			"(forage grown − 1,000) ÷ 20 − nitrogen already applied, not below 0; in lb/ac", cite.ForageN, cite.Confirmed,
		},
		{
			"forage-1500", "Forage eaten, 18 to 1", 1500 * unit.PoundOfMatterPerAcre, 18,
			"(forage grown − 1,500) ÷ 18 − nitrogen already applied, not below 0; in lb/ac", cite.ForageNVariant, cite.Confirmed,
		},
	}
}

// Nitrogen is the season's nitrogen for forage, never below 0, before what was already applied is taken off.
func (w Way) Nitrogen(grown unit.Biomass) unit.Rate {
	return unit.Rate(max(0, float64(grown-w.Free)/w.PerNitrogen))
}

// Inputs are what went into the nitrogen for a herd's forage.
func (w Way) Inputs(h Herd, f Forage) []working.Input {
	return []working.Input{
		h.Head.Input("cattle"),
		h.Mass.Input("mean live weight"),
		working.FromBook(Intake, cite.ForageN).Input("dry matter eaten a day, of live weight"),
		h.Days.Input("days of grazing"),
		working.FromBook(Eaten, cite.ForageN).Input("share of the forage that is eaten"),
		h.Area.Input("area grazed"),
		{Label: "forage that must grow", Amount: working.Of(f.Grown), Origin: working.Origin{Kind: working.Computed}},
		working.FromBook(w.Free, w.Source).Input("forage that grows without fertilizer"),
		working.FromBook(unit.Ratio(w.PerNitrogen), w.Source).Input("forage for each unit of nitrogen"),
	}
}
