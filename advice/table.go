package advice

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"culm/agronomy/climate"
	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/timing"
	"culm/agronomy/unit"
	"culm/season"
)

// Calendar makes a field's table of days.
func (a *Advisor) Calendar(fs season.FieldSeason) Calendar {
	_, days := a.PlanAndCalendar(OutlookOf(fs), fs)
	return days
}

// PlanAndCalendar makes a field's plan and its table of days in one go. The outlook must be that of the field
// season: see SharedBy.
func (a *Advisor) PlanAndCalendar(o *Outlook, fs season.FieldSeason) (Plan, Calendar) {
	c := a.inquire(o, fs)
	return c.plan, c.calendar()
}

func (c *inquiry) calendar() Calendar {
	p := &c.plan
	k := Calendar{
		Version: CalendarVersion, Field: p.Field, Producer: p.Producer, Today: p.Today, Invented: p.Invented, Units: p.Units, HarvestYear: c.fs.Settings.HarvestYear,
		Decision: p.Decision, Advice: p.Sentence.Read(&p.Figures, p.Units), Deadline: p.Deadline,
		Sky: c.skyOf(), Missing: c.missingOfDays(), Assumed: c.assumedOfDays(), Cautions: p.Cautions,
	}
	if p.Changed != nil {
		k.Changed, k.Was, k.Lost = p.Changed.Sentence.Read(&p.Figures, p.Units), p.Changed.Was, p.Changed.Lost
	}
	for i := range c.table.Days {
		k.Days = append(k.Days, c.calendarDay(&c.table.Days[i]))
	}
	options := c.options
	if len(options) == 0 {
		options = c.unpriced()
	} else {
		k.Rate = c.rate.rate
	}
	for i := range options {
		shown := c.calendarOption(&options[i])
		k.HasMoney = k.HasMoney || shown.HasNet
		k.Options = append(k.Options, shown)
		if shown.Chosen {
			k.Good = c.goodRuns(&shown)
		}
	}
	return k
}

func (c *inquiry) calendarDay(d *timing.Day) CalendarDay {
	day := CalendarDay{
		Day: d.Day, Forecast: d.Forecast, Weather: d.Weather, Ground: d.Ground.State, Stop: d.Stop(),
		WashIn: d.WashIn, HasWashIn: d.HasWashIn,
	}
	if !d.Ground.Observed {
		day.GroundChance = d.Ground.Chance
	}
	if day.Stop != "" {
		day.StopSource = d.Ground.Source
	}
	if c.plan.Deadline.Known {
		day.DaysLeft, day.HasDaysLeft = c.plan.Deadline.Day.Sub(d.Day), true
	}
	return day
}

// unpriced lists products and ways where no rate was weighed, so that the loss of each day can be read all the same.
func (c *inquiry) unpriced() []optionFinding {
	var options []optionFinding
	for _, p := range fertilizer.All() {
		if p.BlendOnly {
			continue
		}
		for _, way := range placement.Ways() {
			if judged, err := c.judge(p, way); err == nil && judged.Possible {
				options = append(options, optionFinding{product: p, way: judged, best: -1})
			}
		}
	}
	return options
}

func (c *inquiry) calendarOption(o *optionFinding) CalendarOption {
	shown := CalendarOption{
		Product: o.product.Key, ProductName: o.product.Name, Way: o.way.Way, Placement: o.way.Name,
		Chosen: o == c.chosen, Possible: o.why == "" || o.closed, Against: o.against,
		HasNet: o.rate > 0 && o.price != nil && (o.shared || o.pass != nil) && !o.product.BlendOnly,
	}
	if !shown.Possible {
		shown.Why = o.why
	}
	if o.best >= 0 {
		shown.Best = c.days[o.best].Day
	}
	if o.product.BlendOnly {
		return shown
	}
	for i := range c.table.Days {
		shown.Days = append(shown.Days, c.optionDay(o, &c.table.Days[i], shown.HasNet))
	}
	return shown
}

func (c *inquiry) optionDay(o *optionFinding, d *timing.Day, hasNet bool) OptionDay {
	on := c.lossOn(d.Day, &o.product)
	shown := OptionDay{Loss: on.Loss, LossLow: on.Low, LossHigh: on.High, Carried: on.Carried(), Why: on.Why(c.plan.Units)}
	if hasNet {
		w := c.worthOf(o, on)
		shown.Net, shown.NetLow, shown.NetHigh = w.net, w.netLow, w.netHigh
	}
	flags := c.table.Flags(d, &o.product, o.way.Way)
	shown.State = c.stateOf(o, d, shown.Net, slices.ContainsFunc(flags, isDoubtful))
	for _, f := range flags {
		shown.Flags = append(shown.Flags, dayFlag(f))
	}
	return shown
}

// goodWithin is how much less a day may net than the day advised and still be as good: losses are not known so
// well that two dollars an acre would decide. Common practice, no source.
const goodWithin = 2 * unit.PerAcre

