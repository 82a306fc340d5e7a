package advice_test

import (
	"encoding/json"
	"slices"
	"testing"

	"culm/advice"
	"culm/agronomy/timing"
	"culm/demo"
	"culm/season"

	"github.com/google/go-cmp/cmp"
)

// One source of truth: the plan's day, loss and money, those of its options and of its days, are the table's.
func TestThePlanReadsItsTable(t *testing.T) {
	a, spreads := advisor(t), 0
	for _, fs := range district(demo.Cast) {
		plan, days := a.PlanAndCalendar(advice.OutlookOf(fs), fs)
		at := func(o advice.CalendarOption, i int) advice.OptionDay { return o.Days[i] }
		for _, o := range days.Options {
			i := slices.IndexFunc(plan.Options, func(p advice.Option) bool { return p.Product == o.Product && p.Placement == o.Placement })
			if len(plan.Options) == 0 || len(o.Days) == 0 {
				continue
			}
			p := plan.Options[i]
			if p.Day != o.Best || p.Chosen != o.Chosen {
				t.Errorf("%s, %s: the plan says %s, its table %s", fs.Field.Name, o.ProductName, p.Day, o.Best)
			}
			if n := p.Day.Sub(days.Days[0].Day); !p.Day.IsZero() && (at(o, n).Loss != p.Loss || at(o, n).Net != p.Net) {
				t.Errorf("%s, %s: loss %v and net %v in the plan, %v and %v in its table", fs.Field.Name, o.ProductName, p.Loss, p.Net, at(o, n).Loss, at(o, n).Net)
			}
			if !o.Chosen || plan.Decision.Action != advice.Spread {
				continue
			}
			spreads++
			for n, d := range plan.Days {
				if d.Loss != at(o, n).Loss || d.LossHigh != at(o, n).LossHigh || d.Net != at(o, n).Net || d.Best != (at(o, n).State == advice.DayBest) {
					t.Errorf("%s on %s: %+v in the plan, %+v in its table", fs.Field.Name, d.Day, d, at(o, n))
				}
			}
			if n := plan.Decision.Day.Sub(days.Days[0].Day); plan.Pay.Net != at(o, n).Net || plan.Pay.NetLow != at(o, n).NetLow || plan.Pay.NetHigh != at(o, n).NetHigh {
				t.Errorf("%s: the plan's money is %+v, its table's %+v", fs.Field.Name, plan.Pay, at(o, n))
			}
		}
	}
	if spreads < 5 {
		t.Errorf("%d fields to spread: too few to say anything", spreads)
	}
}

// A table reaches three weeks; beyond the forecast it says so and stops nobody.
func TestTheTableGoesOnBeyondTheForecast(t *testing.T) {
	fs := named(t, "Mill Quarter")
	days := advisor(t).Calendar(fs)
	if len(days.Days) != timing.Days {
		t.Fatalf("%d days", len(days.Days))
	}
	end := fs.Forecast.Days[len(fs.Forecast.Days)-1].Day
	for i, d := range days.Days {
		switch {
		case d.Day != fs.Today.Add(i):
			t.Errorf("day %d is %s", i, d.Day)
		case d.Forecast == d.Day.After(end):
			t.Errorf("%s, forecast to %s: %v", d.Day, end, d.Forecast)
		case !d.Forecast && (d.Stop != "" || d.Weather.Has&(season.HasRain|season.HasTemperature) == 0):
			t.Errorf("%s: %+v", d.Day, d)
		case !d.HasWashIn || d.WashIn < 0 || d.WashIn > 1:
			t.Errorf("%s: wash-in %v", d.Day, d.WashIn)
		}
		for _, o := range days.Options {
			if len(o.Days) > 0 && (o.Days[i].LossLow > o.Days[i].Loss || o.Days[i].LossHigh < o.Days[i].Loss) {
				t.Errorf("%s, %s: %+v", d.Day, o.ProductName, o.Days[i])
			}
		}
	}
}

