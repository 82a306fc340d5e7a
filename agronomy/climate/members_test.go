package climate_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"culm/agronomy/ammonia"
	"culm/agronomy/climate"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/season"

	"github.com/google/go-cmp/cmp"
)

func members(tb testing.TB, a climate.Ahead) [][]season.ForecastDay {
	tb.Helper()
	all, err := climate.Members(a)
	if err != nil {
		tb.Fatal(err)
	}
	return all
}

// forecast says the same for n days from the first on.
func forecast(first time.Time, n int, said season.ForecastDay) *season.Forecast {
	f := &season.Forecast{Issued: first}
	for i := range n {
		d := said
		d.Day = day(first.Year(), first.Month(), first.Day()).Add(i)
		f.Days = append(f.Days, d)
	}
	return f
}

func firstOfMarch() time.Time { return time.Date(2027, 3, 1, 6, 0, 0, 0, time.UTC) }

// The loss of urea spread on each of the next days, over weather as it may come.
func ExampleMembers() {
	c, err := climate.Fit(invented(20, 1), climate.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	all, err := climate.Members(climate.Ahead{Climate: c, First: day(2027, 3, 1), Days: 28, Seed: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	urea, _ := fertilizer.Find("urea")
	mean := unit.Fraction(0)
	for _, weather := range all {
		r, err := ammonia.Expect(ammonia.Spreading{Product: urea, Day: day(2027, 3, 3), Weather: weather})
		if err != nil {
			fmt.Println(err)
			return
		}
		mean += r.Loss / unit.Fraction(len(all))
	}
	fmt.Println(len(all), "members of", len(all[0]), "days; a loss to expect:", mean > 0.05 && mean < 0.3)
	// Output:
	// 100 members of 28 days; a loss to expect: true
}

// Beyond the forecast, members are the simulator: shares of wash-in are the closed form within Monte Carlo
// error.
func TestMembersWithoutAForecast(t *testing.T) {
	c := fitted(t)
	first := day(2027, 3, 1)
	record := []season.WeatherDay{{Day: first.Add(-1), Rain: 9, Low: 1, High: 7, Has: season.HasRain | season.HasTemperature}}
	const n = 10_000
	all := members(t, climate.Ahead{Climate: c, Record: record, First: first, Days: 20, Members: n, Seed: 5})
	got, err := climate.WashInOf(all, 14, 7, climate.HalfInch)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range c.WashIns(first, 14, 7, 1, climate.HalfInch) {
		p, q := float64(want.Within), float64(want.OnDay)
		near(t, want.Day.String()+" within a week", float64(got[i].Within), p, math.Sqrt(p*(1-p)/n))
		near(t, want.Day.String()+" on the day", float64(got[i].OnDay), q, math.Sqrt(q*(1-q)/n))
	}
}

// About a forecast the members miss by as much as forecasts are known to miss, and on average not at all.
func TestMembersMissAsForecastsDo(t *testing.T) {
	c := fitted(t)
	said := season.ForecastDay{WeatherDay: season.WeatherDay{Low: 0, High: 10, Rain: 8, Has: season.HasTemperature | season.HasRain | season.HasWind}, RainChance: 0.6, Wind: 4}
	const n = 8000
	all := members(t, climate.Ahead{Climate: c, Forecast: forecast(firstOfMarch(), 7, said), First: day(2027, 3, 1), Members: n, Seed: 2})
	for _, day := range []struct {
		index int
		// Mean error of the day's mean in °F: between high (2 and 5) and low (3 and 6) of the office's report.
		fahrenheit float64
	}{{0, 2.5}, {6, 5.5}} {
		miss, bias, wet, rain := 0.0, 0.0, 0.0, 0.0
		for _, m := range all {
			d := m[day.index]
			off := float64(d.Low+d.High)/2 - 5
			miss, bias = miss+math.Abs(off)/n, bias+off/n
			if d.Rain > 0 {
				wet, rain = wet+1, rain+float64(d.Rain)
			}
			if d.Wind != 4 || d.Has&season.HasWind == 0 {
				t.Fatal("the forecast's wind is lost")
			}
		}
		want := min(day.fahrenheit/1.8, 4*math.Sqrt(2/math.Pi)) // no wider than the climate, 4 °C
		near(t, "mean error", miss, want, 0.02*want)
		near(t, "bias", bias, 0, 4/math.Sqrt(n))
		near(t, "chance of rain", wet/n, 0.6, math.Sqrt(0.24/n))
		near(t, "amount", rain/wet, 8, 8/math.Sqrt(0.6*n))
	}
	// Beyond the forecast its warmth or cold fades.
	cold := members(t, climate.Ahead{Climate: c, Forecast: forecast(firstOfMarch(), 7, season.ForecastDay{WeatherDay: season.WeatherDay{Low: -20, High: -12, Has: season.HasTemperature}}), First: day(2027, 3, 1), Members: 500, Seed: 2})
	at := func(i int) (mean float64) {
		for _, m := range cold {
			mean += float64(m[i].Low+m[i].High) / 2 / 500
		}
		return mean
	}
	if !(at(6) < -12 && at(7) > at(6) && at(9) > at(7)+2 && at(20) > -4) {
		t.Errorf("the last forecast day %.1f, then %.1f, %.1f, and at last %.1f", at(6), at(7), at(9), at(20))
	}
}

// A forecast of rain or of none, without a chance, keeps the less of what it says the further ahead it looks.
func TestForecastWithoutAChance(t *testing.T) {
	c := fitted(t)
	wetOn := func(rain unit.Water, i int) float64 {
		said := season.ForecastDay{WeatherDay: season.WeatherDay{Rain: rain, Has: season.HasRain}}
		n := 0.0
		for _, m := range members(t, climate.Ahead{Climate: c, Forecast: forecast(firstOfMarch(), 10, said), First: day(2027, 3, 1), Members: 1000}) {
			if m[i].Rain > 0 {
				n++
			}
		}
		return n / 1000
	}
	if !(wetOn(10, 0) > 0.85 && wetOn(10, 6) < wetOn(10, 0) && wetOn(0, 0) < 0.1 && wetOn(0, 6) > wetOn(0, 0)) {
		t.Errorf("rain: %v then %v; none: %v then %v", wetOn(10, 0), wetOn(10, 6), wetOn(0, 0), wetOn(0, 6))
	}
}

// A chance of rain with no amount to speak of means a little rain, the less surely so the further ahead.
func TestAChanceOfALittle(t *testing.T) {
	c := fitted(t)
	said := season.ForecastDay{WeatherDay: season.WeatherDay{Has: season.HasRain}, RainChance: 0.5}
	all := members(t, climate.Ahead{Climate: c, Forecast: forecast(firstOfMarch(), 9, said), First: day(2027, 3, 1), Members: 2000})
	large := func(i int) (share float64) {
		wet, over := 0.0, 0.0
		for _, m := range all {
			if m[i].Rain > 0 {
				wet++
			}
			if m[i].Rain > 5 {
				over++
			}
		}
		return over / wet
	}
	if !(large(0) < 0.1 && large(8) > large(0)+0.1) {
		t.Errorf("of rains more than 5 mm: %.3f on day 1, %.3f on day 9", large(0), large(8))
	}
}

func TestMembersOfTheForecastItself(t *testing.T) {
	c := fitted(t)
	one := forecast(firstOfMarch(), 5, season.ForecastDay{WeatherDay: season.WeatherDay{Low: 1, High: 9, Rain: 3, Has: season.HasTemperature | season.HasRain}}).Days
	two := forecast(firstOfMarch(), 5, season.ForecastDay{WeatherDay: season.WeatherDay{Low: -3, High: 4, Has: season.HasTemperature | season.HasRain}, Wind: 6}).Days
	all := members(t, climate.Ahead{Climate: c, Ensemble: [][]season.ForecastDay{one, two}, First: day(2027, 3, 1), Members: 4})
	for i, said := range [][]season.ForecastDay{one, two, one, two} {
		if diff := cmp.Diff(said, all[i][:5]); diff != "" {
			t.Errorf("member %d: %s", i, diff)
		}
		if len(all[i]) != climate.DefaultDays || all[i][5].Day != day(2027, 3, 6) {
			t.Errorf("member %d goes on with %+v", i, all[i][5])
		}
	}
	if cmp.Equal(all[0][5:], all[2][5:]) {
		t.Error("two members of the same forecast go on alike")
	}
}

// A forecast that changes for one day changes the members on that day and what follows from its state; days
// before it and the draws stay.
func TestANewForecastSharesTheDraws(t *testing.T) {
	c := fitted(t)
	said := season.ForecastDay{WeatherDay: season.WeatherDay{Low: 0, High: 8, Has: season.HasTemperature | season.HasRain}, RainChance: 0.3}
	before := forecast(firstOfMarch(), 7, said)
	after := forecast(firstOfMarch(), 7, said)
	after.Days[3].RainChance = 0.9
	a := members(t, climate.Ahead{Climate: c, Forecast: before, First: day(2027, 3, 1)})
	b := members(t, climate.Ahead{Climate: c, Forecast: after, First: day(2027, 3, 1)})
	dried := 0
	for i := range a {
		if diff := cmp.Diff(a[i][:3], b[i][:3]); diff != "" {
			t.Fatal(diff)
		}
		if a[i][3].Rain > 0 && b[i][3].Rain == 0 {
			dried++
		}
	}
	if dried > 0 {
		t.Errorf("%d members lost their rain when rain became likelier", dried)
	}
}

func TestMembersThatCannotBe(t *testing.T) {
	c := fitted(t)
	for _, c := range []struct {
		name  string
		ahead climate.Ahead
		want  string
	}{
		{"no climate", climate.Ahead{First: day(2027, 3, 1)}, "climate: no climate to draw from"},
		{"no day", climate.Ahead{Climate: c}, "climate: no first day given"},
		{"too many", climate.Ahead{Climate: c, First: day(2027, 3, 1), Members: 1e6}, "climate: 21 days of 1000000 members; expected 1 to 366 days and 1 to 10000 members"},
	} {
		if _, err := climate.Members(c.ahead); fmt.Sprint(err) != c.want {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func BenchmarkMembers(b *testing.B) {
	c := fit(b, invented(10, 1))
	f := forecast(firstOfMarch(), 7, season.ForecastDay{WeatherDay: season.WeatherDay{Low: 0, High: 10, Rain: 8, Has: season.HasTemperature | season.HasRain}, RainChance: 0.6})
	for b.Loop() {
		members(b, climate.Ahead{Climate: c, Forecast: f, First: day(2027, 3, 1)})
	}
}
