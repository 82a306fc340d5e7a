package weather_test

import (
	"fmt"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/weather"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func ExampleGaps() {
	days := []season.WeatherDay{day(1, 0, 5), {Day: january(2), Has: season.HasTemperature}, day(5, 1, 6)}
	for _, gap := range weather.Gaps(days, january(1), january(5)) {
		fmt.Println(gap)
	}
	// Output:
	// no rain from 2015-01-02 to 2015-01-04 (3 days)
	// no temperature from 2015-01-03 to 2015-01-04 (2 days)
}

func TestFillTemperature(t *testing.T) {
	comparer := cmp.Comparer(func(a, b calendar.Day) bool { return a == b })
	before, after := day(1, 0, 8), day(4, -2, 4)
	with, filled := weather.FillTemperature([]season.WeatherDay{before, after}, january(1), january(4))
	if diff := cmp.Diff([]calendar.Day{january(2), january(3)}, filled, comparer); diff != "" {
		t.Error(diff)
	}
	if len(with) != 4 || with[1].Low != -1 || with[1].High != 6 || with[1].Has != season.HasTemperature || with[2].Day != january(3) {
		t.Errorf("filled %+v", with)
	}
	if with[1].Has&season.HasRain != 0 {
		t.Error("rain was filled in")
	}

	for name, days := range map[string][]season.WeatherDay{
		"four days are too many":     {day(1, 0, 8), day(6, 0, 8)},
		"nothing before":             {day(3, 0, 8), day(4, 0, 8)},
		"nothing after":              {day(1, 0, 8)},
		"nothing at all":             nil,
		"rain alone is no neighbour": {{Day: january(1), Has: season.HasRain}, day(3, 0, 8)},
	} {
		last := january(4)
		if name == "four days are too many" {
			last = january(6)
		}
		if with, filled := weather.FillTemperature(days, january(1), last); len(filled) != 0 || len(with) != len(days) {
			t.Errorf("%s: filled %v", name, filled)
		}
	}
}

// Gaps and measured days together are the whole span, and filling leaves measured days as they were.
func TestGapsAndDaysMakeTheSpan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var days []season.WeatherDay
		measured := map[calendar.Day]season.WeatherDay{}
		for i := 1; i <= 40; i++ {
			if rapid.Bool().Draw(t, "measured") {
				d := day(i, 0, 1)
				days = append(days, d)
				measured[d.Day] = d
			}
		}
		missing := 0
		for _, gap := range weather.GapsOf(season.HasTemperature, days, january(1), january(40)) {
			missing += gap.Days()
		}
		if missing+len(days) != 40 {
			t.Fatalf("%d missing and %d measured", missing, len(days))
		}
		with, filled := weather.FillTemperature(days, january(1), january(40))
		if len(with) != len(days)+len(filled) {
			t.Fatalf("%d days and %d filled make %d", len(days), len(filled), len(with))
		}
		for i, d := range with {
			if old, was := measured[d.Day]; was && d != old {
				t.Fatalf("%v became %v", old, d)
			}
			if i > 0 && with[i-1].Day.Sub(d.Day) >= 0 {
				t.Fatal("days out of order")
			}
		}
	})
}

// The description of the data set counts 5,118 rows with 41 highs and 72 rains missing; on one more day only
// the low is missing.
func TestGapsOfManhattan(t *testing.T) {
	days, _, _ := manhattan(t)
	if len(days) != 5118 {
		t.Fatalf("%d rows", len(days))
	}
	missing := map[season.Parts]int{}
	for _, gap := range weather.Gaps(days, days[0].Day, days[len(days)-1].Day) {
		missing[gap.Part] += gap.Days()
	}
	absent := days[len(days)-1].Day.Sub(days[0].Day) + 1 - len(days)
	if missing[season.HasTemperature] != 41+1+absent || missing[season.HasRain] != 72+absent {
		t.Errorf("missing %v with %d days absent", missing, absent)
	}
}

func TestWithForecast(t *testing.T) {
	record := []season.WeatherDay{day(1, 0, 5), {Day: january(2), Has: season.HasRain, Rain: 4}}
	forecast := &season.Forecast{Days: []season.ForecastDay{
		{WeatherDay: season.WeatherDay{Day: january(2), Low: -3, High: 2, Rain: 9, Has: season.HasTemperature | season.HasRain | season.HasWind}},
		{WeatherDay: season.WeatherDay{Day: january(3), Low: -1, High: 7, Has: season.HasTemperature}},
	}}
	got := weather.WithForecast(record, forecast)
	if len(got) != 3 || got[1].Rain != 4 || got[1].High != 2 || got[2].High != 7 || len(record) != 2 || record[1].High != 0 {
		t.Errorf("joined %+v", got)
	}
	if alone := weather.WithForecast(record, nil); len(alone) != 2 {
		t.Errorf("without forecast %+v", alone)
	}
}

func TestTheWholeYearOfAugsburgHasNoGap(t *testing.T) {
	// The source's own description says that its gaps were interpolated.
	if gaps := weather.Gaps(augsburg(t), calendar.Date(2009, time.January, 1), calendar.Date(2018, time.December, 31)); gaps != nil {
		t.Errorf("gaps %v", gaps)
	}
}
