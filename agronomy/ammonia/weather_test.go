package ammonia_test

import (
	"testing"

	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// spread is the day of spreading in these tests; rainOn counts from it.
func spread() calendar.Day { return calendar.Date(2027, 2, 10) }

// rainOn is an amount of rain (mm) on a day after spreading.
type rainOn map[int]float64

// steady is n days of weather from the day of spreading on, all at one temperature.
func steady(n int, celsius float64, rain rainOn) []season.ForecastDay {
	days := make([]season.ForecastDay, n)
	for i := range days {
		days[i].WeatherDay = season.WeatherDay{
			Day: spread().Add(i), Low: unit.Temperature(celsius - 5), High: unit.Temperature(celsius + 5),
			Rain: unit.Water(rain[i]), Has: season.HasTemperature | season.HasRain | season.HasSnow,
		}
	}
	return days
}

// showers is the same rain every so many days, first on the day named.
func showers(first, every, n int, mm float64) rainOn {
	r := rainOn{}
	for i := first; i < n; i += every {
		r[i] = mm
	}
	return r
}

func product(tb testing.TB, key string) fertilizer.Product {
	tb.Helper()
	p, ok := fertilizer.Find(key)
	if !ok {
		tb.Fatalf("no product %q", key)
	}
	return p
}

func expect(tb testing.TB, s ammonia.Spreading) ammonia.Result {
	tb.Helper()
	r, err := ammonia.Expect(s)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

func observed[T unit.Quantity](v T) working.Fact[T] {
	return working.Fact[T]{Value: v, Origin: working.Origin{Kind: working.Observed}}
}
