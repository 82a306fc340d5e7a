package ghcn_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/exchange/ghcn"
	"culm/internal/opendata"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// month writes a .dly line of an invented station: a value and its flags for some days, -9999 for the others.
func month(year, month int, element string, days map[int]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "USW00099999%04d%02d%s", year, month, element)
	for day := 1; day <= 31; day++ {
		text, ok := days[day]
		if !ok {
			text = "-9999   "
		}
		fmt.Fprintf(&b, "%-8s", text)
	}
	return b.String()
}

// A value takes five columns and its three flags one each: "  127  X" is 12.7 mm from source X.
func ExampleRead() {
	file := month(2027, 2, "TMAX", map[int]string{9: "   61  W", 10: "   89  W"}) + "\n" +
		month(2027, 2, "TMIN", map[int]string{9: "  -39  W", 10: "  -22  W"}) + "\n" +
		month(2027, 2, "PRCP", map[int]string{8: "  127  W", 9: "    0T W", 10: "   46 IW"}) + "\n"
	record, problems, err := ghcn.Read(strings.NewReader(file), ghcn.Options{File: "elm.dly"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range record.Days {
		fmt.Printf("%s  temperature %t %.1f to %.1f C  rain %t %.1f mm\n", d.Day, d.Has&season.HasTemperature != 0, float64(d.Low), float64(d.High), d.Has&season.HasRain != 0, float64(d.Rain))
	}
	for _, p := range problems {
		fmt.Printf("%s:%d: %s: %s\n", p.File, p.Line, p.Field, p.Message)
	}
	// Output:
	// 2027-02-08  temperature false 0.0 to 0.0 C  rain true 12.7 mm
	// 2027-02-09  temperature true -3.9 to 6.1 C  rain true 0.0 mm
	// 2027-02-10  temperature true -2.2 to 8.9 C  rain false 0.0 mm
	// elm.dly:3: PRCP: a value failed a quality check of the network and is rejected: it contradicts another value of the day
}

// The network's description of the form: VALUE1 is in columns 22-26 and VALUE31, the last of 269 columns but
// three, in 262-266.
func TestDay31StandsInColumns262To266(t *testing.T) {
	line := []byte(month(2027, 1, "SNWD", nil))
	if len(line) != 269 {
		t.Fatalf("the line has %d columns", len(line))
	}
	copy(line[261:266], "  310")
	copy(line[21:26], "   10")
	record, problems, err := ghcn.Read(strings.NewReader(string(line)), ghcn.Options{})
	if err != nil || len(problems) != 0 {
		t.Fatal(err, problems)
	}
	want := []season.WeatherDay{
		{Day: calendar.Date(2027, 1, 1), Snow: 10, Has: season.HasSnow},
		{Day: calendar.Date(2027, 1, 31), Snow: 310, Has: season.HasSnow},
	}
	if diff := cmp.Diff(want, record.Days, days); diff != "" {
		t.Error(diff)
	}
}

var days = cmp.Comparer(func(a, b calendar.Day) bool { return a == b })

// An observer who reads at seven writes the rain and the high of the day before; the low is of the night just
// past. One who reads at midnight, or in the evening, writes those of the day.
func TestReadingInTheMorning(t *testing.T) {
	file := strings.Join([]string{
		"USC00099999,20270209,PRCP,127,,,7,0700",
		"USC00099999,20270209,TMAX,61,,,7,0700",
		"USC00099999,20270208,TMIN,-50,,,7,0700",
		"USC00099999,20270209,TMIN,-39,,,7,0700",
		"USC00099999,20270209,SNWD,25,,,7,0700",
		"USC00099999,20270210,PRCP,3,,,7,2400",
		"USC00099999,20270211,PRCP,5,,,7,1800",
		"USC00099999,20270212,PRCP,9,,,7,0000",
	}, "\r\n")
	record, problems, err := ghcn.Read(strings.NewReader(file), ghcn.Options{})
	if err != nil || len(problems) != 1 || problems[0].Found != "2027-02-09" || !strings.Contains(problems[0].Message, "one of its two temperatures") {
		t.Fatal(err, problems)
	}
	february := func(d int) calendar.Day { return calendar.Date(2027, time.February, d) }
	want := []season.WeatherDay{
		{Day: february(8), Low: -5, High: 6.1, Rain: 12.7, Has: season.HasRain | season.HasTemperature},
		{Day: february(9), Snow: 25, Has: season.HasSnow},
		{Day: february(10), Rain: 0.3, Has: season.HasRain},
		{Day: february(11), Rain: 0.5, Has: season.HasRain},
		{Day: february(12), Rain: 0.9, Has: season.HasRain},
	}
	if diff := cmp.Diff(want, record.Days, days); diff != "" || record.Shifted != 2 {
		t.Errorf("%d shifted\n%s", record.Shifted, diff)
	}

	dly := strings.Replace(month(2027, 3, "PRCP", map[int]string{1: "  254  7"}), "USW", "USC", 1)
	for _, morning := range []bool{false, true} {
		record, problems, err := ghcn.Read(strings.NewReader(dly), ghcn.Options{MorningReader: morning})
		if err != nil {
			t.Fatal(err)
		}
		want, doubts := calendar.Date(2027, 3, 1), 1
		if morning {
			want, doubts = february(28), 0
		}
		if record.Days[0].Day != want || len(problems) != doubts {
			t.Errorf("morning reader %v: rain on %v, %+v", morning, record.Days[0].Day, problems)
		}
	}
}

// A station that changes from morning to midnight gets one value for the day between: that of midnight.
func TestAChangeOfHourMakesNoSecondRain(t *testing.T) {
	file := "USC00099999,20270301,PRCP,20,,,7,2400\nUSC00099999,20270302,PRCP,70,,,7,0700\n"
	record, _, err := ghcn.Read(strings.NewReader(file), ghcn.Options{})
	if err != nil || len(record.Days) != 1 || record.Days[0].Rain != 2 {
		t.Errorf("%+v, %v", record, err)
	}
}

func TestRainMeasuredTogetherIsAGap(t *testing.T) {
	file := month(2027, 3, "PRCP", map[int]string{1: "   10   ", 5: "    0   "}) + "\n" +
		month(2027, 3, "MDPR", map[int]string{4: "  254   "}) + "\n" +
		month(2027, 3, "DAPR", map[int]string{4: "    3   "}) + "\n"
	record, problems, err := ghcn.Read(strings.NewReader(file), ghcn.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(record.Days) != 2 || len(problems) != 1 || !strings.Contains(problems[0].Found, "2027-03-02 to 2027-03-04, 25.4 mm") {
		t.Errorf("%+v\n%+v", record.Days, problems)
	}
	want := []ghcn.Total{{From: calendar.Date(2027, 3, 2), To: calendar.Date(2027, 3, 4), Rain: 25.4}}
	if diff := cmp.Diff(want, record.Totals, days); diff != "" {
		t.Error(diff)
	}
}

func TestWhatIsNotTaken(t *testing.T) {
	for _, row := range []struct {
		name, file string
		days       int
		says       string
	}{
		{"leap day", month(2028, 2, "SNWD", map[int]string{29: "   10   "}), 1, ""},
		{"29 February of another year", month(2027, 2, "SNWD", map[int]string{1: "    0   ", 29: "   10   "}), 1, "no such day"},
		{"padding", month(2027, 4, "SNWD", map[int]string{30: "   10   "}), 1, ""},
		{"presumed zero", month(2027, 4, "PRCP", map[int]string{1: "    0P  ", 2: "    0   "}), 1, "presumed zero"},
		{"too hot", month(2027, 4, "SNWD", map[int]string{1: "    0   "}) + "\n" + month(2027, 4, "TMAX", map[int]string{1: " 9999   "}), 1, "cannot be"},
		{"low above high", month(2027, 4, "SNWD", map[int]string{1: "    0   "}) + "\n" + month(2027, 4, "TMAX", map[int]string{1: "   10   "}) + "\n" + month(2027, 4, "TMIN", map[int]string{1: "   20   "}), 1, "above the high"},
		{"cut short", month(2027, 4, "SNWD", map[int]string{1: "    0   ", 30: "   10   "})[:250], 1, "cut short"},
		{"trailing blanks cut off", strings.TrimRight(month(2027, 4, "SNWD", map[int]string{30: "   10   "})[:261], " "), 1, ""},
		{"not a number", month(2027, 4, "SNWD", map[int]string{1: "  1.5   ", 2: "    0   "}), 1, "cannot be read"},
		{"twice", month(2027, 4, "SNWD", map[int]string{1: "    0   "}) + "\n" + month(2027, 4, "SNWD", map[int]string{1: "    7   "}), 1, "twice"},
		{"a line of something else", month(2027, 4, "SNWD", map[int]string{1: "    0   "}) + "\nhello", 1, "cannot be read"},
		{"no such date", "USW00099999,20270101,SNWD,0,,,7\nUSW00099999,20270230,SNWD,0,,,7", 1, "no such day"},
		{"another element", "USW00099999,20270101,SNWD,0,,,7\nUSW00099999,20270101,AWND,44,,,7,", 1, ""},
		{"with a row of names", "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\nUSW00099999,20270101,SNWD,0,,,7,", 1, ""},
	} {
		record, problems, err := ghcn.Read(strings.NewReader(row.file), ghcn.Options{})
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		said := ""
		for _, p := range problems {
			said += p.Message + "; "
		}
		if len(record.Days) != row.days || (row.says == "") != (said == "") || !strings.Contains(said, row.says) {
			t.Errorf("%s: %d days, says %q, want %d and %q", row.name, len(record.Days), said, row.days, row.says)
		}
	}
}

func TestNoRecordAtAll(t *testing.T) {
	for name, row := range map[string]struct{ file, says string }{
		"plain CSV":       {"date,low_f,high_f,rain_in\n", "no daily record"},
		"a web page":      {"<html>", "no daily record"},
		"by columns":      {`"STATION","DATE","PRCP","TMAX"`, "column for each element"},
		"nothing usable":  {month(2027, 4, "WT01", map[int]string{1: "    1   "}), "no usable day"},
		"two stations":    {"USW00099999,20270101,SNWD,0,,,7\nUSW00099998,20270101,SNWD,0,,,7", "several stations, USW00099999, USW00099998"},
		"an endless line": {month(2027, 4, "SNWD", nil) + strings.Repeat("x", 1<<20), "line 0"},
		"nothing":         {"", "no usable day"},
	} {
		if _, _, err := ghcn.Read(strings.NewReader(row.file), ghcn.Options{}); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, want it to say %q", name, err, row.says)
		}
	}
	record, _, err := ghcn.Read(strings.NewReader("USW00099999,20270101,SNWD,0,,,7\nUSW00099998,20270101,SNWD,50,,,7"), ghcn.Options{Station: "USW00099998"})
	if err != nil || record.Days[0].Snow != 50 {
		t.Errorf("the station that is meant: %+v, %v", record, err)
	}
}

// SN32 is the day's lowest at 10 cm under bare ground.
func TestSoilTemperature(t *testing.T) {
	file := "USW00099999,20270101,SNWD,0,,,7\nUSW00099999,20270101,SN32,-11,,,7\nUSW00099999,20270101,SX12,22,,,7\nUSW00099999,20270101,SN39,5,,,7"
	record, problems, err := ghcn.Read(strings.NewReader(file), ghcn.Options{})
	if err != nil || len(problems) != 1 {
		t.Fatal(err, problems)
	}
	want := []ghcn.SoilReading{
		{Day: calendar.Date(2027, 1, 1), Depth: 0.1, Cover: 1, Highest: true, Temperature: 2.2},
		{Day: calendar.Date(2027, 1, 1), Depth: 0.1, Cover: 3, Temperature: -1.1},
	}
	if diff := cmp.Diff(want, record.Soil, days); diff != "" {
		t.Error(diff)
	}
}

// The network's own example of its list of stations.
func TestParseStation(t *testing.T) {
	const line = "EI000003980  55.3717   -7.3400   21.0    MALIN HEAD                     GSN     03980"
	got, err := ghcn.ParseStation(line)
	want := ghcn.Station{
		ID: "EI000003980", At: season.Position{Lon: -7.34, Lat: 55.3717}, Elevation: 21 * unit.Metre, HasElevation: true,
		Name: "MALIN HEAD", GSN: true, WMO: "03980",
	}
	if diff := cmp.Diff(want, got); diff != "" || err != nil {
		t.Error(err, diff)
	}
	if s, err := ghcn.ParseStation("EI000003980  55.3717   -7.3400 -999.9"); err != nil || s.HasElevation {
		t.Errorf("%+v, %v", s, err)
	}
	for _, wrong := range []string{"", "EI000003980", "EI000003980  95.3717   -7.3400   21.0", "EI000003980  NaN       -7.3400   21.0"} {
		if s, err := ghcn.ParseStation(wrong); err == nil {
			t.Errorf("%q is read as %+v", wrong, s)
		}
	}
	stations, problems, err := ghcn.Stations(strings.NewReader(line+"\n\nnonsense\n"), "list")
	if len(stations) != 1 || len(problems) != 1 || problems[0].Line != 3 || err != nil {
		t.Error(stations, problems, err)
	}
}

// Both forms of one record say the same.
func TestBothFormsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var dly, csv []string
		for _, element := range []string{"TMIN", "TMAX", "PRCP", "SNWD"} {
			byDay := map[int]string{}
			for day := 1; day <= 28; day++ {
				if !rapid.Bool().Draw(t, "measured") {
					continue
				}
				n := rapid.IntRange(0, 200).Draw(t, "value")
				if element == "TMIN" {
					n = -n
				}
				byDay[day] = fmt.Sprintf("%5d  7", n)
				csv = append(csv, fmt.Sprintf("USW00099999,202702%02d,%s,%d,,,7,", day, element, n))
			}
			dly = append(dly, month(2027, 2, element, byDay))
		}
		a, _, errA := ghcn.Read(strings.NewReader(strings.Join(dly, "\n")), ghcn.Options{})
		b, _, errB := ghcn.Read(strings.NewReader(strings.Join(csv, "\n")), ghcn.Options{})
		if (errA == nil) != (errB == nil) {
			t.Fatal(errA, errB)
		}
		if errA != nil {
			return
		}
		if diff := cmp.Diff(a.Days, b.Days, days); diff != "" {
			t.Fatal(diff)
		}
		n := 0
		for _, m := range a.Months("elm") {
			n += len(m.Days)
			if m.Line < 1 || m.Line > 4 {
				t.Fatalf("the month begins on line %d", m.Line)
			}
		}
		if n != len(a.Days) {
			t.Fatalf("%d days in months, %d in all", n, len(a.Days))
		}
	})
}

