package folder

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/unit"
)

// column is one column of a table, both ways: how a cell is read into a row and how it is written. A column
// may stand under one of several heads, one for each unit, such as rain_mm and rain_in.
type column[R any] struct {
	heads []string
	// required says that the table is no use without the column, filled that no row is without the cell.
	required, filled bool
	read             func(c *found, row *R)
	// write gives the cell's text, and under which of the heads it goes; an empty text is an absent value.
	write func(row *R, system unit.System) (head int, text string)
}

// must says that the column is required and filled in every row.
func (c column[R]) must() column[R] {
	c.required, c.filled = true, true
	return c
}

// should says that the column is required, while a row may leave it empty.
func (c column[R]) should() column[R] {
	c.required = true
	return c
}

// found is a cell that was found in a file.
type found struct {
	cell
	head  int    // which of the column's heads it stands under
	named string // that head
	row   *rowFound
}

// rowFound is the row that a cell stands in.
type rowFound struct {
	report *report
	line   int
	header []string
	cells  []cell
	failed bool
}

func (c *found) String() string { return string(c.text) }

// wrong reports the cell, and that its row cannot be read.
func (c *found) wrong(message, expected string) {
	c.row.failed = true
	c.row.report.wrong(c.row.line, c.named, message, quoted(c.String()), expected)
}

// seat is a column that a file has: at is its index there, head which of the column's heads it is.
type seat struct{ column, head, at int }

// readTable reads a file of a table. Each row is handed on with the line it stands on and what the columns
// for entries say of it. The rows that cannot be read are reported and left out.
func readTable[R any](data []byte, columns []column[R], r *report, each func(row R, e stamp, line int)) {
	s := newScanner(data)
	header, line, ok := readHeader(s, r)
	if !ok {
		return
	}
	stamps := stampColumns()
	seats := findSeats(columns, header)
	stampSeats := findSeats(stamps, header)
	distinct := checkHeader(columns, header, line, slices.Concat(seats, stampSeats), r)
	complete := hasRequired(columns, header, line, seats, r)
	if !distinct || !complete {
		return
	}
	// One row and one cell serve for all, or each of millions of cells would be allocated.
	state, row, entry := &rowFound{report: r, header: header}, new(R), new(stamp)
	current := &found{row: state}
	for {
		line, fault, more := s.next()
		if !more {
			return
		}
		state.line, state.cells, state.failed = line, s.cells, false
		if fault != "" {
			r.wrong(line, "", fault, "", "cells between commas, in quotation marks if they hold commas or quotation marks")
			continue
		}
		if isBlank(s.cells) || !checkWidth(s.cells, header, line, r) {
			continue
		}
		*row, *entry = *new(R), stamp{}
		readCells(columns, seats, current, row)
		readCells(stamps, stampSeats, current, entry)
		if !state.failed {
			each(*row, *entry, line)
		}
	}
}

func readCells[R any](columns []column[R], seats []seat, c *found, row *R) {
	filled := -1
	for i, at := range seats {
		column := &columns[at.column]
		c.cell, c.head, c.named = c.row.cells[at.at], at.head, c.row.header[at.at]
		switch {
		case len(c.text) > 0 && filled == at.column:
			c.wrong("a row gives "+c.named+" twice, in two units", "one of them only")
		case len(c.text) > 0:
			filled = at.column
			column.read(c, row)
		}
		isLast := i+1 == len(seats) || seats[i+1].column != at.column
		if column.filled && isLast && filled != at.column {
			c.wrong("the cell is empty", "a value; this column is needed in every row")
		}
	}
}

func readHeader(s *scanner, r *report) (header []string, line int, ok bool) {
	line, fault, more := s.next()
	for more && fault == "" && isBlank(s.cells) {
		line, fault, more = s.next()
	}
	if fault != "" {
		r.wrong(line, "", "the first row cannot be read: "+fault, "", "a row of column names")
		return nil, line, false
	}
	for _, c := range s.cells {
		header = append(header, strings.ToLower(strings.TrimSpace(string(c.text))))
	}
	if len(header) == 1 {
		for separator, name := range map[string]string{";": "semicolons", "\t": "tabs"} {
			if strings.Contains(header[0], separator) {
				r.wrong(line, "", "the columns are separated by "+name, header[0],
					"columns separated by commas, and a point in decimal numbers; save it as \"CSV (comma delimited)\"")
				return nil, line, false
			}
		}
	}
	return header, line, true
}

// findSeats finds the columns in a file's header, in the order of the columns and not of the file.
func findSeats[R any](columns []column[R], header []string) []seat {
	var seats []seat
	for i, c := range columns {
		for head, name := range c.heads {
			if at := slices.Index(header, name); at >= 0 {
				seats = append(seats, seat{column: i, head: head, at: at})
			}
		}
	}
	return seats
}

