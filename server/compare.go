package server

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/season"
	"culm/server/bookpage"
)

var errNoRule = errors.New("there is no such rule")

// comparison lays two rules beside each other for a field.
type comparison struct {
	shell
	Choices []ruleGroup
	Fields  []season.Field
	A, B    string // ids of the rules chosen; empty until one is
	Field   string
	Name    string // of the field
	Done    bool
	rulebook.Difference
}

// ruleGroup is the rules that answer one thing.
type ruleGroup struct {
	Answer string
	Rules  []*rulebook.Rule
}

func (s *Server) compareRules(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	q := v.r.URL.Query()
	view := comparison{shell: v.shell(sheet, "Two rules side by side"), Choices: groupsOf(s.desk.Books()), Fields: sheet.Season.Fields, Field: q.Get("field")}
	a, err := s.ruleNamed(q.Get("a"))
	if err != nil {
		return err
	}
	b, err := s.ruleNamed(q.Get("b"))
	if err != nil {
		return err
	}
	if a != nil {
		view.A = a.ID()
	}
	if b != nil {
		view.B = b.ID()
	}
	if a != nil && b != nil && view.Field != "" {
		if view.Difference, err = s.desk.Compare(sheet, view.Field, a, b, v.reader.Units); err != nil {
			return err
		}
		view.Done = true
	}
	for _, f := range view.Fields {
		if f.ID == view.Field {
			view.Name = f.Name
		}
	}
	return v.show(http.StatusOK, comparePage(view))
}

// ruleNamed finds a rule by its id, "liming/kansas"; of a book named alone it is the rule for nitrogen, or the
// only one. An empty name is no rule yet.
func (s *Server) ruleNamed(id string) (*rulebook.Rule, error) {
	if id == "" {
		return nil, nil
	}
	key, rule, named := strings.Cut(id, "/")
	book, ok := s.desk.Book(key)
	if !ok {
		return nil, badRequest(fmt.Sprintf("no book of guidance is called %q", key), errNoRule)
	}
	switch {
	case named:
	case len(book.Rules) == 1:
		return book.Rules[0], nil
	default:
		rule = string(rulebook.Nitrogen)
	}
	if r, ok := book.Rule(rule); ok {
		return r, nil
	}
	var keys []string
	for _, r := range book.Rules {
		keys = append(keys, r.ID())
	}
	return nil, badRequest(fmt.Sprintf("%s has no rule %q; its rules are %s", book.Name, rule, list(keys)), errNoRule)
}

// groupsOf sorts the rules of all books by what they answer, in the order of the trade.
func groupsOf(books []*rulebook.Book) []ruleGroup {
	var groups []ruleGroup
	for _, a := range answersOf(books) {
		groups = append(groups, ruleGroup{a, rulebook.Answering(books, rulebook.Answer(a), "")})
	}
	return groups
}

// comparePath is the address at which two rules are laid side by side for a field; what is empty is left to be
// chosen.
func comparePath(a, b, field string) string {
	q := url.Values{}
	for key, value := range map[string]string{"a": a, "b": b, "field": field} {
		if value != "" {
			q.Set(key, value)
		}
	}
	return "/rulebooks/compare?" + q.Encode()
}

func comparePathOf(rule string) string { return comparePath(rule, "", "") }

// ready says what is still to be chosen; empty when nothing is.
func (c comparison) wanting() string {
	var wants []string
	for _, w := range []struct {
		have, name string
	}{{c.A, "a rule"}, {c.B, "another to lay beside it"}, {c.Field, "a field to ask both for"}} {
		if w.have == "" {
			wants = append(wants, w.name)
		}
	}
	return list(wants)
}

// title answers what differs.
func (c comparison) title() string {
	switch {
	case !c.Done:
		return "Two rules, one field: which term makes the difference"
	case !c.Comparable:
		return "These two cannot be set against each other for " + c.Name
	case c.amount(c.Whole) == c.amount(0):
		return "Both say the same for " + c.Name + ": " + c.answer(c.Difference.A)
	}
	more := "more"
	if c.Whole < 0 {
		more = "less"
	}
	return fmt.Sprintf("%s %s by %s than by %s, for %s", c.amount(math.Abs(c.Whole)), more, c.called(c.Difference.B), c.called(c.Difference.A), c.Name)
}

