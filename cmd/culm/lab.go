package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/exchange/folder"
	"culm/exchange/lab"
	"culm/season"
)

type labCommand struct {
	Files   []string `arg:"" name:"file" help:"Laboratory reports: CSV, XLSX, or the exchange standard as XML or JSON."`
	Mapping string   `help:"How the reports are read, as a file. Not given, it is FILE.mapping.yaml for FILE.csv, or mapping.yaml beside it." placeholder:"FILE"`
	Suggest bool     `help:"Print a mapping drafted from the report, to be looked through and saved."`
	Season  string   `help:"Add the samples to the soil table of this season folder." placeholder:"FOLDER"`
	Field   string   `help:"The field of samples whose report names none." placeholder:"ID"`
	Correct bool     `help:"Where a sample is there already with other results, write these as a correction."`
	Date    string   `help:"The day it is, as 2027-02-10; today when not given."`
	JSON    bool     `name:"json" help:"Print what is taken as JSON."`
}

// labReport is the JSON of culm lab.
type labReport struct {
	Version string     `json:"version"`
	Files   []labFile  `json:"files"`
	Season  *labSeason `json:"season,omitempty"`
}

// labFile is what one report says.
type labFile struct {
	File    string `json:"file"`
	Mapping string `json:"mapping,omitempty"`
	lab.Taken
	Problems []season.Problem `json:"problems"`
}

// labSeason is what became of the samples in a season folder.
type labSeason struct {
	Folder string `json:"folder"`
	folder.SoilAdded
}

// labSuggestion is the JSON of culm lab --suggest.
type labSuggestion struct {
	Version string   `json:"version"`
	File    string   `json:"file"`
	Mapping string   `json:"mapping"` // as a file
	Unsure  []string `json:"unsure"`
}

// Run shows what would be taken from reports, and takes it where a season is given: all of it or nothing.
func (c *labCommand) Run(d *door) error {
	today, err := d.today(c.Date)
	if err != nil {
		return exitError{exitUsage, err}
	}
	if c.Suggest {
		return c.suggest(d)
	}
	report := labReport{Version: "culm.lab/1"}
	faults := 0
	for _, name := range c.Files {
		f, err := c.read(name, today)
		if err != nil {
			return err
		}
		report.Files = append(report.Files, f)
		faults += count(f.Problems, season.Fatal)
	}
	if faults > 0 {
		return c.refuse(d, report, faults)
	}
	if c.Season != "" {
		if err := c.add(d, &report, today); err != nil {
			return err
		}
	}
	return c.print(d, report)
}

// refuse prints every problem of every report; nothing is taken from any.
func (c *labCommand) refuse(d *door, report labReport, faults int) error {
	if c.JSON {
		if err := c.print(d, report); err != nil {
			return err
		}
	}
	for _, f := range report.Files {
		printProblems(d.err, f.Problems)
	}
	return failWith(exitBadInput, "%s in %s; nothing was taken", plural(faults, "error"), plural(len(report.Files), "report"))
}

// read reads a report by its mapping.
func (c *labCommand) read(name string, today calendar.Day) (labFile, error) {
	data, err := readReport(name)
	if err != nil {
		return labFile{}, err
	}
	f := labFile{File: name, Problems: []season.Problem{}}
	m, path, problems, err := c.mappingFor(name)
	if err != nil {
		return f, err
	}
	f.Mapping = path
	if path == "" && !lab.FormOf(data).IsStandard() {
		return f, failWith(exitBadInput, "%s: nothing says how this report is read; culm lab %s --suggest > %s drafts a mapping", name, name, besideName(name))
	}
	if count(problems, season.Fatal) > 0 {
		f.Problems = problems
		return f, nil
	}
	if path != "" {
		problems = m.Check(path, lab.FormOf(data).IsStandard())
		if count(problems, season.Fatal) > 0 {
			f.Problems = problems
			return f, nil
		}
	}
	if c.Field != "" && !hasField(m) {
		m.Field = lab.Source{Is: c.Field}
	}
	f.Taken, problems = lab.Read(name, data, m, today)
	f.Problems = append(f.Problems, problems...)
	return f, nil
}

func hasField(m lab.Mapping) bool { return m.Field.Column != "" || m.Field.Is != "" }

