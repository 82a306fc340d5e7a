package lab

import (
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/soil"
	"culm/season"
)

// Suggestion is a mapping drafted from a report, and what a person must look at in it.
type Suggestion struct {
	Mapping Mapping `json:"-"`
	// Unsure are, in sentences, what stands as "?" in the mapping or was taken from weak signs.
	Unsure []string `json:"unsure"`

	labNumber string // the column of the laboratory's own numbers
}

// Suggest drafts a mapping for a report: from the headings of a table, or from elements and tests of the exchange
// standard. What the report does not say, or says twice, stands as "?", and the mapping is not read by until a person decides.
// Problems are those of a file that cannot be read at all.
func Suggest(name string, data []byte) (Suggestion, []season.Problem) {
	r := newReport(name)
	if len(data) > mostBytes {
		read(data, Mapping{}, r) // refuses it in words
		return Suggestion{}, r.all()
	}
	form := FormOf(data)
	var s Suggestion
	switch form {
	case XML:
		s = suggestStandard(readXML(data, r))
	case JSON:
		s = suggestStandard(readJSON(data, r))
	case Workbook:
		s = suggestTable(readWorkbook(data, nil, r), r)
	default:
		if g := readCSV(data, "", r); g != nil {
			s = suggestTable([]*grid{g}, r)
		}
	}
	if r.failed() {
		return Suggestion{}, r.all()
	}
	return s, r.all()
}

func (s *Suggestion) unsure(format string, args ...any) {
	s.Unsure = append(s.Unsure, fmt.Sprintf(format, args...))
}

// heading is where the heading of a table may be.
type heading struct {
	grid       *grid
	first      int // index of its first row
	deep       int
	score      float64
	headings   []string
	recognized int
}

// suggestTable drafts a mapping from the table whose heading is understood best.
func suggestTable(grids []*grid, r *report) Suggestion {
	var best heading
	for _, g := range grids {
		if h := bestHeading(g); h.score > best.score {
			best = h
		}
	}
	if best.recognized < 2 {
		found := ""
		if len(grids) > 0 {
			found = strings.TrimPrefix(grids[0].parted(), ", ")
		}
		r.wrong(place{}, "no row of the file looks like the heading of a laboratory's report", found, "a row with names such as Sample, Depth, pH, P ppm; or write the mapping by hand, see docs/formats.md")
		return Suggestion{}
	}
	s := Suggestion{}
	m := &s.Mapping
	t := table{grid: best.grid, headings: best.headings, body: best.grid.rows[min(best.first+best.deep, len(best.grid.rows)):], report: r}
	if best.first > 0 || best.deep > 1 {
		m.HeaderRow = best.grid.rows[best.first].line
	}
	if best.deep > 1 {
		m.HeaderRows = best.deep
	}
	if t.sheet != "" {
		s.sheets(t.sheet, grids)
	} else if t.delimiter != "," {
		m.Delimiter = t.delimiter
	}
	s.columns(t)
	t.mapping = *m
	s.signs(&t)
	s.placesMissing()
	s.dates(&t)
	return s
}

// sheets names the sheet to read, unless others look like reports too.
func (s *Suggestion) sheets(best string, grids []*grid) {
	s.Mapping.Sheets = []string{best}
	var reports []string
	for _, g := range grids {
		if bestHeading(g).recognized >= 2 {
			reports = append(reports, g.sheet)
		}
	}
	switch {
	case len(reports) > 1:
		s.Mapping.Sheets = []string{Undecided}
		s.unsure("Sheets %s all look like reports, and what follows is of %s. Write sheet: one of them, or a list.", quotedList(reports), best)
	case len(grids) > 1:
		s.unsure("The workbook has %d sheets with something in them; only %s looks like a report and is read.", len(grids), best)
	}
}

// bestHeading looks for the rows of a table that say the most as a heading.
func bestHeading(g *grid) (best heading) {
	for first := range g.rows[:min(len(g.rows), mostHeadingRow)] {
		for deep := 1; deep <= 3 && first+deep <= len(g.rows); deep++ {
			rows := g.rows[first : first+deep]
			if holdsNumbers(rows) {
				break
			}
			h := heading{grid: g, first: first, deep: deep, headings: joinHeadings(rows)}
			h.weigh()
			if h.score > best.score {
				best = h
			}
		}
	}
	return best
}

