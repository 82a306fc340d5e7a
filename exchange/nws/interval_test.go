package nws

import (
	"strings"
	"testing"
	"time"
)

// Intervals from recorded replies of the service, and the other writings its own description allows.
func TestParseInterval(t *testing.T) {
	now := time.Date(2022, 2, 4, 3, 15, 41, 0, time.UTC)
	for _, row := range []struct{ name, text, start, end string }{
		{"valid times of a reply", "2022-02-03T21:00:00+00:00/P7DT14H", "2022-02-03T21:00:00Z", "2022-02-11T11:00:00Z"},
		{"two and a half days", "2022-02-03T21:00:00+00:00/P2DT12H", "2022-02-03T21:00:00Z", "2022-02-06T09:00:00Z"},
		{"one hour", "2022-02-03T21:00:00+00:00/PT1H", "2022-02-03T21:00:00Z", "2022-02-03T22:00:00Z"},
		{"minutes and seconds", "2022-02-03T21:00:00Z/PT1H30M15S", "2022-02-03T21:00:00Z", "2022-02-03T22:30:15Z"},
		{"a month of the calendar", "2022-02-03T21:00:00Z/P1M", "2022-02-03T21:00:00Z", "2022-03-03T21:00:00Z"},
		{"with another offset", "2022-02-03T21:00:00-06:00/PT6H", "2022-02-04T03:00:00Z", "2022-02-04T09:00:00Z"},
		{"start and end", "2022-02-03T21:00:00Z/2022-02-04T00:00:00Z", "2022-02-03T21:00:00Z", "2022-02-04T00:00:00Z"},
		{"duration and end", "PT6H/2022-02-04T00:00:00Z", "2022-02-03T18:00:00Z", "2022-02-04T00:00:00Z"},
		{"from now", "NOW/PT6H", "2022-02-04T03:15:41Z", "2022-02-04T09:15:41Z"},
		{"until now", "P1D/NOW", "2022-02-03T03:15:41Z", "2022-02-04T03:15:41Z"},
	} {
		iv, err := parseInterval(row.text, now)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		if start, end := iv.start.UTC().Format(time.RFC3339), iv.end.UTC().Format(time.RFC3339); start != row.start || end != row.end {
			t.Errorf("%s: %s to %s, want %s to %s", row.name, start, end, row.start, row.end)
		}
	}
	if iv, _ := parseInterval("2022-02-03T21:00:00+00:00/P2DT12H", now); iv.end.Sub(iv.start) != 60*time.Hour {
		t.Errorf("P2DT12H is %v, want 60 h", iv.end.Sub(iv.start))
	}
}

func TestParseIntervalRefuses(t *testing.T) {
	for _, text := range []string{
		"", "/", "P1D", "2022-02-03T21:00:00Z", "2022-02-03T21:00:00Z/", "2022-02-03T21:00:00Z/P", "2022-02-03T21:00:00Z/PT",
		"2022-02-03T21:00:00Z/P1DT", "2022-02-03T21:00:00Z/PT0H", "2022-02-03T21:00:00Z/PT6", "2022-02-03T21:00:00Z/PT6D",
		"2022-02-03T21:00:00Z/PT6H6H", "2022-02-03T21:00:00Z/P6H", "2022-02-03T21:00:00Z/PT-6H", "2022-02-03T21:00:00Z/PT6.5H",
		"2022-02-03T21:00:00Z/PT999999H", "2022-02-03T21:00:00Z/P1W", "2022-02-03 21:00/PT6H", "P1D/P1D", "now/PT1H",
		"2022-02-04T00:00:00Z/2022-02-03T00:00:00Z", "2022-02-03T21:00:00Z/PT6H/PT6H",
	} {
		if iv, err := parseInterval(text, time.Time{}); err == nil {
			t.Errorf("%q is read as %v", text, iv)
		}
	}
	if _, err := parseInterval(strings.Repeat("é", 1000), time.Time{}); err == nil || len(err.Error()) > 250 {
		t.Errorf("a hostile text fills the message: %v", err)
	}
}
