package advice

import (
	"fmt"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/season"
	"culm/spatial"
)

// most lines that are told of what was filled in; more would hide the rest.
const mostFills = 6

// blendWeather puts the logs of the field's further stations together with its own, and says what comes from
// where. With one station nothing changes.
func (c *inquiry) blendWeather() {
	blended, several := blend(c.fs)
	if !several {
		return
	}
	c.fs.Weather = blended.Days
	c.stations = spokenStations(blended.Stations, c.plan.Units)
	f := working.Figure{
		ID: "weather", Label: "Weather of the field", Text: c.stations,
		Origin: working.Origin{Kind: working.Observed, With: "stations weighted by the inverse square of their distance; a day is wet where most of the weight was wet"},
		Source: cite.Thornton1997, Status: cite.FromMemory,
	}
	for _, stop := range blended.Stopped {
		f.Notes = append(f.Notes, sentenceCase(stop.String())+".")
	}
	for i, fill := range blended.Filled {
		if i == mostFills {
			f.Notes = append(f.Notes, fmt.Sprintf("And %d more spans are filled from other stations.", len(blended.Filled)-mostFills))
			break
		}
		f.Notes = append(f.Notes, "Filled: "+fill.String()+".")
	}
	c.ledger().Add(f)
	for _, stop := range blended.Stopped {
		c.warn(sentenceCase(stop.String())+"; the others stand in.", f.ID)
	}
}

// blend makes one record of those of the field's stations. It returns false where the field has one station.
func blend(fs season.FieldSeason) (weather.Blended, bool) {
	if len(fs.Further) == 0 || fs.Station == nil {
		return weather.Blended{}, false
	}
	at := fs.Station.At
	if fs.Boundary != nil {
		if middle, ok := spatial.Centroid(fs.Boundary); ok {
			at = middle
		}
	}
	logs := []weather.Log{{Station: fs.Station.ID, Distance: at.Distance(fs.Station.At), Days: fs.Weather}}
	for _, l := range fs.Further {
		logs = append(logs, weather.Log{Station: l.Station.ID, Distance: at.Distance(l.Station.At), Days: l.Days})
	}
	blended := weather.Blend(logs)
	return blended, len(blended.Stations) > 0
}

// record names where the field's weather was measured.
func (c *inquiry) record() string {
	if c.stations != "" {
		return "the records of stations " + c.stations
	}
	return "the record of station " + c.fs.Field.Station
}

func spokenStations(logs []weather.Log, s unit.System) string {
	length, symbol := 1000*unit.Metre, "km"
	if s != unit.Metric {
		length, symbol = 5280*unit.Foot, "mi"
	}
	var names []string
	for _, l := range logs {
		names = append(names, fmt.Sprintf("%s (%.0f %s)", l.Station, float64(l.Distance/length), symbol))
	}
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