// What is not known is said: without a forecast the days are simulated and none is advised; without a record to
// simulate from the table ends with the forecast; without both it is empty.
func TestWhatTheTableLacks(t *testing.T) {
	whole := named(t, "Mill Quarter")
	blind, short, nothing := whole, whole, whole
	blind.Forecast, blind.Earlier = nil, nil
	short.Weather = short.Weather[len(short.Weather)-20:]
	nothing.Forecast, nothing.Weather = nil, nil
	for _, c := range []struct {
		name             string
		fs               season.FieldSeason
		days, forecast   int
		courses, missing int
	}{
		{"a forecast and a winter's record", whole, 21, 10, timing.Courses, 0},
		{"no forecast", blind, 21, 0, timing.Courses, 1},
		{"twenty days of record", short, 10, 10, 1, 1},
		{"neither", nothing, 0, 0, 1, 2},
	} {
		plan, days := advisor(t).PlanAndCalendar(advice.OutlookOf(c.fs), c.fs)
		forecast := 0
		for _, d := range days.Days {
			if d.Forecast {
				forecast++
			}
		}
		missing := 0
		for _, m := range days.Missing {
			if m.What == "a weather forecast" || len(m.Brings) > 9 && m.Brings[:9] == "the days " {
				missing++
			}
		}
		if len(days.Days) != c.days || forecast != c.forecast || days.Sky.Courses != c.courses || missing != c.missing {
			t.Errorf("%s: %d days, %d forecast, %d courses, %+v", c.name, len(days.Days), forecast, days.Sky.Courses, days.Missing)
		}
		if c.forecast == 0 && !plan.Decision.Day.IsZero() {
			t.Errorf("%s: %s is advised", c.name, plan.Decision.Day)
		}
	}
}

// Fields that share an outlook get the plan that each gets alone.
func TestSharedOutlooks(t *testing.T) {
	a, shared := advisor(t), map[advice.Shared]*advice.Outlook{}
	for _, fs := range sameSeason(demo.Cast) {
		key := advice.SharedBy(fs)
		if shared[key] == nil {
			shared[key] = advice.OutlookOf(fs)
		}
		alone, together := a.Advise(fs), a.AdviseUnder(shared[key], fs)
		if diff := cmp.Diff(written(t, alone), written(t, together)); diff != "" {
			t.Errorf("%s: %s", fs.Field.Name, diff)
		}
	}
	if len(shared) != 3 {
		t.Errorf("%d outlooks for three stations", len(shared))
	}
}

// sameSeason is the district out of one season, so that its fields share what they can.
func sameSeason(fields int) []season.FieldSeason { return district(fields) }

func written(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestCalendarSurvivesJSON(t *testing.T) {
	days := advisor(t).Calendar(named(t, "Mill Quarter"))
	var back advice.Calendar
	if err := json.Unmarshal([]byte(written(t, days)), &back); err != nil {
		t.Fatal(err)
	}
	if written(t, back) != written(t, days) {
		t.Error("a calendar read back is another one")
	}
}

// A thousand fields, each on one of thirty stations: the outlook of a station is made once.
func BenchmarkCalendars(b *testing.B) {
	for _, c := range []struct {
		name     string
		stations int
	}{{"30 stations", 30}, {"a station each", 1000}} {
		b.Run(c.name, func(b *testing.B) {
			a, seasons := advisor(b), crowd(1000, c.stations)
			for b.Loop() {
				shared := map[advice.Shared]*advice.Outlook{}
				for _, fs := range seasons {
					key := advice.SharedBy(fs)
					if shared[key] == nil {
						shared[key] = advice.OutlookOf(fs)
					}
					a.PlanAndCalendar(shared[key], fs)
				}
			}
		})
	}
}

// crowd is the district's fields spread over so many stations with thirty years of weather.
func crowd(fields, stations int) []season.FieldSeason {
	all := district(fields)
	for i := range all {
		fs := &all[i]
		of := i % stations
		station, forecast := *fs.Station, *fs.Forecast
		station.ID = string(rune('a'+of%26)) + station.ID
		fs.Station, fs.Field.Station, fs.Forecast = &station, station.ID, &forecast
	}
	return all
}
