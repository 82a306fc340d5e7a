package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"culm/advice"
	"culm/agronomy/rulebook"
	"culm/season"
	"culm/server/bookpage"
)

type rulebookCompareCommand struct {
	A      string   `arg:"" name:"a" help:"A book's key or file, with the rule behind a slash where it has several: minnesota, liming/kansas."`
	B      string   `arg:"" name:"b" help:"The other."`
	Values []string `arg:"" optional:"" name:"name=value" help:"Inputs for both, as for apply; with a field, in place of what its records say."`
	Field  string   `help:"Compare for this field, by id." placeholder:"ID"`
	Season string   `default:"." help:"Season folder of the field and of its own books, or a zip of one." placeholder:"FOLDER"`
	Date   string   `help:"The day it is, as 2027-02-10; today when not given."`
	JSON   bool     `name:"json" help:"Print the comparison as JSON."`
}

// comparedDocument is the JSON of culm rulebook compare.
type comparedDocument struct {
	Version    string           `json:"version"`
	A          appliedDocument  `json:"a"`
	B          appliedDocument  `json:"b"`
	Comparable bool             `json:"comparable"`
	Why        string           `json:"why,omitempty"`
	Whole      *float64         `json:"whole,omitempty"` // B less A, in the unit of A
	Unit       string           `json:"unit,omitempty"`
	Parts      []comparedPart   `json:"parts,omitempty"` // their sum is whole
	NotASum    string           `json:"notASum,omitempty"`
	Beside     []comparedBeside `json:"beside,omitempty"`
}

type comparedPart struct {
	For     string  `json:"for,omitempty"`
	Label   string  `json:"label"`
	InA     float64 `json:"a"`
	InB     float64 `json:"b"`
	OnlyA   bool    `json:"onlyA,omitempty"`
	OnlyB   bool    `json:"onlyB,omitempty"`
	Makes   float64 `json:"makes"`
	Assumed bool    `json:"assumed,omitempty"`
}

type comparedBeside struct {
	Label string         `json:"label"`
	A     *appliedNumber `json:"a,omitempty"`
	B     *appliedNumber `json:"b,omitempty"`
}

// Run works both rules out on the same facts and takes the difference apart.
func (c *rulebookCompareCommand) Run(d *door) error {
	a, err := namedRule(d, c.A, c.books())
	if err != nil {
		return err
	}
	b, err := namedRule(d, c.B, c.books())
	if err != nil {
		return err
	}
	rules := []*rulebook.Rule{a, b}
	facts, err := c.facts(d, rules)
	if err != nil {
		return err
	}
	worked := make([]rulebook.Worked, len(rules))
	for i, r := range rules {
		worked[i] = r.Work(facts[i])
		if names := missing(r, facts[i]); worked[i].Why != "" && len(names) > 0 && c.Field == "" {
			return failWith(exitBadInput, "%s %s; not given: %s\n%s", r.ID(), worked[i].Why, strings.Join(names, ", "), whatItTakes(rules...))
		}
	}
	diff := rulebook.Compare(worked[0], worked[1])
	if c.JSON {
		return printJSON(d.out, comparedOf(diff, facts))
	}
	terminal{w: d.out}.compared(diff)
	return nil
}

// books is the season folder whose own books are known by key: none where only books are compared, without a season.
func (c *rulebookCompareCommand) books() string {
	if c.Field == "" && c.Season == "." {
		return ""
	}
	return c.Season
}

// facts are those of a field's records, or those given by hand, as each rule is asked.
func (c *rulebookCompareCommand) facts(d *door, rules []*rulebook.Rule) ([]*rulebook.Facts, error) {
	if c.Field == "" {
		f, err := factsByHand(c.Values, rules...)
		return []*rulebook.Facts{f, f}, err
	}
	today, err := d.today(c.Date)
	if err != nil {
		return nil, exitError{exitUsage, err}
	}
	content, _, err := readContent(d, c.Season, today)
	if err != nil {
		return nil, err
	}
	fields, err := choose(season.Assemble(content.Entries), []string{c.Field}, today)
	if err != nil {
		return nil, err
	}
	advisor, err := advice.NewAdvisor(content.Books...)
	if err != nil {
		return nil, err
	}
	var all []*rulebook.Facts
	for _, r := range rules {
		f := advisor.FactsFor(fields[0], r)
		if err := giveAll(f, c.Values, rules...); err != nil {
			return nil, err
		}
		all = append(all, f)
	}
	return all, nil
}

