package advice_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/season"
)

// twoForecasts gives a field a forecast and the one of the day before: mild and dry, windy until Thursday, but for what
// change does to the days of either, counted from today. Without a product but urea the day hangs on the rain.
func twoForecasts(t *testing.T, before, now func(day int, d *season.ForecastDay)) season.FieldSeason {
	t.Helper()
	fs := named(t, "North Slope")
	fs.Prices = slices.DeleteFunc(slices.Clone(fs.Prices), func(p *season.Price) bool {
		return strings.HasPrefix(p.Item, "uan") || strings.HasPrefix(p.Item, "ammonium") || p.Item == "urea-inhibitor"
	})
	issue := func(day calendar.Day, change func(int, *season.ForecastDay)) *season.Forecast {
		f := &season.Forecast{Station: fs.Field.Station, Issued: day.Time().Add(11 * time.Hour)}
		for i := range 10 {
			d := season.ForecastDay{RainChance: 0.02, Wind: 2}
			d.Day, d.Low, d.High, d.Has = day.Add(i), 3, 15, season.HasTemperature|season.HasRain|season.HasWind
			if d.Day.Sub(fs.Today) < 2 {
				d.Wind = 12
			}
			change(d.Day.Sub(fs.Today), &d)
			f.Days = append(f.Days, d)
		}
		return f
	}
	fs.Earlier, fs.Forecast = issue(fs.Today.Add(-1), before), issue(fs.Today, now)
	return fs
}

// rainOn is a heavy, likely rain on a day; it was not to be expected on any other.
func rainOn(day int) func(int, *season.ForecastDay) {
	return func(i int, d *season.ForecastDay) {
		if i == day {
			d.Rain, d.RainChance = 20, 0.9
		}
	}
}

func both(changes ...func(int, *season.ForecastDay)) func(int, *season.ForecastDay) {
	return func(i int, d *season.ForecastDay) {
		for _, c := range changes {
			c(i, d)
		}
	}
}

// Today is Wednesday 10 February; by yesterday's forecast the day was Friday 12, ahead of rain on Saturday.
func TestWhatChanged(t *testing.T) {
	wind := func(i int, d *season.ForecastDay) {
		if i == 2 {
			d.Wind = 12
		}
	}
	frost := func(i int, d *season.ForecastDay) {
		if i >= 1 && i <= 4 {
			d.Low, d.High = -18, -9
		}
	}
	always := func(i int, d *season.ForecastDay) { d.Low, d.High = -20, -12 }
	calm := func(i int, d *season.ForecastDay) { d.Wind = 2 }
	for _, c := range []struct {
		name         string
		now          func(int, *season.ForecastDay)
		changed      bool
		lost         bool
		says, saysNo string
	}{
		{"the same forecast again", rainOn(3), false, false, "", ""},
		{"the rain comes on the day itself", rainOn(2), true, true, "Friday 12 February is no longer the day: 0.79 in of rain is now forecast for that day.", ""},
		{"the rain comes before it", rainOn(1), true, true, "Friday 12 February is no longer the day: the rain of Saturday is gone from the forecast, and ", "moved"},
		{"and again on Tuesday", both(rainOn(1), rainOn(6)), true, true, "Friday 12 February is no longer the day: the rain has moved to Tuesday, and ", "gone"},
		{"a storm on the day", both(rainOn(3), wind), true, true, "Friday 12 February is no longer the day: wind of 27 mph is now forecast for that day.", ""},
		{"a frost until Sunday", both(rainOn(3), frost), true, true, "Friday 12 February is no longer the day: ", ""},
		{"a frost without end", both(rainOn(3), always), true, true, "Friday 12 February is no longer the day: ", ""},
		{"a calm Thursday", both(rainOn(3), calm), true, false, "Friday 12 February, the day by the forecast before, would still do; Thursday 11 February is now the better one.", "no longer"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fs := twoForecasts(t, rainOn(3), c.now)
			p := advisor(t).Advise(fs)
			if (p.Changed != nil) != c.changed {
				t.Fatalf("changed: %+v; advised %s", p.Changed, p.Decision.Day)
			}
			if !c.changed {
				return
			}
			text := strings.ReplaceAll(p.Changed.Sentence.Read(&p.Figures, unit.US), "\u202f", " ")
			if p.Changed.Lost != c.lost || !strings.HasPrefix(text, c.says) || c.saysNo != "" && strings.Contains(text, c.saysNo) || p.Changed.Was != fs.Today.Add(2) || p.Changed.Now != p.Decision.Day {
				t.Errorf("%+v: %s", p.Changed, text)
			}
			for _, part := range p.Changed.Sentence {
				if _, ok := p.Figures.Get(part.Figure); part.Figure != "" && !ok {
					t.Errorf("%s does not open", part.Figure)
				}
			}
		})
	}
}

// A change is none where weather does not decide, where the day has passed, and where there is nothing to compare with.
func TestNothingChanged(t *testing.T) {
	passed := twoForecasts(t, both(rainOn(0), func(i int, d *season.ForecastDay) { d.Wind = 2 }), rainOn(3)) // the day was yesterday
	alone := twoForecasts(t, rainOn(3), rainOn(6))
	alone.Earlier = nil
	over := twoForecasts(t, rainOn(3), rainOn(6))
	for i := range over.Earlier.Days {
		over.Earlier.Days[i].Day = over.Earlier.Days[i].Day.Add(-60)
	}
	for name, fs := range map[string]season.FieldSeason{"passed": passed, "no earlier forecast": alone, "an earlier forecast that ended before its day": over} {
		if p := advisor(t).Advise(fs); p.Changed != nil {
			t.Errorf("%s: %+v", name, p.Changed)
		}
	}
}

// In the demonstration the rain comes a day earlier than was said, and some fields' day is spoilt.
func TestTheDemonstrationChanges(t *testing.T) {
	lost := 0
	for _, fs := range district(demo.Cast) {
		p := advisor(t).Advise(fs)
		if p.Changed == nil {
			continue
		}
		if p.Decision.Action != advice.Spread && p.Decision.Action != advice.Hold || p.Changed.Was == p.Decision.Day {
			t.Errorf("%s: %+v", fs.Field.Name, p.Changed)
		}
		if p.Changed.Lost {
			lost++
		}
	}
	if lost == 0 {
		t.Error("no field's day is spoilt")
	}
}
