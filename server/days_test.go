package server_test

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"testing"

	"culm/advice"
	"culm/demo"
	"culm/season"
)

// feed is a calendar as a program reads it: folded lines joined, the properties of each event.
func feed(t *testing.T, a answer) []map[string]string {
	t.Helper()
	if kind := a.Header.Get("Content-Type"); a.StatusCode != http.StatusOK || kind != "text/calendar; charset=utf-8" {
		t.Fatalf("status %d, content type %q", a.StatusCode, kind)
	}
	if !strings.HasPrefix(a.text, "BEGIN:VCALENDAR\r\n") || !strings.HasSuffix(a.text, "END:VCALENDAR\r\n") {
		t.Fatalf("this is no calendar:\n%s", a.text)
	}
	var events []map[string]string
	for line := range strings.SplitSeq(strings.ReplaceAll(a.text, "\r\n ", ""), "\r\n") {
		name, value, _ := strings.Cut(line, ":")
		name, _, _ = strings.Cut(name, ";")
		switch {
		case line == "BEGIN:VEVENT":
			events = append(events, map[string]string{})
		case len(events) > 0:
			events[len(events)-1][name] = value
		}
	}
	return events
}

func TestGoodDaysAsAFeed(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	one := feed(t, s.get("/fields/mill-quarter/days.ics"))
	if len(one) == 0 || one[0]["DTSTART"] != "20270210" || !strings.Contains(one[0]["SUMMARY"], "Mill Quarter") {
		t.Fatalf("the day advised is not in the feed: %v", one)
	}
	if again := feed(t, s.get("/fields/mill-quarter/days.ics")); again[0]["UID"] != one[0]["UID"] {
		t.Errorf("the same event is %q and then %q", one[0]["UID"], again[0]["UID"])
	}
	all := feed(t, s.get("/days.ics"))
	if len(all) <= len(one) {
		t.Errorf("%d events of all fields, %d of one", len(all), len(one))
	}
	uids := map[string]bool{}
	for _, e := range all {
		if uids[e["UID"]] {
			t.Errorf("two events are called %q", e["UID"])
		}
		uids[e["UID"]] = true
	}
	district := season.Assemble(demo.Season(demo.Cast, 1))
	of := 0
	for _, p := range district.Producers {
		of += len(feed(t, s.get("/days.ics?producer="+p.ID)))
	}
	if of != len(all) {
		t.Errorf("%d events of the producers one by one, %d of all fields", of, len(all))
	}
}

func TestTheTableOfDaysAsJSON(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	var k advice.Calendar
	if err := json.Unmarshal([]byte(s.get("/fields/mill-quarter/days.json").text), &k); err != nil {
		t.Fatal(err)
	}
	if k.Version != advice.CalendarVersion || len(k.Days) != 21 {
		t.Errorf("version %q with %d days", k.Version, len(k.Days))
	}
}

func TestDaysThatAreNotThere(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	for path, says := range map[string]string{
		"/fields/nowhere/days.ics":   "The season has no such field.",
		"/fields/nowhere/days.json":  "The season has no such field.",
		"/days.ics?producer=nobody":  "The season has no such producer.",
		"/days.ics?producer=%0d%0aX": "The season has no such producer.",
	} {
		a := s.get(path)
		checkPage(t, path, a, http.StatusNotFound)
		if !strings.Contains(words(a.text), says) {
			t.Errorf("%s does not say %q", path, says)
		}
	}
}

// Every day of the table has its line, its slip and a word for how it stands; what no forecast reaches says so.
func TestTheComingDaysOnThePage(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	advisor, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	district := season.Assemble(demo.Season(demo.Cast, 1))
	for _, f := range district.Fields {
		fs, _ := district.Of(f.ID, demo.Today())
		k := advisor.Calendar(fs)
		page := s.get("/fields/" + f.ID).text
		said := words(page)
		for _, d := range k.Days {
			if !strings.Contains(page, `id="day-`+d.Day.String()+`"`) {
				t.Errorf("%s: %s does not open", f.ID, d.Day)
			}
			if d.Stop != "" && !strings.Contains(said, d.Stop[1:]) {
				t.Errorf("%s: %s is stopped and the page does not say %q", f.ID, d.Day, d.Stop)
			}
		}
		if !k.Days[len(k.Days)-1].Forecast && !strings.Contains(said, "No forecast reaches farther.") {
			t.Errorf("%s: simulated days are not told apart", f.ID)
		}
		if k.Changed != "" && !strings.Contains(said, k.Changed) {
			t.Errorf("%s: the page does not say %q", f.ID, k.Changed)
		}
	}
}

// A field whose day the new forecast spoilt stands before all others, and says why.
func TestASpoiltDayRisesInTheOverview(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	overview := words(s.get("/").text)
	at := strings.Index(overview, "New forecast:")
	if at < 0 {
		t.Skip("no day of the demonstration is spoilt")
	}
	if !strings.Contains(overview, "The newest forecast has spoilt the day of") {
		t.Error("the overview does not count the spoilt days")
	}
	if list := strings.Index(overview, "Every field"); at > list {
		t.Error("what the forecast spoilt is not among what matters most")
	}
}

// Without a forecast the days are those that are usual, and the page says so.
func TestDaysWithoutAForecast(t *testing.T) {
	entries := slices.DeleteFunc(demo.Season(demo.Cast, 1), func(e season.Entry) bool { _, is := e.Body.(*season.Forecast); return is })
	s := serve(t, entries)
	a := s.get("/fields/mill-quarter")
	checkPage(t, "/fields/mill-quarter", a, http.StatusOK)
	said := words(a.text)
	for _, says := range []string{"No forecast that still holds is at hand", "No forecast reaches these days: what is usual"} {
		if !strings.Contains(said, says) {
			t.Errorf("the page does not say %q", says)
		}
	}
	if n := strings.Count(a.text, "the day</span>"); n > 0 {
		t.Errorf("%d days are called the day", n)
	}
	if events := feed(t, s.get("/days.ics")); len(events) > 0 {
		t.Errorf("the feed holds %d days", len(events))
	}
}

// Without weather at all nothing is said of days.
func TestDaysWithoutWeather(t *testing.T) {
	entries := slices.DeleteFunc(demo.Season(demo.Cast, 1), func(e season.Entry) bool {
		switch e.Body.(type) {
		case *season.Forecast, *season.Weather:
			return true
		}
		return false
	})
	s := serve(t, entries)
	checkPage(t, "/fields/mill-quarter", s.get("/fields/mill-quarter"), http.StatusOK)
}
