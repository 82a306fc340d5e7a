package season_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

func ExampleHours_MarshalJSON() {
	at := time.Date(2027, 3, 14, 7, 0, 0, 0, time.UTC)
	written, err := json.Marshal(season.Hours{
		{At: at, Ahead: -360, Temperature: -2.5, Wind: 3, Has: season.HourTemperature | season.HourWind},
		{At: at.Add(time.Hour), Ahead: -300, Wind: 0, Has: season.HourWind},
	})
	fmt.Println(string(written), err)
	// Output:
	// {"from":"2027-03-14T07:00:00Z","count":2,"clocks":[{"hour":0,"ahead":-360},{"hour":1,"ahead":-300}],"temperature":[-2.5,null],"wind":[3,0]} <nil>
}

// In Chicago the clocks of 14 March 2027 went from 2 to 3, and those of 7 November from 2 back to 1.
func TestHoursOfADay(t *testing.T) {
	for _, row := range []struct {
		name         string
		changed      time.Time // when clocks are changed
		before, from int       // minutes ahead before and after
		day          calendar.Day
		first        int64 // hours of UTC from midnight of the day, UTC, to its beginning
		clock        []int
	}{
		{"put forward", time.Date(2027, 3, 14, 8, 0, 0, 0, time.UTC), -360, -300, calendar.Date(2027, 3, 14), 6, []int{0, 1, 3, 4}},
		{"put back", time.Date(2027, 11, 7, 7, 0, 0, 0, time.UTC), -300, -360, calendar.Date(2027, 11, 7), 5, []int{0, 1, 1, 2}},
	} {
		var hours season.Hours
		for i := range 72 {
			at := row.day.Add(-1).Time().Add(time.Duration(i) * time.Hour)
			ahead := row.before
			if !at.Before(row.changed) {
				ahead = row.from
			}
			hours = append(hours, season.Hour{At: at, Ahead: ahead})
		}
		of := hours.Day(row.day)
		if want := 24 + (row.before-row.from)/60; len(of) != want {
			t.Errorf("%s: %d hours, want %d", row.name, len(of), want)
		}
		for i, want := range row.clock {
			if day, hour := of[i].Clock(); day != row.day || hour != want {
				t.Errorf("%s: hour %d is %d of %s, want %d", row.name, i, hour, day, want)
			}
		}
		if got := of[0].At.Sub(row.day.Time()).Hours(); got != float64(row.first) {
			t.Errorf("%s: begins %v hours after midnight of UTC, want %d", row.name, got, row.first)
		}
		if none := hours.Day(row.day.Add(9)); len(none) != 0 {
			t.Errorf("%s: %d hours of a day beyond", row.name, len(none))
		}
	}
}

// A forecast written before forecasts had hours reads as one without.
func TestAForecastOfTheFirstShape(t *testing.T) {
	const body = `{"station":"elm","issued":"2027-02-10T11:30:00Z","days":[{"day":"2027-02-10","low":-2,"high":9,"rain":0,"snow":0,"has":3}]}`
	var e season.Entry
	if err := json.Unmarshal([]byte(around("forecast", 1, body)), &e); err != nil {
		t.Fatal(err)
	}
	if f := e.Body.(*season.Forecast); len(f.Days) != 1 || f.Hours != nil {
		t.Errorf("%+v", f)
	}
}

func TestHoursThatCannotBe(t *testing.T) {
	const good = `{"from":"2027-02-10T06:00:00Z","count":2,"clocks":[{"hour":0,"ahead":-360}],"wind":[3,null]}`
	for _, row := range []struct{ name, from, to, says string }{
		{"as it should be", "", "", ""},
		{"a column too short", "[3,null]", "[3]", "wind has 1 values, expected 2"},
		{"no hour", `"count":2`, `"count":0`, "there are 0"},
		{"more hours than memory", `"count":2`, `"count":2000000000`, "there are 2000000000"},
		{"another time", "2027-02", "0027-02", "in the year 27"},
		{"no clocks", `{"hour":0,"ahead":-360}`, ``, "do not begin with hour 0"},
		{"clocks of Mars", "-360", "-36000", "-36000 minutes ahead"},
		{"clocks out of order", `{"hour":0,"ahead":-360}`, `{"hour":0,"ahead":0},{"hour":1,"ahead":60},{"hour":1,"ahead":0}`, "rising hours"},
		{"clocks beyond the end", `{"hour":0,"ahead":-360}`, `{"hour":0,"ahead":0},{"hour":2,"ahead":60}`, "rising hours"},
		{"a column not known", `"wind"`, `"sun"`, "unknown field"},
		{"a number in words", "[3,", `["calm",`, "expected"},
	} {
		var hours season.Hours
		err := json.Unmarshal([]byte(strings.Replace(good, row.from, row.to, 1)), &hours)
		if (row.says == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, want %q", row.name, err, row.says)
		}
	}
	at := time.Date(2027, 2, 10, 0, 0, 0, 0, time.UTC)
	if _, err := json.Marshal(season.Hours{{At: at}, {At: at.Add(2 * time.Hour)}}); err == nil {
		t.Error("hours with a gap between them were written")
	}
}
