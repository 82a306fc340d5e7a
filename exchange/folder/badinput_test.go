package folder_test

import (
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"culm/agronomy/calendar"
	"culm/exchange/folder"
	"culm/season"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// today is the day as of which the example is to be looked at.
func today() calendar.Day { return calendar.Date(2027, time.February, 10) }

// example is the folder examples/two-fields in memory, to be spoiled.
func example(tb testing.TB) fstest.MapFS {
	tb.Helper()
	files := fstest.MapFS{}
	root := os.DirFS("../../examples")
	err := fs.WalkDir(root, "two-fields", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(root, name)
		files[name] = &fstest.MapFile{Data: data, Mode: 0o644}
		return err
	})
	if err != nil {
		tb.Fatal(err)
	}
	return files
}

// replace changes a text in a file that must be there.
func replace(tb testing.TB, files fstest.MapFS, name, old, fresh string) {
	tb.Helper()
	f := files["two-fields/"+name]
	if f == nil || !strings.Contains(string(f.Data), old) {
		tb.Fatalf("%s does not hold %q", name, old)
	}
	f.Data = []byte(strings.ReplaceAll(string(f.Data), old, fresh))
}

func read(files fs.FS) (folder.Content, []season.Problem) {
	content, problems := folder.Read(files, "two-fields")
	return content, append(problems, content.Check(today())...)
}

// line writes a problem the way the command line does.
func line(p season.Problem) string {
	return fmt.Sprintf("%s:%d %s %s: %s | %s | %s", p.File, p.Line, p.Field, p.Severity, p.Message, p.Found, p.Expected)
}

