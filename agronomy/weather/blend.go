package weather

import (
	"cmp"
	"fmt"
	"math"
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
	// wetFrom is the least rain or depth of snow that counts, mm: the hundredth of an inch that a gauge shows.
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
	w := blender{Blended: b, at: make([]int, len(b.Stations))}
	w.run()
	return w.Blended
}

// blender walks the logs side by side.
type blender struct {
	Blended
	at []int // the next day of each log
	// What one day needs, kept from day to day.
	today []share // the stations that have the day
	have  []share // those of them that measured a part
	wet   []share // those of them on which something fell
}

// share is one station's day and its weight, in order of distance.
type share struct {
	day    *season.WeatherDay
	weight float64
	log    int
}

func (b *blender) run() {
	longest := 0
	for _, l := range b.Stations {
		longest = max(longest, len(l.Days))
	}
	b.Days = make([]season.WeatherDay, 0, longest)
	for {
		day, more := nextDay(b.Stations, b.at)
		if !more {
			return
		}
		b.add(day)
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

// add blends one day and steps past it in each log.
func (b *blender) add(day calendar.Day) {
	b.today = b.today[:0]
	for i := range b.Stations {
		l := &b.Stations[i]
		for b.at[i] < len(l.Days) && l.Days[b.at[i]].Day == day {
			d := max(closest, float64(l.Distance))
			b.today = append(b.today, share{&l.Days[b.at[i]], 1 / (d * d), i})
			b.at[i]++
		}
	}
	blended := season.WeatherDay{Day: day}
	if have := b.measured(&blended, season.HasTemperature); len(have) > 0 {
		blended.Low = unit.Temperature(mean(have, func(d *season.WeatherDay) float64 { return float64(d.Low) }))
		blended.High = unit.Temperature(mean(have, func(d *season.WeatherDay) float64 { return float64(d.High) }))
	}
	if have := b.measured(&blended, season.HasRain); len(have) > 0 {
		blended.Rain = unit.Water(b.fallen(have, func(d *season.WeatherDay) float64 { return float64(d.Rain) }))
	}
	if have := b.measured(&blended, season.HasSnow); len(have) > 0 {
		blended.Snow = unit.Water(b.fallen(have, func(d *season.WeatherDay) float64 { return float64(d.Snow) }))
	}
	b.Days = append(b.Days, blended)
}

// measured are the stations that measured a part that day, nearest first. It notes that the day has the part,
// and where the nearest station of all is not among them, that it was filled in.
func (b *blender) measured(blended *season.WeatherDay, part season.Parts) []share {
	b.have = b.have[:0]
	for _, s := range b.today {
		if s.day.Has&part != 0 {
			b.have = append(b.have, s)
		}
	}
	if len(b.have) > 0 {
		blended.Has |= part
		if b.have[0].log != 0 {
			b.fill(part, blended.Day, b.have)
		}
	}
	return b.have
}

// mean is the weighted mean, and exactly the value itself where there is one only.
func mean(have []share, value func(*season.WeatherDay) float64) float64 {
	if len(have) == 1 {
		return value(have[0].day)
	}
	sum, weight := 0.0, 0.0
	for _, s := range have {
		sum += s.weight * value(s.day)
		weight += s.weight
	}
	return sum / weight
}

// fallen is what fell, by the rule of wet days, and exactly the value itself where there is one only.
func (b *blender) fallen(have []share, value func(*season.WeatherDay) float64) float64 {
	if len(have) == 1 {
		return value(have[0].day)
	}
	b.wet = b.wet[:0]
	balance := 0.0
	for _, s := range have {
		if value(s.day) >= wetFrom {
			b.wet = append(b.wet, s)
			balance += s.weight
		} else {
			balance -= s.weight
		}
	}
	nearestIsWet := value(have[0].day) >= wetFrom
	tied := math.Abs(balance) < 1e-9*have[0].weight
	if tied && !nearestIsWet || !tied && balance < 0 {
		return 0
	}
	return mean(b.wet, value)
}

func (b *blender) fill(part season.Parts, day calendar.Day, have []share) {
	for i := len(b.Filled) - 1; i >= 0; i-- {
		f := &b.Filled[i]
		if f.Part == part {
			if f.To.Add(1) == day && b.same(f.By, have) {
				f.To = day
				return
			}
			break
		}
	}
	by := make([]string, len(have))
	for i, s := range have {
		by[i] = b.Stations[s.log].Station
	}
	b.Filled = append(b.Filled, Fill{Part: part, From: day, To: day, By: by})
}

// same says that the names are those of the stations.
func (b *blender) same(names []string, have []share) bool {
	return slices.EqualFunc(names, have, func(name string, s share) bool { return name == b.Stations[s.log].Station })
}
