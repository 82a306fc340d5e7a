package lab

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
)

// grid is one table of a report, as it stands.
type grid struct {
	sheet string // of a workbook; empty for CSV
	// from1904 says that the workbook counts days from 1904.
	from1904 bool
	rows     []gridRow
	// delimiter is that of a CSV file.
	delimiter string
}

type gridRow struct {
	line  int // in the file, or the row of the sheet
	cells []gridCell
}

type gridCell struct {
	text string
	// merged says that the text is that of a merged cell that begins elsewhere, at line from.
	merged bool
	from   int
}

func (r gridRow) at(i int) gridCell {
	if i < 0 || i >= len(r.cells) {
		return gridCell{}
	}
	return r.cells[i]
}

func (r gridRow) isBlank() bool {
	return !slices.ContainsFunc(r.cells, func(c gridCell) bool { return c.text != "" })
}

// where names a cell: by its heading in CSV, by sheet and address in a workbook.
func (g *grid) where(row gridRow, column int, heading string) place {
	if g.sheet == "" {
		return place{row.line, heading}
	}
	name := fmt.Sprintf("cell %s%d of sheet %s", letters(column), row.line, g.sheet)
	if heading != "" {
		name += " (" + heading + ")"
	}
	return place{row.line, name}
}

// letters is the name of a column in a workbook, from 0: A, B, …, Z, AA.
func letters(column int) string {
	name := ""
	for column++; column > 0; column = (column - 1) / 26 {
		name = string(rune('A'+(column-1)%26)) + name
	}
	return name
}

// delimiters are the signs that may stand between the columns of a CSV file.
func delimiters() []string { return []string{",", ";", "tab", "|"} }

func delimiterByte(name string) byte {
	if name == "tab" {
		return '\t'
	}
	return name[0]
}

// readCSV reads a table with a delimiter, which it finds out where none is given.
func readCSV(data []byte, delimiter string, r *report) *grid {
	data, ok := decode(data, r)
	if !ok {
		return nil
	}
	if delimiter == "" {
		delimiter = findDelimiter(data)
	}
	g := &grid{delimiter: delimiter}
	s := splitter{data: data, delimiter: delimiterByte(delimiter), line: 1}
	cells := 0
	for {
		row, fault, more := s.next()
		cells += len(row.cells)
		switch {
		case !more:
			return g
		case fault != "":
			r.wrong(place{row.line, ""}, fault, "", "cells between delimiters, in quotation marks if they hold one")
			return nil
		case len(g.rows) >= mostRows || cells > mostCells:
			r.wrong(place{row.line, ""}, "the table is longer than a laboratory's report", "", fmt.Sprintf("at most %d rows", mostRows))
			return nil
		}
		g.rows = append(g.rows, row)
	}
}

// decode gives a file's text in UTF-8 without byte order mark.
func decode(data []byte, r *report) ([]byte, bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xEF\xBB\xBF")):
		data = data[3:]
	case bytes.HasPrefix(data, []byte("\xFF\xFE")), bytes.HasPrefix(data, []byte("\xFE\xFF")):
		decoded, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		if err != nil {
			r.wrong(place{1, ""}, "the file is not readable as UTF-16 text", err.Error(), "text in UTF-8")
			return nil, false
		}
		data = decoded
	}
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		r.wrong(place{1, ""}, "the file is empty", "", "a laboratory's report")
		return nil, false
	case bytes.IndexByte(data, 0) >= 0:
		r.wrong(place{1, ""}, "the file is neither plain text nor a workbook", "a zero byte", "CSV, XLSX, or the exchange standard as XML or JSON")
		return nil, false
	case !utf8.Valid(data):
		r.wrong(place{1, ""}, "the file is not in UTF-8", "", `text in UTF-8; save it as "CSV UTF-8"`)
		return nil, false
	}
	return data, true
}

