package lab_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/exchange/lab"
	"culm/internal/opendata"
	"culm/season"
)

func readOpen(t *testing.T, name string, m lab.Mapping) (lab.Taken, []season.Problem) {
	t.Helper()
	data, err := os.ReadFile(opendata.Path(t, "std_modus_lab/"+name))
	if err != nil {
		t.Fatal(err)
	}
	return lab.Read(name, data, m, calendar.Day{})
}

func find(t *testing.T, taken lab.Taken, sample string, a season.Analyte) season.Result {
	t.Helper()
	for _, s := range taken.Samples {
		if s.Soil.Sample == sample {
			r, ok := s.Soil.Find(a)
			if !ok {
				t.Fatalf("sample %s has no %s", sample, a)
			}
			return r
		}
	}
	t.Fatalf("no sample %s", sample)
	return season.Result{}
}

// The standard's open example of an XML result gives phosphorus by three extractants and does not tell how CEC
// was found. Both must be decided by a person, once; nothing is taken until then.
func TestTheStandardsExampleAsksWhatItDoesNotSay(t *testing.T) {
	taken, problems := readOpen(t, "result_soil_example.xml", lab.Mapping{})
	if len(taken.Samples) != 0 {
		t.Errorf("%d samples were taken beside errors", len(taken.Samples))
	}
	for _, want := range []string{"phosphorus twice for one sample", "how cation exchange capacity was measured"} {
		if !slices.ContainsFunc(problems, func(p season.Problem) bool {
			return p.Severity == season.Fatal && strings.Contains(p.Message, want) && p.Line > 0 && strings.Contains(p.Expected, "in the mapping")
		}) {
			t.Errorf("no error %q among %+v", want, problems)
		}
	}
}

