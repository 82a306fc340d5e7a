package weather

import (
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"
)

// State is what the ground is like for a machine and for what it spreads.
type State = ground.State

// The states; ground says when each is called. On frozen, snow-covered and saturated ground nothing is to be spread.
const (
	Open        = ground.Open
	Frozen      = ground.Frozen
	SnowCovered = ground.SnowCovered
	Saturated   = ground.Saturated
	SoftWet     = ground.Soft
	Unknown     = ground.Unknown
)

// Ground is the state of the ground on a day, with the reason in words.
type Ground struct {
	Day calendar.Day
	ground.Verdict
	// Soil is the estimated temperature at 10 cm; SoilKnown says that there is one. docs/soil-temperature.md shows how far
	// it was off at one station; elsewhere expect no better than 3 C either way (twice the least standard error of Zheng,
	// Hunt and Running, cite.Zheng1993).
	Soil      unit.Temperature
	SoilKnown bool
	// Condition is what the verdict was made from: chances, water of the top layer, runoff and drainage.
	Condition ground.Condition
	// Assumed says in words what was assumed about the site.
	Assumed []string
}

// Stops says that nothing may be spread.
func (g Ground) Stops() bool { return g.State.Stops() }

// Outlook is what is known of a field's weather: the record up to today, the forecast from there, and the walks
// through the field, which know best. Forecast may be nil. The depth of snow in a forecast is that of the snow
// which falls that day. What the zero Site does not know is assumed, and said.
type Outlook struct {
	Record   []season.WeatherDay
	Forecast *season.Forecast
	Visits   []*season.Visit
	Site     ground.Site
	// Usual is the standard deviation of a day's mean temperature about what is usual for its date, by the climate
	// of the place; zero where that is not known.
	Usual unit.Temperature

	joined []ground.Day  // Record and Forecast, once Ready has joined them
	course ground.Course // of the forecast's days, once Ready has run them
}

// Ready joins record and forecast and runs through the forecast's days once, for asking about several of them.
func (o Outlook) Ready() Outlook {
	o.joined = o.days()
	if o.Forecast != nil && len(o.Forecast.Days) > 0 {
		o.course = ground.Run(o.Site, o.joined, o.Forecast.Days[0].Day, o.Forecast.Days[len(o.Forecast.Days)-1].Day)
	}
	return o
}

// Ground tells the state of the ground on a day: see ground.Condition.Verdict. What a walk noted that day comes first.
func (o Outlook) Ground(day calendar.Day) Ground {
	c, course := o.condition(day)
	return Ground{
		Day: day, Verdict: c.Verdict(o.noted(day)), Soil: c.Soil10, SoilKnown: c.SoilKnown, Condition: c, Assumed: course.Assumed,
	}
}

// Prospect is what is known of a coming day for asking what speaks against it (ground.Flags), with its hours where
// the forecast gives them, and of the forecast's days after it. Ready must have joined the forecast; what is sprayed
// along is the caller's to add.
func (o Outlook) Prospect(sky season.ForecastDay) ground.Prospect {
	p := ground.Prospect{Site: o.Site, Soil: o.course.Soil, Daily: sky, Ground: o.Ground(sky.Day).Verdict, Hours: ground.HoursOf(o.Forecast, sky.Day)}
	if o.Site.HasLongitude {
		p.Noon = ground.NoonOf(o.Forecast, sky.Day, o.Site.Longitude)
	}
	if all := o.course.Conditions; len(all) > 0 {
		if i := sky.Day.Sub(all[0].Day); i >= 0 && i < len(all) {
			p.Coming = all[i:]
		}
	}
	return p
}

func (o Outlook) days() []ground.Day {
	days := GroundDays(o.Record, o.Forecast)
	for i := range days {
		days[i].Usual = o.Usual
	}
	return days
}

func (o Outlook) condition(day calendar.Day) (ground.Condition, ground.Course) {
	if all := o.course.Conditions; len(all) > 0 {
		if i := day.Sub(all[0].Day); i >= 0 && i < len(all) {
			return all[i], o.course
		}
	}
	days := o.joined
	if days == nil {
		days = o.days()
	}
	course := ground.Run(o.Site, days, day, day)
	return course.Conditions[0], course
}

// noted gathers what walks noted of the ground on a day; of two notes on the same the later one counts.
func (o Outlook) noted(day calendar.Day) ground.Seen {
	var all ground.Seen
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

// GroundDays puts a record and the forecast after it into the one list that the ground is reckoned from. What was
// measured stands over what was forecast, and is certain; a part of a day that was not measured comes from the
// forecast.
func GroundDays(record []season.WeatherDay, f *season.Forecast) []ground.Day {
	joined := WithForecast(record, f)
	days := make([]ground.Day, len(joined))
	for i, d := range joined {
		days[i] = ground.Day{Day: d.Day, Low: d.Low, High: d.High, Rain: d.Rain, Snow: d.Snow, Has: d.Has}
	}
	for _, d := range record {
		if i, ok := searchGround(days, d.Day); ok {
			days[i].SnowLies = d.Has&season.HasSnow != 0
		}
	}
	if f != nil {
		forecastParts(days, record, f)
	}
	return days
}

// forecastParts marks what of the days is forecast: the chance of rain, and how far ahead temperature was said.
func forecastParts(days []ground.Day, record []season.WeatherDay, f *season.Forecast) {
	issued := issuedOn(f)
	for _, coming := range f.Days {
		i, ok := searchGround(days, coming.Day)
		if !ok {
			continue
		}
		measured := on(record, coming.Day).Has
		if measured&season.HasRain == 0 {
			days[i].Chance = coming.RainChance
		}
		if measured&season.HasTemperature == 0 {
			days[i].Lead = max(1, coming.Day.Sub(issued)+1)
		}
	}
}

// issuedOn is the day a forecast was issued on; its first day where that is not said.
func issuedOn(f *season.Forecast) calendar.Day {
	if f.Issued.IsZero() && len(f.Days) > 0 {
		return f.Days[0].Day
	}
	return calendar.FromTime(f.Issued)
}

func searchGround(days []ground.Day, day calendar.Day) (int, bool) {
	return slices.BinarySearchFunc(days, day, func(d ground.Day, day calendar.Day) int { return d.Day.Sub(day) })
}
