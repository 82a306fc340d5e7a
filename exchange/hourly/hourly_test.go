package hourly

import (
	"math"
	"slices"
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

// An hour whose value was said for just this hour keeps it to the last bit; one within a longer span has its share
// of the rain; one that nobody spoke of stands between the others with nothing known.
func TestHoursAsTheyAre(t *testing.T) {
	chicago, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2027, 3, 14, 7, 0, 0, 0, time.UTC) // 1 o'clock; the next hour is 3 o'clock
	at := func(hours int) time.Time { return start.Add(time.Duration(hours) * time.Hour) }
	s := Series{Temperature: Hours{}, Rain: Hours{}, Wind: Hours{}, Gust: Hours{}, Cloud: Hours{}, Chance: Hours{}}
	s.Temperature.Add(at(0), at(1), 0.1, false)
	s.Wind.Add(at(0), at(2), 11*1852./3600, false)
	s.Gust.Add(at(0), at(1), 7.3, false)
	s.Cloud.Add(at(1), at(2), 0.9, false)
	s.Rain.Add(at(0), at(2), 0.3, true)
	s.Chance.Add(at(3), at(4), 0.2, false)
	s.Temperature.Add(at(4), at(4).Add(20*time.Minute), 9, false) // a third of an hour is not the hour
	want := season.Hours{
		{At: at(0), Ahead: -360, Temperature: 0.1, Wind: 11 * 1852. / 3600, Gust: 7.3, Rain: 0.15, Has: season.HourTemperature | season.HourWind | season.HourGust | season.HourRain},
		{At: at(1), Ahead: -300, Wind: 11 * 1852. / 3600, Cloud: 0.9, Rain: 0.15, Has: season.HourWind | season.HourCloud | season.HourRain},
		{At: at(2), Ahead: -300},
		{At: at(3), Ahead: -300, RainChance: 0.2, Has: season.HourRainChance},
	}
	if got := s.Hours(chicago); !slices.Equal(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if none := (Series{}).Hours(chicago); none != nil {
		t.Errorf("nothing at all gives %+v", none)
	}
}

// Air of 20 C with a dew point of 10 C has 1.228 of 2.338 kPa of vapour (FAO-56 Annex 2, Table 2.3): 52.5 %. Where
// humidity is given it stands.
func TestHumidityFromTheDewPoint(t *testing.T) {
	start := time.Date(2027, 2, 10, 0, 0, 0, 0, time.UTC)
	air, dew, humidity := Hours{}, Hours{}, Hours{}
	air.Add(start, start.Add(24*time.Hour), 20, false)
	dew.Add(start, start.Add(24*time.Hour), 10, false)
	humidity.Add(start, start.Add(time.Hour), 0.7, false)
	s := Series{Temperature: air, DewPoint: dew, Humidity: humidity}
	hours := s.Hours(time.UTC)
	if hours[0].Humidity != 0.7 || math.Abs(float64(hours[1].Humidity)-1.228/2.338) > 0.0005 {
		t.Errorf("%v and %v", hours[0].Humidity, hours[1].Humidity)
	}
	if d := s.Days(time.UTC)[0]; d.Has&season.HasHumidity == 0 || math.Abs(float64(d.Humidity)-0.525) > 0.0005 {
		t.Errorf("%+v", d)
	}
}
