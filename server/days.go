package server

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// almanac is the coming three weeks of a field as its page shows them: a line for each day, the way that the
// decision follows in full and the others beside it by their signs.
type almanac struct {
	advice.Calendar
	Lead   advice.CalendarOption
	Others []advice.CalendarOption
	Lines  []almanacDay
}

// almanacDay is one day, for all ways of spreading.
type almanacDay struct {
	advice.CalendarDay
	Lead   advice.OptionDay
	Loss   working.ID // the figure behind the loss of the way followed; empty where the plan holds none
	Others []advice.OptionDay
	// Against is what speaks against the day, each thing once with the ways it concerns.
	Against []concern
}

// concern is one thing that speaks against a day.
type concern struct {
	advice.DayFlag
	Ways []string // names of the ways it concerns; none means all
}

// almanacOf lays a calendar out. It returns false where there is no day or no way to show.
func almanacOf(k advice.Calendar, p *advice.Plan) (almanac, bool) {
	a := almanac{Calendar: k}
	ways := slices.DeleteFunc(slices.Clone(k.Options), func(o advice.CalendarOption) bool { return !o.Possible || len(o.Days) != len(k.Days) })
	if len(ways) == 0 || len(k.Days) == 0 {
		return a, false
	}
	lead := max(0, slices.IndexFunc(ways, func(o advice.CalendarOption) bool { return o.Chosen }))
	a.Lead, a.Others = ways[lead], slices.Delete(slices.Clone(ways), lead, lead+1)
	slices.SortStableFunc(a.Others, func(x, y advice.CalendarOption) int { return strings.Compare(x.ProductName, y.ProductName) })
	figures := map[calendar.Day]working.ID{}
	for _, d := range p.Days {
		figures[d.Day] = d.LossFigure
	}
	for i, d := range k.Days {
		line := almanacDay{CalendarDay: d, Lead: a.Lead.Days[i]}
		if a.Lead.Chosen || p.Decision.Action != advice.Spread {
			line.Loss = figures[d.Day]
		}
		for _, o := range a.Others {
			line.Others = append(line.Others, o.Days[i])
		}
		line.Against = concernsOn(i, ways)
		a.Lines = append(a.Lines, line)
	}
	return a, true
}

// concernsOn gathers what speaks against a day over all ways, the weightiest first.
func concernsOn(day int, ways []advice.CalendarOption) []concern {
	var all []concern
	var whose [][]advice.CalendarOption
	for _, o := range ways {
		for _, f := range o.Days[day].Flags {
			i := slices.IndexFunc(all, func(c concern) bool { return c.Risk == f.Risk && c.Reason == f.Reason && c.Amount == f.Amount })
			if i < 0 {
				i = len(all)
				all, whose = append(all, concern{DayFlag: f}), append(whose, nil)
			}
			whose[i] = append(whose[i], o)
		}
	}
	for i := range all {
		all[i].Ways = together(whose[i], ways)
	}
	weight := func(c concern) int { return slices.Index([]string{"stop", "caution", "note"}, c.Level) }
	slices.SortStableFunc(all, func(x, y concern) int { return weight(x) - weight(y) })
	return all
}

// together names the ways that something concerns: by their placements alone where it concerns all of those.
func together(concerned, all []advice.CalendarOption) []string {
	var placements, names []string
	for _, o := range concerned {
		names = append(names, wayName(o))
		if !slices.Contains(placements, o.Placement) {
			placements = append(placements, o.Placement)
		}
	}
	alike := 0
	for _, o := range all {
		if slices.Contains(placements, o.Placement) {
			alike++
		}
	}
	switch {
	case len(concerned) == len(all):
		return nil
	case alike == len(concerned):
		return placements
	default:
		return names
	}
}

// shortName is that of a product without its analysis, where no other product is called the same.
func (a almanac) shortName(o advice.CalendarOption) string {
	base := baseName(o.ProductName)
	for _, other := range a.Options {
		if other.ProductName != o.ProductName && baseName(other.ProductName) == base {
			return sentenceCase(o.ProductName)
		}
	}
	return sentenceCase(base)
}

// baseName cuts the analysis off: "urea 46-0-0" is urea.
func baseName(product string) string {
	if i := strings.LastIndexByte(product, ' '); i > 0 && strings.Contains(product[i:], "-") {
		return product[:i]
	}
	return product
}

func wayName(o advice.CalendarOption) string { return o.ProductName + ", " + o.Placement }

// title answers which day.
func (a almanac) title() string {
	open := 0
	if a.Sky.Issued.IsZero() {
		return "No forecast that still holds is at hand; this is what is usual here"
	}
	for _, d := range a.Lines {
		if d.Lead.State == advice.DayBest {
			return d.Day.Spoken() + " is the day" + a.asGood()
		}
		if d.Forecast && d.Lead.State != advice.DayClosed && d.Lead.State != advice.DayLate {
			open++
		}
	}
	if open == 0 {
		return "No day that the forecast reaches is open"
	}
	return plural(open, "day") + " that the forecast reaches would be open"
}

