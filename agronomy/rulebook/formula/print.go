package formula

import (
	"math"
	"strconv"
	"strings"
)

// InWords prints the formula with labels and signs: "nitrogen per bushel × yield goal − soil nitrate".
func (f *Formula) InWords() string {
	text, _ := printer{signs: true, leaf: func(n *node) (string, level, bool) {
		if n.op != opName || n.name.Label == "" {
			return "", 0, false
		}
		if v, err := strconv.ParseFloat(n.name.Label, 64); err == nil {
			return plain(v), levelOf(v), true
		}
		return n.name.Label, atom, true
	}}.print(f.root)
	return text
}

// WithNumbers prints it with the numbers put in: "2.4 × 60 − 40". A table stands as the number it gave, and
// of a ? b : c only the branch taken; a part that is silent stands as a question mark.
func (f *Formula) WithNumbers(slots []Slot) string {
	text, _ := printer{signs: true, leaf: func(n *node) (string, level, bool) { return f.put(n, slots) }}.print(f.root)
	return text
}

// put gives the value that stands in place of a part.
func (f *Formula) put(n *node, slots []Slot) (string, level, bool) {
	if n.op != opName && n.op != opTable && n.op != opIf && n.op != opGiven {
		return "", 0, false
	}
	var s Silence
	if n.op == opIf {
		taken := n.kids[2]
		if compile(n.kids[0], f.words).at(slots, &s) != 0 {
			taken = n.kids[1]
		}
		if s.Why != Answered {
			return "?", atom, true
		}
		text, l := printer{signs: true, leaf: func(n *node) (string, level, bool) { return f.put(n, slots) }}.print(taken)
		return text, l, true
	}
	v := compile(n, f.words).at(slots, &s)
	switch {
	case s.Why != Answered:
		return "?", atom, true
	case n.op == opGiven && v == 0:
		return "not given", atom, true
	case n.op == opGiven:
		return "given", atom, true
	case n.value.Kind == Word:
		return f.words.Word(v), atom, true
	case n.value.Kind == YesNo && v == 0:
		return "no", atom, true
	case n.value.Kind == YesNo:
		return "yes", atom, true
	case n.op == opName && n.name.Fixed:
		return plain(v), levelOf(v), true
	}
	return plain(significant(v)), levelOf(v), true
}

// source prints a part as it would be written, cut where it is long, for a message.
func (n *node) source() string {
	text, _ := printer{leaf: func(*node) (string, level, bool) { return "", 0, false }}.print(n)
	if runes := []rune(text); len(runes) > 60 {
		return string(runes[:57]) + "..."
	}
	return text
}

// sign names an operation in a message.
func (n *node) sign() string {
	if n.op == opNegate {
		return "-"
	}
	if n.op == opNot {
		return "not"
	}
	return n.text
}

// level says how tightly a printed part holds together.
type level int

const (
	branch level = iota
	either
	both
	negation
	comparison
	sum
	signed // a product that begins with a minus
	product
	power
	atom
)

type printer struct {
	signs bool // × and − of print instead of those of the keyboard
	// leaf gives what stands in place of a part, if anything does
	leaf func(*node) (string, level, bool)
}

func (p printer) print(n *node) (string, level) {
	if text, l, ok := p.leaf(n); ok {
		return text, l
	}
	switch n.op {
	case opNumber:
		return p.minus(keyboard(n.number)), levelOf(n.number)
	case opWord:
		return strconv.Quote(n.text), atom
	case opYesNo:
		return strconv.FormatBool(n.number != 0), atom
	case opName:
		return n.text, atom
	case opNegate:
		return p.minus("-" + p.within(n.kids[0], product)), signed
	case opNot:
		return "not " + p.within(n.kids[0], atom), negation
	case opIf:
		return p.conditional(n), branch
	case opPower:
		return p.raised(n), power
	case opGiven:
		if p.signs {
			return p.within(n.kids[0], atom) + " is given", comparison
		}
		return p.called(n), atom
	case opTable, opMin, opMax, opAbs, opExp, opLn, opSqrt:
		return p.called(n), atom
	}
	sign, l, tighter := p.between(n)
	left, most := p.print(n.kids[0])
	switch {
	case l == product && most == signed: // −a × b needs no parentheses
		l = signed
	case most < l:
		left = "(" + left + ")"
	}
	right, holds := p.print(n.kids[1])
	switch negative, isNegative := strings.CutPrefix(right, "−"); {
	case n.op == opAdd && holds == signed && isNegative: // a + −b
		return left + " − " + negative, l
	case holds < tighter:
		right = "(" + right + ")"
	}
	return left + " " + sign + " " + right, l
}

// within prints a part that must hold together at least as tightly as where it stands.
func (p printer) within(n *node, least level) string {
	text, l := p.print(n)
	if l < least {
		return "(" + text + ")"
	}
	return text
}

// between gives the sign of an operation, its level, and the level its right side needs.
func (p printer) between(n *node) (sign string, l, right level) {
	pick := func(printed, keyboard string) string {
		if p.signs {
			return printed
		}
		return keyboard
	}
	switch n.op {
	case opAdd:
		return "+", sum, product
	case opSubtract:
		return pick("−", "-"), sum, product
	case opMultiply:
		return pick("×", "*"), product, power
	case opDivide:
		return "/", product, power
	case opLess:
		return "<", comparison, sum
	case opLessEqual:
		return pick("≤", "<="), comparison, sum
	case opMore:
		return ">", comparison, sum
	case opMoreEqual:
		return pick("≥", ">="), comparison, sum
	case opEqual:
		return pick("is", "=="), comparison, sum
	case opUnequal:
		return pick("is not", "!="), comparison, sum
	case opAnd:
		return "and", both, negation
	default:
		return "or", either, both
	}
}

func (p printer) conditional(n *node) string {
	cond, yes, no := p.within(n.kids[0], either), p.within(n.kids[1], either), p.within(n.kids[2], either)
	if p.signs {
		return yes + " if " + cond + ", otherwise " + no
	}
	return cond + " ? " + yes + " : " + no
}

func (p printer) raised(n *node) string {
	base := p.within(n.kids[0], atom)
	exponent := p.within(n.kids[1], atom)
	switch {
	case !p.signs:
		return base + " ** " + exponent
	case exponent == "2":
		return base + "²"
	case exponent == "3":
		return base + "³"
	}
	return base + "^" + exponent
}

func (p printer) called(n *node) string {
	name := n.text
	if p.signs && n.op == opTable && n.table != nil && n.table.Label != "" {
		name = n.table.Label + " "
	}
	args := make([]string, len(n.kids))
	for i, k := range n.kids {
		args[i] = p.within(k, branch)
	}
	return name + "(" + strings.Join(args, ", ") + ")"
}

func (p printer) minus(text string) string {
	if p.signs {
		return strings.Replace(text, "-", "−", 1)
	}
	return text
}

// levelOf a number: one below zero begins with a minus.
func levelOf(v float64) level {
	if v < 0 {
		return signed
	}
	return atom
}

// plain writes a number with the sign of print.
func plain(v float64) string { return strings.Replace(keyboard(v), "-", "−", 1) }

func keyboard(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e15) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// significant rounds a worked number to six digits, more than any guidance has.
func significant(v float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if err != nil {
		return v
	}
	return rounded
}
