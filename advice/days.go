package advice

import (
	"fmt"

	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/timing"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/season"
)

// forecastShelfLife is how old a forecast may be on the day of the advice before it says nothing about the
// coming days any more. Common practice, no source.
const forecastShelfLife = 3

// askDays looks at the coming days. A day is chosen from those of the forecast, up to the deadline; without a
// forecast today's ground alone is looked at.
func (c *inquiry) askDays() {
	f := holding(c.fs)
	switch {
	case c.fs.Forecast == nil:
		c.missing("a weather forecast", "which of the coming days is best, and what rain would save")
	case f == nil:
		c.missing("a forecast that still holds", "which of the coming days is best; the one at hand was issued on "+issuedOn(c.fs.Forecast).Spoken())
	}
	if c.fs.Field.Texture == "" {
		c.missing("the soil's texture", "how soon the ground carries a machine after rain; loam is assumed")
	}
	c.table = c.layTable(c.outlook.now)
	if f == nil {
		if today := (weather.Outlook{Record: c.fs.Weather, Visits: c.fs.Visits, Site: c.site()}).Ready().Ground(c.fs.Today); today.Stops() {
			c.stopped = today.Reason
		}
		return
	}
	c.days = c.choosable()
}

// choosable are the days of the forecast up to the deadline.
func (c *inquiry) choosable() []*timing.Day {
	var days []*timing.Day
	for i := range c.table.Days {
		if d := &c.table.Days[i]; d.Forecast && !c.tooLate(d.Day) {
			days = append(days, d)
		}
	}
	return days
}

// tooLate says that a day lies past the last likely day of the deadline.
func (c *inquiry) tooLate(day calendar.Day) bool {
	return c.plan.Deadline.Known && day.After(c.plan.Deadline.High)
}

// layTable makes the field's table of days. A soil figure that cannot be is left out, with a warning.
func (c *inquiry) layTable(o *timing.Outlook) *timing.Table {
	f := timing.Field{
		Site: c.site(), Visits: c.fs.Visits, Herbicide: c.fs.Field.HerbicideDue, Tillered: c.tillered(),
		Soil: ammonia.Soil{PH: c.known.ph, OrganicMatter: c.known.organic, Residue: c.known.residue},
	}
	t, err := o.Over(f)
	if err == nil {
		return t
	}
	c.warn("For the loss of ammonia the soil's figures are left out: "+err.Error()+".", "")
	f.Soil = ammonia.Soil{}
	t, _ = o.Over(f) // without figures there is nothing to refuse
	return t
}

// tillered says that a walk saw the crop past the end of tillering, on the scale it was noted on.
func (c *inquiry) tillered() bool {
	past := map[season.StageScale]float64{season.Zadoks: 30, season.BBCH: 30, season.Feekes: 5}
	for _, v := range c.fs.Visits {
		if from, ok := past[v.Scale]; ok && v.Stage >= from {
			return true
		}
	}
	return false
}

// site is what the state of the ground is reckoned from beside the weather.
func (c *inquiry) site() ground.Site {
	s := ground.Site{Texture: c.fs.Field.Texture, Crop: c.fs.Field.Crop, Planted: c.fs.Field.Planted}
	if at := placeOf(c.fs); at != nil {
		s.Latitude, s.HasLatitude, s.Longitude, s.HasLongitude = at.Lat, true, at.Lon, true
	}
	set := c.fs.Settings
	s.Limits = ground.Limits{Soft: set.SoftGround.Value, Saturated: set.SaturatedGround.Value} // zero where not set
	return s
}

// fit says that nothing keeps a person from choosing the day while it is open: no rain on it, no strong wind,
// hours enough, and not so far off that the forecast says little.
func (c *inquiry) fit(d *timing.Day, way placement.Way) bool {
	return !d.Has(ground.RainOn, way) && !d.Has(ground.Drift, way) && !d.Has(ground.FewHours, way) && d.Day.Sub(c.fs.Today) < trusted
}

// danger says why nothing should be spread of a product that way on a day although the ground is open: product that
// runs off with rain to come, or wind that no spread pattern stands. Money does not outweigh either. Empty when there
// is none.
func (c *inquiry) danger(d *timing.Day, p *fertilizer.Product, way placement.Way) string {
	for _, f := range c.table.Flags(d, p, way) {
		if (f.Risk == ground.RunsOff || f.Risk == ground.Drift) && f.Level == ground.Caution {
			return f.Reason
		}
	}
	for _, next := range c.days {
		if after := next.Day.Sub(d.Day); after >= 0 && after <= 2 && next.Weather.Rain >= washout && next.Weather.RainChance >= likely {
			return "rain as heavy as that of " + next.Day.Short() + " carries product off the field with it"
		}
	}
	return ""
}

// Rain this heavy, this likely, within two days carries product off, whatever the soil is thought to take in. Common
// practice, no source.
const (
	washout = 40 * unit.MillimetreOfWater
	likely  = unit.Fraction(0.4)
)

// trusted is how many days of a forecast a day is chosen from, today among them. Common practice, no source.
const trusted = 7

// lossesOf gives the loss of a product for each coming day, or for today where there is no forecast.
func (c *inquiry) lossesOf(p *fertilizer.Product) (byDay []timing.Loss, undated timing.Loss) {
	if len(c.days) == 0 {
		return nil, c.lossOn(c.table.Today(), p)
	}
	byDay = make([]timing.Loss, len(c.days))
	for i, d := range c.days {
		byDay[i] = c.lossOn(d.Day, p)
	}
	return byDay, timing.Loss{}
}

// lossOn reads a loss off the table.
func (c *inquiry) lossOn(day calendar.Day, p *fertilizer.Product) timing.Loss {
	l, err := c.table.Loss(day, p)
	if err != nil {
		c.warn("The loss of ammonia could not be reckoned: "+err.Error()+".", "")
	}
	return l
}

// doubts puts flags in words: the cautions, and rain on the day itself. A stop is told apart.
func doubts(flags []ground.Flag, s unit.System) []string {
	var words []string
	for _, f := range flags {
		if f.Level == ground.Caution || f.Risk == ground.RainOn {
			words = append(words, flagWords(f, s))
		}
	}
	return words
}

// flagWords adds the number behind a flag to its reason.
func flagWords(f ground.Flag, s unit.System) string {
	if f.Amount == (working.Amount{}) {
		return f.Reason
	}
	return fmt.Sprintf("%s (%s)", f.Reason, f.Amount.Show(s))
}

// hoursOf tells of a day of the forecast which hours are fit for a way of placing, and in words what keeps it off in
// the others. Both are empty where the forecast is by the day, and on a day that is stopped.
func (c *inquiry) hoursOf(d *timing.Day, flags []ground.Flag, way placement.Way, s unit.System) (fit []ground.Span, notes []string) {
	hours := ground.HoursOf(c.fs.Forecast, d.Day)
	if !d.Forecast || d.Stop() != "" || len(hours) == 0 {
		return nil, nil
	}
	if fit = ground.FitAmong(hours, flags, way); len(fit) > 0 {
		notes = append(notes, "fit for it "+ground.SpokenSpans(fit))
	}
	if rain := ground.RainHours(hours); len(rain) > 0 {
		notes = append(notes, ground.SpokenSpans(rain)+": rain")
	}
	for _, f := range flags {
		if len(f.Spans) > 0 && f.Level == ground.Note && f.Risk != ground.RainOn {
			notes = append(notes, ground.SpokenSpans(f.Spans)+": "+flagWords(f, s))
		}
	}
	return fit, notes
}
