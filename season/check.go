package season

import (
	"fmt"
	"strings"

	"culm/agronomy/calendar"
)

// Check looks at what entries say together, as of a day: references that lead nowhere, things said twice,
// numbers outside of what can be, days before planting or still to come, weather with holes, forecasts that
// are over. What is superseded or withdrawn is not looked at. The order is that of the entries.
//
// Whether an entry is whole in itself is Entry.Check's to say, and whether an outline encloses ground,
// spatial.Check's. The limits within which a number is believed are common practice, no source, unless a
// comment names one.
func Check(entries []Entry, today calendar.Day) []Problem { return CheckLines(entries, today, nil) }

// CheckLines is Check for entries that were made from several lines of a file each. line gives the line of a
// part of an entry: of a reading, a strip of a ramp, a plot, a day of weather or forecast, counted from 0.
func CheckLines(entries []Entry, today calendar.Day, line func(e Entry, part int) int) []Problem {
	if line == nil {
		line = func(e Entry, _ int) int { return e.Where.Line }
	}
	c := newChecker(entries, today, line)
	c.settings()
	c.subjects(entries)
	c.names()
	for _, e := range c.standing {
		c.entry(e)
	}
	c.bounded()
	c.pairs()
	c.weather()
	c.forecasts()
	c.strangers()
	return append(c.found, Unread(entries)...)
}

// checker gathers what is found in a season.
type checker struct {
	today     calendar.Day
	line      func(Entry, int) int
	standing  []Entry
	season    *Season
	fields    map[string]Field
	producers map[string]bool
	unknown   unknowns
	found     []Problem
}

func newChecker(entries []Entry, today calendar.Day, line func(Entry, int) int) *checker {
	c := &checker{
		today: today, line: line, standing: inGivenOrder(entries), season: Assemble(entries),
		fields: map[string]Field{}, producers: map[string]bool{},
	}
	for _, f := range c.season.Fields {
		c.fields[f.ID] = f
	}
	for _, p := range c.season.Producers {
		c.producers[p.ID] = true
	}
	return c
}

// inGivenOrder is Standing in the order of the entries, which for a folder is that of its files and lines.
func inGivenOrder(entries []Entry) []Entry {
	stands := map[string]bool{}
	for _, e := range Standing(entries) {
		stands[e.ID] = true
	}
	var standing []Entry
	for _, e := range entries {
		if stands[e.ID] {
			standing = append(standing, e)
			delete(stands, e.ID)
		}
	}
	return standing
}

// said is one remark about a part of an entry.
type said struct {
	severity                        Severity
	field, message, found, expected string
}

func wrong(field, message, found, expected string) said {
	return said{Fatal, field, message, found, expected}
}

func doubt(field, message, found, expected string) said {
	return said{Doubtful, field, message, found, expected}
}

func (c *checker) say(e Entry, s said) { c.sayLine(e, e.Where.Line, s) }

// sayPart is say for a part of an entry that has a line of its own.
func (c *checker) sayPart(e Entry, part int, s said) { c.sayLine(e, c.line(e, part), s) }

func (c *checker) sayLine(e Entry, line int, s said) {
	c.found = append(c.found, Problem{
		Severity: s.severity, File: e.Where.File, Line: line, Field: s.field,
		Message: s.message, Found: s.found, Expected: s.expected,
	})
}

// settings doubts a season that does not say which it is.
func (c *checker) settings() {
	for _, e := range c.standing {
		s, ok := e.Body.(*Settings)
		if !ok {
			continue
		}
		if s.HarvestYear < 1950 || s.HarvestYear > 2200 {
			c.say(e, wrong("harvest-year", "the season does not say in which year it is harvested", fmt.Sprint(s.HarvestYear), "a year, such as 2027"))
		}
		if s.MaximumYield.Known() && s.MaximumYield.Value <= 0 {
			c.say(e, wrong("maximum-yield", "the highest yield is not above zero", fmt.Sprintf("%g kg/ha", float64(s.MaximumYield.Value)), "a yield"))
		}
		if v := s.LimeScore; v.Known() && !(v.Value > 0 && v.Value <= 1.2) {
			c.say(e, wrong("lime-score", "the effective share of the lime is not one that lime has", fmt.Sprintf("%.4g %%", float64(v.Value)*100), "above 0 and up to 120 %"))
		}
		c.groundLimits(e, s)
		c.calibration(e, s.Calibration)
		return
	}
	c.found = append(c.found, Problem{
		Severity: Fatal, Field: "season", Message: "the season has no settings", Expected: "a harvest year and a system of units, us or metric",
	})
}

