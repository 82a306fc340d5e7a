package ground_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/season"
)

func ExampleSpokenSpans() {
	fmt.Println(ground.SpokenSpans([]ground.Span{{From: 9, To: 15}}))
	fmt.Println(ground.SpokenSpans([]ground.Span{{From: 0, To: 9}, {From: 12, To: 13}, {From: 16, To: 24}}))
	fmt.Println(ground.SpokenSpans([]ground.Span{{From: 0, To: 24}}))
	// Output:
	// 9 to 15 o'clock
	// until 9, 12 to 13 and from 16 o'clock
	// all day
}

// byHour is a forecast of clear, still-cold mornings: frost until 8 o'clock and 12 mph of wind from 15 to 17, by the
// clocks of Chicago, which are changed at a moment.
func byHour(day calendar.Day, changed time.Time, before, after int) *season.Forecast {
	f := &season.Forecast{}
	for i := range 48 {
		h := season.Hour{At: day.Time().Add(time.Duration(i) * time.Hour), Ahead: before, Temperature: 6, Humidity: 0.6, Wind: 6 * unit.MilePerHour, Cloud: 0.3, Gust: 9}
		if !h.At.Before(changed) {
			h.Ahead = after
		}
		h.Has = season.HourTemperature | season.HourHumidity | season.HourWind | season.HourCloud | season.HourGust
		switch _, clock := h.Clock(); {
		case clock < 8:
			h.Temperature = -2
		case clock == 15 || clock == 16:
			h.Wind = 12 * unit.MilePerHour
		}
		f.Hours = append(f.Hours, h)
	}
	return f
}

// On 14 March 2027 clocks in Chicago went from 2 to 3, on 7 November from 2 back to 1. What holds from midnight to 8
// o'clock is one span on both days, and the hours fit are those of the clock.
func TestHoursOfADayWhenClocksAreChanged(t *testing.T) {
	for _, row := range []struct {
		name          string
		day           calendar.Day
		changed       time.Time
		before, after int
		hours         int
	}{
		{"any day", calendar.Date(2027, time.March, 1), time.Date(2027, 3, 14, 8, 0, 0, 0, time.UTC), -360, -300, 24},
		{"put forward", calendar.Date(2027, time.March, 14), time.Date(2027, 3, 14, 8, 0, 0, 0, time.UTC), -360, -300, 23},
		{"put back", calendar.Date(2027, time.November, 7), time.Date(2027, 11, 7, 7, 0, 0, 0, time.UTC), -300, -360, 25},
	} {
		f := byHour(row.day, row.changed, row.before, row.after)
		hours := ground.HoursOf(f, row.day)
		if len(hours) != row.hours || hours[0].Hour != 0 || hours[len(hours)-1].Hour != 23 {
			t.Errorf("%s: %d hours", row.name, len(hours))
		}
		p := ground.Prospect{Site: plains, Daily: season.ForecastDay{WeatherDay: season.WeatherDay{Day: row.day}}, Ground: open, Hours: hours}
		frost, _ := find(ground.Flags(p), ground.BurnFrost)
		if want := []ground.Span{{From: 0, To: 8}}; !slices.Equal(frost.Spans, want) || frost.Level != ground.Note {
			t.Errorf("%s: frost %+v, want %v", row.name, frost, want)
		}
		drift, _ := find(ground.Flags(p), ground.WindyHours)
		if want := []ground.Span{{From: 15, To: 17}}; !slices.Equal(drift.Spans, want) || drift.Level != ground.Note {
			t.Errorf("%s: drift %+v, want %v", row.name, drift, want)
		}
		if want, got := []ground.Span{{From: 8, To: 24}}, ground.FitHours(p, placement.Stream); !slices.Equal(got, want) {
			t.Errorf("%s: streams fit %v, want %v", row.name, got, want)
		}
		if few, flagged := find(ground.Flags(p), ground.FewHours); flagged {
			t.Errorf("%s: %+v", row.name, few)
		}
	}
}

