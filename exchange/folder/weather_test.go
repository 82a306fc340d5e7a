package folder

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

// district is a folder with the weather of many stations, which is most of what a season's files weigh.
func district(stations, days int) fstest.MapFS {
	files := fstest.MapFS{"district/season.yaml": {Data: []byte("season: {name: x, harvest-year: 2027, units: metric}\n"), Mode: 0o644}}
	first := calendar.Date(2026, time.September, 1)
	for station := range stations {
		var b strings.Builder
		b.WriteString("date,low_c,high_c,rain_mm,snow_cm\n")
		for i := range days {
			fmt.Fprintf(&b, "%v,%.1f,%.1f,%.1f,%d\n", first.Add(i), 8-float64(i%23)*0.7, 19-float64(i%29)*0.6, float64(i%7)*float64(station%5)*0.3, i%3)
		}
		name := fmt.Sprintf("district/weather/s%04d.csv", station)
		files[name] = &fstest.MapFile{Data: []byte(b.String()), Mode: 0o644}
	}
	return files
}

// The weather of a thousand stations from planting to spring is read in about 0.3 s of one core.
func BenchmarkWeatherOfAThousandStations(b *testing.B) {
	files := district(1000, 250)
	size := int64(0)
	for _, f := range files {
		size += int64(len(f.Data))
	}
	b.SetBytes(size)
	b.ReportAllocs()
	for b.Loop() {
		if c, problems := Read(files, "district"); len(c.Entries) != 9001 || len(problems) > 0 {
			b.Fatal(len(c.Entries), problems)
		}
	}
	var after runtime.MemStats
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.HeapSys)/(1<<20), "MB-heap")
}

func BenchmarkWeatherInFahrenheit(b *testing.B) {
	files := district(100, 250)
	for name, f := range files {
		f.Data = []byte(strings.Replace(string(f.Data), "low_c,high_c,rain_mm,snow_cm", "low_f,high_f,rain_in,snow_in", 1))
		files[name] = f
	}
	for b.Loop() {
		if c, problems := Read(files, "district"); len(c.Entries) != 901 || len(problems) > 0 {
			b.Fatal(len(c.Entries), problems)
		}
	}
}

func BenchmarkCheckAThousandStations(b *testing.B) {
	c, _ := Read(district(1000, 250), "district")
	for b.Loop() {
		c.Check(calendar.Date(2027, time.February, 10))
	}
}

// Files are read several at a time; what comes out is always in the same order.
func TestReadingInParallelKeepsTheOrder(t *testing.T) {
	files := district(60, 40)
	files["district/weather/s0007.csv"].Data = []byte("nonsense\n")
	first, wrong := Read(files, "district")
	for range 20 {
		again, problems := Read(files, "district")
		if len(again.Entries) != len(first.Entries) || len(problems) != len(wrong) {
			t.Fatalf("%d entries and %d problems, then %d and %d", len(first.Entries), len(wrong), len(again.Entries), len(problems))
		}
		for i := range first.Entries {
			if again.Entries[i].ID != first.Entries[i].ID {
				t.Fatalf("entry %d is another one", i)
			}
		}
		for i := range wrong {
			if problems[i] != wrong[i] {
				t.Fatalf("problem %d is another one", i)
			}
		}
	}
}

// A month of weather is an entry of its own, so that a log which has grown by a day changes only the last.
func TestALogThatGrowsChangesItsLastMonthOnly(t *testing.T) {
	ids := func(days int) map[string]bool {
		c, problems := Read(district(1, days), "district")
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		ids := map[string]bool{}
		for _, e := range c.Entries {
			if e.Body.Kind() == season.KindWeather {
				ids[e.ID] = true
			}
		}
		return ids
	}
	before, after := ids(100), ids(101)
	kept := 0
	for id := range before {
		if after[id] {
			kept++
		}
	}
	if len(before) != 4 || len(after) != 4 || kept != 3 {
		t.Errorf("%d months, then %d, of which %d are as before; want 4, 4 and 3", len(before), len(after), kept)
	}
}

// What was not measured is missing and not zero.
func TestMissingWeatherIsNotZero(t *testing.T) {
	files := district(1, 1)
	files["district/weather/s0000.csv"].Data = []byte("date,low_c,high_c,rain_mm,snow_cm\n2026-11-01,,,0,\n2026-11-02,-1,5,,0\n2026-11-03,2,,1,\n")
	c, problems := Read(files, "district")
	var w *season.Weather
	for _, e := range c.Entries {
		if body, ok := e.Body.(*season.Weather); ok {
			w = body
		}
	}
	want := []season.Parts{season.HasRain, season.HasTemperature | season.HasSnow, season.HasRain}
	for i, d := range w.Days {
		if d.Has != want[i] {
			t.Errorf("%v has parts %b, want %b", d.Day, d.Has, want[i])
		}
	}
	if len(problems) != 1 || problems[0].Line != 4 || problems[0].Severity != season.Doubtful {
		t.Errorf("a low without a high should be doubted on line 4: %+v", problems)
	}
}
