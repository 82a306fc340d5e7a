package rulebook

import (
	"errors"
	"fmt"
	"math"

	"culm/agronomy/rulebook/formula"
)

// Problem is something wrong in a book's file.
type Problem struct {
	Stage Stage  `json:"stage"`
	File  string `json:"file"`
	Line  int    `json:"line,omitempty"` // 0 where none can be named
	Field string `json:"field,omitempty"`
	Text  string `json:"text"` // what was found and what was expected
}

// Error gives "file:line: field: found, expected".
func (p Problem) Error() string {
	s := p.File
	if p.Line > 0 {
		s = fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	if p.Field != "" {
		return s + ": " + p.Field + ": " + p.Text
	}
	return s + ": " + p.Text
}

// Stage is a step of checking a book.
type Stage string

// The stages, in order. A stage is left out when one that it rests on found problems.
const (
	StageReading  Stage = "reading"  // the file, its keys, words, sources and statuses
	StageUnits    Stage = "units"    // the unit of every expression
	StageRanges   Stage = "ranges"   // table levels, classes, bounds
	StageAnswers  Stage = "answers"  // a finite answer not below zero everywhere inside the ranges, or a reason
	StageClaims   Stage = "claims"   // what the book says of itself
	StageExamples Stage = "examples" // its worked examples
)

// Report is what checking a book found.
type Report struct {
	File   string    `json:"file"`
	Book   *Book     `json:"-"` // nil when it could not be read
	Stages []Finding `json:"stages"`
}

// Finding is the result of one stage.
type Finding struct {
	Stage Stage `json:"stage"`
	// Ran is false where an earlier stage found problems and this one could not be run.
	Ran bool `json:"ran"`
	// Checked counts what was looked at: keys, expressions, levels, samples, pairs of samples, examples.
	Checked  int       `json:"checked"`
	Problems []Problem `json:"problems,omitempty"`
	// Notes are no problems but worth a reader's eye.
	Notes []string `json:"notes,omitempty"`
}

// OK says that the book was read and no stage found a problem.
func (r Report) OK() bool {
	for _, s := range r.Stages {
		if !s.Ran || len(s.Problems) > 0 {
			return false
		}
	}
	return r.Book != nil
}

// Problems lists the problems of all stages in order.
func (r Report) Problems() []Problem {
	var all []Problem
	for _, s := range r.Stages {
		all = append(all, s.Problems...)
	}
	return all
}

// effort is how many samples a rule is asked: corners of its ranges, points drawn inside them, and pairs of points
// for each claim.
type effort struct {
	corners, samples, pairs int
	// work bounds the whole, in letters of expressions worked out, so that a hostile book costs seconds at most.
	work int
}

// none leaves out the stages that sample. Books that come with Culm are sampled by its tests.
func (e effort) none() bool { return e.samples == 0 }

// fewest is how many samples every rule gets, however long its expressions.
const fewest = 16

// of is the effort for one rule of a book.
func (e effort) of(rule *Rule) effort {
	each := e.work / len(rule.Book.Rules) / (rule.length() + 1)
	e.corners = min(e.corners, max(fewest, each/4))
	e.samples = min(e.samples, max(fewest, each/4))
	e.pairs = min(e.pairs, max(fewest, each/4/(len(rule.Claims)+1)))
	return e
}

// length is that of the rule's expressions, in letters: about what one answer costs.
func (r *Rule) length() int {
	n := 0
	add := func(w written) {
		if w.is != nil {
			n += len(w.is.Text())
		}
	}
	add(r.written)
	for _, in := range r.Inputs {
		if in.Default != nil {
			add(in.Default.written)
		}
	}
	for _, s := range r.Steps {
		add(s.written)
	}
	for _, t := range r.Terms {
		add(t.written)
	}
	for _, m := range r.Silent {
		add(m.written)
	}
	return n
}

// usual is the effort of reading a book, enough to find a rule that goes wrong at a corner of its ranges.
func usual() effort { return effort{corners: 256, samples: 256, pairs: 128, work: 20_000_000} }

// Parse reads a book and checks it. The error joins every Problem found.
func Parse(name string, text []byte) (*Book, error) {
	return parse(name, text, usual())
}

// Read is Parse with the problems as data. The book is nil when there are any.
func Read(name string, text []byte) (*Book, []Problem) {
	report := check(name, text, usual())
	if problems := report.Problems(); len(problems) > 0 {
		return nil, problems
	}
	return report.Book, nil
}

func parse(name string, text []byte, e effort) (*Book, error) {
	report := check(name, text, e)
	problems := report.Problems()
	if len(problems) == 0 {
		return report.Book, nil
	}
	all := make([]error, len(problems))
	for i, p := range problems {
		all[i] = p
	}
	return nil, errors.Join(all...)
}

// Check reads a book and checks it thoroughly, with many samples, and tells what each stage found.
func Check(name string, text []byte) Report {
	return check(name, text, effort{corners: 4096, samples: 4096, pairs: 2048, work: 200_000_000})
}

func check(name string, text []byte, e effort) Report {
	r := &reader{file: name}
	report := Report{File: name}
	var book *Book
	sound := true
	// stage runs one stage, unless an earlier one that it rests on found problems.
	stage := func(s Stage, run func(f *Finding)) bool {
		f := Finding{Stage: s, Ran: sound}
		if sound {
			r.stage, r.problems = s, nil
			run(&f)
			f.Problems = r.problems
		}
		report.Stages = append(report.Stages, f)
		return len(f.Problems) == 0
	}
	sound = stage(StageReading, func(f *Finding) {
		if root := r.document(text); root != nil && len(r.problems) == 0 {
			book = r.read(text, root)
			f.Checked = len(book.Rules)
		}
	})
	sound = stage(StageUnits, func(f *Finding) {
		for _, rule := range book.Rules {
			r.compile(rule)
			f.Checked += len(rule.Terms) + len(rule.Steps) + len(rule.Silent) + len(rule.Remarks)
			if rule.Answer != nil {
				f.Checked++
			}
		}
	}) && sound
	sound = stage(StageRanges, func(f *Finding) {
		for _, rule := range book.Rules {
			r.levels(rule, f)
		}
	}) && sound
	if sound {
		report.Book = book
	}
	// These three rest on what stands above, not on each other.
	if !e.none() {
		stage(StageAnswers, func(f *Finding) {
			for _, rule := range book.Rules {
				r.answers(rule, e.of(rule), f)
			}
		})
		stage(StageClaims, func(f *Finding) {
			for _, rule := range book.Rules {
				r.holds(rule, e.of(rule), f)
			}
		})
	}
	stage(StageExamples, func(f *Finding) {
		for _, rule := range book.Rules {
			r.worked(rule, f)
		}
	})
	return report
}

// levels checks that table levels rise, that classes follow each other, and that defaults fit.
func (r *reader) levels(rule *Rule, f *Finding) {
	path := "rules." + rule.Key
	for _, t := range rule.Tables {
		for _, a := range t.Axes {
			f.Checked++
			for i := 1; i < len(a.At); i++ {
				if a.At[i] <= a.At[i-1] {
					r.fail(t.Line, path+".tables."+t.Name, "the levels of %s must rise: found %s after %s", a.Name, plain(a.At[i]), plain(a.At[i-1]))
					break
				}
			}
		}
		if len(t.Axes) > 0 && allUnread(t.Cells) {
			r.fail(t.Line, path+".tables."+t.Name, "has no cell that could be read")
		}
	}
	for _, c := range rule.Classes {
		f.Checked++
		for i, one := range c.Of {
			switch last := i == len(c.Of)-1; {
			case one.Last && !last:
				r.fail(c.Line, path+".classes."+c.Name, "only the last class may lack below, %q is not the last", one.Word)
			case !one.Last && last:
				r.fail(c.Line, path+".classes."+c.Name, "the last class, %q, must lack below, so that every number has a class", one.Word)
			case i > 0 && !one.Last && one.Below <= c.Of[i-1].Below:
				r.fail(c.Line, path+".classes."+c.Name, "the classes overlap: %q ends at %s, %q before it at %s", one.Word, plain(one.Below), c.Of[i-1].Word, plain(c.Of[i-1].Below))
			}
		}
	}
	for _, in := range rule.Inputs {
		f.Checked++
		if in.Default != nil && in.Default.Word != "" && in.Words != nil && rule.words.Find(in.Default.Word) < 0 {
			r.fail(in.Line, path+".inputs."+string(in.Name), "the default %q is none of its words", in.Default.Word)
		}
		if in.Usual != nil && (in.Usual.High < in.Low || in.Usual.Low > in.High) {
			r.fail(in.Line, path+".inputs."+string(in.Name), "the usual range lies outside the range")
		}
	}
	if rule.hasNoStatus() {
		r.fail(rule.Line, path, "needs a status: nothing it uses says how far it was confirmed")
	}
}

func allUnread(cells []float64) bool {
	for _, v := range cells {
		if !math.IsNaN(v) {
			return false
		}
	}
	return true
}

// hasNoStatus says that neither the form nor any of its numbers has a status.
func (r *Rule) hasNoStatus() bool {
	for _, in := range r.Inputs {
		if in.Default != nil && in.Default.Status != "" {
			return false
		}
	}
	return r.Form.Status == "" && len(r.Constants) == 0 && len(r.Tables) == 0
}

// silentOnPurpose says that a silence is one that the book means, or that a field can bring about.
func silentOnPurpose(why Silence) bool {
	switch why.kind {
	case missing, said, noWord:
		return true
	case inStep, inTerm:
		return why.part.Why == formula.TableSilent
	default:
		return false
	}
}
