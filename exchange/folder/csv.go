package folder

import "bytes"

// scanner takes the rows of a CSV file apart, after RFC 4180: commas between cells, double quotes around a
// cell that holds commas, quotes or line ends, two quotes for one inside. Rows end with LF, CR LF or CR. It
// is a scanner of our own and not encoding/csv for three reasons: a cell must tell whether it was quoted,
// a fault must not hide the rows after it, and weather is read by the hundred thousand rows.
type scanner struct {
	data  []byte
	at    int
	line  int // of the next byte, from 1
	cells []cell
	// unescaped holds the cells that had doubled quotes in them.
	unescaped []byte
}

// cell is one cell. An unquoted cell is without the white space around it; a quoted one is as it stands.
type cell struct {
	text   []byte
	quoted bool
}

// The bounds within which a file is a table that somebody wrote.
const (
	longestRow  = 1 << 16 // bytes
	mostColumns = 256
)

func newScanner(data []byte) *scanner { return &scanner{data: data, line: 1} }

// next gives the cells of the next row and the line it starts on; the cells hold until the next call. It
// returns false at the end. A fault in the row is given in words; scanning can go on after it.
func (s *scanner) next() (line int, fault string, more bool) {
	if s.at >= len(s.data) {
		return s.line, "", false
	}
	line, start := s.line, s.at
	s.cells, s.unescaped = s.cells[:0], s.unescaped[:0]
	for {
		last, fault := s.cell()
		switch {
		case fault != "":
		case s.at-start > longestRow:
			fault = "the row is too long for a table"
		case len(s.cells) > mostColumns:
			fault = "the row has too many columns for a table"
		case last:
			return line, "", true
		default:
			continue
		}
		if !last {
			s.skipLine()
		}
		return line, fault, true
	}
}

// cell takes one cell and says whether it was the row's last.
func (s *scanner) cell() (last bool, fault string) {
	for s.at < len(s.data) && (s.data[s.at] == ' ' || s.data[s.at] == '\t') {
		s.at++
	}
	if s.at < len(s.data) && s.data[s.at] == '"' {
		return s.quotedCell()
	}
	start := s.at
	for s.at < len(s.data) {
		if c := s.data[s.at]; c == ',' || c == '\n' || c == '\r' {
			break
		}
		s.at++
	}
	text := s.data[start:s.at]
	for len(text) > 0 && (text[len(text)-1] == ' ' || text[len(text)-1] == '\t') {
		text = text[:len(text)-1]
	}
	s.cells = append(s.cells, cell{text: text})
	return s.separator(), ""
}

func (s *scanner) quotedCell() (last bool, fault string) {
	s.at++
	start, doubled := s.at, false
	for {
		i := bytes.IndexByte(s.data[s.at:min(len(s.data), s.at+longestRow)], '"')
		if i < 0 {
			return false, "a quotation mark is opened and never closed"
		}
		s.at += i + 1
		if s.at >= len(s.data) || s.data[s.at] != '"' {
			break
		}
		doubled = true
		s.at++
	}
	text := s.data[start : s.at-1]
	s.line += lineEnds(text)
	if doubled {
		from := len(s.unescaped)
		for i := 0; i < len(text); i++ {
			s.unescaped = append(s.unescaped, text[i])
			if text[i] == '"' {
				i++
			}
		}
		text = s.unescaped[from:]
	}
	s.cells = append(s.cells, cell{text: text, quoted: true})
	for s.at < len(s.data) && (s.data[s.at] == ' ' || s.data[s.at] == '\t') {
		s.at++
	}
	if s.at < len(s.data) && s.data[s.at] != ',' && s.data[s.at] != '\n' && s.data[s.at] != '\r' {
		return false, "text follows a closing quotation mark"
	}
	return s.separator(), ""
}

// separator takes the comma or the line end after a cell.
func (s *scanner) separator() (last bool) {
	if s.at >= len(s.data) {
		return true
	}
	c := s.data[s.at]
	s.at++
	if c == ',' {
		return false
	}
	if c == '\r' && s.at < len(s.data) && s.data[s.at] == '\n' {
		s.at++
	}
	s.line++
	return true
}

// skipLine goes on to the start of the next line, to scan on after a fault.
func (s *scanner) skipLine() {
	i := bytes.IndexAny(s.data[s.at:], "\r\n")
	if i < 0 {
		s.at = len(s.data)
		return
	}
	s.at += i
	s.separator()
}

// lineEnds counts the lines that end in a text: at LF, CR LF or CR.
func lineEnds(text []byte) int {
	n := bytes.Count(text, []byte{'\n'}) + bytes.Count(text, []byte{'\r'})
	if n > 0 {
		n -= bytes.Count(text, []byte("\r\n"))
	}
	return n
}

// appendCell writes a cell, in quotes where it needs them to be read back as it is.
func appendCell(row []byte, text string) []byte {
	if !needsQuotes(text) {
		return append(row, text...)
	}
	row = append(row, '"')
	for i := range len(text) {
		if text[i] == '"' {
			row = append(row, '"')
		}
		row = append(row, text[i])
	}
	return append(row, '"')
}

func needsQuotes(text string) bool {
	if text == "" {
		return false
	}
	for i := range len(text) {
		switch text[i] {
		case ',', '"', '\n', '\r':
			return true
		}
	}
	first, last := text[0], text[len(text)-1]
	return first == ' ' || first == '\t' || last == ' ' || last == '\t'
}
