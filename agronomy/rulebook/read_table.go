package rulebook

import (
	"math"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

func (b *bookReader) tables(m mapping, r *Rule) {
	all := m.under("tables", maxParts)
	cells := 0
	for _, k := range all.keys {
		n := all.values[k.Value]
		t := b.mapping(n, join(all.path, k.Value), "unit", "label", "by", "words", "other", "axes", "between", "beyond", "rows", "status", "source", "where", "note")
		table := Table{Name: k.Value, Label: t.text("label"), Unit: b.unit(t, "unit"), Line: n.Line}
		if table.Label == "" {
			table.Label = spaced(table.Name)
		}
		table.Standing = b.standing(t, Standing{Source: r.Source, Where: r.Where}, true)
		switch {
		case t.has("by") == t.has("axes"):
			t.fail("", "needs either by, the word it is read by, or axes, the numbers it is read by")
		case t.has("by"):
			b.byWord(t, &table, r)
		default:
			b.byNumber(t, &table)
		}
		if cells += len(table.Cells) + len(table.Rows); cells > maxCells {
			t.fail("", "the rule's tables have more than %d cells", maxCells)
			return
		}
		r.Tables = append(r.Tables, table)
	}
}

// byWord reads a table of words.
func (b *bookReader) byWord(m mapping, t *Table, r *Rule) {
	t.By = What(m.text("by"))
	if i := r.Slot(t.By); i < 0 || r.Inputs[i].Sort != Word {
		m.fail("by", "found %q, expected an input of words", t.By)
	}
	rows := m.under("words", maxWords)
	if len(rows.keys) == 0 {
		m.fail("words", "must hold at least one row")
	}
	seen := map[string]bool{}
	for _, k := range rows.keys {
		row := b.wordRow(rows, k.Value, t.Standing)
		for _, w := range strings.Split(k.Value, ",") {
			w = strings.ToLower(strings.TrimSpace(w))
			switch {
			case w == "":
				b.fail(k.Line, rows.path, "found an empty word in %q", k.Value)
				continue
			case seen[w]:
				b.fail(k.Line, rows.path, "%q stands in two rows", w)
			}
			seen[w] = true
			row.Words = append(row.Words, w)
		}
		t.Rows = append(t.Rows, row)
	}
	if m.has("other") {
		row := b.wordRow(m, "other", t.Standing)
		t.Other = &row
	}
	for _, key := range []string{"between", "beyond", "rows"} {
		if m.has(key) {
			m.fail(key, "is for tables of numbers")
		}
	}
}

// wordRow reads a row: a number, or a number with its own standing.
func (b *bookReader) wordRow(m mapping, key string, or Standing) WordRow {
	n := m.values[key]
	if n.Kind == yaml.ScalarNode {
		return WordRow{Value: m.neededNumber(key), Standing: or}
	}
	inner := b.mapping(n, join(m.path, key), "value", "why", "status", "source", "where", "note")
	return WordRow{Value: inner.neededNumber("value"), Why: inner.text("why"), Standing: b.standing(inner, or, true)}
}

// byNumber reads a table of one to three axes.
func (b *bookReader) byNumber(m mapping, t *Table) {
	axes := m.list("axes", 3)
	if len(axes) == 0 {
		m.fail("axes", "needs one to three axes")
	}
	for _, n := range axes {
		a := b.mapping(n, join(m.path, "axes"), "name", "label", "unit", "at")
		axis := Axis{Name: a.needed("name"), Label: a.text("label"), Unit: b.unit(a, "unit")}
		if axis.Label == "" {
			axis.Label = inputLabel(What(axis.Name))
		}
		for _, v := range a.list("at", maxWords) {
			at, _ := b.asNumber(v, join(a.path, "at"))
			axis.At = append(axis.At, at)
		}
		if len(axis.At) < 2 {
			a.fail("at", "needs at least two levels")
		}
		t.Axes = append(t.Axes, axis)
	}
	t.Between = Between(m.oneOf("between", betweenWords()...))
	if t.Between == "" && !m.has("between") {
		m.fail("between", "must say how to read between the printed levels: one of %s", strings.Join(betweenWords(), ", "))
	}
	switch m.oneOf("beyond", "silent", "hold") {
	case "hold":
		t.Hold = true
	case "":
		if !m.has("beyond") {
			m.fail("beyond", "must say what holds beyond the printed levels: silent or hold")
		}
	}
	if !m.has("rows") {
		m.fail("rows", "must be given")
		return
	}
	b.cells(m, m.values["rows"], t, 0)
}

func betweenWords() []string {
	return []string{string(StraightLine), string(Nearest), string(Below), string(Above), string(PrintedOnly)}
}

// cells reads nested lists of cells, one list for each level of an axis.
func (b *bookReader) cells(m mapping, n *yaml.Node, t *Table, depth int) {
	if depth == len(t.Axes) {
		if n.Kind == yaml.ScalarNode && n.Tag == "!!null" {
			t.Cells = append(t.Cells, math.NaN())
			return
		}
		v, _ := b.asNumber(n, join(m.path, "rows"))
		t.Cells = append(t.Cells, v)
		return
	}
	axis := t.Axes[depth]
	if n.Kind != yaml.SequenceNode || len(n.Content) != len(axis.At) {
		what := found(n)
		if n.Kind == yaml.SequenceNode {
			what = "a list of " + plain(float64(len(n.Content)))
		}
		b.fail(n.Line, join(m.path, "rows"), "found %s, expected a list of %d, one for each level of %s", what, len(axis.At), axis.Name)
		return
	}
	for _, inner := range n.Content {
		if b.cells(m, inner, t, depth+1); len(t.Cells) > maxCells {
			return
		}
	}
}

func (b *bookReader) classes(m mapping, r *Rule) {
	all := m.under("classes", maxParts)
	for _, k := range all.keys {
		n := all.values[k.Value]
		c := b.mapping(n, join(all.path, k.Value), "by", "of", "status", "source", "where", "note")
		own := Classes{Name: k.Value, By: c.needed("by"), Line: n.Line, Standing: b.standing(c, Standing{Source: r.Source, Where: r.Where}, true)}
		for _, e := range c.list("of", maxParts) {
			one := b.mapping(e, join(c.path, "of"), "below", "word")
			below, has := one.number("below")
			own.Of = append(own.Of, Class{Below: below, Last: !has, Word: one.needed("word")})
		}
		if len(own.Of) == 0 {
			c.fail("of", "needs at least one class")
		}
		r.Classes = append(r.Classes, own)
	}
	if !m.has("rating") {
		return
	}
	name := m.text("rating")
	i := slices.IndexFunc(r.Classes, func(c Classes) bool { return c.Name == name })
	if i < 0 {
		m.fail("rating", "found %q, expected the name of classes of the rule", name)
		return
	}
	r.Rating = &r.Classes[i]
}
