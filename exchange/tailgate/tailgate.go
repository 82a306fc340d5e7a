// Package tailgate reads the small tables that are written down beside a machine or a plot: what was caught under the
// nozzles of a boom, what fell into the pans of a spreader test, and how trials without a nutrient yielded.
//
//	nozzle,caught_oz        at_ft,caught_g
//	1,25.5                  -20,0.4
//	2,26                    -15,2.1
//
// A column's name carries its unit: caught_oz (fluid), caught_ml, caught_l or caught_gal under a nozzle; at_ft, at_m,
// at_in or at_cm from the middle of the spreader, left below zero, and caught_g, caught_mg or caught_kg in a pan. The
// nozzle column may be left out; then nozzles are counted row by row. Columns of other names are passed over, and so
// are empty rows. An empty cell is not zero and is refused.
package tailgate

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/equipment"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
)

// Limits of a table: no boom and no line of pans has more rows.
const (
	mostRows  = 2000
	mostBytes = 1 << 20
)

// Error is a cell or a header that cannot be read.
type Error struct {
	Line     int
	Column   string // empty when it is about the whole line
	Found    string
	Expected string
}

// Error says where, what was found and what was expected.
func (e *Error) Error() string {
	where := fmt.Sprintf("line %d", e.Line)
	if e.Column != "" {
		where += ", column " + e.Column
	}
	return fmt.Sprintf("%s: found %s; expected %s", where, e.Found, e.Expected)
}

// column is a quantity under its possible heads, with the factor to its base unit.
type column struct {
	heads   []string
	factors []float64
	// least is the lowest number that makes sense.
	least float64
	say   string
}

func nozzleColumn() column {
	return column{heads: []string{"nozzle"}, factors: []float64{1}, least: 1, say: "the number of a nozzle, from 1 at the left end"}
}

func liquidColumn() column {
	return column{
		heads:   []string{"caught_oz", "caught_ml", "caught_l", "caught_gal"},
		factors: []float64{float64(equipment.FluidOunce), 0.001, 1, float64(unit.Gallon)},
		say:     "what was caught: zero for a nozzle that lets nothing out, or more",
	}
}

func placeColumn() column {
	return column{
		heads:   []string{"at_ft", "at_m", "at_in", "at_cm"},
		factors: []float64{float64(unit.Foot), 1, float64(unit.Inch), 0.01},
		least:   math.Inf(-1), say: "a distance from the middle of the spreader, left below zero",
	}
}

func solidColumn() column {
	return column{
		heads: []string{"caught_g", "caught_mg", "caught_kg"}, factors: []float64{1e-3, 1e-6, 1},
		say: "what was caught: zero for an empty pan, or more",
	}
}

// Nozzles reads what was caught under each nozzle, in order of their numbers.
func Nozzles(r io.Reader) ([]unit.Volume, error) {
	rows, err := read(r, liquidColumn(), nozzleColumn(), false)
	if err != nil {
		return nil, err
	}
	volumes := make([]unit.Volume, len(rows))
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(a.key, b.key) })
	for i, row := range rows {
		if row.key != float64(i+1) {
			return nil, &Error{Line: row.line, Column: "nozzle", Found: fmt.Sprintf("nozzle %v where %d is next", row.key, i+1), Expected: "every nozzle from 1 once; write 0 for one that lets nothing out"}
		}
		volumes[i] = unit.Volume(row.value)
	}
	return volumes, nil
}

// Pans reads what fell into each pan, in any order.
func Pans(r io.Reader) ([]equipment.Pan, error) {
	rows, err := read(r, solidColumn(), placeColumn(), true)
	if err != nil {
		return nil, err
	}
	pans := make([]equipment.Pan, len(rows))
	for i, row := range rows {
		pans[i] = equipment.Pan{At: unit.Length(row.key), Caught: unit.Mass(row.value)}
	}
	return pans, nil
}

// Trials reads trials of a nutrient: the soil test before each, test_ppm, and the yield without the nutrient as a share
// of that with enough, yield_pct.
func Trials(r io.Reader) ([]soil.TrialPoint, error) {
	test := column{heads: []string{"test_ppm"}, factors: []float64{1}, say: "the soil test, in ppm"}
	yield := column{heads: []string{"yield_pct"}, factors: []float64{1}, say: "the yield without the nutrient, in percent of that with enough"}
	rows, err := read(r, yield, test, true)
	if err != nil {
		return nil, err
	}
	trials := make([]soil.TrialPoint, len(rows))
	for i, row := range rows {
		trials[i] = soil.TrialPoint{Test: row.key, Yield: row.value}
	}
	return trials, nil
}

