package folder

import (
	"archive/zip"
	"bytes"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// What anybody may send is read without harm: nothing panics, problems name the file and a line that is
// there, and what was read without an error can be written and read back the same.

// exampleFiles is the folder examples/two-fields.
func exampleFiles(tb testing.TB) map[string][]byte {
	tb.Helper()
	files := map[string][]byte{}
	root := filepath.FromSlash("../../examples/two-fields")
	err := filepath.WalkDir(root, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		inside, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		files[filepath.ToSlash(inside)], err = os.ReadFile(name)
		return err
	})
	if err != nil {
		tb.Fatal(err)
	}
	return files
}

// readAndWriteBack reads a folder in which one file is hostile.
func readAndWriteBack(t *testing.T, files map[string][]byte, hostile string) {
	content, problems := inMemory(files).read()
	problems = append(problems, content.Check(calendar.Date(2027, time.February, 10))...)
	fatal := false
	for _, p := range problems {
		fatal = fatal || p.Severity == season.Fatal
		if p.Message == "" || p.Severity != season.Fatal && p.Severity != season.Doubtful {
			t.Fatalf("a problem without words or weight: %+v", p)
		}
		if p.File == hostile && (p.Line < 0 || p.Line > linesOf(files[hostile])) {
			t.Fatalf("there is no line %d in %s: %+v", p.Line, hostile, p)
		}
	}
	if fatal {
		return
	}
	for _, units := range []unit.System{unit.US, unit.Metric} {
		back, err := encode(content.Entries, units)
		if err != nil {
			t.Fatalf("read but cannot be written in %s units: %v", units, err)
		}
		if again, problems := inMemory(back).read(); len(again.Entries) != len(content.Entries) || len(problems) > 0 {
			t.Fatalf("%d entries written, %d read back, %v", len(content.Entries), len(again.Entries), problems)
		}
	}
}

// linesOf counts lines as YAML does, for which some signs of Unicode end a line as well.
func linesOf(data []byte) int {
	if text, ok := decode(data, &report{}); ok {
		data = text
	}
	n := 1 + lineEnds(data)
	for _, end := range []string{"\u0085", "\u2028", "\u2029"} {
		n += bytes.Count(data, []byte(end))
	}
	return n
}

// fuzzFile makes one file of the example hostile.
func fuzzFile(f *testing.F, name string, seeds ...string) {
	files := exampleFiles(f)
	if data, ok := files[name]; ok {
		f.Add(firstLines(data, 60))
	}
	for _, seed := range seeds {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		spoiled := map[string][]byte{settingsFile: files[settingsFile], name: data}
		readAndWriteBack(t, spoiled, name)
	})
}

func firstLines(data []byte, n int) []byte {
	lines := bytes.SplitAfter(data, []byte("\n"))
	return bytes.Join(lines[:min(n, len(lines))], nil)
}

func FuzzSettings(f *testing.F) {
	fuzzFile(f, settingsFile,
		"season: {harvest-year: 2027, units: metric, maximum-yield: {value: 9 t/ha, kind: assumed, why: \"a: b\"}}\n",
		"season:\n  calibration: {label: x, a: 1, b: 2, c: 3, d: 4, efficiency: 50 %}\n  lead-wheat: [a, b]\n",
		"fields: [{id: a, name: b, producer: c, crop: canola, heads: 3, head-mass: 500 lb, grazing-days: 40 days}]",
		"a: &a [1]\nb: [*a, *a]\n", "season: |\n  x\n---\nother", "? [a]\n: b\n", "\"", "\t", "[[[[[[[[", "- - - - x",
		"producers:\n- {id: x, name: \"\", entry: {id: y, writer: z, observed: none, recorded: 2027-01-01T00:00:00Z, supersedes: w}}\n")
}

func FuzzBoundaries(f *testing.F) {
	fuzzFile(f, boundariesFile,
		`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"field":"north-80","entry":{"id":"a","observed":"none","recorded":"2027-01-01"}},"geometry":{"type":"MultiPolygon","coordinates":[[[[0,0,5],[1,0],[1,1]]]]}}]}`,
		`{"features":[null,1,{"type":"Feature","properties":[],"geometry":{}}],"type":1}`, `{"features":{}}`, `[]`, `{"type":"FeatureCollection","features":[`,
		`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"field":"x"},"geometry":{"type":"Polygon","coordinates":[[[1e999,0],[null,0]]]}}]}`)
}

