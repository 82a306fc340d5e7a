package season

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"culm/agronomy/calendar"
)

// Limits of weather. The highest air temperature on record is 56.7 °C (World Meteorological Organization,
// weather and climate extremes archive; from memory). The rest is common practice, no source.
const (
	hottest       = 57.0  // °C
	hotForWinter  = 35.0  // °C, in the coldest three months beyond 30 degrees of latitude
	coldForSummer = 5.0   // °C, a day's highest in July or August there
	coldest       = -70.0 // °C
	wettest       = 250.0 // mm in a day
	deepestSnow   = 5000.0
	oddDays       = 3 // so many odd days are no accident
	staleLog      = 3 // days behind today
	staleForecast = 3 // days since it was issued
)

// stationLog is a station's weather with the entries it comes from.
type stationLog struct {
	entries []Entry
	days    []loggedDay
}

type loggedDay struct {
	WeatherDay
	entry Entry
	part  int
}

// weather looks at the log of each station.
func (c *checker) weather() {
	logs := map[string]*stationLog{}
	for _, e := range c.standing {
		w, ok := e.Body.(*Weather)
		if !ok {
			continue
		}
		l := logs[w.Station]
		if l == nil {
			l = &stationLog{}
			logs[w.Station] = l
		}
		l.entries = append(l.entries, e)
		for i, d := range w.Days {
			l.days = append(l.days, loggedDay{d, e, i})
		}
	}
	for _, id := range slices.Sorted(maps.Keys(logs)) {
		l := logs[id]
		slices.SortStableFunc(l.days, func(a, b loggedDay) int { return a.Day.Sub(b.Day) })
		if _, known := c.season.Stations[id]; !known {
			c.unknown.note(l.entries[0], "station", id)
		}
		if len(l.days) == 0 {
			continue
		}
		c.temperatures(id, l)
		c.water(l)
		c.days(id, l)
	}
	c.unlogged(logs)
}

// temperatures finds swapped columns and the wrong scale in the whole log before it looks at single days: a
// file of Fahrenheit is one mistake and not two hundred.
func (c *checker) temperatures(id string, l *stationLog) {
	var reversed, measured []loggedDay
	for _, d := range l.days {
		if d.Has&HasTemperature == 0 {
			continue
		}
		measured = append(measured, d)
		if d.Low > d.High {
			reversed = append(reversed, d)
		}
	}
	if len(reversed) > oddDays && 2*len(reversed) > len(measured) {
		c.sayPart(reversed[0].entry, reversed[0].part, wrong("low", "on most days the low is above the high; the columns may be swapped",
			fmt.Sprintf("%d of %d days", len(reversed), len(measured)), "low below high"))
		reversed = nil
	}
	for _, d := range reversed {
		c.sayPart(d.entry, d.part, wrong("low", "the low is above the high", fmt.Sprintf("%s: %.1f and %.1f °C", d.Day, float64(d.Low), float64(d.High)), "low below high"))
	}
	c.scale(id, measured)
}

// scale finds Fahrenheit among Celsius, which is hotter than air has been or hot in winter, and Celsius among
// Fahrenheit, which freezes in summer.
func (c *checker) scale(id string, days []loggedDay) {
	at, known := c.season.Stations[id]
	lat := 40.0 // where a station's place is not known, take it for one of the northern hemisphere
	if known {
		lat = at.At.Lat
	}
	var hot, cold []loggedDay
	for _, d := range days {
		switch m := seasonMonth(d.Day, lat); {
		case float64(d.High) > hottest:
			c.sayPart(d.entry, d.part, wrong("high", "it has never been that hot; the temperatures look like Fahrenheit in a column for Celsius",
				fmt.Sprintf("%s: %.1f °C", d.Day, float64(d.High)), "degrees Celsius, or columns named low_f and high_f"))
			return
		case float64(d.Low) < coldest:
			c.sayPart(d.entry, d.part, wrong("low", "it is never that cold where crops grow", fmt.Sprintf("%s: %.1f °C", d.Day, float64(d.Low)), "a temperature of air"))
			return
		case abs(lat) >= 30 && (m == time.December || m <= time.February) && float64(d.High) > hotForWinter:
			hot = append(hot, d)
		case abs(lat) >= 30 && abs(lat) <= 55 && (m == time.July || m == time.August) && float64(d.High) < coldForSummer:
			cold = append(cold, d)
		}
	}
	if len(hot) >= oddDays {
		c.sayPart(hot[0].entry, hot[0].part, wrong("high", "so many hot days in winter look like Fahrenheit in a column for Celsius",
			fmt.Sprintf("%d days above %g °C, the first %s", len(hot), hotForWinter, hot[0].Day), "degrees Celsius, or columns named low_f and high_f"))
	}
	if len(cold) >= oddDays {
		c.sayPart(cold[0].entry, cold[0].part, wrong("high", "so many cold days in summer look like Celsius in a column for Fahrenheit",
			fmt.Sprintf("%d days below %g °C, the first %s", len(cold), coldForSummer, cold[0].Day), "degrees Fahrenheit, or columns named low_c and high_c"))
	}
}

