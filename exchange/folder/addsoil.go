package folder

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

const soilFile = "soil.csv"

// SoilAdded is what became of samples that were to be added to a folder.
type SoilAdded struct {
	// Added were written, Corrected written as corrections of what was there.
	Added     []*season.Soil `json:"added,omitempty"`
	Corrected []*season.Soil `json:"corrected,omitempty"`
	// Same were there already and say the same; Other were there already, say something else, and were left alone.
	Same  []*season.Soil `json:"same,omitempty"`
	Other []*season.Soil `json:"other,omitempty"`
	// Redated are those of Added that say what a sampling of another day under their id says: the same sample,
	// perhaps, with its day corrected.
	Redated []*season.Soil `json:"redated,omitempty"`
}

// AddSoil adds samples to the soil table of a season folder on disk. What stands there stays as it is, to the
// byte, but for empty cells under columns that are new. A sample that is there already is left alone; where it
// says something else and corrected is a moment, it is written as a correction of that moment, which keeps the
// results of the old one that the new one does not have.
//
// The table appears whole or not at all: it is made beside its place, read back, compared and renamed. Nothing
// is written where the folder has an error before or would have one after; the problems say which.
func AddSoil(dir string, samples []*season.Soil, today calendar.Day, corrected time.Time) (SoilAdded, []season.Problem, error) {
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return SoilAdded{}, nil, fmt.Errorf("%s is no folder; samples are added to a season folder, not to a zip of one", dir)
	}
	content, problems := Open(dir)
	problems = append(problems, content.Check(today)...)
	if hasFatal(problems) {
		return SoilAdded{}, Limit(problems), nil
	}
	a := newSoilAddition(content)
	for _, s := range samples {
		if err := a.add(s, corrected); err != nil {
			return SoilAdded{}, nil, err
		}
	}
	if len(a.entries) == 0 {
		return a.SoilAdded, nil, nil
	}
	with := content
	with.Entries = append(slices.Clone(content.Entries), a.entries...)
	if after := with.Check(today); hasFatal(after) {
		return SoilAdded{}, newProblems(after, problems), nil
	}
	old, err := os.ReadFile(filepath.Join(dir, soilFile))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return SoilAdded{}, nil, err
	}
	table, err := a.table(old)
	if err != nil {
		return SoilAdded{}, nil, err
	}
	return a.SoilAdded, nil, replaceFile(filepath.Join(dir, soilFile), table)
}

func hasFatal(problems []season.Problem) bool {
	return slices.ContainsFunc(problems, func(p season.Problem) bool { return p.Severity == season.Fatal })
}

// newProblems are those that were not there before.
func newProblems(after, before []season.Problem) []season.Problem {
	return Limit(slices.DeleteFunc(after, func(p season.Problem) bool { return slices.Contains(before, p) }))
}

// soilAddition gathers what is to be written.
type soilAddition struct {
	SoilAdded
	known   *known
	there   map[string]season.Entry
	entries []season.Entry
	stamps  []stamp
}

func newSoilAddition(content Content) *soilAddition {
	a := &soilAddition{known: knownFrom(season.Standing(content.Entries)), there: map[string]season.Entry{}}
	for _, e := range season.Standing(content.Entries) {
		if s, ok := e.Body.(*season.Soil); ok {
			a.there[layerKey(s)] = e
		}
	}
	return a
}

// layerKey tells samples apart as people do: ids without regard to capitals and spaces, as for spots, and depths
// to the millimeter. Two days are two samplings, whatever the id.
func layerKey(s *season.Soil) string {
	return fmt.Sprintf("%s\x00%s\x00%s\x00%.3f", s.Field, strings.ToLower(strings.TrimSpace(s.Sample)), s.Day, float64(s.Top))
}

func (a *soilAddition) add(s *season.Soil, corrected time.Time) error {
	old, isThere := a.there[layerKey(s)]
	var st stamp
	switch same, err := season.SameContent(old.Body, s); {
	case err != nil:
		return err
	case !isThere:
		a.Added = append(a.Added, s)
		if a.isRedated(s) {
			a.Redated = append(a.Redated, s)
		}
	case same:
		a.Same = append(a.Same, s)
		return nil
	case corrected.IsZero():
		a.Other = append(a.Other, s)
		return nil
	default:
		s = completed(s, old.Body.(*season.Soil))
		if same, err := season.SameContent(old.Body, s); err != nil || same {
			a.Same = append(a.Same, s)
			return err
		}
		a.Corrected = append(a.Corrected, s)
		st = stamp{recorded: corrected.UTC().Truncate(time.Second), supersedes: old.ID}
	}
	e, err := a.known.habits.entry(s, st, season.Where{File: soilFile})
	if err != nil {
		return fmt.Errorf("sample %s cannot be kept: %w", s.Sample, err)
	}
	a.there[layerKey(s)] = e
	a.entries, a.stamps = append(a.entries, e), append(a.stamps, st)
	return nil
}

// isRedated says that a sample differs from one that is there by nothing but its day.
func (a *soilAddition) isRedated(s *season.Soil) bool {
	for _, e := range a.there {
		old := *e.Body.(*season.Soil)
		old.Day = s.Day
		if layerKey(&old) == layerKey(s) && slices.Equal(old.Results, s.Results) {
			return true
		}
	}
	return false
}

