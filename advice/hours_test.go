package advice_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// soft counts the days on which a plan calls the ground too soft for a machine.
func soft(p advice.Plan) (days int) {
	for _, d := range p.Days {
		if slices.ContainsFunc(d.Flags, func(f string) bool { return strings.Contains(f, "has not dried enough to carry a machine") }) {
			days++
		}
	}
	return days
}

// A winter's ground is above half of field capacity on any day, and never half as much again.
func TestTheAdvisorsLimitOfSoftGround(t *testing.T) {
	a, fs := advisor(t), named(t, "Mill Quarter")
	for _, row := range []struct {
		limit unit.Fraction
		soft  bool
	}{{0.5, true}, {1.5, false}} {
		fs.Settings.SoftGround = working.Fact[unit.Fraction]{Value: row.limit, Origin: working.Origin{Kind: working.Setting, By: "advisor"}}
		p := a.Advise(fs)
		if days := soft(p); (days > 0) != row.soft {
			t.Errorf("soft above %v of field capacity: on %d days", row.limit, days)
		}
		if row.soft && !slices.ContainsFunc(p.Days, func(d advice.DayOutlook) bool {
			return strings.Contains(strings.Join(d.Flags, ";"), "by the advisor's limit")
		}) {
			t.Error("no day says whose limit it goes by")
		}
	}
}

// A forecast by the day tells no hours; one by the hour tells which are fit, and what keeps the others off.
func TestHoursOfADayInThePlan(t *testing.T) {
	a, fs := advisor(t), named(t, "Mill Quarter")
	byDay := *fs.Forecast
	byDay.Hours = nil
	fs.Forecast = &byDay
	for _, d := range a.Advise(fs).Days {
		if d.FitHours != nil || d.Notes != nil {
			t.Errorf("%s: fit %v, notes %q", d.Day, d.FitHours, d.Notes)
		}
	}
	byHour := byDay
	today := fs.Today.Time()
	for i := range 48 {
		h := season.Hour{At: today, Ahead: -360, Temperature: 6, Wind: 3, Has: season.HourTemperature | season.HourWind | season.HourRain}
		h.At = today.Add(time.Duration(i) * time.Hour)
		if _, clock := h.Clock(); clock >= 9 && clock < 15 {
			h.Wind = 16 * unit.MilePerHour
		}
		byHour.Hours = append(byHour.Hours, h)
	}
	fs.Forecast = &byHour
	d := a.Advise(fs).Days[0]
	if want := []ground.Span{{From: 0, To: 9}, {From: 15, To: 24}}; d.Day != fs.Today || !slices.Equal(d.FitHours, want) {
		t.Errorf("%s: fit %v, want %v", d.Day, d.FitHours, want)
	}
	if notes := strings.Join(d.Notes, "; "); !strings.HasPrefix(notes, "fit for it until 9 and from 15 o'clock; 9 to 15 o'clock: the wind throws") {
		t.Errorf("notes %q", notes)
	}
}
