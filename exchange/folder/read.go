package folder

import (
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/season"
	"culm/spatial"

	"golang.org/x/sync/errgroup"
)

const (
	weatherDir  = "weather"
	forecastDir = "forecast"
	bookDir     = "rulebooks"
	// labDir is where laboratories' reports may be kept with their mappings. They are not read from there: what they
	// say stands in the soil table, where a person can see and correct it.
	labDir = "lab/"
)

// Content is what a season folder says.
type Content struct {
	// Entries are in the order of the folder: settings, producers, stations, fields, boundaries, then table
	// by table and line by line.
	Entries []season.Entry
	// Books are the advisor's own rulebooks, in the order of their files.
	Books []*rulebook.Book
	// lines has, by id, the lines of the parts of an entry that was made from several.
	lines map[string][]int32
	// faulty has the ids of entries from which something was left out.
	faulty map[string]bool
}

// Open reads a season folder, or a zip of one, from disk. See Read.
func Open(name string) (Content, []season.Problem) {
	whole, err := filepath.Abs(name)
	if err != nil {
		return Content{}, []season.Problem{{Severity: season.Fatal, Message: "there is no season folder to read: " + err.Error(), Found: name}}
	}
	return Read(os.DirFS(filepath.Dir(whole)), filepath.Base(whole))
}

// Read reads a season folder, or a zip of one, that lies in a file system under a name. It always reads to
// the end and reports every problem with its file and line; a row that cannot be read is reported and left
// out. Where a problem is Fatal the entries are not the whole season and should not be used.
//
// Read looks at what stands in each row by itself. Content.Check looks at what the rows say together.
func Read(fsys fs.FS, name string) (Content, []season.Problem) {
	r := &report{}
	o := open(fsys, name, r)
	if o == nil {
		return Content{}, r.all()
	}
	c, problems := o.read()
	if err := o.close(); err != nil {
		r.wrong(0, "", "the zip cannot be read to its end: "+err.Error(), "", "")
	}
	return c, append(r.all(), problems...)
}

// Check looks at what the entries say together as of a day, with season.Check and, on the outlines of
// fields, spatial.Check. Problems name the exact line where they can.
func (c Content) Check(today calendar.Day) []season.Problem {
	problems := season.CheckLines(c.Entries, today, func(e season.Entry, part int) int {
		if lines := c.lines[e.ID]; part < len(lines) {
			return int(lines[part])
		}
		return e.Where.Line
	})
	return Limit(append(problems, checkOutlines(c.Entries)...))
}

// How far a stated area may differ from that inside the outline. Common practice, no source: waterways and
// field edges that are not farmed make some difference, a wrong outline or a slip of the pen more.
const (
	areaDiffers = 0.10
	areaWrong   = 2.0
)

// checkArea holds the area that was given for a field against its outline.
func checkArea(f season.Field, b *season.Boundary) []season.Problem {
	inside := spatial.Area(b)
	if !f.AreaGiven.Known() || inside <= 0 {
		return nil
	}
	ratio := float64(f.AreaGiven.Value / inside)
	p := season.Problem{
		Severity: season.Doubtful, Field: f.ID, Message: "the area given for the field is not that inside its boundary",
		Found:    fmt.Sprintf("%.1f ac", float64(f.AreaGiven.Value/unit.Acre)),
		Expected: fmt.Sprintf("about %.1f ac, within a tenth", float64(inside/unit.Acre)),
	}
	switch {
	case ratio > areaWrong || ratio < 1/areaWrong:
		p.Severity = season.Fatal
	case ratio <= 1+areaDiffers && ratio >= 1-areaDiffers:
		return nil
	}
	return []season.Problem{p}
}

// checkOutlines looks at the boundary of each field, as it lies to its station. Where there is no station,
// the middle of the other fields stands in for it.
func checkOutlines(entries []season.Entry) []season.Problem {
	s := season.Assemble(entries)
	middle := middleOf(s.Boundaries)
	fields := map[string]season.Field{}
	for _, f := range s.Fields {
		fields[f.ID] = f
	}
	var problems []season.Problem
	for _, e := range season.Standing(entries) {
		b, ok := e.Body.(*season.Boundary)
		if !ok {
			continue
		}
		near := middle
		if station, ok := s.Stations[fields[b.Field].Station]; ok {
			near = []season.Position{station.At}
		}
		found := spatial.Check(b, near)
		if len(found) == 0 {
			found = checkArea(fields[b.Field], b)
		}
		for _, p := range found {
			p.File, p.Line = e.Where.File, e.Where.Line
			problems = append(problems, p)
		}
	}
	return problems
}

