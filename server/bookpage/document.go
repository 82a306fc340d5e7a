// Package bookpage shows a book of regional guidance: as a document for machines and as a page that needs
// nothing else. Both say the same: every rule with its formula in words, inputs, numbers, tables, limits and
// worked examples, each with its source and how far it was confirmed there.
package bookpage

import (
	"slices"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
)

// Document is a book for machines. Numbers are in the units that stand beside them.
type Document struct {
	Version   string        `json:"version"` // culm.rulebook/1
	Key       string        `json:"key"`
	Name      string        `json:"name"`
	Region    string        `json:"region"`
	Publisher string        `json:"publisher,omitempty"`
	Edition   string        `json:"edition"`
	Year      int           `json:"year,omitempty"`
	About     string        `json:"about,omitempty"`
	Digest    string        `json:"digest"` // SHA-256 of the file
	Rules     []Rule        `json:"rules"`
	Sources   []cite.Source `json:"sources"` // all that the book's numbers name
}

// Rule is one way of finding one number.
type Rule struct {
	ID       string            `json:"id"`
	Key      string            `json:"key"`
	Name     string            `json:"name"`
	Answers  string            `json:"answers"`
	Family   string            `json:"family,omitempty"`
	Crops    []string          `json:"crops"` // empty: any
	Refuses  map[string]string `json:"refuses,omitempty"`
	FittedOn string            `json:"fittedOn,omitempty"`
	Unit     string            `json:"unit"`
	// Status is that of the weakest of the numbers that always count. A row of a table by words and a default
	// count where they are used, and have their own.
	Status    cite.Status `json:"status,omitempty"`
	Source    cite.Key    `json:"source,omitempty"`
	Where     string      `json:"where,omitempty"`
	Steps     []Part      `json:"steps,omitempty"`
	Terms     []Part      `json:"terms,omitempty"` // the answer is their sum
	Answer    string      `json:"answer,omitempty"`
	Floor     *Bound      `json:"floor,omitempty"`
	Cap       *Bound      `json:"cap,omitempty"`
	Round     *Rounding   `json:"round,omitempty"`
	Rating    string      `json:"rating,omitempty"` // name of the classes of the answer's word
	Inputs    []Input     `json:"inputs"`
	Constants []Constant  `json:"constants,omitempty"`
	Tables    []Table     `json:"tables,omitempty"`
	Classes   []Classes   `json:"classes,omitempty"`
	Silent    []Remark    `json:"silent,omitempty"`
	Remarks   []Remark    `json:"remarks,omitempty"`
	Claims    []string    `json:"claims,omitempty"`
	Examples  []Example   `json:"examples,omitempty"`
	Notes     []string    `json:"notes,omitempty"`
}

// Part is a step or a term: a formula in words, with the unit of a step.
type Part struct {
	Key   string `json:"key,omitempty"`
	For   string `json:"for,omitempty"`
	Label string `json:"label,omitempty"`
	Is    string `json:"is"`
	Unit  string `json:"unit,omitempty"`
}

// Bound is a floor or a cap in the unit of the answer.
type Bound struct {
	Value float64 `json:"value"`
	Why   string  `json:"why,omitempty"`
	Standing
}

// Rounding is how the publication rounds.
type Rounding struct {
	To  float64 `json:"to"`
	How string  `json:"how"`
}

// Standing is where a number comes from and how far it was confirmed there.
type Standing struct {
	Status cite.Status `json:"status,omitempty"`
	Source cite.Key    `json:"source,omitempty"`
	Where  string      `json:"where,omitempty"`
	Note   string      `json:"note,omitempty"`
}

// Input is something a rule asks for.
type Input struct {
	Name     string      `json:"name"`
	Label    string      `json:"label"`
	Sort     string      `json:"sort"` // number, word, yes or no
	Unit     string      `json:"unit,omitempty"`
	Low      *float64    `json:"low,omitempty"` // the range the book was made for
	High     *float64    `json:"high,omitempty"`
	Usual    *Usual      `json:"usual,omitempty"`
	Words    []string    `json:"words,omitempty"` // all that it may be
	Named    []string    `json:"named,omitempty"` // by the rule's tables, where it may be any word
	Optional bool        `json:"optional,omitempty"`
	Asked    bool        `json:"asked,omitempty"`
	Soil     *Soil       `json:"soil,omitempty"`
	Default  *DefaultFor `json:"default,omitempty"`
}

// Usual is the range for which a publication prints its numbers.
type Usual struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	Note string  `json:"note,omitempty"`
}

// Soil says to what depth, on what mass of soil and by which laboratory methods.
type Soil struct {
	Depth       string       `json:"depth"`
	PerAcreInch float64      `json:"millionPoundsPerAcreInch,omitempty"`
	Methods     []string     `json:"methods,omitempty"`
	Converts    []Conversion `json:"converts,omitempty"`
}

// Conversion is an open way from another method's result.
type Conversion struct {
	From   string  `json:"from"`
	Factor float64 `json:"factor"`
	Unless string  `json:"unless,omitempty"`
	Standing
}

// DefaultFor stands in where an input is missing.
type DefaultFor struct {
	Value *float64 `json:"value,omitempty"`
	Word  string   `json:"word,omitempty"`
	Is    string   `json:"is,omitempty"` // a formula of other inputs
	Why   string   `json:"why,omitempty"`
	Standing
}

