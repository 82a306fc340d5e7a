package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
)

// Expression is an expression that was read but whose names mean nothing yet.
type Expression struct {
	text string
	root *node
}

// Parse reads an expression. The error is of type Problems.
func Parse(text string) (*Expression, error) {
	if p := boundText(text); p != nil {
		return nil, p
	}
	tree, err := parser.ParseWithConfig(text, arithmeticOnly())
	if err != nil {
		return nil, Problems{spoken(text, err)}
	}
	r := reader{}
	root := r.read(tree.Node, 1)
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	return &Expression{text, root}, nil
}

// boundText keeps endless and bottomless texts from the library's parser, which goes one call deeper with
// every bracket, sign and question mark, and refuses what leaves no trace in its tree: comments and pipes.
func boundText(text string) Problems {
	if len(text) > MaxText {
		return Problems{{1, fmt.Sprintf("an expression has at most %d letters and signs, found %d", MaxText, len(text))}}
	}
	if strings.TrimSpace(text) == "" {
		return Problems{{1, "expected an expression such as perBushel * yieldGoal, found nothing"}}
	}
	depth, column := 0, 0
	var quote, before rune
	pipes := false
	for _, r := range text {
		column++
		switch {
		case quote != 0:
			if r == quote && before != '\\' {
				quote = 0
			}
		case r == '"' || r == '\'' || r == '`':
			quote = r
		case r == '(' || r == '[' || r == '{':
			if depth++; depth > MaxDepth {
				return Problems{{column, fmt.Sprintf("brackets within brackets go at most %d deep; give a part a name of its own under steps", MaxDepth)}}
			}
		case r == ')' || r == ']' || r == '}':
			depth--
		case before == '/' && (r == '/' || r == '*'):
			return Problems{{column - 1, "a comment stands on a line of its own behind #, not in an expression"}}
		case before == '|' && r != '|':
			return Problems{{column - 1, "| is not known here; write or between conditions, and exp(x) for x | exp()"}}
		}
		if before = r; before == '|' && pipes {
			before, pipes = 0, false // both of ||
		} else {
			pipes = before == '|'
		}
	}
	return nil
}

// arithmeticOnly takes from the library's functions their meaning, so that a book's table may be called count.
func arithmeticOnly() *conf.Config {
	c := &conf.Config{MaxNodes: MaxNodes, DisableIfOperator: true, Functions: conf.FunctionsTable{}}
	for _, f := range builtin.Builtins {
		c.Functions[f.Name] = f
	}
	return c
}

// spoken says what the library's parser found without the words of a programmer.
func spoken(text string, err error) Problem {
	var found *file.Error
	if !errors.As(err, &found) {
		return Problem{1, err.Error()}
	}
	at := Problem{Column: found.From + 1}
	runes := []rune(text)
	from, to := min(found.From, len(runes)), min(max(found.To, found.From), len(runes))
	switch {
	case strings.Contains(found.Message, "token EOF"), strings.Contains(found.Message, "unexpected end"):
		at.Column, at.Text = len(runes)+1, "the expression ends where something is still expected"
	case strings.HasPrefix(found.Message, "unexpected token"):
		at.Text = fmt.Sprintf("found %s where it has no meaning", string(runes[from:to]))
		if before := strings.TrimRight(string(runes[:from]), " "); before != "" && strings.ContainsAny(before[len(before)-1:], "0123456789") && from < to && unicode.IsLetter(runes[from]) {
			at.Text += "; a number with a unit needs a name: put it under constants"
		}
	case strings.HasPrefix(found.Message, "unrecognized character"), strings.HasPrefix(found.Message, "bad number"):
		at.Text = fmt.Sprintf("found %s; %s", string(runes[from:to]), "expected a number, a name, a word in quotes or a sign such as + - * / **")
	case strings.Contains(found.Message, "not terminated"):
		at.Text = "a quote is opened and not closed"
	case strings.Contains(found.Message, "maximum allowed nodes"):
		at.Text = tooLong()
	default:
		at.Text = found.Message
	}
	return at
}

func tooLong() string {
	return fmt.Sprintf("an expression has at most %d parts; give a part a name of its own under steps", MaxNodes)
}

// reader turns the library's tree into ours and refuses what is not arithmetic. It counts what it reads: the
// library hangs the middle of a < b < c into its tree twice, so that a small tree can be long to walk.
type reader struct {
	nodes    int
	problems Problems
}

func (r *reader) refuse(n ast.Node, text string) *node {
	r.problems = append(r.problems, Problem{n.Location().From + 1, text})
	return &node{}
}

