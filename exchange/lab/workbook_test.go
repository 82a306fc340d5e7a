package lab_test

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/exchange/lab"
	"culm/season"

	"github.com/xuri/excelize/v2"
)

// workbook makes an XLSX file.
func workbook(t testing.TB, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func put(t testing.TB, f *excelize.File, sheet string, rows ...[]any) {
	t.Helper()
	for i, row := range rows {
		at, _ := excelize.CoordinatesToCellName(1, i+1)
		if err := f.SetSheetRow(sheet, at, &row); err != nil {
			t.Fatal(err)
		}
	}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// A report as laboratories make them: a title, a heading of two rows with merged cells, a sample's id and field
// merged over its layers, dates as workbooks keep them, percentages as fractions shown in percent.
func TestAWorkbookWithMergedCellsIsRead(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		must(t, f.SetSheetName("Sheet1", "Results"))
		put(t, f, "Results",
			[]any{"Flats Laboratory (invented)"}, []any{},
			[]any{"Sample", "Sampled", "Depth", "Mehlich-3", nil, "OM"},
			[]any{nil, nil, "in", "P ppm", "K ppm", nil},
			[]any{"A", time.Date(2026, 9, 8, 0, 0, 0, 0, time.UTC), "0-6", 12.1, 150, 0.021},
			[]any{nil, nil, "6-24", "<1", 90, 0.008},
		)
		must(t, f.MergeCell("Results", "D3", "E3"))
		must(t, f.MergeCell("Results", "A5", "A6"))
		must(t, f.MergeCell("Results", "B5", "B6"))
		percent, err := f.NewStyle(&excelize.Style{NumFmt: 10})
		must(t, err)
		must(t, f.SetCellStyle("Results", "F5", "F6", percent))
	})
	taken, problems := lab.Read("report.xlsx", data, plain(func(m *lab.Mapping) {
		m.HeaderRow, m.HeaderRows = 3, 2
		m.Date, m.Depth = lab.Source{Column: "Sampled"}, lab.DepthSource{Column: "Depth / in", Unit: "in"}
		m.Results = []lab.Column{
			{Column: "Mehlich-3 / P ppm", Analyte: season.Phosphorus, Unit: "ppm", As: "P", Method: "mehlich-3"},
			{Column: "Mehlich-3 / K ppm", Analyte: season.Potassium, Unit: "ppm", As: "K", Method: "mehlich-3"},
			{Column: "OM", Analyte: season.OrganicMatter, Unit: "%", Method: "loss-on-ignition"},
		}
	}), calendar.Day{})
	want := []string{
		"A 0-6 organic-matter 0.021", "A 0-6 phosphorus 12.1", "A 0-6 potassium 150",
		"A 6-24 organic-matter 0.008", "A 6-24 phosphorus <1", "A 6-24 potassium 90",
	}
	if got := said(taken); !slices.Equal(got, want) {
		t.Fatalf("got %q\nwant %q\n%+v", got, want, problems)
	}
	if day := taken.Samples[1].Soil.Day.String(); day != "2026-09-08" {
		t.Errorf("sampled on %s", day)
	}
}

// A unit that a workbook only shows beside its numbers counts as if it stood in the cell.
func TestAUnitInTheFormatOfACellCounts(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Sample", "P"}, []any{"A", 24})
		format := `0.0" lb/ac"`
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		must(t, err)
		must(t, f.SetCellStyle("Sheet1", "B2", "B2", style))
	})
	taken, problems := lab.Read("report.xlsx", data, plain(), calendar.Day{})
	if len(taken.Samples) != 0 || len(problems) != 1 || !strings.Contains(problems[0].Message, "another unit than the mapping says") || problems[0].Found != `"24.0 lb/ac"` {
		t.Errorf("%+v", problems)
	}
}

// One result for two rows is no result of either.
func TestAMergedResultIsRefused(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Sample", "P"}, []any{"A", 12}, []any{"B"})
		must(t, f.MergeCell("Sheet1", "B2", "B3"))
	})
	taken, problems := lab.Read("report.xlsx", data, plain(), calendar.Day{})
	if len(taken.Samples) != 0 || len(problems) != 1 || problems[0].Line != 3 || problems[0].Field != "cell B3 of sheet Sheet1 (P)" || !strings.Contains(problems[0].Message, "merged with one that begins in row 2") {
		t.Errorf("%+v", problems)
	}
}

