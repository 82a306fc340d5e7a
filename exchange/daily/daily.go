// Package daily reads a plain table of daily weather, one row a day, such as the season's own weather files
// and what stations and weather services hand out: fast, since a region's stations over thirty years make
// hundreds of megabytes, and in the order of the file, one station after another.
//
//	station,date,low_c,high_c,rain_mm
//	linden,1995-01-01,-2.1,5.3,0.0
//
// A column's name carries its unit: low_c or low_f, high_c or high_f, rain_mm or rain_in, snow_cm or snow_in
// (depth lying). The date is 1995-01-01 or 19950101. A file of one station needs no station column. Columns of
// other names are passed over, unless a Layout says what they are. A value that is missing is left empty or
// written NA; a T for rain or snow is a trace, which is known and zero.
package daily

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"culm/agronomy/calendar"
	"culm/season"
)

// Layout says how a file differs from the season's own weather files. The zero value says not at all.
type Layout struct {
	// Columns maps a column's name in the file to the one it stands for: {"tmax": "high_c"}.
	Columns map[string]string
	// Missing are numbers that stand for a value that is missing, such as -9999.
	Missing []float64
}

// Error is a row or a header that cannot be read.
type Error struct {
	Line     int
	Column   string // empty when it is about the whole line
	Found    string
	Expected string
}

// Error says where, what was found and what was expected.
func (e *Error) Error() string {
	where := fmt.Sprintf("line %d", e.Line)
	if e.Column != "" {
		where += ", column " + e.Column
	}
	return fmt.Sprintf("%s: found %s; expected %s", where, e.Found, e.Expected)
}

// Sizes of the buffer: the first fits a core's own cache, the last is a line that no table of weather has.
const (
	bufferSize  = 128 << 10
	longestLine = 1 << 20
)

// Reader reads a file station by station.
type Reader struct {
	in      io.Reader
	layout  Layout
	columns []column
	named   bool // there is a station column

	buf      []byte
	at, full int // unread bytes are buf[at:full]
	whole    int // buf[at:whole] are whole lines
	ended    bool
	line     int // of the row read last

	dates   dates
	station []byte
	days    []season.WeatherDay
	next    season.WeatherDay // first row of the next station
	nextOf  []byte            // and its name
	waiting bool              // next is filled
	seen    map[string]bool
	lone    int
	err     error
}

// NewReader reads the header of a file.
func NewReader(in io.Reader, l Layout) (*Reader, error) {
	r := &Reader{in: in, layout: l, buf: make([]byte, bufferSize), seen: map[string]bool{}}
	header, err := r.header()
	if err != nil {
		return nil, err
	}
	r.columns, err = columnsOf(header, r.line, l)
	if err != nil {
		return nil, err
	}
	for _, c := range r.columns {
		r.named = r.named || c.kind == stationColumn
	}
	return r, nil
}

// Next reads the days of the next station of the file. It returns false at the end of the file and where the
// file cannot be read: see Err.
func (r *Reader) Next() bool {
	r.days = r.days[:0]
	if r.waiting {
		r.waiting = false
		r.begin(r.nextOf)
		r.days = append(r.days, r.next)
	}
	for r.err == nil {
		if r.at >= r.whole && !r.fill() {
			break
		}
		if r.rows(); r.waiting {
			break
		}
	}
	return r.err == nil && len(r.days) > 0
}

// Station is the name of the station that Next read, empty in a file of one station.
func (r *Reader) Station() string { return string(r.station) }

// Days are the station's days, in order. They are good until Next is called again.
func (r *Reader) Days() []season.WeatherDay { return r.days }

// Lone counts the days read so far with only one of the two temperatures, which gives no mean and was left out.
func (r *Reader) Lone() int { return r.lone }

// Err is what stopped Next, nil at the end of the file. It is an *Error where the file is to blame.
func (r *Reader) Err() error { return r.err }

// header reads up to and with the first line that is not blank.
func (r *Reader) header() ([]byte, error) {
	for r.at < r.whole || r.fill() {
		line := trimLine(r.cutLine())
		if r.line == 1 {
			line = bytes.TrimPrefix(line, []byte("\ufeff"))
		}
		if len(line) > 0 {
			return bytes.Clone(line), nil
		}
	}
	if r.err != nil {
		return nil, r.err
	}
	return nil, &Error{Line: 1, Found: "an empty file", Expected: "a header such as date,low_c,high_c,rain_mm"}
}

