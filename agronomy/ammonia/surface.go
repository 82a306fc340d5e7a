package ammonia

import (
	"sort"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"
)

// Surface is what the ground was like when the product fell on it.
type Surface string

// The surfaces.
const (
	SurfaceUnknown Surface = ""
	Moist          Surface = "moist"
	DryGround      Surface = "dry"
	OnSnow         Surface = "snow"
)

// The surface layer: the uppermost two centimetres, where a granule lies and dissolves. It is thinner than the
// layer that culm/agronomy/ground reckons for wheels, and dries sooner. No measured wetness of so thin a layer was
// at hand; with soil moisture at 5 cm at Manhattan, Kansas, October to April, its rank correlation is 0.38, that of
// ground's thicker layer 0.59.
const (
	// layerWater is what the layer of a loam holds between field capacity and half the wilting point, mm:
	// 1000 (FC - 0.5 WP) Ze (FAO-56, equation 73) with FC 0.31, WP 0.13 and Ze 0.02 m.
	layerWater = 5.0
	// evaporated is the share of the reference evapotranspiration that bare wet ground under winter wheat
	// gives off: FAO-56's initial coefficient, 0.7.
	evaporated = 0.7
	// halfWet parts the words "moist" and "dry". A surface of which nothing is known starts there.
	halfWet = 0.5
	// wetsGranule is the rain, mm, that dissolves granules on dry ground: Black et al. (1987) saw 2 mm do it;
	// half of that is a guess.
	wetsGranule = 1.0
	snowCover   = unit.Water(10) // mm; less does not hide the soil. Stations report whole centimetres.
)

// daysBefore is how many days before spreading must be measured for the surface to count as known.
const daysBefore = 4

// SurfaceOn reads the surface on a day from the weather of that day and those before: snow lying; or moist
// or dry, by the water left in the surface layer after rain, melt and evaporation; unknown where the four
// days before were not all measured and no soaking set the layer. Snow counts where its depth is in the
// weather. Dew and thawing of frozen ground are not seen.
func SurfaceOn(day calendar.Day, weather []season.ForecastDay) Surface {
	return Walk(weather, day, 1, nil).SurfaceOn(day)
}

// liesUnderSnow says that snow covered the ground; where its depth is not known, none is taken to lie.
func liesUnderSnow(w *season.ForecastDay) bool {
	return w.Has&season.HasSnow != 0 && w.Snow >= snowCover
}

// layer is the water of the surface layer, mm.
type layer struct {
	water    float64
	measured int  // days in a row with rain measured
	soaked   bool // filled to the brim, so that what came before does not matter
}

func unknownLayer() layer { return layer{water: halfWet * layerWater} }

func (l *layer) known() bool { return l.measured >= daysBefore || l.soaked }

// count notes whether a day's rain was measured.
func (l *layer) count(isMeasured bool) {
	if isMeasured {
		l.measured++
	} else {
		l.measured = 0
	}
}

// pass takes the layer through a day; it gives the wetness, 0 to 1, in the middle of the day.
func (l *layer) pass(rain, evaporation float64) float64 {
	l.water = min(layerWater, l.water+rain)
	l.soaked = l.soaked || l.water == layerWater
	morning := l.water
	// Below half its water the layer gives it up more slowly, in proportion (FAO-56, equation 74).
	l.water = max(0, l.water-evaporation*min(1, l.water/(halfWet*layerWater)))
	return (morning + l.water) / 2 / layerWater
}

// drying is what a wet surface gives off in a day, mm: its share of the reference evapotranspiration by
// Hargreaves (FAO-56, equation 52), under a sun of so much radiation above the air.
func drying(mean, swing, sun float64) float64 {
	t, half := unit.Temperature(mean), unit.Temperature(swing/2)
	return evaporated * max(0, float64(ground.Hargreaves(t, t-half, t+half, sun)))
}

// standInLatitude is that of a field whose place is not known, degrees north.
const standInLatitude = 40

// from is the place in the weather of a day, or of the first day after it.
func from(weather []season.ForecastDay, day calendar.Day) int {
	return sort.Search(len(weather), func(i int) bool { return !weather[i].Day.Before(day) })
}
