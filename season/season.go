package season

import (
	"cmp"
	"fmt"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/working"
)

// Season is everything that stands: the entries that no other supersedes, sorted by what they speak of.
type Season struct {
	Settings  Settings
	Producers []Producer // by name
	Fields    []Field    // by id
	Rigs      []Rig      // by id
	// Everything below is in order of day, then of recording.
	Boundaries map[string]*Boundary // by field
	Readings   map[string][]*Readings
	Ramps      map[string][]*Ramp
	Visits     map[string][]*Visit
	Soils      map[string][]*Soil
	Spots      map[string][]*Spot
	Applied    map[string][]*Applied
	Harvests   map[string][]*Harvest
	Stations   map[string]*Station
	Weather    map[string][]WeatherDay // by station, in order of day, without repeats
	Forecasts  map[string][]*Forecast  // by station, in order of issue
	Prices     map[string][]*Price     // by item
	Trials     []*Trial
}

// FieldSeason is what one field's advice is computed from: nothing else goes in. It is frozen with a plan.
type FieldSeason struct {
	// Today is the day the advice is for. It is an input, never read from a clock.
	Today    calendar.Day `json:"today"`
	Settings Settings     `json:"settings"`
	Producer Producer     `json:"producer"`
	Field    Field        `json:"field"`
	Boundary *Boundary    `json:"boundary,omitempty"`
	Readings []*Readings  `json:"readings,omitempty"`
	Ramps    []*Ramp      `json:"ramps,omitempty"`
	Visits   []*Visit     `json:"visits,omitempty"`
	Soils    []*Soil      `json:"soils,omitempty"`
	Spots    []*Spot      `json:"spots,omitempty"`
	Applied  []*Applied   `json:"applied,omitempty"`
	Station  *Station     `json:"station,omitempty"`
	Weather  []WeatherDay `json:"weather,omitempty"`
	// Further are the logs of the field's further stations, nearest first.
	Further  []Log     `json:"further,omitempty"`
	Forecast *Forecast `json:"forecast,omitempty"`
	// Earlier is the last forecast of a day before that of Forecast, which advice may then have gone by.
	Earlier *Forecast `json:"earlier,omitempty"`
	Prices  []*Price  `json:"prices,omitempty"` // by item
	Trials  []*Trial  `json:"trials,omitempty"` // of the field's crop
}

// Standing picks the entries that stand: not superseded, not withdrawn, and of several on one subject the
// one recorded last. Entries that share an id are one entry. The order is that of recording, then of id,
// so the same set of entries gives the same answer whatever order it came in.
func Standing(entries []Entry) []Entry {
	byID := make(map[string]int, len(entries))
	superseded := map[string]bool{}
	all := make([]Entry, 0, len(entries))
	for _, e := range entries {
		if _, twice := byID[e.ID]; twice {
			continue
		}
		byID[e.ID] = len(all)
		all = append(all, e)
		if e.Supersedes != "" {
			superseded[e.Supersedes] = true
		}
	}
	slices.SortStableFunc(all, func(a, b Entry) int {
		return cmp.Or(a.Recorded.Compare(b.Recorded), cmp.Compare(a.ID, b.ID))
	})
	type subject struct {
		kind Kind
		name string
	}
	last := make(map[subject]int, len(all))
	for i, e := range all {
		if e.Body != nil && !superseded[e.ID] {
			last[subject{e.Body.Kind(), e.Body.Subject()}] = i
		}
	}
	standing := make([]Entry, 0, len(last))
	for i, e := range all {
		if e.Body == nil || superseded[e.ID] || e.Withdrawn {
			continue
		}
		if last[subject{e.Body.Kind(), e.Body.Subject()}] == i {
			standing = append(standing, e)
		}
	}
	return standing
}

