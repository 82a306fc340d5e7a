// Package timing answers what each of the coming days would do to a product spread on a standing crop: how much of
// its nitrogen is lost as ammonia, how likely a rain carries it in, and what speaks against the day.
//
// The work is parted in two. An Outlook is what a station's weather has in store: the forecast with its error as far
// as it reaches and weather simulated from the station's own record beyond, many times over. It is made once and
// serves every field there. A Table is one field's: its ground, its soil, its days.
//
// What it costs in money, and which day to choose, is not asked here: see culm/advice. Of the sciences behind it
// nothing is here either: weather is culm/agronomy/climate's, ammonia culm/agronomy/ammonia's, the ground and what
// speaks against hours and days culm/agronomy/ground's.
package timing

import (
	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/season"
)

// Days is how many days a table has.
const Days = climate.DefaultDays

// Courses is how many courses of weather are reckoned unless the caller says otherwise: enough that a chance of
// one half is known to 14 points (two standard errors), and a mean loss to a quarter of how far the courses differ.
// The same chances are drawn for every day, product and field, so that these differ by what they are.
const Courses = 50

// A rain that saves surface urea: half an inch in one day (Montana, see climate.HalfInch), on the day of spreading
// or the six after it. How long urea can wait hangs on warmth; a week is common practice, no source, and the loss
// itself goes by no such limit.
const (
	SavingRain = climate.HalfInch
	WithinDays = 7
)

// Sky is what is known of a station's weather on a day.
type Sky struct {
	Today  calendar.Day
	Record []season.WeatherDay // in order of day, up to today
	// Climate is fitted to Record where it is nil; whoever keeps it from day to day saves most of an outlook's work.
	Climate *climate.Climate
	// Forecast is nil where there is none that holds.
	Forecast *season.Forecast
	// At is where the station or field lies; nil stands for 40 degrees north.
	At   *season.Position
	Seed uint64
	// Courses is how many courses of weather to reckon; 0 means Courses.
	Courses int
}

// Outlook is what a station's weather has in store. It does not change once made, and serves all fields that go by
// the station.
type Outlook struct {
	sky     Sky
	first   calendar.Day
	climate *climate.Climate
	short   string // why there is none

	days     []season.ForecastDay // of the table, those beyond the forecast as the courses are on average
	forecast int                  // how many of them are forecast
	washIn   []climate.WashIn

	plain   *ammonia.Course   // of the forecast as it stands
	courses []*ammonia.Course // at least one
}

// Look makes the outlook. It never fails: without a forecast, or with a record too short to simulate from, the
// table is shorter or rests on less, and says so.
func Look(s Sky) *Outlook {
	if s.Courses == 0 {
		s.Courses = Courses
	}
	o := &Outlook{sky: s, first: s.Today}
	if f := s.Forecast; f != nil && len(f.Days) > 0 && f.Days[0].Day.After(s.Today) {
		o.first = f.Days[0].Day
	}
	if o.climate = s.Climate; o.climate == nil {
		o.fit()
	}
	o.takeForecast()
	joined := ammonia.Days(lately(s.Record, o.first), s.Forecast)
	o.plain = ammonia.Walk(joined, o.first, max(len(o.days), 1)+ammonia.DefaultHorizon, s.At)
	o.courses = []*ammonia.Course{o.plain}
	if o.climate != nil {
		o.simulate()
	}
	return o
}

func (o *Outlook) fit() {
	usual, err := climate.Fit(o.sky.Record, climate.Options{})
	if err != nil {
		o.short = err.Error()
		return
	}
	o.climate = usual
}

// takeForecast begins the table with the days of the forecast.
func (o *Outlook) takeForecast() {
	if o.sky.Forecast == nil {
		return
	}
	for _, d := range o.sky.Forecast.Days {
		if !d.Day.Before(o.first) && len(o.days) < Days {
			o.days = append(o.days, d)
		}
	}
	o.forecast = len(o.days)
}

// simulate draws the courses and continues the table by what they are on average.
func (o *Outlook) simulate() {
	const length = Days + ammonia.DefaultHorizon
	members, err := climate.Members(climate.Ahead{
		Climate: o.climate, Record: lately(o.sky.Record, o.first), Forecast: o.sky.Forecast,
		First: o.first, Days: length, Members: o.sky.Courses, Seed: o.sky.Seed,
	})
	if err != nil { // asked for what cannot be: the forecast alone stands
		o.short = err.Error()
		return
	}
	for i := o.forecast; i < Days; i++ {
		o.days = append(o.days, onAverage(members, i))
	}
	if chances, err := climate.WashInOf(members, Days, WithinDays, SavingRain); err == nil {
		o.washIn = chances
	}
	o.courses = ammonia.WalkMembers(ammonia.Days(lately(o.sky.Record, o.first), nil), members, o.first, o.sky.At)
}

// lookBack is how many days of the record the surface is read from, and what was before does not matter.
const lookBack = 21

// lately is the end of a record, before a day.
func lately(record []season.WeatherDay, first calendar.Day) []season.WeatherDay {
	return since(until(record, first), first.Add(-lookBack))
}

func until(record []season.WeatherDay, day calendar.Day) []season.WeatherDay {
	n := len(record)
	for n > 0 && !record[n-1].Day.Before(day) {
		n--
	}
	return record[:n:n]
}

func since(record []season.WeatherDay, day calendar.Day) []season.WeatherDay {
	n := len(record)
	for n > 0 && !record[n-1].Day.Before(day) {
		n--
	}
	return record[n:]
}

// onAverage is a day as it is in the members on average: rain as the mean of the wet ones, with their share as its
// chance.
func onAverage(members [][]season.ForecastDay, i int) season.ForecastDay {
	d := season.ForecastDay{}
	d.Day, d.Has = members[0][i].Day, members[0][i].Has&(season.HasTemperature|season.HasRain)
	wet := 0
	for _, m := range members {
		d.Low += m[i].Low
		d.High += m[i].High
		if m[i].Rain > 0 {
			wet++
			d.Rain += m[i].Rain
		}
	}
	n := len(members)
	d.Low, d.High = d.Low/unit.Temperature(n), d.High/unit.Temperature(n)
	if wet > 0 {
		d.Rain, d.RainChance = d.Rain/unit.Water(wet), unit.Fraction(wet)/unit.Fraction(n)
	}
	return d
}

// Sky is what the outlook was made from.
func (o *Outlook) Sky() Sky { return o.sky }

// Climate is that of the station; nil, with the reason, where the record is too short.
func (o *Outlook) Climate() (*climate.Climate, string) { return o.climate, o.short }

// Courses is over how many courses of weather losses are reckoned; 1 where only the forecast itself is.
func (o *Outlook) Courses() int { return len(o.courses) }

// First is the first day of the table: today, or the first day of a forecast that begins later.
func (o *Outlook) First() calendar.Day { return o.first }
