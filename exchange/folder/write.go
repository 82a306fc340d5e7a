package folder

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"culm/agronomy/unit"
	"culm/season"
)

// Write writes entries as a season folder, with numbers in a system of units, so that Read gives exactly the
// same entries back: every number to the last bit, every id, writer and moment. Only places are then those of
// the new folder (season.Entry.Where, and in origins the file, line and entry that a fact stands in), and the
// order is that of the folder. Entries that share an id are one entry.
//
// What stands is written in the tables. What does not stand, and what the tables cannot hold, goes to
// entries.jsonl. Before anything is put in place Write reads its own work back and compares.
//
// The folder appears whole or not at all: it is made beside its place and then renamed. A folder of that name
// is replaced if nothing but a season is in it; otherwise Write refuses.
func Write(dir string, entries []season.Entry, units unit.System) error {
	files, err := encode(entries, units)
	if err != nil {
		return err
	}
	return put(dir, files)
}

// encode makes the files of a folder, and makes sure that they say what the entries say.
func encode(entries []season.Entry, units unit.System) (map[string][]byte, error) {
	if units != metric {
		units = us
	}
	all, err := sound(entries)
	if err != nil {
		return nil, err
	}
	plain, other := partition(all)
	for {
		files, err := lay(plain, other, units)
		if err != nil {
			return nil, err
		}
		strays, err := compare(all, plain, files)
		if err != nil {
			return nil, err
		}
		if len(strays) == 0 {
			return files, nil
		}
		// What a table could not hold goes to the other file, and the rest is laid out again.
		plain = slices.DeleteFunc(plain, func(e season.Entry) bool {
			if strays[e.ID] {
				other = append(other, e)
			}
			return strays[e.ID]
		})
	}
}

// sound gives each entry once, in the order of the folder, and refuses those that may not be written down.
func sound(entries []season.Entry) ([]season.Entry, error) {
	var all []season.Entry
	var faults []error
	seen := make(map[string]bool, len(entries))
	for _, e := range entries {
		if seen[e.ID] {
			continue
		}
		seen[e.ID] = true
		if err := e.Check(); err != nil {
			faults = append(faults, err)
			continue
		}
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(a, b season.Entry) int {
		return cmp.Or(cmp.Compare(subject(a), subject(b)), a.Recorded.Compare(b.Recorded), cmp.Compare(a.ID, b.ID))
	})
	return all, errors.Join(faults...)
}

func subject(e season.Entry) string {
	if e.Body == nil {
		return ""
	}
	return e.Body.Subject()
}

// partition parts the entries that stand, which tables can hold, from the others.
func partition(all []season.Entry) (plain, other []season.Entry) {
	stands := map[string]bool{}
	for _, e := range season.Standing(all) {
		stands[e.ID] = true
	}
	for _, e := range all {
		_, unread := e.Body.(*season.Opaque)
		if stands[e.ID] && !unread {
			plain = append(plain, e)
		} else {
			other = append(other, e)
		}
	}
	return plain, other
}

// lay lays the entries out in files.
func lay(plain, other []season.Entry, units unit.System) (map[string][]byte, error) {
	byKind := map[season.Kind][]season.Entry{}
	for _, e := range plain {
		byKind[e.Body.Kind()] = append(byKind[e.Body.Kind()], e)
	}
	k := knownFrom(plain)
	settings, err := writeSettings(byKind, k, units)
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{settingsFile: settings}
	if list := byKind[season.KindBoundary]; len(list) > 0 {
		if files[boundariesFile], err = writeBoundaries(list, k); err != nil {
			return nil, err
		}
	}
	for _, t := range plainTables() {
		if list := byKind[t.table.kind]; len(list) > 0 {
			files[t.name] = t.table.write(list, k, units)
		}
	}
	byStation(files, weatherDir, byKind[season.KindWeather], weatherChapter(), k, units)
	byStation(files, forecastDir, byKind[season.KindForecast], forecastChapter(), k, units)
	if len(other) > 0 {
		if files[entriesFile], err = writeEntries(other); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// knownFrom is what Read will know when it reads the tables.
func knownFrom(plain []season.Entry) *known {
	k := &known{habits: habitsOf(&season.Settings{}), crops: map[string]season.Crop{}}
	for _, e := range plain {
		switch b := e.Body.(type) {
		case *season.Settings:
			k.habits = habitsOf(b)
		case *season.Field:
			k.crops[b.ID] = b.Crop
		}
	}
	return k
}

// byStation writes one file for each station.
func byStation(files map[string][]byte, dir string, entries []season.Entry, table chapter, k *known, units unit.System) {
	stationOf := func(e season.Entry) string {
		if w, ok := e.Body.(*season.Weather); ok {
			return w.Station
		}
		return e.Body.(*season.Forecast).Station
	}
	lists := map[string][]season.Entry{}
	for _, e := range entries {
		lists[stationOf(e)] = append(lists[stationOf(e)], e)
	}
	for station, list := range lists {
		files[dir+"/"+fileNameOf(station)+".csv"] = table.write(list, k, units)
	}
}

// fileNameOf is a station's id as a file name: what could be a path, or hidden, is escaped as in an address.
func fileNameOf(station string) string {
	name := url.PathEscape(station)
	if strings.HasPrefix(name, ".") {
		name = "%2E" + name[1:]
	}
	return name
}

// compare reads the files back and gives the ids of the plain entries that came back changed or not at all.
// It fails when another entry did, or when there is more than there was.
func compare(all, plain []season.Entry, files map[string][]byte) (strays map[string]bool, err error) {
	content, problems := inMemory(files).read()
	back := make(map[string]season.Entry, len(content.Entries))
	for _, e := range content.Entries {
		back[e.ID] = e
	}
	strays = map[string]bool{}
	isPlain := map[string]bool{}
	for _, e := range plain {
		isPlain[e.ID] = true
	}
	for _, e := range all {
		got, ok := back[e.ID]
		switch {
		case ok && isSame(e, got) && !content.faulty[e.ID]:
		case isPlain[e.ID]:
			strays[e.ID] = true
		default:
			return nil, fmt.Errorf("entry %q cannot be written so that it reads back the same", e.ID)
		}
	}
	if len(strays) == 0 && len(back) != len(all) {
		return nil, fmt.Errorf("%d entries would read back as %d", len(all), len(back))
	}
	for _, p := range problems {
		if len(strays) == 0 && p.Severity == season.Fatal {
			return nil, fmt.Errorf("the folder would not read back: %s:%d: %s", p.File, p.Line, p.Message)
		}
	}
	return strays, nil
}

// isSame says that two entries say the same, apart from where they were read.
func isSame(a, b season.Entry) bool {
	if a.ID != b.ID || a.Supersedes != b.Supersedes || a.Observed != b.Observed || a.Writer != b.Writer ||
		a.Withdrawn != b.Withdrawn || !a.Recorded.Equal(b.Recorded) || (a.Body == nil) != (b.Body == nil) {
		return false
	}
	if a.Body == nil {
		return true
	}
	if w, ok := a.Body.(*season.Weather); ok {
		v, ok := b.Body.(*season.Weather)
		return ok && w.Station == v.Station && w.Year == v.Year && w.Month == v.Month && slices.Equal(w.Days, v.Days)
	}
	left, errLeft := contentOf(a.Body)
	right, errRight := contentOf(b.Body)
	return errLeft == nil && errRight == nil && bytes.Equal(left, right)
}
