// Package nws reads the forecast that the US National Weather Service publishes for a grid square: the
// GeoJSON of /gridpoints/{office}/{x},{y}, whose layers give each value with the interval it holds for
// (cite.NWSGridpoints). It fetches nothing; whoever calls brings the text.
//
// Values are run-length encoded and their intervals differ from layer to layer, so every layer is expanded by
// the hour: what holds throughout an interval, such as temperature, is repeated, and what adds up over it,
// such as rain, is split in equal parts by time, also across midnight. The hours are then gathered into days
// of the field's own time zone. A day that a layer does not cover from midnight to midnight lacks that part:
// the rest of a day is not the day. The hours stay beside the days.
package nws

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"culm/exchange/hourly"
	"culm/season"
)

// mostBytes bounds a forecast; a real one has a quarter of a megabyte.
const mostBytes = 16 << 20

// Read reads a gridpoint forecast for a station, in days of a time zone.
//
// The hours are kept, with what the clocks of the zone show, and become days as hourly.Series.Days makes them. A
// temperature that is said to hold for more than half a day tells no low and high and is left out.
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
	series := rd.series(properties)
	days := series.Days(loc)
	if len(days) == 0 {
		return nil, rd.problems, errors.New("the forecast covers no whole day with any of temperature, rain, wind and humidity")
	}
	return &season.Forecast{Station: station, Issued: issued, By: by(properties), Days: days, Hours: series.Hours(loc)}, rd.problems, nil
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

// series expands the layers that hours and days are made of.
func (r *reader) series(properties map[string]json.RawMessage) hourly.Series {
	read := func(k kind) hourly.Hours { return r.layer(k, properties[k.name]) }
	return hourly.Series{
		Temperature: read(temperature("temperature")),
		DewPoint:    read(dewPoint("dewpoint")),
		Rain:        read(depth("quantitativePrecipitation")),
		Snow:        read(depth("snowfallAmount")),
		Chance:      read(share("probabilityOfPrecipitation")),
		Wind:        read(speed("windSpeed")),
		Gust:        read(speed("windGust")),
		Humidity:    read(share("relativeHumidity")),
		Cloud:       read(share("skyCover")),
	}
}