// Noon of the mean sun at 99 W is 18.6 h UTC: 12:36 by clocks six hours behind, 13:36 in summer. The sun itself is
// late or early by the equation of time, whose turning points are known by heart to most who set a sundial: 14 minutes
// late about 11 February, 4 early in mid May, 6 late at the end of July, 16 early at the beginning of November, and in
// time about 15 April (from memory, to the minute).
func TestNoonOf(t *testing.T) {
	never := time.Date(2100, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, row := range []struct {
		day         calendar.Day
		ahead       int
		mean        float64
		minutesLate float64
	}{
		{calendar.Date(2027, time.February, 11), -360, 12.6, 14},
		{calendar.Date(2027, time.April, 15), -300, 13.6, 0},
		{calendar.Date(2027, time.May, 14), -300, 13.6, -4},
		{calendar.Date(2027, time.July, 26), -300, 13.6, 6.5},
		{calendar.Date(2027, time.November, 3), -300, 13.6, -16},
	} {
		noon := ground.NoonOf(byHour(row.day, never, row.ahead, 0), row.day, -99)
		if late := 60 * (noon - row.mean); late < row.minutesLate-1 || late > row.minutesLate+1 {
			t.Errorf("%s: the sun is %.1f minutes late, want %.1f", row.day, late, row.minutesLate)
		}
	}
	day := calendar.Date(2027, time.March, 14)
	if noon := ground.NoonOf(byHour(day, never, -360, 0), day.Add(30), -99); noon != 0 {
		t.Errorf("noon of a day that the forecast does not reach is %v", noon)
	}
}

// Frost all day leaves no liquid anything; dry product is spread.
func TestFewHours(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*ground.Hour)
		ways   []placement.Way
	}{
		{"windy, which wind says itself", func(h *ground.Hour) { h.Wind = 12 * unit.MilePerHour }, nil},
		{"thawed for two hours", func(h *ground.Hour) {
			h.Temperature = -4
			if h.Hour == 10 || h.Hour == 11 {
				h.Temperature = 3
			}
		}, []placement.Way{placement.FlatFan, placement.Stream}},
		{"frost", func(h *ground.Hour) { h.Temperature = -4 }, []placement.Way{placement.FlatFan, placement.Stream}},
		{"a gap of two hours", func(h *ground.Hour) {
			if h.Hour != 11 && h.Hour != 12 {
				h.Rain = 1
			}
		}, []placement.Way{placement.Broadcast, placement.FlatFan, placement.Stream}},
		{"nothing known by day", func(h *ground.Hour) { h.Wind, h.Has = 20, h.Has&^ground.HourTemperature }, nil},
	} {
		p := ground.Prospect{Site: plains, Daily: season.ForecastDay{WeatherDay: season.WeatherDay{Day: february}}, Ground: open, Hours: hourly(row.change)}
		f, _ := find(ground.Flags(p), ground.FewHours)
		if !slices.Equal(f.Ways, row.ways) {
			t.Errorf("%s: %v, want %v", row.name, f.Ways, row.ways)
		}
	}
}

// Wind speaks against a day when it leaves no three hours of the working day in a row, and against its hours otherwise,
// whatever the mean of the day is.
func TestWindOfADayAndOfItsHours(t *testing.T) {
	for _, row := range []struct {
		name  string
		windy func(hour int) bool
		risk  ground.Risk
		spans []ground.Span
	}{
		{"a calm morning of a stormy day", func(h int) bool { return h >= 11 }, ground.WindyHours, []ground.Span{{From: 11, To: 24}}},
		{"two calm hours", func(h int) bool { return h >= 10 }, ground.Drift, []ground.Span{{From: 10, To: 24}}},
		{"calm by night", func(h int) bool { return h >= 6 && h < 20 }, ground.Drift, []ground.Span{{From: 6, To: 20}}},
	} {
		p := ground.Prospect{Site: plains, Daily: daily(func(d *season.ForecastDay) { d.Wind = 12 }), Ground: open, Hours: hourly(func(h *ground.Hour) {
			if row.windy(h.Hour) {
				h.Wind = 9 // m/s, 20 mph
			}
		})}
		f, flagged := find(ground.Flags(p), row.risk)
		if !flagged || !slices.Equal(f.Spans, row.spans) || (f.Level == ground.Caution) != (row.risk == ground.Drift) {
			t.Errorf("%s: %+v", row.name, ground.Flags(p))
		}
	}
}

// Where hours tell a part of the day only, the day's own figure is asked; where it has none, they are.
func TestHoursOfPartOfADay(t *testing.T) {
	evening := hourly(func(*ground.Hour) {})[18:]
	p := ground.Prospect{Site: plains, Daily: daily(func(d *season.ForecastDay) { d.Low, d.Wind = -3, 6 }), Ground: open, Hours: evening}
	if f, _ := find(ground.Flags(p), ground.BurnFrost); f.Level != ground.Caution || f.Spans != nil {
		t.Errorf("frost in the morning that no hour tells: %+v", f)
	}
	if f, flagged := find(ground.Flags(p), ground.Drift); !flagged || f.Spans != nil {
		t.Errorf("wind by day that no hour tells: %+v", f)
	}
	p.Daily.Has = 0
	if f, flagged := find(ground.Flags(p), ground.BurnFrost); flagged {
		t.Errorf("no frost is known: %+v", f)
	}
	if got, want := ground.FitHours(p, placement.Stream), []ground.Span{{From: 18, To: 24}}; !slices.Equal(got, want) {
		t.Errorf("fit %v, want %v", got, want)
	}
}
