package rulebook

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook/formula"
	"culm/agronomy/rulebook/quantity"
	"culm/season"
)

// bookReader reads one book.
type bookReader struct {
	*reader
	book *Book
}

// read turns a document into a book. Expressions are read but mean nothing yet.
func (r *reader) read(text []byte, root *yaml.Node) *Book {
	sum := sha256.Sum256(text)
	b := &bookReader{reader: r, book: &Book{File: r.file, found: map[cite.Key]cite.Source{}, Text: string(text), Digest: hex.EncodeToString(sum[:])}}
	m := r.mapping(root, "", "key", "name", "region", "publisher", "edition", "year", "about", "sources", "rules")
	b.book.Key = b.key(m, "key")
	b.book.Name, b.book.Region, b.book.Publisher = m.needed("name"), m.needed("region"), m.needed("publisher")
	b.book.Edition, b.book.About = m.needed("edition"), m.text("about")
	if year, ok := m.number("year"); ok {
		if b.book.Year = int(year); float64(b.book.Year) != year || year < 1850 || year > 2200 {
			m.fail("year", "found %s, expected a year such as 2016", plain(year))
		}
	}
	b.sources(m.under("sources", maxParts))
	rules := m.list("rules", maxRules)
	if len(rules) == 0 {
		m.fail("rules", "must hold at least one rule")
	}
	for _, n := range rules {
		b.rule(n)
	}
	return b.book
}

const keyLetters = "abcdefghijklmnopqrstuvwxyz0123456789-"

func (b *bookReader) key(m mapping, key string) string {
	s := m.needed(key)
	if strings.Trim(s, keyLetters) != "" || len(s) > 60 {
		m.fail(key, "found %q, expected small letters, digits and hyphens", s)
	}
	return s
}

func (b *bookReader) sources(m mapping) {
	for _, k := range m.keys {
		s := b.mapping(m.values[k.Value], join(m.path, k.Value), "text", "where", "status")
		b.book.Sources = append(b.book.Sources, cite.Source{
			Key: cite.Key(k.Value), Text: s.needed("text"), Where: s.text("where"), Status: b.status(s, true),
		})
	}
}

// status reads the status of a number.
func (b *bookReader) status(m mapping, isNeeded bool) cite.Status {
	s := m.oneOf("status", statusWords()...)
	if s == "" && isNeeded && !m.has("status") {
		m.fail("", "needs a status: one of %s", strings.Join(statusWords(), "; "))
	}
	return cite.Status(s)
}

func statusWords() []string {
	return []string{string(cite.Confirmed), string(cite.Quoted), string(cite.Derived), string(cite.FromMemory), string(cite.CommonPractice)}
}

// source reads the name of a publication.
func (b *bookReader) source(m mapping, key string) cite.Key {
	k := cite.Key(m.text(key))
	if k == "" {
		return ""
	}
	s, ok := b.book.Source(k)
	if !ok {
		m.fail(key, "%q is no publication under sources, nor in Culm's catalogue", k)
		return k
	}
	b.book.found[k] = s
	return k
}

// standing reads where a number comes from. What it leaves out is taken from another standing.
func (b *bookReader) standing(m mapping, or Standing, needsStatus bool) Standing {
	s := Standing{Status: b.status(m, needsStatus && or.Status == ""), Source: b.source(m, "source"), Where: m.text("where"), Note: m.text("note")}
	if s.Status == "" {
		s.Status = or.Status
	}
	if s.Source == "" {
		s.Source = or.Source
		if s.Where == "" {
			s.Where = or.Where
		}
	}
	return s
}