// Each row spoils the example in one way and says what a person is then told: file, line, column, what was
// found and what was expected.
func TestBadInputIsNamed(t *testing.T) {
	for _, c := range []struct {
		name      string
		file      string
		old, with string
		want      string
	}{
		{
			"a column is missing", "readings.csv", "reference,means,pair,place,value", "reference,means,pair,place,reading",
			`readings.csv:1 value error: a column is missing | the columns field, strip, date, observer, instrument, reference, means, pair, place, reading | a column named value`,
		},
		{
			"a column has no unit", "weather/linden.csv", "rain_in", "rain",
			`weather/linden.csv:1 rain_in error: a column is missing | the columns date, low_f, high_f, rain, snow_in | a column named rain_in or rain_mm`,
		},
		{
			"an unknown column says what it may have meant", "weather/linden.csv", "snow_in", "snow_depth",
			`weather/linden.csv:1 snow_depth warning: the column is not known here and is left out | "snow_depth" | snow_in or snow_cm or snow_mm`,
		},
		{
			"a header stands twice", "prices.csv", "price,low,high", "price,low,low",
			`prices.csv:1 low error: two columns have the same name | "low" | each column once`,
		},
		{
			"two columns are swapped", "soil.csv", "sample,field,date,lab", "sample,date,field,lab",
			`soil.csv:2 date error: the date cannot be read | "north-80" | year-month-day, such as 2027-02-10; column field of the same row holds a date: are the two swapped?`,
		},
		{
			"low and high are swapped", "weather/linden.csv", "low_f,high_f", "high_f,low_f",
			`weather/linden.csv:2 low error: on most days the low is above the high; the columns may be swapped | 162 of 162 days | low below high`,
		},
		{
			"a decimal comma", "readings.csv", "reference,0.63", "reference,0,63",
			`readings.csv:2  error: the row has the wrong number of columns | 11 columns | 10 columns, as in the first row; decimal numbers need a point, as in 12.5, not a comma`,
		},
		{
			"a decimal comma in quotation marks", "readings.csv", "reference,0.63", `reference,"0,63"`,
			`readings.csv:2 value error: the number cannot be read | "0,63" | digits with a point in decimal numbers, such as 0.63`,
		},
		{
			"semicolons between the columns", "readings.csv", ",", ";",
			`readings.csv:1  error: the columns are separated by semicolons | field;strip;date;observer;instrument;reference;means;pair;place;value | columns separated by commas, and a point in decimal numbers; save it as "CSV (comma delimited)"`,
		},
		{
			"tabs between the columns", "readings.csv", ",", "\t",
			`readings.csv:1  error: the columns are separated by tabs | field\tstrip\tdate\tobserver\tinstrument\treference\tmeans\tpair\tplace\tvalue | columns separated by commas, and a point in decimal numbers; save it as "CSV (comma delimited)"`,
		},
		{
			"Fahrenheit in a column for Celsius", "weather/linden.csv", "low_f,high_f", "low_c,high_c",
			`weather/linden.csv:2 high error: it has never been that hot; the temperatures look like Fahrenheit in a column for Celsius | 2026-09-01: 88.0 °C | degrees Celsius, or columns named low_f and high_f`,
		},
		{
			"Fahrenheit in the forecast's Celsius", "forecast/linden.csv", "low_f,high_f", "low_c,high_c",
			`forecast/linden.csv:4 high error: it has never been that hot; the temperatures look like Fahrenheit in a column for Celsius | 2027-02-12: 58.0 °C | degrees Celsius`,
		},
		{
			"latitude before longitude in a boundary", "boundaries.geojson", "[[[-99.6012,38.3104],[-99.592,38.3104],[-99.592,38.314],[-99.6012,38.314],[-99.6012,38.3104]]]",
			"[[[38.3104,-99.6012],[38.3104,-99.592],[38.314,-99.592],[38.314,-99.6012],[38.3104,-99.6012]]]",
			`boundaries.geojson:2 polygon 1, outline, point 1 error: field north-80: latitude and longitude look reversed | longitude 38.3104, latitude -99.6012 | longitude first, then latitude from -90 to 90`,
		},
		{
			"a field on the wrong side of Greenwich", "boundaries.geojson", "-99.", "99.",
			`boundaries.geojson:2  warning: field north-80: the field lies far from its station and from the other fields | 38.31220 N 99.59660 E, 11274 km from the nearest | a field within 200 km of its station or of the other fields`,
		},
		{
			"latitude and longitude of a station are reversed", "season.yaml", "lat: 38.295\n    lon: -99.58", "lat: -99.58\n    lon: 38.295",
			`season.yaml:19 lat error: latitude and longitude of station linden look reversed | latitude -99.58, longitude 38.295 | a latitude from -90 to 90; west is a negative longitude`,
		},
		{
			"a boundary crosses itself", "boundaries.geojson", "[[[-99.6012,38.3104],[-99.592,38.3104],[-99.592,38.314],[-99.6012,38.314],", "[[[-99.6012,38.3104],[-99.592,38.314],[-99.592,38.3104],[-99.6012,38.314],",
			`boundaries.geojson:2 polygon 1, outline error: field north-80: the outline crosses itself or another ring, so its area cannot be told | a crossing at 38.31220 N 99.59660 W | rings that do not cross`,
		},
		{
			"two fields have one name", "season.yaml", "name: Creek 40\n    producer: brackwater", "name: North 80\n    producer: sorrel",
			`season.yaml:37 name error: two fields of one producer have the same name, ids north-80 and creek-40 | North 80 | a name of its own for each field`,
		},
		{
			"two fields have one id", "season.yaml", "id: creek-40", "id: north-80",
			`season.yaml:37  error: this field is described twice, and nothing tells which holds; first at season.yaml:25 | north-80 | one description, or a correction that names the other in "supersedes"`,
		},
		{
			"a reading before planting", "readings.csv", "creek-40,B,2027-02-09", "creek-40,B,2026-09-09",
			`readings.csv:22 date error: a reading is dated before field creek-40 was planted | 2026-09-09 | a day from 2026-09-12 on, or another field`,
		},
		{
			"a reading still to come", "readings.csv", "creek-40,B,2027-02-09", "creek-40,B,2027-03-09",
			`readings.csv:22 date warning: a reading is dated after today and is not counted yet | 2027-03-09 | a day up to 2027-02-10`,
		},
		{
			"an index below zero", "readings.csv", "8,beside,0.52", "8,beside,-0.52",
			`readings.csv:17 value error: a reading is outside of its scale | -0.52 | a greenness index from 0 to 1`,
		},
		{
			"an index above one", "readings.csv", "8,beside,0.52", "8,beside,52",
			`readings.csv:17 value error: a reading is outside of its scale | 52 | a greenness index from 0 to 1`,
		},
		{
			"half a pair", "readings.csv", "8,beside,0.52", "18,beside,0.52",
			`readings.csv:16 pair warning: a pair of readings has one side only | pair 8 | one reading on the reference and one beside it`,
		},
		{
			"an unknown field", "readings.csv", "creek-40", "creek-60",
			`readings.csv:22 field error: there is no field with this id | "creek-60" | one of: creek-40, north-80`,
		},
		{
			"an unknown producer", "season.yaml", "producer: sorrel", "producer: sorell",
			`season.yaml:25 producer error: there is no producer with this id | "sorell" | one of: brackwater, sorrel`,
		},
		{
			"an unknown station", "season.yaml", "station: linden", "station: lindn",
			`season.yaml:25 station error: there is no station with this id, which stands 2 times in this file | "lindn" | one of: linden`,
		},
		{
			"an unknown crop", "season.yaml", "crop: canola", "crop: rape",
			`season.yaml:40 crop error: the word is not known | "rape" | wheat-grain, wheat-grazed, wheat-graze-out or canola`,
		},
		{
			"an amount without a unit", "season.yaml", "yield-goal: 55 bu/ac", "yield-goal: 55",
			`season.yaml:34 yield-goal error: the amount has no unit | "55" | a number and bu/ac, lb/ac, t/ha or kg/ha, such as 45 bu/ac`,
		},
		{
			"an amount in an unknown unit", "season.yaml", "area: 80 ac", "area: 80 morgen",
			`season.yaml:35 area error: the unit is not known here | "80 morgen" | a number and ac or ha`,
		},
		{
			"a key that is unknown", "season.yaml", "tillage: no-till", "tilage: no-till",
			`season.yaml:31 tilage warning: the key is not known here and is left out | "tilage" | one of id, name, producer, crop, station, stations, stations-within, planted, elongation-seen, tillage, texture, previous-crop, yield-goal, area, heads, head-mass, grazing-days, herbicide-due, note, entry`,
		},
		{
			"a key stands twice", "season.yaml", "texture: silt-loam", "crop: canola",
			`season.yaml:32 crop error: a key stands twice | "crop" | each key once`,
		},
		{
			"season.yaml is not YAML", "season.yaml", "  units: us", "\tunits: us",
			`season.yaml:8  error: the file is not readable as YAML: found a tab character that violates indentation |  | keys and values such as "name: Linden Flats", lists with - in front, spaces and no tabs before them`,
		},
		{
			"an alias that names nothing", "season.yaml", "texture: silt-loam", "texture: *crop",
			`season.yaml:0  error: the file is not readable as YAML: unknown anchor 'crop' referenced |  | keys and values such as "name: Linden Flats", lists with - in front, spaces and no tabs before them`,
		},
		{
			"an alias", "season.yaml", "id: sorrel\n    name: Hedda Sorrel", "id: sorrel\n    name: &name Hedda\n  - id: other\n    name: *name",
			`season.yaml:16 name error: the value cannot be read | an alias, *name | one word or number`,
		},
		{
			"days are missing from the weather", "weather/linden.csv", "2026-11-03,", "2026-11-02,",
			`weather/linden.csv:2 date warning: days are missing from the log of station linden | 2026-11-03 | every day; leave cells empty where nothing was measured`,
		},
		{
			"a day stands twice in the weather", "weather/linden.csv", "2026-11-03,", "2026-11-02,",
			`weather/linden.csv:65 date error: a day stands twice in the log of station linden | 2026-11-02 | each day once`,
		},
		{
			"the forecast is over", "forecast/linden.csv", "2027-02-1", "2027-01-1",
			`forecast/linden.csv:2 date warning: the forecast for station linden is over, so nothing is known of the days to come | its last day is 2027-01-19 | a forecast that reaches past 2027-02-10`,
		},
		{
			"the forecast is old", "forecast/linden.csv", "2027-02-10T05", "2027-02-05T05",
			`forecast/linden.csv:2 issued warning: the forecast for station linden was issued 5 days ago | 2027-02-05 | one of the last 3 days`,
		},
		{
			"a price of zero", "prices.csv", "urea,560,530", "urea,0,0",
			`prices.csv:4 price error: the price of urea is not above zero | $0/kg | what it costs or brings`,
		},
		{
			"a negative price", "prices.csv", "pass/stream,8.50", "pass/stream,-8.50",
			`prices.csv:9 price error: the price of pass/stream is not above zero | $-21/ha | what the pass costs`,
		},
		{
			"a price in an unknown unit", "prices.csv", "$/ton,2027-02-08", "$/bag,2027-02-08",
			`prices.csv:4 unit error: the unit does not suit a price of "urea" | "$/bag" | $/ton, $/t, $/lb or $/kg; prices are written with $ whatever the currency`,
		},
		{
			"an unknown product", "prices.csv", "uan-28,", "uan28,",
			`prices.csv:5 item error: there is no product, grain or pass of this name | "uan28" | wheat, canola or gain; urea, urea-inhibitor, uan-28, uan-32, ammonium-sulfate or ammonium-thiosulfate; monoammonium-phosphate, diammonium-phosphate, triple-superphosphate, potassium-chloride, gypsum, elemental-sulfur or lime; pass/broadcast, pass/flat-fan or pass/stream`,
		},
		{
			"a date with points", "visits.csv", "2027-02-09", "09.02.2027",
			`visits.csv:2 date error: the date cannot be read | "09.02.2027" | year-month-day, such as 2027-02-10`,
		},
		{
			"a date with slashes", "visits.csv", "2027-02-09", "2/9/2027",
			`visits.csv:2 date error: the date cannot be read | "2/9/2027" | year-month-day, such as 2027-02-10`,
		},
		{
			"the thirtieth of February", "visits.csv", "2027-02-09", "2027-02-30",
			`visits.csv:2 date error: the date cannot be read | "2027-02-30" | year-month-day, such as 2027-02-10`,
		},
		{
			"a soil sample of no field", "soil.csv", "LF-102,creek-40", "LF-102,",
			`soil.csv:4 field error: the cell is empty | nothing | a value; this column is needed in every row`,
		},
		{
			"a stage without its scale", "visits.csv", "feekes,4", ",4",
			`visits.csv:2 stage error: a stage needs its scale, and a scale its stage | nothing | both, such as feekes and 5, or neither`,
		},
		{
			"a share in place of percent is taken at its word, one beyond all is not", "visits.csv", "bbch,19,,15,52", "bbch,19,,150,52",
			`visits.csv:3 residue error: a share of the ground is outside of none and all | 150 % | 0 to 100 %`,
		},
		{
			"cattle where none graze", "season.yaml", "area: 80 ac", "area: 80 ac\n    heads: 60",
			`season.yaml:25 heads warning: field north-80 has cattle but its crop is not grazed | winter wheat for grain | crop wheat-grazed or wheat-graze-out, or no cattle`,
		},
		{
			"a quotation mark that is never closed", "visits.csv", `"Outer leaves`, `"Outer" leaves`,
			`visits.csv:3  error: text follows a closing quotation mark |  | cells between commas, in quotation marks if they hold commas or quotation marks`,
		},
		{
			"an empty file", "soil.csv", "", "",
			`soil.csv:1  error: the file is empty |  | something to read; take the file out of the folder if there is nothing to say`,
		},
		{
			"zero bytes", "soil.csv", "LF-102,creek-40,2026", "LF-102,creek\x0040,2026",
			`soil.csv:4  error: the file holds zero bytes, so it is not plain text | a zero byte | text in UTF-8, saved as CSV or plain text`,
		},
		{
			"a wildly long row", "soil.csv", "LF-102,creek-40,2026", "LF-102," + strings.Repeat("creek", 1<<20) + ",2026",
			`soil.csv:4  error: the row is too long for a table |  | cells between commas, in quotation marks if they hold commas or quotation marks`,
		},
		{
			"an id that names no file", "season.yaml", "id: north-80", "id: ../north",
			`season.yaml:25 id error: the id of a field cannot name a file | "../north" | letters, digits and hyphens, such as north-80`,
		},
		{
			"a field without a boundary", "boundaries.geojson", `"creek-40"`, `"north-80"`,
			`season.yaml:37  warning: field creek-40 has no boundary, so it has no map and its area is as given |  | a feature in boundaries.geojson whose property "field" is creek-40`,
		},
		{
			"a feature that is not an area", "boundaries.geojson", `"Polygon"`, `"LineString"`,
			`boundaries.geojson:2 geometry error: a field is bounded by an area | "LineString" | a Polygon or a MultiPolygon`,
		},
		{
			"GeoJSON in metres", "boundaries.geojson", `"features"`, `"crs": {"type": "name", "properties": {"name": "EPSG:32614"}}, "features"`,
			`boundaries.geojson:1 crs error: the coordinates are not in longitude and latitude of WGS 84 | EPSG:32614 | degrees of WGS 84, without a crs member`,
		},
		{
			"GeoJSON that breaks off", "boundaries.geojson", "]}\n", "",
			`boundaries.geojson:4  error: the file ends in the middle |  | a GeoJSON FeatureCollection, with a field's id in each feature's property "field"`,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := example(t)
			if c.old == "" {
				files["two-fields/"+c.file].Data = nil
			} else {
				replace(t, files, c.file, c.old, c.with)
			}
			_, problems := read(files)
			var got []string
			for _, p := range problems {
				text := line(p)
				if text == c.want {
					return
				}
				got = append(got, line(p))
			}
			t.Errorf("got\n%s\nwant among them\n%s", strings.Join(got, "\n"), c.want)
		})
	}
}

