package nws_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/exchange/nws"
	"culm/internal/opendata"
	"culm/season"
)

// fixture is a gridpoint with the given layers, issued on 10 February 2027 at 03:00 UTC.
func fixture(layers string) string {
	return `{"type":"Feature","properties":{"updateTime":"2027-02-10T03:00:00+00:00","gridId":"ABC","gridX":12,"gridY":34,` + layers + `}}`
}

func ExampleRead() {
	central := time.FixedZone("six hours west", -6*3600)
	forecast, _, err := nws.Read(strings.NewReader(fixture(`
		"temperature":{"uom":"wmoUnit:degC","values":[
			{"validTime":"2027-02-10T06:00:00+00:00/PT8H","value":-2.5},
			{"validTime":"2027-02-10T14:00:00+00:00/PT10H","value":8},
			{"validTime":"2027-02-11T00:00:00+00:00/PT12H","value":3}]},
		"quantitativePrecipitation":{"uom":"wmoUnit:mm","values":[
			{"validTime":"2027-02-10T06:00:00+00:00/PT18H","value":0},
			{"validTime":"2027-02-11T00:00:00+00:00/PT12H","value":15.24}]}`)), "north", central)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(forecast.By)
	for _, d := range forecast.Days {
		fmt.Printf("%s %.1f to %.1f C, %.2f mm\n", d.Day, float64(d.Low), float64(d.High), float64(d.Rain))
	}
	// Output:
	// National Weather Service, grid ABC 12,34
	// 2027-02-10 -2.5 to 8.0 C, 7.62 mm
}

func read(t *testing.T, name string, loc *time.Location) (*season.Forecast, []season.Problem) {
	t.Helper()
	f, problems, err := nws.Read(opendata.Open(t, name), "s", loc)
	if err != nil {
		t.Fatal(err)
	}
	return f, problems
}

// The reply recorded at Tallahassee on 3 February 2022 at 22:15 local time, 5 hours west. The rain of 4
// February is 2.032 + 4.826 + 4.826 and five sixths of 3.048, whose six hours reach one hour into the 5th;
// that day has the last sixth and 2.286. (2.032 mm is 0.08 in, 20.372 km/h is 11 kt.)
func TestRecordedReply(t *testing.T) {
	eastern, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	f, problems := read(t, "fc_nws_library_fixtures/detailed_forecast.json", eastern)
	if len(problems) != 0 {
		t.Errorf("problems %+v", problems)
	}
	if got := f.Issued.UTC().Format(time.RFC3339); got != "2022-02-04T03:15:41Z" || f.By != "National Weather Service, grid TAE 58,65" || f.Station != "s" {
		t.Errorf("issued %s by %s for %s", got, f.By, f.Station)
	}
	if f.Days[0].Day.String() != "2022-02-04" {
		t.Fatalf("begins on %s; the evening of the 3rd is not a day", f.Days[0].Day)
	}
	for i, want := range []float64{2.032 + 2*4.826 + 3.048*5/6, 3.048/6 + 2.286, 0} {
		if d := f.Days[i]; d.Has&season.HasRain == 0 || math.Abs(float64(d.Rain)-want) > 1e-9 {
			t.Errorf("%s: %v mm, want %v", d.Day, d.Rain, want)
		}
	}
	if inches := unit.Convert(unit.KindWater, 2.032, unit.US); math.Abs(inches-0.08) > 1e-9 {
		t.Errorf("2.032 mm is %v in", inches)
	}
	for i, d := range f.Days {
		if i > 0 && d.Day.Sub(f.Days[i-1].Day) != 1 {
			t.Errorf("a gap before %s", d.Day)
		}
		if d.Has&season.HasTemperature != 0 && !(d.Low < d.High) {
			t.Errorf("%s: low %v, high %v", d.Day, d.Low, d.High)
		}
		t.Logf("%s %v..%v C, %v mm, chance %v, wind %v m/s, humidity %v, has %b", d.Day, d.Low, d.High, d.Rain, d.RainChance, d.Wind, d.Humidity, d.Has)
	}
	recordedHours(t, f.Hours)
	// The service's own daytime high of the 5th, 12.78 C, and night low before it, 3.89 C, lie within a degree
	// of the hourly ones; the high of the calendar day is that of its first hour, still mild.
	if d := f.Days[1]; math.Abs(float64(d.Low)-3.8889) > 1 {
		t.Errorf("%s: low %v", d.Day, d.Low)
	}
}

