package lab

import (
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/season"
)

// Undecided stands in a suggested mapping where a person must decide. A mapping with it is refused.
const Undecided = "?"

// Unknown is written as method where nobody can find out how the laboratory measured.
const Unknown = season.UnknownMethod

// Mapping says how a laboratory's reports are read. See docs/formats.md for its form as a file.
type Mapping struct {
	Lab string // name of the laboratory, where the report has no column for it

	// Sheets are those of a workbook to read; empty means the only one with anything in it.
	Sheets []string
	// HeaderRow is the first row of the heading, counted from 1; 0 means that it is found by the columns named
	// here. The heading is HeaderRows deep, 0 meaning one; names in the same column are joined with " / ".
	HeaderRow, HeaderRows int
	// Delimiter is that of a CSV file, Decimal the sign before decimals; empty means that they are found out.
	Delimiter, Decimal string
	// DateFormat is one of DateFormats; empty means year-month-day.
	DateFormat string

	Sample Source
	Field  Source
	Date   Source
	Zone   Source // the part of the field that a sample speaks for
	LabIn  Source // column of the laboratory's name
	Depth  DepthSource
	// SoilMass is the laboratory's own mass of soil where it prints lb/ac or kg/ha; 0 where it does not.
	SoilMass unit.PoundsPerMillion

	// NotDetected are the laboratory's words for a result under its detection limit; NotMeasured for a test
	// that was not made, beside those that everybody uses.
	NotDetected, NotMeasured []string

	Results []Column
	// LeaveOut are columns, or elements and tests of the exchange standard, that nothing is taken from.
	LeaveOut []string
}

// Source is a column, or a value that holds for the whole report.
type Source struct {
	Column string
	Is     string
	// Names turn the laboratory's names into those of the season.
	Names map[string]string
}

func (s Source) given() bool { return s.Column != "" || s.Is != "" }

// DepthSource says from which depth samples are: two columns, one column such as "0-6", or one layer for all.
type DepthSource struct {
	Top, Bottom, Column string
	Is                  string
	Unit                string // "in" or "cm" of numbers that do not say
	// Names turn words such as topsoil into a layer, "0-7 in".
	Names map[string]string
}

func (d DepthSource) given() bool {
	return d.Top != "" || d.Bottom != "" || d.Column != "" || d.Is != "" || len(d.Names) > 0
}

// Column says how a column of results, or an element of the exchange standard, is read.
type Column struct {
	Column  string // its heading; or
	Element string // the element of the exchange standard, or
	Test    string // its test id
	Analyte season.Analyte
	// Unit is the unit printed. InCell means that each cell names its own. The exchange standard names it, so
	// it is left out there.
	Unit       string
	UnitColumn string // the column in which the unit stands
	// As is the basis, such as NO3 or NO3-N, for analytes that have several: see bases.
	As     string
	Method string
	// Limit is the detection limit in the unit printed, for results that the laboratory only calls not
	// detected. WhenNotDetected is limit, or leave-out to take no result.
	Limit           string
	WhenNotDetected string
	// WhenOver is what becomes of a result such as ">200": limit, or leave-out.
	WhenOver string

	line int // in the mapping's file
}

// InCell is the unit of a column in which every cell names its own.
const InCell = "in-cell"

// The words for what becomes of a result that is not a number.
const (
	takeLimit = "limit"
	leaveOut  = "leave-out"
)

// DateFormats are the orders in which reports write dates.
func DateFormats() []string {
	return []string{"year-month-day", "month/day/year", "day/month/year", "day.month.year"}
}

func (c Column) name() string {
	switch {
	case c.Column != "":
		return c.Column
	case c.Test != "":
		return c.Test
	default:
		return c.Element
	}
}

// bases are the forms in which an analyte may be counted; nil where there is only one.
func bases(a season.Analyte) []string {
	switch a {
	case season.NitrateN:
		return []string{"NO3-N", "NO3"}
	case season.AmmoniumN:
		return []string{"NH4-N", "NH4"}
	case season.Phosphorus:
		return []string{"P", "P2O5"}
	case season.Potassium:
		return []string{"K", "K2O"}
	case season.SulfateS:
		return []string{"SO4-S", "SO4"}
	default:
		return nil
	}
}

// Check gives what is wrong with a mapping by itself. standard says that it is for a file of the exchange
// standard, which names units and depths itself.
func (m Mapping) Check(name string, standard bool) []season.Problem {
	r := newReport(name)
	m.check(r, standard)
	return r.all()
}