// With several sheets the mapping must say which; sheets that complete each other are joined.
func TestSheets(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Sample", "P"}, []any{"A", 12})
		_, err := f.NewSheet("Bases")
		must(t, err)
		put(t, f, "Bases", []any{"Sample", "P"}, []any{"B", 7})
	})
	_, problems := lab.Read("report.xlsx", data, plain(), calendar.Day{})
	if len(problems) != 1 || problems[0].Field != "sheet" || !strings.Contains(problems[0].Expected, "sheet: one of them") {
		t.Errorf("%+v", problems)
	}
	taken, _ := lab.Read("report.xlsx", data, plain(func(m *lab.Mapping) { m.Sheets = []string{"Sheet1", "Bases"} }), calendar.Day{})
	if got := said(taken); !slices.Equal(got, []string{"A 0-6 phosphorus 12", "B 0-6 phosphorus 7"}) {
		t.Errorf("both sheets: %q", got)
	}
	_, problems = lab.Read("report.xlsx", data, plain(func(m *lab.Mapping) { m.Sheets = []string{"Blatt 1"} }), calendar.Day{})
	if len(problems) != 1 || !strings.Contains(problems[0].Message, "no such sheet") || !strings.Contains(problems[0].Expected, "Bases") {
		t.Errorf("%+v", problems)
	}
}

// A few kilobytes that unpack to half a gigabyte are refused before they are unpacked.
func TestAZipBombIsRefused(t *testing.T) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestCompression) })
	w, err := z.Create("xl/worksheets/sheet1.xml")
	must(t, err)
	chunk := bytes.Repeat([]byte(" "), 1<<20)
	for range 64 {
		_, err = w.Write(chunk)
		must(t, err)
	}
	must(t, z.Close())
	begun := time.Now()
	taken, problems := lab.Read("report.xlsx", out.Bytes(), plain(), calendar.Day{})
	if len(taken.Samples) != 0 || len(problems) != 1 || !strings.Contains(problems[0].Message, "unpack to far more than a laboratory's report") {
		t.Errorf("%d bytes: %+v", out.Len(), problems)
	}
	if took := time.Since(begun); took > 2*time.Second {
		t.Errorf("refused only after %v", took)
	}
}

// Merged cells over a whole sheet, and a cell in its last row, cost neither time nor memory.
func TestASheetOfEmptinessIsRefused(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Sample", "P"}, []any{"A", 12})
		must(t, f.SetCellValue("Sheet1", "A1048576", "x"))
	})
	_, problems := lab.Read("report.xlsx", data, plain(), calendar.Day{})
	if len(problems) != 1 || !strings.Contains(problems[0].Message, "larger than a laboratory's report") {
		t.Errorf("%+v", problems)
	}
	data = replaced(t, workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Sample", "P"}, []any{"A", 12})
		must(t, f.MergeCell("Sheet1", "D1", "E2"))
	}), "D1:E2", "D1:XFD1048576")
	_, problems = lab.Read("report.xlsx", data, plain(), calendar.Day{})
	if len(problems) != 1 || !strings.Contains(problems[0].Message, "merged cells of the sheet are more") {
		t.Errorf("%+v", problems)
	}
}

// Many small merged cells would take the library long to compare.
func TestMoreMergedCellsThanAReportHasAreRefused(t *testing.T) {
	var merges strings.Builder
	for i := range 20_000 {
		fmt.Fprintf(&merges, `<mergeCell ref="D%d:E%d"/>`, 2*i+1, 2*i+2)
	}
	data := replaced(t, workbook(t, func(f *excelize.File) {
		put(t, f, "Sheet1", []any{"Sample", "P"}, []any{"A", 12})
		must(t, f.MergeCell("Sheet1", "D1", "E2"))
	}), `<mergeCell ref="D1:E2"></mergeCell>`, merges.String())
	_, problems := lab.Read("report.xlsx", data, plain(), calendar.Day{})
	if len(problems) != 1 || !strings.Contains(problems[0].Message, "more merged cells than a laboratory's report") {
		t.Errorf("%+v", problems)
	}
}

// replaced is a workbook with a text replaced in all its parts, since no honest program would make it so.
func replaced(t testing.TB, data []byte, old, by string) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	must(t, err)
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, part := range in.File {
		r, err := part.Open()
		must(t, err)
		text, err := io.ReadAll(r)
		must(t, err)
		w, err := z.Create(part.Name)
		must(t, err)
		_, err = w.Write(bytes.ReplaceAll(text, []byte(old), []byte(by)))
		must(t, err)
	}
	must(t, z.Close())
	return out.Bytes()
}
