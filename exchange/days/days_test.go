package days_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/exchange/days"
	"culm/season"

	"pgregory.net/rapid"
)

func written(t interface{ Fatal(...any) }, name string, fields ...advice.Calendar) string {
	var b bytes.Buffer
	if err := days.Write(&b, name, fields); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// fields are the demonstration's, on its day.
func fields(t *testing.T) []advice.Calendar {
	t.Helper()
	a, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	s := season.Assemble(demo.Season(demo.Cast, 1))
	var all []advice.Calendar
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		all = append(all, a.Calendar(fs))
	}
	return all
}

// events reads a calendar that keeps the rules.
func events(t interface {
	Fatalf(string, ...any)
}, text string,
) []*component {
	calendars, wrong := checked(text, true)
	if len(wrong) > 0 || len(calendars) != 1 {
		t.Fatalf("%s\n%s", strings.Join(wrong, "\n"), text)
	}
	return calendars[0].parts
}

func unescaped(s string) string {
	return strings.NewReplacer(`\\`, `\`, `\;`, `;`, `\,`, `,`, `\n`, "\n").Replace(s)
}

// Every good run of the demonstration is an event with product, placement, reason and cautions.
func TestDemonstration(t *testing.T) {
	all := fields(t)
	got := events(t, written(t, "Days, Harrow Divide", all...))
	n := 0
	for _, f := range all {
		for _, run := range f.Good {
			e := got[n]
			n++
			text := unescaped(e.value("DESCRIPTION"))
			if run.Advised && !strings.Contains(text, f.Advice) || !strings.Contains(text, run.Why) || !strings.Contains(text, "Caution: Never spread on frozen") || !strings.Contains(text, "Invented") {
				t.Errorf("%s: %s", f.Field.Name, text)
			}
			if e.value("DTSTAMP") != "20270210T110000Z" || e.value("LAST-MODIFIED") != "20270210T110000Z" || e.value("STATUS") != "TENTATIVE" {
				t.Errorf("%s: %+v", f.Field.Name, e.properties)
			}
			if want := strings.ReplaceAll(run.From.String(), "-", ""); run.Advised && e.value("DTSTART") != want {
				t.Errorf("%s begins on %s, expected %s", f.Field.Name, e.value("DTSTART"), want)
			}
		}
	}
	if n != len(got) || n < 10 {
		t.Errorf("%d events of %d good runs", len(got), n)
	}
	if again := written(t, "Days, Harrow Divide", all...); again != written(t, "Days, Harrow Divide", all...) {
		t.Error("the same advice is another file")
	}
}

// one is a field whose advised day is known.
func one() advice.Calendar {
	day := calendar.Date(2027, 2, 11)
	return advice.Calendar{
		Field: season.Field{ID: "home", Name: "Home"}, Today: day.Add(-1), HarvestYear: 2027, Units: unit.US, Advice: "Spread it.",
		Sky:     advice.Sky{Issued: time.Date(2027, 2, 10, 11, 30, 0, 0, time.UTC)},
		Options: []advice.CalendarOption{{ProductName: "urea 46-0-0", Placement: "broadcast", Chosen: true}},
		Good:    []advice.GoodDays{{From: day, To: day.Add(1), Advised: true, Why: "rain; soon"}, {From: day.Add(4), To: day.Add(4), Why: "cool"}},
	}
}

// A feed follows the forecast: the event of the advised day moves, under the same identifier and with a higher number;
// a day that is lost and not replaced is cancelled.
func TestAFeedFollowsTheForecast(t *testing.T) {
	now := one()
	before := events(t, written(t, "x", now))
	if len(before) != 2 || before[0].value("DTEND") != "20270213" || before[0].value("SEQUENCE") != "5387" {
		t.Fatalf("%+v", before[0].properties)
	}
	later := one()
	later.Today, later.Sky.Issued = later.Today.Add(1), later.Sky.Issued.Add(24*time.Hour)
	later.Good = []advice.GoodDays{{From: calendar.Date(2027, 2, 12), To: calendar.Date(2027, 2, 12)}, {From: calendar.Date(2027, 2, 14), To: calendar.Date(2027, 2, 14), Advised: true}}
	after := events(t, written(t, "x", later))
	if after[0].value("UID") != before[0].value("UID") || after[0].value("DTSTART") != "20270214" || after[0].value("SEQUENCE") != "5411" || after[0].value("DTSTAMP") != "20270211T113000Z" {
		t.Errorf("%+v", after[0].properties)
	}
	later.Good, later.Lost, later.Was, later.Changed = nil, true, calendar.Date(2027, 2, 14), "Sunday is no longer the day."
	gone := events(t, written(t, "x", later))
	if len(gone) != 1 || gone[0].value("UID") != before[0].value("UID") || gone[0].value("STATUS") != "CANCELLED" || gone[0].value("DTSTART") != "20270214" {
		t.Errorf("%+v", gone)
	}
	stale := one()
	stale.Today = stale.Today.Add(2) // advice of a later day by the same forecast
	if e := events(t, written(t, "x", stale)); e[0].value("DTSTAMP") != "20270212T000000Z" {
		t.Errorf("%+v", e[0].properties)
	}
	other := one()
	other.HarvestYear++
	if e := events(t, written(t, "x", other)); e[0].value("UID") == before[0].value("UID") {
		t.Error("the next season's event has this one's identifier")
	}
}

// Whatever people call their fields and whatever stands in a caution, the file keeps the rules and the text comes
// back.
func TestAnyTextKeepsTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := one()
		f.Field.Name = rapid.StringOf(rapid.RuneFrom([]rune("aé漢\U0001F33E,;:\\\"\r\n\t\x00\x07^ "))).Draw(t, "name")
		f.Cautions = []advice.Caution{{Text: rapid.String().Draw(t, "caution")}}
		e := events(t, written(t, rapid.String().Draw(t, "calendar"), f))
		if got, want := unescaped(e[0].value("LOCATION")), clean(f.Field.Name); got != want {
			t.Fatalf("%q comes back as %q", want, got)
		}
	})
}

// clean is what of a text may stand in a calendar, written once more.
func clean(s string) string {
	var b strings.Builder
	for _, r := range strings.ReplaceAll(s, "\r\n", "\n") {
		if r != '\n' && (r < 0x20 || r >= 0x7f && r < 0xa0) {
			r = ' '
		}
		b.WriteRune(r)
	}
	return b.String()
}