func (m Mapping) check(r *report, standard bool) {
	if !standard {
		m.checkPlaces(r)
	}
	m.checkFixed(r)
	if len(m.Results) == 0 && !standard {
		r.wrong(place{0, "results"}, "the mapping takes no result", "nothing", "a list of columns, each with analyte, unit and method")
	}
	seen := map[string]bool{}
	for _, c := range m.Results {
		at := place{c.line, c.name()}
		if c.name() == "" {
			r.wrong(at, "a result of the mapping names no column", "nothing", "column: and a heading; for the exchange standard element: or test:")
		}
		if seen[c.name()] {
			r.wrong(at, "two results of the mapping name one column", quoted(c.name()), "each column once")
		}
		seen[c.name()] = true
		c.check(r, at, standard)
		if isPerArea(c.Unit) && m.SoilMass == 0 {
			r.wrong(at, "results per area need the laboratory's mass of soil to become ppm", quoted(c.Unit),
				"soil-mass: 0.3 (million lb to the acre-inch), or soil-mass: 2 million lb per 6 in, as the laboratory says")
		}
	}
}

// checkPlaces looks at where sample, day and depth come from.
func (m Mapping) checkPlaces(r *report) {
	if m.Sample.Column == "" || m.Sample.Column == Undecided {
		r.wrong(place{0, "sample"}, "the mapping does not say where the sample's id stands", quoted(m.Sample.Column), "sample: {column: a heading}")
	}
	if !m.Date.given() || m.Date.Column == Undecided || m.Date.Is == Undecided {
		r.wrong(place{0, "date"}, "the mapping does not say when the samples were drawn", quoted(m.Date.Column+m.Date.Is), "date: {column: a heading}, or date: {is: 2026-09-08} for all")
	}
	for key, column := range map[string]string{"field": m.Field.Column, "zone": m.Zone.Column, "lab": m.LabIn.Column} {
		if column == Undecided {
			r.wrong(place{0, key}, "the mapping does not say where the "+key+" stands", quoted(column), key+": {column: a heading}")
		}
	}
	if slices.Contains(m.Sheets, Undecided) {
		r.wrong(place{0, "sheet"}, "the mapping does not say which sheet is read", quoted(Undecided), "sheet: its name, or a list of names")
	}
	d := m.Depth
	switch {
	case !d.given() || slices.Contains([]string{d.Top, d.Bottom, d.Column, d.Is}, Undecided):
		r.wrong(place{0, "depth"}, "the mapping does not say from which depth the samples are", quoted(strings.Trim(d.Top+d.Bottom+d.Column+d.Is, " ")),
			"depth: {is: 0-6 in}, depth: {top: a heading, bottom: a heading, unit: in}, or depth: {column: a heading, unit: in}")
	case (d.Top == "") != (d.Bottom == ""):
		r.wrong(place{0, "depth"}, "the mapping names only one end of the layer", quoted(d.Top+d.Bottom), "top: and bottom:")
	case d.Unit != "" && d.Unit != "in" && d.Unit != "cm":
		r.wrong(place{0, "depth"}, "the unit of the depth is not known", quoted(d.Unit), "unit: in or unit: cm")
	case d.Unit == "" && d.Top != "":
		r.wrong(place{0, "depth"}, "the mapping does not say whether depths are in inches or centimeters", "nothing", "unit: in or unit: cm")
	}
	if m.DateFormat != "" && !slices.Contains(DateFormats(), m.DateFormat) {
		r.wrong(place{0, "date-format"}, "the order of dates is not known", quoted(m.DateFormat), oneOf(DateFormats()))
	}
	if m.Decimal != "" && m.Decimal != "." && m.Decimal != "," {
		r.wrong(place{0, "decimal"}, "the decimal sign is not one", quoted(m.Decimal), `"." or ","`)
	}
	if m.Delimiter != "" && !slices.Contains(delimiters(), m.Delimiter) {
		r.wrong(place{0, "delimiter"}, "the sign between columns is not known", quoted(m.Delimiter), `",", ";", "tab" or "|"`)
	}
}

// checkFixed looks at values that hold for the whole report.
func (m Mapping) checkFixed(r *report) {
	if m.Date.Is != "" && m.Date.Is != Undecided {
		if _, err := calendar.Parse(m.Date.Is); err != nil {
			r.wrong(place{0, "date"}, "the date cannot be read", quoted(m.Date.Is), "year-month-day, such as 2026-09-08")
		}
	}
	layers := map[string]string{"depth": m.Depth.Is}
	for word, layer := range m.Depth.Names {
		layers["depth, "+word] = layer
	}
	for key, text := range layers {
		if _, fault := readLayer(text, ""); text != "" && text != Undecided && fault != "" {
			r.wrong(place{0, key}, fault, quoted(text), "a layer with its unit, such as 0-6 in or 0-15 cm")
		}
	}
}

