package lab_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/exchange/lab"
	"culm/season"
)

// plain is a mapping that the tables below are read by, with what a row changes.
func plain(change ...func(*lab.Mapping)) lab.Mapping {
	m := lab.Mapping{
		Lab: "Flats Laboratory (invented)", Sample: lab.Source{Column: "Sample"}, Field: lab.Source{Is: "north-80"},
		Date: lab.Source{Is: "2026-09-08"}, Depth: lab.DepthSource{Is: "0-6 in"},
		Results: []lab.Column{{Column: "P", Analyte: season.Phosphorus, Unit: "ppm", As: "P", Method: "mehlich-3-icp"}},
	}
	for _, c := range change {
		c(&m)
	}
	return m
}

func results(columns ...lab.Column) func(*lab.Mapping) {
	return func(m *lab.Mapping) { m.Results = columns }
}

// said writes what was taken, one result each: "A 0-6 phosphorus 12".
func said(taken lab.Taken) (lines []string) {
	for _, s := range taken.Samples {
		for _, r := range s.Soil.Results {
			below := ""
			if r.Below {
				below = "<"
			}
			lines = append(lines, fmt.Sprintf("%s %.4g-%.4g %s %s%.6g", s.Soil.Sample, float64(s.Soil.Top)/0.0254, float64(s.Soil.Bottom)/0.0254, r.Analyte, below, r.Value))
		}
	}
	return lines
}

