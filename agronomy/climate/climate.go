// Package climate answers what weather a place has in store when no forecast reaches that far: how likely a
// rain that carries urea in is within so many days, and what the coming weeks may be like, as many times
// over as one cares to ask.
//
// It is the classic weather generator of Richardson (1981) and of Richardson and Wright (1984):
//
//	dry or wet   a two-state Markov chain: the chance of a wet day after a dry and after a wet one
//	how much     a gamma law for what falls on a wet day, given that it makes the day wet
//	how warm     mean and range of the day's temperature about what is usual on dry and on wet days,
//	             with the memory of the day before
//
// with parameters that change through the year. The chance of at least one day of rain above an amount is
// exact (see AtLeastOnce); the rest is drawn, with a seed. A station's parameters come from its own record
// (see Fit); a month with few days leans on its neighbours and on the year, and every number says how many
// days it rests on.
//
// Of a chain of one day's memory no more can be expected than it holds: spells of drought come out too
// short, and months differ too little from each other. docs/weather-simulation.md shows by how much on
// measured records. Wind and humidity are not in a station's record and are not drawn, nor is lying snow.
package climate

import (
	"math"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// WetFrom is the rain that makes a day wet unless the caller says otherwise: a hundredth of an inch, the
// least that counts as precipitation in a US forecast (AMS Glossary, probability of precipitation).
const WetFrom = unit.Water(0.254)

// HalfInch is the rain in one day that Montana's trials ask for to save surface urea (12.7 mm); see
// cite.MontanaVolatilization. Other sources ask for less: see ammonia.LeastRain.
const HalfInch = unit.InchOfWater / 2

// Climate is how the weather of a place goes through the year.
type Climate struct {
	WetFrom unit.Water   `json:"wetFrom"`
	First   calendar.Day `json:"first"` // first and last day of the record
	Last    calendar.Day `json:"last"`
	Months  [12]Month    `json:"months"` // January first
}

// Month holds the parameters of one month, as they stand in its middle, and what they rest on.
type Month struct {
	Month time.Month `json:"month"`
	Rain  Rain       `json:"rain"`
	Dry   Usual      `json:"dry"` // temperature on dry days
	Wet   Usual      `json:"wet"`
	// Memory is of departures from what is usual.
	Memory Memory `json:"memory"`
	Days   Days   `json:"days"`
}

// Rain is the law of one day's rain.
type Rain struct {
	Chain
	Amounts
}

// Usual is what the temperature of a dry or a wet day usually is.
type Usual struct {
	Mean   unit.Temperature `json:"mean"`   // mean of low and high
	Spread unit.Temperature `json:"spread"` // its standard deviation, C
	// RootRange is the square root of high less low, which is nearer to normal than the range itself;
	// RootSpread its standard deviation. Both in square roots of C.
	RootRange  float64 `json:"rootRange"`
	RootSpread float64 `json:"rootSpread"`
}

// Range is the middle of the range from low to high.
func (u Usual) Range() unit.Temperature { return unit.Temperature(u.RootRange * u.RootRange) }

// Days says how many days of the record the numbers of a month rest on.
type Days struct {
	Rain        int `json:"rain"`        // with rain measured
	AfterDry    int `json:"afterDry"`    // that followed on a dry day
	AfterWet    int `json:"afterWet"`    // that followed on a wet day
	Wet         int `json:"wet"`         // wet days
	Temperature int `json:"temperature"` // with temperature and rain, so that it is known which law they obey
	Pairs       int `json:"pairs"`       // of them, that follow on such a day
}

// Memory is how much of a day's departure from the usual stays to the next day, for the mean temperature
// (first) and the root of the range (second), in units of their spread.
type Memory struct {
	Same [2][2]float64 `json:"same"` // correlation on the same day
	Lag  [2][2]float64 `json:"lag"`  // of a day (row) with the day before (column)
}

// On is the law of a day's rain: that of the months before and after, in the measure of their nearness.
func (c *Climate) On(day calendar.Day) Rain { return c.rainAt(c.place(day)) }

func (c *Climate) rainAt(at place) Rain {
	a, b := c.Months[at.before].Rain, c.Months[at.after].Rain
	return Rain{
		Chain{mix(a.AfterDry, b.AfterDry, at.share), mix(a.AfterWet, b.AfterWet, at.share)},
		Amounts{mix(a.Shape, b.Shape, at.share), mix(a.Scale, b.Scale, at.share), c.WetFrom},
	}
}

// UsualOn is what the temperature usually is on a day that is dry or wet.
func (c *Climate) UsualOn(day calendar.Day, wet bool) Usual {
	if wet {
		return c.usualAt(c.place(day), wetDay)
	}
	return c.usualAt(c.place(day), dryDay)
}

// SpreadOn is how far the mean temperature of a day of that date lies from what is usual, as a standard deviation in
// C, dry and wet days together; zero where the record had no temperatures.
func (c *Climate) SpreadOn(day calendar.Day) unit.Temperature {
	if !c.KnowsTemperature() {
		return 0
	}
	wet := float64(c.On(day).WetShare())
	d, w := c.UsualOn(day, false), c.UsualOn(day, true)
	apart := float64(w.Mean - d.Mean)
	within := (1-wet)*math.Pow(float64(d.Spread), 2) + wet*math.Pow(float64(w.Spread), 2)
	return unit.Temperature(math.Sqrt(within + wet*(1-wet)*apart*apart))
}

// Coming lists the law of each of n days from the first on.
func (c *Climate) Coming(first calendar.Day, n int) []Rain {
	days := make([]Rain, n)
	for i := range days {
		days[i] = c.On(first.Add(i))
	}
	return days
}

// KnowsTemperature says that the record had temperatures to fit.
func (c *Climate) KnowsTemperature() bool {
	for m := range c.Months {
		if c.Months[m].Days.Temperature > 0 {
			return true
		}
	}
	return false
}

// place is where a day lies between the middles of two months.
type place struct {
	before, after int     // indexes of months
	share         float64 // of the way from before to after
}

func (c *Climate) place(day calendar.Day) place {
	_, month, dayOfMonth := day.Time().Date()
	return placeOf(month, dayOfMonth)
}

func placeOf(month time.Month, dayOfMonth int) place {
	m := int(month) - 1
	half := float64(daysIn(month)) / 2
	in := float64(dayOfMonth) - 0.5 - half // days from the month's middle
	if in < 0 {
		before := (m + 11) % 12
		gap := half + float64(daysIn(time.Month(before+1)))/2
		return place{before, m, 1 + in/gap}
	}
	after := (m + 1) % 12
	gap := half + float64(daysIn(time.Month(after+1)))/2
	return place{m, after, in / gap}
}

// daysIn is the length of a month; the 29th of February lies beyond the middle by one day more.
func daysIn(m time.Month) int {
	switch m {
	case time.February:
		return 28
	case time.April, time.June, time.September, time.November:
		return 30
	default:
		return 31
	}
}

func mix[T ~float64](a, b T, share float64) T { return a + T(share)*(b-a) }

// rainOf gives a day's rain where it was measured.
func rainOf(d *season.WeatherDay) (unit.Water, bool) {
	return d.Rain, d.Has&season.HasRain != 0 && d.Rain >= 0
}