func (c Column) check(r *report, at place, standard bool) {
	if !c.Analyte.Known() {
		r.wrong(at, "the mapping does not say what this column measures", quoted(string(c.Analyte)), "analyte: one of "+oneOf(analyteNames())+"; or the heading under leave-out")
		return
	}
	if !standard || c.Unit != "" {
		c.checkUnit(r, at)
	}
	if forms := bases(c.Analyte); len(forms) > 0 && !slices.Contains(forms, c.As) && (!standard || c.As != "") {
		r.wrong(at, "the mapping does not say as what "+soil.Name(c.Analyte)+" is counted", quoted(c.As), "as: "+oneOf(forms))
	}
	c.checkMethod(r, at, standard)
	if c.WhenNotDetected != "" && c.WhenNotDetected != takeLimit && c.WhenNotDetected != leaveOut {
		r.wrong(at, "it is not known what becomes of results not detected", quoted(c.WhenNotDetected), "when-not-detected: limit or leave-out")
	}
	if c.WhenOver != "" && c.WhenOver != takeLimit && c.WhenOver != leaveOut {
		r.wrong(at, "it is not known what becomes of results over the range", quoted(c.WhenOver), "when-over: limit or leave-out")
	}
	if _, ok := readNumber(c.Limit, "."); c.Limit != "" && !ok {
		r.wrong(at, "the detection limit is not a number", quoted(c.Limit), "a number in the unit of the column, such as limit: 0.5")
	}
}

func (c Column) checkUnit(r *report, at place) {
	switch {
	case c.UnitColumn != "" && c.Unit == "":
	case c.Unit == InCell:
	case c.Unit == "" || c.Unit == Undecided:
		r.wrong(at, "the mapping does not say in which unit this column is", quoted(c.Unit), "unit: "+oneOf(unitsOf(c.Analyte))+"; or in-cell where each cell names its own")
	default:
		if _, whyNot := scaleFor(c.Analyte, c.Unit); whyNot != "" {
			r.wrong(at, whyNot, quoted(c.Unit), "unit: "+oneOf(unitsOf(c.Analyte)))
		}
	}
}

func (c Column) checkMethod(r *report, at place, standard bool) {
	method := season.MethodName(c.Method)
	known := c.Analyte.Methods()
	switch {
	case method == Unknown || slices.Contains(known, method):
	case method == "" && (standard || !c.Analyte.NeedsMethod()):
	case method == "" || method == Undecided:
		r.wrong(at, "the mapping does not say how "+soil.Name(c.Analyte)+" was measured, and its numbers mean little without", quoted(c.Method),
			"method: "+oneOf(known)+"; or unknown if nobody can find out")
	default:
		r.wrong(at, "the method is not known for "+soil.Name(c.Analyte), quoted(c.Method), "method: "+oneOf(known)+"; or unknown")
	}
}

// methodFor is the method as the season keeps it. Where an empty method means the usual one, unknown stays.
func methodFor(a season.Analyte, method string) string {
	name := season.MethodName(method)
	if name == Unknown && a != season.PH && a != season.Aluminium {
		return ""
	}
	return name
}

func analyteNames() (names []string) {
	for _, a := range season.Analytes() {
		names = append(names, string(a))
	}
	return names
}

// leaves says that nothing is to be taken from a column, however its heading is spaced.
func (m Mapping) leaves(heading string) bool {
	return slices.ContainsFunc(m.LeaveOut, func(name string) bool { return sameName(name, heading) })
}

// uses lists the headings that the mapping needs, each with the key it stands under.
func (m Mapping) uses() (headings []string) {
	add := func(names ...string) {
		for _, name := range names {
			if name != "" && !slices.Contains(headings, name) {
				headings = append(headings, name)
			}
		}
	}
	add(m.Sample.Column, m.Field.Column, m.Zone.Column, m.Date.Column, m.LabIn.Column, m.Depth.Top, m.Depth.Bottom, m.Depth.Column)
	for _, c := range m.Results {
		add(c.Column, c.UnitColumn)
	}
	return headings
}

// sameName compares headings without regard to capitals and to how they are spaced or broken.
func sameName(a, b string) bool { return tidy(a) == tidy(b) }

func tidy(name string) string { return strings.Join(strings.Fields(strings.ToLower(name)), " ") }