// asGood says until when it stays as good as on the day advised.
func (a almanac) asGood() string {
	for _, run := range a.Good {
		switch {
		case !run.Advised:
		case run.To.After(a.Decision.Day):
			return "; until " + run.To.Spoken() + " it stays as good"
		case run.From.Before(a.Decision.Day):
			return "; from " + run.From.Spoken() + " on it is as good"
		}
	}
	return ""
}

// told gives the days that the forecast reaches, or those beyond it.
func (a almanac) told(forecast bool) []almanacDay {
	return slices.DeleteFunc(slices.Clone(a.Lines), func(d almanacDay) bool { return d.Forecast != forecast })
}

// columns counts the columns of the table.
func (a almanac) columns() int {
	n := 5 + len(a.Others)
	if a.HasMoney {
		n++
	}
	return n
}

// lead says whose days stand in full, and where the others are.
func (a almanac) lead() string {
	text := wayName(a.Lead) + ", if it were spread"
	if a.Lead.Chosen && a.Decision.Action == advice.Spread {
		text = wayName(a.Lead) + ", the way advised"
	}
	if len(a.Others) > 0 {
		text += "; at the right, by their signs, the other ways"
	}
	return sentenceCase(text) + "."
}

// stateWord names how a day stands.
func stateWord(s advice.DayState) string {
	switch s {
	case advice.DayBest:
		return "the day"
	case advice.DayGood:
		return "as good"
	case advice.DayOpen:
		return "open"
	case advice.DayDoubt:
		return "doubtful"
	case advice.DayLate:
		return "too late"
	default:
		return "stopped"
	}
}

// states are those that the almanac shows, for its key.
func (a almanac) states() []advice.DayState {
	var seen []advice.DayState
	for _, s := range []advice.DayState{advice.DayBest, advice.DayGood, advice.DayOpen, advice.DayDoubt, advice.DayClosed, advice.DayLate} {
		if slices.ContainsFunc(a.Lines, func(d almanacDay) bool {
			return d.Lead.State == s || slices.ContainsFunc(d.Others, func(o advice.OptionDay) bool { return o.State == s })
		}) {
			seen = append(seen, s)
		}
	}
	return seen
}

// slip is the id that a day's slip has on the page.
func (d almanacDay) slip() string { return "day-" + d.Day.String() }

// classes are those of a day's line.
func (d almanacDay) classes() string {
	all := "line day-" + string(d.Lead.State)
	if !d.Forecast {
		all += " usual"
	}
	if d.Day.Time().Weekday() == time.Monday {
		all += " monday"
	}
	return all
}

// words says in a line what decides the day: what stops it, or what carries the nitrogen in and what is doubtful.
func (d almanacDay) words(s unit.System) string {
	switch {
	case d.Lead.State == advice.DayLate:
		return "Past the last day for top-dressing."
	case d.Stop != "":
		return sentenceCase(d.Stop) + "."
	}
	words := sentenceCase(d.Lead.Why)
	if !d.Forecast {
		words = sentenceCase("usually " + sky(d.Weather, s))
	}
	if doubts := d.doubts(); len(doubts) > 0 {
		words += "; " + list(doubts)
	}
	return words + "."
}

// doubts names what makes the day doubtful: what is to be heeded, or else what is noted.
func (d almanacDay) doubts() []string {
	var heeded, noted []string
	for _, f := range d.Lead.Flags {
		names := &noted
		if f.Level != "note" {
			names = &heeded
		}
		if word := riskWord(f.Risk); !slices.Contains(*names, word) {
			*names = append(*names, word)
		}
	}
	if len(heeded) == 0 && d.Lead.State == advice.DayDoubt {
		return noted
	}
	return heeded
}

// riskWord names a risk in the fewest words.
func riskWord(r ground.Risk) string {
	switch r {
	case ground.GroundState:
		return "ground to be looked at"
	case ground.Drift:
		return "wind"
	case ground.Inversion:
		return "still cold air"
	case ground.Droplets:
		return "droplets"
	case ground.BurnFrost:
		return "frost on the leaves"
	case ground.BurnDew:
		return "dew on the leaves"
	case ground.BurnHeat:
		return "heat on the leaves"
	case ground.BurnWeeds:
		return "leaf burn with the herbicide"
	case ground.RainOn:
		return "rain while spreading"
	case ground.RunsOff:
		return "rain that carries it off"
	case ground.Leaches:
		return "nitrate going below the roots"
	case ground.FewHours:
		return "few fit hours"
	default:
		return strings.ReplaceAll(string(r), "-", " ")
	}
}

