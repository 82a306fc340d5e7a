package formula

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"culm/agronomy/rulebook/quantity"
)

// Check gives names their meaning, works out kind and unit of every part and compiles. The error is of type
// Problems and lists every problem found.
func (e *Expression) Check(env Env) (*Formula, error) {
	if env.Words == nil {
		env.Words = &Words{}
	}
	c := checker{env: env}
	root := c.check(e.root)
	if len(c.problems) > 0 {
		return nil, c.problems
	}
	return &Formula{root: root, run: compile(root, env.Words), words: env.Words}, nil
}

// Gives checks that the formula gives this kind of value in this unit; the error is of type Problems.
func (f *Formula) Gives(want Value) error {
	found := f.root.value
	switch {
	case found.Kind != want.Kind:
		return Problems{{f.root.column, fmt.Sprintf("this is %s, expected %s", found.Kind, want.Kind)}}
	case found.Kind == Number && !found.AnyUnit && found.Unit != want.Unit:
		return Problems{{f.root.column, fmt.Sprintf("this is in %s, expected %s; %s%s", unitOf(found), unitOf(want), f.root.unitsOfNames(),
			quantity.Hint(found.Unit, want.Unit))}}
	}
	return nil
}

// unitsOfNames tells the unit of each number that went in, where there are several.
func (n *node) unitsOfNames() string {
	var all []string
	n.each(func(n *node) {
		if text := n.text + " is in " + unitOf(n.value); (n.op == opName || n.op == opTable) && n.value.Kind == Number && !slices.Contains(all, text) {
			all = append(all, text)
		}
	})
	if len(all) < 2 || len(all) > 6 {
		return ""
	}
	return strings.Join(all, ", ") + "; "
}

// unitOf names a unit in a sentence.
func unitOf(v Value) string {
	if v.Unit.IsPlain() {
		return "1 (a plain number)"
	}
	return v.Unit.String()
}

type checker struct {
	env      Env
	problems Problems
}

// check gives a copy of a part with its meaning.
func (c *checker) check(written *node) *node {
	n := *written
	n.kids = make([]*node, len(written.kids))
	for i, k := range written.kids {
		if n.op == opGiven {
			n.kids[i] = c.given(k)
		} else {
			n.kids[i] = c.check(k)
		}
		n.bad = n.bad || n.kids[i].bad
	}
	if n.bad {
		return &n
	}
	switch n.op {
	case opNumber:
		n.value = Value{AnyUnit: n.number == 0}
	case opWord:
		n.value = Value{Kind: Word, Words: []string{n.text}}
		c.env.Words.Number(n.text)
	case opYesNo, opGiven:
		n.value = Value{Kind: YesNo}
	case opName:
		c.named(&n)
	case opNegate, opAbs:
		if c.takes(&n, Number) {
			n.value = n.kids[0].value
		}
	case opAdd, opSubtract, opMin, opMax:
		c.alike(&n)
	case opMultiply, opDivide:
		c.scale(&n)
	case opPower:
		c.power(&n)
	case opSqrt:
		c.root(&n)
	case opExp, opLn:
		c.plain(&n)
	case opLess, opLessEqual, opMore, opMoreEqual:
		c.alike(&n)
		n.value = Value{Kind: YesNo}
	case opEqual, opUnequal:
		c.equal(&n)
	case opNot:
		if k := n.kids[0]; k.value.Kind != YesNo {
			c.problem(&n, "%s is %s, and not takes a condition; it binds tightly, so put the condition in brackets, as in not (ph > limit)", k.source(), k.value.Kind)
		}
		n.value = Value{Kind: YesNo}
	case opAnd, opOr:
		c.takes(&n, YesNo)
		n.value = Value{Kind: YesNo}
	case opIf:
		c.branches(&n)
	case opTable:
		c.look(&n)
	}
	return &n
}

func (c *checker) problem(n *node, format string, args ...any) {
	n.bad = true
	c.problems = append(c.problems, Problem{n.column, fmt.Sprintf(format, args...)})
}