func FuzzReadings(f *testing.F) {
	fuzzFile(f, "readings.csv",
		"field,date,reference,means,place,value,along_ft,id,writer,observed,recorded,supersedes\nnorth-80,2027-02-03,strip,eye,beside,7,12.5,a,b,none,2027-02-03T00:00:00.5-06:00,c\n",
		"field;date\na;b\n", "\ufefffield\n", "\"", "field,field\n", "\xff\xfef\x00i\x00e\x00l\x00d\x00")
}

func FuzzRamps(f *testing.F) {
	fuzzFile(f, "ramps.csv", "field,date,observer,n_lb_ac,better\nnorth-80,2027-02-03,x,20,yes\nnorth-80,2027-02-03,x,40,no\n", "field,date,n_kg_ha,better\n'=x,2027-02-03,1e-320,no\n")
}

func FuzzVisits(f *testing.F) {
	fuzzFile(f, "visits.csv", "field,date,green_pct,green_from,hollow_stem_mm,fresh_lb_ac\nnorth-80,2027-02-03,40,\"kind: assumed; why: a\\; b; on: \",12,3000\n")
}

func FuzzSoil(f *testing.F) {
	fuzzFile(f, "soil.csv", "sample,field,date,top_cm,bottom_cm,ph,nitrate_n_ppm,nitrate_n_method,aluminium_ppm\ns,north-80,2026-09-01,0,15,6.5,<1,kcl,1e5\n")
}

func FuzzSpots(f *testing.F) {
	fuzzFile(f, "spots.csv", "spot,field,date,observer,kind,pair,sample,lon,lat,note\n1,north-80,2027-02-03,x,poor,P,s,-99.6,38.31,\"a\nb\"\n")
}

func FuzzApplied(f *testing.F) {
	fuzzFile(f, "applied.csv", "field,date,product,n_lb_ac,placement,by,note\nnorth-80,2027-02-03,urea,46,broadcast,x,-\n")
}

func FuzzHarvest(f *testing.F) {
	fuzzFile(f, "harvest.csv", "field,date,part,yield_bu_ac,yield_lb_ac,protein_pct,protein_from\ncreek-40,2027-06-20,field,45,,,\nnowhere,2027-06-20,field,,3000,12,with: x\n")
}

func FuzzPrices(f *testing.F) {
	fuzzFile(f, "prices.csv", "item,price,low,high,unit,date\nwheat,5,4,6,$/bu,2027-02-01\npass/stream,8,,,$/ac,2027-02-01\nhay,1,,,$/t,2027-02-01\n")
}

func FuzzTrials(f *testing.F) {
	fuzzFile(f, "trials.csv", "trial,crop,year,by,n_lb_ac,yield_bu_ac\nt,canola,2025,x,0,20\nt,canola,2025,x,60,35\n")
}

func FuzzWeather(f *testing.F) {
	fuzzFile(f, "weather/linden.csv", "date,low_c,high_c,rain_mm,snow_cm,id\n2026-09-02,1,2,3,4,a\n2026-09-01,,,,,a\n2026-10-01,1,,0,,\n", "date,high_f,low_f,rain_in\n0000-01-01,1,1,1\n9999-12-31,-459.67,1e300,0\n")
}

func FuzzForecast(f *testing.F) {
	fuzzFile(f, "forecast/linden.csv", "issued,date,low_c,high_c,rain_mm,rain_chance_pct,wind_km_h,humidity_pct,snow_cm,by\n2027-02-10,2027-02-10,1,2,0,5,20,60,0,x\n2027-02-10T00:00:00+01:00,2027-02-10,1,2,0,5,,,,x\n")
}

func FuzzForecastHours(f *testing.F) {
	fuzzFile(f, "forecast/linden.csv",
		"issued,time,hours,temperature_c,rain_mm,wind_km_h,by\n2027-02-10T05:30:00-06:00,2027-02-11T00:00:00-06:00,12,1,2,3,x\n2027-02-10T05:30:00-06:00,2027-02-11 12:00,13,1,2,3,x\n",
		"issued,time,rain_in\n2027-02-10,2027-02-11T00:00,1e300\n2027-02-10,0001-01-01T00:00,1\n",
		"issued,date,time,low_c,high_c,temperature_c,dew_point_c,gust_mph,cloud_pct\n2027-02-10,2027-02-11,,1,2,,,,\n2027-02-10,,2027-02-11T00:00:00+00:00,,,3,-300,1,2\n")
}