// holdsNumbers says that a row is no heading but a sample.
func holdsNumbers(rows []gridRow) bool {
	numbers := 0
	for _, row := range rows {
		for _, c := range row.cells {
			if _, ok := readNumber(c.text, "."); ok {
				numbers++
			}
		}
	}
	return numbers > 1
}

func (h *heading) weigh() {
	for _, name := range h.headings {
		a, _ := analyteOf(name)
		if a == "" && partOf(name) == noPart {
			continue
		}
		h.recognized++
		h.score++
		if a != "" && a.Unit() != "" && unitInHeading(name, a) != Undecided {
			h.score += 0.5
		}
		if isDepth := partOf(name) >= topPart; isDepth && lengthInHeading(name) != Undecided {
			h.score += 0.5
		}
		if a != "" && a.NeedsMethod() && methodInHeading(name, a) != Undecided {
			h.score += 0.25
		}
	}
	h.score -= 0.1 * float64(h.deep) // of two that say the same, the one of fewer rows
}

// columns drafts where everything stands.
func (s *Suggestion) columns(t table) {
	m := &s.Mapping
	taken := map[season.Analyte]string{}
	for _, name := range t.headings {
		if name == "" {
			continue
		}
		if s.part(name) {
			continue
		}
		a, as := analyteOf(name)
		switch {
		case a == "":
			m.LeaveOut = append(m.LeaveOut, name)
		case taken[a] == name:
			s.unsure("Two columns are called %q. Give one of them another name in the report.", name)
		case taken[a] != "":
			m.Results = append(m.Results, Column{Column: name, Analyte: Undecided})
			s.unsure("Columns %q and %q both seem to give %s. Put one of them under leave-out, or write what the second measures.", taken[a], name, soil.Name(a))
		default:
			taken[a] = name
			s.result(name, a, as)
		}
	}
	s.number()
	if len(m.LeaveOut) > 0 {
		s.unsure("Nothing is taken from %s.", quotedList(m.LeaveOut))
	}
}

// number says what becomes of the laboratory's own numbers. Spots are found by the id that was given to them.
func (s *Suggestion) number() {
	m := &s.Mapping
	switch {
	case s.labNumber == "":
	case m.Sample.Column != "":
		m.LeaveOut = append(m.LeaveOut, s.labNumber)
	default:
		m.Sample.Column = Undecided
		s.unsure("Column %q has the laboratory's own numbers, and no column looks like the id that was written on the bag. Write sample: {column: %s} if there is no other; marked spots are found by that id.", s.labNumber, s.labNumber)
	}
}

func quotedList(names []string) string {
	var list []string
	for _, name := range names {
		list = append(list, quoted(shown(name)))
	}
	return strings.Join(list, ", ")
}

// part takes a column for sample, field, day, laboratory or depth. Where two may be the same, a person decides.
func (s *Suggestion) part(name string) bool {
	m := &s.Mapping
	take := func(to *string, what string) bool {
		switch *to {
		case "":
			*to = name
			return true
		case Undecided:
		default:
			s.unsure("Columns %q and %q both may be %s. Write which.", *to, name, what)
			m.LeaveOut = append(m.LeaveOut, *to)
			*to = Undecided
		}
		m.LeaveOut = append(m.LeaveOut, name)
		return true
	}
	depth := func(to *string, what string) bool {
		if unit := lengthInHeading(name); m.Depth.Unit == "" || m.Depth.Unit == Undecided {
			m.Depth.Unit = unit
		}
		return take(to, what)
	}
	switch partOf(name) {
	case samplePart:
		return take(&m.Sample.Column, "the sample's id")
	case labNumberPart:
		return take(&s.labNumber, "the laboratory's number")
	case fieldPart:
		return take(&m.Field.Column, "the field")
	case zonePart:
		return take(&m.Zone.Column, "the zone")
	case datePart:
		return take(&m.Date.Column, "the day of sampling")
	case labPart:
		return take(&m.LabIn.Column, "the laboratory")
	case topPart:
		return depth(&m.Depth.Top, "the top of the layer")
	case bottomPart:
		return depth(&m.Depth.Bottom, "the bottom of the layer")
	case depthPart:
		return depth(&m.Depth.Column, "the depth")
	default:
		return false
	}
}

