package formula

// op is what a part of an expression does.
type op uint8

const (
	opNumber op = iota
	opWord
	opYesNo // true or false
	opName
	opGiven
	opNegate
	opAdd
	opSubtract
	opMultiply
	opDivide
	opPower
	opSquare // only compiled
	opLess
	opLessEqual
	opMore
	opMoreEqual
	opEqual
	opUnequal
	opNot
	opAnd
	opOr
	opIf
	opMin
	opMax
	opAbs
	opExp
	opLn
	opSqrt
	opTable
)

// node is a part of an expression. Check makes a copy of the tree and fills in what the parts mean.
type node struct {
	op     op
	column int // from 1
	number float64
	text   string // a name, a word, what is called; an operator as written
	kids   []*node

	value Value // from here on known after Check
	name  Name
	table *Table
	bad   bool // a problem was found here or below, so that it is told once
}

func binary(operator string) (op, bool) {
	switch operator {
	case "+":
		return opAdd, true
	case "-":
		return opSubtract, true
	case "*":
		return opMultiply, true
	case "/":
		return opDivide, true
	case "**":
		return opPower, true
	case "<":
		return opLess, true
	case "<=":
		return opLessEqual, true
	case ">":
		return opMore, true
	case ">=":
		return opMoreEqual, true
	case "==":
		return opEqual, true
	case "!=":
		return opUnequal, true
	case "and", "&&":
		return opAnd, true
	case "or", "||":
		return opOr, true
	}
	return 0, false
}

// function gives a function of the language with the number of its arguments; most is -1 where there is no limit.
func function(name string) (o op, least, most int, ok bool) {
	switch name {
	case "min":
		return opMin, 2, -1, true
	case "max":
		return opMax, 2, -1, true
	case "abs":
		return opAbs, 1, 1, true
	case "exp":
		return opExp, 1, 1, true
	case "ln":
		return opLn, 1, 1, true
	case "sqrt":
		return opSqrt, 1, 1, true
	case "given":
		return opGiven, 1, 1, true
	}
	return 0, 0, 0, false
}

// Reserved says that a word has a meaning in expressions already, so that nothing can be named so.
func Reserved(name string) bool {
	switch name {
	case "and", "or", "not", "in", "true", "false", "nil", "let", "matches", "contains", "startsWith", "endsWith":
		return true
	}
	_, _, _, is := function(name)
	return is
}
