package folder

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

const sixInches unit.Length = 0.1524 // as the table makes it of 6 in; 6 * unit.Inch is a bit less

var (
	inWinter = calendar.Date(2027, time.February, 10)
	// sampledInAugust is the day of LF-102 in examples/two-fields.
	sampledInAugust = calendar.Date(2026, time.August, 27)
)

// copied is a copy of examples/two-fields that may be written to.
func copied(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "season")
	if err := os.CopyFS(dir, os.DirFS("../../examples/two-fields")); err != nil {
		t.Fatal(err)
	}
	return dir
}

func soilOf(t *testing.T, dir string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, soilFile))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func tested(sample, field string, bottom unit.Length, results ...season.Result) *season.Soil {
	return &season.Soil{Sample: sample, Field: field, Day: calendar.Date(2026, time.November, 3), Lab: "Flats, Laboratory", Bottom: bottom, Results: results}
}

// What stands in the table stays to the byte; the new sample comes below it, its columns behind.
func TestSamplesAreAddedBelow(t *testing.T) {
	dir := copied(t)
	before := soilOf(t, dir)
	added, problems, err := AddSoil(dir, []*season.Soil{
		tested("LF-103", "north-80", sixInches, season.Result{Analyte: season.PH, Value: 5.1, Method: "water-1:1"}, season.Result{Analyte: season.Copper, Value: 0.5, Method: "dtpa", Below: true}),
	}, inWinter, time.Time{})
	if err != nil || len(problems) > 0 || len(added.Added) != 1 {
		t.Fatalf("%+v %v %v", added, problems, err)
	}
	lines, old := strings.Split(soilOf(t, dir), "\n"), strings.Split(before, "\n")
	if lines[0] != old[0]+",ph_method,copper_ppm,copper_method" || lines[1] != old[1]+",,," {
		t.Errorf("%s\n%s", lines[0], lines[1])
	}
	if want := `LF-103,north-80,2026-11-03,"Flats, Laboratory",0,6,,,5.1,,,,,,,,,water-1:1,<0.5,dtpa`; lines[len(old)-1] != want {
		t.Errorf("got  %s\nwant %s", lines[len(old)-1], want)
	}
	// Adding it again changes nothing, however the laboratory spells its id.
	other := tested("lf-102 ", "creek-40", sixInches, season.Result{Analyte: season.PH, Value: 7})
	other.Day = sampledInAugust
	again, _, err := AddSoil(dir, []*season.Soil{
		tested("LF-103", "north-80", sixInches, season.Result{Analyte: season.PH, Value: 5.1, Method: "water-1:1"}, season.Result{Analyte: season.Copper, Value: 0.5, Method: "dtpa", Below: true}),
		other,
	}, inWinter, time.Time{})
	if err != nil || len(again.Same) != 1 || len(again.Other) != 1 || soilOf(t, dir) != strings.Join(lines, "\n") {
		t.Errorf("%+v %v", again, err)
	}
}

// A correction stands beside what it corrects and keeps what it does not speak of.
func TestACorrectionIsANewEntry(t *testing.T) {
	dir := copied(t)
	moment := time.Date(2026, time.November, 20, 9, 30, 0, 0, time.UTC)
	correction := tested("LF-102", "creek-40", sixInches, season.Result{Analyte: season.PH, Value: 5.9})
	correction.Day = sampledInAugust
	added, problems, err := AddSoil(dir, []*season.Soil{correction}, inWinter, moment)
	if err != nil || len(problems) > 0 || len(added.Corrected) != 1 {
		t.Fatalf("%+v %v %v", added, problems, err)
	}
	content, problems := Open(dir)
	if problems = append(problems, content.Check(inWinter)...); hasFatal(problems) {
		t.Fatal(problems)
	}
	soils := season.Assemble(content.Entries).Soils["creek-40"]
	i := slices.IndexFunc(soils, func(s *season.Soil) bool { return s.Sample == "LF-102" && s.Top == 0 })
	ph, _ := soils[i].Find(season.PH)
	p, _ := soils[i].Find(season.Phosphorus)
	if len(soils) != 2 || ph.Value != 5.9 || p.Value != 35 {
		t.Errorf("%d samples, pH %v, P %v", len(soils), ph.Value, p.Value)
	}
	if n := strings.Count(soilOf(t, dir), "LF-102,creek-40"); n != 3 {
		t.Errorf("%d rows of the sample, want the old two and the correction", n)
	}
}

