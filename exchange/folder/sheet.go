package folder

import (
	"fmt"

	"culm/agronomy/unit"
	"culm/season"
)

// made is an entry made from rows, with the lines of its parts where it has several: of each reading, each
// day of weather.
type made struct {
	entry season.Entry
	lines []int32
	// faulty says that something in it was reported and left out.
	faulty bool
}

// chapter is one of the folder's tables, both ways.
type chapter struct {
	kind season.Kind
	// read gives the entries of a file. name is the part of the file's name that says something: the station
	// of a weather file.
	read func(data []byte, name string, known *known, r *report) []made
	// write gives the file that holds the entries.
	write func(entries []season.Entry, known *known, system unit.System) []byte
}

// known is what season.yaml says and the tables lean on.
type known struct {
	habits habits
	// crops are the crops of the fields: a bushel is a mass only once the crop is known.
	crops map[string]season.Crop
	// stations are the weather stations, by id.
	stations map[string]*season.Station
}

// sheet says how rows become entries. Rows of one id, or else of one key, make one entry.
type sheet[R any, K comparable] struct {
	kind    season.Kind
	columns func(*known) []column[R]
	// key is nil where every row is an entry of its own.
	key func(row *R) K
	// join makes the body of an entry from its rows. A nil body has been reported.
	join func(rows []R, name string, at *rowsAt) season.Body
	// split takes the rows out of a body again.
	split func(body season.Body) []R
}

// rowsAt is where the rows of an entry stand.
type rowsAt struct {
	report *report
	lines  []int32
}

func (a *rowsAt) wrong(part int, field, message, found, expected string) {
	a.report.wrong(int(a.lines[part]), field, message, found, expected)
}

func (a *rowsAt) doubt(part int, field, message, found, expected string) {
	a.report.doubt(int(a.lines[part]), field, message, found, expected)
}

// where names the place of a row, as the origin of a fact gives it.
func (a *rowsAt) where(part int) season.Where {
	return season.Where{File: a.report.file, Line: int(a.lines[part])}
}

// group is the rows of one entry.
type group[R any] struct {
	rows  []R
	lines []int32
	stamp stamp
}

func (s sheet[R, K]) chapter() chapter {
	return chapter{kind: s.kind, read: s.read, write: s.write}
}

func (s sheet[R, K]) read(data []byte, name string, k *known, r *report) []made {
	var entries []made
	for _, g := range s.groups(data, k, r) {
		at := &rowsAt{report: r, lines: g.lines}
		body := s.join(g.rows, name, at)
		if body == nil {
			continue
		}
		e, err := k.habits.entry(body, g.stamp, at.where(0))
		if err != nil {
			r.wrong(int(g.lines[0]), "", "the row cannot be kept: "+err.Error(), "", "a row that says what it is about")
			continue
		}
		m := made{entry: e}
		if s.key != nil {
			m.lines = at.lines
		}
		entries = append(entries, m)
	}
	return entries
}

// groups reads the rows and puts together those that belong to one entry, in the order in which the first
// row of each stands in the file.
func (s sheet[R, K]) groups(data []byte, k *known, r *report) []group[R] {
	type name struct {
		id  string
		key K
	}
	var groups []group[R]
	at := map[name]int{}
	readTable(data, s.columns(k), r, func(row R, st stamp, line int) {
		if s.key == nil {
			groups = append(groups, group[R]{rows: []R{row}, lines: []int32{int32(line)}, stamp: st})
			return
		}
		n := name{id: st.id, key: s.key(&row)}
		i, begun := at[n]
		if !begun {
			i = len(groups)
			at[n] = i
			groups = append(groups, group[R]{stamp: st})
		}
		g := &groups[i]
		if st != g.stamp {
			r.wrong(line, "", "the row belongs to the entry that begins on line "+fmt.Sprint(g.lines[0])+
				" but tells another writer, moment or correction", "", "the same in all rows of an entry")
			return
		}
		g.rows, g.lines = append(g.rows, row), append(g.lines, int32(line))
	})
	return groups
}

func (s sheet[R, K]) write(entries []season.Entry, k *known, system unit.System) []byte {
	var rows []R
	var stamps []stamp
	for _, e := range entries {
		st := k.habits.stampOf(e)
		for _, row := range s.split(e.Body) {
			rows, stamps = append(rows, row), append(stamps, st)
		}
	}
	return writeTable(s.columns(k), rows, stamps, system)
}
