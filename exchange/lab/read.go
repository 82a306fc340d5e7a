package lab

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/season"
)

// Form is what kind of file a report is.
type Form string

// The forms.
const (
	CSV      Form = "csv"
	Workbook Form = "xlsx"
	XML      Form = "xml"  // of the exchange standard
	JSON     Form = "json" // of the exchange standard
)

// IsStandard says that the file is of the exchange standard, which names units, depths and days itself.
func (f Form) IsStandard() bool { return f == XML || f == JSON }

// FormOf finds out what kind of file a report is, from its first bytes and not from its name.
func FormOf(data []byte) Form {
	text := bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF")), " \t\r\n")
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return Workbook
	case bytes.HasPrefix(text, []byte("<")):
		return XML
	case bytes.HasPrefix(text, []byte("{")), bytes.HasPrefix(text, []byte("[")):
		return JSON
	default:
		return CSV
	}
}

// Read reads a laboratory's report by a mapping. name is what problems call the file. A file of the exchange
// standard is read with an empty mapping too, as far as it says everything itself.
//
// today is the day it is, zero where that is not known: a day after it is refused, because no laboratory has a
// sample that is still to be drawn.
//
// The samples are in the order of the file, each layer of a sample once. Where anything cannot be read there are
// no samples and every problem is given; doubts alone leave the samples as they are.
func Read(name string, data []byte, m Mapping, today calendar.Day) (Taken, []season.Problem) {
	r := newReport(name)
	r.today = today
	taken := read(data, m, r)
	taken.Samples = once(taken.Samples, r)
	if !r.failed() {
		taken.Samples = withResults(taken.Samples, r)
	}
	if r.failed() {
		return Taken{}, r.all()
	}
	return taken, r.all()
}

func read(data []byte, m Mapping, r *report) (taken Taken) {
	if len(data) > mostBytes {
		r.wrong(place{}, "the file is too large for a laboratory's report", fmt.Sprintf("%.1f MB", float64(len(data))/mb), fmt.Sprintf("at most %d MB", mostBytes/mb))
		return taken
	}
	form := FormOf(data)
	m.check(r, form.IsStandard())
	if day, err := calendar.Parse(m.Date.Is); err == nil {
		r.notToCome(place{0, "date"}, day, m.Date.Is)
	}
	if r.failed() {
		return taken
	}
	if form.IsStandard() {
		return readStandard(data, form, m, r)
	}
	for _, g := range gridsOf(data, form, m, r) {
		samples, leftOut := readTable(g, m, r)
		taken.Samples = append(taken.Samples, samples...)
		for _, name := range leftOut {
			if !slices.Contains(taken.LeftOut, name) {
				taken.LeftOut = append(taken.LeftOut, name)
			}
		}
	}
	return taken
}

// gridsOf gives the tables of a report that the mapping means.
func gridsOf(data []byte, form Form, m Mapping, r *report) []*grid {
	if form == CSV {
		if g := readCSV(data, m.Delimiter, r); g != nil {
			return []*grid{g}
		}
		return nil
	}
	grids := readWorkbook(data, m.Sheets, r)
	if len(m.Sheets) == 0 && len(grids) > 1 {
		var names []string
		for _, g := range grids {
			names = append(names, g.sheet)
		}
		r.wrong(place{0, "sheet"}, "the workbook has several sheets, and the mapping does not say which to read", strings.Join(names, ", "), "sheet: one of them, or sheet: [one, another]")
		return nil
	}
	if len(grids) == 0 && !r.failed() {
		r.wrong(place{}, "the workbook is empty", "", "a sheet with a table")
	}
	return grids
}

// once joins what several sheets or parts of a report say of one layer of one sample of one day, and refuses what
// is said twice: two soils under one id, or one soil tested twice.
func once(samples []Sample, r *report) []Sample {
	type key struct {
		field, sample string
		day           calendar.Day
		top, bottom   int // mm
	}
	first := map[key]int{}
	var all []Sample
	for _, s := range samples {
		k := key{tidy(s.Soil.Field), tidy(s.Soil.Sample), s.Soil.Day, int(s.Soil.Top * 1000), int(s.Soil.Bottom * 1000)}
		i, twice := first[k]
		if !twice {
			first[k] = len(all)
			all = append(all, s)
			continue
		}
		earlier := &all[i]
		at := place{s.Where.Line, s.Sheet}
		switch {
		case earlier.Sheet != s.Sheet && areDisjoint(*earlier, s):
			earlier.Soil.Results = append(earlier.Soil.Results, s.Soil.Results...)
			earlier.Printed, earlier.NotTaken = append(earlier.Printed, s.Printed...), append(earlier.NotTaken, s.NotTaken...)
			earlier.Soil.SoilMass = max(earlier.Soil.SoilMass, s.Soil.SoilMass)
		case slices.Equal(earlier.Soil.Results, s.Soil.Results):
			r.doubt(at, fmt.Sprintf("sample %s is given twice with the same results, first at %s; it counts once", s.Soil.Sample, earlier.Where), "", "each sample once")
		default:
			r.wrong(at, fmt.Sprintf("sample %s of %s stands twice for one depth, first at %s", s.Soil.Sample, s.Soil.Day, earlier.Where), "other results", "an id of its own for each sample; the repeat taken out of the file if the laboratory tested one soil twice")
		}
	}
	for i := range all {
		inOrder(&all[i])
	}
	return all
}

// withResults leaves out, and names, layers that nothing was measured in or nothing is taken from.
func withResults(samples []Sample, r *report) (all []Sample) {
	for _, s := range samples {
		if len(s.Soil.Results) > 0 {
			all = append(all, s)
			continue
		}
		var found []string
		for _, n := range s.NotTaken {
			found = append(found, n.Column+" "+n.Text)
		}
		r.doubt(place{s.Where.Line, s.Sheet}, fmt.Sprintf("sample %s, %s, has no result that is taken, and is left out", s.Soil.Sample, soil.Depth(s.Soil.Top, s.Soil.Bottom)), strings.Join(found, ", "), "a result, or no row")
	}
	if len(all) == 0 && !r.failed() {
		r.wrong(place{}, "no sample of the report has a result that is taken", "", "a result a row at least")
	}
	return all
}

func areDisjoint(a, b Sample) bool {
	for _, r := range b.Soil.Results {
		if _, has := a.Soil.Find(r.Analyte); has {
			return false
		}
	}
	return true
}

// inOrder puts the results of a sample in the order of tables, so that the same report in another order of
// columns makes the same entries.
func inOrder(s *Sample) {
	order := season.Analytes()
	by := make([]int, len(s.Soil.Results))
	for i := range by {
		by[i] = i
	}
	slices.SortStableFunc(by, func(i, j int) int {
		return slices.Index(order, s.Soil.Results[i].Analyte) - slices.Index(order, s.Soil.Results[j].Analyte)
	})
	results, printed := make([]season.Result, len(by)), make([]Printed, len(by))
	for to, from := range by {
		results[to], printed[to] = s.Soil.Results[from], s.Printed[from]
	}
	s.Soil.Results, s.Printed = results, printed
}