func (s *Suggestion) result(name string, a season.Analyte, as string) {
	c := Column{Column: name, Analyte: a, Unit: unitInHeading(name, a), As: as, Method: methodInHeading(name, a)}
	if bases(a) == nil {
		c.As = ""
	}
	if c.Unit == Undecided {
		s.unsure("Column %q: the heading does not tell one unit. Write %s; or in-cell where each cell names its own.", name, oneOf(unitsOf(a)))
	}
	if c.As == Undecided {
		s.unsure("Column %q: the heading does not tell as what it is counted. Write %s.", name, oneOf(bases(a)))
	}
	switch {
	case c.Method == Undecided:
		s.unsure("Column %q: the heading does not tell the method. Write %s, or unknown.", name, oneOf(a.Methods()))
	case a == season.Phosphorus && c.Method == season.Mehlich3:
		s.unsure("Column %q: the heading does not tell whether phosphorus was detected by plasma or color. Write %s or %s if you know.", name, season.Mehlich3ICP, season.Mehlich3Colorimetric)
	}
	if isPerArea(c.Unit) && s.Mapping.SoilMass == 0 {
		if !slices.ContainsFunc(s.Unsure, func(u string) bool { return strings.HasPrefix(u, "soil-mass") }) {
			s.unsure("soil-mass is missing: results per area need the laboratory's own mass of soil. Write soil-mass: 0.3, or soil-mass: 2 million lb per 6 in.")
		}
	}
	s.Mapping.Results = append(s.Mapping.Results, c)
}

// signs finds the decimal sign and the words that stand for no number.
func (s *Suggestion) signs(t *table) {
	m := &s.Mapping
	texts := t.resultTexts()
	decimal, isMixed := findDecimal(texts, t.pointsAreUsual())
	switch {
	case isMixed:
		m.Decimal = Undecided
		s.unsure(`Some numbers have a point before decimals and some a comma. Write decimal: "." or decimal: ","; the others must be set right in the report.`)
	case decimal == ",":
		m.Decimal = ","
	case decimal == "":
		m.Decimal = Undecided
		s.unsure(`Nothing tells whether commas and points stand before decimals or thousands. Write decimal: "." or decimal: ",".`)
	}
	for i := range m.Results {
		c := &m.Results[i]
		at := t.column(c.Column)
		for _, row := range t.body {
			text := row.at(at).text
			if said := readResult(text, decimal, nil, nil); said.outcome != isUnreadable || said.why != "the result cannot be read" {
				continue
			}
			if strings.ContainsAny(text, "0123456789") || len(text) > 20 {
				continue
			}
			c.WhenNotDetected = Undecided
			if !slices.ContainsFunc(m.NotDetected, func(w string) bool { return sameName(w, text) }) {
				m.NotDetected = append(m.NotDetected, text)
			}
		}
		if c.WhenNotDetected == Undecided {
			s.unsure("Column %q has words for results, %s. Give its limit and write when-not-detected: limit, or leave-out.", c.Column, quotedList(m.NotDetected))
		}
	}
}

// placesMissing marks what every report needs and this one does not show.
func (s *Suggestion) placesMissing() {
	m := &s.Mapping
	if m.Sample.Column == "" {
		m.Sample.Column = Undecided
		s.unsure("No column looks like the sample's id.")
	}
	if m.Date.Column == "" {
		m.Date.Is = Undecided
		s.unsure("No column looks like the day of sampling. Write date: {is: 2026-09-08}, or name a column.")
	}
	d := &m.Depth
	switch {
	case (d.Top == "" || d.Bottom == "") && d.Column == "":
		*d = DepthSource{Is: Undecided}
		s.unsure("No column looks like the depth. Write depth: 0-6 in if all samples are from one, or name columns.")
	case d.Top != "" && d.Bottom != "":
		d.Column = ""
	default:
		d.Top, d.Bottom = "", ""
	}
	if d.Unit == Undecided && d.Is == "" {
		s.unsure("The heading of the depth does not tell whether it is in or cm.")
	}
	if m.Field.Column == "" {
		s.unsure("No column looks like the field. Samples of marked spots find their field by the sample's id; for others write field: {is: the field's id}.")
	}
}