// recordedHours looks at the first hours of the reply, 21 UTC on 3 February being 16 o'clock there: their values are
// those it gives for the intervals in which they lie.
func recordedHours(t *testing.T, hours season.Hours) {
	t.Helper()
	first := hours[0]
	if day, hour := first.Clock(); first.At.Format(time.RFC3339) != "2022-02-03T21:00:00Z" || day.String() != "2022-02-03" || hour != 16 {
		t.Errorf("begins at %v, %v %d o'clock", first.At, day, hour)
	}
	const parts = season.HourTemperature | season.HourHumidity | season.HourWind | season.HourGust | season.HourCloud | season.HourRainChance
	if first.Has&parts != parts {
		t.Errorf("parts %b, want at least %b", first.Has, parts)
	}
	if math.Abs(float64(first.Temperature)-22.77777777777778) > 1e-12 || math.Abs(float64(first.Wind)-11*1852./3600) > 1e-9 {
		t.Errorf("first hour %+v, want 22.78 C and 11 kt", first)
	}
	rain := 0.0
	for _, h := range hours.Day(calendar.Date(2022, time.February, 4)) {
		rain += float64(h.Rain)
	}
	if len(hours.Day(calendar.Date(2022, time.February, 4))) != 24 || math.Abs(rain-(2.032+2*4.826+3.048*5/6)) > 1e-9 {
		t.Errorf("the hours of 4 February have %v mm", rain)
	}
}

// Two open gridpoints: span of temperature as described with them, and no rain. The times of Omaha were made
// from times relative to an hour, and where past and future meet at 15:00 UTC they overlap by that hour.
func TestOpenGridpoints(t *testing.T) {
	for _, row := range []struct {
		name, file, zone string
		low, high        float64 // of the whole layer, C
		days             int     // with temperature, at least
	}{
		{"Omaha", "OAX_59_58", "America/Chicago", -10.56, 10, 6},
		{"Dallas-Fort Worth", "FWD_89_104", "America/Chicago", 16.67, 33.89, 7},
	} {
		loc, err := time.LoadLocation(row.zone)
		if err != nil {
			t.Fatal(err)
		}
		f, problems := read(t, "fc_nws_gridpoints_open/"+row.file+"_gridpoint.json", loc)
		for _, p := range problems {
			if row.name != "Omaha" || !strings.Contains(p.Message, "overlaps") {
				t.Errorf("%s: %+v", row.name, p)
			}
		}
		whole := 0
		for _, d := range f.Days {
			if d.Has&season.HasRain != 0 && d.Rain != 0 {
				t.Errorf("%s: rain %v on %s", row.name, d.Rain, d.Day)
			}
			if d.Has&season.HasTemperature == 0 {
				continue
			}
			whole++
			if float64(d.Low) < row.low-0.005 || float64(d.High) > row.high+0.005 {
				t.Errorf("%s: %v to %v on %s, outside %v to %v", row.name, d.Low, d.High, d.Day, row.low, row.high)
			}
		}
		if whole < row.days {
			t.Errorf("%s: %d whole days", row.name, whole)
		}
	}
}

// The Washington gridpoint is cut short: its temperatures end in one value for 72 hours.
func TestOneTemperatureForThreeDays(t *testing.T) {
	eastern, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	f, problems, err := nws.Read(opendata.Open(t, "fc_nws_gridpoints_open/LWX_95_71_gridpoint.json"), "s", eastern)
	found := false
	for _, p := range problems {
		found = found || p.Field == "temperature.values[22]" && strings.Contains(p.Message, "no low and high")
	}
	if !found {
		t.Errorf("problems %+v, forecast %+v, error %v", problems, f, err)
	}
	if f != nil {
		for _, d := range f.Days {
			if d.Has&season.HasTemperature != 0 {
				t.Errorf("%s has a temperature", d.Day)
			}
		}
	}
}

