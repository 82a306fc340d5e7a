package lab_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/exchange/lab"
	"culm/internal/opendata"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/xuri/excelize/v2"
)

const flatsReport = `Flats Laboratory (invented),,,,,,,,,
Sample ID,Field,Date Sampled,Depth (in),pH 1:1,NO3-N (lb/ac),M3 P ppm,K ppm,% K sat,Comments
LF-1,north-80,9/18/2026,0-6,6.2,12,22,180,4.1,
LF-1,north-80,9/18/2026,6-24,,30,<1,ND,,moist
`

// A suggestion is a draft: what the heading does not say stands as "?", and reading by it is refused with what to
// write. With the question answered it reads.
func TestASuggestionIsReadOnlyOnceDecided(t *testing.T) {
	s, problems := lab.Suggest("report.csv", []byte(flatsReport))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, want := range []string{"K ppm", "soil-mass", "plasma or color", `"% K sat", "Comments"`, "words for results"} {
		if !slices.ContainsFunc(s.Unsure, func(u string) bool { return strings.Contains(u, want) }) {
			t.Errorf("nothing unsure about %q: %q", want, s.Unsure)
		}
	}
	if taken, problems := lab.Read("report.csv", []byte(flatsReport), s.Mapping, calendar.Day{}); len(taken.Samples) > 0 || len(problems) == 0 {
		t.Errorf("read by a mapping with questions: %d samples, %v", len(taken.Samples), problems)
	}
	text, err := s.Mapping.File(s.Unsure)
	if err != nil {
		t.Fatal(err)
	}
	decided := strings.NewReplacer(
		`analyte: potassium, unit: ppm, as: K, method: '?', when-not-detected: '?'`, `analyte: potassium, unit: ppm, as: K, method: ammonium-acetate, limit: 5, when-not-detected: limit`,
		"soil-mass: '?'", "soil-mass: 0.3",
	).Replace(string(text))
	m, problems := lab.ReadMapping("flats.yaml", []byte(decided))
	if len(problems) > 0 {
		t.Fatalf("%v\n%s", problems, decided)
	}
	taken, problems := lab.Read("report.csv", []byte(flatsReport), m, calendar.Day{})
	// 12 lb/ac in 6 in are 12 ÷ 1.8 ppm, 30 in 18 in are 30 ÷ 5.4.
	want := []string{
		"LF-1 0-6 nitrate-n 6.66667", "LF-1 0-6 ph 6.2", "LF-1 0-6 phosphorus 22", "LF-1 0-6 potassium 180",
		"LF-1 6-24 nitrate-n 5.55556", "LF-1 6-24 phosphorus <1", "LF-1 6-24 potassium <5",
	}
	if got := said(taken); !slices.Equal(got, want) {
		t.Errorf("got %q\nwant %q\n%v\n%s", got, want, problems, decided)
	}
	if s := taken.Samples[0].Soil; s.Field != "north-80" || s.Day.String() != "2026-09-18" || s.SoilMass != 0.3 {
		t.Errorf("%+v", s)
	}
}

// What a mapping says is what its file says.
func TestMappingsComeBackFromTheirFiles(t *testing.T) {
	m := lab.Mapping{
		Lab: "Flats: Laboratory #1", Sheets: []string{"Results 1", "Bases"}, HeaderRow: 3, HeaderRows: 2, Decimal: ",", DateFormat: "day.month.year",
		Sample: lab.Source{Column: "Sample"}, Field: lab.Source{Column: "Field", Names: map[string]string{"N80": "north-80", "no": "yes"}}, Zone: lab.Source{Is: "east"}, Date: lab.Source{Is: "2026-09-08"},
		Depth: lab.DepthSource{Column: "Depth", Unit: "cm", Names: map[string]string{"Topsoil": "0-30 cm"}}, SoilMass: 1.0 / 3, NotDetected: []string{"ND", "-0-"}, NotMeasured: []string{"null", "~"},
		Results:  []lab.Column{{Column: "Mehlich-3 / P", Analyte: season.Phosphorus, UnitColumn: "Unit", As: "P2O5", Method: "mehlich-3-icp", Limit: "0.5", WhenNotDetected: "limit", WhenOver: "leave-out"}, {Test: "S-CEC.19", Analyte: season.CEC, Method: "unknown"}},
		LeaveOut: []string{"Comments, notes", "'quoted'", "line\nbreak"},
	}
	text, err := m.File([]string{"A remark\nwith a line end."})
	if err != nil {
		t.Fatal(err)
	}
	back, problems := lab.ReadMapping("m.yaml", text)
	if len(problems) > 0 {
		t.Fatalf("%v\n%s", problems, text)
	}
	if diff := cmp.Diff(m, back, cmpopts.IgnoreUnexported(lab.Column{})); diff != "" {
		t.Errorf("%s\n%s", diff, text)
	}
}

