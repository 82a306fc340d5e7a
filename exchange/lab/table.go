package lab

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/season"
)

// table reads one grid by a mapping.
type table struct {
	*grid
	mapping  Mapping
	report   *report
	headings []string
	// decimal is the sign before decimals, given or found out; empty where nothing tells.
	decimal string
	body    []gridRow
}

// readTable gives the samples of a grid.
func readTable(g *grid, m Mapping, r *report) (samples []Sample, leftOut []string) {
	t := table{grid: g, mapping: m, report: r, decimal: m.Decimal}
	if !t.findHeading() || !t.hasColumns() {
		return nil, nil
	}
	if t.decimal == "" {
		t.decimal, _ = findDecimal(t.resultTexts(), t.pointsAreUsual())
	}
	for _, row := range t.body {
		if row.isBlank() || t.isHeadingAgain(row) {
			continue
		}
		if s, ok := t.sample(row); ok {
			samples = append(samples, s)
		}
	}
	if len(samples) == 0 && !r.failed() {
		r.wrong(place{0, t.sheetName()}, "no row of the table is a sample", fmt.Sprintf("%d rows below the heading", len(t.body)), "a sample a row")
	}
	return samples, t.leftOut()
}

func (t *table) sheetName() string {
	if t.sheet == "" {
		return ""
	}
	return "sheet " + t.sheet
}

// findHeading finds the rows of the heading, and what follows them.
func (t *table) findHeading() bool {
	deep := max(1, t.mapping.HeaderRows)
	if t.mapping.HeaderRow > 0 {
		for i, row := range t.rows {
			if row.line == t.mapping.HeaderRow {
				t.headings, t.body = joinHeadings(t.rows[i:min(i+deep, len(t.rows))]), t.rows[min(i+deep, len(t.rows)):]
				return true
			}
		}
		t.report.wrong(place{t.mapping.HeaderRow, t.sheetName()}, "there is no heading in the row that the mapping names", "an empty row", "header-row: the row of the column names")
		return false
	}
	needed := t.mapping.uses()
	best, bestHas := -1, 0
	for i := range t.rows[:min(len(t.rows), mostHeadingRow)] {
		headings := joinHeadings(t.rows[i:min(i+deep, len(t.rows))])
		if has := countIn(needed, headings); has > bestHas {
			best, bestHas = i, has
		}
	}
	if best < 0 {
		t.report.wrong(place{1, t.sheetName()}, "none of the mapping's columns is in the table", "the first row "+t.firstRow()+t.parted(), "a row with "+strings.Join(needed, ", ")+t.orDelimiter())
		return false
	}
	t.headings, t.body = joinHeadings(t.rows[best:min(best+deep, len(t.rows))]), t.rows[min(best+deep, len(t.rows)):]
	return true
}

// parted says at which sign a CSV file was taken apart; it is empty for a workbook.
func (g *grid) parted() string {
	if g.sheet != "" {
		return ""
	}
	return ", taken apart at " + map[string]string{",": "commas", ";": "semicolons", "tab": "tabs", "|": "bars"}[g.delimiter]
}

// orDelimiter is what to write where a CSV file was taken apart at the wrong sign.
func (t *table) orDelimiter() string {
	if t.sheet != "" || t.mapping.Delimiter != "" {
		return ""
	}
	return `; or delimiter: "," or the like in the mapping`
}

// mostHeadingRow bounds how far down a heading is looked for.
const mostHeadingRow = 60

func (t *table) firstRow() string {
	for _, row := range t.rows {
		if !row.isBlank() {
			return strings.Join(textsOf(row), ", ")
		}
	}
	return "empty"
}

func textsOf(row gridRow) (texts []string) {
	for _, c := range row.cells {
		texts = append(texts, c.text)
	}
	return texts
}

func countIn(needed, headings []string) (n int) {
	for _, name := range needed {
		if slices.ContainsFunc(headings, func(h string) bool { return sameName(h, name) }) {
			n++
		}
	}
	return n
}

// joinHeadings joins the rows of a heading column by column: "Mehlich-3 / P / ppm".
func joinHeadings(rows []gridRow) (headings []string) {
	width := 0
	for _, row := range rows {
		width = max(width, len(row.cells))
	}
	for i := range width {
		var parts []string
		for _, row := range rows {
			text := strings.Join(strings.Fields(row.at(i).text), " ")
			if text != "" && !slices.Contains(parts, text) {
				parts = append(parts, text)
			}
		}
		headings = append(headings, strings.Join(parts, " / "))
	}
	return headings
}