func (b *bookReader) rule(n *yaml.Node) {
	m := b.mapping(n, "rules", "key", "name", "answers", "family", "crops", "refuses", "fittedOn", "source", "where", "status", "unit", "notes",
		"inputs", "constants", "tables", "classes", "steps", "terms", "answer", "rating", "floor", "cap", "round", "silent", "remarks", "claims", "examples")
	if m.values["key"] != nil {
		m.path = "rules." + m.text("key")
	}
	r := &Rule{
		Book: b.book, Line: n.Line, Key: b.key(m, "key"), Name: m.needed("name"),
		Answers: Answer(m.needed("answers")), Family: m.oneOf("family", families()...),
		FittedOn: m.text("fittedOn"), Source: b.source(m, "source"), Where: m.text("where"),
		Unit: b.unit(m, "unit"), Notes: m.texts("notes", maxParts),
	}
	if r.Source == "" && !m.has("source") {
		m.fail("source", "must name a publication under sources, or in Culm's catalogue")
	}
	if _, twice := b.book.Rule(r.Key); twice {
		m.fail("key", "there are two rules %q", r.Key)
	}
	if r.Answers != "" && !slices.Contains(answerWords(), string(r.Answers)) {
		m.fail("answers", "found %q; %s", r.Answers, meant(string(r.Answers), answerWords()))
	}
	if (r.Answers == Nitrogen) != (r.Family != "") && !m.has("family") == (r.Answers == Nitrogen) {
		m.fail("family", "nitrogen rules need a family, and only they: one of %s", strings.Join(families(), ", "))
	}
	r.Form = b.standing(m, Standing{Source: r.Source, Where: r.Where}, false)
	b.book.Rules = append(b.book.Rules, r)
	b.crops(m, r)
	b.inputs(m, r)
	b.constants(m, r)
	b.tables(m, r)
	b.classes(m, r)
	b.sum(m, r)
	b.bounds(m, r)
	r.Silent, r.Remarks = b.remarks(m, "silent"), b.remarks(m, "remarks")
	b.claims(m, r)
	b.examples(m, r)
	b.names(m, r)
}

func families() []string {
	return []string{FamilyBalance, FamilyCanolaTable, FamilyPriceTable, FamilyRamp, FamilyInSeason, FamilyGreenArea}
}

func answerWords() []string {
	var all []string
	for _, a := range []Answer{Nitrogen, Phosphate, Potash, Sulfur, Chloride, Zinc, Copper, Boron, Iron, Manganese, Lime, LimeEffect, LimeTarget, DepthOfLime, LimeMost, BuildUp, Removal, Uptake, Forage, Index} {
		all = append(all, string(a))
	}
	return all
}

func (b *bookReader) unit(m mapping, key string) quantity.Unit {
	text := m.needed(key)
	if text == "" {
		return quantity.Unit{}
	}
	u, err := quantity.Parse(text)
	if err != nil {
		m.fail(key, "%s", err)
	}
	return u
}

func cropWords() []string {
	return []string{string(season.WheatGrain), string(season.WheatGrazed), string(season.WheatGrazeOut), string(season.Canola)}
}

func (b *bookReader) crops(m mapping, r *Rule) {
	for _, c := range m.texts("crops", len(cropWords())) {
		if !slices.Contains(cropWords(), c) {
			m.fail("crops", "%q is not a crop; known are %s", c, strings.Join(cropWords(), ", "))
		}
		r.Crops = append(r.Crops, season.Crop(c))
	}
	refuses := m.under("refuses", len(cropWords()), cropWords()...)
	for _, k := range refuses.keys {
		if r.Refuses == nil {
			r.Refuses = map[season.Crop]string{}
		}
		c := season.Crop(k.Value)
		if r.Refuses[c] = refuses.needed(k.Value); r.For(c) {
			refuses.fail(k.Value, "the rule is for this crop and cannot refuse it")
		}
	}
}

// expression reads an expression that must be there.
func (b *bookReader) expression(m mapping, key string) written {
	w := written{line: m.at(key), field: join(m.path, key)}
	text := m.needed(key)
	if text == "" {
		return w
	}
	e, err := formula.Parse(text)
	if err != nil {
		b.wrong(w, err)
		return w
	}
	w.is = e
	return w
}

// wrong notes the problems of an expression at its line.
func (r *reader) wrong(w written, err error) {
	all, ok := err.(formula.Problems)
	if !ok {
		r.fail(w.line, w.field, "%s", err)
		return
	}
	for _, p := range all {
		r.fail(w.line, w.field, "column %d: %s", p.Column, p.Text)
	}
}