// What is wrong in ten files is reported in one go, and a row that is wrong costs no other.
func TestEverythingIsReportedAtOnce(t *testing.T) {
	files := example(t)
	replace(t, files, "season.yaml", "crop: canola", "crop: rape")
	replace(t, files, "readings.csv", "8,beside,0.52", "8,beside,oops")
	replace(t, files, "prices.csv", "urea,560", "urea,")
	replace(t, files, "visits.csv", "2027-02-09", "9 February")
	files["two-fields/soil.csv"].Data = nil
	content, problems := folder.Read(files, "two-fields")
	where := map[string]int{}
	for _, p := range problems {
		where[p.File]++
	}
	for _, file := range []string{"season.yaml", "readings.csv", "prices.csv", "visits.csv", "soil.csv"} {
		if where[file] == 0 {
			t.Errorf("nothing is said of %s: %v", file, where)
		}
	}
	s := season.Assemble(content.Entries)
	if n := len(s.Readings["north-80"][0].Readings); n != 19 {
		t.Errorf("one reading of 20 is wrong, and %d are kept", n)
	}
}

// A file that is wrong all through is not listed to the end, and what is left out is counted.
func TestManyProblemsAreCounted(t *testing.T) {
	files := example(t)
	replace(t, files, "readings.csv", "2027-02-09", "2/9/2027")
	_, problems := folder.Read(files, "two-fields")
	last := problems[len(problems)-1]
	if len(problems) != 26 || last.Message != "and 15 more errors in this file" || last.Severity != season.Fatal {
		t.Errorf("%d problems, the last one %s; want 25 and a count of the other 15", len(problems), line(last))
	}
	// Warnings do not push errors out of the list.
	for range 100 {
		files["two-fields/prices.csv"].Data = append(files["two-fields/prices.csv"].Data, "urea,560,,,$/ton,2027-03-08,x\n"...)
	}
	replace(t, files, "prices.csv", "pass/stream,8.50", "pass/stream,0")
	content, _ := folder.Read(files, "two-fields")
	found := false
	for _, p := range content.Check(today()) {
		found = found || p.Severity == season.Fatal && p.File == "prices.csv" && p.Line == 9
	}
	if !found {
		t.Error("the price of zero was lost among warnings")
	}
}

