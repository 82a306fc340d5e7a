package weather

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/season"
)

// State is what the ground is like for a machine and for what it spreads.
type State string

// The states. Frozen and snow-covered ground are no ground to spread on (cite.FrozenGround590).
const (
	Open        State = "open"
	Frozen      State = "frozen"
	SnowCovered State = "snow-covered"
	SoftWet     State = "soft and wet"
	Unknown     State = "unknown"
)

// Ground is the state of the ground on a day, with the reason in words.
type Ground struct {
	Day   calendar.Day
	State State
	// Reason says why, without numbers; a reader's units do not matter to it.
	Reason string
	// Observed is true when someone noted it that day or a station measured it, false for an estimate.
	Observed bool
	// Doubt says what to look at before relying on the state; empty when nothing speaks against it.
	Doubt string
	// Source is where an estimate's rule comes from; empty for what was observed.
	Source cite.Key
	// Soil is the estimated temperature at 10 cm, good to SoilMargin; SoilKnown says that there is one.
	Soil      unit.Temperature
	SoilKnown bool
}

// Stops says that nothing may be spread.
func (g Ground) Stops() bool { return g.State == Frozen || g.State == SnowCovered }

// Outlook is what is known of a field's weather: the record up to today, the forecast from there, and the
// walks through the field, which know best. Forecast may be nil. The depth of snow in a forecast is that of
// the snow which falls that day.
type Outlook struct {
	Record   []season.WeatherDay
	Forecast *season.Forecast
	Visits   []*season.Visit

	joined []season.WeatherDay // Record and Forecast, once Ready has joined them
}

// Ready joins record and forecast once, for asking about several days.
func (o Outlook) Ready() Outlook {
	o.joined = WithForecast(o.Record, o.Forecast)
	return o
}

// What makes ground soft: this much rain and melt over this many days. Common practice, no source; published
// limits are soil-water contents that must be set for each soil.
const (
	softWater = 20 // mm
	softDays  = 3
)

func (o Outlook) days() []season.WeatherDay {
	if o.joined != nil {
		return o.joined
	}
	return WithForecast(o.Record, o.Forecast)
}

// Ground tells the state of the ground on a day. In order: what a walk noted that day; snow measured or
// estimated to lie; soil frozen even at the warm end of its estimate, or possibly frozen while the air stays
// below freezing all day; soft ground after rain, melt or thaw; otherwise open.
//
// How well the frost rule does: at Manhattan, Kansas, from November to March 2009 to 2017 it called 194 of
// 1,160 days frozen by the soil estimate alone; of the 63 days when the soil at 5 cm was measured at or below
// 0 C, 45 were among them and all others were doubted. It stops more days than freeze.
func (o Outlook) Ground(day calendar.Day) Ground {
	days := o.days()
	g := Ground{Day: day}
	g.Soil, g.SoilKnown = SoilTemperature(days, day)
	visit := o.noted(day)
	for _, look := range []func(*Ground, season.WeatherDay, season.Visit) bool{o.byVisit, o.bySnow, o.byFrost, o.bySoftness} {
		if look(&g, on(days, day), visit) {
			return g
		}
	}
	return g
}

// noted gathers what walks noted of the ground on a day; of two notes on the same the later one counts.
func (o Outlook) noted(day calendar.Day) season.Visit {
	var all season.Visit
	for _, v := range o.Visits {
		if v.Day != day {
			continue
		}
		if v.Frozen != nil {
			all.Frozen = v.Frozen
		}
		if v.Snow != nil {
			all.Snow = v.Snow
		}
	}
	return all
}

func (o Outlook) byVisit(g *Ground, _ season.WeatherDay, visit season.Visit) bool {
	switch {
	case visit.Snow != nil && *visit.Snow:
		g.State, g.Reason, g.Observed = SnowCovered, "snow was seen on the field that day", true
	case visit.Frozen != nil && *visit.Frozen:
		g.State, g.Reason, g.Observed = Frozen, "the ground was found frozen that day", true
	default:
		return false
	}
	return true
}

func (o Outlook) bySnow(g *Ground, today season.WeatherDay, visit season.Visit) bool {
	if visit.Snow != nil {
		return false // seen bare
	}
	if measured := on(o.Record, g.Day); measured.Has&season.HasSnow != 0 {
		if measured.Snow > 0 {
			g.State, g.Reason, g.Observed = SnowCovered, "the station measured snow lying", true
		}
		return measured.Snow > 0
	}
	pack := o.snow(g.Day)
	if !pack.lies() {
		return false
	}
	g.State, g.Source = SnowCovered, cite.SnowMelt
	g.Reason = "snow depth was not measured; snow that lay, is forecast, or is counted from rain on days with a mean below freezing has not melted since " + pack.fell.Spoken()
	if pack.fell == g.Day && today.Has&season.HasSnow != 0 {
		g.Reason = "snow is forecast to fall that day"
	}
	return true
}

func (o Outlook) byFrost(g *Ground, today season.WeatherDay, visit season.Visit) bool {
	if visit.Frozen != nil || !g.SoilKnown {
		return false // found open, or nothing to go by
	}
	g.Source = cite.BiomeBGC
	switch airFrozen := today.High <= 0; {
	case g.Soil+SoilMargin <= 0:
		g.State = Frozen
		g.Reason = "from the air of eleven days the soil is put below freezing even at the warm end of the estimate"
	case g.Soil-SoilMargin <= 0 && airFrozen:
		g.State = Frozen
		g.Reason = "the air stays below freezing all day and from the air of eleven days the soil may be frozen"
	case g.Soil-SoilMargin <= 0:
		g.Doubt = "the soil may be frozen: its estimate from the air lies within its margin of freezing; try it with a spade"
	}
	return g.State == Frozen
}

// bySoftness comes last and always decides.
func (o Outlook) bySoftness(g *Ground, _ season.WeatherDay, visit season.Visit) bool {
	days := o.days()
	rain := Rain(days, g.Day.Add(1-softDays), g.Day)
	water, thawed := float64(rain.Total), false
	for back := range softDays {
		water += o.snow(g.Day.Add(-back)).melted
		soil, known := SoilTemperature(days, g.Day.Add(-1-back))
		thawed = thawed || known && soil+SoilMargin <= 0
	}
	switch {
	case water >= softWater:
		g.State, g.Source = SoftWet, cite.Practice
		g.Reason = "much rain or melting snow in three days"
	case thawed:
		g.State, g.Reason = SoftWet, "the soil is thawing after frost"
	case rain.Days == 0 || !g.SoilKnown && visit.Frozen == nil:
		g.State, g.Reason = Unknown, unknownReason(rain.Days == 0, g.SoilKnown)
	default:
		g.State, g.Reason = Open, "neither frost, snow nor much water"
		if g.Observed = visit.Frozen != nil && visit.Snow != nil; g.Observed {
			g.Source = ""
		}
	}
	if g.State != Unknown && rain.Missing > 0 && g.Doubt == "" {
		g.Doubt = "rain is not known for every one of the last three days"
	}
	return true
}

func unknownReason(noRain, soilKnown bool) string {
	switch {
	case noRain && !soilKnown:
		return "neither rain nor temperature of the days before is known"
	case noRain:
		return "rain of the days before is not known"
	default:
		return "temperature of the eleven days before is not known throughout"
	}
}
