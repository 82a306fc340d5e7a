package folder

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"culm/exchange/hourly"
	"culm/season"
)

// hourRow is one step of an hourly forecast: from its time up to the time of the next.
type hourRow struct {
	issued time.Time
	by     string
	time   string  // as written; a time without offset is one of the station's clock
	hours  float64 // that the step is long; 0 where the next row tells
	// The values, each with whether the row gives it.
	temperature, rain, snow, chance, wind, humidity step
}

type step struct {
	value float64
	known bool
}

// mostHours bounds an hourly forecast in time, either way from its issue.
const mostHours = 40 * 24

// longestStep is the longest step, in hours, of which a temperature still tells a day's low and high.
const longestStep = 12

// readForecast reads forecast/<station>.csv: one day a row, or, where it has a column named time, one step of
// some hours.
func readForecast(data []byte, station string, k *known, r *report) []made {
	if !hasTimeColumn(data) {
		return forecastChapter().read(data, station, k, r)
	}
	zone, ok := zoneOf(station, k, r)
	if !ok {
		return nil
	}
	entries := hoursChapter(zone).read(data, station, k, r)
	for i := range entries {
		entries[i].lines = nil // the parts of a forecast are its days, which have no line of their own here
	}
	return entries
}

func hasTimeColumn(data []byte) bool {
	header, _, ok := readHeader(newScanner(data), &report{})
	return ok && slices.Contains(header, "time")
}

// hoursChapter is the hourly form, whose steps become days of a time zone. It is read and never written.
func hoursChapter(zone *time.Location) chapter {
	return sheet[hourRow, forecastKey]{
		kind:    season.KindForecast,
		columns: func(*known) []column[hourRow] { return hourColumns() },
		key: func(r *hourRow) forecastKey {
			_, offset := r.issued.Zone()
			return forecastKey{r.issued.UTC(), offset, r.by}
		},
		join: func(rows []hourRow, station string, at *rowsAt) season.Body {
			days := expand(rows, zone, at).Days(zone)
			if len(days) == 0 {
				at.wrong(0, "time", "the forecast covers no whole day", "", "every hour from midnight to midnight")
				return nil
			}
			return &season.Forecast{Station: station, Issued: rows[0].issued, By: rows[0].by, Days: days}
		},
	}.chapter()
}

func hourColumns() []column[hourRow] {
	type row = hourRow
	value := func(name string, scales []scale, at func(*row) *step) column[row] {
		return number(name, scales,
			func(r *row) (float64, bool) { return at(r).value, at(r).known },
			func(r *row, v float64) { *at(r) = step{v, true} })
	}
	return []column[row]{
		moment("issued", func(r *row) *time.Time { return &r.issued }).must(),
		text("time", func(r *row) *string { return &r.time }).must(),
		number("hours", plainNumber(), func(r *row) (float64, bool) { return r.hours, r.hours != 0 }, func(r *row, v float64) { r.hours = v }),
		value("temperature", temperatures(), func(r *row) *step { return &r.temperature }),
		value("rain", rains(), func(r *row) *step { return &r.rain }),
		value("snow", snows(), func(r *row) *step { return &r.snow }),
		value("rain_chance", percents(), func(r *row) *step { return &r.chance }),
		value("wind", winds(), func(r *row) *step { return &r.wind }),
		value("humidity", percents(), func(r *row) *step { return &r.humidity }),
		text("by", func(r *row) *string { return &r.by }),
	}
}

// span is a step placed in time.
type span struct {
	row        *hourRow
	part       int
	start, end time.Time
}

// expand puts the steps into hours. A step that overlaps the one before it, or whose time cannot be, is left
// out and reported; a missing step is a gap.
func expand(rows []hourRow, zone *time.Location, at *rowsAt) hourly.Series {
	spans := inTime(rows, zone, at)
	s := hourly.Series{
		Temperature: hourly.Hours{}, Rain: hourly.Hours{}, Snow: hourly.Hours{}, Chance: hourly.Hours{}, Wind: hourly.Hours{}, Humidity: hourly.Hours{},
	}
	var last time.Time
	for _, sp := range spans {
		if sp.start.Before(last) {
			at.doubt(sp.part, "time", "the step overlaps the one before it and is left out", sp.row.time, "a time at or after "+last.Format(time.RFC3339))
			continue
		}
		last = sp.end
		add := func(hours hourly.Hours, v step, addsUp bool) {
			if v.known {
				hours.Add(sp.start, sp.end, v.value, addsUp)
			}
		}
		if sp.end.Sub(sp.start) <= longestStep*time.Hour {
			add(s.Temperature, sp.row.temperature, false)
		} else if sp.row.temperature.known {
			at.doubt(sp.part, "temperature", "one temperature for so long tells no low and high and is left out", sp.end.Sub(sp.start).String(), fmt.Sprintf("at most %d hours", longestStep))
		}
		add(s.Rain, sp.row.rain, true)
		add(s.Snow, sp.row.snow, true)
		add(s.Chance, sp.row.chance, false)
		add(s.Wind, sp.row.wind, false)
		add(s.Humidity, sp.row.humidity, false)
	}
	return s
}

