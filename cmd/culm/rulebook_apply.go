package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
	"culm/agronomy/working"
	"culm/server/bookpage"
)

type rulebookApplyCommand struct {
	Book   string   `arg:"" help:"Key of a book, or a file."`
	Rule   string   `arg:"" help:"Key of the rule."`
	Values []string `arg:"" optional:"" name:"name=value" help:"Inputs: yieldGoal=60 in the book's unit, yieldGoal=4t/ha in another, previousCrop=soybean."`
	Season string   `help:"Season folder whose own books may be named by key." placeholder:"FOLDER"`
	JSON   bool     `name:"json" help:"Print the answer as JSON."`
}

// appliedDocument is the JSON of culm rulebook apply.
type appliedDocument struct {
	Version    string          `json:"version"`
	Rule       string          `json:"rule"`
	Digest     string          `json:"digest"` // of the book's file
	Crop       string          `json:"crop,omitempty"`
	Answered   bool            `json:"answered"`
	Why        string          `json:"why,omitempty"` // where there is no answer
	Value      *float64        `json:"value,omitempty"`
	Unit       string          `json:"unit"`
	Exact      *float64        `json:"exact,omitempty"` // before bounds and rounding
	Low        *float64        `json:"low,omitempty"`
	High       *float64        `json:"high,omitempty"`
	Rating     string          `json:"rating,omitempty"`
	Status     cite.Status     `json:"status,omitempty"`
	Expression string          `json:"expression"`
	Numbers    string          `json:"numbers,omitempty"`
	Terms      []appliedTerm   `json:"terms,omitempty"`
	Steps      []appliedNumber `json:"steps,omitempty"`
	Inputs     []appliedNumber `json:"inputs,omitempty"`
	Used       []appliedNumber `json:"used,omitempty"`
	Assumed    []string        `json:"assumed,omitempty"`
	Notes      []string        `json:"notes,omitempty"`
	Sources    []cite.Source   `json:"sources,omitempty"`
}

type appliedTerm struct {
	For     string  `json:"for"`
	Label   string  `json:"label"`
	Value   float64 `json:"value"`
	Assumed bool    `json:"assumed,omitempty"`
}

type appliedNumber struct {
	Name   string         `json:"name"`
	Label  string         `json:"label"`
	Value  *float64       `json:"value,omitempty"`
	Unit   string         `json:"unit,omitempty"`
	Word   string         `json:"word,omitempty"`
	Absent bool           `json:"absent,omitempty"`
	Origin working.Origin `json:"origin,omitzero"`
	Status cite.Status    `json:"status,omitempty"`
	Source cite.Key       `json:"source,omitempty"`
	Where  string         `json:"where,omitempty"`
}

// Run works the rule out. A rule that is silent says why; that is an answer too, and the exit code is 0. A value
// that is missing or cannot be used is not: exit code 3.
func (c *rulebookApplyCommand) Run(d *door) error {
	book, err := findBook(d, c.Book, c.Season)
	if err != nil {
		return err
	}
	rule, err := findRule(book, c.Rule)
	if err != nil {
		return err
	}
	facts, err := factsByHand(c.Values, rule)
	if err != nil {
		return err
	}
	w := rule.Work(facts)
	if names := missing(rule, facts); w.Why != "" && len(names) > 0 {
		return failWith(exitBadInput, "%s %s; not given: %s\n%s", rule.ID(), w.Why, strings.Join(names, ", "), whatItTakes(rule))
	}
	if c.JSON {
		return printJSON(d.out, appliedOf(w, facts))
	}
	terminal{w: d.out}.applied(w)
	return nil
}