// Assemble puts the entries that stand into a Season. A price's origin is filled in from its entry, so that
// it can say where it comes from; every other fact carries its own.
func Assemble(entries []Entry) *Season {
	s := &Season{
		Boundaries: map[string]*Boundary{}, Readings: map[string][]*Readings{}, Ramps: map[string][]*Ramp{},
		Visits: map[string][]*Visit{}, Soils: map[string][]*Soil{}, Spots: map[string][]*Spot{},
		Applied: map[string][]*Applied{}, Harvests: map[string][]*Harvest{}, Stations: map[string]*Station{},
		Weather: map[string][]WeatherDay{}, Forecasts: map[string][]*Forecast{}, Prices: map[string][]*Price{},
	}
	for _, e := range Standing(entries) {
		s.take(e)
	}
	s.sort()
	return s
}

func (s *Season) take(e Entry) {
	switch b := e.Body.(type) {
	case *Settings:
		s.Settings = *b
	case *Producer:
		s.Producers = append(s.Producers, *b)
	case *Field:
		s.Fields = append(s.Fields, *b)
	case *Boundary:
		s.Boundaries[b.Field] = b
	case *Readings:
		s.Readings[b.Field] = append(s.Readings[b.Field], b)
	case *Ramp:
		s.Ramps[b.Field] = append(s.Ramps[b.Field], b)
	case *Visit:
		s.Visits[b.Field] = append(s.Visits[b.Field], b)
	case *Soil:
		s.Soils[b.Field] = append(s.Soils[b.Field], b)
	case *Spot:
		s.Spots[b.Field] = append(s.Spots[b.Field], b)
	case *Applied:
		s.Applied[b.Field] = append(s.Applied[b.Field], b)
	case *Harvest:
		s.Harvests[b.Field] = append(s.Harvests[b.Field], b)
	case *Station:
		s.Stations[b.ID] = b
	case *Weather:
		s.Weather[b.Station] = append(s.Weather[b.Station], b.Days...)
	case *Forecast:
		s.Forecasts[b.Station] = append(s.Forecasts[b.Station], b)
	case *Price:
		priced := *b
		priced.Origin = working.Origin{Kind: working.Setting, By: b.By, On: b.Day, Entry: e.ID, Where: e.Where.String()}
		s.Prices[b.Item] = append(s.Prices[b.Item], &priced)
	case *Trial:
		s.Trials = append(s.Trials, b)
	case *Rig:
		s.Rigs = append(s.Rigs, *b)
	}
}

