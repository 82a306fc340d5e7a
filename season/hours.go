package season

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// Hour is what a forecast says of one hour. A part that it does not say is absent, which is not zero.
type Hour struct {
	// At is when the hour begins, in UTC; Ahead is how far the field's clocks are ahead of UTC then, in minutes,
	// so that nobody needs a table of time zones to know what they show. West of Greenwich it is negative.
	At    time.Time
	Ahead int

	Temperature unit.Temperature
	Humidity    unit.Fraction // relative
	Wind        unit.Speed
	Gust        unit.Speed
	Cloud       unit.Fraction // of the sky
	Rain        unit.Water    // rain and melted snow
	RainChance  unit.Fraction
	// Has says which of the parts are given.
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
	HourGust
	HourRainChance
)

// Clock is the hour as the field's clocks show it: its day, and its hour from 0 to 23. When clocks are put back,
// two hours of a day show the same.
func (h Hour) Clock() (calendar.Day, int) {
	shown := h.At.UTC().Add(time.Duration(h.Ahead) * time.Minute)
	return calendar.FromTime(shown), shown.Hour()
}

// Hours are hours that follow each other without a gap: one of which nothing is given stands between others all
// the same.
//
// In JSON they are a column for each part, for a week by the hour would otherwise be longer than the rest of a
// season's field: {"from": "2027-02-10T06:00:00Z", "count": 3, "clocks": [{"hour": 0, "ahead": -360}],
// "temperature": [-2.5, -3, null]}. An absent value is null, a column without values is left out, and clocks has an
// item for the first hour and for each one in which clocks were changed.
type Hours []Hour

// Day gives the hours that the field's clocks count to a day: 23, 24 or 25 where the day is covered.
func (hs Hours) Day(day calendar.Day) Hours {
	from := func(day calendar.Day) int {
		n, _ := slices.BinarySearchFunc(hs, day, func(h Hour, day calendar.Day) int {
			shown, _ := h.Clock()
			return shown.Sub(day)
		})
		return n
	}
	first, end := from(day), from(day.Add(1))
	return hs[first:end:end]
}

// hourColumn is one part of the hours: its name in JSON, its bit, and where it stands.
type hourColumn struct {
	name string
	part HourParts
	get  func(*Hour) float64
	set  func(*Hour, float64)
}

func columnOf[Q ~float64](name string, part HourParts, at func(*Hour) *Q) hourColumn {
	return hourColumn{name, part, func(h *Hour) float64 { return float64(*at(h)) }, func(h *Hour, v float64) { *at(h) = Q(v) }}
}

func hourColumns() []hourColumn {
	return []hourColumn{
		columnOf("temperature", HourTemperature, func(h *Hour) *unit.Temperature { return &h.Temperature }),
		columnOf("humidity", HourHumidity, func(h *Hour) *unit.Fraction { return &h.Humidity }),
		columnOf("wind", HourWind, func(h *Hour) *unit.Speed { return &h.Wind }),
		columnOf("gust", HourGust, func(h *Hour) *unit.Speed { return &h.Gust }),
		columnOf("cloud", HourCloud, func(h *Hour) *unit.Fraction { return &h.Cloud }),
		columnOf("rain", HourRain, func(h *Hour) *unit.Water { return &h.Rain }),
		columnOf("rainChance", HourRainChance, func(h *Hour) *unit.Fraction { return &h.RainChance }),
	}
}

// hoursJSON are hours as columns.
type hoursJSON struct {
	From   time.Time  `json:"from"`
	Count  int        `json:"count"`
	Clocks []clocksAt `json:"clocks"`

	Temperature []*float64 `json:"temperature,omitempty"`
	Humidity    []*float64 `json:"humidity,omitempty"`
	Wind        []*float64 `json:"wind,omitempty"`
	Gust        []*float64 `json:"gust,omitempty"`
	Cloud       []*float64 `json:"cloud,omitempty"`
	Rain        []*float64 `json:"rain,omitempty"`
	RainChance  []*float64 `json:"rainChance,omitempty"`
}

// clocksAt says how far clocks are ahead of UTC from an hour on.
type clocksAt struct {
	Hour  int `json:"hour"`
	Ahead int `json:"ahead"`
}