func TestTablesAreRead(t *testing.T) {
	p := func(change func(*lab.Column)) func(*lab.Mapping) {
		c := plain().Results[0]
		change(&c)
		return results(c)
	}
	nitrate := func(unit, as string) func(*lab.Mapping) {
		return func(m *lab.Mapping) {
			m.Results = []lab.Column{{Column: "N", Analyte: season.NitrateN, Unit: unit, As: as}}
			m.SoilMass = 0.3
		}
	}
	for _, row := range []struct {
		name, file string
		mapping    lab.Mapping
		want       []string
	}{
		{"plainly", "Sample,P\nA,12\nB,7.5\n", plain(), []string{"A 0-6 phosphorus 12", "B 0-6 phosphorus 7.5"}},
		{"with a byte order mark and in another order", "\xEF\xBB\xBFP,Note,Sample\r\n12,wet,A\r\n", plain(), []string{"A 0-6 phosphorus 12"}},
		{"semicolons and decimal commas, found out", "Sample;P\nA;12,5\nB;1.200,5\n", plain(), []string{"A 0-6 phosphorus 12.5", "B 0-6 phosphorus 1200.5"}},
		{"tabs", "Sample\tP\nA\t12\n", plain(), []string{"A 0-6 phosphorus 12"}},
		{"quoted, with thousands", "Sample,P\n\"A\",\"1,234\"\nB,7.5\n", plain(), []string{"A 0-6 phosphorus 1234", "B 0-6 phosphorus 7.5"}},
		{"a decimal comma in quotes", "Sample,P\nA,\"7,5\"\n", plain(), []string{"A 0-6 phosphorus 7.5"}},
		{"under the detection limit", "Sample,P\nA,<1\nB,< 0.5\n", plain(), []string{"A 0-6 phosphorus <1", "B 0-6 phosphorus <0.5"}},
		{"empty and dashes are not zero", "Sample,P\nA,\nB,-\nC,n/a\nD,0\n", plain(), []string{"D 0-6 phosphorus 0"}},
		{"trace, by the limit that the mapping gives", "Sample,P\nA,trace\n", plain(p(func(c *lab.Column) { c.Limit, c.WhenNotDetected = "0.5", "limit" }), func(m *lab.Mapping) { m.NotDetected = []string{"Trace"} }), []string{"A 0-6 phosphorus <0.5"}},
		{"trace, left out", "Sample,P\nA,trace\nB,3\n", plain(p(func(c *lab.Column) { c.WhenNotDetected = "leave-out" }), func(m *lab.Mapping) { m.NotDetected = []string{"trace"} }), []string{"B 0-6 phosphorus 3"}},
		{"a heading on a later row", "Flats Laboratory,,\nReport,17,\n,,\nSample,P,Note\nA,12,\n", plain(), []string{"A 0-6 phosphorus 12"}},
		{"a heading two rows deep", "Sample,Mehlich-3,Mehlich-3\n,P,K\nA,12,150\n", plain(p(func(c *lab.Column) { c.Column = "Mehlich-3 / P" }), func(m *lab.Mapping) { m.HeaderRow, m.HeaderRows = 1, 2 }), []string{"A 0-6 phosphorus 12"}},
		{"a heading that each printed page repeats", "Sample,P\nA,12\nSample,P\nB,7\n", plain(), []string{"A 0-6 phosphorus 12", "B 0-6 phosphorus 7"}},
		{"a unit that the cell repeats", "Sample,P\nA,12 mg/kg\n", plain(), []string{"A 0-6 phosphorus 12"}},
		{"a unit in each cell", "Sample,N\nA,9 ppm\nB,16.2 lb/ac\n", plain(nitrate("in-cell", "NO3-N")), []string{"A 0-6 nitrate-n 9", "B 0-6 nitrate-n 9"}},
		{"a unit in the column beside", "Sample,N,Unit\nA,9,ppm\nB,16.2,lb/ac\n", plain(func(m *lab.Mapping) {
			m.SoilMass = 0.3
			m.Results = []lab.Column{{Column: "N", Analyte: season.NitrateN, UnitColumn: "Unit", As: "NO3-N"}}
		}), []string{"A 0-6 nitrate-n 9", "B 0-6 nitrate-n 9"}},
		{"depth in two columns, in cm", "Sample,From,To,P\nA,0,15,12\nA,15,60,4\n", plain(func(m *lab.Mapping) { m.Depth = lab.DepthSource{Top: "From", Bottom: "To", Unit: "cm"} }), []string{"A 0-5.906 phosphorus 12", "A 5.906-23.62 phosphorus 4"}},
		{"depth in one column that names its unit", "Sample,Depth,P\nA,0-15 cm,12\nB,\"0 to 6\"\"\",4\n", plain(func(m *lab.Mapping) { m.Depth = lab.DepthSource{Column: "Depth"} }), []string{"A 0-5.906 phosphorus 12", "B 0-6 phosphorus 4"}},
		{"depth in words", "Sample,Depth,P\nA,Topsoil,12\n", plain(func(m *lab.Mapping) {
			m.Depth = lab.DepthSource{Column: "Depth", Names: map[string]string{"topsoil": "0-7 in"}}
		}), []string{"A 0-7 phosphorus 12"}},
		// The factors are atomic masses: 44.268 ppm NO3 is 10 ppm NO3-N; 22.914 mg P2O5 in 100 g is 100 ppm P.
		{"nitrate as NO3", "Sample,N\nA,44.268\n", plain(nitrate("ppm", "NO3")), []string{"A 0-6 nitrate-n 10"}},
		{"phosphate in 100 g", "Sample,P\nA,22.914\n", plain(p(func(c *lab.Column) { c.As, c.Unit = "P2O5", "mg/100g" })), []string{"A 0-6 phosphorus 100"}},
		// 0.3 million lb to the acre-inch: 6 in weigh 1.8 million lb, so 18 lb/ac are 10 ppm.
		{"pounds per acre", "Sample,N\nA,18\n", plain(nitrate("lbs/acre", "NO3-N")), []string{"A 0-6 nitrate-n 10"}},
		{"organic matter in percent", "Sample,OM\nA,2.8\n", plain(results(lab.Column{Column: "OM", Analyte: season.OrganicMatter, Unit: "%", Method: "loss-on-ignition"})), []string{"A 0-6 organic-matter 0.028"}},
		{"a limit at the upper end", "Sample,P\nA,>200\n", plain(p(func(c *lab.Column) { c.WhenOver = "limit" })), []string{"A 0-6 phosphorus 200"}},
		{"results in the order of tables", "Sample,K,P\nA,150,12\n", plain(func(m *lab.Mapping) {
			m.Results = append([]lab.Column{{Column: "K", Analyte: season.Potassium, Unit: "ppm", As: "K", Method: "mehlich-3"}}, m.Results...)
		}), []string{"A 0-6 phosphorus 12", "A 0-6 potassium 150"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			taken, problems := lab.Read("report.csv", []byte(row.file), row.mapping, calendar.Day{})
			if got := said(taken); !slices.Equal(got, row.want) {
				t.Errorf("got %q\nwant %q\nproblems %+v", got, row.want, problems)
			}
		})
	}
}