// dates finds the order of day and month.
func (s *Suggestion) dates(t *table) {
	m := &s.Mapping
	if m.Date.Column == "" || m.Date.Column == Undecided {
		return
	}
	at := t.column(m.Date.Column)
	var fitting []string
	for _, format := range DateFormats() {
		fits := func(row gridRow) bool {
			text := row.at(at).text
			_, serial := serialDate(text, t.from1904)
			_, ok := readDate(text, format)
			return text == "" || ok || t.sheet != "" && serial
		}
		if !slices.ContainsFunc(t.body, func(row gridRow) bool { return !fits(row) }) {
			fitting = append(fitting, format)
		}
	}
	switch {
	case slices.Contains(fitting, "year-month-day"):
	case len(fitting) == 1:
		m.DateFormat = fitting[0]
	default:
		m.DateFormat = Undecided
		s.unsure("The dates do not tell their order. Write date-format: %s.", oneOf(DateFormats()))
	}
}

// suggestStandard drafts what a file of the exchange standard does not say itself. Of several tests of one
// analyte it takes the first that was measured.
func suggestStandard(events []event) Suggestion {
	s := Suggestion{}
	tests := map[season.Analyte][]stdResult{}
	seen := map[string]bool{}
	for _, e := range events {
		for _, sample := range e.samples {
			for _, d := range sample.depths {
				for _, f := range d.results {
					a, key := told(f).Analyte, f.element+"\x00"+f.test
					if a != "" && !seen[key] {
						seen[key] = true
						tests[a] = append(tests[a], f)
					}
				}
			}
		}
	}
	for _, a := range season.Analytes() {
		if len(tests[a]) > 0 {
			s.element(a, tests[a])
		}
	}
	if len(s.Mapping.Results) == 0 && len(s.Mapping.LeaveOut) == 0 {
		s.unsure("The file says everything itself; no mapping is needed.")
	}
	return s
}

// element chooses among the tests of an analyte, and asks what the one chosen does not say.
func (s *Suggestion) element(a season.Analyte, tests []stdResult) {
	chosen := max(0, slices.IndexFunc(tests, func(f stdResult) bool { return !f.isCalculated() }))
	f := tests[chosen]
	for i, other := range tests {
		switch {
		case i == chosen:
		case other.isCalculated() && !f.isCalculated():
			s.Mapping.LeaveOut = append(s.Mapping.LeaveOut, other.name())
			s.unsure("%s was not measured but calculated, and %s gives %s too; the first is left out.", other.name(), f.name(), soil.Name(a))
		default:
			column := Column{Test: other.test, Analyte: Undecided}
			if other.test == "" {
				column.Element = other.element
			}
			s.Mapping.Results = append(s.Mapping.Results, column)
			s.unsure("%s and %s both give %s. Put one of them under leave-out: keep the one that your guidance asks for.", f.name(), other.name(), soil.Name(a))
		}
	}
	column := told(f)
	forms := bases(a)
	needsBasis := len(forms) > 0 && column.As == ""
	needsMethod := column.Method == "" && a.NeedsMethod()
	if !needsBasis && !needsMethod {
		return
	}
	if column.Test = f.test; f.test == "" {
		column.Element = f.element
	}
	if needsBasis {
		column.As = Undecided
		s.unsure("%s does not tell as what %s is counted. Write %s.", f.name(), soil.Name(a), oneOf(forms))
	}
	if needsMethod {
		column.Method = Undecided
		s.unsure("%s does not tell how %s was measured. Write %s, or unknown.", f.name(), soil.Name(a), oneOf(a.Methods()))
	}
	s.Mapping.Results = append(s.Mapping.Results, column)
}
