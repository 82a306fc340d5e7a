package crop_test

import (
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/crop"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/internal/opendata"
	"culm/season"

	"pgregory.net/rapid"
)

// kansasUntil is the record of Manhattan, Kansas, from fall 2003 on. Days without temperature are missing.
func kansasUntil(t *testing.T, last calendar.Day) []season.WeatherDay {
	t.Helper()
	rows, err := csv.NewReader(opendata.Open(t, "wx_manhattan_ks_uscrn/uscrn_daily_53974.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var days []season.WeatherDay
	for _, row := range rows[1:] {
		text := row[column["LST_DATE"]]
		day, err := calendar.Parse(text)
		if err != nil {
			at, other := time.Parse("1/2/06", text)
			if other != nil {
				at, other = time.Parse("20060102", text)
			}
			if other != nil {
				t.Fatal(err)
			}
			day = calendar.FromTime(at)
		}
		high, errHigh := strconv.ParseFloat(row[column["T_DAILY_MAX"]], 64)
		low, errLow := strconv.ParseFloat(row[column["T_DAILY_MIN"]], 64)
		if !day.After(last) && errHigh == nil && errLow == nil && high > -90 && low > -90 {
			days = append(days, season.WeatherDay{Day: day, Low: unit.Temperature(low), High: unit.Temperature(high), Has: season.HasTemperature})
		}
	}
	return days
}

// reached is the day of a spring on which its degree days since 1 January reach a sum.
func reached(days []season.WeatherDay, year int, sum unit.DegreeDays) (calendar.Day, bool) {
	for day := calendar.Date(year, 1, 1); day.Time().Year() == year; day = day.Add(1) {
		got := weather.DegreeDays(days, calendar.Date(year, 1, 1), day, weather.Rule{Method: weather.MeanFirst})
		if !got.Complete() {
			return day, false
		}
		if got.Total >= sum {
			return day, true
		}
	}
	return calendar.Day{}, false
}

// Each spring of two stations foretold from the earlier ones only. The n earlier springs and this one are n + 1
// equals, so this one lies outside the span of the others in 2 of n + 1 cases on average, whatever the climate.
// And what is known of a spring by 15 March makes the span narrower than it is on 1 January.
func TestSpringsForetellTheDayOfASum(t *testing.T) {
	misses, expected, variance := 0.0, 0.0, 0.0
	for _, station := range []struct {
		name string
		at   season.Position
		last int
		read func(*testing.T, calendar.Day) []season.WeatherDay
	}{
		{"Augsburg", season.Position{Lon: 10.9, Lat: 48.4}, 2018, augsburgUntil},
		{"Manhattan", season.Position{Lon: -96.6, Lat: 39.1}, 2017, kansasUntil},
	} {
		all := station.read(t, calendar.Date(2100, 1, 1))
		told := 0
		var wide, narrow int
		for year := all[0].Day.Time().Year() + 6; year <= station.last; year++ {
			ask := func(on calendar.Day) crop.Springs {
				return crop.DeadlineFor(crop.Question{
					Crop: season.WheatGrain, HarvestYear: year, At: station.at, HasAt: true, Rules: crop.ShippedRules(),
					Weather: station.read(t, on),
				}).Springs
			}
			early, late := ask(calendar.Date(year, 1, 1)), ask(calendar.Date(year, 3, 15))
			if early.Years() == 0 || late.Years() == 0 {
				continue
			}
			from, to := early.Span()
			wide += to.Sub(from)
			lateFrom, lateTo := late.Span()
			narrow += lateTo.Sub(lateFrom)
			day, ok := reached(all, year, early.Sum)
			if !ok {
				continue
			}
			told++
			chance := 2 / float64(early.Years()+1)
			expected += chance
			variance += chance * (1 - chance)
			if day.Before(from) || day.After(to) {
				misses++
			}
			t.Logf("%s %d: %d springs, %s to %s on 1 January, %s to %s on 15 March, was %s", station.name, year, early.Years(), from, to, lateFrom, lateTo, day)
		}
		if told < 3 || narrow >= wide {
			t.Errorf("%s: %d springs foretold, spans add up to %d days on 1 January and %d on 15 March", station.name, told, wide, narrow)
		}
	}
	if t.Logf("%g outside, %.1f expected", misses, expected); misses > expected+2*math.Sqrt(variance) {
		t.Errorf("%g springs lay outside the span of the earlier ones, %.1f were to be expected", misses, expected)
	}
}

// Elongation that was seen in earlier springs sets the sum. Here it is made to be seen where the sum is 400 C
// days, give or take; then the day foretold is that of the sum, and the method's error that of the seeing.
func TestElongationSeenInEarlierSprings(t *testing.T) {
	const sum = 400
	all := augsburgUntil(t, calendar.Date(2100, 1, 1))
	var seen []calendar.Day
	for year := 2009; year <= 2015; year++ {
		day, ok := reached(all, year, sum)
		if !ok {
			t.Fatal(year)
		}
		seen = append(seen, day.Add(year%3-1)) // a day early, on the day, a day late
	}
	was, _ := reached(all, 2016, sum)
	ask := func(n int, until calendar.Day) crop.Deadline {
		return crop.DeadlineFor(crop.Question{Crop: season.WheatGrain, HarvestYear: 2016, Seen: seen[:n], Weather: augsburgUntil(t, until)})
	}
	for _, row := range []struct {
		name  string
		n     int
		until calendar.Day
	}{
		{"seven springs, in January", 7, calendar.Date(2016, 1, 20)},
		{"seven springs, in March", 7, calendar.Date(2016, 3, 20)},
		{"seven springs, when it is over", 7, was.Add(10)},
		{"one spring", 1, calendar.Date(2016, 3, 20)},
	} {
		d := ask(row.n, row.until)
		if !d.Known || d.Past || d.Origin != working.Computed || d.Springs.Seen != row.n || was.Before(d.Low) || was.After(d.High) {
			t.Errorf("%s: %+v, was %v", row.name, d, was)
		}
		if judged := d.Springs.Error > 0; judged != (row.n >= 3) || d.Springs.Error > 4 || judged == strings.Contains(d.Why, "too few") {
			t.Errorf("%s: error %d days, %s", row.name, d.Springs.Error, d.Why)
		}
		t.Logf("%s: %v, %v to %v; %s", row.name, d.Day, d.Low, d.High, d.Why)
	}
	if over := ask(7, was.Add(10)); over.Day.Sub(was) > 1 || was.Sub(over.Day) > 1 {
		t.Errorf("when the sum is reached it is %v, was %v", over.Day, was)
	}
	if d := ask(0, calendar.Date(2016, 3, 20)); d.Known {
		t.Errorf("without springs seen and without a place: %+v", d)
	}
	// A walk still knows better.
	d := crop.DeadlineFor(crop.Question{
		Crop: season.WheatGrain, HarvestYear: 2016, Seen: seen, Weather: augsburgUntil(t, calendar.Date(2016, 3, 20)),
		Visits: []*season.Visit{staged(calendar.Date(2016, 3, 18), season.Feekes, 6)},
	})
	if !d.Past || d.Origin != working.Observed {
		t.Errorf("Feekes 6 was seen: %+v", d)
	}
}

// A short gap of this spring's temperature is filled and said, a long one is not.
func TestGapsOfThisSpring(t *testing.T) {
	at := season.Position{Lon: 10.9, Lat: 48.4}
	for _, row := range []struct {
		missing int
		says    string
	}{{0, "moved by"}, {2, "2 days without temperature were filled in"}, {9, "days since 1 January are missing"}} {
		days := augsburgUntil(t, calendar.Date(2016, 3, 10))
		days = append(days[:len(days)-30:len(days)-30], days[len(days)-30+row.missing:]...)
		d := crop.DeadlineFor(crop.Question{Crop: season.WheatGrain, HarvestYear: 2016, At: at, HasAt: true, Rules: crop.ShippedRules(), Weather: days})
		if !strings.Contains(d.Why, row.says) {
			t.Errorf("%d days missing: %s", row.missing, d.Why)
		}
	}
}

// The newest day has its low only, as at a station that is read in the morning.
func TestTheNewestDayMayLackItsHigh(t *testing.T) {
	days := augsburgUntil(t, calendar.Date(2016, 3, 10))
	days[len(days)-1].Has = season.HasSnow
	d := crop.DeadlineFor(crop.Question{
		Crop: season.WheatGrain, HarvestYear: 2016, At: season.Position{Lon: 10.9, Lat: 48.4}, HasAt: true, Rules: crop.ShippedRules(), Weather: days,
	})
	if !strings.Contains(d.Why, "moved by") {
		t.Error(d.Why)
	}
}

// Whatever the springs were, each earlier one gives a day of this year, in order, and the middle lies within.
func TestSpringsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var days []season.WeatherDay
		years := rapid.IntRange(1, 9).Draw(t, "years")
		until := calendar.Date(2020+years, 1, 1).Add(rapid.IntRange(-10, 150).Draw(t, "until"))
		offset := map[int]float64{}
		for day := calendar.Date(2020, 1, 1); day.Before(until); day = day.Add(1) {
			year := day.Time().Year()
			if _, known := offset[year]; !known {
				offset[year] = rapid.Float64Range(-6, 6).Draw(t, "warmer")
			}
			high := unit.Temperature(2 + offset[year] + float64(day.Time().YearDay())/10)
			days = append(days, season.WeatherDay{Day: day, Low: high - 6, High: high, Has: season.HasTemperature})
		}
		d := crop.DeadlineFor(crop.Question{Crop: season.WheatGrain, HarvestYear: 2020 + years, At: plains, HasAt: true, Rules: crop.ShippedRules(), Weather: days})
		s := d.Springs
		if s.Years() == 0 {
			return
		}
		from, to := s.Span()
		if middle := s.Middle(); middle.Before(from) || middle.After(to) || s.Years() > years || from.Time().Year() != 2020+years {
			t.Fatalf("%+v", s)
		}
		if d.Day.Before(d.Low) || d.Day.After(d.High) {
			t.Fatalf("%+v", d)
		}
	})
}