// hasColumns reports columns of the mapping that are missing or stand twice.
func (t *table) hasColumns() bool {
	line := 1
	if len(t.body) > 0 {
		line = max(1, t.body[0].line-1)
	}
	complete := true
	for _, name := range t.mapping.uses() {
		n := 0
		for _, h := range t.headings {
			if sameName(h, name) {
				n++
			}
		}
		switch {
		case n == 0:
			complete = false
			t.report.wrong(place{line, name}, "a column that the mapping names is not in the table", "the columns "+strings.Join(t.headings, ", ")+t.parted(), "a column "+quoted(name)+", or another mapping"+t.orDelimiter())
		case n > 1:
			complete = false
			t.report.wrong(place{line, name}, "two columns of the table have the name that the mapping uses", quoted(name), "names that differ; header-rows: 2 joins a second row of names")
		}
	}
	return complete
}

// column is the index of a heading, or -1.
func (t *table) column(name string) int {
	if name == "" {
		return -1
	}
	return slices.IndexFunc(t.headings, func(h string) bool { return sameName(h, name) })
}

// resultTexts gives the cells of results that may tell the decimal sign.
func (t *table) resultTexts() (texts []string) {
	for _, c := range t.mapping.Results {
		i := t.column(c.Column)
		for _, row := range t.body {
			if text := row.at(i).text; text != "" {
				texts = append(texts, text)
			}
		}
	}
	return texts
}

func (t *table) pointsAreUsual() bool { return t.sheet != "" || t.delimiter == "," }

// isHeadingAgain says that a row repeats the heading, as reports do on each printed page.
func (t *table) isHeadingAgain(row gridRow) bool {
	i := t.column(t.mapping.Sample.Column)
	return i >= 0 && sameName(row.at(i).text, t.headings[i])
}

// leftOut names the columns that nothing is taken from, but for those that the mapping says to leave out.
func (t *table) leftOut() (names []string) {
	used := t.mapping.uses()
	for _, h := range t.headings {
		if h != "" && !slices.ContainsFunc(used, func(u string) bool { return sameName(u, h) }) && !t.mapping.leaves(h) {
			names = append(names, h)
		}
	}
	return names
}

// rowReader reads one row. It goes on after a fault, so that all faults of a row are reported.
type rowReader struct {
	*table
	row gridRow
	ok  bool
}

// sample reads a row. isTold is false where the row does not tell which layer of which sample of which day it is.
func (t *table) sample(row gridRow) (s Sample, isTold bool) {
	c := &rowReader{table: t, row: row, ok: true}
	m := t.mapping
	s = Sample{Where: season.Where{File: t.report.file, Line: row.line}, Sheet: t.sheet}
	if s.Soil.Sample = c.word(m.Sample); s.Soil.Sample == "" {
		c.wrong(m.Sample.Column, "the row names no sample", "", "an id in every row; take rows of sums or notes out of the table")
	}
	s.Soil.Field = c.word(m.Field)
	s.Soil.Zone = c.word(m.Zone)
	s.Soil.Day = c.date()
	s.Soil.Lab = c.word(m.LabIn)
	if s.Soil.Lab == "" {
		s.Soil.Lab = m.Lab
	}
	l := c.layer()
	s.Soil.Top, s.Soil.Bottom = l.top, l.bottom
	isTold = c.ok
	c.results(&s)
	return s, isTold
}

func (c *rowReader) wrong(heading, message, found, expected string) {
	c.ok = false
	c.report.wrong(c.where(c.row, c.column(heading), heading), message, quoted(found), expected)
}

func (c *rowReader) text(heading string) string { return c.row.at(c.column(heading)).text }

// word reads a cell of words, or the word that holds for all.
func (c *rowReader) word(from Source) string {
	if from.Is != "" {
		return from.Is
	}
	text := strings.Join(strings.Fields(c.text(from.Column)), " ")
	for name, ours := range from.Names {
		if sameName(name, text) {
			return ours
		}
	}
	return text
}