// chance writes the chance of a soaking rain.
func (d almanacDay) chance() string {
	if !d.HasWashIn {
		return "not known"
	}
	return share(d.WashIn)
}

// lostOn writes the share that would be lost, with its range.
func (f fieldView) lostOn(o advice.OptionDay) string {
	return unit.ShowRange(unit.KindFraction, float64(o.Loss), float64(o.LossLow), float64(o.LossHigh), f.Plan.Units)
}

// netOn writes what a day would net; nothing where that is not known or nothing may be spread.
func (f fieldView) netOn(has bool, o advice.OptionDay) string {
	if !has || o.State == advice.DayClosed || o.State == advice.DayLate {
		return "–"
	}
	return unit.Show(unit.KindMoneyPerArea, float64(o.Net), f.Plan.Units).String()
}

// ground says what state the ground is in, and how sure that is.
func (d almanacDay) ground() string {
	text := "Ground: " + string(d.Ground)
	if d.GroundChance > 0 && d.GroundChance < 0.995 {
		text += " (" + share(d.GroundChance) + ")"
	}
	return text
}

// rests says what a day's weather rests on.
func (a almanac) rests(d almanacDay) string {
	if !d.Forecast {
		return fmt.Sprintf("No forecast reaches this day. This is what weather simulated from the station's record is like on average over %d courses.", a.Sky.Courses)
	}
	return a.issued() + "."
}

// issued says which forecast the days go by.
func (a almanac) issued() string {
	if a.Sky.Issued.IsZero() {
		return "No forecast is at hand"
	}
	text := "By the forecast of " + calendar.FromTime(a.Sky.Issued).Spoken()
	if a.Sky.By != "" {
		text += ", " + a.Sky.By
	}
	return text
}

// beyond says where the forecast ends and what stands in.
func (a almanac) beyond() string {
	text := "No forecast reaches farther. From here on: what is usual"
	if a.Sky.Issued.IsZero() {
		text = "No forecast reaches these days: what is usual"
	}
	if !a.Sky.RecordFrom.IsZero() {
		text += fmt.Sprintf(", simulated from the station's record of %s to %s", monthOf(a.Sky.RecordFrom), monthOf(a.Sky.RecordTo))
	}
	return text + "."
}

func monthOf(d calendar.Day) string { return d.Time().Format("January 2006") }

// hours writes the hours that something holds in.
func (c concern) hours() string {
	var parts []string
	for _, h := range c.Hours {
		parts = append(parts, fmt.Sprintf("%d to %d h", h.From, h.To))
	}
	return list(parts)
}

// weight names how much a concern weighs.
func (c concern) weight() string {
	switch c.Level {
	case "stop":
		return "Stop"
	case "caution":
		return "Caution"
	default:
		return "Note"
	}
}

// says is the concern in words, with its number and hours.
func (c concern) says(s unit.System) string {
	text := sentenceCase(c.Reason)
	var more []string
	if c.Amount.Kind != "" {
		more = append(more, c.Amount.Show(s).String())
	}
	if c.Chance > 0 && c.Chance < 0.995 {
		more = append(more, share(c.Chance)+" likely")
	}
	if h := c.hours(); h != "" {
		more = append(more, h)
	}
	if len(more) > 0 {
		text += " (" + strings.Join(more, ", ") + ")"
	}
	text += "."
	if len(c.Ways) > 0 {
		text += " For " + list(c.Ways) + "."
	}
	return text
}

// sky writes a day's weather in a reader's units; parts that are not known are left out.
func sky(w season.ForecastDay, s unit.System) string {
	var parts []string
	if w.Has&season.HasTemperature != 0 {
		parts = append(parts, span(unit.KindTemperature, float64(w.Low), float64(w.High), s))
	}
	if w.Has&season.HasRain != 0 {
		rain := unit.Show(unit.KindWater, float64(w.Rain), s).String() + " rain"
		if w.Rain == 0 {
			rain = "dry"
		} else if w.RainChance > 0 {
			rain += " (" + unit.Show(unit.KindFraction, float64(w.RainChance), s).String() + ")"
		}
		parts = append(parts, rain)
	}
	if w.Has&season.HasWind != 0 {
		parts = append(parts, "wind "+unit.Show(unit.KindSpeed, float64(w.Wind), s).String())
	}
	return strings.Join(parts, ", ")
}

// sentenceCase gives a text a capital at the start.
func sentenceCase(s string) string {
	if s == "" || strings.HasPrefix(s, "pH") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// source is the full reference behind a concern; empty where it has none but habit.
func (f fieldView) source(k cite.Key) string {
	if k == cite.Practice {
		return ""
	}
	s, _ := f.Plan.Source(k)
	return s.Text
}

// changeWord heads what changed.
func changeWord(c *advice.Change) string {
	if c.Lost {
		return "New forecast:"
	}
	return "Since the last forecast:"
}