// middleOf is the median of the places of fields, which one field in a wrong place does not move. With fewer
// than three fields there is none.
func middleOf(boundaries map[string]*season.Boundary) []season.Position {
	var lons, lats []float64
	for _, b := range boundaries {
		if southWest, northEast, ok := spatial.Bounds(b); ok {
			lons = append(lons, (southWest.Lon+northEast.Lon)/2)
			lats = append(lats, (southWest.Lat+northEast.Lat)/2)
		}
	}
	if len(lons) < 3 {
		return nil
	}
	slices.Sort(lons)
	slices.Sort(lats)
	return []season.Position{{Lon: lons[len(lons)/2], Lat: lats[len(lats)/2]}}
}

// page is a file that Read has understood.
type page struct {
	report  *report
	entries []made
	book    *rulebook.Book
}

// read reads season.yaml first, since the tables lean on it, and then all tables, several at a time. What
// comes out is in the order of the files whatever the order in which they were read.
func (o *opened) read() (Content, []season.Problem) {
	settings := page{report: &report{file: settingsFile}}
	k := &known{habits: habitsOf(&season.Settings{})}
	if _, has := o.files[settingsFile]; !has {
		settings.report.wrong(0, "", "the file is missing, so this is no season folder", "files "+listed(o.names()), "a file named "+settingsFile)
	} else if data, ok := o.text(settingsFile, settings.report); ok {
		settings.entries, k = readSettings(data, settings.report)
	}
	names := o.tables()
	pages := make([]page, len(names))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for i, name := range names {
		workers.Go(func() error {
			pages[i] = o.page(name, k)
			return nil
		})
	}
	_ = workers.Wait() // they report and do not fail
	pages = append([]page{settings}, pages...)
	if twice := twoBooks(pages); len(twice.listed) > 0 {
		pages = append(pages, page{report: twice})
	}
	if twice := o.twoLogs(names); len(twice.listed) > 0 {
		pages = append(pages, page{report: twice})
	}
	if strangers := o.strangers(); len(strangers.listed) > 0 {
		pages = append(pages, page{report: strangers})
	}
	return bind(pages)
}

// text reads a file and gives its text.
func (o *opened) text(name string, r *report) ([]byte, bool) {
	data, ok := o.load(name, r)
	if !ok {
		return nil, false
	}
	return decode(data, r)
}

// page reads a table.
func (o *opened) page(name string, k *known) page {
	p := page{report: &report{file: name}}
	data, ok := o.text(name, p.report)
	if !ok {
		return p
	}
	if isBook(name) {
		p.book = readBook(data, p.report)
		return p
	}
	dir, base := path.Split(name)
	subject := ""
	if dir != "" {
		unescaped, err := url.PathUnescape(strings.TrimSuffix(base, path.Ext(base)))
		if err != nil || unescaped == "" {
			p.report.wrong(0, "", "the file's name does not say which station it is of", quoted(base), "the id of a station, such as north.csv")
			return p
		}
		subject = unescaped
	}
	p.entries = readerOf(name)(data, subject, k, p.report)
	return p
}

// bind puts the pages together. An id that stands twice with the same content is one entry, as it would be
// had it been sent twice.
func bind(pages []page) (Content, []season.Problem) {
	c := Content{lines: map[string][]int32{}, faulty: map[string]bool{}}
	var problems []season.Problem
	at := map[string]int{}
	for _, p := range pages {
		if p.book != nil {
			c.Books = append(c.Books, p.book)
		}
		for _, m := range p.entries {
			if m.faulty {
				c.faulty[m.entry.ID] = true
			}
			first, twice := at[m.entry.ID]
			if !twice {
				at[m.entry.ID] = len(c.Entries)
				c.Entries = append(c.Entries, m.entry)
				if m.lines != nil {
					c.lines[m.entry.ID] = m.lines
				}
				continue
			}
			where := c.Entries[first].Where.String()
			if isSame(c.Entries[first], m.entry) {
				p.report.doubt(m.entry.Where.Line, "", "the same is said already at "+where+"; it counts once", "", "each observation once")
			} else {
				p.report.wrong(m.entry.Where.Line, "id", "the id belongs already to another entry, at "+where, quoted(m.entry.ID), "an id of its own for each entry")
			}
		}
		problems = append(problems, p.report.all()...)
	}
	return c, problems
}