// Ten years of a real station, written in tenths as the network does, read back to the last digit.
func TestTenYearsReadBack(t *testing.T) {
	rows, err := csv.NewReader(opendata.Open(t, "wx_augsburg_dwd/dwd_augsburg_daily.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	elements := []struct {
		name, from string
		scale      float64
	}{{"TMAX", "TXK", 10}, {"TMIN", "TNK", 10}, {"PRCP", "RSK", 10}, {"SNWD", "SHK_TAG", 10}} // cm of snow to mm
	values := map[string]map[int]string{} // by month and element, then by day
	var order []string
	var want []season.WeatherDay
	for _, row := range rows[1:] {
		day, err := calendar.Parse(row[0])
		if err != nil {
			t.Fatal(err)
		}
		y, m, d := day.Time().Date()
		var n [4]float64
		for i, e := range elements {
			v, err := strconv.ParseFloat(row[column[e.from]], 64)
			if err != nil {
				t.Fatal(row)
			}
			n[i] = math.Round(v * e.scale)
			key := fmt.Sprintf("%04d %02d %s", y, m, e.name)
			if values[key] == nil {
				values[key] = map[int]string{}
				order = append(order, key)
			}
			values[key][d] = fmt.Sprintf("%5.0f  E", n[i])
		}
		want = append(want, season.WeatherDay{
			Day: day, High: unit.Temperature(n[0]) / 10, Low: unit.Temperature(n[1]) / 10, Rain: unit.Water(n[2]) / 10, Snow: unit.Water(n[3]),
			Has: season.HasTemperature | season.HasRain | season.HasSnow,
		})
	}
	var file strings.Builder
	for _, key := range order {
		y, _ := strconv.Atoi(key[:4])
		m, _ := strconv.Atoi(key[5:7])
		file.WriteString(month(y, m, key[8:], values[key]) + "\n")
	}
	record, problems, err := ghcn.Read(strings.NewReader(file.String()), ghcn.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	if diff := cmp.Diff(want, record.Days, days); diff != "" {
		t.Error(diff)
	}
	if months := record.Months("a"); len(months) != 120 || len(record.Days) != 3652 {
		t.Errorf("%d months, %d days; the data set describes 3,652 days of 2009 to 2018", len(months), len(record.Days))
	}
}

func FuzzRead(f *testing.F) {
	f.Add(month(2027, 2, "TMAX", map[int]string{9: "   61  W", 30: "   1   "}))
	f.Add("USC00099999,20270209,PRCP,127,T,,7,0700\nUSC00099999,20270209,MDPR,127,,,7,0700\nUSC00099999,20270209,DAPR,3,,,7,0700")
	f.Add("USC00099999,20270209,PRCP,-9999,,,7,0700\n\xff\xfe")
	f.Add("ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\nUSW00099999,20270229,SN32,9999999999,,,7,9999")
	f.Add("EI000003980  55.3717   -7.3400   21.0    MALIN HEAD                     GSN     03980")
	f.Fuzz(func(t *testing.T, text string) {
		_, _ = ghcn.ParseStation(text)
		record, _, err := ghcn.Read(strings.NewReader(text), ghcn.Options{MorningReader: len(text)%2 == 0})
		if err != nil {
			return
		}
		for i, d := range record.Days {
			bad := d.Low > d.High || d.Rain < 0 || d.Snow < 0 || math.IsNaN(float64(d.Rain)) || d.Has == 0
			if bad || i > 0 && !record.Days[i-1].Day.Before(d.Day) {
				t.Fatalf("%+v", d)
			}
		}
	})
}
