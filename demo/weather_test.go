package demo_test

import (
	"encoding/csv"
	"math"
	"strconv"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/internal/opendata"
	"culm/season"

	"gonum.org/v1/gonum/stat"
)

func TestWeatherIsWhole(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	for id, days := range s.Weather {
		if first, last := days[0].Day, days[len(days)-1].Day; first != calendar.Date(2026, time.September, 1) || last != demo.Today().Add(-1) {
			t.Errorf("%s: log from %s to %s", id, first, last)
		}
		for i, d := range days {
			if i > 0 && d.Day != days[i-1].Day.Add(1) {
				t.Errorf("%s: %s follows %s", id, d.Day, days[i-1].Day)
			}
			checkDay(t, id, d)
		}
	}
	missing := 0
	for _, d := range s.Weather["south-ford"] {
		if d.Has&season.HasTemperature == 0 {
			missing++
		}
		if d.Has&season.HasSnow != 0 {
			t.Errorf("South Ford measured snow on %s, without a stake", d.Day)
		}
	}
	if missing != 3 {
		t.Errorf("South Ford lacks temperatures on %d days, want 3", missing)
	}
}

func checkDay(t *testing.T, id string, d season.WeatherDay) {
	t.Helper()
	if d.Has&season.HasTemperature == 0 {
		if d.Low != 0 || d.High != 0 {
			t.Errorf("%s %s: temperatures that were not measured are %v and %v", id, d.Day, d.Low, d.High)
		}
	} else if !(d.Low < d.High && d.Low > -26 && d.High < 43) {
		t.Errorf("%s %s: %.1f to %.1f °C", id, d.Day, d.Low, d.High)
	}
	if d.Rain < 0 || d.Rain > 90 || d.Snow < 0 || d.Snow > 400 {
		t.Errorf("%s %s: rain %.1f mm, snow %.0f mm", id, d.Day, d.Rain, d.Snow)
	}
}

// TestWeatherIsOfThePlains compares the months with those of Wichita, Kansas, 1980 to 2011 (open data set
// wx_wichita_monthly): whatever the seed, no month may be warmer, colder or wetter than all of these.
func TestWeatherIsOfThePlains(t *testing.T) {
	record := wichita(t)
	for seed := uint64(1); seed <= 20; seed++ {
		s := season.Assemble(demo.Season(demo.Cast, seed))
		for id, days := range s.Weather {
			for month, r := range record {
				low, high, rain := monthOf(days, month)
				if low < r.coldLow || low > r.warmLow || high < r.coldHigh || high > r.warmHigh {
					t.Errorf("seed %d, %s, %s: mean %.1f to %.1f °C; on record lows of %.1f to %.1f, highs of %.1f to %.1f",
						seed, id, month, low, high, r.coldLow, r.warmLow, r.coldHigh, r.warmHigh)
				}
				if rain > r.wettest {
					t.Errorf("seed %d, %s, %s: %.0f mm of rain; on record no more than %.0f", seed, id, month, rain, r.wettest)
				}
			}
		}
	}
}

// monthOf gives a month's mean low and high, degrees C, and its rain, mm.
func monthOf(days []season.WeatherDay, month time.Month) (low, high, rain float64) {
	n := 0.0
	for _, d := range days {
		if d.Day.Time().Month() != month {
			continue
		}
		rain += float64(d.Rain)
		if d.Has&season.HasTemperature != 0 {
			n, low, high = n+1, low+float64(d.Low), high+float64(d.High)
		}
	}
	return low / n, high / n, rain
}

// span is the range of a month over the years.
type span struct{ coldLow, warmLow, coldHigh, warmHigh, wettest float64 }

