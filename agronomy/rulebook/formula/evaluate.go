package formula

import "math"

// Why says why there is no answer.
type Why uint8

// The reasons.
const (
	Answered Why = iota
	TableSilent
	DividedByZero
	NoValue  // a logarithm or root of a number that has none
	TooLarge // beyond all bounds
)

// Silence is why a formula gave no answer; the zero Silence means that it did.
type Silence struct {
	Why    Why
	Code   uint8  // of the table that was silent
	Column int    // of the part that failed
	Table  *Table // that was silent
}

// String says in words why there is no answer.
func (s Silence) String() string {
	switch s.Why {
	case TableSilent:
		return "the table gives no number for it"
	case DividedByZero:
		return "something is divided by zero"
	case NoValue:
		return "a logarithm or a root is taken of a number that has none"
	case TooLarge:
		return "a number grows beyond all bounds"
	}
	return ""
}

// Number works the formula out; it allocates nothing. The formula must give a number (or a word, whose number
// is meant). slots must be as long as the names of the Env ask.
func (f *Formula) Number(slots []Slot) (float64, Silence) {
	var s Silence
	v := f.run.at(slots, &s)
	if v-v != 0 {
		s.because(TooLarge, f.run)
	}
	if s.Why != Answered {
		return 0, s
	}
	return v, s
}

// YesNo works out a condition; it allocates nothing. False where silent.
func (f *Formula) YesNo(slots []Slot) (bool, Silence) {
	v, s := f.Number(slots)
	return v != 0, s
}

// Reads tells of every table that is looked up on the way to the number, with what is asked of it; what is not
// worked out, such as the branch of a ? b : c that is not taken, is not told of. It is for explaining and allocates.
func (f *Formula) Reads(slots []Slot, tell func(t *Table, a, b, c float64)) { f.run.reads(slots, tell) }

func (c *code) reads(slots []Slot, tell func(t *Table, a, b, c float64)) {
	if c == nil {
		return
	}
	var s Silence
	switch c.op {
	case opIf:
		c.a.reads(slots, tell)
		if c.a.at(slots, &s) != 0 {
			c.b.reads(slots, tell)
			return
		}
		c.c.reads(slots, tell)
		return
	case opTable:
		var args [3]float64
		for i, part := range []*code{c.a, c.b, c.c} {
			if part != nil {
				args[i] = part.at(slots, &s)
			}
		}
		tell(c.table, args[0], args[1], args[2])
	}
	c.a.reads(slots, tell)
	if left := c.a; c.op == opAnd && left.at(slots, &s) == 0 || c.op == opOr && left.at(slots, &s) != 0 {
		return
	}
	c.b.reads(slots, tell)
	c.c.reads(slots, tell)
}

// because notes the first reason and no later one.
func (s *Silence) because(why Why, c *code) {
	if s.Why == Answered {
		s.Why, s.Column = why, int(c.column)
	}
}

// code is a compiled part. It is walked instead of closures or the library's machine because nothing that is
// handed down escapes to the heap this way: a caller may keep its slots on the stack.
type code struct {
	op      op
	column  int32
	slot    int
	number  float64
	a, b, c *code
	table   *Table
}

// at works a part out. After the first silence the numbers mean nothing and are thrown away.
func (c *code) at(slots []Slot, s *Silence) float64 {
	switch c.op {
	case opNumber:
		return c.number
	case opName:
		return slots[c.slot].Number
	case opMultiply:
		return c.bounded(c.a.at(slots, s)*c.b.at(slots, s), s)
	case opAdd:
		return c.bounded(c.a.at(slots, s)+c.b.at(slots, s), s)
	case opSubtract:
		return c.bounded(c.a.at(slots, s)-c.b.at(slots, s), s)
	case opDivide:
		return c.divide(c.a.at(slots, s), c.b.at(slots, s), s)
	case opNegate:
		return -c.a.at(slots, s)
	case opSquare:
		v := c.a.at(slots, s)
		return c.bounded(v*v, s)
	case opPower:
		return c.valued(math.Pow(c.a.at(slots, s), c.b.at(slots, s)), s)
	case opMin:
		return min(c.a.at(slots, s), c.b.at(slots, s))
	case opMax:
		return max(c.a.at(slots, s), c.b.at(slots, s))
	case opAbs:
		return math.Abs(c.a.at(slots, s))
	case opExp:
		return c.bounded(math.Exp(c.a.at(slots, s)), s)
	case opLn:
		return c.logarithm(c.a.at(slots, s), s)
	case opSqrt:
		return c.valued(math.Sqrt(c.a.at(slots, s)), s)
	case opTable:
		return c.look(slots, s)
	case opIf:
		if c.a.at(slots, s) != 0 {
			return c.b.at(slots, s)
		}
		return c.c.at(slots, s)
	}
	if c.holds(slots, s) {
		return 1
	}
	return 0
}

// holds works out a condition.
func (c *code) holds(slots []Slot, s *Silence) bool {
	switch c.op {
	case opGiven:
		return slots[c.slot].Given
	case opNot:
		return c.a.at(slots, s) == 0
	case opAnd:
		return c.a.at(slots, s) != 0 && c.b.at(slots, s) != 0
	case opOr:
		return c.a.at(slots, s) != 0 || c.b.at(slots, s) != 0
	case opLess:
		return c.a.at(slots, s) < c.b.at(slots, s)
	case opLessEqual:
		return c.a.at(slots, s) <= c.b.at(slots, s)
	case opMore:
		return c.a.at(slots, s) > c.b.at(slots, s)
	case opMoreEqual:
		return c.a.at(slots, s) >= c.b.at(slots, s)
	case opEqual:
		return c.a.at(slots, s) == c.b.at(slots, s)
	default:
		return c.a.at(slots, s) != c.b.at(slots, s)
	}
}

func (c *code) look(slots []Slot, s *Silence) float64 {
	var y, z float64
	x := c.a.at(slots, s)
	if c.b != nil {
		y = c.b.at(slots, s)
	}
	if c.c != nil {
		z = c.c.at(slots, s)
	}
	if s.Why != Answered { // what would be asked means nothing
		return 0
	}
	v, silent := c.table.At(x, y, z)
	if silent != 0 {
		s.because(TableSilent, c)
		s.Table, s.Code = c.table, silent
	}
	return v
}

func (c *code) divide(v, by float64, s *Silence) float64 {
	if by == 0 {
		s.because(DividedByZero, c)
		return 0
	}
	return c.bounded(v/by, s)
}

func (c *code) logarithm(v float64, s *Silence) float64 {
	if v <= 0 {
		s.because(NoValue, c)
		return 0
	}
	return math.Log(v)
}

// bounded catches a number that left the bounds before a later step can hide it: 1 divided by infinity is 0.
func (c *code) bounded(v float64, s *Silence) float64 {
	if v-v != 0 {
		s.because(TooLarge, c)
	}
	return v
}

// valued catches what is no number at all, and then what is too large.
func (c *code) valued(v float64, s *Silence) float64 {
	if v != v {
		s.because(NoValue, c)
	}
	return c.bounded(v, s)
}
