package hourly

import (
	"testing"
	"time"
	_ "time/tzdata"

	"culm/agronomy/calendar"
	"culm/season"

	"pgregory.net/rapid"
)

// However a span lies across the hours, no rain is lost or doubled, and temperature stays what it is.
func TestHoursKeepTheAmount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := time.Date(2027, 2, 10, 0, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(0, 90000).Draw(t, "start")) * time.Second)
		length := time.Duration(rapid.IntRange(1, 300000).Draw(t, "length")) * time.Second
		rain, warmth := Hours{}, Hours{}
		rain.Add(start, start.Add(length), 12.7, true)
		warmth.Add(start, start.Add(length), -3, false)
		sum, seconds := 0.0, 0.0
		for _, one := range rain {
			sum += one.sum
			seconds += one.seconds
		}
		if d := sum - 12.7; d > 1e-9 || d < -1e-9 || seconds != length.Seconds() {
			t.Fatalf("12.7 mm over %v became %v over %v s", length, sum, seconds)
		}
		for _, one := range warmth {
			if d := one.mean() + 3; d > 1e-9 || d < -1e-9 {
				t.Fatalf("-3 C became %v", one.mean())
			}
		}
	})
}

// On 14 March 2027 clocks in Chicago go from 2 to 3, on 7 November from 2 back to 1: a millimetre an hour
// makes 23 and 25.
func TestDaysWhenClocksAreChanged(t *testing.T) {
	chicago, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		day  calendar.Day
		rain float64
	}{
		{calendar.Date(2027, time.March, 13), 24},
		{calendar.Date(2027, time.March, 14), 23},
		{calendar.Date(2027, time.November, 7), 25},
	} {
		y, m, d := row.day.Time().Date()
		start := time.Date(y, m, d-1, 12, 0, 0, 0, chicago)
		rain := Hours{}
		for hour := range 60 {
			at := start.Add(time.Duration(hour) * time.Hour)
			rain.Add(at, at.Add(time.Hour), 1, true)
		}
		days := Series{Rain: rain}.Days(chicago)
		if len(days) == 0 || days[0].Day != row.day || float64(days[0].Rain) != row.rain {
			t.Errorf("%v: %+v, want %v mm", row.day, days, row.rain)
		}
	}
}

// Ten hours of a day are not the day.
func TestPartOfADayIsMissing(t *testing.T) {
	start := time.Date(2027, 2, 10, 6, 0, 0, 0, time.UTC)
	warmth, wind := Hours{}, Hours{}
	warmth.Add(start, start.Add(14*time.Hour), 4, false)
	wind.Add(start, start.Add(14*time.Hour), 3, false)
	days := Series{Temperature: warmth, Wind: wind}.Days(time.UTC)
	if len(days) != 1 || days[0].Has != season.HasWind || days[0].Wind != 3 {
		t.Errorf("%+v", days)
	}
	if days := (Series{}).Days(time.UTC); days != nil {
		t.Errorf("nothing at all gives %+v", days)
	}
}
