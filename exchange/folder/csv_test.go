package folder

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// scan takes a whole file apart: the cells of each row, and the line it starts on.
func scan(data string) (rows [][]string, lines []int, faults []string) {
	s := newScanner([]byte(data))
	for {
		line, fault, more := s.next()
		if !more {
			return rows, lines, faults
		}
		if fault != "" {
			faults = append(faults, fault)
			continue
		}
		row := []string{}
		for _, c := range s.cells {
			row = append(row, string(c.text))
		}
		rows, lines = append(rows, row), append(lines, line)
	}
}

func TestScannerTakesRowsApart(t *testing.T) {
	for _, c := range []struct {
		name, data string
		rows       [][]string
		lines      []int
	}{
		{"one row, no line end", "a,b", [][]string{{"a", "b"}}, []int{1}},
		{"Unix, Windows and old Macintosh line ends", "a\nb\r\nc\rd", [][]string{{"a"}, {"b"}, {"c"}, {"d"}}, []int{1, 2, 3, 4}},
		{"white space around cells", " a ,\tb\t\n", [][]string{{"a", "b"}}, []int{1}},
		{"white space inside quotes is kept", "\" a \",b", [][]string{{" a ", "b"}}, []int{1}},
		{"commas and doubled quotes", "\"5\"\" rain, then sun\",x", [][]string{{`5" rain, then sun`, "x"}}, []int{1}},
		{"a quote inside an unquoted cell is a mark for inches", "5\" rain,x", [][]string{{`5" rain`, "x"}}, []int{1}},
		{"a line end inside quotes", "\"a\nb\",c\nd,e", [][]string{{"a\nb", "c"}, {"d", "e"}}, []int{1, 3}},
		{"a last empty cell", "a,\n,b\n", [][]string{{"a", ""}, {"", "b"}}, []int{1, 2}},
		{"empty lines", "a\n\nb\n", [][]string{{"a"}, {""}, {"b"}}, []int{1, 2, 3}},
	} {
		rows, lines, faults := scan(c.data)
		if diff := cmp.Diff(c.rows, rows); diff != "" || len(faults) > 0 {
			t.Errorf("%s: faults %v, rows differ (-want +got):\n%s", c.name, faults, diff)
		}
		if diff := cmp.Diff(c.lines, lines); diff != "" {
			t.Errorf("%s: lines (-want +got):\n%s", c.name, diff)
		}
	}
}

func TestScannerGoesOnAfterAFault(t *testing.T) {
	for _, c := range []struct{ name, data, fault string }{
		{"text after a quote", "a,\"b\" c,d\ngood", "text follows a closing quotation mark"},
		{"wildly long row", strings.Repeat("x", 1<<20) + ",y\ngood", "the row is too long for a table"},
		{"wildly long single cell", strings.Repeat("x", 1<<20) + "\ngood", "the row is too long for a table"},
		{"thousands of columns", strings.Repeat(",", 5000) + "\ngood", "the row has too many columns for a table"},
	} {
		rows, lines, faults := scan(c.data)
		if diff := cmp.Diff([]string{c.fault}, faults); diff != "" {
			t.Errorf("%s: faults (-want +got):\n%s", c.name, diff)
		}
		if diff := cmp.Diff([][]string{{"good"}}, rows); diff != "" || lines[0] != 2 {
			t.Errorf("%s: line %v, rows after it (-want +got):\n%s", c.name, lines, diff)
		}
	}
	if _, _, faults := scan("a\n\"never closed\nb\n"); len(faults) != 1 || !strings.Contains(faults[0], "never closed") {
		t.Errorf("an open quote: faults %v", faults)
	}
}

// The standard library is the second opinion on what a CSV file says.
func TestScannerAgreesWithTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(2, 5).Draw(t, "columns")
		// The library writes white space at the end of a cell without quotes, and we take that off.
		text := rapid.Map(rapid.StringOf(rapid.SampledFrom([]rune("ab ,\"\n\t'é"))), func(s string) string { return strings.TrimRight(s, " \t") })
		rows := rapid.SliceOfN(rapid.SliceOfN(text, width, width), 1, 5).Draw(t, "rows")
		var theirs bytes.Buffer
		w := csv.NewWriter(&theirs)
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		if got, _, faults := scan(theirs.String()); len(faults) > 0 || cmp.Diff(rows, got) != "" {
			t.Fatalf("the library wrote %q, we read %q, %v", theirs.String(), got, faults)
		}
		var ours []byte
		for _, row := range rows {
			for i, text := range row {
				if i > 0 {
					ours = append(ours, ',')
				}
				ours = appendCell(ours, text)
			}
			ours = append(ours, '\n')
		}
		got, err := csv.NewReader(bytes.NewReader(ours)).ReadAll()
		if err != nil || cmp.Diff(rows, got) != "" {
			t.Fatalf("we wrote %q, the library read %q, %v", ours, got, err)
		}
	})
}

func FuzzScanner(f *testing.F) {
	for _, seed := range []string{"a,b\n1,2\n", "\"a\"\"b\",\r\n\"", "a;b\n", "\r\r\n\n", "\"\n\"\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, data string) {
		rows, lines, _ := scan(data)
		for i := range rows {
			if lines[i] < 1 || lines[i] > 1+lineEnds([]byte(data)) {
				t.Fatalf("row %d is said to be on line %d", i, lines[i])
			}
		}
	})
}