// A mapping's faults are named with their line.
func TestBadMappingsAreNamed(t *testing.T) {
	for _, row := range []struct {
		name, file string
		line       int
		says       string
	}{
		{"not YAML", "sample: [", 1, "not readable as YAML"},
		{"empty", "", 0, "not readable as YAML"},
		{"a list", "- a\n", 1, "no mapping"},
		{"another form", "lab-mapping: 2\n", 1, "form that is not known"},
		{"no form", "sample: {column: A}\n", 1, "a key is missing"},
		{"a key that is not known", "lab-mapping: 1\ncolumns: []\n", 2, "key is not known"},
		{"a key twice", "lab-mapping: 1\nlab: A\nlab: B\n", 3, "stands twice"},
		{"a column that may be a value", "lab-mapping: 1\nfield: north-80\n", 2, "a column or a value"},
		{"a mass of soil of lead", "lab-mapping: 1\nsoil-mass: 3\n", 2, "mass of soil"},
		{"a header row before the first", "lab-mapping: 1\nheader-row: 0\n", 2, "number cannot be read"},
		{"an alias that unfolds", "lab-mapping: 1\nlab: &a [x, x]\nsheet: *a\n", 2, "cannot be read"},
		{"results that are no list", "lab-mapping: 1\nresults: all\n", 2, "results cannot be read"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, problems := lab.ReadMapping("m.yaml", []byte(row.file))
			if !slices.ContainsFunc(problems, func(p season.Problem) bool {
				return p.Line == row.line && strings.Contains(p.Message, row.says)
			}) {
				t.Errorf("%+v", problems)
			}
		})
	}
}

// The mass of soil may be given as laboratories say it. 0.22661 million lb to the acre-inch for each g/cm3 has five
// digits, so what is made of it is good to 7e-6.
func TestMassesOfSoil(t *testing.T) {
	for text, want := range map[string]float64{"0.3": 0.3, "2 million lb per 6 in": 1.0 / 3, "2.4 million lb per 8 in": 0.3, "1.324 g/cm3": 1.324 * 0.22661} {
		m, problems := lab.ReadMapping("m.yaml", []byte("lab-mapping: 1\nsoil-mass: "+text+"\n"))
		if len(problems) > 0 || float64(m.SoilMass) < want-7e-6 || float64(m.SoilMass) > want+7e-6 {
			t.Errorf("%s: %v, %v", text, m.SoilMass, problems)
		}
	}
}