// sum reads the answer: terms or one expression, with the steps on the way.
func (b *bookReader) sum(m mapping, r *Rule) {
	for _, n := range m.list("steps", maxParts) {
		s := b.mapping(n, join(m.path, "steps"), "key", "is", "label")
		step := Step{Key: s.needed("key"), Label: s.text("label"), Line: n.Line, written: b.expression(s, "is")}
		if step.Label == "" {
			step.Label = spaced(step.Key)
		}
		r.Steps = append(r.Steps, step)
	}
	for _, n := range m.list("terms", maxParts) {
		t := b.mapping(n, join(m.path, "terms"), "is", "for", "label")
		term := Term{For: What(t.needed("for")), Label: t.text("label"), Line: n.Line, written: b.expression(t, "is")}
		if term.For != "" && !isTerm(term.For) && !slices.ContainsFunc(r.Inputs, func(in Input) bool { return in.Name == term.For }) {
			t.fail("for", "found %q; %s", term.For, meant(string(term.For), termWords()))
		}
		if term.Label == "" {
			term.Label = termLabel(term.For)
		}
		r.Terms = append(r.Terms, term)
	}
	switch {
	case m.has("answer") == m.has("terms"):
		m.fail("", "needs either terms, whose sum is the answer, or an answer, one expression")
	case m.has("answer"):
		r.written = b.expression(m, "answer")
	}
}

func (b *bookReader) bounds(m mapping, r *Rule) {
	r.Floor, r.Cap = b.bound(m, "floor", r), b.bound(m, "cap", r)
	if r.Floor != nil && r.Cap != nil && r.Cap.Value < r.Floor.Value {
		m.fail("cap", "lies below the floor")
	}
	if !m.has("round") {
		return
	}
	round := m.under("round", maxParts, "to", "how")
	r.Round = &Rounding{To: round.neededNumber("to"), How: round.oneOf("how", "nearest", "up", "down")}
	if r.Round.How == "" {
		r.Round.How = "nearest"
	}
	if round.has("to") && !(r.Round.To > 0) {
		round.fail("to", "must be above 0, such as 5 for full fives")
	}
}

func (b *bookReader) bound(m mapping, key string, r *Rule) *Bound {
	if !m.has(key) {
		return nil
	}
	if n := m.values[key]; n.Kind == yaml.ScalarNode {
		v, _ := m.number(key)
		return &Bound{Value: v, Standing: Standing{Source: r.Source}}
	}
	inner := m.under(key, maxParts, "value", "why", "status", "source", "where", "note")
	return &Bound{Value: inner.neededNumber("value"), Why: inner.text("why"), Standing: b.standing(inner, r.Form, true)}
}

func (b *bookReader) remarks(m mapping, key string) []Remark {
	var all []Remark
	for _, n := range m.list(key, maxParts) {
		keys := []string{"when", "say"}
		if key == "remarks" {
			keys = append(keys, "status", "source", "where", "note")
		}
		s := b.mapping(n, join(m.path, key), keys...)
		own := Remark{Say: s.needed("say"), Line: n.Line, written: b.expression(s, "when")}
		if s.has("status") {
			own.Standing = b.standing(s, Standing{}, true)
		}
		all = append(all, own)
	}
	return all
}

// names refuses two things of one name, and names that an expression cannot use.
func (b *bookReader) names(m mapping, r *Rule) {
	seen := map[string]string{}
	note := func(name, what string, line int) {
		field := join(m.path, what)
		switch {
		case name == "":
		case !isName(name):
			b.fail(line, field, "found %q, expected a name of letters and digits that begins with a letter, such as perBushel", name)
		case formula.Reserved(name), slices.Contains([]string{"answer", "if", "else"}, name):
			b.fail(line, field, "the name %q has a meaning of its own in expressions; choose another", name)
		case seen[name] != "":
			b.fail(line, field, "the name %q is taken already under %s", name, seen[name])
		}
		seen[name] = what
	}
	for _, in := range r.Inputs {
		note(string(in.Name), "inputs", in.Line)
	}
	for _, c := range r.Constants {
		note(c.Name, "constants", c.Line)
	}
	for _, t := range r.Tables {
		note(t.Name, "tables", t.Line)
	}
	for _, s := range r.Steps {
		note(s.Key, "steps", s.Line)
	}
}

func isName(s string) bool {
	for i, c := range s {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || c < '0' || c > '9') {
			return false
		}
	}
	return s != "" && len(s) <= 60
}

// spaced turns a name into words: cropHolds into "crop holds".
func spaced(name string) string {
	var s strings.Builder
	for i, c := range name {
		if i > 0 && c >= 'A' && c <= 'Z' {
			s.WriteByte(' ')
			c += 'a' - 'A'
		}
		s.WriteRune(c)
	}
	return s.String()
}