// Laboratories number every report from 1. A later sampling under an id is a sample of its own, with and without
// corrections, and neither takes the other's place or day.
func TestALaterSamplingUnderOneIDIsAdded(t *testing.T) {
	dir := copied(t)
	september, february := tested("1", "north-80", sixInches, season.Result{Analyte: season.PH, Value: 6.1}), tested("1", "north-80", sixInches, season.Result{Analyte: season.PH, Value: 5.1})
	september.Day, february.Day = calendar.Date(2026, time.September, 10), inWinter
	for _, step := range []struct {
		sample    *season.Soil
		corrected time.Time
	}{{september, time.Time{}}, {february, inWinter.Time()}} {
		added, problems, err := AddSoil(dir, []*season.Soil{step.sample}, inWinter, step.corrected)
		if err != nil || hasFatal(problems) || len(added.Added) != 1 {
			t.Fatalf("%s: %+v %v %v", step.sample.Day, added, problems, err)
		}
	}
	content, problems := Open(dir)
	if problems = append(problems, content.Check(inWinter)...); hasFatal(problems) {
		t.Fatal(problems)
	}
	var got []string
	for _, s := range season.Assemble(content.Entries).Soils["north-80"] {
		if ph, has := s.Find(season.PH); has && s.Sample == "1" {
			got = append(got, fmt.Sprint(s.Day, " ", ph.Value))
		}
	}
	if want := []string{"2026-09-10 6.1", "2027-02-10 5.1"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// A report may come again with its day corrected. It is added, and said to be much like one that is there.
func TestTheSameNumbersOnAnotherDayAreSaid(t *testing.T) {
	dir := copied(t)
	first, again := tested("1", "north-80", sixInches, season.Result{Analyte: season.PH, Value: 6.1}), tested("1", "north-80", sixInches, season.Result{Analyte: season.PH, Value: 6.1})
	again.Day = again.Day.Add(1)
	for i, s := range []*season.Soil{first, again} {
		added, problems, err := AddSoil(dir, []*season.Soil{s}, inWinter, time.Time{})
		if err != nil || hasFatal(problems) || len(added.Added) != 1 || len(added.Redated) != i {
			t.Errorf("%s: %+v %v %v", s.Day, added, problems, err)
		}
	}
}

// A sample of a field that the season does not have is refused, and the table is untouched.
func TestASampleOfNoFieldIsRefused(t *testing.T) {
	dir := copied(t)
	before := soilOf(t, dir)
	added, problems, err := AddSoil(dir, []*season.Soil{tested("1", "north-80", sixInches), tested("2", "nowhere", sixInches)}, inWinter, time.Time{})
	if err != nil || len(added.Added) != 0 || !hasFatal(problems) || soilOf(t, dir) != before {
		t.Errorf("%+v %v %v", added, problems, err)
	}
	if !slices.ContainsFunc(problems, func(p season.Problem) bool { return strings.Contains(p.Message+p.Found, "nowhere") }) {
		t.Errorf("%+v", problems)
	}
}

// Tables come as people keep them: in cm, with Windows line ends, without a last line end, with cells that hold
// commas and line ends, and with empty cells beyond the last column. Or there is none yet.
func TestTablesAreAddedToAsTheyAre(t *testing.T) {
	for name, table := range map[string]string{
		"in cm, with Windows line ends": "sample,field,date,top_cm,bottom_cm,ph\r\nA,north-80,2026-09-08,0,15,6.1\r\n",
		"without a last line end":       "sample,field,date,top_in,bottom_in,ph\nA,north-80,2026-09-08,0,6,6.1",
		"with quoted cells":             "sample,field,date,lab,top_in,bottom_in,ph\nA,north-80,2026-09-08,\"Flats, \"\"Good\"\" Laboratory\",0,6,6.1\n",
		"with cells beyond the last":    "sample,field,date,top_in,bottom_in,ph\nA,north-80,2026-09-08,0,6,6.1,,\n,,,,,\n",
		"with a byte order mark":        "\xEF\xBB\xBFsample,field,date,top_in,bottom_in,ph\nA,north-80,2026-09-08,0,6,6.1\n",
		"none":                          "",
	} {
		t.Run(name, func(t *testing.T) {
			dir := copied(t)
			file := filepath.Join(dir, soilFile)
			want := 2
			if err := os.WriteFile(file, []byte(table), 0o644); err != nil {
				t.Fatal(err)
			}
			if table == "" {
				want = 1
				if err := os.Remove(file); err != nil {
					t.Fatal(err)
				}
			}
			_, problems, err := AddSoil(dir, []*season.Soil{tested("B", "north-80", 0.15, season.Result{Analyte: season.Phosphorus, Value: 12.5, Method: "olsen"})}, inWinter, time.Time{})
			if err != nil || hasFatal(problems) {
				t.Fatal(problems, err)
			}
			content, problems := Open(dir)
			if hasFatal(append(problems, content.Check(inWinter)...)) || len(season.Assemble(content.Entries).Soils["north-80"]) != want {
				t.Errorf("%v\n%q", problems, soilOf(t, dir))
			}
		})
	}
}

func TestAZipIsNotWrittenTo(t *testing.T) {
	if _, _, err := AddSoil(filepath.Join(t.TempDir(), "season.zip"), nil, inWinter, time.Time{}); err == nil || !strings.Contains(err.Error(), "not to a zip") {
		t.Error(err)
	}
}

// Reports may lie in lab/; they are neither read nor doubted, in a folder or in a zip of one.
func TestReportsInTheFolderArePassedOver(t *testing.T) {
	files := map[string][]byte{}
	for _, name := range []string{"season.yaml", "soil.csv"} {
		data, err := os.ReadFile(filepath.Join("../../examples/two-fields", name))
		if err != nil {
			t.Fatal(err)
		}
		files[name] = data
	}
	files["lab/report.csv"], files["lab/mapping.yaml"] = []byte("Sample;P\nA;1,5\n"), []byte("lab-mapping: 1\n")
	_, problems := inMemory(files).read()
	if slices.ContainsFunc(problems, func(p season.Problem) bool { return strings.Contains(p.Found+p.File, "lab/") }) {
		t.Errorf("%+v", problems)
	}
}

// Whatever table there is, adding to it ends in a table that says what the old one said and the new sample, or in
// an error.
func FuzzAddSoil(f *testing.F) {
	f.Add([]byte("sample,field,date,top_cm,bottom_cm,ph\r\nA,north,2026-09-08,0,15,6.1\r\n"))
	f.Add([]byte("sample,field,date,top_in,bottom_in,lab\nA,north,2026-09-08,0,6,\"Flats, \"\"Good\"\"\",,\n,,,,,,\n"))
	f.Add([]byte("\xEF\xBB\xBFsample,field,date,top_in,bottom_in,phosphorus_ppm,phosphorus_method,id,note"))
	f.Add([]byte{})
	k := &known{habits: habitsOf(&season.Settings{})}
	f.Fuzz(func(t *testing.T, old []byte) {
		before, err := soilEntries(old, k)
		if err != nil && len(old) > 0 {
			return // AddSoil refuses a folder with errors
		}
		a := &soilAddition{known: k, there: map[string]season.Entry{}}
		if err := a.add(tested("B", "north", sixInches, season.Result{Analyte: season.Phosphorus, Value: 12, Method: "olsen"}), time.Time{}); err != nil {
			t.Fatal(err)
		}
		table, err := a.table(old)
		if err != nil {
			return
		}
		after, err := soilEntries(table, k)
		if err != nil || len(after) != len(before)+1 {
			t.Fatalf("%v: %d entries of %d\n%q", err, len(after), len(before), table)
		}
	})
}
