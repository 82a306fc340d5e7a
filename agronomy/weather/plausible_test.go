package weather_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"
)

func ExampleCheckDay() {
	for _, doubt := range weather.CheckDay(day(3, 12, 4)) {
		fmt.Println(doubt.Day, doubt.Severity, doubt.Message+":", doubt.Found)
	}
	// Output: 2015-01-03 error the low of the day is above its high: 12.0 °C above 4.0 °C
}

func TestCheckDay(t *testing.T) {
	with := func(rain, snow unit.Water) season.WeatherDay {
		return season.WeatherDay{Day: january(1), Rain: rain, Snow: snow, Has: season.HasRain | season.HasSnow}
	}
	for _, row := range []struct {
		name     string
		day      season.WeatherDay
		severity season.Severity
		field    string
	}{
		{"a winter day", day(1, -5, 6), "", ""},
		{"low above high", day(1, 6, -5), season.Fatal, "low"},
		{"code for missing", day(1, -9999, -9999), season.Fatal, "low"},
		{"code 999.9", day(1, 2, 999.9), season.Fatal, "high"},
		{"not a number", day(1, unit.Temperature(math.NaN()), 4), season.Fatal, "low"},
		{"fifty degrees in a day", day(1, -20, 30), season.Doubtful, "high"},
		{"rain below zero", with(-9999, 0), season.Fatal, "rain"},
		{"rain not a number", with(unit.Water(math.NaN()), 0), season.Fatal, "rain"},
		{"rain in tenths", with(4010, 0), season.Doubtful, "rain"},
		{"four hundred millimetres, just", with(400, 0), "", ""},
		{"snow below zero", with(0, -1), season.Doubtful, "snow"},
		{"parts not measured are not looked at", season.WeatherDay{Day: january(1), Low: 99, High: -99, Rain: -5, Snow: -5}, "", ""},
	} {
		doubts := weather.CheckDay(row.day)
		switch {
		case row.severity == "" && len(doubts) == 0:
		case len(doubts) != 1 || doubts[0].Severity != row.severity || doubts[0].Field != row.field:
			t.Errorf("%s: %+v, want %q at %q", row.name, doubts, row.severity, row.field)
		}
	}
}

func TestJumps(t *testing.T) {
	doubts := weather.Check([]season.WeatherDay{day(1, 10, 20), day(2, -25, -10), day(4, 10, 20)})
	if len(doubts) != 1 || doubts[0].Day != january(2) || !strings.Contains(doubts[0].Message, "jumps") {
		t.Errorf("%+v", doubts)
	}
}

// Real records raise no alarm in Celsius; the same records in Fahrenheit are found out.
func TestRealRecords(t *testing.T) {
	kansas, _, _ := manhattan(t)
	for name, days := range map[string][]season.WeatherDay{
		"Augsburg": augsburg(t), "Klein-Altendorf": kleinAltendorf(t), "Manhattan": kansas,
	} {
		if doubts := weather.Check(days); doubts != nil {
			t.Errorf("%s: %+v", name, doubts)
		}
		inFahrenheit := make([]season.WeatherDay, len(days))
		for i, d := range days {
			d.Low, d.High = unit.Temperature(d.Low.Fahrenheit()), unit.Temperature(d.High.Fahrenheit())
			inFahrenheit[i] = d
		}
		doubts := weather.Check(inFahrenheit)
		if len(doubts) != 1 || !strings.Contains(doubts[0].Message, "Fahrenheit") {
			t.Errorf("%s in Fahrenheit: %+v", name, doubts)
		}
		t.Logf("%s in Fahrenheit: %s", name, doubts[0].Found)
	}
}

// Each winter by itself, as a season's file holds it.
func TestEachWinterInFahrenheitIsFoundOut(t *testing.T) {
	kansas, _, _ := manhattan(t)
	winters := map[int][]season.WeatherDay{}
	for _, d := range kansas {
		if isWinter(d.Day) {
			year := d.Day.Add(90).Time().Year()
			winters[year] = append(winters[year], d)
		}
	}
	for year, days := range winters {
		if looks, found := weather.LooksFahrenheit(days); looks {
			t.Errorf("winter to %d in Celsius: %s", year, found)
		}
		for i := range days {
			days[i].Low, days[i].High = unit.Temperature(days[i].Low.Fahrenheit()), unit.Temperature(days[i].High.Fahrenheit())
		}
		if looks, _ := weather.LooksFahrenheit(days); !looks {
			t.Errorf("winter to %d in Fahrenheit is not found out", year)
		}
	}
}
