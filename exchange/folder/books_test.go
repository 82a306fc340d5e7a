package folder_test

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"culm/season"
)

// ownBook is a shipped rulebook under another key.
func ownBook(t *testing.T, key string) string {
	t.Helper()
	text, err := os.ReadFile("../../agronomy/rulebook/books/minnesota.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return strings.Replace(string(text), "key: minnesota", "key: "+key, 1)
}

// A season folder may hold rulebooks of the advisor's own. They are checked like every other file.
func TestOwnRulebooks(t *testing.T) {
	with := func(books map[string]string) fstest.MapFS {
		files := example(t)
		for name, text := range books {
			files["two-fields/rulebooks/"+name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
		}
		return files
	}
	linden := ownBook(t, "linden")
	content, problems := read(with(map[string]string{"linden.yaml": linden, "b.yml": ownBook(t, "flats"), ".hidden.yaml": "-", "note.txt": "a note"}))
	if len(problems) > 0 || len(content.Books) != 2 || content.Books[0].Key != "flats" || content.Books[1].Key != "linden" {
		t.Fatalf("%d books, problems %v", len(content.Books), problems)
	}
	if file := content.Books[1].File; file != "rulebooks/linden.yaml" {
		t.Errorf("the book was read under the name %s", file)
	}
	for _, c := range []struct {
		name  string
		books map[string]string
		want  string
	}{
		{"a unit that does not fit", map[string]string{"a.yaml": strings.Replace(linden, "is: -nitrate,", "is: -yieldGoal,", 1)}, "rulebooks/a.yaml:45 rules.nitrogen.terms.is error: column 1: "},
		{"a key that is not known", map[string]string{"a.yaml": strings.Replace(linden, "region:", "regoin:", 1)}, `rulebooks/a.yaml:4  error: the key "regoin" is not known here; perhaps "region" is meant`},
		{"an example that does not come out", map[string]string{"a.yaml": strings.Replace(linden, "answer: 90", "answer: 91", 1)}, "gives 90 lb N/ac, printed is 91"},
		{"two of one key", map[string]string{"a.yaml": linden, "b.yaml": linden}, "key error: two rulebooks have one key | rulebooks/a.yaml and rulebooks/b.yaml"},
		{"too large", map[string]string{"a.yaml": linden + strings.Repeat("# ", 200<<10)}, "the file is too large to be read"},
		{"no book at all", map[string]string{"a.yaml": "- a list"}, "rulebooks/a.yaml:1  error: expected a book"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, problems := read(with(c.books))
			found := false
			var lines []string
			for _, p := range problems {
				lines = append(lines, line(p))
				found = found || p.Severity == season.Fatal && strings.Contains(line(p), c.want)
			}
			if !found {
				t.Errorf("no error %q among\n%s", c.want, strings.Join(lines, "\n"))
			}
		})
	}
}