// Other files of the same service say what they are.
func TestOtherFilesAreNamed(t *testing.T) {
	for file, says := range map[string]string{
		"gridpoints_forecast_us.json":        "half days",
		"gridpoints_forecast_hourly_us.json": "half days",
		"points.json":                        "only says where",
		"stations_observations.json":         "updateTime",
	} {
		_, _, err := nws.Read(opendata.Open(t, "fc_nws_library_fixtures/"+file), "s", time.UTC)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want it to say %q", file, err, says)
		}
	}
}

// whole is a layer with one value for each of two days, UTC.
func whole(name, uom, value string) string {
	return fmt.Sprintf(`"%s":{"uom":"%s","values":[{"validTime":"2027-02-10T00:00:00Z/PT12H","value":%s},{"validTime":"2027-02-10T12:00:00Z/PT12H","value":%s}]}`, name, uom, value, value)
}

func TestUnits(t *testing.T) {
	one := func(layer string) season.ForecastDay {
		t.Helper()
		f, problems, err := nws.Read(strings.NewReader(fixture(layer)), "s", time.UTC)
		if err != nil || len(problems) != 0 || len(f.Days) != 1 {
			t.Errorf("%s: %v, %v, %v", layer, f, problems, err)
			return season.ForecastDay{}
		}
		return f.Days[0]
	}
	for _, row := range []struct {
		layer, uom, value string
		got               func(season.ForecastDay) float64
		want              float64
	}{
		{"temperature", "wmoUnit:degC", "-3.5", func(d season.ForecastDay) float64 { return float64(d.High) }, -3.5},
		{"temperature", "unit:degF", "50", func(d season.ForecastDay) float64 { return float64(d.High) }, 10},
		{"temperature", "wmoUnit:K", "273.15", func(d season.ForecastDay) float64 { return float64(d.Low) }, 0},
		{"quantitativePrecipitation", "wmoUnit:mm", "2.032", func(d season.ForecastDay) float64 { return float64(d.Rain) }, 4.064},
		{"quantitativePrecipitation", "[in_i]", "0.08", func(d season.ForecastDay) float64 { return float64(d.Rain) }, 4.064},
		{"windSpeed", "wmoUnit:km_h-1", "20.372", func(d season.ForecastDay) float64 { return float64(d.Wind) }, 11 * 1852. / 3600},
		{"windSpeed", "nwsUnit:m_s-1", "5", func(d season.ForecastDay) float64 { return float64(d.Wind) }, 5},
		{"relativeHumidity", "wmoUnit:percent", "58", func(d season.ForecastDay) float64 { return float64(d.Humidity) }, 0.58},
	} {
		if got := row.got(one(whole(row.layer, row.uom, row.value))); math.Abs(got-row.want) > 1e-9 {
			t.Errorf("%s %s %s is %v, want %v", row.layer, row.value, row.uom, got, row.want)
		}
	}
	older := strings.Replace(whole("temperature", "X", "1"), `"uom":"X"`, `"unitCode":"unit:degC"`, 1)
	if d := one(older); d.High != 1 {
		t.Errorf("the older name of the unit: %v", d.High)
	}
	snowy := one(whole("temperature", "wmoUnit:degC", "-3") + "," + whole("snowfallAmount", "wmoUnit:mm", "25.4"))
	bare := one(whole("temperature", "wmoUnit:degC", "-3") + "," + whole("snowfallAmount", "wmoUnit:mm", "0"))
	if snowy.Has&season.HasSnow == 0 || math.Abs(float64(snowy.Snow)-50.8) > 1e-9 || bare.Has&season.HasSnow != 0 {
		t.Errorf("snow %+v and %+v", snowy, bare)
	}
}