// completed is a sample with the results of an old one that it does not have, in the order of tables. It keeps
// the old one's id, so that both speak of the same.
func completed(s, old *season.Soil) *season.Soil {
	whole := *s
	whole.Sample, whole.Top = old.Sample, old.Top
	if whole.Zone == "" {
		whole.Zone = old.Zone
	}
	if whole.SoilMass == 0 {
		whole.SoilMass = old.SoilMass
	}
	whole.Results = nil
	for _, a := range season.Analytes() {
		if r, ok := s.Find(a); ok {
			whole.Results = append(whole.Results, r)
		} else if r, ok := old.Find(a); ok {
			whole.Results = append(whole.Results, r)
		}
	}
	return &whole
}

// table is the table with the new rows below the old ones, read back and compared.
func (a *soilAddition) table(old []byte) ([]byte, error) {
	rows := make([]season.Soil, len(a.entries))
	for i, e := range a.entries {
		rows[i] = *e.Body.(*season.Soil)
	}
	before, _ := soilEntries(old, a.known)
	table, err := appendRows(old, soilColumns(a.known), rows, a.stamps)
	if err != nil {
		return nil, err
	}
	after, err := soilEntries(table, a.known)
	if err != nil {
		return nil, err
	}
	want := append(before, a.entries...)
	if !slices.EqualFunc(after, want, isSame) {
		return nil, errors.New("the samples would not read back from " + soilFile + " as they are; nothing was written")
	}
	return table, nil
}

// soilEntries reads a table that must have no errors.
func soilEntries(table []byte, k *known) (entries []season.Entry, err error) {
	r := &report{file: soilFile}
	text, ok := decode(table, r)
	if ok {
		for _, m := range soilChapter().read(text, "", k, r) {
			entries = append(entries, m.entry)
		}
	}
	if r.errors > 0 {
		return entries, fmt.Errorf("%s:%d: %s", soilFile, r.listed[0].Line, r.listed[0].Message)
	}
	return entries, nil
}

// appendRows writes rows below those of a table. Columns that the table lacks come after its own; depths are
// written in the unit the table has.
func appendRows[R any](old []byte, columns []column[R], rows []R, entries []stamp) ([]byte, error) {
	r := &report{}
	text, ok := decode(old, r)
	if !ok && len(bytes.TrimSpace(old)) > 0 {
		return nil, errors.New(r.listed[0].Message)
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return writeTable(columns, rows, entries, us), nil
	}
	s := newScanner(text)
	header, _, ok := readHeader(s, r)
	if !ok {
		return nil, errors.New(r.listed[0].Message)
	}
	system := systemOf(columns, header)
	var heads []string
	var cells [][]string
	heads, cells = writeColumns(columns, rows, system, heads, cells)
	heads, cells = writeColumns(stampColumns(), entries, system, heads, cells)
	fresh := slices.DeleteFunc(slices.Clone(heads), func(h string) bool { return slices.Contains(header, h) })

	out := widen(text, s, len(header), fresh)
	for i := range rows {
		for j, head := range append(slices.Clone(header), fresh...) {
			if j > 0 {
				out = append(out, ',')
			}
			if at := slices.Index(heads, head); at >= 0 {
				out = appendCell(out, cells[at][i])
			}
		}
		out = append(out, '\n')
	}
	return out, nil
}

// systemOf is the system of units that a table is written in: the first that a head of it tells.
func systemOf[R any](columns []column[R], header []string) unit.System {
	for _, c := range columns {
		for _, head := range c.heads {
			if len(c.heads) > 1 && slices.Contains(header, head) && (strings.HasSuffix(head, "_cm") || strings.HasSuffix(head, "_kg_ha")) {
				return metric
			}
		}
	}
	return us
}

// widen copies a table whose header was just read, with fresh columns behind. Without any it is a plain copy.
func widen(text []byte, s *scanner, width int, fresh []string) []byte {
	var out []byte
	line := func(row []byte, cells int, more []string) {
		end := len(bytes.TrimRight(row, "\r\n"))
		out = append(out, row[:end]...)
		for ; cells < width && len(more) > 0; cells++ {
			out = append(out, ',')
		}
		for _, text := range more {
			out = append(append(out, ','), text...)
		}
		if out = append(out, row[end:]...); end == len(row) {
			out = append(out, '\n')
		}
	}
	from := s.at
	line(text[:from], width, fresh)
	empty := make([]string, len(fresh))
	for {
		_, _, more := s.next()
		if !more {
			return out
		}
		row := text[from:s.at]
		from = s.at
		if isBlank(s.cells) || len(s.cells) > width {
			row = trimmedTo(row, s.cells, width)
		}
		if len(bytes.TrimSpace(row)) == 0 {
			out = append(out, row...)
			continue
		}
		line(row, len(s.cells), empty)
	}
}

// trimmedTo takes empty cells beyond a table's width off a row: they would come to stand under new columns.
func trimmedTo(row []byte, cells []cell, width int) []byte {
	if isBlank(cells) {
		return []byte("\n")
	}
	var out []byte
	for i, c := range cells[:min(width, len(cells))] {
		if i > 0 {
			out = append(out, ',')
		}
		out = appendCell(out, string(c.text))
	}
	return append(out, '\n')
}

// replaceFile puts a file in place whole.
func replaceFile(name string, data []byte) error {
	fresh, err := os.CreateTemp(filepath.Dir(name), ".new-*")
	if err != nil {
		return err
	}
	_, err = fresh.Write(data)
	err = errors.Join(err, fresh.Sync(), fresh.Chmod(0o644), fresh.Close())
	if err == nil {
		err = os.Rename(fresh.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(fresh.Name()))
	}
	return nil
}
