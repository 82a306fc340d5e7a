// Package nws reads the forecast that the US National Weather Service publishes for a grid square: the
// GeoJSON of /gridpoints/{office}/{x},{y}, whose layers give each value with the interval it holds for
// (cite.NWSGridpoints). It fetches nothing; whoever calls brings the text.
//
// Values are run-length encoded and their intervals differ from layer to layer, so every layer is expanded by
// the hour: what holds throughout an interval, such as temperature, is repeated, and what adds up over it,
// such as rain, is split in equal parts by time, also across midnight. The hours are then gathered into days
// of the field's own time zone. A day that a layer does not cover from midnight to midnight lacks that part:
// the rest of a day is not the day.
package nws

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// mostBytes bounds a forecast; a real one has a quarter of a megabyte.
const mostBytes = 16 << 20

// Daylight hours of a winter day, in which a sprayer works: wind and humidity are their means.
const (
	daylightFrom = 8
	daylightTo   = 18
)

// Read reads a gridpoint forecast for a station, in days of a time zone.
//
// Of each day it takes the lowest and highest hourly temperature, the rain, the snow that falls (as
// WeatherDay.Snow, present only when some falls, since old snow may lie where none does), the highest chance
// of rain in any of its intervals (0 also when none was given), and the means of wind and humidity from 8 to
// 18 o'clock. A temperature that is said to hold for more than half a day tells no low and high and is left
// out.
//
// What cannot be read is left out and reported, with the layer and the index of the value. An error means
// that there is no forecast at all: not this kind of file, no time of issue, or no whole day.
func Read(r io.Reader, station string, loc *time.Location) (*season.Forecast, []season.Problem, error) {
	if loc == nil {
		return nil, nil, errors.New("no time zone given; a day of the forecast has no beginning without one")
	}
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, nil, fmt.Errorf("reading the forecast: %w", err)
	}
	if len(data) > mostBytes {
		return nil, nil, fmt.Errorf("the forecast has more than %d MB; expected under 1 MB", mostBytes>>20)
	}
	properties, err := open(data)
	if err != nil {
		return nil, nil, err
	}
	issued, err := issue(properties)
	if err != nil {
		return nil, nil, err
	}
	rd := &reader{issued: issued}
	days := rd.days(properties, loc)
	if len(days) == 0 {
		return nil, rd.problems, errors.New("the forecast covers no whole day with any of temperature, rain, wind and humidity")
	}
	return &season.Forecast{Station: station, Issued: issued, By: by(properties), Days: days}, rd.problems, nil
}

// open gives the properties of a gridpoint, and says what else the file is if it is something else.
func open(data []byte) (map[string]json.RawMessage, error) {
	var file struct {
		Properties map[string]json.RawMessage `json:"properties"`
	}
	if err := json.Unmarshal(data, &file); err != nil {
		return nil, fmt.Errorf("the forecast is not readable GeoJSON: %w", err)
	}
	const expected = "expected the grid forecast, /gridpoints/{office}/{x},{y}"
	switch p := file.Properties; {
	case p["periods"] != nil:
		return nil, errors.New("this is the forecast in words by half days; " + expected)
	case p["forecastGridData"] != nil:
		return nil, errors.New("this only says where the forecast is; " + expected + ", which it names as forecastGridData")
	case p["updateTime"] == nil:
		return nil, errors.New(`the file has no properties.updateTime, so it does not say when it was issued; ` + expected)
	}
	return file.Properties, nil
}