func TestTextInOtherEncodings(t *testing.T) {
	encode := func(files fstest.MapFS, name string, how func(string) ([]byte, error)) {
		data, err := how(string(files["two-fields/"+name].Data))
		if err != nil {
			t.Fatal(err)
		}
		files["two-fields/"+name].Data = data
	}
	utf16 := func(order unicode.Endianness) func(string) ([]byte, error) {
		return func(s string) ([]byte, error) {
			return unicode.UTF16(order, unicode.UseBOM).NewEncoder().Bytes([]byte(s))
		}
	}
	want, _ := folder.Read(example(t), "two-fields")
	for name, how := range map[string]func(string) ([]byte, error){
		"UTF-8 with a byte order mark": func(s string) ([]byte, error) { return []byte("\uFEFF" + s), nil },
		"UTF-16, little end first":     utf16(unicode.LittleEndian),
		"UTF-16, big end first":        utf16(unicode.BigEndian),
		"Windows line ends":            func(s string) ([]byte, error) { return []byte(strings.ReplaceAll(s, "\n", "\r\n")), nil },
	} {
		files := example(t)
		for _, file := range []string{"season.yaml", "readings.csv", "boundaries.geojson", "weather/linden.csv"} {
			encode(files, file, how)
		}
		got, problems := folder.Read(files, "two-fields")
		if len(problems) > 0 || len(got.Entries) != len(want.Entries) {
			t.Errorf("%s: %d entries, want %d; %v", name, len(got.Entries), len(want.Entries), problems)
		}
	}
	for name, c := range map[string]struct {
		how  func(string) ([]byte, error)
		want string
	}{
		"a code page of Windows": {
			func(s string) ([]byte, error) {
				return charmap.Windows1252.NewEncoder().Bytes([]byte(strings.Replace(s, "Ivo Pell", "Ivo Péll", 1)))
			},
			`visits.csv:2  error: the file is not in UTF-8 | byte 0xE9 | text in UTF-8; save it as "CSV UTF-8"`,
		},
		"UTF-16 without a mark": {
			func(s string) ([]byte, error) {
				return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewEncoder().Bytes([]byte(s))
			},
			`visits.csv:1  error: the file holds zero bytes, so it is not plain text | a zero byte | text in UTF-8, saved as CSV or plain text`,
		},
	} {
		files := example(t)
		encode(files, "visits.csv", c.how)
		_, problems := folder.Read(files, "two-fields")
		if len(problems) != 1 || line(problems[0]) != c.want {
			t.Errorf("%s: %v\nwant %s", name, problems, c.want)
		}
	}
}