// namedRule reads "minnesota", "liming/kansas" or "mine.yaml/nitrogen". Of a book named alone it is the rule for
// nitrogen, or the only one.
func namedRule(d *door, name, seasonFolder string) (*rulebook.Rule, error) {
	bookName, key := name, ""
	if i := strings.LastIndex(name, "/"); i > 0 && !isBookFile(name) {
		bookName, key = name[:i], name[i+1:]
	}
	book, err := findBook(d, bookName, seasonFolder)
	if err != nil {
		return nil, err
	}
	if key != "" {
		return findRule(book, key)
	}
	if r, ok := book.Rule(string(rulebook.Nitrogen)); ok {
		return r, nil
	}
	if len(book.Rules) == 1 {
		return book.Rules[0], nil
	}
	return nil, failWith(exitBadInput, "%s has several rules; name one of %s/%s", bookName, bookName, strings.Join(ruleKeys(book), ", "+bookName+"/"))
}

func comparedOf(d rulebook.Difference, f []*rulebook.Facts) comparedDocument {
	doc := comparedDocument{
		Version: "culm.rulebook-compare/1", A: appliedOf(d.A, f[0]), B: appliedOf(d.B, f[1]), Comparable: d.Comparable, Why: d.Why, Unit: d.Unit, NotASum: d.NotSum,
	}
	if d.Comparable {
		doc.Whole = &d.Whole
	}
	for _, s := range d.Parts {
		doc.Parts = append(doc.Parts, comparedPart{string(s.For), s.Label, s.InA, s.InB, s.OnlyA, s.OnlyB, s.Makes, s.Assumed})
	}
	for _, b := range d.Beside {
		one := comparedBeside{Label: b.Label}
		if b.HasA {
			one.A = &appliedNumbers([]rulebook.Entry{b.InA})[0]
		}
		if b.HasB {
			one.B = &appliedNumbers([]rulebook.Entry{b.InB})[0]
		}
		doc.Beside = append(doc.Beside, one)
	}
	return doc
}

// compared prints two answers and what makes their difference.
func (t terminal) compared(d rulebook.Difference) {
	for _, w := range []rulebook.Worked{d.A, d.B} {
		answer := "no answer: " + w.Why
		if w.Why == "" {
			answer = bookpage.WithUnit(compact(w.Value), w.Rule.Unit.String()) + inBrackets(w.Status)
		}
		t.wrap(fmt.Sprintf("%-34s ", w.Rule.ID()), strings.Repeat(" ", 35), answer)
	}
	if !d.Comparable {
		t.wrap("  cannot be compared: ", "  ", d.Why)
		return
	}
	t.wrap("  ", "  ", fmt.Sprintf("%s less %s: %s", d.B.Rule.ID(), d.A.Rule.ID(), bookpage.Number(compact(d.Whole))+" "+d.Unit))
	if len(d.Parts) > 0 {
		t.parts(d)
		return
	}
	t.wrap("  ", "  ", d.NotSum+" is not a sum of terms, so what goes into both is laid side by side")
	rows := []row{{cells: []string{"", d.A.Rule.Book.Key, d.B.Rule.Book.Key}}}
	for _, b := range d.Beside {
		rows = append(rows, row{cells: []string{b.Label, besideCell(b.InA, b.HasA), besideCell(b.InB, b.HasB)}})
	}
	t.columns(rows)
}

func (t terminal) parts(d rulebook.Difference) {
	rows := []row{{cells: []string{"term, " + d.Unit, d.A.Rule.Book.Key, d.B.Rule.Book.Key, "makes"}}}
	for _, s := range d.Parts {
		a, b := bookpage.Number(compact(s.InA)), bookpage.Number(compact(s.InB))
		if s.OnlyB {
			a = "–"
		}
		if s.OnlyA {
			b = "–"
		}
		label := s.Label
		if s.Assumed {
			label += " (ASSUMED)"
		}
		rows = append(rows, row{cells: []string{label, a, b, bookpage.Number(compact(s.Makes))}})
	}
	t.columns(rows)
}

// compact keeps three digits, and whole numbers whole: as much as two books can be compared by.
func compact(v float64) float64 {
	if math.Abs(v) >= 100 {
		return math.Round(v)
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	if err != nil {
		return v
	}
	return r
}

func besideCell(e rulebook.Entry, has bool) string {
	switch {
	case !has:
		return "–"
	case e.Absent:
		return "none"
	case e.Word != "":
		return e.Word
	}
	return besideLabel(compact(e.Value), e.Unit)
}
