package unit

import (
	"math"
	"strconv"
	"strings"
)

// narrowNoBreak keeps a unit with its number wherever a line breaks.
const narrowNoBreak = "\u202f"

// Shown is a number as a person reads it: converted, rounded and split so that a page can set number and
// unit apart.
type Shown struct {
	Number string // "64", "-3", "$31"
	Symbol string // "lb/ac", "/ac"; empty for a number without unit
}

// String joins number and unit; the two never part at the end of a line.
func (s Shown) String() string {
	switch {
	case s.Symbol == "", strings.HasPrefix(s.Symbol, "/"), s.Symbol == "%":
		return s.Number + s.Symbol
	default:
		return s.Number + narrowNoBreak + s.Symbol
	}
}

// Show converts a number in the base unit of its kind for reading in a system of units.
func Show(k Kind, base float64, s System) Shown {
	sc := scaleOf(k, s)
	return Shown{Number: sc.number(base), Symbol: sc.symbol}
}

// ShowRange writes an uncertain number the one way Culm writes it: 64 (48 to 79) lb/ac.
func ShowRange(k Kind, base, low, high float64, s System) string {
	sc := scaleOf(k, s)
	number := sc.number(base) + " (" + sc.number(low) + " to " + sc.number(high) + ")"
	return Shown{Number: number, Symbol: sc.symbol}.String()
}

// Convert gives the number a person reads, unrounded.
func Convert(k Kind, base float64, s System) float64 {
	sc := scaleOf(k, s)
	return base*sc.factor + sc.offset
}

// Symbol names the unit a kind is shown in; empty for a number without unit.
func Symbol(k Kind, s System) string {
	sc := scaleOf(k, s)
	return sc.prefix + sc.symbol
}

// BaseSymbol names the metric unit in which machine-readable output gives a kind: the base unit, except
// that a fraction stays a fraction of 1.
func BaseSymbol(k Kind) string {
	switch k {
	case KindYield, KindWheatYield, KindCanolaYield:
		return "kg/ha"
	case KindPerYield, KindPerWheat, KindPerCanola:
		return "kg/kg"
	case KindLength:
		return "m"
	case KindSpeed:
		return "m/s"
	case KindPressure:
		return "kPa"
	case KindFraction, KindShare, KindRatio, KindIndex, KindCoefficient:
		return "1"
	case KindMoney:
		return "currency"
	case KindMoneyPerArea, KindPassPrice:
		return "currency/ha"
	case KindPrice, KindNutrientPrice, KindWheatPrice, KindCanolaPrice, KindProductPrice:
		return "currency/kg"
	case KindConcentration:
		return "mg/kg"
	default:
		return scaleOf(k, Metric).symbol
	}
}

func (sc scale) number(base float64) string {
	v := base*sc.factor + sc.offset
	rounded := strconv.FormatFloat(math.Abs(v), 'f', max(sc.decimals, sc.decimalsFor(v)), 64)
	sign := ""
	if v < 0 && strings.Trim(rounded, "0.") != "" {
		sign = "−"
	}
	whole, fraction, hasFraction := strings.Cut(rounded, ".")
	out := sign + sc.prefix + thousands(whole)
	if hasFraction {
		out += "." + fraction
	}
	return out
}

// decimalsFor is the number of decimals that shows the significant digits asked for; whole numbers keep all
// of theirs.
func (sc scale) decimalsFor(v float64) int {
	if sc.digits == 0 || v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0
	}
	return sc.digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
}

// thousands puts a comma between groups of three digits.
func thousands(digits string) string {
	if len(digits) <= 3 {
		return digits
	}
	head := len(digits) % 3
	var b strings.Builder
	b.WriteString(digits[:head])
	for i := head; i < len(digits); i += 3 {
		if b.Len() > 0 {
			b.WriteByte(',')
		}
		b.WriteString(digits[i : i+3])
	}
	return b.String()
}