// isDoubtful says that a flag speaks against a whole day: frost and dew on leaves, heat and still air pass within
// it, and tell which hours to take.
func isDoubtful(f ground.Flag) bool {
	switch f.Risk {
	case ground.BurnFrost, ground.BurnDew, ground.BurnHeat, ground.Inversion, ground.Droplets:
		return false
	}
	return f.Level == ground.Caution || f.Risk == ground.RainOn
}

func (c *inquiry) stateOf(o *optionFinding, d *timing.Day, net unit.MoneyPerArea, hasDoubt bool) DayState {
	spreads := c.plan.Decision.Action == Spread && c.chosen != nil
	switch {
	case d.Stop() != "":
		return DayClosed
	case c.tooLate(d.Day):
		return DayLate
	case spreads && o == c.chosen && d.Day == c.plan.Decision.Day:
		return DayBest
	case hasDoubt:
		return DayDoubt
	case spreads && d.Forecast && c.fit(d, o.way.Way) && net > 0 && net >= c.chosen.worth.net-goodWithin:
		return DayGood
	default:
		return DayOpen
	}
}

func dayFlag(f ground.Flag) DayFlag {
	level := map[ground.Level]string{ground.Note: "note", ground.Caution: "caution", ground.Stop: "stop"}[f.Level]
	d := DayFlag{Risk: f.Risk, Level: level, Chance: f.Chance, Reason: f.Reason, Amount: f.Amount, Source: f.Source, Status: f.Status}
	for _, s := range f.Spans {
		d.Hours = append(d.Hours, Hours{s.From, s.To})
	}
	return d
}

// goodRuns joins the good days of the chosen option into runs.
func (c *inquiry) goodRuns(o *CalendarOption) []GoodDays {
	var runs []GoodDays
	for i, d := range o.Days {
		if d.State != DayBest && d.State != DayGood {
			continue
		}
		day := &c.table.Days[i]
		if n := len(runs); n == 0 || runs[n-1].To.Add(1) != day.Day {
			runs = append(runs, GoodDays{From: day.Day, Loss: d.Loss, Net: d.Net, Why: d.Why})
		}
		run := &runs[len(runs)-1]
		run.To, run.Advised = day.Day, run.Advised || d.State == DayBest
		if d.State == DayBest || !run.Advised && d.Net > run.Net {
			run.Loss, run.Net, run.Why = d.Loss, d.Net, d.Why
		}
		for _, words := range doubts(c.table.Flags(day, &c.chosen.product, o.Way), c.plan.Units) {
			if !slices.Contains(run.Doubts, words) {
				run.Doubts = append(run.Doubts, words)
			}
		}
	}
	return runs
}

func (c *inquiry) skyOf() Sky {
	now := c.outlook.now
	s := Sky{Station: c.fs.Field.Station, Courses: now.Courses()}
	if f := now.Sky().Forecast; f != nil {
		s.Issued, s.By, s.Until = f.Issued, f.By, f.Days[len(f.Days)-1].Day
	}
	if usual, _ := now.Climate(); usual != nil {
		s.RecordFrom, s.RecordTo = usual.First, usual.Last
		for _, m := range usual.Months {
			s.RecordDays += m.Days.Rain
		}
	}
	return s
}

// missingOfDays is what the plan misses, and what the days beyond the forecast do.
func (c *inquiry) missingOfDays() []Missing {
	missing := c.plan.Missing
	if usual, why := c.outlook.now.Climate(); usual == nil {
		why = strings.TrimPrefix(why, "climate: ")
		missing = append(missing[:len(missing):len(missing)], Missing{
			What: "a longer daily record of the station (" + why + ")", Brings: "the days beyond the forecast, and how likely rain is",
		})
	}
	return missing
}

// assumedOfDays says what was assumed of ground and weather.
func (c *inquiry) assumedOfDays() []string {
	all := c.table.Assumed
	all = all[:len(all):len(all)]
	usual, _ := c.outlook.now.Climate()
	beyond := slices.IndexFunc(c.table.Days, func(d timing.Day) bool { return !d.Forecast })
	if usual == nil || beyond < 0 {
		return all
	}
	days := c.table.Days
	words := fmt.Sprintf("from %s on no forecast reaches; weather is simulated from the station's record of %s to %s", days[beyond].Day.Short(), usual.First, usual.Last)
	if absent := absentMonths(usual, days); len(absent) > 0 {
		words += ", which holds no " + strings.Join(absent, " and no ") + ": the months beside stand in"
	}
	return append(all, words)
}

// absentMonths are those months of the days of which the record holds nothing.
func absentMonths(usual *climate.Climate, days []timing.Day) []string {
	var names []string
	for _, d := range days {
		month := d.Day.Time().Month()
		if name := month.String(); usual.Months[month-time.January].Days.Rain == 0 && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}