func (c *checker) named(n *node) {
	name, ok := c.env.Names[n.text]
	if !ok {
		if _, is := c.env.Tables[n.text]; is {
			c.problem(n, "%s is a table and is asked with brackets, as in %s(previousCrop)", n.text, n.text)
			return
		}
		c.problem(n, "nothing is called %s%s", n.text, closest(n.text, c.env.Names))
		return
	}
	n.name, n.value = name, name.Value
}

// given looks up the name inside given(name).
func (c *checker) given(written *node) *node {
	n := *written
	if c.named(&n); !n.bad && n.name.Fixed {
		c.problem(&n, "%s is a constant, which is always there; given takes an input", n.text)
	}
	return &n
}

// takes checks that all of an operation's parts are of one kind.
func (c *checker) takes(n *node, want Kind) bool {
	for _, k := range n.kids {
		if k.value.Kind != want {
			c.problem(n, "%s is %s, and %s takes %s", k.source(), k.value.Kind, n.sign(), plural(want))
			return false
		}
	}
	return true
}

func plural(k Kind) string {
	return [...]string{"numbers", "words", "conditions"}[k]
}

// alike checks that parts to be added or compared are numbers in one unit.
func (c *checker) alike(n *node) {
	if !c.takes(n, Number) {
		return
	}
	n.value = n.kids[0].value
	first := n.kids[0]
	for _, k := range n.kids[1:] {
		v, ok := together(n.value, k.value)
		if !ok {
			c.differ(n, first, k)
			return
		}
		if n.value.AnyUnit {
			first = k
		}
		n.value = v
	}
}

// together is the value of two that stand side by side; 0 takes the unit of the other.
func together(a, b Value) (Value, bool) {
	if a.AnyUnit {
		return b, true
	}
	return a, b.AnyUnit || a.Unit == b.Unit
}

// differ words two units where one is needed.
func (c *checker) differ(n, a, b *node) {
	what := "cannot be compared"
	switch n.op {
	case opAdd:
		what = "cannot be added"
	case opSubtract:
		what = "cannot be subtracted"
	case opIf:
		what = "cannot both be the answer"
	}
	for _, pair := range [][2]*node{{a, b}, {b, a}} {
		if literal, other := pair[0], pair[1]; literal.op == opNumber {
			c.problem(n, "%s is a plain number and %s is in %s: they %s; a number with a unit needs a name, so put %s under constants with unit: %s",
				literal.source(), other.source(), other.value.Unit, what, literal.source(), other.value.Unit)
			return
		}
	}
	c.problem(n, "%s is in %s and %s in %s: they %s; %s", a.source(), unitOf(a.value), b.source(), unitOf(b.value), what,
		quantity.Hint(b.value.Unit, a.value.Unit))
}

func (c *checker) scale(n *node) {
	if !c.takes(n, Number) {
		return
	}
	u, err := n.kids[0].value.Unit.Mul(n.kids[1].value.Unit)
	if n.op == opDivide {
		u, err = n.kids[0].value.Unit.Div(n.kids[1].value.Unit)
	}
	if err != nil {
		c.problem(n, "%v", err)
	}
	n.value = Value{Unit: u}
}

func (c *checker) power(n *node) {
	if !c.takes(n, Number) {
		return
	}
	base, exponent := n.kids[0], n.kids[1]
	if !exponent.value.Unit.IsPlain() {
		c.problem(n, "the exponent %s is in %s; an exponent is a plain number", exponent.source(), exponent.value.Unit)
		return
	}
	if base.value.Unit.IsPlain() {
		return
	}
	power, ok := exponent.wholePower()
	if !ok {
		c.problem(n, "%s is in %s; its power must be a whole number written out, as in %s ** 2", base.source(), base.value.Unit, base.source())
		return
	}
	u, err := base.value.Unit.Pow(power)
	if err != nil {
		c.problem(n, "%v", err)
	}
	n.value = Value{Unit: u}
}

func (c *checker) root(n *node) {
	if !c.takes(n, Number) {
		return
	}
	u, err := n.kids[0].value.Unit.Root()
	if err != nil {
		c.problem(n, "%s is in %s: %v", n.kids[0].source(), n.kids[0].value.Unit, err)
	}
	n.value = Value{Unit: u}
}