func appliedOf(w rulebook.Worked, f *rulebook.Facts) appliedDocument {
	doc := appliedDocument{
		Version: "culm.rulebook-apply/1", Rule: w.Rule.ID(), Digest: w.Rule.Book.Digest, Crop: string(f.Crop), Answered: w.Why == "", Why: w.Why,
		Unit: w.Rule.Unit.String(), Rating: w.Rating, Status: w.Status, Expression: w.Expression, Numbers: w.Numbers(),
		Steps: appliedNumbers(w.Steps), Inputs: appliedNumbers(w.Inputs), Used: appliedNumbers(w.Used),
		Assumed: w.Assumed, Notes: w.Notes, Sources: w.Sources,
	}
	if !doc.Answered {
		return doc
	}
	doc.Value, doc.Exact = &w.Value, &w.Exact
	if w.HasRange {
		doc.Low, doc.High = &w.Low, &w.High
	}
	for _, t := range w.Terms {
		doc.Terms = append(doc.Terms, appliedTerm{string(t.For), t.Label, t.Value, t.Assumed})
	}
	return doc
}

func appliedNumbers(all []rulebook.Entry) []appliedNumber {
	var out []appliedNumber
	for _, e := range all {
		one := appliedNumber{Name: e.Name, Label: e.Label, Word: e.Word, Absent: e.Absent, Origin: e.Origin, Status: e.Status, Source: e.Source, Where: e.Where}
		if e.Word == "" {
			one.Value, one.Unit = &e.Value, e.Unit
		}
		out = append(out, one)
	}
	return out
}

// applied prints an answer with its working.
func (t terminal) applied(w rulebook.Worked) {
	unit := w.Rule.Unit.String()
	t.wrap("", "  ", w.Rule.ID()+" — "+w.Rule.Name)
	if w.Why != "" {
		t.wrap("  no answer: ", "  ", w.Why)
		t.wrap("  = ", "    ", w.Expression)
		return
	}
	answer := bookpage.WithUnit(rounded(w.Value), unit)
	if w.HasRange {
		answer += fmt.Sprintf(" (%s to %s)", bookpage.Number(rounded(w.Low)), bookpage.Number(rounded(w.High)))
	}
	if w.Rating != "" {
		answer += ", " + w.Rating
	}
	t.wrap("  ", "  ", answer+inBrackets(w.Status))
	t.wrap("  = ", "    ", w.Expression)
	t.wrap("  = ", "    ", w.Numbers())
	if w.Exact != w.Value {
		t.wrap("  = ", "    ", bookpage.WithUnit(rounded(w.Exact), unit)+" before bounds and rounding")
	}
	for _, term := range w.Terms {
		assumed := ""
		if term.Assumed {
			assumed = "  ASSUMED"
		}
		fmt.Fprintf(t.w, "    %10s  %s%s\n", bookpage.Number(rounded(term.Value)), term.Label, assumed)
	}
	t.entries("on the way", w.Steps)
	t.entries("inputs", w.Inputs)
	t.entries("numbers of the book", w.Used)
	t.list("assumed", w.Assumed)
	t.list("notes", w.Notes)
	t.heading("sources")
	for _, s := range w.Sources {
		t.wrap("    ", "        ", s.Text+inBrackets(s.Status))
	}
}

func (t terminal) entries(heading string, all []rulebook.Entry) {
	if len(all) == 0 {
		return
	}
	t.heading(heading)
	for _, e := range all {
		value := e.Word
		switch {
		case e.Absent:
			value = "none"
		case e.Word == "":
			value = besideLabel(rounded(e.Value), e.Unit)
		}
		if e.Origin.Kind == working.Assumed {
			value += "  ASSUMED"
		}
		t.wrap("    ", "        ", e.Label+": "+value+inBrackets(e.Status))
	}
}

// besideLabel writes a number beside its name, which says already that it is a pH.
func besideLabel(v float64, unit string) string {
	if unit == "pH" {
		return bookpage.Number(v)
	}
	return bookpage.WithUnit(v, unit)
}

// rounded keeps six digits, more than any guidance has.
func rounded(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if err != nil || math.IsInf(r, 0) {
		return v
	}
	return r
}