// groundLimits refuses limits that ground is always or never beyond: a top layer holds little more than its field
// capacity for long, and never more water than it has pores.
func (c *checker) groundLimits(e Entry, s *Settings) {
	if v := s.SoftGround; v.Known() && !(v.Value >= 0.5 && v.Value <= 1.5) {
		c.say(e, wrong("soft-ground", "the limit of soft ground is not one that ground has", fmt.Sprintf("%.4g %%", float64(v.Value)*100), "50 to 150 % of field capacity"))
	}
	if v := s.SaturatedGround; v.Known() && !(v.Value >= 0.5 && v.Value <= 1) {
		c.say(e, wrong("saturated-ground", "the limit of saturated ground is not one that ground has", fmt.Sprintf("%.4g %%", float64(v.Value)*100), "50 to 100 % of the pores"))
	}
}

func (c *checker) calibration(e Entry, cal *Calibration) {
	if cal == nil {
		return
	}
	if cal.A <= 0 || cal.B <= 0 {
		c.say(e, wrong("calibration", "the calibration gives no yield that rises with the reading", fmt.Sprintf("a = %g, b = %g", cal.A, cal.B), "a and b above zero"))
	}
	if cal.Efficiency <= 0 || cal.Efficiency > 1 {
		c.say(e, wrong("efficiency", "the share of nitrogen that reaches the grain is not between none and all", percent(float64(cal.Efficiency)), "above 0 and at most 100 %"))
	}
}

// subjects finds things that are said twice at the same moment, so that neither overrules the other.
func (c *checker) subjects(entries []Entry) {
	superseded := map[string]bool{}
	for _, e := range entries {
		superseded[e.Supersedes] = true
	}
	type subject struct {
		kind Kind
		name string
		at   int64
	}
	first := map[subject]Entry{}
	for _, e := range entries {
		if e.Body == nil || e.Withdrawn || superseded[e.ID] {
			continue
		}
		s := subject{e.Body.Kind(), e.Body.Subject(), e.Recorded.UnixNano()}
		before, twice := first[s]
		if !twice {
			first[s] = e
			continue
		}
		if before.ID == e.ID {
			continue
		}
		message := fmt.Sprintf("this %s is described twice, and nothing tells which holds", noun(s.kind))
		if where := before.Where.String(); where != "" {
			message += "; first at " + where
		}
		c.say(e, wrong("", message, strings.TrimSuffix(s.name, "/"), "one description, or a correction that names the other in \"supersedes\""))
	}
}

// noun is what a kind of entry describes, in words.
func noun(k Kind) string {
	switch k {
	case KindReadings:
		return "set of readings (field, strip, day, means, reference, observer)"
	case KindSettings:
		return "season"
	case KindSoil:
		return "soil sample (field, sample, day, depth)"
	case KindApplied:
		return "application (field, day, product)"
	case KindHarvest:
		return "harvest (field, part)"
	case KindWeather:
		return "month of weather"
	default:
		return string(k)
	}
}

// entry looks at one entry by the limits of its kind.
func (c *checker) entry(e Entry) {
	switch b := e.Body.(type) {
	case *Field:
		c.field(e, b)
	case *Station:
		c.station(e, b)
	case *Boundary:
		c.knownField(e, b.Field)
	case *Readings:
		c.readings(e, b)
	case *Ramp:
		c.ramp(e, b)
	case *Visit:
		c.visit(e, b)
	case *Soil:
		c.soil(e, b)
	case *Spot:
		c.spot(e, b)
	case *Applied:
		c.applied(e, b)
	case *Harvest:
		c.harvest(e, b)
	case *Price:
		c.price(e, b)
	case *Trial:
		c.trial(e, b)
	case *Rig:
		c.rig(e, b)
	}
}

// day looks at the day on which something was seen on a field: not before planting, and not still to come.
func (c *checker) day(e Entry, what, field string, day calendar.Day) {
	if f, ok := c.fields[field]; ok && !f.Planted.IsZero() && day.Before(f.Planted) {
		c.say(e, wrong("date", what+" is dated before field "+field+" was planted", day.String(), "a day from "+f.Planted.String()+" on, or another field"))
	}
	c.notToCome(e, what, day)
}

// notToCome only doubts: advice for a past day leaves out what came after it.
func (c *checker) notToCome(e Entry, what string, day calendar.Day) {
	if !c.today.IsZero() && day.After(c.today) {
		c.say(e, doubt("date", what+" is dated after today and is not counted yet", day.String(), "a day up to "+c.today.String()))
	}
}

func percent(v float64) string { return fmt.Sprintf("%g %%", 100*v) }