// Headings as laboratories write them.
func TestHeadings(t *testing.T) {
	for heading, want := range map[string]lab.Column{
		"NO3-N (ppm)":        {Analyte: season.NitrateN, Unit: "ppm", As: "NO3-N"},
		"Nitrate mg/kg":      {Analyte: season.NitrateN, Unit: "ppm", As: "?"},
		"Olsen P_ppm":        {Analyte: season.Phosphorus, Unit: "ppm", As: "P", Method: "olsen"},
		"Bray P1 lb/a":       {Analyte: season.Phosphorus, Unit: "lb/ac", As: "P", Method: "bray-1"},
		"Mehlich-3 P ICP":    {Analyte: season.Phosphorus, Unit: "?", As: "P", Method: "mehlich-3-icp"},
		"P2O5 mg/100g (CAL)": {Analyte: season.Phosphorus, Unit: "mg/100g", As: "P2O5", Method: "cal"},
		"Potassium AA [ppm]": {Analyte: season.Potassium, Unit: "ppm", As: "K", Method: "ammonium-acetate"},
		"Buffer pH (Sikora)": {Analyte: season.BufferPH, Unit: "none", Method: "sikora"},
		"K2O mg/100g DL":     {Analyte: season.Potassium, Unit: "mg/100g", As: "K2O", Method: "dl"},
		"pH 1:2.5":           {Analyte: season.PH, Unit: "none", Method: "water-1:2.5"},
		"pH CaCl2":           {Analyte: season.PH, Unit: "none", Method: "cacl2"},
		"OM LOI %":           {Analyte: season.OrganicMatter, Unit: "%", Method: "loss-on-ignition"},
		"Zn DTPA mg/kg":      {Analyte: season.Zinc, Unit: "ppm", Method: "dtpa"},
		"Mg cmol(+)/kg":      {Analyte: season.Magnesium, Unit: "meq/100g", Method: "?"},
		"CEC meq/100g":       {Analyte: season.CEC, Unit: "meq/100g", Method: "?"},
		"SO4-S lbs/acre":     {Analyte: season.SulfateS, Unit: "lb/ac", As: "SO4-S", Method: "?"},
		"P ppm or lb/ac":     {Analyte: season.Phosphorus, Unit: "?", As: "P", Method: "?"},
	} {
		s, problems := lab.Suggest("r.csv", []byte("Sample,Date,Depth in,\""+heading+"\"\nA,2026-09-08,0-6,1\n"))
		if len(problems) > 0 || len(s.Mapping.Results) != 1 {
			t.Errorf("%s: %+v %v", heading, s.Mapping, problems)
			continue
		}
		want.Column = heading
		if diff := cmp.Diff(want, s.Mapping.Results[0], cmpopts.IgnoreUnexported(lab.Column{})); diff != "" {
			t.Errorf("%s: %s", heading, diff)
		}
	}
}

// Of several sheets the one that looks like a report is suggested, with the rows of its heading.
func TestASuggestionFindsTheSheet(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Invoice"}, []any{"Samples", 2})
		_, err := f.NewSheet("Soil")
		must(t, err)
		put(t, f, "Soil", []any{"Flats Laboratory"}, []any{"Lab No", "Date", "Top", "Bottom", "pH", "P"}, []any{"", "", "cm", "cm", "", "ppm"}, []any{"7", "2026-09-08", 0, 15, 6.1, 12})
	})
	s, problems := lab.Suggest("r.xlsx", data)
	m := s.Mapping
	if len(problems) > 0 || !slices.Equal(m.Sheets, []string{"Soil"}) || m.HeaderRow != 2 || m.HeaderRows != 2 || len(m.Results) != 2 || m.Results[1].Unit != "ppm" {
		t.Errorf("%+v %v", m, problems)
	}
}

