package schema_test

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/rulebook"
	"culm/schema"

	"github.com/google/go-cmp/cmp"
)

// TestTheShippedBooksAreValid checks every book that comes with Culm against the schema of books.
func TestTheShippedBooksAreValid(t *testing.T) {
	names, err := filepath.Glob(filepath.FromSlash("../agronomy/rulebook/books/*.yaml"))
	if err != nil || len(names) < 20 {
		t.Fatal(names, err)
	}
	books := compile(t, "rulebook.schema.json")
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := books.Validate(parseYAML(t, string(text))); err != nil {
			t.Errorf("%s: %v", filepath.Base(name), err)
		}
	}
}

// Every whole book shown in docs/rulebooks.md is valid too: the blocks whose first line is ```yaml name.yaml.
func TestTheDocumentedBooksAreValid(t *testing.T) {
	text, err := os.ReadFile(filepath.FromSlash("../docs/rulebooks.md"))
	if err != nil {
		t.Fatal(err)
	}
	books := compile(t, "rulebook.schema.json")
	seen := 0
	for _, block := range strings.Split(string(text), "\n```")[1:] {
		head, book, _ := strings.Cut(block, "\n")
		if name, named := strings.CutPrefix(head, "yaml "); named {
			seen++
			if err := books.Validate(parseYAML(t, book)); err != nil {
				t.Errorf("%s in docs/rulebooks.md: %v", name, err)
			}
		}
	}
	if seen == 0 {
		t.Error("docs/rulebooks.md shows no whole book")
	}
}

func TestTheSchemaOfBooksRefuses(t *testing.T) {
	const head = "key: a\nname: A\nregion: R\npublisher: P\nedition: E\nrules:\n  - {key: b, name: B, answers: sulfur, source: s, unit: lb S/ac, "
	const tail = "examples: [{name: e, given: {}, answer: 1, status: from memory}]}\n"
	books := compile(t, "rulebook.schema.json")
	if err := books.Validate(parseYAML(t, head+"answer: 1, "+tail)); err != nil {
		t.Fatalf("the plainest book: %v", err)
	}
	for _, c := range []struct{ name, text string }{
		{"no rules", "key: a\nname: A\nregion: R\npublisher: P\nedition: E\n"},
		{"a key with a space", strings.Replace(head, "key: a", "key: a b", 1) + "answer: 1, " + tail},
		{"neither terms nor an answer", head + tail},
		{"both terms and an answer", head + "answer: 1, terms: [{is: 1, for: constant}], " + tail},
		{"a nitrogen rule of no family", strings.Replace(head, "answers: sulfur", "answers: nitrogen", 1) + "answer: 1, " + tail},
		{"no worked example", head + "answer: 1}"},
		{"an unknown key", head + "answer: 1, clams: [], " + tail},
		{"a number without a range", head + "answer: x, inputs: {x: {unit: lb S/ac}}, " + tail},
		{"a constant without a status", head + "answer: x, constants: {x: {value: 1, unit: lb S/ac}}, " + tail},
		{"a status of one's own", head + "answer: x, constants: {x: {value: 1, unit: lb S/ac, status: sure}}, " + tail},
		{"a default without a reason", head + "answer: x, inputs: {x: {unit: lb S/ac, range: [0, 9], default: {is: 1, status: from memory}}}, " + tail},
	} {
		if books.Validate(parseYAML(t, c.text)) == nil {
			t.Errorf("%s: the schema lets it pass", c.name)
		}
	}
}

// everyPlace is a book with a mark in each kind of place that has keys.
const everyPlace = `key: a
name: A
region: R
publisher: P
edition: E
@book@
sources: {s: {text: T, status: from memory, @source@ }}
rules:
  - key: b
    name: B
    answers: sulfur
    source: s
    unit: lb S/ac
    @rule@
    inputs:
      sulfate:
        unit: ppm S
        depth: 6 in
        range: [0, 9]
        usual: {low: 1, high: 2, note: N, @usual@ }
        default: {is: 1, why: W, status: from memory, @default@ }
        converts: [{from: water, factor: 1, status: from memory, @conversion@ }]
        @input@
      texture: {words: true}
    constants: {c: {value: 1, unit: lb S/ac, status: from memory, @constant@ }}
    tables:
      t: {unit: lb S/ac, by: texture, words: {clay: {value: 1, @wordValue@ }}, other: {value: 1, why: W, @other@ }, status: from memory, @table@ }
      u: {unit: lb S/ac, axes: [{name: sulfate, unit: ppm S, at: [1, 2], @axis@ }], between: nearest, beyond: hold, rows: [1, 2], status: from memory}
    classes: {k: {by: sulfate, of: [{below: 1, word: low}, {word: high}], status: from memory, @classes@ }}
    steps: [{key: x, is: c, @step@ }]
    terms: [{is: x, for: constant, @term@ }]
    cap: {value: 9, @bound@ }
    round: {to: 1, how: up, @rounding@ }
    silent: [{when: sulfate > sulfate, say: S, @silence@ }]
    remarks: [{when: sulfate > sulfate, say: S, @remark@ }]
    claims: [{when: sulfate rises, answer: never rises, @claim@ }]
    examples: [{name: N, given: {sulfate: 1}, answer: 1, within: {of: 1, because: B, @within@ }, status: from memory, @example@ }]
`

var mark = regexp.MustCompile("@([a-zA-Z]*)@")

// TestSchemaAndProgramKnowTheSameKeys puts an unknown key in each place of a book and compares the keys that the
// program's message lists with those of the schema.
func TestSchemaAndProgramKnowTheSameKeys(t *testing.T) {
	inside := map[string]func(defs map[string]any) any{
		"usual":    func(d map[string]any) any { return at(d, "input", "properties", "usual") },
		"within":   func(d map[string]any) any { return at(d, "example", "properties", "within") },
		"rounding": func(d map[string]any) any { return at(d, "rule", "properties", "round") },
		"bound":    func(d map[string]any) any { return at(d, "bound", "anyOf").([]any)[1] },
		"wordValue": func(d map[string]any) any {
			return at(d, "wordValue", "anyOf").([]any)[1]
		},
	}
	f, err := schema.Files().Open("rulebook.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var document map[string]any
	if err := json.NewDecoder(f).Decode(&document); err != nil {
		t.Fatal(err)
	}
	defs := document["$defs"].(map[string]any)
	for _, m := range mark.FindAllStringSubmatch(everyPlace, -1) {
		place := m[1]
		text := mark.ReplaceAllStringFunc(strings.Replace(everyPlace, m[0], "qqqqqqqq: 1", 1), func(string) string { return "" })
		_, err := rulebook.Parse("a.yaml", []byte(text))
		if err == nil {
			t.Errorf("%s: a key that is not known passes", place)
			continue
		}
		_, list, said := strings.Cut(err.Error(), `the key "qqqqqqqq" is not known here; known are `)
		if !said {
			t.Errorf("%s: %v", place, err)
			continue
		}
		list, _, _ = strings.Cut(list, "\n")
		var of any = document
		if place != "book" {
			of = defs[place]
		}
		if find := inside[place]; find != nil {
			of = find(defs)
		}
		keys := slices.Sorted(maps.Keys(at(of, "properties").(map[string]any)))
		known := strings.Split(list, ", ")
		slices.Sort(known)
		if diff := cmp.Diff(known, keys); diff != "" {
			t.Errorf("%s: the program knows (-), the schema (+):\n%s", place, diff)
		}
	}
}

// at goes down a document by keys.
func at(in any, keys ...string) any {
	for _, k := range keys {
		in = in.(map[string]any)[k]
	}
	return in
}
