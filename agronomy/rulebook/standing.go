package rulebook

import (
	"slices"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook/formula"
	"culm/agronomy/working"
)

// rests lowers the standing of the answer to that of a number it rests on.
func (x *explainer) rests(s Standing) {
	x.w.Status = weaker(x.w.Status, s.Status)
	x.cite(s.Source)
}

func (x *explainer) cite(k cite.Key) {
	for _, have := range x.keys {
		if have == k {
			return
		}
	}
	if k != "" {
		x.keys = append(x.keys, k)
	}
}

// used enters the constants and table rows that the answer rests on.
func (x *explainer) used() {
	for _, i := range x.r.rests.constants {
		c := &x.r.Constants[i]
		e := Entry{
			Name: c.Name, Label: c.Label, Value: c.Value, Unit: c.Unit.String(), Amount: x.amount(c.Value, c.Unit, ""),
			Origin: working.Origin{Kind: working.Rulebook, Source: c.Source}, Standing: c.Standing,
		}
		if x.r.isOwn(c.Name) {
			e.Origin, e.Standing = x.r.own, Standing{}
		} else {
			x.rests(c.Standing)
		}
		x.w.Used = append(x.w.Used, e)
	}
	for _, i := range x.r.rests.tables {
		x.row(&x.r.Tables[i])
	}
}

// reads are the tables that were looked up for the answer, and whether a straight line between their printed values
// was taken.
type reads map[*formula.Table]bool

// looked notes what a formula looks up.
func (x *explainer) looked(f *formula.Formula) {
	if f == nil {
		return
	}
	f.Reads(x.all, func(table *formula.Table, a, b, c float64) {
		i := slices.IndexFunc(x.r.Tables, func(t Table) bool { return x.r.tables[t.Name] == table })
		if t := &x.r.Tables[i]; t.By == "" {
			x.reads[table] = x.reads[table] || t.between([3]float64{a, b, c})
		} else {
			x.reads[table] = false
		}
	})
}

// row enters the row of a table of words, or that a table of numbers was read. What a straight line gives between
// printed values is derived from them; so is a printed sum without a term, where a word of which the publication prints
// nothing adds nothing.
func (x *explainer) row(t *Table) {
	between, read := x.reads[x.r.tables[t.Name]]
	switch {
	case !read:
		return
	case t.By == "":
		x.rests(t.Standing)
		if between {
			x.rests(Standing{Status: cite.Derived})
		}
		return
	}
	i := x.r.Slot(t.By)
	word := x.word(i)
	row := t.rowOf(strings.ToLower(word))
	if row.Value == 0 && row.Status == cite.CommonPractice { // a term is left out of the printed sum
		x.rests(Standing{Status: weaker(cite.Derived, t.Status), Source: row.Source})
	} else {
		x.rests(row.Standing)
	}
	if row == t.Other && row.Value == 0 { // adds nothing, and Assumed has told of it
		return
	}
	x.w.Used = append(x.w.Used, Entry{
		Name: t.Name, Label: x.r.Inputs[i].Label + ": " + word, Value: row.Value, Unit: t.Unit.String(), Amount: x.amount(row.Value, t.Unit, ""),
		Origin: working.Origin{Kind: working.Rulebook, Source: row.Source}, Standing: row.Standing,
	})
}

// assumeRows tells where a table knows nothing of the word given and something of Culm's stands in.
func (x *explainer) assumeRows(i int) {
	if x.r.Inputs[i].Sort != Word || !x.t.slots.in[i].Given {
		return
	}
	for k := range x.r.Tables {
		t := &x.r.Tables[k]
		word := x.word(i)
		if t.By != x.r.Inputs[i].Name || t.Other == nil || t.Other.Status != cite.CommonPractice || t.rowOf(strings.ToLower(word)) != t.Other {
			continue
		}
		why := "no figure for " + word + " in this book"
		if near := t.nearest(strings.ToLower(word)); near != "" {
			why += " (is " + near + " meant?)"
		}
		x.assume(x.r.Inputs[i].Label, why+"; "+t.Other.Why)
	}
}

func (x *explainer) sources() {
	for _, k := range x.keys {
		if s, ok := x.r.Book.Source(k); ok {
			x.w.Sources = append(x.w.Sources, s)
		}
	}
	for _, s := range x.followed {
		if !slices.Contains(x.w.Sources, s) {
			x.w.Sources = append(x.w.Sources, s)
		}
	}
}

// weaker picks the status that carries less.
func weaker(a, b cite.Status) cite.Status {
	if strength(b) < strength(a) {
		return b
	}
	return a
}

func strength(s cite.Status) int {
	at := slices.Index(statusWords(), string(s))
	if at < 0 {
		return len(statusWords()) + 1 // nothing stated
	}
	return len(statusWords()) - at
}