// most says which term makes most of the difference.
func (c comparison) most() string {
	if len(c.Parts) == 0 || c.Parts[0].Makes == 0 {
		return ""
	}
	p := c.Parts[0]
	text := "What differs most is " + p.Label + ": it makes " + c.signed(p.Makes) + " " + c.unitName()
	switch {
	case p.OnlyA:
		text += ", and only " + c.called(c.Difference.A) + " counts it"
	case p.OnlyB:
		text += ", and only " + c.called(c.Difference.B) + " counts it"
	}
	if p.Assumed {
		text += ". It rests on an assumed value, which nobody saw"
	}
	return text + "."
}

// called names a rule shortly, and two of one name apart.
func (c comparison) called(w rulebook.Worked) string {
	if c.Difference.A.Rule.Name == c.Difference.B.Rule.Name {
		return w.Rule.Book.Name
	}
	return w.Rule.Name
}

// answer is what a rule says, in the reader's units.
func (c comparison) answer(w rulebook.Worked) string {
	text := c.withUnit(w.Value, w.Rule.Unit.String())
	if k := w.Amount.Kind; k != "" && w.Value != 0 {
		text = plainNumber(unit.Convert(k, w.Amount.Base, c.Reader.Units)) + "\u202f" + unit.Symbol(k, c.Reader.Units)
	}
	if w.Rating != "" {
		text += ", called " + w.Rating
	}
	return text
}

func (c comparison) withUnit(v float64, u string) string { return bookpage.WithUnit(rounded(v), u) }

// read converts a number in the unit of the first rule for the reader.
func (c comparison) read(v float64) (float64, string) {
	w := c.Difference.A
	per := w.Amount.Base / w.Value // base units in one unit of the book; those have no offset
	if w.Value == 0 {
		per = c.WholeAmount.Base / c.Whole
	}
	if k := w.Amount.Kind; k != "" && !math.IsNaN(per) && !math.IsInf(per, 0) {
		return unit.Convert(k, v*per, c.Reader.Units), unit.Symbol(k, c.Reader.Units)
	}
	return v, c.Difference.Unit
}

// amount writes a number in the unit of the first rule for the reader.
func (c comparison) amount(v float64) string {
	read, u := c.read(v)
	return c.withUnit(read, u)
}

// term writes a number of the table, whose head names the unit.
func (c comparison) term(v float64, counts bool) string {
	if !counts {
		return "–"
	}
	read, _ := c.read(v)
	return plainNumber(read)
}

// signed writes a number with its sign.
func (c comparison) signed(v float64) string {
	read, _ := c.read(v)
	text := plainNumber(math.Abs(read))
	switch {
	case text == "0":
		return text
	case v < 0:
		return "−" + text
	default:
		return "+" + text
	}
}

// moving are the terms that make a difference, still those that make none.
func (c comparison) moving() []rulebook.Share {
	return slices.DeleteFunc(slices.Clone(c.Parts), func(p rulebook.Share) bool { return c.signed(p.Makes) == "0" })
}

func (c comparison) still() string {
	var names []string
	for _, p := range c.Parts {
		if c.signed(p.Makes) == "0" {
			names = append(names, p.Label)
		}
	}
	return list(names)
}

// unitName is the unit of the table.
func (c comparison) unitName() string {
	_, u := c.read(1)
	return u
}

// bar is where a term's mark begins and how wide it is, in hundredths of the width, from a zero in the middle.
func (c comparison) bar(makes float64) (from, wide string) {
	most := 0.0
	for _, p := range c.Parts {
		most = max(most, math.Abs(p.Makes))
	}
	if most == 0 {
		return "50%", "0%"
	}
	share := 48 * makes / most
	return percent(50 + min(share, 0)), percent(math.Abs(share))
}

func percent(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) + "%" }

// beside writes a number or word of one of two rules that are no sums.
func (c comparison) beside(e rulebook.Entry, has bool) string {
	switch {
	case !has:
		return "–"
	case e.Absent:
		return "none noted"
	case e.Word != "":
		return e.Word
	}
	return c.withUnit(e.Value, e.Unit)
}

// remarks are what both rules say of their answers, each once.
func (c comparison) remarks(w rulebook.Worked) []string {
	all := slices.Clone(w.Notes)
	for _, a := range w.Assumed {
		all = append(all, "Assumed, not seen: "+a+".")
	}
	return all
}

// plainNumber writes a number with four digits that count.
func plainNumber(v float64) string { return bookpage.Number(rounded(v)) }

func rounded(v float64) float64 {
	if r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64); err == nil {
		return r
	}
	return v
}