// Each problem names file, line and column, what was found and what to write; nothing is taken beside an error.
func TestBadReportsAreNamed(t *testing.T) {
	dated := func(format string) func(*lab.Mapping) {
		return func(m *lab.Mapping) { m.Date, m.DateFormat = lab.Source{Column: "Date"}, format }
	}
	one := func(c lab.Column) func(*lab.Mapping) { return results(c) }
	p := plain().Results[0]
	with := func(change func(*lab.Column)) func(*lab.Mapping) {
		c := p
		change(&c)
		return results(c)
	}
	for _, row := range []struct {
		name, file string
		mapping    lab.Mapping
		line       int
		column     string
		says       string
		expected   string
	}{
		{"two units in one column", "Sample,P\nA,12 ppm\nB,24 lb/ac\n", plain(), 3, "P", "another unit than the mapping says", "in-cell"},
		{"a cell without a unit where each has its own", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.Unit = "in-cell" })), 2, "P", "names no unit", "one unit a column"},
		{"a sample twice with other results", "Sample,P\nA,12\nA,14\n", plain(), 3, "", "sample A of 2026-09-08 stands twice for one depth, first at report.csv:2", "an id of its own"},
		{"a number that a comma makes uncertain", "Sample;P\nA;1,234\n", plain(), 2, "P", "before decimals or thousands", "decimal:"},
		{"a comma among points", "Sample,P\nA,6.1\nB,7.25\nC,\"2,5\"\n", plain(), 4, "P", "a comma where decimals have a point", "decimal:"},
		{"a point among commas", "Sample;P\nA;6,1\nB;7,25\nC;2.5\n", plain(), 4, "P", "a point where decimals have a comma", "decimal:"},
		{"as many commas as points", "Sample;P\nA;6,1\nB;2.5\n", plain(), 2, "P", "nothing tells which is right", "decimal:"},
		{"a comma where the mapping has points", "Sample;P\nA;6,1\n", plain(func(m *lab.Mapping) { m.Decimal = "." }), 2, "P", "a comma where decimals have a point", "decimal:"},
		{"a limit written for web pages", "Sample,P\nA,&lt;1\n", plain(), 2, "P", "the result cannot be read", ""},
		{"a word that nobody explained", "Sample,P\nA,ND\n", plain(), 2, "P", "cannot be read", "not-detected"},
		{"not detected under no known limit", "Sample,P\nA,ND\n", plain(func(m *lab.Mapping) { m.NotDetected = []string{"ND"} }), 2, "P", "does not say under which limit", "limit:"},
		{"over the range", "Sample,P\nA,>200\n", plain(), 2, "P", "over the laboratory's range", "when-over"},
		{"a rating beside the number", "Sample,P\nA,12 H\n", plain(), 2, "P", "another unit", ""},
		{"a date in the other order", "Sample,Date,P\nA,13/9/2026,12\n", plain(dated("month/day/year")), 2, "Date", "the date cannot be read", "month/day/year"},
		{"a date in words of no format", "Sample,Date,P\nA,9/8/2026,12\n", plain(dated("")), 2, "Date", "the date cannot be read", "date-format"},
		{"a depth of nothing", "Sample,Depth,P\nA,6-6,12\n", plain(func(m *lab.Mapping) { m.Depth = lab.DepthSource{Column: "Depth", Unit: "in"} }), 2, "Depth", "no sample has such a depth", "0-6 in"},
		{"a depth without unit", "Sample,Depth,P\nA,0-6,12\n", plain(func(m *lab.Mapping) { m.Depth = lab.DepthSource{Column: "Depth"} }), 2, "Depth", "inches or centimeters", "0-6 in"},
		{"a depth in two units", "Sample,Depth,P\nA,0 in-15 cm,12\n", plain(func(m *lab.Mapping) { m.Depth = lab.DepthSource{Column: "Depth"} }), 2, "Depth", "two units", ""},
		{"a column that is not there", "Sample,Phos\nA,12\n", plain(), 1, "P", "is not in the table", "another mapping"},
		{"another file altogether", "name,price\nwheat,5\n", plain(), 1, "", "none of the mapping's columns", "Sample, P"},
		{"two columns of one name", "Sample,P,P\nA,1,2\n", plain(), 1, "P", "two columns of the table have the name", "header-rows"},
		{"two columns for one analyte", "Sample,P,P2\nA,1,2\n", plain(func(m *lab.Mapping) {
			second := p
			second.Column = "P2"
			m.Results = append(m.Results, second)
		}), 2, "P2", "both give phosphorus", "leave-out"},
		{"a row without an id", "Sample,P\n,12\n", plain(), 2, "Sample", "names no sample", "an id in every row"},
		{"a pH of 61", "Sample,pH\nA,61\n", plain(one(lab.Column{Column: "pH", Analyte: season.PH, Unit: "none", Method: "water-1:1"})), 2, "pH", "no soil has a pH of 61", ""},
		{"more than all organic matter", "Sample,OM\nA,210\n", plain(one(lab.Column{Column: "OM", Analyte: season.OrganicMatter, Unit: "%", Method: "loss-on-ignition"})), 2, "OM", "no soil has 210 % of organic matter", ""},
		{"less phosphorus than none", "Sample,P\nA,-2\n", plain(), 2, "P", "no soil has -2 ppm of phosphorus", ""},
		{"nothing measured at all", "Sample,P\nA,\n", plain(), 0, "", "no sample of the report has a result", ""},
		{"an open quotation mark", "Sample,P\n\"A,12\n", plain(), 2, "", "never closed", ""},
		{"not text", "Sample,P\nA,\x00\n", plain(), 1, "", "neither plain text nor a workbook", "CSV, XLSX"},
		{"not UTF-8", "Sample,P\nF\xe4ld,1\n", plain(), 1, "", "not in UTF-8", ""},
		{"an empty file", "", plain(), 1, "", "empty", ""},
		{"no samples", "Sample,P\n", plain(), 0, "", "no row of the table is a sample", ""},

		{"a mapping with a question left", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.Method = "?" })), 0, "P", "does not say how phosphorus was measured", "mehlich-3-icp, mehlich-3-colorimetric"},
		{"a mapping with an unknown unit", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.Unit = "bushels" })), 0, "P", "the unit is not known", "ppm"},
		{"a mapping with a unit by volume", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.Unit = "mg/dm3" })), 0, "P", "by volume", "ppm"},
		{"a mapping with an unknown method", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.Method = "spoon" })), 0, "P", "the method is not known for phosphorus", "olsen"},
		{"a mapping without a basis", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.As = "" })), 0, "P", "as what phosphorus is counted", "P or P2O5"},
		{"a mapping of gold", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.Analyte = "gold" })), 0, "P", "what this column measures", "nitrate-n"},
		{"pounds per acre without a mass of soil", "Sample,P\nA,12\n", plain(with(func(c *lab.Column) { c.Unit = "lb/ac" })), 0, "P", "mass of soil", "soil-mass: 0.3"},
		{"potassium in percent", "Sample,K\nA,4\n", plain(one(lab.Column{Column: "K", Analyte: season.Potassium, Unit: "%", As: "K", Method: "mehlich-3"})), 0, "K", "not measured in this unit", "ppm"},
		{"no depth", "Sample,P\nA,12\n", plain(func(m *lab.Mapping) { m.Depth = lab.DepthSource{} }), 0, "depth", "from which depth", "0-6 in"},
		{"no day", "Sample,P\nA,12\n", plain(func(m *lab.Mapping) { m.Date = lab.Source{} }), 0, "date", "when the samples were drawn", "date:"},
	} {
		t.Run(row.name, func(t *testing.T) {
			taken, problems := lab.Read("report.csv", []byte(row.file), row.mapping, calendar.Day{})
			if len(taken.Samples) > 0 {
				t.Errorf("%d samples were taken beside an error", len(taken.Samples))
			}
			if !slices.ContainsFunc(problems, func(p season.Problem) bool {
				return p.Severity == season.Fatal && p.File == "report.csv" && p.Line == row.line && p.Field == row.column &&
					strings.Contains(p.Message, row.says) && strings.Contains(p.Expected, row.expected)
			}) {
				t.Errorf("got %+v\nwant line %d, column %q, %q, expected %q", problems, row.line, row.column, row.says, row.expected)
			}
		})
	}
}