// row is a value and where it belongs.
type row struct {
	key, value float64
	line       int
}

// read reads a table of a value and its key; every error is told, up to a few.
func read(r io.Reader, value, key column, keyNeeded bool) ([]row, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	switch {
	case err != nil:
		return nil, err
	case len(text) > mostBytes:
		return nil, fmt.Errorf("the table is larger than %d kB; that is no table of catches", mostBytes>>10)
	}
	in := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	in.FieldsPerRecord, in.TrimLeadingSpace = -1, true
	head, err := in.Read()
	if errors.Is(err, io.EOF) {
		return nil, errors.New("the table is empty; expected a first row with the names of the columns")
	} else if err != nil {
		return nil, tell(err)
	}
	t := table{value: value, key: key}
	if err := t.header(head, keyNeeded); err != nil {
		return nil, err
	}
	return t.rows(in)
}

type table struct {
	value, key             column
	valueAt, keyAt         int
	valueHead, keyHead     string
	valueFactor, keyFactor float64
	errs                   []error
}

// header finds the columns; each quantity must stand there once.
func (t *table) header(head []string, keyNeeded bool) error {
	var err error
	if t.valueAt, t.valueHead, t.valueFactor, err = t.value.in(head, true); err != nil {
		return err
	}
	t.keyAt, t.keyHead, t.keyFactor, err = t.key.in(head, keyNeeded)
	return err
}

func (c column) in(head []string, needed bool) (at int, name string, factor float64, err error) {
	at = -1
	for i, h := range head {
		h = strings.ToLower(strings.TrimSpace(h))
		k := slices.Index(c.heads, h)
		switch {
		case k < 0:
		case at >= 0:
			return 0, "", 0, &Error{Line: 1, Found: name + " and " + h, Expected: "one of them"}
		default:
			at, name, factor = i, h, c.factors[k]
		}
	}
	if at < 0 && needed {
		return 0, "", 0, &Error{Line: 1, Found: strings.Join(head, ", "), Expected: "a column " + strings.Join(c.heads, " or ")}
	}
	return at, name, factor, nil
}

// mostErrors is how many cells are told of at once.
const mostErrors = 10

func (t *table) rows(in *csv.Reader) ([]row, error) {
	var rows []row
	for len(t.errs) < mostErrors {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, tell(err)
		}
		if !slices.ContainsFunc(cells, func(s string) bool { return strings.TrimSpace(s) != "" }) {
			continue
		}
		line, _ := in.FieldPos(0)
		if len(rows) == mostRows {
			return nil, fmt.Errorf("line %d: more than %d rows; that is no table of catches", line, mostRows)
		}
		r := row{key: float64(len(rows) + 1), line: line, value: t.number(cells, t.valueAt, t.valueHead, t.value, line) * t.valueFactor}
		if t.keyAt >= 0 {
			r.key = t.number(cells, t.keyAt, t.keyHead, t.key, line) * t.keyFactor
		}
		rows = append(rows, r)
	}
	if len(t.errs) > 0 {
		return nil, errors.Join(t.errs...)
	}
	if len(rows) == 0 {
		return nil, errors.New("the table has no rows under its names of columns")
	}
	return rows, nil
}

// number reads a cell; what is wrong with it is kept.
func (t *table) number(cells []string, at int, name string, c column, line int) float64 {
	text := ""
	if at < len(cells) {
		text = strings.TrimSpace(cells[at])
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case text == "":
		t.errs = append(t.errs, &Error{line, name, "an empty cell", c.say})
	case strings.Contains(text, ",") && err != nil:
		t.errs = append(t.errs, &Error{line, name, strconv.Quote(text), "a number with a decimal point"})
	case err != nil || math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e9:
		t.errs = append(t.errs, &Error{line, name, strconv.Quote(shortened(text)), "a number"})
	case v < c.least:
		t.errs = append(t.errs, &Error{line, name, text, c.say})
	default:
		return v
	}
	return 0
}

func shortened(text string) string {
	if runes := []rune(text); len(runes) > 30 {
		return string(runes[:30]) + "…"
	}
	return text
}

// tell puts an error of the table's form in our words.
func tell(err error) error {
	var form *csv.ParseError
	if errors.As(err, &form) {
		return &Error{Line: form.StartLine, Found: "a row that is no row of a table (" + form.Err.Error() + ")", Expected: "commas between cells, double quotes around a cell that holds a comma"}
	}
	return err
}