func FuzzForecastJSON(f *testing.F) {
	fuzzFile(f, "forecast/linden.json",
		`{"issued":"2027-02-10T05:30:00-06:00","by":"x","days":[{"date":"2027-02-11","low_c":1,"high_c":2,"rain_mm":0.5}]}`,
		`{"issued":"2027-02-10","hours":[{"time":"2027-02-11T00:00:00-06:00","hours":24,"rain_mm":3,"wind_m_s":null},{"time":"2027-02-12T00:00"}]}`,
		`{"issued":"2027-02-10","days":[{"date":"2027-02-11"}],"hours":[{"time":"2027-02-11T00:00:00+05:45"}]}`, `{"issued":1,"days":[{"":"a,\n\"b"}]}`, `{"properties":{"updateTime":"2027-02-10T00:00:00Z"}}`)
}

func FuzzNetworkLog(f *testing.F) {
	fuzzFile(f, "weather/linden.dly",
		"USC00099999,20270209,PRCP,127,,,7,0700\nUSC00099999,20270209,TMAX,12,,,7,\nUSC00099999,20270209,TMIN,-12,,,7,\n",
		"USW00099999202702SNWD   10  W   20  W-9999   -9999   ")
}

func FuzzEntries(f *testing.F) {
	fuzzFile(f, entriesFile,
		`{"format":"culm.entry/1","id":"a","supersedes":"b","recorded":"2027-02-09T00:00:00Z","writer":"w","withdrawn":true}`+"\n",
		`{"format":"culm.entry/1","id":"a","recorded":"2027-02-09T00:00:00Z","writer":"w","kind":"producer","version":1,"subject":"p","body":{"id":"p","name":"P"}}`,
		`{"format":"culm.entry/1","id":"a","recorded":"2027-02-09T00:00:00Z","writer":"w","kind":"omen","version":9,"subject":"p","body":{"x":1}}`, "{}", "\n\n[")
}

// FuzzZip makes the container hostile and not what is in it.
func FuzzZip(f *testing.F) {
	files := exampleFiles(f)
	for _, root := range []string{"", "two-fields/", `two-fields\`} {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for _, name := range []string{settingsFile, "prices.csv", "weather/linden.csv"} {
			part, err := w.Create(root + name)
			if err != nil {
				f.Fatal(err)
			}
			if _, err := part.Write(firstLines(files[name], 20)); err != nil {
				f.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			f.Fatal(err)
		}
		f.Add(out.Bytes())
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		_, problems := Read(fstest.MapFS{"a.zip": &fstest.MapFile{Data: data}}, "a.zip")
		for _, p := range problems {
			if strings.Contains(p.File, "..") && path.Clean(p.File) == ".." {
				t.Fatalf("a file outside of the folder: %+v", p)
			}
		}
	})
}

func FuzzNumber(f *testing.F) {
	for _, seed := range []string{"12.5", "-0", "1e-400", "0.1e400", "99999999999999999999", "1.", ".", "+.5e+1", "3.14159265358979323846264338327950288"} {
		f.Add(seed, 0)
	}
	all := every()
	f.Fuzz(func(t *testing.T, text string, which int) {
		s := all[((which%len(all))+len(all))%len(all)]
		v, ok := s.parse([]byte(text))
		if !ok {
			return
		}
		if exact := s.slow([]byte(text)); exact != v {
			t.Fatalf("%q %s is %v, exactly %v", text, s.symbol, v, exact)
		}
		written := s.format(v)
		if again, ok := s.parse([]byte(written)); !ok || again != v {
			t.Fatalf("%q %s is %v, written %q, read back %v, %v", text, s.symbol, v, written, again, ok)
		}
	})
}

func FuzzOrigin(f *testing.F) {
	f.Add("with: photo; by: T. Amsel; on: 2027-02-03")
	f.Add(`why: a\; b\\; kind: assumed; on: `)
	f.Fuzz(func(t *testing.T, text string) {
		usual := seenBy("x", calendar.Date(2027, time.February, 3))
		o := usual
		if readOrigin(text, &o) != nil {
			return
		}
		back := usual
		if err := readOrigin(writeOrigin(o, usual), &back); o != usual && (err != nil || back != o) {
			t.Fatalf("%q is %+v, written %q, read back %+v, %v", text, o, writeOrigin(o, usual), back, err)
		}
	})
}
