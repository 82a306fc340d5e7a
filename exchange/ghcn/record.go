package ghcn

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Record is what a file tells of one station.
type Record struct {
	// Station is the network's id.
	Station string
	Days    []season.WeatherDay // in order, without the days of which nothing is known
	// Totals are the rains of several days measured together, in order. Their days have no rain in Days,
	// except where the file also gives one.
	Totals []Total
	Soil   []SoilReading // in order of day, cover and depth
	// Shifted counts the rains and highs that were dated a day earlier, as the observer read in the morning.
	Shifted int

	lines map[monthKey]int
}

// Total is rain that fell over several days and was measured on the last.
type Total struct {
	From, To calendar.Day // From is zero where the file does not say over how many days
	Rain     unit.Water
}

// Month is a month of weather and the first line of the file that speaks of it.
type Month struct {
	*season.Weather
	Line int
}

type monthKey struct {
	year  int
	month time.Month
}

// Months gives the record as it goes into a season, under the id that the station has there.
func (r *Record) Months(station string) []Month {
	var months []Month
	for _, d := range r.Days {
		year, month, _ := d.Day.Time().Date()
		last := len(months) - 1
		if last < 0 || months[last].Year != year || months[last].Month != month {
			w := &season.Weather{Station: station, Year: year, Month: month}
			months = append(months, Month{w, r.lines[monthKey{year, month}]})
			last++
		}
		months[last].Days = append(months[last].Days, d)
	}
	return months
}

// What air and rain have never reached; from memory (World Meteorological Organization, weather and climate
// extremes archive). A value beyond is a slip, flagged or not.
const (
	coldest, hottest = -700, 570 // tenths of a degree C
	wettest          = 18250     // tenths of a millimetre
	deepest          = 12000     // mm of snow
)

// gathered are the values of a day.
type gathered struct {
	low, high, rain, snow slot
	daysTogether          int
}

// slot is one value of a day. A value dated a day earlier gives way to one that was written for that day.
type slot struct {
	number       int
	has, shifted bool
}

// on is a day's place, made when a line first speaks of it.
func (r *reader) on(day calendar.Day, line int) *gathered {
	g := r.days[day]
	if g == nil {
		g = &gathered{}
		r.days[day] = g
	}
	year, month, _ := day.Time().Date()
	if key := (monthKey{year, month}); r.lines[key] == 0 {
		r.lines[key] = line
	}
	return g
}

// take puts a value where it belongs, or counts why not.
func (r *reader) take(v value) {
	switch {
	case !isUsed(v.element):
		return
	case v.quality != "":
		r.count(tally{v.element, "a value failed a quality check of the network and is rejected: " + failed(v.quality), "values without a quality flag"}, v.line, v.day.String())
		return
	case v.measure == presumedFlag:
		r.count(tally{v.element, "a value is missing and only presumed zero; it stays missing", "a measured value"}, v.line, v.day.String())
		return
	case v.measure == laggedFlag:
		r.count(tally{v.element, "a temperature seems to belong to another hour than that of reading; it is taken as it is dated", ""}, v.line, v.day.String())
	}
	if v.measure == traceFlag {
		v.number = 0
	}
	r.put(v)
}

func isUsed(element string) bool {
	switch element {
	case "TMIN", "TMAX", "PRCP", "SNWD", "MDPR", "DAPR":
		return true
	default:
		return isSoil(element)
	}
}

func (r *reader) put(v value) {
	within := func(low, high int) bool {
		if v.number < low || v.number > high {
			r.count(tally{v.element, "a value cannot be and is left out", "what air, rain and snow can reach"}, v.line, v.day.String()+": "+itoa(v.number))
			return false
		}
		return true
	}
	switch {
	case isSoil(v.element):
		r.putSoil(v)
	case v.element == "TMIN" && within(coldest, hottest):
		r.fill(&r.on(v.day, v.line).low, v, false)
	case v.element == "TMAX" && within(coldest, hottest):
		day, shifted := r.dayOf(v)
		r.fill(&r.on(day, v.line).high, v, shifted)
	case v.element == "PRCP" && within(0, wettest):
		day, shifted := r.dayOf(v)
		r.fill(&r.on(day, v.line).rain, v, shifted)
	case v.element == "SNWD" && within(0, deepest):
		r.fill(&r.on(v.day, v.line).snow, v, false)
	case v.element == "MDPR" && within(0, 10*wettest):
		day, _ := r.dayOf(v)
		r.totals = append(r.totals, Total{To: day, Rain: unit.Water(v.number) / 10})
	case v.element == "DAPR" && within(1, 400):
		day, _ := r.dayOf(v)
		r.on(day, v.line).daysTogether = v.number
	}
}