// The values are those printed in the example file, sample 1, in the unit printed.
func TestTheStandardsExampleIsRead(t *testing.T) {
	taken, problems := readOpen(t, "result_soil_example.xml", lab.Mapping{
		Results:  []lab.Column{{Element: "CEC", Analyte: season.CEC, Method: "sum-of-cations"}},
		LeaveOut: []string{"S-P-B1-1:10.01.03", "S-P-B2-1:10.01.03"},
		Field:    lab.Source{Names: map[string]string{"FIELD NAME": "north-80"}},
	})
	for _, p := range problems {
		if p.Severity == season.Fatal {
			t.Errorf("%+v", p)
		}
	}
	if len(taken.Samples) != 4 {
		t.Fatalf("%d samples, want 4", len(taken.Samples))
	}
	s := taken.Samples[0].Soil
	if s.Field != "north-80" || s.Lab != "EXAMPLE LAB" || s.Day.String() != "2076-09-24" || s.Top != 0 || math.Abs(float64(s.Bottom)-7*0.0254) > 1e-12 {
		t.Errorf("%+v", s)
	}
	for _, want := range []season.Result{
		{Analyte: season.PH, Value: 7.0, Method: "water-1:1"},
		{Analyte: season.BufferPH, Value: 7.2, Method: "sikora"},
		{Analyte: season.OrganicMatter, Value: 0.028, Method: "loss-on-ignition"},
		{Analyte: season.Phosphorus, Value: 45, Method: "olsen"},
		{Analyte: season.Potassium, Value: 198, Method: "ammonium-acetate"},
		{Analyte: season.Calcium, Value: 1550, Method: "ammonium-acetate"},
		{Analyte: season.CEC, Value: 10.4, Method: "sum-of-cations"},
		{Analyte: season.SulfateS, Value: 8, Method: "ammonium-acetate"},
	} {
		if got := find(t, taken, "1", want.Analyte); got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
	for _, name := range []string{"BS-Ca", "BS-H"} {
		if !slices.Contains(taken.LeftOut, name) {
			t.Errorf("%s is not among what was left out: %v", name, taken.LeftOut)
		}
	}
	if !slices.ContainsFunc(problems, func(p season.Problem) bool { return strings.Contains(p.Message, "calculated potassium") }) {
		t.Error("nobody is told that the laboratory calculated potassium")
	}
}

// The example is dated 2076, which is said with the line of the sample and hides no other fault.
func TestTheStandardsExampleIsOfADayToCome(t *testing.T) {
	data, err := os.ReadFile(opendata.Path(t, "std_modus_lab/result_soil_example.xml"))
	if err != nil {
		t.Fatal(err)
	}
	taken, problems := lab.Read("r.xml", data, lab.Mapping{}, calendar.Date(2027, 2, 10))
	for _, want := range []string{"2076-09-24, is still to come", "phosphorus twice for one sample", "how cation exchange capacity was measured"} {
		if len(taken.Samples) > 0 || !slices.ContainsFunc(problems, func(p season.Problem) bool { return p.Line > 0 && strings.Contains(p.Message, want) }) {
			t.Errorf("no error %q among %+v", want, problems)
		}
	}
}

// Two layers of one site in JSON, in cm and with cations in cmol(+)/kg. By hand: 0.68 cmol of potassium is
// 0.68 × 390.983 = 265.87 ppm, 9.3 of calcium 9.3 × 200.39 = 1863.6 ppm.
func TestTheStandardsJSONIsRead(t *testing.T) {
	results := []lab.Column{
		{Element: "pH", Analyte: season.PH, Method: "unknown"},
		{Element: "CEC", Analyte: season.CEC, Method: "unknown"},
		{Element: "Ca", Analyte: season.Calcium, Method: "unknown"},
		{Element: "Mg", Analyte: season.Magnesium, Method: "unknown"},
		{Element: "K", Analyte: season.Potassium, Method: "unknown"},
		{Element: "Na", Analyte: season.Sodium, Method: "unknown"},
	}
	for name, depth := range map[string][2]float64{"ranch_2015_0-10cm.json": {0, 0.10}, "ranch_2015_10-40cm.json": {0.10, 0.40}} {
		taken, problems := readOpen(t, name, lab.Mapping{Results: results})
		if len(taken.Samples) != 14 {
			t.Fatalf("%s: %d samples, want 14; %+v", name, len(taken.Samples), problems)
		}
		if s := taken.Samples[0].Soil; math.Abs(float64(s.Top)-depth[0]) > 1e-12 || math.Abs(float64(s.Bottom)-depth[1]) > 1e-12 || s.Day.String() != "2015-02-17" {
			t.Errorf("%s: %+v", name, s)
		}
	}
	taken, _ := readOpen(t, "ranch_2015_0-10cm.json", lab.Mapping{Results: results})
	if r := find(t, taken, "TOKA-001", season.Potassium); math.Abs(r.Value-265.87) > 0.01 || r.Method != "" {
		t.Errorf("potassium %+v", r)
	}
	if r := find(t, taken, "TOKA-001", season.Calcium); math.Abs(r.Value-1863.6) > 0.05 {
		t.Errorf("calcium %+v", r)
	}
	if r := find(t, taken, "TOKA-001", season.Phosphorus); r.Value != 4.7 || r.Method != "olsen" {
		t.Errorf("phosphorus %+v", r)
	}
	// A pH measured nobody knows how is not held to be one in water.
	if r := find(t, taken, "TOKA-001", season.PH); r.Value != 5.8 || r.Method != season.UnknownMethod {
		t.Errorf("pH %+v", r)
	}
}

// A file of the standard with nothing in it that guidance asks for, and one that was sent to a laboratory.
func TestFilesOfTheStandardWithoutResults(t *testing.T) {
	for name, want := range map[string]string{
		"soil_health_lab1.json":   "nothing in the file is a result",
		"submit_soil_example.xml": "sent to the laboratory, without results",
	} {
		taken, problems := readOpen(t, name, lab.Mapping{})
		if len(taken.Samples) > 0 || len(problems) != 1 || !strings.Contains(problems[0].Message, want) {
			t.Errorf("%s: %d samples, %+v", name, len(taken.Samples), problems)
		}
	}
}