func TestDoubts(t *testing.T) {
	rain := whole("quantitativePrecipitation", "wmoUnit:mm", "1")
	for _, row := range []struct{ name, layer, field, says string }{
		{"unknown unit", whole("temperature", "wmoUnit:furlong", "1"), "temperature", "unit is not known"},
		{"no unit", whole("temperature", "", "1"), "temperature", "unit is not known"},
		{"a number in quotes", whole("temperature", "wmoUnit:degC", `"12"`), "temperature.values[0]", "not a number"},
		{"beyond any weather", whole("temperature", "wmoUnit:degC", "-9999"), "temperature.values[0]", "cannot be"},
		{"less than no rain", whole("snowfallAmount", "wmoUnit:mm", "-1"), "snowfallAmount.values[0]", "cannot be"},
		{"no time", `"temperature":{"uom":"wmoUnit:degC","values":[{"value":4}]}`, "temperature.values[0]", "no readable time"},
		{"half a time", `"temperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2027-02-10T00:00:00Z/PT1H","value":4},{"validTime":"2027-02-10T01:00:00Z/PTxH","value":4}]}`, "temperature.values[1]", "no readable time"},
		{"overlap", `"windSpeed":{"uom":"wmoUnit:m_s-1","values":[{"validTime":"2027-02-10T00:00:00Z/PT6H","value":4},{"validTime":"2027-02-10T05:00:00Z/PT6H","value":4}]}`, "windSpeed.values[1]", "overlaps"},
		{"next year", `"windSpeed":{"uom":"wmoUnit:m_s-1","values":[{"validTime":"2028-02-10T00:00:00Z/PT6H","value":4}]}`, "windSpeed.values[0]", "too far"},
		{"a layer that is a list", `"windSpeed":[]`, "windSpeed", "cannot be read"},
	} {
		_, problems, err := nws.Read(strings.NewReader(fixture(row.layer+","+rain)), "s", time.UTC)
		if err != nil || len(problems) == 0 || problems[0].Field != row.field || !strings.Contains(problems[0].Message, row.says) || problems[0].Severity != season.Doubtful {
			t.Errorf("%s: %+v, %v; want %s: %s", row.name, problems, err, row.field, row.says)
		}
	}
}

// A null is missing, not zero, and nothing to complain about; the chance of rain is the day's highest.
func TestNullIsMissing(t *testing.T) {
	f, problems, err := nws.Read(strings.NewReader(fixture(whole("temperature", "wmoUnit:degC", "4")+`,
		"quantitativePrecipitation":{"uom":"wmoUnit:mm","values":[
			{"validTime":"2027-02-10T00:00:00Z/PT6H","value":null},{"validTime":"2027-02-10T06:00:00Z/PT18H","value":3}]},
		"probabilityOfPrecipitation":{"uom":"wmoUnit:percent","values":[
			{"validTime":"2027-02-10T00:00:00Z/PT6H","value":null},{"validTime":"2027-02-10T06:00:00Z/PT3H","value":40},{"validTime":"2027-02-10T09:00:00Z/PT3H","value":20}]}`)), "s", time.UTC)
	if err != nil || len(problems) != 0 || len(f.Days) != 1 {
		t.Fatalf("%+v, %+v, %v", f, problems, err)
	}
	if d := f.Days[0]; d.Has != season.HasTemperature || d.RainChance != 0.4 {
		t.Errorf("%+v", d)
	}
}

