package rulebook_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"culm/agronomy/rulebook"

	"github.com/google/go-cmp/cmp"
)

// documented gives docs/rulebooks.md, and the whole books shown in it by name: the blocks that begin with
// ```yaml name.yaml.
func documented(t *testing.T) (page string, books map[string]string) {
	t.Helper()
	text, err := os.ReadFile(filepath.FromSlash("../../docs/rulebooks.md"))
	if err != nil {
		t.Fatal(err)
	}
	page, books = string(text), map[string]string{}
	for _, block := range strings.Split(page, "\n```")[1:] {
		head, book, _ := strings.Cut(block, "\n")
		if name, named := strings.CutPrefix(head, "yaml "); named {
			books[name] = book + "\n"
		}
	}
	return page, books
}

// TestDocumentedBooksStand checks the books of the documentation as a new user would.
func TestDocumentedBooksStand(t *testing.T) {
	_, books := documented(t)
	if len(books) < 2 {
		t.Fatalf("docs/rulebooks.md shows %d books, want at least 2", len(books))
	}
	for name, text := range books {
		report := rulebook.Check(name, []byte(text))
		for _, p := range report.Problems() {
			t.Error(p)
		}
		if !report.OK() {
			t.Errorf("%s does not stand", name)
		}
	}
}

// A row of the table of messages: what is written for what, and what the check then says.
var messageRow = regexp.MustCompile("(?m)^\\| (?:`(.+)` for `(.+)`|no `(.+)`) \\| `(.+)` \\|")

// TestDocumentedMessages breaks the first book of the documentation in every way that its table shows, and looks
// for the message shown. An ellipsis stands for what a row leaves out.
func TestDocumentedMessages(t *testing.T) {
	page, books := documented(t)
	const name = "linden-flats.yaml"
	rows := messageRow.FindAllStringSubmatch(page, -1)
	if len(rows) < 15 {
		t.Fatalf("read %d rows of messages, want at least 15", len(rows))
	}
	for _, row := range rows {
		written, instead, message := row[1], row[2]+row[3], row[4]
		if !strings.Contains(books[name], instead) {
			t.Errorf("the book has no %q to break", instead)
			continue
		}
		report := rulebook.Check(name, []byte(strings.Replace(books[name], instead, written, 1)))
		said := false
		for _, p := range report.Problems() {
			said = said || says(p.Error(), message)
		}
		if !said {
			t.Errorf("%q for %q: the page promises\n\t%s\nthe check says\n\t%v", written, instead, message, report.Problems())
		}
	}
}

// says compares a message with one in which ellipses stand for any text.
func says(message, shown string) bool {
	parts := strings.Split(shown, "…")
	rest, ok := strings.CutPrefix(message, parts[0])
	for _, part := range parts[1:] {
		if !ok {
			return false
		}
		_, rest, ok = strings.Cut(rest, part)
	}
	return ok && (rest == "" || parts[len(parts)-1] == "")
}

// TestDocumentedWords compares the inputs and the kinds of answer that the documentation lists with those that the
// check lists when it finds none of them.
func TestDocumentedWords(t *testing.T) {
	page, books := documented(t)
	first := books["linden-flats.yaml"]
	known := func(old, wrong, before string) []string {
		_, err := rulebook.Parse("linden-flats.yaml", []byte(strings.Replace(first, old, wrong, 1)))
		if err == nil {
			t.Fatalf("%q passes", wrong)
		}
		_, list, _ := strings.Cut(err.Error(), before)
		list, _, _ = strings.Cut(list, "\n")
		list, _, _ = strings.Cut(list, ", or ask for it by hand")
		return strings.Split(list, ", ")
	}
	_, listed, _ := strings.Cut(page, "Known are:\n\n")
	listed, _, _ = strings.Cut(listed, ".\n\n")
	inputs := strings.FieldsFunc(listed, func(r rune) bool { return r == ',' || r == ' ' || r == '\n' })
	if diff := cmp.Diff(known("yieldGoal: {unit", "qqqqqqqqqqqq: {unit", "known are "), inputs); diff != "" {
		t.Errorf("inputs: the check knows (-), docs/rulebooks.md lists (+):\n%s", diff)
	}
	_, row, _ := strings.Cut(page, "| `answers` | ")
	row, _, _ = strings.Cut(row, "\n")
	for _, answer := range known("answers: nitrogen", "answers: qqqqqqqqqqqq", "known are ") {
		if !regexp.MustCompile(`\b` + answer + `\b`).MatchString(row) {
			t.Errorf("docs/rulebooks.md does not say what answers: %s is", answer)
		}
	}
}
