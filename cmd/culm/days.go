package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"runtime"
	"slices"
	"strings"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	icalendar "culm/exchange/days"
	"culm/season"
	"culm/server/desk"

	"golang.org/x/sync/errgroup"
)

type daysCommand struct {
	fieldsAsked

	JSON bool   `name:"json" help:"Print one JSON document with every field's table of days."`
	ICS  string `name:"ics" help:"Write the good days here as an iCalendar file." placeholder:"FILE"`
}

// daysDocument is the JSON of culm days.
type daysDocument struct {
	Version   string            `json:"version"`
	Engine    string            `json:"engine"`
	Today     calendar.Day      `json:"today"`
	Season    string            `json:"season"`
	Invented  bool              `json:"invented,omitempty"`
	Problems  []season.Problem  `json:"problems,omitempty"`
	Calendars []advice.Calendar `json:"calendars"`
}

// Run reads the folder, lays the tables of days and prints or writes them.
func (c *daysCommand) Run(ctx context.Context, d *door) error {
	o, err := c.open(d)
	if err != nil {
		return err
	}
	for i := range o.fields {
		o.fields[i].Settings.Units = o.units
	}
	tables, err := layTables(ctx, o.advisor, o.fields)
	if err != nil {
		return err
	}
	if c.ICS != "" {
		if err := c.writeCalendar(o.season, tables); err != nil {
			return err
		}
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", " ")
		return enc.Encode(daysDocument{
			Version: "culm.days/1", Engine: version, Today: o.today, Season: o.season.Settings.Name, Invented: o.season.Settings.Invented,
			Problems: o.problems, Calendars: tables,
		})
	}
	return c.print(d, o.season, o.today, tables, o.problems)
}

func (c *daysCommand) writeCalendar(s *season.Season, tables []advice.Calendar) error {
	var text bytes.Buffer
	if err := icalendar.Write(&text, "Days for nitrogen, "+s.Settings.Name, tables); err != nil {
		return err
	}
	return writeWhole(c.ICS, text.Bytes())
}

// layTables makes the fields' tables, several at a time.
func layTables(ctx context.Context, advisor *advice.Advisor, seasons []season.FieldSeason) ([]advice.Calendar, error) {
	var skies desk.Skies
	tables := make([]advice.Calendar, len(seasons))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, fs := range seasons {
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			_, tables[i] = advisor.PlanAndCalendar(skies.Of(fs), fs)
			return nil
		})
	}
	return tables, group.Wait()
}

func (c *daysCommand) print(d *door, s *season.Season, today calendar.Day, tables []advice.Calendar, problems []season.Problem) error {
	out := bufio.NewWriter(d.out)
	t := daysTerminal{terminal{w: out, units: unitsOf(c.Units, s)}}
	fmt.Fprintf(out, "%s, %s. %s.\n", s.Settings.Name, s.Settings.District, today.Spoken())
	if s.Settings.Invented {
		fmt.Fprintln(out, "Everything in this season is invented: place, people and numbers.")
	}
	fmt.Fprintln(out, daysKey)
	for i := range tables {
		fmt.Fprintln(out)
		t.table(&tables[i])
	}
	fmt.Fprintln(out, "\nCulm advises; the product's label, local rules and the licensed person decide.")
	printProblems(d.err, problems)
	return out.Flush()
}

// daysTerminal writes tables of days for a person at a terminal.
type daysTerminal struct{ terminal }

const daysKey = `* the day   + as good   o open   ? open, with a doubt   x closed   > past the deadline   ~ simulated weather
lost: as ammonia, of the nitrogen spread, with the range of 80 in 100; soak: chance of half an inch in one day within a week`

// sign and word of a day's state; neither hangs on colour.
func signOf(s advice.DayState) (sign, word string) {
	switch s {
	case advice.DayBest:
		return "*", "the day"
	case advice.DayGood:
		return "+", "as good"
	case advice.DayDoubt:
		return "?", "doubt"
	case advice.DayClosed:
		return "x", "closed"
	case advice.DayLate:
		return ">", "late"
	default:
		return "o", "open"
	}
}

// table prints a field: the sentence, the days of one option, what is behind them, and the other options beside each
// other.
func (t daysTerminal) table(k *advice.Calendar) {
	fmt.Fprintf(t.w, "%s — %s, %s\n", k.Field.Name, k.Producer.Name, k.Field.Crop)
	t.wrap("  ", "  ", k.Advice)
	if k.Changed != "" {
		t.wrap("  changed  ", "           ", k.Changed)
	}
	if len(k.Days) > 0 && len(k.Options) > 0 {
		lead := leadOption(k)
		o := &k.Options[lead]
		note := ""
		if len(k.Good) == 0 {
			note = ", for the loss only: no day is advised"
		}
		fmt.Fprintf(t.w, "\n    %s, %s%s\n", o.ProductName, o.Placement, note)
		fmt.Fprintf(t.w, "      %-8s %-12s %-16s %-11s %-14s %-8s %-5s %s\n", "", "", "air", "rain", "lost", "nets", "soak", "against")
		for i, d := range o.Days {
			t.day(&k.Days[i], d, o.HasNet)
		}
		t.behind(k, o)
		t.others(k, lead)
	}
	for _, m := range k.Missing {
		t.wrap("    missing  ", "             ", m.What+": "+m.Brings)
	}
	for _, a := range k.Assumed {
		t.wrap("    assumed  ", "             ", a)
	}
}