func (r *reader) read(n ast.Node, depth int) *node {
	r.nodes++
	switch {
	case len(r.problems) > 0:
		return &node{}
	case r.nodes > MaxNodes:
		return r.refuse(n, tooLong())
	case depth > MaxDepth:
		return r.refuse(n, fmt.Sprintf("parts within parts go at most %d deep; give a part a name of its own under steps", MaxDepth))
	}
	at := node{column: n.Location().From + 1}
	switch n := n.(type) {
	case *ast.IntegerNode:
		at.number = float64(n.Value)
		return &at
	case *ast.FloatNode:
		at.number = n.Value
		return &at
	case *ast.StringNode:
		at.op, at.text = opWord, n.Value
		return &at
	case *ast.BoolNode:
		at.op = opYesNo
		if n.Value {
			at.number = 1
		}
		return &at
	case *ast.IdentifierNode:
		at.op, at.text = opName, n.Value
		return &at
	case *ast.UnaryNode:
		return r.unary(n, at, depth)
	case *ast.BinaryNode:
		o, ok := binary(n.Operator)
		if !ok {
			return r.refuse(n, instead(n.Operator))
		}
		at.op, at.text = o, n.Operator
		return r.with(at, depth, n.Left, n.Right)
	case *ast.ConditionalNode:
		at.op = opIf
		made := r.with(at, depth, n.Cond, n.Exp1, n.Exp2)
		if len(made.kids) > 0 { // the library points behind the whole
			made.column = made.kids[0].column
		}
		return made
	case *ast.CallNode:
		return r.call(n, at, depth)
	}
	return r.refuse(n, notArithmetic(n))
}

func (r *reader) with(at node, depth int, kids ...ast.Node) *node {
	for _, k := range kids {
		at.kids = append(at.kids, r.read(k, depth+1))
	}
	return &at
}

func (r *reader) unary(n *ast.UnaryNode, at node, depth int) *node {
	switch n.Operator {
	case "+":
		return r.read(n.Node, depth+1)
	case "-":
		at.op = opNegate
	default:
		at.op = opNot
	}
	return r.with(at, depth, n.Node)
}

func (r *reader) call(n *ast.CallNode, at node, depth int) *node {
	callee, ok := n.Callee.(*ast.IdentifierNode)
	if !ok {
		return r.refuse(n, "only a table or a function by its name can be followed by brackets")
	}
	at.op, at.text, at.column = opTable, callee.Value, callee.Location().From+1
	if o, least, most, ok := function(callee.Value); ok {
		at.op = o
		if len(n.Arguments) < least || most >= 0 && len(n.Arguments) > most {
			return r.refuse(callee, fmt.Sprintf("%s takes %s, found %d", callee.Value, arguments(least, most), len(n.Arguments)))
		}
	}
	made := r.with(at, depth, n.Arguments...)
	if made.op == opGiven && len(r.problems) == 0 && made.kids[0].op != opName {
		return r.refuse(callee, "given takes the name of an input, as in given(nitrate)")
	}
	return made
}

func arguments(least, most int) string {
	switch {
	case most < 0:
		return fmt.Sprintf("at least %d arguments", least)
	case least == 1:
		return "1 argument"
	}
	return fmt.Sprintf("%d arguments", least)
}

// instead says what to write in place of an operator that is not let in.
func instead(operator string) string {
	switch operator {
	case "^":
		return "^ is not known here; write ** for a power"
	case "%":
		return "% is not known here: a percentage is a constant or an input with the unit %"
	case "in":
		return `in is not known here; write a == "x" or a == "y"`
	}
	return operator + " is not known here; formulas know + - * / **, comparisons, and, or, not and a ? b : c"
}

func notArithmetic(n ast.Node) string {
	switch n.(type) {
	case *ast.ArrayNode, *ast.SliceNode:
		return "lists are not known here; numbers that belong together are a table"
	case *ast.MemberNode, *ast.ChainNode:
		return "a name has no dots and no square brackets; a table is asked with round ones, as in legume(previousCrop)"
	case *ast.SequenceNode, *ast.VariableDeclaratorNode:
		return "an expression is one formula without ;, let and =; give a part a name of its own under steps"
	case *ast.NilNode:
		return "nil is not known here; given(name) says whether a value is there"
	case *ast.BytesNode:
		return "a word stands in plain quotes"
	}
	return "this is not known in formulas; they know numbers, names, words in quotes, + - * / **, comparisons, and, or, not, a ? b : c, functions and tables"
}

// Text is the expression as it was written.
func (e *Expression) Text() string { return e.text }

// Names lists the names used, tables and functions apart, each once in order of appearance. A name under
// given() counts.
func (e *Expression) Names() []string { return e.root.list(opName) }

// Tables lists what is called and is no function of the language, each once in order of appearance.
func (e *Expression) Tables() []string { return e.root.list(opTable) }

func (n *node) list(o op) []string {
	var seen []string
	n.each(func(n *node) {
		if n.op == o && !slices.Contains(seen, n.text) {
			seen = append(seen, n.text)
		}
	})
	return seen
}

// each visits a part and all parts of it, in order of appearance.
func (n *node) each(visit func(*node)) {
	visit(n)
	for _, k := range n.kids {
		k.each(visit)
	}
}

// wholePower gives the exponent of x ** 2 where it is written as a whole number.
func (n *node) wholePower() (int, bool) {
	v := n.number
	if n.op == opNegate {
		v, n = -n.kids[0].number, n.kids[0]
	}
	if n.op != opNumber || v != math.Trunc(v) || math.Abs(v) > 1000 {
		return 0, false
	}
	return int(v), true
}
