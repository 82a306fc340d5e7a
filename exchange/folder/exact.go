package folder

import (
	"math"
	"math/big"
	"strconv"

	"culm/agronomy/unit"
)

// A number in a file stands in the unit that its column names; inside the program it is a float64 in the
// metric base unit. If the number were first rounded to a float64 and then multiplied, not every float64
// could be written down in pounds or bushels, and a season would not come back as it was written. So the
// decimal number as it stands is multiplied by the exact factor, a fraction of whole numbers, and rounded
// once, at the end. Then 17 digits or fewer are enough for any amount of an ordinary size.

// scale is a unit in which numbers are written: base = (written + shift) × num ÷ den, exactly.
type scale struct {
	suffix string      // at the end of a column's name: "lb_ac"
	symbol string      // behind a number in text: "lb/ac"
	system unit.System // whose unit it is; empty for a unit that everybody uses

	shift    int64
	num, den uint64
	// hi and lo add up to num ÷ den to about 106 bits.
	hi, lo float64
}

func newScale(suffix, symbol string, system unit.System, num, den uint64) scale {
	s := scale{suffix: suffix, symbol: symbol, system: system, num: num, den: den}
	factor := s.factor()
	s.hi, _ = factor.Float64()
	rest := new(big.Rat).Sub(factor, new(big.Rat).SetFloat64(s.hi))
	s.lo, _ = rest.Float64()
	return s
}

func (s scale) factor() *big.Rat {
	num, den := new(big.Int).SetUint64(s.num), new(big.Int).SetUint64(s.den)
	return new(big.Rat).SetFrac(num, den)
}

func (s scale) isBase() bool { return s.num == s.den && s.shift == 0 }

// parse reads a number in the unit and gives the amount in the base unit. It returns false for what is not
// a number written with digits and at most one decimal point, and for numbers no float64 can hold.
func (s scale) parse(text []byte) (float64, bool) {
	d, ok := readDecimal(text)
	if !ok {
		return 0, false
	}
	if v, ok := s.quick(d); ok {
		return v, true
	}
	if s.isBase() {
		v, err := strconv.ParseFloat(string(text), 64)
		return v, err == nil
	}
	v := s.slow(text)
	return v, !math.IsInf(v, 0)
}

// decimal is mantissa ÷ 10^places.
type decimal struct {
	negative bool
	mantissa uint64
	places   int
	// short says that mantissa and places hold all of the number.
	short bool
}

// longest bounds a written number. The smallest float64 has 767 significant digits, written out.
const longest = 1200

// readDecimal reads "-12.5" or "1.25e-7". Nothing else is a number here: no comma, no sign for thousands,
// no hexadecimal, no infinity.
func readDecimal(text []byte) (decimal, bool) {
	d := decimal{short: true}
	i := 0
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		d.negative = text[i] == '-'
		i++
	}
	digits, point := 0, false
	for ; i < len(text); i++ {
		c := text[i]
		switch {
		case c >= '0' && c <= '9':
			digits++
			if d.mantissa >= 1e17 {
				d.short = false
				continue
			}
			d.mantissa = d.mantissa*10 + uint64(c-'0')
			if point {
				d.places++
			}
		case c == '.' && !point:
			point = true
		case (c == 'e' || c == 'E') && digits > 0:
			d.short = false
			return d, isExponent(text[i+1:])
		default:
			return d, false
		}
	}
	return d, digits > 0 && len(text) <= longest
}

// isExponent keeps to three digits, so that a short text cannot ask for a number of a million digits.
func isExponent(text []byte) bool {
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		text = text[1:]
	}
	for _, c := range text {
		if c < '0' || c > '9' {
			return false
		}
	}
	return len(text) >= 1 && len(text) <= 3
}

// quick computes with pairs of float64, each pair a number of about 106 bits, and returns false when that
// does not settle how the last bit is rounded. It settles nearly always.
func (s scale) quick(d decimal) (float64, bool) {
	if !d.short || d.places > 15 {
		return 0, false
	}
	power := pow10(d.places)
	m := int64(d.mantissa)
	if d.negative {
		m = -m
	}
	m += s.shift * int64(power)
	if m == 0 {
		return 0, true
	}
	top := float64(m)
	rest := float64(m - int64(top))
	if s.isBase() && rest == 0 {
		return top / power, true // both exact, so the quotient is rounded once
	}
	product := top * s.hi
	productLow := math.FMA(top, s.hi, -product) + (top*s.lo + rest*s.hi)
	quotient := product / power
	quotientLow := (math.FMA(-quotient, power, product) + productLow) / power
	sum := quotient + quotientLow
	low := quotientLow - (sum - quotient)
	// The pair is good to 2^-100. If a thousandth more of its low part does not move the sum, no error of
	// that size does.
	return sum, sum+low*1.001 == sum && sum+low*0.999 == sum
}

func pow10(n int) float64 {
	p := 1.0
	for range n {
		p *= 10
	}
	return p
}

func (s scale) slow(text []byte) float64 {
	r, ok := new(big.Rat).SetString(string(text))
	if !ok {
		return math.Inf(1)
	}
	r.Add(r, new(big.Rat).SetInt64(s.shift))
	r.Mul(r, s.factor())
	v, _ := r.Float64()
	return v
}

// format writes an amount in the unit with the fewest digits that parse reads back as the same float64. It
// returns "" for what is not a finite number.
func (s scale) format(base float64) string {
	if math.IsNaN(base) || math.IsInf(base, 0) {
		return ""
	}
	if s.isBase() {
		return strconv.FormatFloat(base, notation(base), -1, 64)
	}
	written := base/s.hi - float64(s.shift)
	var buffer [64]byte
	if size := math.Abs(written); size < 1e15 && size > 1e-9 {
		for places := range 16 {
			text := strconv.AppendFloat(buffer[:0], written, 'f', places, 64)
			if v, ok := s.parse(text); ok && v == base {
				return withoutMinusZero(string(text))
			}
		}
	}
	return s.formatExactly(base)
}

// notation is 'f', as people write, unless the number would run to dozens of zeros.
func notation(v float64) byte {
	if size := math.Abs(v); size != 0 && (size < 1e-6 || size >= 1e21) {
		return 'e'
	}
	return 'f'
}

// formatExactly is for amounts of unusual size, and for temperatures so near to freezing that Fahrenheit
// needs more decimals than a float64 has.
func (s scale) formatExactly(base float64) string {
	exact := new(big.Rat).SetFloat64(base)
	exact.Quo(exact, s.factor())
	exact.Sub(exact, new(big.Rat).SetInt64(s.shift))
	for places := 0; places < longest; places++ {
		text := exact.FloatString(places)
		if s.slow([]byte(text)) == base {
			return withoutMinusZero(text)
		}
	}
	return ""
}

func withoutMinusZero(text string) string {
	if text == "-0" {
		return "0"
	}
	return text
}
