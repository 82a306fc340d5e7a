package lab

import (
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/season"
)

// The exchange standard gives results as events of samples of depths of elements, each with a unit and mostly
// the id of a test. Test ids are read by the letters in them that name an extractant, as open example files use
// them; the official list of tests is not. What is meant by the numbers behind is not known here, and with them
// whether phosphorus was detected by plasma or color.

// event is one visit to the laboratory.
type event struct {
	day, lab, field string
	layers          map[string]stdLayer
	samples         []stdSample
}

// stdLayer is a depth as the file gives it.
type stdLayer struct{ top, bottom, unit string }

// stdSample is one sample.
type stdSample struct {
	line   int
	ids    map[string]string // SampleNumber and the like
	depths []stdDepth
}

type stdDepth struct {
	id      string
	results []stdResult
}

// stdResult is one number, all as text.
type stdResult struct {
	line                             int
	element, value, unit, test, kind string
}

// sampleIDs are the names under which a file may give a sample's id.
func sampleIDs() []string {
	return []string{"SampleNumber", "FMISSampleID", "SampleContainerID", "ReportID"}
}

// standardReader turns events into samples.
type standardReader struct {
	mapping Mapping
	report  *report
	told    map[string]bool // what was said already, once for the file
	leftOut []string
}

func readStandard(data []byte, form Form, m Mapping, r *report) (taken Taken) {
	var events []event
	if form == XML {
		events = readXML(data, r)
	} else {
		events = readJSON(data, r)
	}
	if r.failed() {
		return taken
	}
	c := &standardReader{mapping: m, report: r, told: map[string]bool{}}
	for _, e := range events {
		for _, s := range e.samples {
			taken.Samples = append(taken.Samples, c.sample(e, s)...)
		}
	}
	taken.LeftOut = c.leftOut
	if !r.failed() && !slices.ContainsFunc(taken.Samples, func(s Sample) bool { return len(s.Soil.Results) > 0 }) {
		r.wrong(place{}, "nothing in the file is a result that is taken here", strings.Join(c.leftOut, ", "), "soil samples with results such as pH, P or NO3-N")
	}
	return taken
}

// once says whether something is said for the first time.
func (c *standardReader) once(what string) bool {
	if c.told[what] {
		return false
	}
	c.told[what] = true
	return true
}

// sample gives a sample of each depth, where the file tells which layer of which sample of which day it is. It goes
// on after a fault, so that all faults are reported.
func (c *standardReader) sample(e event, s stdSample) (samples []Sample) {
	id := c.id(s)
	day, isTold := c.day(e, s)
	for _, d := range s.depths {
		l, hasDepth := c.layer(e, s, d)
		one := Sample{Where: season.Where{File: c.report.file, Line: s.line}}
		one.Soil = season.Soil{Sample: id, Field: c.named(c.mapping.Field, e.field), Day: day, Lab: c.named(Source{Is: c.mapping.Lab}, e.lab), Top: l.top, Bottom: l.bottom}
		c.results(&one, d)
		if isTold && hasDepth && id != "" {
			samples = append(samples, one)
		}
	}
	return samples
}

// id is a sample's id, from where the mapping says; empty where there is none, which is reported.
func (c *standardReader) id(s stdSample) string {
	id := s.ids["SampleNumber"]
	if name := c.mapping.Sample.Column; name != "" {
		if !slices.Contains(sampleIDs(), name) && c.once("sample") {
			c.report.wrong(place{0, "sample"}, "the mapping takes the sample's id from a place that the standard does not have", quoted(name), "sample: {column: one of "+oneOf(sampleIDs())+"}")
		}
		id = s.ids[name]
	}
	if id == "" {
		c.report.wrong(place{s.line, "SampleNumber"}, "the sample has no id", "", "a sample number; or sample: {column: one of "+oneOf(sampleIDs())+"} in the mapping")
	}
	return id
}

func (c *standardReader) named(from Source, text string) string {
	if from.Is != "" {
		return from.Is
	}
	text = strings.Join(strings.Fields(text), " ")
	for name, ours := range from.Names {
		if sameName(name, text) {
			return ours
		}
	}
	return text
}

func (c *standardReader) day(e event, s stdSample) (calendar.Day, bool) {
	if c.mapping.Date.Is != "" {
		day, err := calendar.Parse(c.mapping.Date.Is)
		return day, err == nil
	}
	day, ok := readDate(e.day, "")
	switch isFirst := c.once("day " + e.day); {
	case ok && isFirst:
		ok = c.report.notToCome(place{s.line, "EventDate"}, day, e.day)
	case isFirst:
		c.report.wrong(place{s.line, "EventDate"}, "the day of the event cannot be read", quoted(e.day), "year-month-day; or date: {is: 2026-09-08} in the mapping")
	}
	return day, ok
}