func (c *rowReader) date() calendar.Day {
	if c.mapping.Date.Is != "" {
		day, _ := calendar.Parse(c.mapping.Date.Is) // looked at with the mapping
		return day
	}
	text := c.text(c.mapping.Date.Column)
	day, ok := serialDate(text, c.from1904)
	if !ok || c.sheet == "" {
		day, ok = readDate(text, c.mapping.DateFormat)
	}
	switch at := c.where(c.row, c.column(c.mapping.Date.Column), c.mapping.Date.Column); {
	case ok && !c.report.notToCome(at, day, text):
		c.ok = false
	case !ok:
		format := c.mapping.DateFormat
		if format == "" {
			format = "year-month-day; or date-format: " + oneOf(DateFormats()[1:]) + " in the mapping"
		}
		c.wrong(c.mapping.Date.Column, "the date cannot be read", text, format)
	}
	return day
}

func (c *rowReader) layer() layer {
	d := c.mapping.Depth
	var heading, fault string
	var l layer
	switch {
	case d.Is != "":
		l, fault = readLayer(d.Is, d.Unit)
	case d.Column != "":
		heading = d.Column
		text := c.text(d.Column)
		for name, meant := range d.Names {
			if sameName(name, text) {
				text = meant
			}
		}
		l, fault = readLayer(text, d.Unit)
	default:
		heading = d.Bottom
		l, fault = readLayer(c.text(d.Top)+"-"+c.text(d.Bottom), d.Unit)
	}
	if fault != "" {
		found := c.text(heading)
		if d.Top != "" {
			found = c.text(d.Top) + " to " + c.text(d.Bottom)
		}
		c.wrong(heading, fault, found, `a layer such as "0-6 in" or "0-15 cm", at most 3 m deep; words such as topsoil under depth: names: in the mapping`)
		return l
	}
	if odd := oddDepth(l); odd != "" {
		c.report.doubt(c.where(c.row, c.column(heading), heading), odd, "", "the unit in which the laboratory gives depths")
	}
	return l
}

func (c *rowReader) results(s *Sample) {
	for _, column := range c.mapping.Results {
		v, ok := c.reading(column, s.Soil)
		if !ok {
			continue
		}
		t := v.take()
		if t.wrong.message != "" {
			c.wrong(column.Column, t.wrong.message, v.text, t.wrong.expected)
		}
		if _, twice := s.Soil.Find(t.result.Analyte); twice && t.isResult() {
			c.wrong(column.Column, "two columns of the row both give "+soil.Name(column.Analyte), v.text, "one of them; the other under leave-out")
			continue
		}
		s.keep(t, v)
	}
}

// reading reads a cell of results. It is not ok where the cell itself is at fault, which is reported.
func (c *rowReader) reading(column Column, s season.Soil) (v reading, ok bool) {
	cell := c.row.at(c.column(column.Column))
	if cell.merged && cell.text != "" {
		c.wrong(column.Column, "the cell is merged with one that begins in row "+strconv.Itoa(cell.from)+", so one result would count twice", cell.text, "a result in a cell of its own")
		return v, false
	}
	said := readResult(cell.text, c.decimal, c.mapping.NotDetected, c.mapping.NotMeasured)
	name, fault := column.unitOf(said, c.text(column.UnitColumn))
	if fault != "" && said.outcome != isUnreadable && said.outcome != isEmpty {
		c.wrong(column.Column, fault, cell.text, "one unit a column; or unit: in-cell, or unit-column: a heading, in the mapping")
		return v, false
	}
	return reading{column: column, said: said, text: cell.text, unit: name, soil: s, soilMass: c.mapping.SoilMass}, true
}

// unitOf is the unit of a cell: its own, that of the column beside it, or the mapping's. A cell may repeat the
// mapping's unit but not name another.
func (c Column) unitOf(said saying, beside string) (name, fault string) {
	stated := said.unit
	if stated == "" && c.UnitColumn != "" {
		stated = beside
	}
	switch {
	case said.outcome == isNotDetected && stated == "" && c.Unit == InCell:
		return "", "the cell names no unit"
	case stated == "" && (c.Unit == InCell || c.UnitColumn != "" && c.Unit == ""):
		return "", "the cell names no unit"
	case stated == "":
		return c.Unit, ""
	case c.Unit != InCell && c.Unit != "":
		own, okOwn := findUnit(stated)
		meant, _ := findUnit(c.Unit)
		if !okOwn || own.name != meant.name {
			return "", "the cell is in another unit than the mapping says, " + c.Unit
		}
		return c.Unit, ""
	default:
		return stated, ""
	}
}
