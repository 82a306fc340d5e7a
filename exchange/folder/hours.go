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

// mostHours bounds an hourly forecast in time, either way from its issue.
const mostHours = 40 * 24

// longestStep is the longest step, in hours, of which a temperature still tells a day's low and high.
const longestStep = 12

// span is a step placed in time.
type span struct {
	row        *forecastRow
	part       int
	start, end time.Time
	// ahead is how far clocks are ahead of UTC, in minutes, where the time says so.
	ahead    int
	hasAhead bool
}

// placed puts the rows from one on in order of time. A step that overlaps the one before it, or whose time cannot be,
// is left out and reported; a missing step is a gap.
func placed(rows []forecastRow, from int, zone *time.Location, at *rowsAt) []span {
	var last time.Time
	return slices.DeleteFunc(inTime(rows, from, zone, at), func(sp span) bool {
		if sp.start.Before(last) {
			at.doubt(sp.part, "time", "the step overlaps the one before it and is left out", sp.row.time, "a time at or after "+last.Format(time.RFC3339))
			return true
		}
		last = sp.end
		return false
	})
}

// expand puts the steps into hours.
func expand(spans []span, at *rowsAt) hourly.Series {
	s := hourly.Series{
		Temperature: hourly.Hours{}, DewPoint: hourly.Hours{}, Rain: hourly.Hours{}, Snow: hourly.Hours{}, Chance: hourly.Hours{},
		Wind: hourly.Hours{}, Gust: hourly.Hours{}, Humidity: hourly.Hours{}, Cloud: hourly.Hours{},
	}
	for _, sp := range spans {
		if sp.row.temperature.known && sp.end.Sub(sp.start) > longestStep*time.Hour {
			at.doubt(sp.part, "temperature", "one temperature for so long tells no low and high and is left out", sp.end.Sub(sp.start).String(), fmt.Sprintf("at most %d hours", longestStep))
			sp.row.temperature.known = false
		}
		sp.into(s)
	}
	return s
}

// setClocks takes what clocks show from the steps that say it.
func setClocks(hours season.Hours, spans []span) {
	next := 0
	for i := range hours {
		for next < len(spans) && !spans[next].end.After(hours[i].At) {
			next++
		}
		if next < len(spans) && spans[next].hasAhead && !spans[next].start.After(hours[i].At) {
			hours[i].Ahead = spans[next].ahead
		}
	}
}

// into adds what a step gives to the hours that it lasts.
func (sp span) into(s hourly.Series) {
	r := sp.row
	for _, of := range []struct {
		hours  hourly.Hours
		v      step
		addsUp bool
	}{
		{s.Temperature, r.temperature, false},
		{s.DewPoint, r.dewPoint, false},
		{s.Rain, step{float64(r.Rain), r.Has&season.HasRain != 0}, true},
		{s.Snow, step{float64(r.Snow), r.Has&season.HasSnow != 0}, true},
		{s.Chance, r.chance, false},
		{s.Wind, r.wind, false},
		{s.Gust, r.gust, false},
		{s.Humidity, r.humidity, false},
		{s.Cloud, r.cloud, false},
	} {
		if of.v.known {
			of.hours.Add(sp.start, sp.end, of.v.value, of.addsUp)
		}
	}
}

// inTime finds when each step begins and ends: after its own hours, or else where the next begins, or else
// after an hour, in order of time.
func inTime(rows []forecastRow, from int, zone *time.Location, at *rowsAt) []span {
	var spans []span
	var before time.Time
	for i := from; i < len(rows); i++ {
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
			sp := span{row: &rows[i], part: i, start: start}
			if sp.hasAhead = saysClock(rows[i].time); sp.hasAhead {
				_, ahead := start.Zone()
				sp.ahead = ahead / 60
			}
			spans = append(spans, sp)
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

const (
	wallClock  = "2006-01-02T15:04"
	withOffset = "2006-01-02T15:04:05-07:00"
)

// saysClock says that a time tells what clocks show: Z is UTC, whatever they show (RFC 9557).
func saysClock(text string) bool {
	_, err := time.Parse(time.RFC3339, text)
	return err == nil && !strings.HasSuffix(text, "Z")
}

// instant reads a time. One without offset is by the station's clock: where the clock shows it twice, as when
// it is put back, the second is meant if the row before was the first; where it never shows it, as when it is
// put forward, there is no such time.
func instant(text string, zone *time.Location, before time.Time) (t time.Time, why string) {
	if zone == nil && !saysClock(text) {
		return time.Time{}, "the station's clock is not known"
	}
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
