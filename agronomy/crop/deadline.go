package crop

import (
	"fmt"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
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
	// Seen are days of earlier springs on which elongation was seen to begin in the field.
	Seen  []calendar.Day
	Rules []DeadlineRule
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
	// Origin is working.Observed when a walk saw the stage reached, working.Computed when it was seen in earlier
	// springs, otherwise working.Assumed.
	Origin working.OriginKind
	Why    string
	Source cite.Key
	Status cite.Status
	// Springs is what the warmth of this and earlier springs says; it has no years where the record tells
	// nothing.
	Springs Springs
}

// How far ahead elongation is after a walk, days. From memory; no source.
const (
	nearDays = 7  // when the walk saw it near
	nearMost = 14 // and at the most
	leastYet = 7  // when the walk saw it not yet near
)

// DeadlineFor tells the day. A walk that saw the stage reached makes it observed and past. Otherwise it is
// computed from earlier springs of the field in which the stage was seen, or else assumed: the region's usual
// date, moved by a warm or cold spring. Either is kept after the last walk that saw the stage not reached.
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

// usual is the day on which earlier springs of the field make it likely, where it was seen in some, or else
// the region's usual date, moved by the spring's warmth where the record can tell it.
func usual(q Question) Deadline {
	rule, has := q.rule()
	if d, ok := bySeen(q, rule, has); ok {
		return d
	}
	switch {
	case has:
		return byRule(q, rule)
	case !q.HasAt:
		return Deadline{Why: "neither the field nor its station has a position, so no usual date can be looked up; note the growth stage"}
	default:
		return Deadline{Why: fmt.Sprintf("no rule tells the usual date of stem elongation of %s here; note the growth stage", q.Crop)}
	}
}

// rule finds the rule for the crop and the place.
func (q Question) rule() (DeadlineRule, bool) {
	if q.HasAt {
		for _, r := range q.Rules {
			if r.holds(q.Crop, q.At) {
				return r, true
			}
		}
	}
	return DeadlineRule{}, false
}

// byRule is the region's usual date.
func byRule(q Question, r DeadlineRule) Deadline {
	day := r.date(q.HarvestYear, q.At.Lat)
	d := Deadline{
		Known: true, Day: day, Low: day.Add(-r.Margin), High: day.Add(r.Margin),
		Origin: working.Assumed, Source: r.Source, Status: r.Status,
		Why: fmt.Sprintf("assumed: the usual date for this latitude in %s, %s, give or take %d days", r.Name, r.Status, r.Margin),
	}
	return d.moved(q.Weather, r.MostShift)
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
