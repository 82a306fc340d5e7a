package crop

import (
	"fmt"
	"math"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/season"
)

// Question is what the deadline of a field is found from.
type Question struct {
	Crop        season.Crop
	HarvestYear int
	Visits      []*season.Visit // in order of day
	// At is where the field or its station lies; HasAt says that it is known.
	At    season.Position
	HasAt bool
	// Weather is the station's record. It moves a usual date only when it holds earlier springs to compare with.
	Weather []season.WeatherDay
	Rules   []DeadlineRule
}

// Deadline is the day the stem begins to lengthen. Nitrogen must be in the root zone before it: Texas
// guidance (cite.TexasTopdress) wants a week between spreading and the first joint; Ohio (cite.OhioFeekes6)
// saw no penalty up to it.
type Deadline struct {
	// Known is false when neither a walk nor a rule tells the day; Why then says what is missing.
	Known bool
	Day   calendar.Day
	// Low and High bound the day. For an observed deadline they are the last walk before and the walk that
	// saw it.
	Low, High calendar.Day
	// Past says that elongation was seen to have begun.
	Past bool
	// Origin is working.Observed when a walk saw the stage reached, otherwise working.Assumed.
	Origin working.OriginKind
	Why    string
	Source cite.Key
	Status cite.Status
}

// How far ahead elongation is after a walk, days. From memory; no source.
const (
	nearDays = 7  // when the walk saw it near
	nearMost = 14 // and at the most
	leastYet = 7  // when the walk saw it not yet near
)

// DeadlineFor tells the day. A walk that saw the stage reached makes it observed and past. Otherwise it is
// assumed: the region's usual date, moved by a warm or cold spring, and kept after the last walk that saw
// the stage not reached.
func DeadlineFor(q Question) Deadline {
	if q.Crop == season.WheatGrazeOut {
		return Deadline{Why: "wheat that is grazed out makes no grain, so no stage ends its top-dressing"}
	}
	seen, unread := sightings(q.Crop, q.Visits)
	for i, s := range seen {
		if s.past {
			return reached(s, seen[:i])
		}
	}
	d := usual(q)
	var last calendar.Day
	if len(seen) > 0 {
		d = d.after(seen[len(seen)-1])
		last = seen[len(seen)-1].visit.Day
	}
	if stem := FirstHollowStem(q.Crop, q.Visits); stem.Reached && !stem.Day.Before(last) {
		d = d.near(stem.Day, "hollow stem was found on "+stem.Day.Spoken()+", which comes just before the joint can be felt")
	}
	d.Why = strings.Join(append([]string{d.Why}, unread...), "; ")
	return d
}

// reached makes the deadline of the first walk that saw the stage.
func reached(s sighting, before []sighting) Deadline {
	d := Deadline{
		Known: true, Past: true, Origin: working.Observed, Day: s.visit.Day, Low: s.visit.Day, High: s.visit.Day,
		Why:    fmt.Sprintf("%s had been reached when %s walked the field on %s", s.name, orSomeone(s.visit.Observer), s.visit.Day.Spoken()),
		Source: s.source, Status: statusOf(s.source),
	}
	if len(before) > 0 {
		d.Low = before[len(before)-1].visit.Day.Add(1)
	} else {
		d.Why += "; it may have come earlier, as nobody noted a stage before"
	}
	return d
}

func orSomeone(name string) string {
	if name == "" {
		return "someone"
	}
	return name
}

func statusOf(k cite.Key) cite.Status {
	s, _ := cite.Find(k)
	return s.Status
}

// usual is the region's usual date, moved by the spring's warmth where the record can tell it.
func usual(q Question) Deadline {
	if !q.HasAt {
		return Deadline{Why: "neither the field nor its station has a position, so no usual date can be looked up; note the growth stage"}
	}
	for _, r := range q.Rules {
		if !r.holds(q.Crop, q.At) {
			continue
		}
		day := r.date(q.HarvestYear, q.At.Lat)
		d := Deadline{
			Known: true, Day: day, Low: day.Add(-r.Margin), High: day.Add(r.Margin),
			Origin: working.Assumed, Source: r.Source, Status: r.Status,
			Why: fmt.Sprintf("assumed: the usual date for this latitude in %s, %s, give or take %d days", r.Name, r.Status, r.Margin),
		}
		return d.moved(q.Weather, r.MostShift)
	}
	return Deadline{Why: fmt.Sprintf("no rule tells the usual date of stem elongation of %s here; note the growth stage", q.Crop)}
}

