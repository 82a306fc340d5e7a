package nitrogen

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// credit is the nitrogen already applied that a way has to subtract, and why it is not more or less.
type credit struct {
	n      working.Fact[unit.Rate]
	inFall unit.Rate
	notes  []string
}

// appliedFor finds what a rule has to subtract of the nitrogen already applied. A way that counts total
// nitrogen subtracts everything, but for what was spread before the soil was sampled when it also credits
// that sample: it is in the test. A way that looks at the crop sees what was spread before it looked, and
// subtracts only what came since.
func (e *Evidence) appliedFor(r *rulebook.Rule) credit {
	day, tested := e.sampled()
	switch creditsNitrate := r.Slot(rulebook.Nitrate) >= 0 || r.Slot(rulebook.NitrateMean) >= 0; {
	case r.Family == rulebook.FamilyInSeason:
		return e.appliedSince(e.Reading.Origin.On, "the reading")
	case r.Family == rulebook.FamilyGreenArea:
		return e.appliedSince(e.FreshMass.Origin.On, "the cut")
	case tested && creditsNitrate:
		return e.appliedBesideTest(day)
	default:
		return e.appliedInAll()
	}
}

// appliedInAll is everything spread this season.
func (e *Evidence) appliedInAll() credit {
	return e.sum(func(Application) bool { return true })
}

// appliedBesideTest is what the soil test does not show. Spread and sampled on one day counts as sampled
// first, which is how it is done.
func (e *Evidence) appliedBesideTest(sampled calendar.Day) credit {
	if sampled.IsZero() {
		c := e.appliedInAll()
		if len(e.Applied) > 0 {
			c.notes = append(c.notes, "The day the soil was sampled is not known; what was applied is taken as spread after it.")
		}
		return c
	}
	inTest := func(a Application) bool { return !a.Day.IsZero() && a.Day.Before(sampled) }
	c := e.sum(func(a Application) bool { return !inTest(a) })
	for _, a := range e.Applied {
		if inTest(a) {
			c.notes = append(c.notes, "Nitrogen applied on "+a.Day.Spoken()+", before the soil was sampled on "+sampled.Spoken()+", is in the soil test and not subtracted again.")
		}
	}
	if !c.n.Known() && len(c.notes) > 0 {
		c.n = working.Fact[unit.Rate]{Origin: working.Origin{Kind: working.Computed, Why: "what was applied is in the soil test"}}
	}
	return c
}

// appliedSince is what was spread on or after a day on which the crop was looked at.
func (e *Evidence) appliedSince(day calendar.Day, look string) credit {
	if len(e.Applied) == 0 {
		return credit{}
	}
	if day.IsZero() {
		return credit{notes: []string{"The day of " + look + " is not known; the crop is taken to show all nitrogen applied so far."}}
	}
	c := e.sum(func(a Application) bool { return !a.Day.Before(day) && !a.Day.IsZero() })
	if !c.n.Known() {
		return credit{notes: []string{"Nitrogen applied before " + look + " already shows in the crop and is not subtracted."}}
	}
	return c
}

func (e *Evidence) sum(counts func(Application) bool) credit {
	var c credit
	if len(e.Applied) == 0 {
		c.n = c.n.Or(0, "nothing is recorded as spread this season")
		return c
	}
	for _, a := range e.Applied {
		if !counts(a) {
			continue
		}
		if !a.N.Known() {
			c.notes = append(c.notes, "A pass is recorded without its rate and counts as none.")
			continue
		}
		if c.n.Known() {
			// The sum has no one entry in the notebook.
			c.n.Origin.Entry, c.n.Origin.Where = "", ""
		} else {
			c.n.Origin = a.N.Origin
		}
		c.n.Value += a.N.Value
		if isFall(a.Day) {
			c.inFall += a.N.Value
		}
	}
	if len(c.notes) > 0 {
		c.n = c.n.Or(0, "a pass is recorded without its rate")
	}
	return c
}

// isFall says that a day lies between midsummer and the new year: before winter, for a winter crop.
func isFall(d calendar.Day) bool {
	return !d.IsZero() && d.Time().Month() >= time.July
}
