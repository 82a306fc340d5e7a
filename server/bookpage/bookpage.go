package bookpage

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"maps"
	"slices"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"

	"github.com/a-h/templ"
)

// Style is the style sheet of a book's contents: everything in it hangs below the class "rulebook", and its inks
// are those of the page around it.
//
//go:embed bookpage.css
var Style string

// sheet is the rest of the style of a page that stands alone.
//
//go:embed sheet.css
var sheet string

// Links lead from a book's contents to what only a server has.
type Links struct {
	// Compare gives the address where a rule, by its id, is laid beside that of another book; nil for none.
	Compare func(rule string) string
}

// Contents shows a book inside a page that has Style and an element of class "rulebook" around it.
func Contents(b *rulebook.Book, links Links) templ.Component { return contents(Of(b), links) }

// Standalone writes the page of a book as a file that needs nothing else: its style is inside.
func Standalone(b *rulebook.Book) ([]byte, error) {
	var text bytes.Buffer
	if err := document(Of(b)).Render(context.Background(), &text); err != nil {
		return nil, fmt.Errorf("writing the page of %s: %w", b.Key, err)
	}
	return text.Bytes(), nil
}

// isWeak says that a number was not read in its source, which shows wherever it stands.
func isWeak(s cite.Status) bool { return s == cite.FromMemory || s == cite.CommonPractice }

// sourceText finds the publication of a number, where it is not the rule's own.
func (d Document) sourceText(k cite.Key) string {
	for _, s := range d.Sources {
		if s.Key == k {
			return s.Text
		}
	}
	return string(k)
}

// facts are what is printed below the book's name.
func (d Document) facts() []string {
	var all []string
	for _, s := range []string{d.Region, d.Publisher, d.Edition} {
		if s != "" {
			all = append(all, s)
		}
	}
	return all
}

// refusedCrops lists the crops a rule is not for, in order.
func (r Rule) refusedCrops() []string { return slices.Sorted(maps.Keys(r.Refuses)) }
