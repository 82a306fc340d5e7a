package rulebook

import (
	"slices"
	"strings"

	"culm/agronomy/rulebook/formula"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
)

// isPerArea says that a unit is a mass on an area.
func isPerArea(u quantity.Unit) bool {
	k, ok := quantity.KindOf(u, 0)
	return ok && (k == unit.KindRate || k == unit.KindProductRate)
}

// compile gives the expressions of a rule their meaning and checks their units.
//
// Slots hold the inputs, then the constants, then the steps.
func (r *reader) compile(rule *Rule) {
	c := &compiler{reader: r, rule: rule, path: "rules." + rule.Key}
	c.env = formula.Env{Names: map[string]formula.Name{}, Tables: map[string]*formula.Table{}, Words: &formula.Words{}}
	rule.words, rule.tables = c.env.Words, c.env.Tables
	rule.needed = make([]bool, len(rule.Inputs))
	c.known()
	c.conversions()
	c.defaults()
	c.steps()
	c.sum()
	rule.after = c.remarks(rule.Silent)
	c.remarks(rule.Remarks)
	c.classes()
	c.unused()
	if len(r.problems) == 0 {
		c.measures()
	}
}

type compiler struct {
	*reader
	rule *Rule
	path string
	env  formula.Env
	// called are the names and tables that some expression uses.
	called map[string]bool
	// broken are steps that have no value.
	broken map[string]bool
}

// known enters inputs, constants and tables.
func (c *compiler) known() {
	rule := c.rule
	c.called, c.broken = map[string]bool{}, map[string]bool{}
	for i := range rule.Inputs {
		in := &rule.Inputs[i]
		v := formula.Value{Kind: formula.Number, Unit: in.Unit}
		switch in.Sort {
		case Word:
			v = formula.Value{Kind: formula.Word, Words: in.Words}
			for _, w := range in.Words {
				c.env.Words.Number(w)
			}
		case YesNo:
			v = formula.Value{Kind: formula.YesNo}
		}
		c.env.Names[string(in.Name)] = formula.Name{Value: v, Label: in.short, Slot: i}
	}
	for i, k := range rule.Constants {
		c.env.Names[k.Name] = formula.Name{Value: formula.Value{Unit: k.Unit}, Label: plain(k.Value), Slot: len(rule.Inputs) + i}
	}
	for i := range rule.Tables {
		t := &rule.Tables[i]
		f := &formula.Table{Value: formula.Value{Unit: t.Unit}, Label: t.Label}
		if t.By != "" {
			f.Args, f.At = []formula.Value{{Kind: formula.Word}}, t.byWord(c.env.Words)
		} else {
			for _, a := range t.Axes {
				f.Args = append(f.Args, formula.Value{Unit: a.Unit})
			}
			f.At = t.byNumber()
		}
		c.env.Tables[t.Name] = f
	}
}

// check compiles one expression; nil where it was not read or has problems.
func (c *compiler) check(w written, want *formula.Value) *formula.Formula {
	if w.is == nil {
		return nil
	}
	for _, n := range append(w.is.Names(), w.is.Tables()...) {
		if c.called[n] = true; c.broken[n] {
			return nil // what is wrong with the step has been told
		}
	}
	f, err := w.is.Check(c.env)
	if err == nil && want != nil {
		err = f.Gives(*want)
	}
	if err != nil {
		c.wrong(w, err)
		return nil
	}
	return f
}

func (c *compiler) conversions() {
	for i := range c.rule.Inputs {
		in := &c.rule.Inputs[i]
		if in.Soil == nil {
			continue
		}
		for k := range in.Soil.Converts {
			conv := &in.Soil.Converts[k]
			if conv.Unless = c.check(conv.written, &formula.Value{Kind: formula.YesNo}); c.usesStep(conv.written) {
				c.fail(conv.written.line, conv.written.field, "uses a step; a conversion comes before any step")
			}
		}
	}
}

