package folder

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// elm is a folder with one station and one file more.
func elm(station, name, text string) (Content, []season.Problem) {
	return inMemory(map[string][]byte{
		"season.yaml": []byte("season: {name: x, harvest-year: 2027, units: metric}\nstations:\n  - {id: elm, lat: 38, lon: -99" + station + "}\n"),
		name:          []byte(text),
	}).read()
}

func forecastOf(t *testing.T, c Content) *season.Forecast {
	t.Helper()
	for _, e := range c.Entries {
		if f, ok := e.Body.(*season.Forecast); ok {
			return f
		}
	}
	t.Fatal("no forecast")
	return nil
}

// The same two days as a list of days, as the table of days and, hour by hour, in both forms.
func TestEveryFormOfForecastMeansTheSame(t *testing.T) {
	var csv, hours strings.Builder
	csv.WriteString("issued,time,temperature_c,rain_mm,wind_m_s\n")
	hours.WriteString(`{"issued":"2027-02-10T05:30:00-06:00","hours":[`)
	for hour := range 48 {
		at := time.Date(2027, 2, 11, hour, 0, 0, 0, time.FixedZone("", -6*3600)).Format(time.RFC3339)
		temperature, rain := hour%24, 0.5
		fmt.Fprintf(&csv, "2027-02-10T05:30:00-06:00,%s,%d,%g,3\n", at, temperature, rain)
		fmt.Fprintf(&hours, `{"time":%q,"temperature_c":%d,"rain_mm":%g,"wind_m_s":3},`, at, temperature, rain)
	}
	for name, file := range map[string]struct{ name, text string }{
		"table of days":  {"forecast/elm.csv", "issued,date,low_c,high_c,rain_mm,wind_m_s\n2027-02-10T05:30:00-06:00,2027-02-11,0,23,12,3\n2027-02-10T05:30:00-06:00,2027-02-12,0,23,12,3\n"},
		"list of days":   {"forecast/elm.json", `{"issued":"2027-02-10T05:30:00-06:00","days":[{"date":"2027-02-11","low_c":0,"high_c":23,"rain_mm":12,"wind_m_s":3},{"date":"2027-02-12","wind_m_s":3,"rain_mm":12,"high_c":23,"low_c":0}]}`},
		"table of hours": {"forecast/elm.csv", csv.String()},
		"list of hours":  {"forecast/elm.json", strings.TrimSuffix(hours.String(), ",") + "]}"},
	} {
		c, problems := elm(", zone: America/Chicago", file.name, file.text)
		if len(problems) > 0 {
			t.Errorf("%s: %+v", name, problems)
			continue
		}
		f := forecastOf(t, c)
		if len(f.Days) != 2 || f.Issued.UTC().Hour() != 11 {
			t.Errorf("%s: %+v", name, f)
			continue
		}
		for i, d := range f.Days {
			want := season.WeatherDay{Day: calendar.Date(2027, 2, 11+i), High: 23, Rain: 12, Has: season.HasTemperature | season.HasRain | season.HasWind}
			if d.WeatherDay != want || d.Wind != 3 {
				t.Errorf("%s: %+v", name, d)
			}
		}
		if byHour := strings.Contains(name, "hours"); byHour != (len(f.Hours) == 48) || byHour && !hourByHour(f.Hours) {
			t.Errorf("%s: hours %+v", name, f.Hours)
		}
	}
}

// hourByHour says that hours are those of the two days above, to the last bit.
func hourByHour(hours season.Hours) bool {
	for i, h := range hours {
		want := season.Hour{
			At: time.Date(2027, 2, 11, 6+i, 0, 0, 0, time.UTC), Ahead: -360, Temperature: unit.Temperature(i % 24), Rain: 0.5, Wind: 3,
			Has: season.HourTemperature | season.HourRain | season.HourWind,
		}
		if h != want {
			return false
		}
	}
	return true
}