// cutLine takes one whole line off the buffer.
func (r *Reader) cutLine() []byte {
	end := r.at + bytes.IndexByte(r.buf[r.at:r.whole], '\n')
	line := r.buf[r.at:end]
	r.at = end + 1
	r.line++
	return line
}

func trimLine(line []byte) []byte { return bytes.TrimSpace(line) }

// fill moves what is left of the buffer to its front and reads on until there is a whole line. It returns
// false at the end of the file.
func (r *Reader) fill() bool {
	r.full = copy(r.buf, r.buf[r.at:r.full])
	r.at, r.whole = 0, 0
	for idle := 0; r.whole == 0; {
		if r.ended {
			if r.full == 0 || r.err != nil {
				return false
			}
			r.buf[r.full] = '\n' // a last line without its end
			r.full++
			r.whole = r.full
			return true
		}
		if r.full >= len(r.buf)-1 && !r.grow() {
			return false
		}
		n, err := r.in.Read(r.buf[r.full : len(r.buf)-1]) // one byte is kept for the end of the last line
		if i := bytes.LastIndexByte(r.buf[r.full:r.full+n], '\n'); i >= 0 {
			r.whole = r.full + i + 1
		}
		r.full += n
		switch {
		case errors.Is(err, io.EOF):
			r.ended = true
		case err != nil:
			r.err, r.ended = err, true
		case n == 0:
			if idle++; idle > 100 {
				r.err, r.ended = io.ErrNoProgress, true
			}
		}
	}
	return true
}

func (r *Reader) grow() bool {
	if len(r.buf) >= longestLine {
		r.err = &Error{Line: r.line + 1, Found: "a line without end", Expected: "a table of weather, one row a day"}
		return false
	}
	r.buf = append(r.buf, make([]byte, len(r.buf))...)
	return true
}

// begin starts a station. One whose rows stand in two places of the file would be read as two.
func (r *Reader) begin(name []byte) {
	r.station = append(r.station[:0], name...)
	if r.seen[string(name)] {
		r.fail("station", string(name)+" again, after other stations", "all rows of a station together")
	}
	r.seen[string(name)] = true
}

func (r *Reader) fail(column, found, expected string) {
	if r.err == nil {
		r.err = &Error{Line: r.line, Column: column, Found: found, Expected: expected}
	}
}

// slot adds an empty day to those of the station, to be filled in place. A row that turns out to be of another
// station, or not to be read this way, takes it back.
func (r *Reader) slot() *season.WeatherDay {
	r.days = append(r.days, season.WeatherDay{})
	return &r.days[len(r.days)-1]
}

func (r *Reader) takeBack() { r.days = r.days[:len(r.days)-1] }

// take ends a row whose day was filled into the last slot. It is of the station of the row before when the
// caller knows so or the names are the same; otherwise it is kept for the next.
func (r *Reader) take(d *season.WeatherDay, has temperatures, name []byte, same bool) {
	switch has {
	case both:
		d.Has |= season.HasTemperature
	case none:
	default:
		d.Low, d.High = 0, 0
		r.lone++
	}
	if len(r.days) == 1 {
		r.begin(name)
		return
	}
	if !same && !bytes.Equal(name, r.station) {
		r.next, r.waiting = *d, true
		r.nextOf = append(r.nextOf[:0], name...)
		r.takeBack()
		return
	}
	if last := r.days[len(r.days)-2].Day; !last.Before(d.Day) {
		r.fail("date", d.Day.String()+" after "+last.String(), "the days of a station in order, each once")
	}
}

// temperatures says which of the two a row has.
type temperatures uint8

const (
	none    temperatures = 0
	hasLow  temperatures = 1
	hasHigh temperatures = 2
	both                 = hasLow | hasHigh
)

// quoted shows what stands in a file, cut where it is long.
func quoted(text []byte) string {
	const most = 40
	if len(text) == 0 {
		return "nothing"
	}
	if len(text) > most {
		text = append(text[:most:most], "..."...)
	}
	return fmt.Sprintf("%q", strings.ToValidUTF8(string(text), "?"))
}

// dates reads dates, most of which follow on the one before.
type dates struct {
	prefix      uint64 // the eight bytes "1995-01-" of the month read last
	year, month int
	start, end  calendar.Day // its first day, and that of the next
}