// defaults finds the order in which defaults are put in: one may rest on another input, which may have its own.
func (c *compiler) defaults() {
	rule := c.rule
	names := make([]string, len(rule.Inputs))
	needs := make([][]string, len(rule.Inputs))
	for i, in := range rule.Inputs {
		names[i] = string(in.Name)
		if in.Default == nil || in.Default.written.is == nil {
			continue
		}
		needs[i] = in.Default.written.is.Names()
		if c.usesStep(in.Default.written) {
			c.fail(in.Default.written.line, in.Default.written.field, "uses a step; a default is put in before any step")
		}
	}
	rule.compiled.defaults = c.inOrder("defaults", names, needs, nil, func(i int) int { return rule.Inputs[i].Line })
	for i := range rule.Inputs {
		if d := rule.Inputs[i].Default; d != nil {
			if d.Word != "" {
				d.number = c.env.Words.Number(d.Word)
			}
			d.Is = c.check(d.written, &formula.Value{Unit: rule.Inputs[i].Unit})
			d.rests = c.behind(d.written)
		}
	}
}

// inputsOf lists the inputs an expression names.
func (c *compiler) inputsOf(w written) []int {
	if w.is == nil {
		return nil
	}
	var all []int
	for _, n := range w.is.Names() {
		if i := c.rule.Slot(What(n)); i >= 0 {
			all = append(all, i)
		}
	}
	return all
}

// behind finds what an expression rests on. The steps it names must have been looked at before.
func (c *compiler) behind(w written) behind {
	if w.is == nil {
		return behind{}
	}
	b := behind{inputs: c.inputsOf(w)}
	for _, n := range w.is.Names() {
		if i := slices.IndexFunc(c.rule.Constants, func(k Constant) bool { return k.Name == n }); i >= 0 {
			b.constants = append(b.constants, i)
		}
		if i := slices.IndexFunc(c.rule.Steps, func(s Step) bool { return s.Key == n }); i >= 0 {
			b.add(c.rule.Steps[i].rests)
		}
	}
	for _, n := range w.is.Tables() {
		if i := slices.IndexFunc(c.rule.Tables, func(t Table) bool { return t.Name == n }); i >= 0 {
			b.tables = append(b.tables, i)
		}
	}
	b.add(behind{})
	return b
}

// need marks the inputs that an expression of the answer rests on.
func (c *compiler) need(w written) {
	for _, i := range c.inputsOf(w) {
		c.rule.needed[i] = true
	}
}

func (c *compiler) usesStep(w written) bool {
	return w.is != nil && slices.ContainsFunc(w.is.Names(), func(n string) bool {
		return slices.ContainsFunc(c.rule.Steps, func(s Step) bool { return s.Key == n })
	})
}

// steps finds the order in which steps are worked out, and the unit of each.
func (c *compiler) steps() {
	rule := c.rule
	names := make([]string, len(rule.Steps))
	needs := make([][]string, len(rule.Steps))
	for i, s := range rule.Steps {
		names[i] = s.Key
		if s.written.is != nil {
			needs[i] = s.written.is.Names()
		}
	}
	// What conditions of silence rest on comes first, so that they speak before a step can fail.
	var first []string
	for _, s := range rule.Silent {
		if s.written.is != nil {
			first = append(first, s.written.is.Names()...)
		}
	}
	rule.compiled.steps = c.inOrder("steps", names, needs, first, func(i int) int { return rule.Steps[i].Line })
	slot := len(rule.Inputs) + len(rule.Constants)
	for _, s := range rule.Steps {
		c.broken[s.Key] = true
	}
	for _, i := range rule.compiled.steps {
		s := &rule.Steps[i]
		c.need(s.written)
		s.rests = c.behind(s.written)
		if s.Is = c.check(s.written, nil); s.Is == nil {
			continue
		}
		v := s.Is.Value()
		if v.Kind == formula.Word {
			c.fail(s.written.line, s.written.field, "gives a word, expected a number, or yes or no")
			continue
		}
		s.Unit = v.Unit
		delete(c.broken, s.Key)
		c.env.Names[s.Key] = formula.Name{Value: v, Label: s.Label, Slot: slot + i}
	}
}