// A day and its hours in one table, or in one object with both lists: the day is as said, not as gathered. The
// offset of a time says what clocks show; Z says nothing of it, so the station's clock counts.
func TestDaysAndHoursTogether(t *testing.T) {
	for name, file := range map[string]struct{ name, text string }{
		"table": {"forecast/elm.csv", "issued,date,time,low_c,high_c,temperature_c,dew_point_c,rain_mm,gust_km_h,cloud_pct\n" +
			"2027-02-10T05:30:00-06:00,,2027-02-11T03:00:00-05:00,,,20,10,,36,\n" +
			"2027-02-10T05:30:00-06:00,2027-02-11,,-4,9,,,12,,\n" +
			"2027-02-10T05:30:00-06:00,,2027-02-11T09:00:00Z,,,1,,0.2,,90\n"},
		"lists": {"forecast/elm.json", `{"issued":"2027-02-10T05:30:00-06:00","days":[{"date":"2027-02-11","low_c":-4,"high_c":9,"rain_mm":12}],
			"hours":[{"time":"2027-02-11T03:00:00-05:00","temperature_c":20,"dew_point_c":10,"gust_km_h":36},{"time":"2027-02-11T09:00:00Z","temperature_c":1,"rain_mm":0.2,"cloud_pct":90}]}`},
	} {
		c, problems := elm(", zone: America/Chicago", file.name, file.text)
		f := forecastOf(t, c)
		if len(problems) > 0 || len(f.Days) != 1 || f.Days[0].Rain != 12 || f.Days[0].Low != -4 || len(f.Hours) != 2 {
			t.Errorf("%s: %+v\n%+v", name, f, problems)
			continue
		}
		first, second := f.Hours[0], f.Hours[1]
		const humid = season.HourTemperature | season.HourHumidity | season.HourGust
		if first.Ahead != -300 || first.Has != humid || math.Abs(float64(first.Humidity)-0.525) > 0.0005 || first.Gust != 10 {
			t.Errorf("%s: first hour %+v", name, first)
		}
		if second.Ahead != -360 || second.Rain != 0.2 || second.Cloud != 0.9 || !second.At.Equal(first.At.Add(time.Hour)) {
			t.Errorf("%s: second hour %+v", name, second)
		}
	}
}

// By the station's clock, the hour from 1 to 2 comes twice on 7 November 2027 and the hour from 2 to 3 never
// on 14 March.
func TestHoursByTheStationsClock(t *testing.T) {
	var b strings.Builder
	b.WriteString("issued,time,rain_mm\n")
	for hour := range 24 {
		for range 1 + boolInt(hour == 1) {
			fmt.Fprintf(&b, "2027-11-06T05:30:00-05:00,2027-11-07 %02d:00,1\n", hour)
		}
	}
	c, problems := elm(", zone: America/Chicago", "forecast/elm.csv", b.String())
	f := forecastOf(t, c)
	if len(problems) > 0 || len(f.Days) != 1 || f.Days[0].Rain != 25 {
		t.Errorf("%+v\n%+v", f, problems)
	}
	if len(f.Hours) != 25 || f.Hours[1].Ahead != -300 || f.Hours[2].Ahead != -360 || len(f.Hours.Day(f.Days[0].Day)) != 25 {
		t.Errorf("hours %+v", f.Hours)
	}

	b.Reset()
	b.WriteString("issued,time,rain_mm\n")
	for hour := range 24 {
		fmt.Fprintf(&b, "2027-03-13T05:30:00-06:00,2027-03-14T%02d:00,1\n", hour)
	}
	c, problems = elm(", zone: America/Chicago", "forecast/elm.csv", b.String())
	if f = forecastOf(t, c); len(problems) != 1 || problems[0].Line != 4 || !strings.Contains(problems[0].Message, "put forward") || f.Days[0].Rain != 23 {
		t.Errorf("%+v\n%+v", f, problems)
	}
}

