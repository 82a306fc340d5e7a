package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"culm/agronomy/cite"
	"culm/server/bookpage"
)

type rulebookShowCommand struct {
	Book   string `arg:"" help:"Key of a book, or a file."`
	Season string `help:"Season folder whose own books may be named by key." placeholder:"FOLDER"`
	JSON   bool   `name:"json" xor:"form" help:"Print the book as JSON."`
	HTML   bool   `name:"html" xor:"form" help:"Print the book as a page that needs nothing else."`
}

// Run shows a book.
func (c *rulebookShowCommand) Run(d *door) error {
	book, err := findBook(d, c.Book, c.Season)
	if err != nil {
		return err
	}
	switch {
	case c.HTML:
		page, err := bookpage.Standalone(book)
		if err != nil {
			return err
		}
		_, err = d.out.Write(page)
		return err
	case c.JSON:
		return printJSON(d.out, bookpage.Of(book))
	}
	terminal{w: d.out}.book(bookpage.Of(book))
	return nil
}

// book prints a whole book for a person.
func (t terminal) book(b bookpage.Document) {
	fmt.Fprintf(t.w, "%s — %s\n", b.Key, b.Name)
	for _, line := range []string{b.Region, b.Publisher, b.Edition, b.About} {
		if line != "" {
			t.wrap("  ", "  ", line)
		}
	}
	for _, r := range b.Rules {
		fmt.Fprintln(t.w)
		t.rule(b, r)
	}
	fmt.Fprintln(t.w, "\nsources")
	for _, s := range b.Sources {
		t.wrap("  ", "    ", fmt.Sprintf("%s: %s %s [%s]", s.Key, s.Text, s.Where, s.Status))
	}
}

func (t terminal) rule(b bookpage.Document, r bookpage.Rule) {
	fmt.Fprintf(t.w, "%s — %s\n", r.ID, r.Name)
	t.wrap("  ", "  ", fmt.Sprintf("answers %s in %s, for %s%s", r.Answers, r.Unit, r.Serves(), inBrackets(r.Status)))
	for _, crop := range slices.Sorted(maps.Keys(r.Refuses)) {
		t.wrap("  ", "    ", "not for "+crop+": "+r.Refuses[crop])
	}
	if r.FittedOn != "" {
		t.wrap("  made on ", "    ", r.FittedOn)
	}
	if r.Source != "" {
		t.wrap("  source ", "    ", strings.TrimSuffix(string(r.Source)+", "+r.Where, ", "))
	}
	t.heading("formula")
	for _, l := range r.Formula() {
		label := ""
		if l.Label != "" {
			label = "   (" + l.Label + ")"
		}
		t.wrap(fmt.Sprintf("    %10s ", l.Sign), "               ", l.Text+label)
	}
	for _, l := range r.Limits() {
		t.wrap("               ", "                 ", l)
	}
	t.inputs(r.Inputs)
	t.constants(r)
	for _, table := range r.Tables {
		t.table(r, table)
	}
	t.classes(r.Classes)
	t.remarks("silent", r.Silent)
	t.remarks("remarks", r.Remarks)
	t.list("what the book says of itself", r.Claims)
	t.examples(r)
	t.list("notes", r.Notes)
}

func (t terminal) heading(text string) { fmt.Fprintf(t.w, "  %s\n", text) }

func inBrackets(s cite.Status) string {
	if s == "" {
		return ""
	}
	return "  [" + string(s) + "]"
}

// standing is what stands behind a number: its status, its source where that is not the rule's, and a note.
func standing(r bookpage.Rule, s bookpage.Standing) string {
	text := inBrackets(s.Status)
	if s.Source != "" && s.Source != r.Source {
		text += " " + string(s.Source)
	}
	if s.Where != "" && s.Where != r.Where {
		text += ", " + s.Where
	}
	if s.Note != "" {
		text += " " + s.Note
	}
	return text
}

func (t terminal) inputs(all []bookpage.Input) {
	if len(all) == 0 {
		return
	}
	t.heading("inputs")
	for _, in := range all {
		t.wrap(fmt.Sprintf("    %-15s ", in.Name), "                    ", in.Label+": "+in.Takes())
		for _, m := range in.More() {
			t.wrap("                      ", "                      ", m)
		}
	}
}

func (t terminal) constants(r bookpage.Rule) {
	if len(r.Constants) == 0 {
		return
	}
	t.heading("numbers")
	for _, c := range r.Constants {
		span := ""
		if c.Low != nil && c.High != nil {
			span = fmt.Sprintf(" (%s to %s)", bookpage.Number(*c.Low), bookpage.Number(*c.High))
		}
		t.wrap("    ", "        ", c.Label+": "+bookpage.WithUnit(c.Value, c.Unit)+span+standing(r, c.Standing))
	}
}

// table prints a table with its columns under each other.
func (t terminal) table(r bookpage.Rule, table bookpage.Table) {
	t.heading("table " + table.Name + ": " + table.Label + ", " + table.Unit)
	for _, g := range table.Grids() {
		if g.Caption != "" {
			fmt.Fprintln(t.w, "    "+g.Caption)
		}
		rows := []row{{cells: append([]string{g.Corner}, g.Head...)}}
		for _, line := range g.Rows {
			rows = append(rows, row{append([]string{line.Label}, line.Cells...), line.Note})
		}
		t.columns(rows)
	}
	if text := strings.TrimSpace(table.Reading() + standing(r, table.Standing)); text != "" {
		t.wrap("    ", "    ", text)
	}
}

// row is a line of cells, with a note behind them.
type row struct {
	cells []string
	note  string
}

// columns prints rows with their cells under each other: the first to the left, the others to the right.
func (t terminal) columns(rows []row) {
	widths := make([]int, len(rows[0].cells))
	for _, r := range rows {
		for i, cell := range r.cells {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, r := range rows {
		line := "    " + padded(r.cells[0], widths[0])
		for i, cell := range r.cells[1:] {
			line += "  " + right(cell, widths[i+1])
		}
		if r.note == "" {
			fmt.Fprintln(t.w, line)
			continue
		}
		t.wrap(line+"  ", strings.Repeat(" ", utf8.RuneCountInString(line)+2), r.note)
	}
}

func padded(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
}

func right(s string, width int) string {
	return strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s))) + s
}

func (t terminal) classes(all []bookpage.Classes) {
	for _, c := range all {
		t.heading(c.Name + " by " + c.By)
		for _, one := range c.Of {
			below := ""
			if one.Below != nil {
				below = "below " + bookpage.Number(*one.Below)
			}
			fmt.Fprintf(t.w, "    %-15s %s\n", one.Word, below)
		}
	}
}

func (t terminal) remarks(heading string, all []bookpage.Remark) {
	if len(all) == 0 {
		return
	}
	t.heading(heading)
	for _, m := range all {
		t.wrap("    ", "        ", m.Say+" (where "+m.When+")")
	}
}

func (t terminal) list(heading string, all []string) {
	if len(all) == 0 {
		return
	}
	t.heading(heading)
	for _, text := range all {
		t.wrap("    ", "        ", text)
	}
}

func (t terminal) examples(r bookpage.Rule) {
	if len(r.Examples) == 0 {
		return
	}
	t.heading("worked examples")
	for _, e := range r.Examples {
		t.wrap("    ", "        ", e.Name+": "+e.Inputs()+" → "+e.Comes(r.Unit)+standing(r, e.Standing))
	}
}