// mostReport is above the size that package lab refuses with a reason.
const mostReport = 64 << 20

func readReport(name string) ([]byte, error) {
	info, err := os.Stat(name)
	switch {
	case err != nil:
		return nil, exitError{exitBadInput, err}
	case !info.Mode().IsRegular() || info.Size() > mostReport:
		return nil, failWith(exitBadInput, "%s is no laboratory's report: it is too large or no file", name)
	}
	return os.ReadFile(name)
}

// besideName is where the mapping of one report lies: report.mapping.yaml for report.csv.
func besideName(report string) string {
	return strings.TrimSuffix(report, filepath.Ext(report)) + ".mapping.yaml"
}

// mappingFor reads the mapping given, or the one beside the report. The path is empty where there is none.
func (c *labCommand) mappingFor(report string) (m lab.Mapping, path string, problems []season.Problem, err error) {
	places := []string{besideName(report), filepath.Join(filepath.Dir(report), "mapping.yaml")}
	if c.Mapping != "" {
		places = []string{c.Mapping}
	}
	for _, path := range places {
		data, err := os.ReadFile(path)
		if errors.Is(err, fs.ErrNotExist) && c.Mapping == "" {
			continue
		}
		if err != nil {
			return m, path, nil, exitError{exitBadInput, err}
		}
		m, problems := lab.ReadMapping(path, data)
		return m, path, problems, nil
	}
	return m, "", nil, nil
}

func (c *labCommand) suggest(d *door) error {
	if len(c.Files) != 1 {
		return failWith(exitUsage, "a mapping is suggested from one report; expected one file and not %d", len(c.Files))
	}
	data, err := readReport(c.Files[0])
	if err != nil {
		return err
	}
	s, problems := lab.Suggest(c.Files[0], data)
	if n := count(problems, season.Fatal); n > 0 {
		printProblems(d.err, problems)
		return failWith(exitBadInput, "no mapping can be suggested for %s", c.Files[0])
	}
	remarks := []string{"Look through this before it is used. Where a ? stands, the report does not say; reading stops there."}
	for _, u := range s.Unsure {
		remarks = append(remarks, "- "+u)
	}
	text, err := s.Mapping.File(remarks)
	if err != nil {
		return err
	}
	if c.JSON {
		return encode(d, labSuggestion{"culm.lab-suggestion/1", c.Files[0], string(text), s.Unsure})
	}
	_, err = d.out.Write(text)
	return err
}

