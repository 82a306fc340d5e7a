package guidance

import "fmt"

// Problem is something wrong in a book's file.
type Problem struct {
	Stage Stage
	File  string
	Line  int // 0 where none can be named
	Field string
	Text  string // what was found and what was expected
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
	StageRanges   Stage = "ranges"   // ranges, table levels, classes
	StageAnswers  Stage = "answers"  // a finite answer not below zero everywhere inside the ranges, or a reason
	StageClaims   Stage = "claims"   // what the book says of itself
	StageExamples Stage = "examples" // its worked examples
)

// Report is what checking a book found.
type Report struct {
	File   string
	Book   *Book // nil when it could not be read
	Stages []Finding
}

// Finding is the result of one stage.
type Finding struct {
	Stage Stage
	// Ran is false where an earlier stage found problems and this one could not be run.
	Ran bool
	// Checked counts what was looked at: expressions, ranges, samples, claims, examples.
	Checked  int
	Problems []Problem
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

// Parse reads a book and checks it. The error joins every Problem found.
func Parse(name string, text []byte) (*Book, error) {
	return nil, fmt.Errorf("%s: not built yet", name)
}

// Check reads a book and checks it thoroughly, with many samples, and tells what each stage found.
func Check(name string, text []byte) Report { return Report{File: name} }