// Where two columns may be meant, a person decides: a "?" stands, and reading stops there.
func TestWhatMayBeEitherIsAsked(t *testing.T) {
	for _, row := range []struct {
		name, heading string
		says          string
		check         func(m lab.Mapping) bool
	}{
		{"the sample's id before the laboratory's number", "Lab No,Sample ID,Date,Depth in,pH 1:1", `Nothing is taken from "Lab No"`, func(m lab.Mapping) bool {
			return m.Sample.Column == "Sample ID" && slices.Equal(m.LeaveOut, []string{"Lab No"})
		}},
		{"the laboratory's number alone", "Lab No,Field,Date,Depth in,pH 1:1", "sample: {column: Lab No} if there is no other", func(m lab.Mapping) bool { return m.Sample.Column == "?" }},
		{"two ids", "Sample ID,Sample No,Date,Depth in,pH 1:1", "both may be the sample's id", func(m lab.Mapping) bool { return m.Sample.Column == "?" }},
		{"two fields", "Sample,Field,Field Name,Depth in,pH 1:1", "both may be the field", func(m lab.Mapping) bool { return m.Field.Column == "?" }},
		{"two days", "Sample,Date,Date Sampled,Depth in,pH 1:1", "both may be the day of sampling", func(m lab.Mapping) bool { return m.Date.Column == "?" }},
		{"two columns of phosphorus", "Sample,Date,Depth in,Olsen P ppm,Bray P1 ppm", "both seem to give phosphorus", func(m lab.Mapping) bool { return len(m.Results) == 2 && m.Results[1].Analyte == "?" }},
		{"ends of the layer", "Sample,Date,Beg Depth,End Depth (cm),pH 1:1", "", func(m lab.Mapping) bool {
			return cmp.Equal(m.Depth, lab.DepthSource{Top: "Beg Depth", Bottom: "End Depth (cm)", Unit: "cm"})
		}},
		{"ends of the layer under one heading", "Sample,Date,Depth (in) from,Depth (in) to,pH 1:1", "", func(m lab.Mapping) bool {
			return cmp.Equal(m.Depth, lab.DepthSource{Top: "Depth (in) from", Bottom: "Depth (in) to", Unit: "in"})
		}},
		{"ends of the layer in no unit", "Sample,Date,Start Depth,End Depth,pH 1:1", "whether it is in or cm", func(m lab.Mapping) bool { return m.Depth.Top == "Start Depth" && m.Depth.Unit == "?" }},
		{"pounds per acre", "Sample,Date,Depth in,pH 1:1,NO3-N lb/a", "soil-mass is missing", func(m lab.Mapping) bool {
			text, err := m.File(nil)
			return err == nil && strings.Contains(string(text), "soil-mass: '?'")
		}},
	} {
		s, problems := lab.Suggest("r.csv", []byte(row.heading+"\n1,2,2026-09-28,0-6,6.1\n"))
		if len(problems) > 0 || !row.check(s.Mapping) || row.says != "" && !slices.ContainsFunc(s.Unsure, func(u string) bool { return strings.Contains(u, row.says) }) {
			t.Errorf("%s: %+v\n%q\n%v", row.name, s.Mapping, s.Unsure, problems)
		}
		if text, err := s.Mapping.File(nil); err != nil || strings.Contains(string(text), "'?'") != (len(s.Mapping.Check("m.yaml", false)) > 0) {
			t.Errorf("%s: %v, a ? stands but is not refused, or the other way round\n%s", row.name, err, text)
		}
	}
}

// Of two sheets that both look like reports nobody knows which is meant.
func TestTwoSheetsThatLookLikeReportsAreAsked(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Sample", "Date", "Depth in", "pH 1:1"}, []any{"7", "2026-09-08", "0-6", 6.1})
		_, err := f.NewSheet("Bases")
		must(t, err)
		put(t, f, "Bases", []any{"Sample", "Date", "Depth in", "K ppm"}, []any{"7", "2026-09-08", "0-6", 180})
	})
	s, problems := lab.Suggest("r.xlsx", data)
	if len(problems) > 0 || !slices.Equal(s.Mapping.Sheets, []string{"?"}) || !slices.ContainsFunc(s.Mapping.Check("m.yaml", false), func(p season.Problem) bool { return strings.Contains(p.Message, "which sheet is read") }) {
		t.Errorf("%+v %q %v", s.Mapping, s.Unsure, problems)
	}
}

// For a file of the exchange standard only what it does not say is asked. Its Bray-1 phosphorus was calculated, so
// the first that was measured is proposed, and what becomes of the other is asked.
func TestASuggestionForTheStandard(t *testing.T) {
	data, err := os.ReadFile(opendata.Path(t, "std_modus_lab/result_soil_example.xml"))
	if err != nil {
		t.Fatal(err)
	}
	s, problems := lab.Suggest("r.xml", data)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if want := []string{"S-P-B1-1:10.01.03"}; !slices.Equal(s.Mapping.LeaveOut, want) {
		t.Errorf("leaves out %v, want %v", s.Mapping.LeaveOut, want)
	}
	want := []lab.Column{{Test: "S-P-BIC.01.03", Analyte: "?"}, {Test: "S-CEC.19", Analyte: season.CEC, Method: "?"}}
	if diff := cmp.Diff(want, s.Mapping.Results, cmpopts.IgnoreUnexported(lab.Column{})); diff != "" {
		t.Error(diff)
	}
}