// dayOf is the day that a total or a high belongs to.
func (r *reader) dayOf(v value) (day calendar.Day, shifted bool) {
	morning, known := v.readsInTheMorning()
	if !known {
		r.unhoured = true
		morning = r.o.MorningReader
	}
	if !morning {
		return v.day, false
	}
	return v.day.Add(-1), true
}

func (r *reader) fill(s *slot, v value, shifted bool) {
	if shifted {
		r.shifted++
	}
	switch {
	case !s.has || s.shifted && !shifted:
		*s = slot{number: v.number, has: true, shifted: shifted}
	case s.shifted == shifted:
		r.count(tally{v.element, "a value stands twice; the first counts", "each element once a day"}, v.line, v.day.String())
	}
}

// record puts the days together.
func (r *reader) record() (*Record, error) {
	if len(r.others) > 0 && r.o.Station == "" {
		return nil, fmt.Errorf("the file holds several stations, %s among them; expected one, or the id of the one that is meant", strings.Join(append([]string{r.wanted}, r.others...), ", "))
	}
	rec := &Record{Station: r.wanted, Shifted: r.shifted, Soil: sortedSoil(r.soil), lines: r.lines}
	order := slices.SortedFunc(maps.Keys(r.days), func(a, b calendar.Day) int { return a.Sub(b) })
	for i, day := range order {
		if d := r.weather(day, r.days[day]); d.Has != 0 {
			rec.Days = append(rec.Days, d)
		}
		// At the ends the other temperature may stand on a day beyond, where highs are dated a day earlier.
		if g := r.days[day]; g.low.has != g.high.has && i > 0 && i < len(order)-1 {
			r.count(tally{"TMIN", "a day has one of its two temperatures only, which is left out", "TMIN and TMAX, or neither"}, 0, day.String())
		}
	}
	if len(rec.Days) == 0 {
		return nil, errors.New("the file has no usable day of temperature, rain or snow of station " + clip(r.wanted))
	}
	r.sayTotals(rec)
	r.sayHours()
	return rec, nil
}

func (r *reader) weather(day calendar.Day, g *gathered) season.WeatherDay {
	d := season.WeatherDay{Day: day}
	if g.low.has && g.high.has {
		if g.low.number > g.high.number {
			r.count(tally{"TMIN", "the low is above the high, so neither is taken", "low below high"}, 0, day.String())
		} else {
			d.Low, d.High = unit.Temperature(g.low.number)/10, unit.Temperature(g.high.number)/10
			d.Has |= season.HasTemperature
		}
	}
	if g.rain.has {
		d.Rain = unit.Water(g.rain.number) / 10
		d.Has |= season.HasRain
	}
	if g.snow.has {
		d.Snow = unit.Water(g.snow.number)
		d.Has |= season.HasSnow
	}
	return d
}

// sayTotals gives the rains measured together their days, and reports them once.
func (r *reader) sayTotals(rec *Record) {
	for i, t := range r.totals {
		if g := r.days[t.To]; g != nil && g.daysTogether > 0 {
			r.totals[i].From = t.To.Add(1 - g.daysTogether)
		}
	}
	slices.SortFunc(r.totals, func(a, b Total) int { return a.To.Sub(b.To) })
	rec.Totals = r.totals
	for _, t := range rec.Totals {
		span := "some days up to " + t.To.String()
		if !t.From.IsZero() {
			span = t.From.String() + " to " + t.To.String()
		}
		r.count(tally{"MDPR", "rain of several days was measured together; those days have no rain of their own", "rain day by day"}, 0, fmt.Sprintf("%s, %.1f mm", span, float64(t.Rain)))
	}
}

// sayHours doubts the days of a cooperative observer whose hour is nowhere given: most read in the morning.
func (r *reader) sayHours() {
	cooperative := len(r.wanted) > 2 && r.wanted[2] == 'C'
	if !cooperative || !r.unhoured || r.o.MorningReader {
		return
	}
	r.problems = append(r.problems, season.Problem{
		Severity: season.Doubtful, File: r.o.File, Field: "PRCP",
		Message:  "the file does not give the hour of reading; an observer who reads in the morning has yesterday's rain on today",
		Expected: "the hour, or morning-reader: yes at the station",
	})
}
