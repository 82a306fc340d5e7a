package schema_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestTheShippedBooksAreValid checks every book that comes with Culm against the schema of books.
func TestTheShippedBooksAreValid(t *testing.T) {
	names, err := filepath.Glob(filepath.FromSlash("../agronomy/guidance/books/*.yaml"))
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