// The day summer time begins has 23 hours, the day it ends 25: each is whole when all of them are covered.
func TestDaysOfSummerTime(t *testing.T) {
	central, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	hourly := func(start time.Time, hours int) string {
		var values []string
		for i := range hours {
			values = append(values, fmt.Sprintf(`{"validTime":"%s/PT1H","value":1}`, start.Add(time.Duration(i)*time.Hour).UTC().Format(time.RFC3339)))
		}
		return `"quantitativePrecipitation":{"uom":"wmoUnit:mm","values":[` + strings.Join(values, ",") + `]}`
	}
	for _, row := range []struct {
		issued string
		day    time.Time
		hours  int
	}{
		{"2027-03-13T12:00:00+00:00", time.Date(2027, 3, 14, 0, 0, 0, 0, central), 23},
		{"2027-11-06T12:00:00+00:00", time.Date(2027, 11, 7, 0, 0, 0, 0, central), 25},
	} {
		text := strings.Replace(fixture(hourly(row.day, row.hours)), "2027-02-10T03:00:00+00:00", row.issued, 1)
		f, problems, err := nws.Read(strings.NewReader(text), "s", central)
		if err != nil || len(problems) != 0 || len(f.Days) != 1 || math.Abs(float64(f.Days[0].Rain)-float64(row.hours)) > 1e-9 {
			t.Errorf("%s: %+v, %+v, %v", row.issued, f, problems, err)
		}
		short := strings.Replace(fixture(hourly(row.day, row.hours-1)), "2027-02-10T03:00:00+00:00", row.issued, 1)
		if f, _, err := nws.Read(strings.NewReader(short), "s", central); err == nil {
			t.Errorf("%s: a day short of an hour is whole: %+v", row.issued, f)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"nothing":          "",
		"not JSON":         "<html>",
		"another JSON":     `{"type":"Feature","properties":{}}`,
		"no properties":    `[]`,
		"a wrong time":     `{"properties":{"updateTime":"yesterday"}}`,
		"no time":          `{"properties":{"updateTime":5}}`,
		"a time far away":  `{"properties":{"updateTime":"0001-01-01T00:00:00Z"}}`,
		"no layers":        fixture(`"elevation":{}`),
		"no whole day":     fixture(`"temperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2027-02-10T00:00:00Z/PT6H","value":4}]}`),
		"cut off":          fixture(whole("temperature", "wmoUnit:degC", "4"))[:200],
		"null throughout":  fixture(whole("temperature", "wmoUnit:degC", "null")),
		"a number of gigs": `{"properties":{"updateTime":"2027-02-10T03:00:00Z","x":"` + strings.Repeat("x", 16<<20) + `"}}`,
	} {
		if f, _, err := nws.Read(strings.NewReader(text), "s", time.UTC); err == nil {
			t.Errorf("%s: %+v", name, f)
		} else if len(err.Error()) > 400 {
			t.Errorf("%s: a message of %d bytes", name, len(err.Error()))
		}
	}
	if _, _, err := nws.Read(strings.NewReader(fixture(whole("temperature", "wmoUnit:degC", "4"))), "s", nil); err == nil {
		t.Error("no time zone")
	}
}

// Whatever comes, reading ends in a forecast of days in order, without gaps, with numbers that can be, or in
// an error.
func FuzzRead(f *testing.F) {
	f.Add(fixture(whole("temperature", "wmoUnit:degC", "4")))
	f.Add(fixture(whole("temperature", "wmoUnit:degC", "1e308") + "," + whole("quantitativePrecipitation", "wmoUnit:mm", "0.1")))
	f.Add(fixture(`"temperature":{"uom":"unit:degF","values":[{"validTime":"NOW/PT3H","value":null},{"validTime":"P1D/NOW","value":12}]}`))
	f.Add(fixture(`"snowfallAmount":{"unitCode":"wmoUnit:m","values":[{"validTime":"2027-02-10T00:00:00Z/P40D","value":0.1}]}`))
	f.Add(`{"properties":{"periods":[]}}`)
	f.Add(`{"properties":{"updateTime":"2022-02-04T03:15:41+00:00","gridId":"TAE","gridX":"58","gridY":"65","temperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2022-02-03T21:00:00+00:00/PT1H","value":22.77777777777778}]},"windSpeed":{"uom":"wmoUnit:km_h-1","values":[{"validTime":"2022-02-03T21:00:00+00:00/P2DT12H","value":20.372}]}}}`)
	central := time.FixedZone("six hours west", -6*3600)
	f.Fuzz(func(t *testing.T, text string) {
		forecast, problems, err := nws.Read(strings.NewReader(text), "s", central)
		if err != nil {
			return
		}
		for i, d := range forecast.Days {
			if i > 0 && d.Day.Sub(forecast.Days[i-1].Day) != 1 {
				t.Errorf("a gap before %s", d.Day)
			}
			if d.Low > d.High || d.Low < -90 || d.High > 60 || d.Rain < 0 || !(d.RainChance >= 0 && d.RainChance <= 1) || d.Wind < 0 || d.Humidity > 1.000001 {
				t.Errorf("%+v", d)
			}
		}
		for _, p := range problems {
			if p.Field == "" || p.Message == "" || len(p.Found) > 200 {
				t.Errorf("%+v", p)
			}
		}
	})
}