// wichita reads the months from September to January. February is left out: the season has nine days of it.
func wichita(t *testing.T) map[time.Month]span {
	rows, err := csv.NewReader(opendata.Open(t, "wx_wichita_monthly/wichita_monthly.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	out := map[time.Month]span{}
	for _, row := range rows[1:] {
		month := time.Month(number(row[1]))
		if month > time.January && month < time.September {
			continue
		}
		rain, high, low := number(row[2]), number(row[3]), number(row[4])
		s, ok := out[month]
		if !ok {
			s = span{low, low, high, high, rain}
		}
		out[month] = span{min(s.coldLow, low), max(s.warmLow, low), min(s.coldHigh, high), max(s.warmHigh, high), max(s.wettest, rain)}
	}
	return out
}

// TestDaysHangTogether asks for the persistence of real temperatures. At Manhattan, Kansas (open data set
// wx_manhattan_ks_uscrn, 2003 to 2017) the correlation from day to day within the months of September to
// February is 0.65 to 0.71; that of a single winter scatters around it.
func TestDaysHangTogether(t *testing.T) {
	for seed := uint64(1); seed <= 20; seed++ {
		s := season.Assemble(demo.Season(demo.Cast, seed))
		var today, next []float64
		days := s.Weather["sallow-head"]
		for month := time.Month(0); month < 160; month += 30 {
			part := days[month:min(int(month)+30, len(days))]
			for i := 1; i < len(part); i++ {
				today = append(today, float64(part[i-1].Low+part[i-1].High)/2)
				next = append(next, float64(part[i].Low+part[i].High)/2)
			}
		}
		// The climate's own slope and the cold snaps add to the correlation of the noise.
		if r := stat.Correlation(today, next, nil); r < 0.6 || r > 0.98 {
			t.Errorf("seed %d: temperatures of neighbouring days correlate by %.2f", seed, r)
		}
	}
}

// TestTodayIsTheSameInEverySeed: the state of the ground on the day looked at is part of the stories.
func TestTodayIsTheSameInEverySeed(t *testing.T) {
	for seed := uint64(1); seed <= 20; seed++ {
		s := season.Assemble(demo.Season(demo.Cast, seed))
		for id, days := range s.Weather {
			last := days[len(days)-1]
			if last.Snow != 0 || last.Rain != 0 || last.Low > 0 || last.High < 8 {
				t.Errorf("seed %d, %s: yesterday was %.1f to %.1f °C, rain %.1f mm, snow %.0f mm", seed, id, last.Low, last.High, last.Rain, last.Snow)
			}
		}
	}
}

func TestForecast(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	friday, saturday := demo.Today().Add(2), demo.Today().Add(3)
	for id := range s.Forecasts {
		f := s.LatestForecast(id)
		if want := time.Date(2027, 2, 10, 11, 0, 0, 0, time.UTC); !f.Issued.Equal(want) || len(f.Days) != 10 {
			t.Errorf("%s: issued %s for %d days", id, f.Issued, len(f.Days))
		}
		for i, d := range f.Days {
			if d.Day != demo.Today().Add(i) {
				t.Errorf("%s: day %d is %s", id, i, d.Day)
			}
			checkDay(t, id, d.WeatherDay)
			frozen := d.Day.Sub(demo.Today()) >= 5 && d.Day.Sub(demo.Today()) <= 7
			if frozen != (d.High < 0) || frozen != (d.Snow > 0) {
				t.Errorf("%s %s: high %.1f °C, snow %.0f mm; want frost all day and snow from 15 to 17 February only", id, d.Day, d.High, d.Snow)
			}
			if windy := d.Day.Weekday() == time.Sunday; windy != (d.Wind > 15*unit.MilePerHour) {
				t.Errorf("%s %s: wind %.1f m/s; want the Sunday windy only", id, d.Day, float64(d.Wind))
			}
		}
	}
	rain := func(id string, day calendar.Day) float64 {
		return float64(s.LatestForecast(id).Days[day.Sub(demo.Today())].Rain)
	}
	if r := rain("sallow-head", friday); math.Abs(r-15.24) > 1e-9 {
		t.Errorf("Sallow Head: %.2f mm on Friday, want 0.6 in", r)
	}
	if r := rain("divide-east", saturday); r < 13 || r > 16 {
		t.Errorf("Divide East: %.2f mm on Saturday, want some 15", r)
	}
	if r := rain("south-ford", friday) + rain("south-ford", saturday); r < 2 || r > 3 || rain("south-ford", friday) > 1.6 || rain("south-ford", saturday) > 1.6 {
		t.Errorf("South Ford: %.2f mm on Friday and Saturday, want a tenth of an inch in two showers", r)
	}
}

// The hours of a forecast are those of its days: the same low, high and rain, and the mean wind of daylight to the
// mile per hour they are rounded to.
func TestForecastHours(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	for id := range s.Forecasts {
		f := s.LatestForecast(id)
		if len(f.Hours) != 7*24 {
			t.Errorf("%s: %d hours", id, len(f.Hours))
		}
		for _, d := range f.Days[:7] {
			low, high, rain, wind := f.Hours[0].Temperature+99, f.Hours[0].Temperature-99, unit.Water(0), unit.Speed(0)
			for clock, h := range f.Hours.Day(d.Day) {
				low, high, rain = min(low, h.Temperature), max(high, h.Temperature), rain+h.Rain
				if clock >= 8 && clock < 18 {
					wind += h.Wind / 10
				}
				if h.Humidity <= 0.1 || h.Humidity > 1 || h.Gust < h.Wind || h.Cloud > 1 {
					t.Errorf("%s, %s, %d o'clock: %+v", id, d.Day, clock, h)
				}
			}
			if low != d.Low || high != d.High || math.Abs(float64(rain-d.Rain)) > 1e-9 || math.Abs(float64(wind-d.Wind)) > 0.5*float64(unit.MilePerHour) {
				t.Errorf("%s, %s: hours have %v to %v, %v of rain, wind %v; the day %+v", id, d.Day, low, high, rain, wind, d)
			}
		}
	}
}
