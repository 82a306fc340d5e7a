package ground

import (
	"math"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// Hour is the forecast of one hour of a day.
type Hour struct {
	Hour        int // 0 to 23, on the field's clock
	Temperature unit.Temperature
	Humidity    unit.Fraction
	Wind        unit.Speed
	Cloud       unit.Fraction // of the sky
	Rain        unit.Water
	// Has says which parts are known.
	Has HourParts
}

// HourParts is a set of the parts of an hour.
type HourParts uint8

// The parts.
const (
	HourTemperature HourParts = 1 << iota
	HourHumidity
	HourWind
	HourCloud
	HourRain
)

func (h Hour) has(p HourParts) bool { return h.Has&p == p }

// Span is a run of hours, from the beginning of the first to the end of the last: 22 to 6 is a night.
type Span struct{ From, To int }

// spansOf joins hours that follow each other.
func spansOf(hours []int) []Span {
	var spans []Span
	for _, h := range hours {
		if last := len(spans) - 1; last >= 0 && spans[last].To == h {
			spans[last].To = h + 1
			continue
		}
		spans = append(spans, Span{h, h + 1})
	}
	return spans
}

// standardNoon is when the sun stands highest on the clock, where nobody said: half past twelve.
const standardNoon = 12.5

// sunHours are sunrise and sunset on the field's clock. noon is when the sun stands highest on it, in hours; zero
// is half past twelve. It is good to the quarter of an hour or so that the equation of time takes.
func sunHours(day calendar.Day, latitude, noon float64) (rise, set float64) {
	if noon == 0 {
		noon = standardNoon
	}
	half := Daylight(latitude, day.Time().YearDay()) / 2
	return noon - half, noon + half
}

// Limits of hours for liquids.
const (
	// calmWind: the slower air is, the less it mixes; below it a label rule keeps sprayers at home
	// [cite.SprayInversion].
	calmWind = 3 * unit.MilePerHour
	// The same rule keeps them at home until an hour after sunrise and from two hours before sunset.
	afterSunrise, beforeSunset = 1.0, 2.0
	// solidCloud is our reading of a sky that lets no inversion form: nine tenths.
	solidCloud = 0.9
	// sprayWind and coarseWind are from memory [cite.SprayWindLimits]; labels rule.
	sprayWind  = 10 * unit.MilePerHour
	coarseWind = 15 * unit.MilePerHour
	// dampAir is when leaves are taken to be wet with dew. Ours, no source: nobody forecasts dew.
	dampAir = 0.95
	// burningHeat is 90 °F [cite.NorthDakotaBurn], written for wheat at the watery ripe stage.
	burningHeat = unit.Temperature(32.2)
)

// inverted says that an inversion is to be assumed in an hour: by night, until well after sunrise and from well
// before sunset, unless a steady wind blows under solid cloud [cite.SprayInversion].
func (h Hour) inverted(rise, set float64) bool {
	begins, ends := float64(h.Hour), float64(h.Hour+1)
	if begins >= rise+afterSunrise && ends <= set-beforeSunset {
		return false
	}
	return !(h.has(HourWind|HourCloud) && h.Wind >= calmWind && h.Cloud >= solidCloud)
}

func (h Hour) calm() bool   { return h.has(HourWind) && h.Wind < calmWind }
func (h Hour) frosty() bool { return h.has(HourTemperature) && h.Temperature <= 0 }
func (h Hour) hot() bool    { return h.has(HourTemperature) && h.Temperature >= burningHeat }
func (h Hour) raining() bool {
	return h.has(HourRain) && h.Rain > 0
}

// dewy says that leaves are likely wet without rain.
func (h Hour) dewy() bool {
	return h.has(HourHumidity) && h.Humidity >= dampAir && !h.raining() && !h.frosty()
}

// droplets is how far the air is from what fine droplets like [cite.DeltaTGuideline]: false where it cannot be told.
func (h Hour) droplets() (bad bool) {
	const ideal, caution = 2, 10
	if !h.has(HourTemperature | HourHumidity) {
		return false
	}
	delta, err := DeltaT(h.Temperature, h.Humidity)
	return err == nil && !math.IsNaN(float64(delta)) && (delta < ideal || delta > caution)
}