// seasonMonth is the month of the year as the northern hemisphere counts the seasons.
func seasonMonth(d calendar.Day, lat float64) time.Month {
	m := d.Time().Month()
	if lat < 0 {
		m = (m+5)%12 + 1
	}
	return m
}

func abs(v float64) float64 { return max(v, -v) }

// water looks at rain and snow day by day.
func (c *checker) water(l *stationLog) {
	for _, d := range l.days {
		rain, snow := float64(d.Rain), float64(d.Snow)
		switch {
		case d.Has&HasRain != 0 && !(rain >= 0):
			c.sayPart(d.entry, d.part, wrong("rain", "rain cannot be less than nothing", fmt.Sprintf("%s: %g mm", d.Day, rain), "0 or more; an empty cell where it was not measured"))
		case d.Has&HasRain != 0 && rain > wettest:
			c.sayPart(d.entry, d.part, doubt("rain", "that is a flood; is the column named for the right unit?", fmt.Sprintf("%s: %.0f mm", d.Day, rain), fmt.Sprintf("at most %g mm in a day", wettest)))
		case d.Has&HasSnow != 0 && !(snow >= 0 && snow <= deepestSnow):
			c.sayPart(d.entry, d.part, wrong("snow", "snow cannot lie that deep", fmt.Sprintf("%s: %g mm", d.Day, snow), "a depth of snow from 0 on"))
		}
	}
}

// days finds days that are missing, that stand twice or are still to come.
func (c *checker) days(id string, l *stationLog) {
	var missing []string
	for i, d := range l.days[1:] {
		before := l.days[i]
		switch gap := d.Day.Sub(before.Day); {
		case gap == 0:
			c.sayPart(d.entry, d.part, wrong("date", "a day stands twice in the log of station "+id, d.Day.String(), "each day once"))
		case gap > 1:
			missing = append(missing, span(before.Day.Add(1), d.Day.Add(-1)))
		}
	}
	first, last := l.days[0], l.days[len(l.days)-1]
	if len(missing) > 0 {
		c.say(first.entry, doubt("date", "days are missing from the log of station "+id, someOf(missing), "every day; leave cells empty where nothing was measured"))
	}
	if c.today.IsZero() {
		return
	}
	switch behind := c.today.Sub(last.Day); {
	case behind < 0:
		c.sayPart(last.entry, last.part, doubt("date", "the log of station "+id+" holds days after today, which are not counted", last.Day.String(), "days up to "+c.today.String()))
	case behind > staleLog:
		c.sayPart(last.entry, last.part, doubt("date", fmt.Sprintf("the log of station %s ends %d days before today", id, behind), last.Day.String(), "weather up to yesterday"))
	}
}

// span writes a range of days.
func span(from, to calendar.Day) string {
	if from == to {
		return from.String()
	}
	return from.String() + " to " + to.String()
}

// unlogged doubts stations whose fields have no weather, or none from planting on.
func (c *checker) unlogged(logs map[string]*stationLog) {
	fieldsOf := map[string][]Field{}
	for _, f := range c.season.Fields {
		station := c.season.StationOf(f)
		fieldsOf[station] = append(fieldsOf[station], f)
	}
	for _, e := range c.standing {
		s, ok := e.Body.(*Station)
		if !ok || len(fieldsOf[s.ID]) == 0 {
			continue
		}
		l := logs[s.ID]
		if l == nil || len(l.days) == 0 {
			c.say(e, doubt("", "station "+s.ID+" has no weather, so growing days are not known", "", "a file weather/"+s.ID+".csv"))
			continue
		}
		var late []string
		begins := l.days[0].Day
		for _, f := range fieldsOf[s.ID] {
			if !f.Planted.IsZero() && f.Planted.Before(begins) {
				late = append(late, f.ID)
			}
		}
		if len(late) > 0 {
			c.say(e, doubt("", "the log of station "+s.ID+" begins after fields were planted", begins.String()+"; fields "+someOf(late), "weather from planting on"))
		}
	}
}

// forecasts looks at the latest forecast of each station.
func (c *checker) forecasts() {
	for _, e := range c.standing {
		f, ok := e.Body.(*Forecast)
		if !ok || c.season.LatestForecast(f.Station) != f {
			continue
		}
		if _, known := c.season.Stations[f.Station]; !known {
			c.unknown.note(e, "station", f.Station)
		}
		if len(f.Days) == 0 {
			c.say(e, doubt("date", "the forecast for station "+f.Station+" has no days", "", "the coming days"))
			continue
		}
		c.forecastAge(e, f)
		c.forecastDays(e, f)
		c.forecastHours(e, f)
	}
}

