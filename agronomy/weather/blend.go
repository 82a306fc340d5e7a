package weather

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Log is a station's record and how far the station lies from the field.
type Log struct {
	Station  string
	Distance unit.Length
	Days     []season.WeatherDay // in order of day
}

// Blended is a field's weather made from several stations.
type Blended struct {
	Days []season.WeatherDay
	// Stations are those that have a day at all, nearest first, with their distance.
	Stations []Log
	// Filled lists what the nearest station lacks and others gave.
	Filled []Fill
	// Stopped lists the stations whose record ends before the others'.
	Stopped []Stop
}

// Fill is a run of days on which a part of the weather comes from stations other than the nearest.
type Fill struct {
	Part     season.Parts // one part
	From, To calendar.Day
	By       []string // ids, nearest first
}

// String writes "rain from 2027-01-03 to 2027-01-05 from elm".
func (f Fill) String() string {
	span := "on " + f.From.String()
	if f.From != f.To {
		span = "from " + f.From.String() + " to " + f.To.String()
	}
	return fmt.Sprintf("%s %s is that of %s", partName(f.Part), span, strings.Join(f.By, ", "))
}

// Stop is a station whose record ends before that of others.
type Stop struct {
	Station string
	Last    calendar.Day // zero where there is no day at all
}

// String writes "the record of elm ends on 2027-01-05".
func (s Stop) String() string {
	if s.Last.IsZero() {
		return "station " + s.Station + " has no record"
	}
	return "the record of station " + s.Station + " ends on " + s.Last.String()
}

// How stations are blended. Common practice, no source.
const (
	// closest is the least distance that counts, m: a station in the field does not silence all others.
	closest = 1000
	// wetFrom is the least rain that makes a day wet, mm: the hundredth of an inch that a gauge shows.
	wetFrom = 0.25
	// stoppedAfter is how many days a record may lag behind before it counts as ended.
	stoppedAfter = 3
)

// Blend makes one record from the logs of several stations, each weighing by the inverse square of its
// distance. A part of a day is made from the stations that measured it, and missing where none did.
//
// Temperatures are weighted means. Rain is not: it falls on some stations and not on others, and a mean of
// amounts turns one heavy rain into drizzle on more days, neither of which carries urea in as the rain would
// have. So the day is wet only if stations with more than half of the weight were wet (of two halves, the
// nearest decides), and then has the weighted mean of the wet ones, the rule of Thornton, Running and White
// 1997 (cite.Thornton1997) with a limit of a half. Depth of snow goes the same way. Where stations disagree
// much, wet days become somewhat fewer than at any one of them.
//
// Nothing is corrected for height: a station that lies far above or below the field should not be named.
func Blend(logs []Log) Blended {
	sorted := slices.Clone(logs)
	slices.SortStableFunc(sorted, func(a, b Log) int {
		return cmp.Or(cmp.Compare(a.Distance, b.Distance), cmp.Compare(a.Station, b.Station))
	})
	b := Blended{Stopped: stopped(sorted)}
	for _, l := range sorted {
		if len(l.Days) > 0 {
			b.Stations = append(b.Stations, l)
		}
	}
	at := make([]int, len(b.Stations)) // the next day of each
	for {
		day, more := nextDay(b.Stations, at)
		if !more {
			return b
		}
		b.add(day, at)
	}
}

func stopped(logs []Log) []Stop {
	last := func(l Log) calendar.Day {
		if len(l.Days) == 0 {
			return calendar.Day{}
		}
		return l.Days[len(l.Days)-1].Day
	}
	var newest calendar.Day
	for _, l := range logs {
		if d := last(l); d.After(newest) {
			newest = d
		}
	}
	var stops []Stop
	for _, l := range logs {
		if d := last(l); d.IsZero() || newest.Sub(d) > stoppedAfter {
			stops = append(stops, Stop{l.Station, d})
		}
	}
	return stops
}

func nextDay(logs []Log, at []int) (day calendar.Day, more bool) {
	for i, l := range logs {
		if at[i] < len(l.Days) && (!more || l.Days[at[i]].Day.Before(day)) {
			day, more = l.Days[at[i]].Day, true
		}
	}
	return day, more
}

// share is one station's day and its weight, in order of distance.
type share struct {
	season.WeatherDay
	weight float64
	log    int
}

// add blends one day and steps past it in each log.
func (b *Blended) add(day calendar.Day, at []int) {
	var shares []share
	for i, l := range b.Stations {
		for at[i] < len(l.Days) && l.Days[at[i]].Day == day {
			d := max(closest, float64(l.Distance))
			shares = append(shares, share{l.Days[at[i]], 1 / (d * d), i})
			at[i]++
		}
	}
	blended := season.WeatherDay{Day: day}
	for _, part := range []season.Parts{season.HasTemperature, season.HasRain, season.HasSnow} {
		var have []share
		for _, s := range shares {
			if s.Has&part != 0 {
				have = append(have, s)
			}
		}
		if len(have) == 0 {
			continue
		}
		blended.Has |= part
		switch part {
		case season.HasTemperature:
			blended.Low = unit.Temperature(mean(have, func(s share) float64 { return float64(s.Low) }))
			blended.High = unit.Temperature(mean(have, func(s share) float64 { return float64(s.High) }))
		case season.HasRain:
			blended.Rain = unit.Water(fallen(have, wetFrom, func(s share) float64 { return float64(s.Rain) }))
		case season.HasSnow:
			blended.Snow = unit.Water(fallen(have, wetFrom, func(s share) float64 { return float64(s.Snow) }))
		}
		if have[0].log != 0 {
			b.fill(part, day, have)
		}
	}
	b.Days = append(b.Days, blended)
}

// mean is the weighted mean, and exactly the value itself where there is one only.
func mean(have []share, value func(share) float64) float64 {
	if len(have) == 1 {
		return value(have[0])
	}
	sum, weight := 0.0, 0.0
	for _, s := range have {
		sum += s.weight * value(s)
		weight += s.weight
	}
	return sum / weight
}

// fallen is what fell, by the rule of wet days, and exactly the value itself where there is one only.
func fallen(have []share, from float64, value func(share) float64) float64 {
	if len(have) == 1 {
		return value(have[0])
	}
	var wet []share
	balance := 0.0
	for _, s := range have {
		if value(s) >= from {
			wet = append(wet, s)
			balance += s.weight
		} else {
			balance -= s.weight
		}
	}
	nearestIsWet := value(have[0]) >= from
	tied := balance > -1e-9*have[0].weight && balance < 1e-9*have[0].weight
	if tied && !nearestIsWet || !tied && balance < 0 {
		return 0
	}
	return mean(wet, value)
}

func (b *Blended) fill(part season.Parts, day calendar.Day, have []share) {
	var by []string
	for _, s := range have {
		by = append(by, b.Stations[s.log].Station)
	}
	for i := len(b.Filled) - 1; i >= 0; i-- {
		f := &b.Filled[i]
		if f.Part == part {
			if f.To.Add(1) == day && slices.Equal(f.By, by) {
				f.To = day
				return
			}
			break
		}
	}
	b.Filled = append(b.Filled, Fill{Part: part, From: day, To: day, By: by})
}