func boolInt(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// Six hours of rain across midnight are split; a missing hour is a gap and not a dry one.
func TestStepsOfHours(t *testing.T) {
	const head = "issued,time,hours,temperature_c,rain_mm\n"
	row := func(at, hours, temperature, rain string) string {
		return "2027-02-10T00:00:00Z," + at + "," + hours + "," + temperature + "," + rain + "\n"
	}
	for _, row := range []struct {
		name, text string
		rain       []float64 // of the days; -1 is not known
		says       string
	}{
		{"across midnight", head + row("2027-02-11T00:00:00Z", "21", "", "0") + row("2027-02-11T21:00:00Z", "6", "", "12") + row("2027-02-12T03:00:00Z", "21", "", "0"), []float64{6, 6}, ""},
		{"until the next row", head + row("2027-02-11T00:00:00Z", "", "", "2") + row("2027-02-11T23:00:00Z", "", "", "1"), []float64{3}, ""},
		{"an hour is missing", head + row("2027-02-11T00:00:00Z", "12", "2", "0") + row("2027-02-11T13:00:00Z", "11", "2", "0") + row("2027-02-12T00:00:00Z", "24", "", "1"), []float64{1}, ""},
		{"an hour overlaps", head + row("2027-02-11T00:00:00Z", "24", "", "1") + row("2027-02-11T23:00:00Z", "1", "", "9"), []float64{1}, "overlaps"},
		{"one temperature for a day", head + row("2027-02-11T00:00:00Z", "24", "3", "1"), []float64{1}, "no low and high"},
		{"a time out of reach", head + row("2027-02-11T00:00:00Z", "24", "", "1") + row("2028-02-11T00:00:00Z", "24", "", "1"), []float64{1}, "too far"},
		{"no time", head + row("2027-02-11T00:00:00Z", "24", "", "1") + row("noon", "24", "", "1"), []float64{1}, "cannot be read"},
	} {
		c, problems := elm(", zone: UTC", "forecast/elm.csv", row.text)
		said := fmt.Sprint(problems)
		if (row.says == "") != (len(problems) == 0) || !strings.Contains(said, row.says) {
			t.Errorf("%s: %s", row.name, said)
		}
		f := forecastOf(t, c)
		if len(f.Days) != len(row.rain) {
			t.Errorf("%s: %+v", row.name, f.Days)
			continue
		}
		for i, want := range row.rain {
			if d := f.Days[i]; math.Abs(float64(d.Rain)-want) > 1e-9 || d.Has&season.HasRain == 0 {
				t.Errorf("%s: %v has %v mm, want %v", row.name, d.Day, d.Rain, want)
			}
		}
	}
}

func TestForecastsThatCannotBeRead(t *testing.T) {
	for name, row := range map[string]struct{ station, text, says string }{
		"no issue":               {"", `{"days":[{"date":"2027-02-11"}]}`, "when it was issued"},
		"a day without its date": {"", `{"issued":"2027-02-10","days":[{"date":"2027-02-11","rain_mm":1},{"rain_mm":1}],"hours":[{"time":"2027-02-11T00:00:00Z","hours":24,"rain_mm":1}]}`, "is of a day or of an hour"},
		"no items":               {"", `{"issued":"2027-02-10","days":[]}`, "no items"},
		"a list inside":          {"", `{"issued":"2027-02-10","days":[{"date":["2027-02-11"]}]}`, "cannot be read"},
		"no unit":                {"", `{"issued":"2027-02-10","days":[{"date":"2027-02-11","low":3,"high_c":4,"rain_mm":0}]}`, "low: the column is not known"},
		"wrong number":           {"", `{"issued":"2027-02-10","days":[{"date":"2027-02-11","low_c":"cold","high_c":4,"rain_mm":0}]}`, "days[0].low_c"},
		"unknown zone":           {", zone: Mars/Olympus", `{"issued":"2027-02-10","hours":[{"time":"2027-02-11T00:00:00Z","hours":24,"rain_mm":1}]}`, "time zone"},
		"something else":         {"", `{"type":"FeatureCollection"}`, "cannot be read"},
		"a web page":             {"", `<!doctype html>`, "cannot be read"},
	} {
		_, problems := elm(row.station, "forecast/elm.json", row.text)
		said := ""
		for _, p := range problems {
			said += p.Field + ": " + p.Message + "; "
		}
		if !strings.Contains(said, row.says) {
			t.Errorf("%s: %q, want %q", name, said, row.says)
		}
	}
}

// A record of the climatology network may lie in weather/ as it came, in either form. A morning reader's rain
// is that of the day before.
func TestANetworkRecordInTheFolder(t *testing.T) {
	const csv = "USC00099999,20270209,PRCP,127,,,7,\nUSC00099999,20270209,SNWD,0,,,7,\nUSC00099999,20270301,PRCP,0,T,,7,\n"
	for station, want := range map[string]string{"": "2027-02-09", ", morning-reader: yes": "2027-02-08"} {
		for _, name := range []string{"weather/elm.csv", "weather/elm.dly"} {
			c, problems := elm(station, name, csv)
			var rained []string
			months := 0
			for _, e := range c.Entries {
				if w, ok := e.Body.(*season.Weather); ok {
					months++
					for _, d := range w.Days {
						if d.Has&season.HasRain != 0 && d.Rain > 0 {
							rained = append(rained, d.Day.String())
						}
					}
				}
			}
			if len(rained) != 1 || rained[0] != want || months < 1 || count(problems, season.Fatal) > 0 {
				t.Errorf("%s%s: rain on %v in %d months, %+v", name, station, rained, months, problems)
			}
		}
	}
	if _, problems := elm("", "weather/elm.dly", "hello"); count(problems, season.Fatal) != 1 {
		t.Errorf("%+v", problems)
	}
}

func TestTwoLogsOfOneStation(t *testing.T) {
	_, problems := inMemory(map[string][]byte{
		"season.yaml":     []byte("season: {name: x, harvest-year: 2027, units: metric}\nstations:\n  - {id: elm, lat: 38, lon: -99}\n"),
		"weather/elm.csv": []byte("date,low_c,high_c,rain_mm\n2027-02-09,1,2,3\n"),
		"weather/elm.dly": []byte("USW00099999,20270209,SNWD,0,,,7\n"),
	}).read()
	if count(problems, season.Fatal) != 1 || !strings.Contains(problems[0].Message, "two logs") {
		t.Errorf("%+v", problems)
	}
}

func count(problems []season.Problem, s season.Severity) int {
	n := 0
	for _, p := range problems {
		if p.Severity == s {
			n++
		}
	}
	return n
}