// forecastAge tells when a forecast is over or old.
func (c *checker) forecastAge(e Entry, f *Forecast) {
	issued, last := calendar.FromTime(f.Issued), f.Days[len(f.Days)-1].Day
	switch {
	case c.today.IsZero():
	case last.Before(c.today):
		c.say(e, doubt("date", "the forecast for station "+f.Station+" is over, so nothing is known of the days to come", "its last day is "+last.String(), "a forecast that reaches past "+c.today.String()))
	case c.today.Sub(issued) > staleForecast:
		c.say(e, doubt("issued", fmt.Sprintf("the forecast for station %s was issued %d days ago", f.Station, c.today.Sub(issued)), issued.String(), fmt.Sprintf("one of the last %d days", staleForecast)))
	case issued.Sub(c.today) > 1: // the world's clocks are up to a day apart
		c.say(e, doubt("issued", "the forecast for station "+f.Station+" was issued after today", issued.String(), "a day up to "+c.today.String()))
	}
}

func (c *checker) forecastDays(e Entry, f *Forecast) {
	var missing []string
	for i, d := range f.Days {
		if i > 0 {
			switch gap := d.Day.Sub(f.Days[i-1].Day); {
			case gap < 1:
				c.sayPart(e, i, wrong("date", "a day stands twice in the forecast for station "+f.Station, d.Day.String(), "each day once, in order"))
			case gap > 1:
				missing = append(missing, span(f.Days[i-1].Day.Add(1), d.Day.Add(-1)))
			}
		}
		c.forecastDay(e, i, d)
	}
	if len(missing) > 0 {
		c.say(e, doubt("date", "days are missing from the forecast for station "+f.Station, strings.Join(missing, ", "), "every day"))
	}
}

func (c *checker) forecastDay(e Entry, part int, d ForecastDay) {
	at := d.Day.String() + ": "
	if d.Has&HasTemperature != 0 {
		switch {
		case d.Low > d.High:
			c.sayPart(e, part, wrong("low", "the low is above the high", fmt.Sprintf("%s%.1f and %.1f °C", at, float64(d.Low), float64(d.High)), "low below high"))
		case float64(d.High) > hottest:
			c.sayPart(e, part, wrong("high", "it has never been that hot; the temperatures look like Fahrenheit in a column for Celsius", fmt.Sprintf("%s%.1f °C", at, float64(d.High)), "degrees Celsius"))
		}
	}
	for _, v := range []struct {
		field string
		has   bool
		value float64
		high  float64
		word  string
	}{
		{"rain", d.Has&HasRain != 0, float64(d.Rain), 1000, "0 to 1000 mm"},
		{"snow", d.Has&HasSnow != 0, float64(d.Snow), deepestSnow, "0 to 5000 mm"},
		{"rain_chance", true, float64(d.RainChance), 1, "0 to 100 %"},
		{"wind", d.Has&HasWind != 0, float64(d.Wind), 60, "0 to 60 m/s"},
		{"humidity", d.Has&HasHumidity != 0, float64(d.Humidity), 1, "0 to 100 %"},
	} {
		if v.has && !(v.value >= 0 && v.value <= v.high) {
			c.sayPart(e, part, wrong(v.field, "a part of the forecast cannot be", fmt.Sprintf("%s%g", at, v.value), v.word))
		}
	}
}

// forecastHours reports the first hour that cannot be: a wrong unit makes all of them wrong alike.
func (c *checker) forecastHours(e Entry, f *Forecast) {
	for _, h := range f.Hours {
		for _, v := range []struct {
			field     string
			part      HourParts
			value     float64
			low, high float64
			word      string
		}{
			{"temperature", HourTemperature, float64(h.Temperature), coldest, hottest, "-70 to 57 °C"},
			{"rain", HourRain, float64(h.Rain), 0, 500, "0 to 500 mm"},
			{"rain_chance", HourRainChance, float64(h.RainChance), 0, 1, "0 to 100 %"},
			{"wind", HourWind, float64(h.Wind), 0, 60, "0 to 60 m/s"},
			{"gust", HourGust, float64(h.Gust), 0, 120, "0 to 120 m/s"},
			{"cloud", HourCloud, float64(h.Cloud), 0, 1, "0 to 100 %"},
			{"humidity", HourHumidity, float64(h.Humidity), 0, 1, "0 to 100 %"},
		} {
			if h.Has&v.part != 0 && !(v.value >= v.low && v.value <= v.high) {
				day, hour := h.Clock()
				c.sayPart(e, partOf(f.Days, day), wrong(v.field, "an hour of the forecast cannot be", fmt.Sprintf("%s, %d o'clock: %g", day, hour, v.value), v.word))
				return
			}
		}
	}
}

// partOf is the part of a forecast that a day is; the first one where it has no such day.
func partOf(days []ForecastDay, day calendar.Day) int {
	return max(0, slices.IndexFunc(days, func(d ForecastDay) bool { return d.Day == day }))
}