// plain checks the argument of exp and ln.
func (c *checker) plain(n *node) {
	if !c.takes(n, Number) {
		return
	}
	if k := n.kids[0]; !k.value.Unit.IsPlain() {
		one, _ := quantity.Unit{}.Div(k.value.Unit)
		c.problem(n, "%s is in %s, and %s takes a plain number; multiply it by a constant of unit %s", k.source(), k.value.Unit, n.text, one)
	}
}

func (c *checker) equal(n *node) {
	a, b := n.kids[0], n.kids[1]
	n.value = Value{Kind: YesNo}
	if a.value.Kind != b.value.Kind {
		c.problem(n, "%s is %s and %s is %s: they cannot be compared", a.source(), a.value.Kind, b.source(), b.value.Kind)
		return
	}
	switch a.value.Kind {
	case Number:
		c.alike(n)
		n.value = Value{Kind: YesNo}
	case Word:
		c.canBe(a, b.value.Words)
		c.canBe(b, a.value.Words)
		n.bad = a.bad || b.bad
	}
}

// canBe refuses a word in quotes that the other side, or a table's argument, never is.
func (c *checker) canBe(word *node, words []string) {
	if word.op == opWord && words != nil && !slices.Contains(words, word.text) {
		c.problem(word, "%q is not one of the words here, which are %s", word.text, few(words))
	}
}

func few(words []string) string {
	const most = 12
	if len(words) > most {
		return strings.Join(words[:most], ", ") + " and others"
	}
	return strings.Join(words, ", ")
}

func (c *checker) branches(n *node) {
	cond, yes, no := n.kids[0], n.kids[1], n.kids[2]
	if cond.value.Kind != YesNo {
		c.problem(n, "%s is %s; in front of ? stands a condition such as ph > limit", cond.source(), cond.value.Kind)
		return
	}
	if yes.value.Kind != no.value.Kind {
		c.problem(n, "%s is %s and %s is %s: they cannot both be the answer", yes.source(), yes.value.Kind, no.source(), no.value.Kind)
		return
	}
	n.value = yes.value
	switch yes.value.Kind {
	case Number:
		v, ok := together(yes.value, no.value)
		if !ok {
			c.differ(n, yes, no)
		}
		n.value = v
	case Word:
		if n.value.Words = nil; yes.value.Words != nil && no.value.Words != nil {
			n.value.Words = slices.Concat(yes.value.Words, no.value.Words)
		}
	}
}

// look checks the arguments of a table.
func (c *checker) look(n *node) {
	table, ok := c.env.Tables[n.text]
	if !ok {
		c.problem(n, "no table or function is called %s%s", n.text, closest(n.text, c.env.Tables))
		return
	}
	n.table, n.value = table, table.Value
	if len(n.kids) != len(table.Args) {
		c.problem(n, "table %s takes %s, found %d", n.text, arguments(len(table.Args), len(table.Args)), len(n.kids))
		return
	}
	for i, k := range n.kids {
		want := table.Args[i]
		switch {
		case k.value.Kind != want.Kind:
			c.problem(k, "%s is %s, and table %s takes %s here", k.source(), k.value.Kind, n.text, want.Kind)
		case want.Kind == Word:
			c.canBe(k, want.Words)
		case want.Kind == Number && !k.value.AnyUnit && k.value.Unit != want.Unit:
			c.problem(k, "%s is in %s, and table %s takes %s here; %s", k.source(), unitOf(k.value), n.text, unitOf(want),
				quantity.Hint(k.value.Unit, want.Unit))
		}
		n.bad = n.bad || k.bad
	}
}

// closest suggests a name that differs by little, else lists a few.
func closest[T any](name string, known map[string]T) string {
	all := slices.Sorted(maps.Keys(known))
	for _, k := range all {
		if distance(strings.ToLower(name), strings.ToLower(k)) <= 2 {
			return "; is " + k + " meant?"
		}
	}
	if len(all) == 0 {
		return ""
	}
	return "; known here are " + few(all)
}
