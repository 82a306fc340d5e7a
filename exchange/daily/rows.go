package daily

import (
	"encoding/binary"
	"math"
	"math/bits"
	"strconv"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// rows reads the whole lines in the buffer, up to the first of another station.
func (r *Reader) rows() {
	for r.at < r.whole && r.err == nil && !r.waiting {
		if next := r.quickRow(); next > 0 {
			r.at = next
			continue
		}
		line := trimLine(r.cutLine())
		if len(line) > 0 {
			r.carefulRow(line)
		}
	}
}

// mostDigits of a number are kept exactly by a float64, and so are the powers of ten up to that.
const mostDigits = 15

func tenTo(decimals int) float64 {
	return [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}[decimals]
}

// quickRow reads a row of plain numbers in one pass over its bytes and gives where the next begins. For
// anything out of the ordinary (quotes, blanks, words, an error) it gives 0 and has done nothing.
func (r *Reader) quickRow() int {
	b := r.buf[:r.whole] // ends in a newline, so no field runs beyond
	i := r.at
	d := r.slot()
	var has temperatures
	var name []byte
	same := !r.named
	last := len(r.columns) - 1
	for k := range r.columns {
		c := &r.columns[k]
		var ok bool
		switch c.kind {
		case stationColumn:
			from := i
			if i, same = r.sameStation(b, i); !same {
				if i, ok = plainField(b, i); !ok {
					r.takeBack()
					return 0
				}
			}
			name = b[from:i]
		case dateColumn:
			if i, ok = r.dates.read(b, i, &d.Day); !ok {
				r.takeBack()
				return 0
			}
		case otherColumn:
			if i, ok = plainField(b, i); !ok {
				r.takeBack()
				return 0
			}
		default:
			digits, scale, width := int64(0), 10.0, 0
			if i+8 <= len(b) {
				digits, width = oneDecimal(binary.LittleEndian.Uint64(b[i:]))
			}
			if width == 0 || b[i+width]-'0' <= 9 {
				if b[i] == ',' || b[i] == '\n' || b[i] == '\r' { // not measured
					break
				}
				if digits, scale, width = plainNumber(b[i:]); width == 0 {
					r.takeBack()
					return 0
				}
			}
			i += width
			has |= r.set(d, c, float64(digits)/scale)
		}
		switch {
		case k < last && b[i] == ',', k == last && b[i] == '\n':
			i++
		case k == last && b[i] == '\r' && b[i+1] == '\n':
			i += 2
		default:
			r.takeBack()
			return 0
		}
	}
	r.line++
	r.take(d, has, name, same)
	return i
}

// sameStation passes over the name of the station that is being read, where that is what stands there.
func (r *Reader) sameStation(b []byte, i int) (int, bool) {
	n := len(r.station)
	if n > 0 && len(r.days) > 1 && i+n < len(b) && b[i+n] == ',' && string(b[i:i+n]) == string(r.station) {
		return i + n, true
	}
	return i, false
}

// plainField passes over a field without quotes and blanks.
func plainField(b []byte, i int) (int, bool) {
	for ; b[i] != ',' && b[i] != '\n' && b[i] != '\r'; i++ {
		if b[i] == '"' || b[i] == ' ' || b[i] == '\t' {
			return i, false
		}
	}
	return i, true
}

// read reads a date such as 1995-01-31 where it is of the same month as the one before it or can be.
func (m *dates) read(b []byte, i int, day *calendar.Day) (int, bool) {
	if i+10 >= len(b) {
		return i, false
	}
	if prefix := binary.LittleEndian.Uint64(b[i:]); prefix != m.prefix && !m.turn(b[i:i+8], prefix) {
		return i, false
	}
	ten, one := b[i+8]-'0', b[i+9]-'0'
	*day = m.start.Add(int(ten)*10 + int(one) - 1)
	return i + 10, ten <= 9 && one <= 9 && ten|one != 0 && day.Before(m.end)
}

// plainNumber reads digits with at most one point among them, a minus sign before them: the digits as a whole
// number, the power of ten to divide it by, and how many bytes they take, 0 for what is not such a number or has
// more digits than fit. A byte that is none of these ends them, and there is one.
func plainNumber(b []byte) (digits int64, scale float64, width int) {
	i, first, decimals := 0, 0, 0
	if b[0] == '-' {
		i, first = 1, 1
	}
	for ; b[i]-'0' <= 9; i++ {
		digits = digits*10 + int64(b[i]-'0')
	}
	count := i - first
	if b[i] == '.' {
		i++
		for ; b[i]-'0' <= 9; i++ {
			digits = digits*10 + int64(b[i]-'0')
			decimals++
		}
		count += decimals
	}
	if count == 0 || count > mostDigits {
		return 0, 0, 0
	}
	if first > 0 {
		digits = -digits
	}
	return digits, tenTo(decimals), i
}

// oneDecimal reads the most usual number, a minus sign or none, one to five digits, a point and a digit, from
// eight bytes at once: sign and number of digits are chance, and branches on them would be guessed wrong by the
// processor every second time. The width, on which the reading of the next field waits, comes first and from
// the point alone. It gives the number in tenths and its width, or 0 for anything else.
func oneDecimal(w uint64) (tenths int64, width int) {
	const ones = 0x0101010101010101
	x := w ^ '.'*ones
	n := bits.TrailingZeros64((x-ones)&^x&(0x80*ones)) >> 3 // place of the point
	minus := isMinus(byte(w))
	if n > 6 || n-int(minus) < 1 || n-int(minus) > 5 {
		return 0, 0
	}
	up := uint(7-n) * 8 & 63
	y := w<<up&^(0xff<<56) | w>>(uint(n+1)*8&63)<<56 // the point taken out, ending in the eighth byte
	y = (y ^ '0'*ones) & (math.MaxUint64 << ((up + uint(minus)*8) & 63))
	if (y|(y+0x76*ones))&(0x80*ones) != 0 { // a byte above 9
		return 0, 0
	}
	y = y * (10<<8 + 1) >> 8 & (0xff * 0x0001000100010001)
	y = y * (100<<16 + 1) >> 16 & (0xffff * 0x0000000100000001)
	tenths = int64(y * (10000<<32 + 1) >> 32)
	return (tenths ^ -minus) + minus, n + 2
}

// isMinus is 1 for a minus sign and 0 for anything else.
func isMinus(c byte) int64 { return int64((uint64(c^'-') - 1) >> 63) }

// set puts a number into the day. Only a temperature is told back: one alone is left out.
func (r *Reader) set(d *season.WeatherDay, c *column, v float64) temperatures {
	for _, code := range r.layout.Missing {
		if v == code {
			return none
		}
	}
	if !c.isBase {
		v = (v - c.shift) * c.factor
	}
	switch c.kind {
	case lowColumn:
		d.Low = unit.Temperature(v)
		return hasLow
	case highColumn:
		d.High = unit.Temperature(v)
		return hasHigh
	case rainColumn:
		d.Rain, d.Has = unit.Water(v), d.Has|season.HasRain
	case snowColumn:
		d.Snow, d.Has = unit.Water(v), d.Has|season.HasSnow
	}
	return none
}

// carefulRow reads a row field by field and says what is wrong with it.
func (r *Reader) carefulRow(line []byte) {
	d := r.slot()
	var has temperatures
	var name []byte
	k := 0
	for field := range fields(line) {
		if k == len(r.columns) {
			r.fail("", "more fields than the header has columns", strconv.Itoa(len(r.columns))+" fields")
			return
		}
		c := &r.columns[k]
		k++
		switch c.kind {
		case otherColumn:
		case stationColumn:
			name = field
		case dateColumn:
			day, ok := parseDate(field)
			if !ok {
				r.fail(c.name, quoted(field), c.expected)
				return
			}
			d.Day = day
		default:
			v, known, ok := parseNumber(field, c.kind)
			if !ok {
				r.fail(c.name, quoted(field), c.expected)
				return
			}
			if known {
				has |= r.set(d, c, v)
			}
		}
	}
	if k < len(r.columns) {
		r.fail("", strconv.Itoa(k)+" fields", strconv.Itoa(len(r.columns))+", as the header has columns")
		return
	}
	r.take(d, has, name, !r.named)
}

// parseNumber reads a number, or that there is none.
func parseNumber(field []byte, k kind) (v float64, known, ok bool) {
	text := string(field)
	switch strings.ToUpper(text) {
	case "", "NA":
		return 0, false, true
	case "T":
		return 0, true, k == rainColumn || k == snowColumn
	}
	if strings.Trim(text, "+-.0123456789eE") != "" { // no hexadecimal, infinities, underscores
		return 0, false, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, true, err == nil
}

func parseDate(field []byte) (calendar.Day, bool) {
	text := string(field)
	if len(text) == 8 {
		text = text[:4] + "-" + text[4:6] + "-" + text[6:]
	}
	day, err := calendar.Parse(text)
	return day, err == nil && day.Sub(calendar.Date(1, 1, 1)) >= 0
}

// turn goes to the month of the eight bytes "1995-01-".
func (m *dates) turn(text []byte, prefix uint64) bool {
	if text[4] != '-' || text[7] != '-' {
		return false
	}
	digit := func(i int) int { return int(text[i] - '0') } // above 9 for anything else
	for _, i := range [...]int{0, 1, 2, 3, 5, 6} {
		if digit(i) > 9 {
			return false
		}
	}
	year := digit(0)*1000 + digit(1)*100 + digit(2)*10 + digit(3)
	month := digit(5)*10 + digit(6)
	if year < 1 || month < 1 || month > 12 {
		return false
	}
	if year == m.year && month == m.month+1 && month > 1 { // the month after the last, as mostly
		m.start = m.end
	} else {
		m.start = calendar.Date(year, time.Month(month), 1)
	}
	m.prefix, m.year, m.month = prefix, year, month
	m.end = m.start.Add(monthLength(year, month))
	return true
}

func monthLength(year, month int) int {
	switch month {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	default:
		return 31
	}
}