func (j *hoursJSON) column(name string) *[]*float64 {
	return map[string]*[]*float64{
		"temperature": &j.Temperature, "humidity": &j.Humidity, "wind": &j.Wind, "gust": &j.Gust, "cloud": &j.Cloud,
		"rain": &j.Rain, "rainChance": &j.RainChance,
	}[name]
}

// mostHours bounds their number: half a year by the hour. mostAhead is a day's minutes, more than any clock's.
const (
	mostHours = 24 * 184
	mostAhead = 24 * 60
)

func (j *hoursJSON) check() error {
	if j.Count < 1 || j.Count > mostHours {
		return fmt.Errorf("hours: there are %d, expected 1 to %d", j.Count, mostHours)
	}
	if y := j.From.UTC().Year(); y < 1900 || y > 2200 {
		return fmt.Errorf("hours: they begin in the year %d, expected 1900 to 2200", y)
	}
	return nil
}

// MarshalJSON writes the hours as columns. It refuses hours that do not follow each other.
func (hs Hours) MarshalJSON() ([]byte, error) {
	if len(hs) == 0 {
		return []byte("null"), nil
	}
	out := hoursJSON{From: hs[0].At.UTC(), Count: len(hs)}
	if err := out.check(); err != nil {
		return nil, err
	}
	for i, h := range hs {
		if want := hs[0].At.Add(time.Duration(i) * time.Hour); !h.At.Equal(want) {
			return nil, fmt.Errorf("hours: hour %d begins at %s, expected %s: they follow each other", i, h.At.UTC().Format(time.RFC3339), want.UTC().Format(time.RFC3339))
		}
		if i == 0 || h.Ahead != hs[i-1].Ahead {
			out.Clocks = append(out.Clocks, clocksAt{i, h.Ahead})
		}
	}
	for _, c := range hourColumns() {
		*out.column(c.name) = hs.column(c)
	}
	return json.Marshal(out)
}

// column takes a part out of the hours; nil where none has it.
func (hs Hours) column(c hourColumn) []*float64 {
	var column []*float64
	for i := range hs {
		if hs[i].Has&c.part == 0 {
			continue
		}
		if column == nil {
			column = make([]*float64, len(hs))
		}
		v := c.get(&hs[i])
		column[i] = &v
	}
	return column
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (hs *Hours) UnmarshalJSON(data []byte) error {
	if string(data) == "null" {
		*hs = nil
		return nil
	}
	var in hoursJSON
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&in); err != nil {
		return fmt.Errorf("hours: %w", plain(err))
	}
	if err := in.check(); err != nil {
		return err
	}
	all := make(Hours, in.Count)
	if err := all.clocks(in.Clocks); err != nil {
		return err
	}
	for i := range all {
		all[i].At = in.From.UTC().Add(time.Duration(i) * time.Hour)
	}
	for _, c := range hourColumns() {
		column := *in.column(c.name)
		if column != nil && len(column) != in.Count {
			return fmt.Errorf("hours: %s has %d values, expected %d", c.name, len(column), in.Count)
		}
		for i, v := range column {
			if v != nil {
				c.set(&all[i], *v)
				all[i].Has |= c.part
			}
		}
	}
	*hs = all
	return nil
}

// clocks sets how far clocks are ahead, from the hours in which that changes.
func (hs Hours) clocks(changes []clocksAt) error {
	if len(changes) == 0 || changes[0].Hour != 0 {
		return errors.New("hours: clocks do not begin with hour 0; without them nobody knows what clocks showed")
	}
	for n, c := range changes {
		end := len(hs)
		if n+1 < len(changes) {
			end = changes[n+1].Hour
		}
		if c.Hour >= end || end > len(hs) {
			return fmt.Errorf("hours: clocks have hour %d before %d, expected rising hours below %d", c.Hour, end, len(hs))
		}
		if c.Ahead < -mostAhead || c.Ahead > mostAhead {
			return fmt.Errorf("hours: clocks are %d minutes ahead, expected at most %d either way", c.Ahead, mostAhead)
		}
		for i := c.Hour; i < end; i++ {
			hs[i].Ahead = c.Ahead
		}
	}
	return nil
}