// inOrder sorts things so that each comes after what it needs. Those in a circle are left out, and the circle
// is named. Those named under first, and what they need, come before the others.
func (c *compiler) inOrder(what string, names []string, needs [][]string, first []string, line func(int) int) []int {
	const (
		untouched = iota
		under
		done
	)
	state := make([]int, len(names))
	order := make([]int, 0, len(names))
	var path []int
	var visit func(i int) bool
	visit = func(i int) bool {
		switch state[i] {
		case done:
			return true
		case under:
			at := slices.Index(path, i)
			var circle []string
			for _, k := range append(path[at:], i) {
				circle = append(circle, names[k])
			}
			c.fail(line(i), c.path+"."+what, "go in a circle: %s", strings.Join(circle, " → "))
			return false
		}
		state[i] = under
		path = append(path, i)
		sound := true
		for _, n := range needs[i] {
			if k := slices.Index(names, n); k >= 0 {
				sound = visit(k) && sound
			}
		}
		path = path[:len(path)-1]
		state[i] = done
		if sound {
			order = append(order, i)
		}
		return sound
	}
	for _, n := range first {
		if i := slices.Index(names, n); i >= 0 {
			visit(i)
		}
	}
	for i := range names {
		visit(i)
	}
	return order
}

// sum checks that every term, or the answer, is in the unit of the rule.
func (c *compiler) sum() {
	want := &formula.Value{Unit: c.rule.Unit}
	for i := range c.rule.Terms {
		t := &c.rule.Terms[i]
		t.Is = c.check(t.written, want)
		c.need(t.written)
		t.rests = c.behind(t.written)
		c.rule.rests.add(t.rests)
	}
	c.need(c.rule.written)
	c.rule.rests.add(c.behind(c.rule.written))
	for _, s := range c.rule.Silent {
		c.need(s.written)
	}
	c.rule.Answer = c.check(c.rule.written, want)
}

// remarks compiles conditions and says after how many steps each can be asked.
func (c *compiler) remarks(all []Remark) (after []int) {
	for i := range all {
		all[i].When = c.check(all[i].written, &formula.Value{Kind: formula.YesNo})
		after = append(after, c.stepsBefore(all[i].written))
	}
	return after
}

// stepsBefore is how many steps, in order, must be worked out before an expression can be.
func (c *compiler) stepsBefore(w written) int {
	n := 0
	for k, i := range c.rule.compiled.steps {
		if w.is != nil && slices.Contains(w.is.Names(), c.rule.Steps[i].Key) {
			n = k + 1
		}
	}
	return n
}

// classes finds what each is judged by.
func (c *compiler) classes() {
	for i := range c.rule.Classes {
		own := &c.rule.Classes[i]
		c.called[own.By] = true
		name, known := c.env.Names[own.By]
		switch {
		case own.By == "answer":
			own.slot = -1
		case !known || name.Kind != formula.Number:
			c.fail(own.Line, c.path+".classes."+own.Name, "is by %q, expected an input or step that is a number, or answer", own.By)
		default:
			own.slot = name.Slot
		}
	}
}

// unused finds what nothing refers to: most often a name mistyped elsewhere.
func (c *compiler) unused() {
	if len(c.problems) > 0 {
		return
	}
	for _, k := range c.rule.Constants {
		if !c.called[k.Name] {
			c.fail(k.Line, c.path+".constants."+k.Name, "is used nowhere")
		}
	}
	for _, t := range c.rule.Tables {
		if !c.called[t.Name] {
			c.fail(t.Line, c.path+".tables."+t.Name, "is used nowhere")
		}
	}
	for _, s := range c.rule.Steps {
		if !c.called[s.Key] && !slices.ContainsFunc(c.rule.Examples, func(e Example) bool {
			return slices.ContainsFunc(e.Steps, func(v StepValue) bool { return v.Key == s.Key })
		}) {
			c.fail(s.Line, c.path+".steps."+s.Key, "is used nowhere")
		}
	}
	for _, in := range c.rule.Inputs {
		if !c.called[string(in.Name)] && in.Usual == nil {
			c.fail(in.Line, c.path+".inputs."+string(in.Name), "is used nowhere")
		}
	}
}