// findDelimiter looks for a semicolon, tab or bar in at least half of the first lines, and takes a comma where
// there is none: commas may be decimals beside another delimiter, but not the other way round. Signs inside
// quotation marks do not count.
func findDelimiter(data []byte) string {
	lines := bytes.SplitN(data, []byte{'\n'}, 21)
	lines = slices.DeleteFunc(lines[:min(len(lines), 20)], func(line []byte) bool { return len(bytes.TrimSpace(line)) == 0 })
	best, most := ",", 0
	for _, name := range []string{";", "tab", "|"} {
		with, signs := 0, 0
		for _, line := range lines {
			if n := countOutside(line, delimiterByte(name)); n > 0 {
				with++
				signs += n
			}
		}
		if 2*with >= len(lines) && signs > most {
			best, most = name, signs
		}
	}
	return best
}

// entity is what stands before a semicolon that parts nothing: the beginning of &lt; and the like.
var entity = regexp.MustCompile(`&#?[A-Za-z0-9]{2,8}$`)

func countOutside(line []byte, sign byte) (n int) {
	inside := false
	for i, c := range line {
		switch {
		case c == '"':
			inside = !inside
		case c == sign && !inside && !(sign == ';' && entity.Match(line[:i])):
			n++
		}
	}
	return n
}

// splitter takes rows apart after RFC 4180, with any delimiter and any line end. encoding/csv would not give
// the line of each row after quoted line ends and ends at the first fault without its place in words.
type splitter struct {
	data      []byte
	delimiter byte
	at, line  int
}

func (s *splitter) next() (row gridRow, fault string, more bool) {
	row.line = s.line
	if s.at >= len(s.data) {
		return row, "", false
	}
	for {
		text, last, fault := s.cell()
		switch {
		case fault != "":
			return row, fault, true
		case len(row.cells) >= mostColumns:
			return row, fmt.Sprintf("the row has more than %d columns", mostColumns), true
		case len(text) > mostCell:
			return row, "a cell holds more text than a laboratory prints", true
		}
		row.cells = append(row.cells, gridCell{text: strings.TrimSpace(text)})
		if last {
			return row, "", true
		}
	}
}

func (s *splitter) cell() (text string, last bool, fault string) {
	for s.at < len(s.data) && s.data[s.at] == ' ' {
		s.at++
	}
	if s.at < len(s.data) && s.data[s.at] == '"' {
		return s.quotedCell()
	}
	start := s.at
	for s.at < len(s.data) && s.data[s.at] != s.delimiter && s.data[s.at] != '\n' && s.data[s.at] != '\r' {
		s.at++
	}
	text = string(s.data[start:s.at])
	return text, s.end(), ""
}

func (s *splitter) quotedCell() (text string, last bool, fault string) {
	var b strings.Builder
	for s.at++; ; s.at++ {
		if s.at >= len(s.data) || b.Len() > mostCell {
			return "", true, "a quotation mark is opened and never closed"
		}
		c := s.data[s.at]
		if c == '\n' || c == '\r' && !(s.at+1 < len(s.data) && s.data[s.at+1] == '\n') {
			s.line++
		}
		if c == '"' {
			s.at++
			if s.at >= len(s.data) || s.data[s.at] != '"' {
				break
			}
		}
		b.WriteByte(c)
	}
	for s.at < len(s.data) && s.data[s.at] == ' ' {
		s.at++
	}
	if s.at < len(s.data) && s.data[s.at] != s.delimiter && s.data[s.at] != '\n' && s.data[s.at] != '\r' {
		return "", true, "text follows a closing quotation mark"
	}
	return b.String(), s.end(), ""
}

// end takes the delimiter or the line end after a cell, and says whether the row is over.
func (s *splitter) end() bool {
	if s.at >= len(s.data) {
		return true
	}
	c := s.data[s.at]
	s.at++
	if c == s.delimiter {
		return false
	}
	if c == '\r' && s.at < len(s.data) && s.data[s.at] == '\n' {
		s.at++
	}
	s.line++
	return true
}
