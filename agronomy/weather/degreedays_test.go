package weather_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"

	"pgregory.net/rapid"
)

// McMaster and Wilhelm 1997: one equation, two interpretations. High 10, low -4 C, base 0 C.
func ExampleRule_Day() {
	fmt.Println(weather.Rule{Method: weather.MeanFirst}.Day(-4, 10))
	fmt.Println(weather.Rule{Method: weather.EachFirst}.Day(-4, 10))
	// Output:
	// 3
	// 5
}

// North Dakota growing degree days: for wheat base 32 F and a cap of 70 F before the second leaf and 95 F
// after; the cut-off example has limits of 35 and 80 F. All computed in Fahrenheit as printed.
func TestNorthDakotaDegreeDays(t *testing.T) {
	f := unit.Fahrenheit
	before := weather.Rule{Method: weather.EachFirst, Base: f(32), Cap: f(70), Capped: true}
	after := weather.Rule{Method: weather.EachFirst, Base: f(32), Cap: f(95), Capped: true}
	for _, row := range []struct {
		name      string
		rule      weather.Rule
		low, high float64 // F
		want      float64 // F days, printed to a tenth
	}{
		{"75 over 28 before the second leaf", before, 28, 75, 19.0},
		{"75 over 28 after it", after, 28, 75, 21.5},
		{"100 over 60 after it", after, 60, 100, 45.5},
		{"30 over 10", before, 10, 30, 0},
		{"82 over 32 within 35 and 80", weather.Rule{Method: weather.EachFirst, Base: f(35), Cap: f(80), Capped: true}, 32, 82, 22.5},
	} {
		if got := row.rule.Day(f(row.low), f(row.high)).Fahrenheit(); math.Abs(got-row.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", row.name, got, row.want)
		}
	}
}

// The winter of 2014 to 2015 at two stations. The expected values were computed from the same records by
// another program (R); degree days and rain are printed to a tenth.
func TestWinterAtTwoStations(t *testing.T) {
	from, to := calendar.Date(2014, time.October, 1), calendar.Date(2015, time.March, 31)
	kansas, _, _ := manhattan(t)
	for _, row := range []struct {
		name       string
		days       []season.WeatherDay
		degreeDays float64
		above0     float64
		above44    float64
		rain       float64
	}{
		{"Augsburg", augsburg(t), 833.2, 142, 84, 271.5},
		{"Manhattan", kansas, 1090.7, -1, 89, -1}, // -1: not given
	} {
		sum := weather.DegreeDays(row.days, from, to, weather.Rule{Method: weather.MeanFirst})
		if math.Abs(float64(sum.Total)-row.degreeDays) > 0.05 || !sum.Complete() || sum.Days != 182 {
			t.Errorf("%s: %+v, want %.1f degree days over 182 days", row.name, sum, row.degreeDays)
		}
		if got := weather.GrowingDays(row.days, from, to, weather.GrowingBase); float64(got.Total) != row.above44 || !got.Complete() {
			t.Errorf("%s: growing days %+v, want %.0f", row.name, got, row.above44)
		}
		if got := weather.GrowingDays(row.days, from, to, 0); row.above0 >= 0 && float64(got.Total) != row.above0 {
			t.Errorf("%s: days above 0 C %+v, want %.0f", row.name, got, row.above0)
		}
		if got := weather.Rain(row.days, from, to); row.rain >= 0 && math.Abs(float64(got.Total)-row.rain) > 0.05 {
			t.Errorf("%s: rain %+v, want %.1f mm", row.name, got, row.rain)
		}
	}
}

// "Differ by up to 83 %": the order of the two methods never changes, and without frost they agree.
func TestMethodsCompared(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := unit.Temperature(rapid.Float64Range(-30, 30).Draw(t, "low"))
		high := low + unit.Temperature(rapid.Float64Range(0, 30).Draw(t, "range"))
		base := unit.Temperature(rapid.Float64Range(-5, 10).Draw(t, "base"))
		first := weather.Rule{Method: weather.MeanFirst, Base: base}.Day(low, high)
		second := weather.Rule{Method: weather.EachFirst, Base: base}.Day(low, high)
		if first < 0 || second < first-1e-9 {
			t.Fatalf("low %v high %v base %v: %v and %v", low, high, base, first, second)
		}
		if low >= base && math.Abs(float64(second-first)) > 1e-9 {
			t.Fatalf("no frost, yet %v and %v", first, second)
		}
	})
}

func TestWarmerDaysNeverGiveFewerDegreeDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rule := weather.Rule{
			Method: weather.Method(rapid.IntRange(1, 2).Draw(t, "method")), Base: 0, Cap: 21, Capped: rapid.Bool().Draw(t, "capped"),
		}
		low := unit.Temperature(rapid.Float64Range(-30, 30).Draw(t, "low"))
		high := low + unit.Temperature(rapid.Float64Range(0, 30).Draw(t, "range"))
		warmer := unit.Temperature(rapid.Float64Range(0, 10).Draw(t, "warmer"))
		if rule.Day(low+warmer, high+warmer) < rule.Day(low, high)-1e-9 {
			t.Fatal("a warmer day gave less")
		}
	})
}

func TestMissingDaysAreCountedNotZeroed(t *testing.T) {
	days := []season.WeatherDay{day(1, -2, 12), {Day: january(2), Has: season.HasRain, Rain: 3}, day(4, 0, 10)}
	got := weather.DegreeDays(days, january(1), january(5), weather.Rule{Method: weather.MeanFirst})
	if got.Total != 10 || got.Days != 2 || got.Missing != 3 || got.Complete() {
		t.Errorf("%+v, want 10 degree days from 2 days with 3 missing", got)
	}
	if rain := weather.Rain(days, january(1), january(5)); rain.Total != 3 || rain.Days != 3 || rain.Missing != 2 {
		t.Errorf("rain %+v", rain)
	}
	if backwards := weather.Rain(days, january(5), january(1)); backwards != (weather.Sum[unit.Water]{}) {
		t.Errorf("an empty span gives %+v", backwards)
	}
}

func january(d int) calendar.Day { return calendar.Date(2015, time.January, d) }

// day is a dry day of January 2015.
func day(d int, low, high unit.Temperature) season.WeatherDay {
	return season.WeatherDay{Day: january(d), Low: low, High: high, Has: season.HasTemperature | season.HasRain}
}