func (c *standardReader) layer(e event, s stdSample, d stdDepth) (layer, bool) {
	l, fault := layer{}, ""
	found, known := e.layers[d.id]
	switch {
	case c.mapping.Depth.Is != "":
		l, fault = readLayer(c.mapping.Depth.Is, c.mapping.Depth.Unit)
	case !known:
		fault = "the sample's depth is not described in the file"
	default:
		l, fault = readLayer(found.top+"-"+found.bottom+" "+found.unit, c.mapping.Depth.Unit)
	}
	if fault != "" {
		if c.once("depth " + d.id + fault) {
			c.report.wrong(place{s.line, "Depth " + d.id}, fault, quoted(strings.TrimSpace(found.top+" to "+found.bottom+" "+found.unit)), "a depth in in or cm; or depth: 0-6 in, in the mapping")
		}
		return l, false
	}
	if odd := oddDepth(l); odd != "" && c.once("odd "+d.id) {
		c.report.doubt(place{s.line, "Depth " + d.id}, odd, "", "the unit in which the laboratory gives depths")
	}
	return l, true
}

func (c *standardReader) results(s *Sample, d stdDepth) {
	from := map[season.Analyte]stdResult{}
	for _, f := range d.results {
		column, take := c.columnFor(f)
		if !take {
			continue
		}
		isWhole := c.isWhole(column, f)
		if earlier, twice := from[column.Analyte]; twice {
			isWhole = false
			if c.once("twice " + earlier.name() + f.name()) {
				c.report.wrong(place{f.line, f.name()}, "the file gives "+soil.Name(column.Analyte)+" twice for one sample, by two tests", earlier.name()+" "+earlier.value+" and "+f.name()+" "+f.value,
					"leave-out: ["+earlier.name()+"] or leave-out: ["+f.name()+"] in the mapping")
			}
		} else {
			from[column.Analyte] = f
		}
		c.doubtCalculated(column, f)
		unit := column.Unit
		if unit == "" {
			unit = f.unit
		}
		v := reading{column, readResult(f.value, ".", c.mapping.NotDetected, c.mapping.NotMeasured), f.value, unit, s.Soil, c.mapping.SoilMass}
		t := v.take()
		if t.wrong.message != "" {
			c.report.wrong(place{f.line, f.name()}, t.wrong.message, strings.TrimSpace(f.value+" "+f.unit), t.wrong.expected)
		}
		if isWhole {
			s.keep(t, v)
		}
	}
}

// name tells a result by its test, or else by its element.
func (f stdResult) name() string {
	if f.test != "" {
		return f.test
	}
	return f.element
}

// isCalculated says that the laboratory made the number of another test's.
func (f stdResult) isCalculated() bool { return strings.EqualFold(f.kind, "calculated") }

// doubtCalculated tells of numbers that the laboratory made of another test's.
func (c *standardReader) doubtCalculated(column Column, f stdResult) {
	measuredByExtract := column.Analyte.Unit() == "ppm"
	if measuredByExtract && f.isCalculated() && c.once("calculated "+f.name()) {
		c.report.doubt(place{f.line, f.name()}, "the laboratory calculated "+soil.Name(column.Analyte)+" from another test and did not measure it so", f.test, "the test that was made, where the file has it")
	}
}

// columnFor says how a result is read: by the mapping, or else as far as element and test say themselves. take
// is false where nothing is taken.
func (c *standardReader) columnFor(f stdResult) (column Column, take bool) {
	m := c.mapping
	if f.test != "" && m.leaves(f.test) || m.leaves(f.element) {
		return column, false
	}
	column = told(f)
	for _, given := range m.Results {
		if given.Test != "" && strings.EqualFold(given.Test, f.test) || given.Test == "" && given.Element != "" && sameName(given.Element, f.element) {
			column = column.with(given)
			break
		}
	}
	if column.Analyte == "" {
		if !slices.Contains(c.leftOut, f.element) {
			c.leftOut = append(c.leftOut, f.element)
		}
		return column, false
	}
	column.Element, column.Test = f.element, f.test
	return column, true
}

// isWhole reports a result of which basis or method is not known.
func (c *standardReader) isWhole(column Column, f stdResult) bool {
	key := "element: " + f.element
	if f.test != "" {
		key = "test: " + f.test
	}
	at := place{f.line, f.name()}
	whole := true
	if forms := bases(column.Analyte); len(forms) > 0 && !slices.Contains(forms, column.As) {
		whole = false
		if c.once("basis " + f.name()) {
			c.report.wrong(at, "the file does not say as what "+soil.Name(column.Analyte)+" is counted", quoted(f.element), fmt.Sprintf("results: [{%s, analyte: %s, as: %s}] in the mapping", key, column.Analyte, oneOf(forms)))
		}
	}
	if column.Method == "" && column.Analyte.NeedsMethod() {
		whole = false
		if c.once("method " + f.name()) {
			c.report.wrong(at, "the file does not say how "+soil.Name(column.Analyte)+" was measured, and its numbers mean little without", quoted(f.name()),
				fmt.Sprintf("results: [{%s, analyte: %s, method: %s}] in the mapping; or method: unknown", key, column.Analyte, oneOf(column.Analyte.Methods())))
		}
	}
	return whole
}