// A file taken apart at the wrong sign says at which.
func TestTheDelimiterIsNamed(t *testing.T) {
	_, problems := lab.Read("report.csv", []byte("Sample P;x\nA 12;y\n"), plain(), calendar.Day{})
	if len(problems) != 1 || !strings.Contains(problems[0].Found, "taken apart at semicolons") || !strings.Contains(problems[0].Expected, "delimiter:") {
		t.Errorf("%+v", problems)
	}
	if _, problems = lab.Suggest("report.csv", []byte("One|Two\n1|2\n")); len(problems) != 1 || !strings.Contains(problems[0].Found, "taken apart at bars") {
		t.Errorf("%+v", problems)
	}
}

// A fault in a row hides no other of the row: a missing id, a day, a depth, and each result. What depends on a depth
// that cannot be read is passed over.
func TestEveryFaultOfARowIsReported(t *testing.T) {
	m := plain(func(m *lab.Mapping) {
		m.Date, m.DateFormat, m.SoilMass = lab.Source{Column: "Date"}, "month/day/year", 0.3
		m.Depth = lab.DepthSource{Top: "From", Bottom: "To", Unit: "in"}
		m.Results = append(m.Results,
			lab.Column{Column: "pH", Analyte: season.PH, Unit: "none", Method: "water-1:1"},
			lab.Column{Column: "N", Analyte: season.NitrateN, Unit: "in-cell", As: "NO3-N"})
	})
	_, problems := lab.Read("report.csv", []byte("Sample,Date,From,To,P,pH,N\n"+
		",9/8/2026,0,6,>500,16.1,9 ppm\n"+
		"B,2/30/2027,6,0,>500,16.1,20 lb/ac\n"+
		"C,9/8/2026,0,6,12,6,9 spoons\nC,9/8/2026,0,6,13,6,9 ppm\n"), m, calendar.Day{})
	var got []string
	for _, p := range problems {
		got = append(got, fmt.Sprintf("%d %s: %s", p.Line, p.Field, p.Message))
	}
	want := []string{
		"2 Sample: the row names no sample",
		"2 P: the result is over the laboratory's range, and how far is not known",
		"2 pH: no soil has a pH of 16.1",
		"3 Date: the date cannot be read",
		"3 To: no sample has such a depth",
		"3 P: the result is over the laboratory's range, and how far is not known",
		"3 pH: no soil has a pH of 16.1",
		"4 N: the unit is not known",
		"5 : sample C of 2026-09-08 stands twice for one depth, first at report.csv:4",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A day after today is refused with the day, from a cell and from the mapping.
func TestADayToComeIsRefused(t *testing.T) {
	today := calendar.Date(2027, 2, 10)
	for name, m := range map[string]lab.Mapping{
		"in a cell":      plain(func(m *lab.Mapping) { m.Date, m.DateFormat = lab.Source{Column: "Date"}, "month/day/year" }),
		"in the mapping": plain(func(m *lab.Mapping) { m.Date.Is = "2027-02-11" }),
	} {
		taken, problems := lab.Read("report.csv", []byte("Sample,Date,P\nA,2/11/2027,12\n"), m, today)
		if len(taken.Samples) > 0 || len(problems) != 1 || !strings.Contains(problems[0].Message, "the day sampled, 2027-02-11, is still to come") || !strings.Contains(problems[0].Expected, "2027-02-10") {
			t.Errorf("%s: %d samples, %+v", name, len(taken.Samples), problems)
		}
		if taken, problems := lab.Read("report.csv", []byte("Sample,Date,P\nA,2/11/2027,12\n"), m, today.Add(1)); len(taken.Samples) != 1 {
			t.Errorf("%s, a day later: %+v", name, problems)
		}
	}
}

// What the mapping leaves out of a sample is said, and so is a layer of which nothing is left.
func TestResultsNotTakenAreSaid(t *testing.T) {
	m := plain(func(m *lab.Mapping) {
		m.NotDetected = []string{"ND"}
		m.Results[0].WhenNotDetected = "leave-out"
		m.Results = append(m.Results, lab.Column{Column: "Zn", Analyte: season.Zinc, Unit: "ppm", Method: "dtpa", WhenNotDetected: "leave-out"})
	})
	taken, problems := lab.Read("report.csv", []byte("Sample,P,Zn\nA,12,ND\nB,ND,\nC,,\n"), m, calendar.Day{})
	if len(taken.Samples) != 1 || len(taken.Samples[0].NotTaken) != 1 {
		t.Fatalf("%+v %+v", taken, problems)
	}
	if got, want := taken.Samples[0].NotTaken[0], (lab.NotTaken{Analyte: season.Zinc, Column: "Zn", Text: "ND", Why: "not detected, which the mapping leaves out"}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	for i, want := range []string{`sample B, 0 to 6 in (0 to 15 cm), has no result that is taken, and is left out P ND`, "sample C, 0 to 6 in (0 to 15 cm), has no result that is taken, and is left out "} {
		if len(problems) != 2 || problems[i].Severity != season.Doubtful || problems[i].Message+" "+problems[i].Found != want {
			t.Errorf("%+v, want %q", problems, want)
		}
	}
}

// The unit in a cell is printed once.
func TestTheUnitInACellIsPrintedOnce(t *testing.T) {
	taken, problems := lab.Read("report.csv", []byte("Sample,P\nA,<1 mg/kg\n"), plain(results(lab.Column{Column: "P", Analyte: season.Phosphorus, Unit: "in-cell", As: "P", Method: "olsen"})), calendar.Day{})
	if len(taken.Samples) != 1 || taken.Samples[0].Printed[0].Text != "<1" || taken.Samples[0].Printed[0].Unit != "mg/kg P" {
		t.Errorf("%+v %+v", taken, problems)
	}
}

// A sample finds its field by the spot marked for it, but not by one that was marked after it was drawn.
func TestFieldsFromSpots(t *testing.T) {
	sampled := func(id string) []lab.Sample {
		return []lab.Sample{{Soil: season.Soil{Sample: id, Day: calendar.Date(2027, 2, 3)}}}
	}
	spots := []*season.Spot{
		{ID: "1", Field: "north-80", Sample: "P-1", Day: calendar.Date(2027, 1, 12)},
		{ID: "2", Field: "creek-40", Sample: "p-1", Day: calendar.Date(2027, 2, 4)},
		{ID: "3", Field: "creek-40", Sample: "P-2", Day: calendar.Date(2027, 2, 4)},
	}
	samples := sampled("p-1 ")
	if problems := lab.FieldsFromSpots(samples, spots); len(problems) > 0 || samples[0].Soil.Field != "north-80" {
		t.Errorf("%+v %+v", samples, problems)
	}
	if problems := lab.FieldsFromSpots(sampled("P-2"), spots); len(problems) != 1 || !strings.Contains(problems[0].Message, "drawn on 2027-02-03, and spot 3 was marked for it only on 2027-02-04") {
		t.Errorf("%+v", problems)
	}
}

// Doubts leave the samples as they are.
func TestDoubts(t *testing.T) {
	for _, row := range []struct {
		name, file string
		mapping    lab.Mapping
		says       string
		samples    int
	}{
		{"a depth that is usual in the other unit", "Sample,Depth,P\nA,0-15,12\n", plain(func(m *lab.Mapping) { m.Depth = lab.DepthSource{Column: "Depth", Unit: "in"} }), "were centimeters meant", 1},
		{"a sample given twice alike", "Sample,P\nA,12\nA,12\n", plain(), "counts once", 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			taken, problems := lab.Read("report.csv", []byte(row.file), row.mapping, calendar.Day{})
			if len(taken.Samples) != row.samples || len(problems) != 1 || problems[0].Severity != season.Doubtful || !strings.Contains(problems[0].Message, row.says) {
				t.Errorf("%d samples, %+v", len(taken.Samples), problems)
			}
		})
	}
}

// What was left out is named, unless the mapping says to.
func TestColumnsLeftOutAreNamed(t *testing.T) {
	taken, _ := lab.Read("report.csv", []byte("Sample,P,Sulfur,Report\nA,12,8,17\n"), plain(func(m *lab.Mapping) { m.LeaveOut = []string{"report"} }), calendar.Day{})
	if !slices.Equal(taken.LeftOut, []string{"Sulfur"}) {
		t.Errorf("left out: %v, want Sulfur", taken.LeftOut)
	}
}