// Constant is a published number, with the span where one is given.
type Constant struct {
	Name  string   `json:"name"`
	Label string   `json:"label"`
	Value float64  `json:"value"`
	Unit  string   `json:"unit"`
	Low   *float64 `json:"low,omitempty"`
	High  *float64 `json:"high,omitempty"`
	Standing
}

// Table is read off by a word (By, Words) or by numbers (Axes, Cells).
type Table struct {
	Name    string     `json:"name"`
	Label   string     `json:"label"`
	Unit    string     `json:"unit"`
	By      string     `json:"by,omitempty"`
	Words   []WordRow  `json:"words,omitempty"`
	Other   *WordRow   `json:"other,omitempty"`
	Axes    []Axis     `json:"axes,omitempty"`
	Between string     `json:"between,omitempty"`
	Beyond  string     `json:"beyond,omitempty"`
	Cells   []*float64 `json:"cells,omitempty"` // the last axis turns fastest; null could not be read
	Standing
}

// WordRow is a row of a table by words.
type WordRow struct {
	Words []string `json:"of,omitempty"`
	Value float64  `json:"value"`
	Why   string   `json:"why,omitempty"`
	Standing
}

// Axis is one edge of a table.
type Axis struct {
	Label string    `json:"label"`
	Unit  string    `json:"unit"`
	At    []float64 `json:"at"`
}

// Classes give a number a word.
type Classes struct {
	Name string  `json:"name"`
	By   string  `json:"by"`
	Of   []Class `json:"of"`
	Standing
}

// Class is one word; the last has no Below.
type Class struct {
	Below *float64 `json:"below,omitempty"`
	Word  string   `json:"word"`
}

// Remark is a sentence under a condition.
type Remark struct {
	When string `json:"when"`
	Say  string `json:"say"`
}

// Example is a worked example, run whenever the book is read.
type Example struct {
	Name   string            `json:"name"`
	Crop   string            `json:"crop,omitempty"`
	Given  []Given           `json:"given"`
	Answer *float64          `json:"answer,omitempty"`
	Digits int               `json:"decimals,omitempty"` // printed
	Silent string            `json:"silent,omitempty"`   // why the rule must give no answer
	Rating string            `json:"rating,omitempty"`
	Steps  map[string]string `json:"steps,omitempty"` // as printed
	Standing
}

// Given is one input of an example.
type Given struct {
	Name  string   `json:"name"`
	Value *float64 `json:"value,omitempty"`
	Word  string   `json:"word,omitempty"`
	Unit  string   `json:"unit,omitempty"`
}

// Of describes a book.
func Of(b *rulebook.Book) Document {
	d := Document{
		Version: "culm.rulebook/1", Key: b.Key, Name: b.Name, Region: b.Region, Publisher: b.Publisher, Edition: b.Edition,
		Year: b.Year, About: b.About, Digest: b.Digest, Rules: []Rule{}, Sources: []cite.Source{},
	}
	for _, r := range b.Rules {
		d.Rules = append(d.Rules, RuleOf(r))
	}
	for _, k := range d.keys() {
		if s, ok := b.Source(k); ok {
			d.Sources = append(d.Sources, s)
		}
	}
	return d
}

// keys lists the publications named, each once in order.
func (d Document) keys() []cite.Key {
	var keys []cite.Key
	see := func(k cite.Key) {
		if k != "" && !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	for _, r := range d.Rules {
		see(r.Source)
		for _, s := range r.standings() {
			see(s.Source)
		}
	}
	return keys
}

// standings are those of all the numbers of a rule.
func (r Rule) standings() []Standing {
	all := append(r.ownStandings(), r.rowStandings()...)
	for _, in := range r.Inputs {
		if in.Default != nil {
			all = append(all, in.Default.Standing)
		}
		if in.Soil != nil {
			for _, c := range in.Soil.Converts {
				all = append(all, c.Standing)
			}
		}
	}
	for _, e := range r.Examples {
		all = append(all, e.Standing)
	}
	return all
}

// rowStandings are those of the rows of tables by words.
func (r Rule) rowStandings() []Standing {
	var all []Standing
	for _, t := range r.Tables {
		for _, w := range t.Words {
			all = append(all, w.Standing)
		}
		if t.Other != nil {
			all = append(all, t.Other.Standing)
		}
	}
	return all
}

// ownStandings are those of the numbers that always count.
func (r Rule) ownStandings() []Standing {
	var all []Standing
	for _, b := range []*Bound{r.Floor, r.Cap} {
		if b != nil {
			all = append(all, b.Standing)
		}
	}
	for _, c := range r.Constants {
		all = append(all, c.Standing)
	}
	for _, t := range r.Tables {
		all = append(all, t.Standing)
	}
	for _, c := range r.Classes {
		all = append(all, c.Standing)
	}
	return all
}

// weakest picks the status that carries least.
func weakest(form cite.Status, all []Standing) cite.Status {
	order := []cite.Status{cite.Confirmed, cite.Quoted, cite.Derived, cite.FromMemory, cite.CommonPractice}
	at := slices.Index(order, form)
	for _, s := range all {
		at = max(at, slices.Index(order, s.Status))
	}
	if at < 0 {
		return ""
	}
	return order[at]
}