func encode(d *door, v any) error {
	enc := json.NewEncoder(d.out)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// add writes the samples to the season, finding the field of spots' samples by their marks.
func (c *labCommand) add(d *door, report *labReport, today calendar.Day) error {
	entries, _, err := readFolder(d, c.Season, today)
	if err != nil {
		return err
	}
	var spots []*season.Spot
	for _, of := range season.Assemble(entries).Spots {
		spots = append(spots, of...)
	}
	var problems []season.Problem
	var samples []*season.Soil
	for i := range report.Files {
		f := &report.Files[i]
		problems = append(problems, lab.FieldsFromSpots(f.Samples, spots)...)
		for j := range f.Samples {
			samples = append(samples, &f.Samples[j].Soil)
		}
	}
	if len(problems) > 0 {
		printProblems(d.err, folder.Limit(problems))
		return failWith(exitBadInput, "%s without a field; nothing was written", plural(len(problems), "sample"))
	}
	var corrected time.Time
	if c.Correct {
		corrected = d.now()
	}
	added, problems, err := folder.AddSoil(c.Season, samples, today, corrected)
	switch {
	case err != nil:
		return exitError{exitBadInput, err}
	case len(problems) > 0:
		printProblems(d.err, problems)
		return failWith(exitBadInput, "%s would have %s; nothing was written", c.Season, plural(count(problems, season.Fatal), "error"))
	}
	report.Season = &labSeason{Folder: c.Season, SoilAdded: added}
	return nil
}

func (c *labCommand) print(d *door, report labReport) error {
	if c.JSON {
		for i := range report.Files {
			if report.Files[i].Samples == nil {
				report.Files[i].Samples = []lab.Sample{}
			}
		}
		return encode(d, report)
	}
	t := terminal{w: d.out}
	for _, f := range report.Files {
		by := "by what it says itself"
		if f.Mapping != "" {
			by = "by " + f.Mapping
		}
		fmt.Fprintf(d.out, "%s, read %s: %s\n\n", f.File, by, plural(len(f.Samples), "sample"))
		for _, s := range f.Samples {
			t.labSample(s)
		}
		if len(f.LeftOut) > 0 {
			t.wrap("  nothing is taken from ", "    ", strings.Join(f.LeftOut, ", "))
		}
		printProblems(d.err, f.Problems)
	}
	if report.Season != nil {
		t.labSeason(*report.Season)
	} else {
		fmt.Fprintln(d.out, "Nothing was written. --season FOLDER adds the samples to a season.")
	}
	return nil
}

// labSample prints a sample, one result a line: the number in our unit, how it was measured, and what the report
// has where that is not the same.
func (t terminal) labSample(s lab.Sample) {
	of := []string{"sample " + s.Soil.Sample, "field " + s.Soil.Field}
	if s.Soil.Field == "" {
		of[1] = "field not told"
	}
	if s.Soil.Zone != "" {
		of = append(of, "zone "+s.Soil.Zone)
	}
	of = append(of, soil.Depth(s.Soil.Top, s.Soil.Bottom), s.Soil.Day.String())
	if s.Soil.Lab != "" {
		of = append(of, s.Soil.Lab)
	}
	t.wrap("  ", "    ", strings.Join(of, ", "))
	for i, r := range s.Soil.Results {
		method := r.Method
		if method == lab.Unknown || method == "" && r.Analyte.NeedsMethod() {
			method = "method not known"
		}
		p := s.Printed[i]
		from := fmt.Sprintf("from %q", p.Column)
		if p.Turned != "" || !saysTheSame(p, r) {
			from += ", printed " + strings.TrimSuffix(strings.TrimSpace(p.Text+" "+p.Unit), " none")
		}
		if p.Turned != "" {
			from += "; " + p.Turned
		}
		t.wrap(fmt.Sprintf("    %-24s %-14s ", soil.Name(r.Analyte), labValue(r)), strings.Repeat(" ", 44), strings.TrimPrefix(method+"; "+from, "; "))
	}
	for _, n := range s.NotTaken {
		t.wrap(fmt.Sprintf("    %-24s %-14s ", soil.Name(n.Analyte), "not taken"), strings.Repeat(" ", 44), fmt.Sprintf("%s; from %q, printed %s", n.Why, n.Column, n.Text))
	}
	fmt.Fprintln(t.w)
}

// saysTheSame says that the report's text is the number shown, written alike or with more noughts.
func saysTheSame(p lab.Printed, r season.Result) bool {
	printed, err := strconv.ParseFloat(strings.Trim(p.Text, "< "), 64)
	return err == nil && (printed == r.Value || r.Analyte.Unit() == "share" && p.Unit == "%")
}

// labValue is a result as people read it: percent for a share.
func labValue(r season.Result) string {
	value, unit := r.Value, r.Analyte.Unit()
	if unit == "share" {
		value, unit = value*100, "%"
	}
	text := strings.TrimSpace(fmt.Sprintf("%.4g %s", value, unit))
	if r.Below {
		return "under " + text
	}
	return text
}

// labSeason says what became of the samples in the season.
func (t terminal) labSeason(s labSeason) {
	said := []struct {
		samples []*season.Soil
		what    string
	}{
		{s.Added, "added to the soil table of " + s.Folder},
		{s.Corrected, "written as corrections of what was there, keeping what they do not speak of"},
		{s.Same, "there already and say the same"},
		{s.Other, "there already with other results and were left alone; --correct writes these as corrections"},
		{s.Redated, "of these with the numbers of another day under their id; if only the day was corrected, take the other rows out of the soil table"},
	}
	for _, part := range said {
		if len(part.samples) == 0 {
			continue
		}
		var names []string
		for _, sample := range part.samples {
			names = append(names, fmt.Sprintf("%s of %s %s, %s", sample.Sample, sample.Field, soil.Depth(sample.Top, sample.Bottom), sample.Day))
		}
		t.wrap("", "  ", fmt.Sprintf("%s %s: %s.", plural(len(part.samples), "sample"), part.what, strings.Join(names, "; ")))
	}
}
