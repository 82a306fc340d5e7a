// Package days writes the good days of fields as an iCalendar file or feed (RFC 5545): one event for each good day
// or run of good days of the option that the plan chose.
//
// It reads no clock. An event is stamped with the moment its forecast was issued, or with the beginning of the day of
// the advice where that came later, so the same advice is the same file. A later forecast moves an event instead of
// leaving a second one beside it: the first event of a field and season keeps its identifier, and its sequence number
// grows with the hours of the season.
package days

import (
	"crypto/sha256"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"

	ics "github.com/arran4/golang-ical"
)

const productID = "-//Culm//Days for top-dressing//EN"

// refresh is how often a feed is worth asking for again: weather services issue a few forecasts a day.
const refresh = "PT6H"

// Write writes the events of fields as one calendar of a name.
func Write(w io.Writer, name string, fields []advice.Calendar) error {
	c := ics.NewCalendar()
	c.SetProductId(productID)
	c.SetCalscale("GREGORIAN")
	c.SetMethod(ics.MethodPublish)
	c.SetName(clean(name))
	c.SetRefreshInterval(refresh) // which names the value a duration by itself
	for i := range fields {
		addField(c, &fields[i])
	}
	if err := c.SerializeTo(w, ics.WithNewLineWindows); err != nil {
		return fmt.Errorf("writing the calendar of days: %w", err)
	}
	return nil
}

func addField(c *ics.Calendar, f *advice.Calendar) {
	runs := advisedFirst(f.Good)
	for i, run := range runs {
		e := event(c, f, i)
		span(e, run.From, run.To)
		e.SetSummary(clean(summary(f, run)))
		e.SetDescription(clean(description(f, run)))
		e.SetStatus(ics.ObjectStatusTentative)
	}
	if len(runs) == 0 && f.Lost {
		e := event(c, f, 0)
		span(e, f.Was, f.Was)
		e.SetSummary(clean("No longer: " + f.Field.Name))
		e.SetDescription(clean(f.Changed + "\n" + f.Advice))
		e.SetStatus(ics.ObjectStatusCancelled)
	}
}

// advisedFirst puts the run with the day advised before the others, so that its event stays the same whatever comes
// and goes beside it.
func advisedFirst(runs []advice.GoodDays) []advice.GoodDays {
	sorted := slices.Clone(runs)
	slices.SortStableFunc(sorted, func(a, b advice.GoodDays) int {
		switch {
		case a.Advised == b.Advised:
			return 0
		case a.Advised:
			return -1
		default:
			return 1
		}
	})
	return sorted
}

// event begins an event with what all have.
func event(c *ics.Calendar, f *advice.Calendar, number int) *ics.VEvent {
	e := c.AddEvent(identifier(f, number))
	stamp := stampOf(f)
	e.SetDtStampTime(stamp)
	e.SetModifiedAt(stamp)
	e.SetSequence(sequence(f, stamp))
	e.SetTimeTransparency(ics.TransparencyTransparent)
	e.SetLocation(clean(f.Field.Name))
	return e
}

func span(e *ics.VEvent, from, to calendar.Day) {
	e.SetAllDayStartAt(from.Time())
	e.SetAllDayEndAt(to.Add(1).Time()) // the end is not included
}

// identifier is the same for a field's first, second ... run of days in a season, whatever days they are. It has the
// form of a UUID of one's own making (RFC 9562, version 8).
func identifier(f *advice.Calendar, number int) string {
	h := sha256.Sum256([]byte(strings.Join([]string{
		"culm day", f.Field.Producer, f.Field.ID, strconv.Itoa(f.HarvestYear), strconv.Itoa(number),
	}, "\x00")))
	h[6] = h[6]&0x0f | 0x80
	h[8] = h[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", h[0:4], h[4:6], h[6:8], h[8:10], h[10:16])
}

// stampOf is when the advice was last new: at its forecast's issue, or at the beginning of its day.
func stampOf(f *advice.Calendar) time.Time {
	day := f.Today.Time()
	if f.Sky.Issued.After(day) {
		return f.Sky.Issued.UTC()
	}
	return day
}

// sequence counts the hours of the season, from the first of July before harvest.
func sequence(f *advice.Calendar, stamp time.Time) int {
	begin := calendar.Date(f.HarvestYear-1, time.July, 1).Time()
	return max(0, int(stamp.Sub(begin)/time.Hour))
}

func summary(f *advice.Calendar, run advice.GoodDays) string {
	verb := "Also good for "
	if run.Advised {
		verb = "Spread "
	}
	o := chosen(f)
	return fmt.Sprintf("%s%s: %s, %s", verb, f.Field.Name, o.ProductName, o.Placement)
}

func chosen(f *advice.Calendar) advice.CalendarOption {
	for _, o := range f.Options {
		if o.Chosen {
			return o
		}
	}
	return advice.CalendarOption{}
}

// description says what to do, why on these days, and what to mind.
func description(f *advice.Calendar, run advice.GoodDays) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	if f.Invented {
		line("Invented: place, people and numbers.")
	}
	o, show := chosen(f), func(k unit.Kind, v float64) string { return unit.Show(k, v, f.Units).String() }
	if run.Advised {
		line("%s", f.Advice)
	}
	line("%s of nitrogen as %s, %s.", show(unit.KindRate, float64(f.Rate)), o.ProductName, o.Placement)
	line("Why: %s. About %s of the nitrogen would be lost as ammonia; it nets about %s.", run.Why,
		show(unit.KindFraction, float64(run.Loss)), show(unit.KindMoneyPerArea, float64(run.Net)))
	for _, d := range run.Doubts {
		line("Mind: %s.", d)
	}
	if f.Changed != "" {
		line("Changed: %s", f.Changed)
	}
	for _, c := range f.Cautions {
		line("Caution: %s", c.Text)
	}
	if !f.Sky.Issued.IsZero() {
		line("By the forecast of %s.", f.Sky.Issued.UTC().Format("2006-01-02 15:04 UTC"))
	}
	b.WriteString("Culm advises; the product's label, local rules and the licensed person decide.")
	return b.String()
}

// clean takes out control characters, which text of iCalendar must not hold, but keeps line ends.
func clean(s string) string {
	s = strings.ReplaceAll(s, "\r\n", "\n")
	return strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}