// leadOption is the chosen one, or the first that has days.
func leadOption(k *advice.Calendar) int {
	if i := slices.IndexFunc(k.Options, func(o advice.CalendarOption) bool { return o.Chosen }); i >= 0 {
		return i
	}
	return max(0, slices.IndexFunc(k.Options, func(o advice.CalendarOption) bool { return len(o.Days) > 0 }))
}

// day prints one day in one line.
func (t daysTerminal) day(d *advice.CalendarDay, o advice.OptionDay, hasNet bool) {
	sign, word := signOf(o.State)
	air, rain := t.sky(d)
	net, soak := "", ""
	if hasNet && o.State != advice.DayClosed {
		net = unit.Show(unit.KindMoneyPerArea, float64(o.Net), t.units).String()
	}
	if d.HasWashIn {
		soak = percent(d.WashIn)
	}
	lost := fmt.Sprintf("%3s (%s-%s)", percent(o.Loss), strings.TrimSuffix(percent(o.LossLow), "%"), percent(o.LossHigh))
	line := fmt.Sprintf("    %s %-8s %-12s %-16s %-11s %-14s %-8s %-5s %s", sign, word, t.date(d), air, rain, lost, net, soak, strings.Join(against(d, o), ", "))
	fmt.Fprintln(t.w, strings.TrimRight(line, " "))
}

func (t daysTerminal) date(d *advice.CalendarDay) string {
	if d.Forecast {
		return d.Day.Short()
	}
	return "~" + d.Day.Short()
}

// sky writes low and high, and rain with its chance.
func (t daysTerminal) sky(d *advice.CalendarDay) (air, rain string) {
	w := d.Weather
	if w.Has&season.HasTemperature != 0 {
		air = unit.Show(unit.KindTemperature, float64(w.Low), t.units).Number + " to " + unit.Show(unit.KindTemperature, float64(w.High), t.units).String()
	}
	if w.Has&season.HasRain != 0 && w.Rain > 0 {
		rain = unit.Show(unit.KindWater, float64(w.Rain), t.units).String()
		if w.RainChance > 0 {
			rain += " " + percent(w.RainChance)
		}
	}
	return air, rain
}

func percent(f unit.Fraction) string { return fmt.Sprintf("%.0f%%", 100*float64(f)) }

// against names in a word or two what speaks against a day; the reasons stand below the table.
func against(d *advice.CalendarDay, o advice.OptionDay) []string {
	var words []string
	for _, f := range o.Flags {
		word := wordFor(f, d)
		if f.Risk != ground.Inversion && !slices.Contains(words, word) {
			words = append(words, word)
		}
	}
	return words
}

// wordFor is a flag in a word or two.
func wordFor(f advice.DayFlag, d *advice.CalendarDay) string {
	switch f.Risk {
	case ground.GroundState:
		if f.Level == "note" {
			return "try the ground"
		}
		return string(d.Ground) + " ground"
	case ground.Drift:
		return "wind"
	case ground.BurnFrost:
		return "frost on leaves"
	case ground.BurnDew:
		return "dew"
	case ground.BurnHeat:
		return "heat"
	case ground.BurnWeeds:
		return "herbicide along"
	case ground.RainOn:
		return "rain"
	default:
		return strings.ReplaceAll(string(f.Risk), "-", " ")
	}
}

// behind says why the good days are good, and puts the words of the table in sentences.
func (t daysTerminal) behind(k *advice.Calendar, o *advice.CalendarOption) {
	for _, run := range k.Good {
		t.wrap("    good     ", "             ", when(run.From, run.To)+": "+run.Why)
	}
	var told []string
	for i, d := range o.Days {
		for _, f := range d.Flags {
			if slices.Contains(told, f.Reason) {
				continue
			}
			told = append(told, f.Reason)
			t.wrap("    "+f.Level+strings.Repeat(" ", 9-len(f.Level)), "             ", wordFor(f, &k.Days[i])+": "+f.Reason)
		}
	}
}

// when names a run of days.
func when(from, to calendar.Day) string {
	if from == to {
		return from.Short()
	}
	return from.Short() + " to " + to.Short()
}

// others sets the other options beside each other: sign and loss of each day.
func (t daysTerminal) others(k *advice.Calendar, lead int) {
	var shown []*advice.CalendarOption
	for i := range k.Options {
		if o := &k.Options[i]; i != lead && len(o.Days) > 0 {
			shown = append(shown, o)
		}
	}
	if len(shown) == 0 {
		return
	}
	fmt.Fprintln(t.w, "\n    the other ways, a column each: how the day stands, and what is lost")
	for i, o := range shown {
		why := ""
		if !o.Possible {
			why = ": " + o.Why
		} else if o.Against != "" {
			why = ": " + o.Against
		}
		t.wrap(fmt.Sprintf("      %d ", i+1), "        ", o.ProductName+", "+o.Placement+why)
	}
	var head strings.Builder
	for i := range shown {
		fmt.Fprintf(&head, "%7d", i+1)
	}
	fmt.Fprintf(t.w, "      %-13s%s\n", "", strings.TrimRight(head.String(), " "))
	for i := range k.Days {
		var row strings.Builder
		for _, o := range shown {
			sign, _ := signOf(o.Days[i].State)
			fmt.Fprintf(&row, " %s %4s", sign, percent(o.Days[i].Loss))
		}
		fmt.Fprintf(t.w, "      %-13s%s\n", t.date(&k.Days[i]), row.String())
	}
}