// checkHeader reports columns that stand twice or are not known, and says whether the rows can be read.
func checkHeader[R any](columns []column[R], header []string, line int, seats []seat, r *report) bool {
	usable := true
	known := make([]bool, len(header))
	for _, s := range seats {
		known[s.at] = true
	}
	for i, name := range header {
		switch {
		case name != "" && slices.Index(header, name) < i:
			usable = false
			r.wrong(line, name, "two columns have the same name", quoted(name), "each column once")
		case !known[i] && name != "":
			r.doubt(line, name, "the column is not known here and is left out", quoted(name), alike(columns, name))
		}
	}
	return usable
}

// hasRequired reports the columns that are missing, each with the names it could have.
func hasRequired[R any](columns []column[R], header []string, line int, seats []seat, r *report) bool {
	complete := true
	for i, c := range columns {
		present := slices.ContainsFunc(seats, func(s seat) bool { return s.column == i })
		if !c.required || present {
			continue
		}
		complete = false
		r.wrong(line, c.heads[0], "a column is missing", "the columns "+strings.Join(header, ", "),
			"a column named "+strings.Join(c.heads, " or "))
	}
	return complete
}

// alike lists the heads that an unknown name may have been meant for: those that differ from it only by
// their unit, or else all that there are.
func alike[R any](columns []column[R], name string) string {
	var near, all []string
	for _, c := range columns {
		all = append(all, c.heads...)
		for _, head := range c.heads {
			if stem(head) == stem(name) || strings.HasPrefix(head, name+"_") {
				near = append(near, head)
			}
		}
	}
	if len(near) > 0 {
		return strings.Join(near, " or ")
	}
	return "one of " + strings.Join(all, ", ")
}

func stem(name string) string {
	before, _, _ := strings.Cut(name, "_")
	return before
}

func isBlank(cells []cell) bool {
	return !slices.ContainsFunc(cells, func(c cell) bool { return len(c.text) > 0 })
}

// checkWidth reports a row with more or fewer cells than the header has.
func checkWidth(cells []cell, header []string, line int, r *report) bool {
	if len(cells) == len(header) || len(cells) > len(header) && isBlank(cells[len(header):]) {
		return true
	}
	expected := fmt.Sprintf("%d columns, as in the first row", len(header))
	if hasDecimalComma(cells, len(header)) {
		expected += "; decimal numbers need a point, as in 12.5, not a comma"
	}
	r.wrong(line, "", "the row has the wrong number of columns", fmt.Sprintf("%d columns", len(cells)), expected)
	return false
}

// hasDecimalComma guesses that a row is too long because numbers were written 12,5.
func hasDecimalComma(cells []cell, width int) bool {
	if len(cells) <= width {
		return false
	}
	whole := func(c cell) bool {
		text := bytes.TrimPrefix(c.text, []byte("-"))
		return len(text) > 0 && !bytes.ContainsFunc(text, func(c rune) bool { return c < '0' || c > '9' })
	}
	for i := 1; i < len(cells); i++ {
		if whole(cells[i-1]) && whole(cells[i]) {
			return true
		}
	}
	return false
}

// writeTable writes rows with the columns that any of them fills. Columns for entries come last, and only
// where a row differs from what Read would make of it by itself.
func writeTable[R any](columns []column[R], rows []R, entries []stamp, system unit.System) []byte {
	var heads []string
	var cells [][]string // by column, then by row
	heads, cells = writeColumns(columns, rows, system, heads, cells)
	heads, cells = writeColumns(stampColumns(), entries, system, heads, cells)
	var out []byte
	out = append(out, strings.Join(heads, ",")...)
	out = append(out, '\n')
	for i := range rows {
		for j := range cells {
			if j > 0 {
				out = append(out, ',')
			}
			out = appendCell(out, cells[j][i])
		}
		out = append(out, '\n')
	}
	return out
}

func writeColumns[R any](columns []column[R], rows []R, system unit.System, heads []string, cells [][]string) ([]string, [][]string) {
	for _, c := range columns {
		written := make([][]string, len(c.heads))
		for i := range rows {
			head, text := c.write(&rows[i], system)
			if text == "" && !c.required {
				continue
			}
			if written[head] == nil {
				written[head] = make([]string, len(rows))
			}
			written[head][i] = text
		}
		for head, list := range written {
			if list != nil {
				heads, cells = append(heads, c.heads[head]), append(cells, list)
			}
		}
	}
	return heads, cells
}
