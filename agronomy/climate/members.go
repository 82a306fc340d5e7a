package climate

import (
	"fmt"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// DefaultDays and DefaultMembers are what Members gives when not asked otherwise: the days of the table of
// days, and enough members that a chance of one half is known to about 10 points (two standard errors).
const (
	DefaultDays    = 21
	DefaultMembers = 100
)

// Ahead is what is known of a place's coming weather.
type Ahead struct {
	Climate *Climate
	// Record is what was measured, in order of day. Only the day before First matters: whether it was wet,
	// and how far its temperature lay from the usual. Where it is missing, both are drawn.
	Record []season.WeatherDay
	// Forecast may be nil. Each of its days is drawn about what it says: see error.go.
	Forecast *season.Forecast
	// Ensemble, where the forecast comes as members of its own, takes the place of Forecast: member i goes
	// by number i, again from the start when there are fewer. Its rain is taken as certain.
	Ensemble [][]season.ForecastDay

	First   calendar.Day // first day wanted
	Days    int          // 0 means DefaultDays
	Members int          // 0 means DefaultMembers
	Seed    uint64
}

// Members gives the coming days as many times over as asked: the forecast with its error as far as it
// reaches, simulated weather from the state in which it ends beyond. The same seed gives the same members, and
// a day is drawn from the same chances whenever and beside whatever it is asked for, so that products, days
// of spreading and today's and yesterday's advice differ by what they are and not by luck.
//
// Rain of a member either falls or does not: RainChance is not set. Wind and humidity are those of the
// forecast and missing beyond it; lying snow is left to be reckoned from rain and frost.
func Members(a Ahead) ([][]season.ForecastDay, error) {
	if a.Days == 0 {
		a.Days = DefaultDays
	}
	if a.Members == 0 {
		a.Members = DefaultMembers
	}
	switch {
	case a.Climate == nil:
		return nil, fmt.Errorf("climate: no climate to draw from")
	case a.First.IsZero():
		return nil, fmt.Errorf("climate: no first day given")
	case a.Days < 0 || a.Days > 366 || a.Members < 0 || a.Members > 10_000:
		return nil, fmt.Errorf("climate: %d days of %d members; expected 1 to 366 days and 1 to 10000 members", a.Days, a.Members)
	}
	s := NewSimulator(a.Climate, a.Seed)
	all := make([]season.ForecastDay, a.Members*a.Days)
	members := make([][]season.ForecastDay, a.Members)
	for i := range members {
		members[i] = all[i*a.Days : (i+1)*a.Days : (i+1)*a.Days]
		s.member(members[i], &a, i)
	}
	return members, nil
}

// member fills one member's days.
func (s *Simulator) member(days []season.ForecastDay, a *Ahead, number int) {
	said, issued := a.said(number)
	state := a.Climate.After(dayOf(a.Record, a.First.Add(-1)))
	var in months
	miss := missing{}
	for i := range days {
		day := a.First.Add(i)
		in.enter(day)
		l := &s.laws[in.month-1][in.dayOfMonth(day)-1]
		s.draws.at(number, day)
		s.settle(&state, l)
		f, forecast := forecastOf(said, day)
		switch {
		case !forecast:
			days[i].WeatherDay, state = s.day(day, l, state)
		case a.Ensemble != nil:
			days[i], state = s.followed(f, l, state)
		default:
			days[i], state = s.missed(f, day.Sub(issued)+1, l, state, &miss)
		}
	}
}

// said gives the forecast that a member goes by, and the day it was issued on.
func (a *Ahead) said(number int) ([]season.ForecastDay, calendar.Day) {
	switch {
	case len(a.Ensemble) > 0:
		return a.Ensemble[number%len(a.Ensemble)], calendar.Day{}
	case a.Forecast != nil:
		issued := calendar.FromTime(a.Forecast.Issued)
		if a.Forecast.Issued.Equal(time.Time{}) { // not said: on its first day
			issued = a.First
		}
		return a.Forecast.Days, issued
	default:
		return nil, calendar.Day{}
	}
}

func forecastOf(days []season.ForecastDay, day calendar.Day) (*season.ForecastDay, bool) {
	if len(days) == 0 {
		return nil, false
	}
	i := day.Sub(days[0].Day) // without gaps
	if i < 0 || i >= len(days) || days[i].Day != day {
		return nil, false
	}
	return &days[i], true
}

// dayOf finds a day in a record; of one that is not in it nothing is known.
func dayOf(record []season.WeatherDay, day calendar.Day) *season.WeatherDay {
	for i := len(record) - 1; i >= 0 && !record[i].Day.Before(day); i-- {
		if record[i].Day == day {
			return &record[i]
		}
	}
	return &season.WeatherDay{Day: day}
}

// followed takes a day as a forecast's member says it, and draws the parts that it does not say.
func (s *Simulator) followed(f *season.ForecastDay, l *law, from State) (season.ForecastDay, State) {
	drawn, to := s.day(f.Day, l, from)
	d := *f
	d.RainChance = 0
	d.Snow, d.Has = 0, d.Has&^season.HasSnow
	if d.Has&season.HasRain == 0 {
		d.Rain, d.Has = drawn.Rain, d.Has|drawn.Has&season.HasRain
	}
	if d.Has&season.HasTemperature == 0 {
		d.Low, d.High, d.Has = drawn.Low, drawn.High, d.Has|drawn.Has&season.HasTemperature
	}
	left := s.climate.After(&d.WeatherDay)
	if !left.KnowsTemperature {
		left.Departure, left.KnowsTemperature = to.Departure, to.KnowsTemperature
	}
	return d, left
}

// WashInOf is the share of members with more than an amount of rain in one day, on day i of theirs and
// within k days of it, for each of n days: what Climate.WashIns is without a forecast. Members must reach k-1
// days beyond the last of the n.
func WashInOf(members [][]season.ForecastDay, n, k int, over unit.Water) ([]WashIn, error) {
	if len(members) == 0 || n < 1 || k < 1 || len(members[0]) < n+k-1 {
		return nil, fmt.Errorf("climate: wash-in within %d days of each of %d days needs members of %d days", k, n, n+k-1)
	}
	chances := make([]WashIn, n)
	one := 1 / unit.Fraction(len(members))
	for _, days := range members {
		next := -1 // the nearest such rain at or after day i
		for i := n + k - 2; i >= 0; i-- {
			if days[i].Rain > over {
				next = i
			}
			if i >= n || next < 0 {
				continue
			}
			if next == i {
				chances[i].OnDay += one
			}
			if next < i+k {
				chances[i].Within += one
			}
		}
	}
	for i := range chances {
		chances[i].Day = members[0][i].Day
	}
	return chances, nil
}