// inTime finds when each step begins and ends: after its own hours, or else where the next begins, or else
// after an hour, in order of time.
func inTime(rows []hourRow, zone *time.Location, at *rowsAt) []span {
	var spans []span
	var before time.Time
	for i := range rows {
		start, why := instant(rows[i].time, zone, before)
		far := start.Sub(rows[i].issued).Hours()
		switch {
		case why != "":
			at.doubt(i, "time", why+"; the step is left out", rows[i].time, "such as 2027-02-10T06:00:00-06:00, or without the offset by the station's clock")
		case !(far > -mostHours && far < mostHours):
			at.doubt(i, "time", "the step lies too far from the time of issue and is left out", rows[i].time, "within 40 days")
		case !(rows[i].hours >= 0 && rows[i].hours <= mostHours):
			at.doubt(i, "hours", "a step cannot be that long and is left out", strconv.FormatFloat(rows[i].hours, 'g', -1, 64), "a number of hours")
		default:
			before = start
			spans = append(spans, span{row: &rows[i], part: i, start: start})
		}
	}
	slices.SortStableFunc(spans, func(a, b span) int { return a.start.Compare(b.start) })
	for i := range spans {
		sp := &spans[i]
		switch {
		case sp.row.hours > 0:
			sp.end = sp.start.Add(time.Duration(sp.row.hours * float64(time.Hour)))
		case i+1 < len(spans) && spans[i+1].start.After(sp.start):
			sp.end = spans[i+1].start
		default:
			sp.end = sp.start.Add(time.Hour)
		}
	}
	return spans
}

const wallClock = "2006-01-02T15:04"

// instant reads a time. One without offset is by the station's clock: where the clock shows it twice, as when
// it is put back, the second is meant if the row before was the first; where it never shows it, as when it is
// put forward, there is no such time.
func instant(text string, zone *time.Location, before time.Time) (t time.Time, why string) {
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, ""
	}
	clock := strings.Replace(text, " ", "T", 1)
	clock = strings.TrimSuffix(clock, ":00")
	if strings.Count(clock, ":") == 0 {
		clock += ":00" // the seconds were not there, and the minutes were
	}
	t, err := time.ParseInLocation(wallClock, clock, zone)
	if err != nil {
		return time.Time{}, "the time cannot be read"
	}
	if t.Format(wallClock) != clock {
		return time.Time{}, "clocks were put forward over that time"
	}
	first, second := t, t
	if earlier := t.Add(-time.Hour); earlier.Format(wallClock) == clock {
		first = earlier
	}
	if later := t.Add(time.Hour); later.Format(wallClock) == clock {
		second = later
	}
	if !before.IsZero() && !first.After(before) {
		return second, ""
	}
	return first, ""
}

// zoneOf is the time zone whose days a station's forecast is gathered into: the one its fields' clocks keep,
// or else the mean solar time of its meridian, to the hour, as a day's weather hardly moves with an hour.
func zoneOf(station string, k *known, r *report) (*time.Location, bool) {
	s := k.stations[station]
	if s == nil {
		r.wrong(0, "station", "there is no station with this id, so the forecast's days have no midnight", quoted(station), "the id of a station of season.yaml as the file's name")
		return nil, false
	}
	if s.Zone == "" {
		return time.FixedZone("", int(math.Round(s.At.Lon/15))*3600), true
	}
	zone, err := time.LoadLocation(s.Zone)
	if err != nil || s.Zone == "Local" {
		r.wrong(0, "zone", "the time zone of station "+station+" is not known", quoted(s.Zone), "a name such as America/Chicago")
		return nil, false
	}
	return zone, true
}