// plainTables are the tables in the folder itself, in the order in which they are read.
func plainTables() []struct {
	name  string
	table chapter
} {
	return []struct {
		name  string
		table chapter
	}{
		{"readings.csv", readingsChapter()},
		{"ramps.csv", rampsChapter()},
		{"visits.csv", visitsChapter()},
		{"soil.csv", soilChapter()},
		{"spots.csv", spotsChapter()},
		{"applied.csv", appliedChapter()},
		{"harvest.csv", harvestChapter()},
		{"prices.csv", pricesChapter()},
		{"trials.csv", trialsChapter()},
	}
}

// reader gives the entries of a file: see chapter.
type reader func(data []byte, name string, k *known, r *report) []made

// readerOf gives the reader for a file of the folder, or nil for a file that is none of ours.
func readerOf(name string) reader {
	for _, t := range plainTables() {
		if t.name == name {
			return t.table.read
		}
	}
	dir, base := path.Split(name)
	switch {
	case name == boundariesFile:
		return readBoundaries
	case name == entriesFile:
		return readEntries
	case strings.HasPrefix(base, "."):
		return nil
	case dir == weatherDir+"/" && path.Ext(base) == ".csv":
		return readLog
	case dir == weatherDir+"/" && path.Ext(base) == ".dly":
		return readNetworkLog
	case dir == forecastDir+"/" && path.Ext(base) == ".csv":
		return readForecast
	case dir == forecastDir+"/" && path.Ext(base) == ".json":
		return readForecastJSON
	default:
		return nil
	}
}

func isOurs(name string) bool { return name == settingsFile || isBook(name) || readerOf(name) != nil }

// tables lists the tables that are there, in the order in which they are read.
func (o *opened) tables() []string {
	order := []string{boundariesFile}
	for _, t := range plainTables() {
		order = append(order, t.name)
	}
	var names []string
	for _, name := range order {
		if _, has := o.files[name]; has {
			names = append(names, name)
		}
	}
	for _, dir := range []string{weatherDir, forecastDir, bookDir} {
		for _, name := range o.names() {
			if strings.HasPrefix(name, dir+"/") && isOurs(name) {
				names = append(names, name)
			}
		}
	}
	if _, has := o.files[entriesFile]; has {
		names = append(names, entriesFile)
	}
	return names
}

// twoLogs refuses two logs of one station: which of them counted would be chance.
func (o *opened) twoLogs(names []string) *report {
	r := &report{}
	logs := map[string]string{}
	for _, name := range names {
		station, isLog := strings.CutPrefix(strings.TrimSuffix(name, path.Ext(name)), weatherDir+"/")
		if !isLog {
			continue
		}
		if before, has := logs[station]; has {
			r.wrong(0, "", "a station has two logs", before+" and "+name, "one of them")
		}
		logs[station] = name
	}
	return r
}

// strangers doubts files that look as if they were meant to be read. Photos, notes and the like may lie in
// the folder and are passed over.
func (o *opened) strangers() *report {
	r := &report{}
	var expected []string
	for _, t := range plainTables() {
		expected = append(expected, t.name)
	}
	for _, name := range o.names() {
		data := slices.Contains([]string{".csv", ".yaml", ".yml", ".geojson", ".json", ".jsonl", ".xlsx", ".xls", ".ods", ".shp"}, strings.ToLower(path.Ext(name)))
		if !data || isOurs(name) || strings.HasPrefix(path.Base(name), ".") || strings.HasPrefix(name, labDir) {
			continue
		}
		r.doubt(0, "", "the file is not part of a season folder and was not read", quoted(name),
			settingsFile+", "+boundariesFile+", "+strings.Join(expected, ", ")+", weather/<station>.csv or .dly, forecast/<station>.csv or forecast/<station>.json, rulebooks/<name>.yaml")
	}
	return r
}

func listed(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	if len(names) > 5 {
		return strings.Join(names[:5], ", ") + fmt.Sprintf(" and %d more", len(names)-5)
	}
	return strings.Join(names, ", ")
}