func (s *Season) sort() {
	slices.SortFunc(s.Producers, func(a, b Producer) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
	slices.SortFunc(s.Fields, func(a, b Field) int { return cmp.Compare(a.ID, b.ID) })
	slices.SortFunc(s.Rigs, func(a, b Rig) int { return cmp.Compare(a.ID, b.ID) })
	slices.SortFunc(s.Trials, func(a, b *Trial) int { return cmp.Compare(a.Subject(), b.Subject()) })
	byDay(s.Readings, func(r *Readings) calendar.Day { return r.Day })
	byDay(s.Ramps, func(r *Ramp) calendar.Day { return r.Day })
	byDay(s.Visits, func(v *Visit) calendar.Day { return v.Day })
	byDay(s.Soils, func(v *Soil) calendar.Day { return v.Day })
	byDay(s.Spots, func(v *Spot) calendar.Day { return v.Day })
	byDay(s.Applied, func(a *Applied) calendar.Day { return a.Day })
	byDay(s.Harvests, func(h *Harvest) calendar.Day { return h.Day })
	byDay(s.Prices, func(p *Price) calendar.Day { return p.Day })
	for _, list := range s.Forecasts {
		slices.SortStableFunc(list, func(a, b *Forecast) int { return a.Issued.Compare(b.Issued) })
	}
	for id, days := range s.Weather {
		slices.SortStableFunc(days, func(a, b WeatherDay) int { return a.Day.Sub(b.Day) })
		s.Weather[id] = slices.CompactFunc(days, func(a, b WeatherDay) bool { return a.Day == b.Day })
	}
}

func byDay[T any](lists map[string][]T, day func(T) calendar.Day) {
	for _, list := range lists {
		slices.SortStableFunc(list, func(a, b T) int { return day(a).Sub(day(b)) })
	}
}

// String writes "soil.csv:4".
func (w Where) String() string {
	switch {
	case w.File == "":
		return ""
	case w.Line == 0:
		return w.File
	default:
		return fmt.Sprintf("%s:%d", w.File, w.Line)
	}
}

// Of takes out of the season what one field's advice on a day needs. Nothing recorded after that day goes
// in: advice for a past day can be computed again as it would have been. It returns false when the season
// has no such field.
func (s *Season) Of(field string, today calendar.Day) (FieldSeason, bool) {
	i, found := slices.BinarySearchFunc(s.Fields, field, func(f Field, id string) int { return cmp.Compare(f.ID, id) })
	if !found {
		return FieldSeason{}, false
	}
	f := s.Fields[i]
	f.Station = s.StationOf(f)
	fs := FieldSeason{
		Today: today, Settings: s.Settings, Field: f, Producer: Producer{ID: f.Producer, Name: f.Producer},
		Boundary: s.Boundaries[field],
		Readings: until(s.Readings[field], today, func(r *Readings) calendar.Day { return r.Day }),
		Ramps:    until(s.Ramps[field], today, func(r *Ramp) calendar.Day { return r.Day }),
		Visits:   until(s.Visits[field], today, func(v *Visit) calendar.Day { return v.Day }),
		Soils:    until(s.Soils[field], today, func(v *Soil) calendar.Day { return v.Day }),
		Spots:    until(s.Spots[field], today, func(v *Spot) calendar.Day { return v.Day }),
		Applied:  until(s.Applied[field], today, func(a *Applied) calendar.Day { return a.Day }),
		Station:  s.Stations[f.Station],
		Weather:  until(s.Weather[f.Station], today, func(w WeatherDay) calendar.Day { return w.Day }),
		Further:  s.further(f, today),
	}
	fs.Forecast, fs.Earlier = forecastsKnown(s.Forecasts[f.Station], today)
	for _, p := range s.Producers {
		if p.ID == f.Producer {
			fs.Producer = p
		}
	}
	for _, list := range s.Prices {
		if p := latest(until(list, today, func(p *Price) calendar.Day { return p.Day })); p != nil {
			fs.Prices = append(fs.Prices, p)
		}
	}
	slices.SortFunc(fs.Prices, func(a, b *Price) int { return cmp.Compare(a.Item, b.Item) })
	for _, t := range s.Trials {
		if t.Crop == f.Crop || t.Crop.IsWheat() && f.Crop.IsWheat() {
			fs.Trials = append(fs.Trials, t)
		}
	}
	return fs, true
}

// forecastsKnown gives the latest forecast issued by a day, and the latest of an earlier day than that.
func forecastsKnown(list []*Forecast, today calendar.Day) (now, earlier *Forecast) {
	// The moment of issue is kept in UTC, where an evening in the west is the next day already.
	issued := func(f *Forecast) calendar.Day { return calendar.FromTime(f.Issued.UTC()) }
	known := until(list, today.Add(1), issued)
	if now = latest(known); now != nil {
		earlier = latest(until(known, issued(now).Add(-1), issued))
	}
	return now, earlier
}

// LatestForecast is the one issued last for a station; nil where there is none.
func (s *Season) LatestForecast(station string) *Forecast { return latest(s.Forecasts[station]) }

// LatestPrice is the one noted last for an item; nil where there is none.
func (s *Season) LatestPrice(item string) *Price { return latest(s.Prices[item]) }

func latest[T any](list []*T) *T {
	if len(list) == 0 {
		return nil
	}
	return list[len(list)-1]
}

// until keeps what was observed up to and on a day, from a list in order of day.
func until[T any](list []T, today calendar.Day, day func(T) calendar.Day) []T {
	n := len(list)
	for n > 0 && day(list[n-1]).After(today) {
		n--
	}
	return list[:n:n]
}