// after keeps the deadline behind a walk that saw the stage not reached.
func (d Deadline) after(s sighting) Deadline {
	day := s.visit.Day
	if s.isNear {
		return d.near(day, fmt.Sprintf("the crop was close to %s on %s", s.name, day.Spoken()))
	}
	if !d.Known {
		return d
	}
	if soonest := day.Add(leastYet); d.Day.Before(soonest) {
		d.Day = soonest
		d.Why += "; put later, as the crop was not near it on " + day.Spoken()
	}
	d.Low = latest(d.Low, day.Add(1))
	d.High = latest(d.High, d.Day.Add(nearMost))
	return d
}

// near puts the deadline within days of a sign that it is close.
func (d Deadline) near(day calendar.Day, why string) Deadline {
	if d.Known {
		d.Why += "; "
	} else {
		d = Deadline{Known: true, Origin: working.Assumed, Source: cite.ElongationDates, Status: cite.FromMemory, Why: "assumed: "}
	}
	d.Day, d.Low, d.High = day.Add(nearDays), day.Add(1), day.Add(nearMost)
	d.Why += why
	return d
}

func latest(a, b calendar.Day) calendar.Day {
	if a.After(b) {
		return a
	}
	return b
}

// springsNeeded is how many earlier springs a record must hold before it says that one is warm or cold.
const springsNeeded = 5

// moved shifts the date by the warmth of the spring: the degree days since 1 January (base 0 C, mean first)
// against those of earlier springs at the same station up to the same day, divided by the degree days that
// an earlier spring brought per day in the fortnight around the date. As McMaster and Smika found the
// calendar to foretell better than degree days, the shift is bounded and does not narrow the margin.
func (d Deadline) moved(days []season.WeatherDay, most int) Deadline {
	if len(days) == 0 || most == 0 {
		return d
	}
	year := d.Day.Time().Year()
	end := days[len(days)-1].Day
	if end.After(d.Day) {
		end = d.Day
	}
	if end.Time().Year() != year {
		return d
	}
	now := since1January(days, end)
	if !now.Complete() {
		d.Why += "; not moved by the spring's warmth, as days since 1 January are missing"
		return d
	}
	normal, rate, springs := 0.0, 0.0, 0
	for earlier := days[0].Day.Time().Year(); earlier < year; earlier++ {
		same := since1January(days, inYear(end, earlier))
		around := weather.DegreeDays(days, inYear(d.Day, earlier).Add(-7), inYear(d.Day, earlier).Add(7), warmth())
		if same.Complete() && around.Complete() {
			normal += float64(same.Total)
			rate += float64(around.Total) / float64(around.Days)
			springs++
		}
	}
	if springs < springsNeeded || rate == 0 {
		d.Why += "; not moved by the spring's warmth, as the record holds too few earlier springs"
		return d
	}
	ahead := (float64(now.Total) - normal/float64(springs)) / (rate / float64(springs)) // days
	shift := -int(math.Round(max(-float64(most), min(float64(most), ahead))))
	d.Day = d.Day.Add(shift)
	d.Low, d.High = d.Low.Add(min(0, shift)), d.High.Add(max(0, shift))
	d.Why += fmt.Sprintf("; moved by %+d days, as the spring is %s than the mean of %d earlier ones at the station", shift, warmer(ahead), springs)
	return d
}

func warmer(ahead float64) string {
	if ahead < 0 {
		return "colder"
	}
	return "warmer"
}

func warmth() weather.Rule { return weather.Rule{Method: weather.MeanFirst} }

func since1January(days []season.WeatherDay, to calendar.Day) weather.Sum[unit.DegreeDays] {
	return weather.DegreeDays(days, calendar.Date(to.Time().Year(), time.January, 1), to, warmth())
}

// inYear is the same date in another year; 29 February becomes 1 March.
func inYear(d calendar.Day, year int) calendar.Day {
	t := d.Time()
	return calendar.Date(year, t.Month(), t.Day())
}
