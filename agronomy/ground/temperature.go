package ground

import (
	"math"

	"culm/agronomy/unit"
)

// Soil temperature follows the air with a delay. Each day the soil moves a share of the way towards the
// temperature that the day's air and sun would bring it to in the end:
//
//	aim    = base + air × mean of low and high + sun × radiation above the air
//	warmth = warmth + share × (aim - temperature),  under snow a share much smaller
//	temperature = warmth above zero; 0 °C while the soil's water freezes; colder only once it has frozen
//
// Warmth is in degrees. Below zero it is at first not a temperature but how far the freezing of the soil's water
// has gone: water gives off so much heat in freezing that soil stays at zero meanwhile, and as much must come back
// before it warms. At the station it was fitted on, soil at 10 cm was never measured below 0.0 °C and soil at 5 cm
// never below -0.9 °C in eight winters, and warmth there never went below -3.9.
//
// The form is ours, after the daily mean models that run behind air temperature and are damped under snow
// ([cite.BiomeBGC], [cite.Zheng1993]); its five figures a depth were fitted on the soil measured from October to
// April of every second season at Manhattan, Kansas [cite.NOAAManhattan], and tested on the seasons between:
// see docs/soil-temperature.md, which a test keeps true. It is for winter. In summer it runs too cold. The ground
// there is under grass; bare dark soil warms more by day.
type relaxation struct {
	base, air, sun float64 // °C; °C per °C; °C per MJ per square metre and day
	share          float64 // of the way, per day
	underSnow      float64 // what snow leaves of the share
}

// fitted gives the figures of a depth. TestFiguresAreThoseFitted fits them anew.
func fitted(d Depth) relaxation {
	if d == FiveCentimetres {
		return relaxation{base: 0.686, air: 0.838, sun: 0.0503, share: 0.203, underSnow: 0.103}
	}
	return relaxation{base: 1.104, air: 0.831, sun: 0.0482, share: 0.145, underSnow: 0.144}
}

// Depth is a depth that soil temperature is estimated at.
type Depth int

// The depths.
const (
	FiveCentimetres Depth = iota
	TenCentimetres
)

// Warmth is the state of soil at the two depths: °C above zero, and below it how far freezing has gone.
type Warmth struct{ Shallow, Deep float64 }

// WarmthOf begins from soil that has come to rest with the air and sun of a day.
func WarmthOf(mean unit.Temperature, extraterrestrial float64) Warmth {
	at := func(d Depth) float64 { return fitted(d).aim(float64(mean), extraterrestrial) }
	return Warmth{at(FiveCentimetres), at(TenCentimetres)}
}

// Next is the warmth after a day with a mean air temperature, radiation above the air (see Extraterrestrial), and
// snow lying or not.
func (w Warmth) Next(mean unit.Temperature, extraterrestrial float64, snow bool) Warmth {
	next := func(d Depth, from float64) float64 {
		r := fitted(d)
		share := r.share
		if snow {
			share *= r.underSnow
		}
		return from + share*(r.aim(float64(mean), extraterrestrial)-temperature(from))
	}
	return Warmth{next(FiveCentimetres, w.Shallow), next(TenCentimetres, w.Deep)}
}

func (r relaxation) aim(mean, sun float64) float64 { return r.base + r.air*mean + r.sun*sun }

// At is the temperature at a depth.
func (w Warmth) At(d Depth) unit.Temperature {
	if d == FiveCentimetres {
		return unit.Temperature(temperature(w.Shallow))
	}
	return unit.Temperature(temperature(w.Deep))
}

// temperature is that of soil with some warmth. Four degrees of freezing are more than the station's winters ever
// asked for; that colder soil has frozen through and cools on is a guess for colder places, and keeps a long winter
// from freezing soil for as long again in spring.
func temperature(warmth float64) float64 {
	const freezing = 4
	switch {
	case warmth >= 0:
		return warmth
	case warmth >= -freezing:
		return 0
	default:
		return warmth + freezing
	}
}

// Fit of the chance that the daily mean at 5 cm is at or below zero, on November to March of the same seasons.
const (
	frostBase = 2.531
	frostRise = 0.838 // per degree of warmth
)

// FrostChance is the chance that soil at 5 cm is frozen: a logistic curve over its warmth. spread is how far the
// warmth itself may be off because the weather is a forecast, as a standard deviation in degrees; it draws the
// chance towards a half.
func (w Warmth) FrostChance(spread float64) unit.Fraction {
	odds := (frostBase + frostRise*w.Shallow) / math.Sqrt(1+math.Pi/8*math.Pow(frostRise*spread, 2))
	return unit.Fraction(1 / (1 + math.Exp(odds)))
}

// UsualSpread is how far a day's mean lies from what is usual for its date, as a standard deviation, where no
// climate of the place says: that of Manhattan, Kansas, from October to March, the wider of the two stations of
// docs/weather-simulation.md.
const UsualSpread unit.Temperature = 6

// ForecastSpread is how far the warmth at 5 cm may be off, as a standard deviation in degrees, on a day that lies
// lead days ahead; 1 is the day on which the forecast was issued. The forecast's daily mean is taken to be off by
// 1.5 °C on the first day and 0.4 °C more each day after, in the same direction throughout (from memory; an own
// forecast's errors would be better), but never by more than usual, the standard deviation of a day's mean about what
// is usual for its date: so far off would be a forecast that says no more than the date does. Zero stands for
// UsualSpread.
func ForecastSpread(lead int, usual unit.Temperature) float64 {
	if lead <= 0 {
		return 0
	}
	if usual <= 0 {
		usual = UsualSpread
	}
	const first, perDay = 1.5, 0.4
	r := fitted(FiveCentimetres)
	reached := 1 - math.Pow(1-r.share, float64(lead))
	return r.air * reached * min(float64(usual), first+perDay*float64(lead-1))
}
