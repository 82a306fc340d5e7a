package advice

import (
	"fmt"
	"time"

	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"
)

// dayFinding is a coming day as far as it concerns every product.
type dayFinding struct {
	day    calendar.Day
	sky    season.ForecastDay
	ground weather.Ground
	stop   string   // why nothing may be spread; empty when the day is open
	wet    bool     // rain that day makes spreading itself doubtful
	flags  []string // doubts for any product
}

// forecastShelfLife is how old a forecast may be on the day of the advice before it says nothing about the
// coming days any more. Common practice, no source.
const forecastShelfLife = 3

// Limits of wind on the day of spreading: above them spray from flat fans drifts, and dry product is thrown and
// streams are blown unevenly. From memory; product labels rule.
const (
	windySpray  = 10 * unit.MilePerHour
	windyCoarse = 15 * unit.MilePerHour
)

// A day with this much rain, this likely, is not chosen while a drier one is open. Common practice, no source.
const (
	wetDay = 2 * unit.MillimetreOfWater
	likely = unit.Fraction(0.4)
)

// askDays looks at the coming days: from today to the end of the forecast or the deadline. Without a forecast
// it looks at today's ground alone.
func (c *inquiry) askDays() {
	f := c.fs.Forecast
	switch {
	case f == nil:
		c.missing("a weather forecast", "which of the coming days is best, and what rain would save")
	case c.forecastExpired():
		c.missing("a forecast that still holds", "which of the coming days is best; the one at hand was issued on "+calendar.FromTime(f.Issued).Spoken())
		f = nil
	}
	outlook := weather.Outlook{Record: c.fs.Weather, Forecast: f, Visits: c.fs.Visits, Site: c.site()}.Ready()
	if f == nil {
		if today := outlook.Ground(c.fs.Today); today.Stops() {
			c.stopped = today.Reason
		}
		return
	}
	for _, sky := range f.Days {
		if sky.Day.Before(c.fs.Today) || c.plan.Deadline.Known && sky.Day.After(c.plan.Deadline.High) {
			continue
		}
		d := dayFinding{day: sky.Day, sky: sky, ground: outlook.Ground(sky.Day)}
		d.judge(ground.Flags(outlook.Prospect(sky)))
		c.days = append(c.days, d)
	}
}

// site is what the state of the ground is reckoned from beside the weather.
func (c *inquiry) site() ground.Site {
	s := ground.Site{Texture: c.fs.Field.Texture, Crop: c.fs.Field.Crop, Planted: c.fs.Field.Planted}
	switch {
	case c.fs.Station != nil:
		s.Latitude, s.HasLatitude = c.fs.Station.At.Lat, true
	case c.fs.Boundary != nil && len(c.fs.Boundary.Polygons) > 0:
		s.Latitude, s.HasLatitude = c.fs.Boundary.Polygons[0][0][0].Lat, true
	}
	if s.Texture == "" {
		c.missing("the soil's texture", "how soon the ground carries a machine after rain; loam is assumed")
	}
	return s
}

// judge says what speaks against the day whatever the product.
func (d *dayFinding) judge(flags []ground.Flag) {
	switch d.ground.State {
	case weather.SoftWet:
		d.flags = append(d.flags, "soft ground: "+d.ground.Reason)
	case weather.Unknown:
		d.flags = append(d.flags, "the state of the ground is not known: "+d.ground.Reason)
	}
	if d.ground.Stops() {
		d.stop = d.ground.Reason
	}
	if d.ground.Doubt != "" {
		d.flags = append(d.flags, d.ground.Doubt)
	}
	if d.wet = d.sky.Rain >= wetDay && (d.sky.RainChance == 0 || d.sky.RainChance >= likely); d.wet && d.stop == "" {
		d.flags = append(d.flags, "rain that day: hard to be done before it starts")
	}
	for _, f := range flags {
		if f.Risk == ground.RunsOff || f.Risk == ground.Leaches {
			d.flags = append(d.flags, f.Reason)
		}
	}
}

// windy says that the wind is too strong for a way of placing.
func (d dayFinding) windy(way placement.Way) bool {
	if d.sky.Has&season.HasWind == 0 {
		return false
	}
	if way == placement.FlatFan {
		return d.sky.Wind > windySpray
	}
	return d.sky.Wind > windyCoarse
}

// fit says that nothing keeps a person from choosing the day while it is open: no rain on it, no strong wind,
// and not so far off that the forecast says little.
func (c *inquiry) fit(d dayFinding, way placement.Way) bool {
	return !d.wet && !d.windy(way) && d.day.Sub(c.fs.Today) < trusted
}

// trusted is how many days of a forecast a day is chosen from, today among them. Common practice, no source.
const trusted = 7

// forecastExpired says that the forecast does not reach today or was issued too long ago.
func (c *inquiry) forecastExpired() bool {
	f := c.fs.Forecast
	if len(f.Days) == 0 || f.Days[len(f.Days)-1].Day.Before(c.fs.Today) {
		return true
	}
	return c.fs.Today.Sub(calendar.FromTime(f.Issued.In(time.UTC))) > forecastShelfLife
}

// sky is the weather of the last two weeks and the forecast after it, from which the loss of ammonia is
// reckoned: the surface is read from the days before spreading.
func (c *inquiry) sky() []season.ForecastDay {
	record := c.fs.Weather
	record = record[max(0, len(record)-14):]
	if c.fs.Forecast == nil || c.forecastExpired() {
		return ammonia.Days(record, nil)
	}
	return ammonia.Days(record, c.fs.Forecast)
}

// flagsFor adds to a day's doubts those that depend on the product and the way it is placed.
func (d dayFinding) flagsFor(p fertilizer.Product, way placement.Way, s unit.System) []string {
	flags := d.flags
	add := func(format string, args ...any) {
		flags = append(flags[:len(flags):len(flags)], fmt.Sprintf(format, args...))
	}
	if d.windy(way) {
		harm := map[placement.Way]string{
			placement.Broadcast: "dry product is thrown unevenly", placement.FlatFan: "spray drifts", placement.Stream: "streams are blown unevenly",
		}[way]
		add("wind %s: %s", unit.Show(unit.KindSpeed, float64(d.sky.Wind), s), harm)
	}
	if p.Form == fertilizer.Liquid && d.sky.Has&season.HasTemperature != 0 && d.sky.Low < 0 {
		add("frost in the morning: liquid on frosted leaves burns, wait until they are dry")
	}
	if salt := p.SaltOut; p.Form == fertilizer.Liquid && salt.Known() && d.sky.Has&season.HasTemperature != 0 && d.sky.Low < salt.Value {
		add("colder than %s: %s drops crystals", unit.Show(unit.KindTemperature, float64(salt.Value), s), p.Name)
	}
	return flags
}