// with gives a column what the mapping says of it.
func (c Column) with(given Column) Column {
	replace := func(to *string, by string) {
		if by != "" {
			*to = by
		}
	}
	if given.Analyte != c.Analyte {
		c = Column{Analyte: given.Analyte}
		if forms := bases(given.Analyte); len(forms) == 0 {
			c.As = ""
		}
	}
	replace(&c.As, given.As)
	replace(&c.Method, given.Method)
	replace(&c.Unit, given.Unit)
	replace(&c.Limit, given.Limit)
	replace(&c.WhenNotDetected, given.WhenNotDetected)
	replace(&c.WhenOver, given.WhenOver)
	return c
}

// told is what element and test say by themselves.
func told(f stdResult) Column {
	name := strings.ToLower(strings.Join(strings.Fields(f.element), ""))
	c := Column{}
	for _, e := range elements() {
		if slices.Contains(e.names, name) {
			c.Analyte, c.As = e.analyte, e.basis
		}
	}
	if c.Analyte == "" {
		return c
	}
	if base, method, ok := strings.Cut(strings.TrimSuffix(name, ")"), "("); ok && base == "p" {
		c.Method = map[string]string{"olsen": season.Olsen, "bray": season.Bray1, "bray1": season.Bray1}[method]
	}
	if method := methodOf(f.test, c.Analyte); method != "" {
		c.Method = method
	}
	return c
}

// element is how the standard's files spell an analyte.
type element struct {
	names   []string
	analyte season.Analyte
	basis   string
}

func elements() []element {
	return []element{
		{[]string{"ph"}, season.PH, ""},
		{[]string{"bph", "ph-buffer", "bufferph"}, season.BufferPH, ""},
		{[]string{"om", "som"}, season.OrganicMatter, ""},
		{[]string{"no3-n"}, season.NitrateN, "NO3-N"},
		{[]string{"no3"}, season.NitrateN, ""},
		{[]string{"nh4-n"}, season.AmmoniumN, "NH4-N"},
		{[]string{"nh4"}, season.AmmoniumN, ""},
		{[]string{"p", "p(olsen)", "p(bray)", "p(bray1)"}, season.Phosphorus, "P"},
		{[]string{"p2o5"}, season.Phosphorus, "P2O5"},
		{[]string{"k"}, season.Potassium, "K"},
		{[]string{"k2o"}, season.Potassium, "K2O"},
		{[]string{"so4-s", "s"}, season.SulfateS, "SO4-S"},
		{[]string{"so4"}, season.SulfateS, ""},
		{[]string{"cl"}, season.Chloride, ""},
		{[]string{"zn"}, season.Zinc, ""},
		{[]string{"al"}, season.Aluminium, ""},
		{[]string{"ca"}, season.Calcium, ""},
		{[]string{"mg"}, season.Magnesium, ""},
		{[]string{"na"}, season.Sodium, ""},
		{[]string{"cu"}, season.Copper, ""},
		{[]string{"b"}, season.Boron, ""},
		{[]string{"fe"}, season.Iron, ""},
		{[]string{"mn"}, season.Manganese, ""},
		{[]string{"cec"}, season.CEC, ""},
		{[]string{"ec", "ss", "solublesalts"}, season.SolubleSalts, ""},
	}
}

// methodOf reads the letters of a test id that name a method, S-K-NH4AC.05: ammonium-acetate. It is empty for
// what no letters tell or what is no method of the analyte.
func methodOf(test string, a season.Analyte) string {
	parts := strings.FieldsFunc(strings.ToUpper(test), func(r rune) bool { return r == '-' || r == '.' })
	for _, part := range parts[min(len(parts), 2):] {
		method := map[string]string{
			"B1": season.Bray1, "B2": "bray-2", "BIC": season.Olsen, "M3": season.Mehlich3, "M1": "mehlich-1",
			"NH4AC": season.AmmoniumAcetate, "HCL": "hcl", "DTPA": season.DTPA, "KCL": "kcl", "LOI": "loss-on-ignition",
			"WB": "walkley-black", "SIK1": season.SikoraBuffer, "SIK2": season.SikoraBuffer, "SIK": season.SikoraBuffer,
			"SMP": season.SMPBuffer, "1:1": season.WaterOneToOne,
		}[part]
		if slices.Contains(a.Methods(), method) {
			return method
		}
	}
	return ""
}