func issue(properties map[string]json.RawMessage) (time.Time, error) {
	var text string
	if err := json.Unmarshal(properties["updateTime"], &text); err != nil {
		return time.Time{}, fmt.Errorf("properties.updateTime is %s, expected a time", clip(string(properties["updateTime"])))
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil || t.Year() < 1900 || t.Year() > 2200 {
		return time.Time{}, fmt.Errorf("properties.updateTime is %q, expected a time such as 2027-02-10T15:25:14+00:00", clip(text))
	}
	return t, nil
}

// by names the office and the grid square, whose numbers older replies write in quotes.
func by(properties map[string]json.RawMessage) string {
	text := func(name string) string { return clip(strings.Trim(string(properties[name]), `"`)) }
	if text("gridId") == "" || text("gridX") == "" || text("gridY") == "" {
		return "National Weather Service"
	}
	return fmt.Sprintf("National Weather Service, grid %s %s,%s", text("gridId"), text("gridX"), text("gridY"))
}

// layers are those that a day is made of, by the hour.
type layers struct {
	temperature, rain, snow, chance, wind, humidity hours
}

func (r *reader) days(properties map[string]json.RawMessage, loc *time.Location) []season.ForecastDay {
	read := func(k kind) hours { return r.layer(k, properties[k.name]) }
	l := layers{
		temperature: read(temperature("temperature")),
		rain:        read(depth("quantitativePrecipitation")),
		snow:        read(depth("snowfallAmount")),
		chance:      read(share("probabilityOfPrecipitation")),
		wind:        read(speed("windSpeed")),
		humidity:    read(share("relativeHumidity")),
	}
	first, last, some := l.span()
	if !some {
		return nil
	}
	var days []season.ForecastDay
	for day := calendar.FromTime(first.In(loc)); !day.After(calendar.FromTime(last.In(loc))); day = day.Add(1) {
		days = append(days, l.day(day, loc))
	}
	empty := func(d season.ForecastDay) bool { return d.Has == 0 }
	for len(days) > 0 && empty(days[0]) {
		days = days[1:]
	}
	for len(days) > 0 && empty(days[len(days)-1]) {
		days = days[:len(days)-1]
	}
	return days
}

// span is the first and the last hour of any layer.
func (l layers) span() (first, last time.Time, some bool) {
	var keys []int64
	for _, layer := range []hours{l.temperature, l.rain, l.snow, l.wind, l.humidity} {
		for key := range layer {
			keys = append(keys, key)
		}
	}
	if len(keys) == 0 {
		return first, last, false
	}
	return time.Unix(3600*slices.Min(keys), 0), time.Unix(3600*slices.Max(keys), 0), true
}

// day gathers the hours of one local day, 23 to 25 of them.
func (l layers) day(day calendar.Day, loc *time.Location) season.ForecastDay {
	whole, daylight := hoursOf(day, 0, 24, loc), hoursOf(day, daylightFrom, daylightTo, loc)
	d := season.ForecastDay{WeatherDay: season.WeatherDay{Day: day}}
	if t, ok := l.temperature.over(whole); ok {
		d.Low, d.High = unit.Temperature(t.low), unit.Temperature(t.high)
		d.Has |= season.HasTemperature
	}
	if t, ok := l.rain.over(whole); ok {
		d.Rain = unit.Water(t.sum)
		d.Has |= season.HasRain
	}
	if t, ok := l.snow.over(whole); ok && t.sum > 0 {
		d.Snow = unit.Water(t.sum)
		d.Has |= season.HasSnow
	}
	if t, ok := l.wind.over(daylight); ok {
		d.Wind = unit.Speed(t.mean)
		d.Has |= season.HasWind
	}
	if t, ok := l.humidity.over(daylight); ok {
		d.Humidity = unit.Fraction(t.mean)
		d.Has |= season.HasHumidity
	}
	for _, key := range whole {
		if one := l.chance[key]; one.seconds > 0 {
			d.RainChance = max(d.RainChance, unit.Fraction(one.mean()))
		}
	}
	return d
}

// hoursOf lists the hours of a local day from one o'clock to another.
func hoursOf(day calendar.Day, from, to int, loc *time.Location) []int64 {
	y, m, d := day.Time().Date()
	end := time.Date(y, m, d, to, 0, 0, 0, loc)
	var keys []int64
	for at := time.Date(y, m, d, from, 0, 0, 0, loc); at.Before(end); at = at.Add(time.Hour) {
		keys = append(keys, at.Unix()/3600)
	}
	return keys
}

// over are the figures of some hours of a layer; false unless every one of them is covered.
func (h hours) over(keys []int64) (t totals, known bool) {
	for i, key := range keys {
		one := h[key]
		if !one.covered() {
			return totals{}, false
		}
		v := one.mean()
		if i == 0 {
			t.low, t.high = v, v
		}
		t.low, t.high = min(t.low, v), max(t.high, v)
		t.sum += one.sum
		t.mean += v / float64(len(keys))
	}
	return t, len(keys) > 0
}

// totals are the figures of a run of hours. The sum is that of what adds up.
type totals struct{ low, high, mean, sum float64 }
