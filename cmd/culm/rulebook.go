package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"culm/agronomy/rulebook"
	"culm/server/bookpage"
)

// rulebookCommand groups what is done with books of regional guidance.
type rulebookCommand struct {
	List    rulebookListCommand    `cmd:"" help:"List the books that come with Culm, with what each of their rules answers."`
	Show    rulebookShowCommand    `cmd:"" help:"Show a book: formulas, tables, limits, worked examples and sources."`
	Check   rulebookCheckCommand   `cmd:"" help:"Check books: reading, units, ranges, answers, what they claim of themselves, worked examples."`
	Apply   rulebookApplyCommand   `cmd:"" help:"Work out one rule from values given by hand."`
	Compare rulebookCompareCommand `cmd:"" help:"Lay two rules side by side for one field, and say which term makes the difference."`
}

type rulebookListCommand struct {
	JSON bool `name:"json" help:"Print the list as JSON."`
}

// rulebookList is the JSON of culm rulebook list.
type rulebookList struct {
	Version string       `json:"version"`
	Books   []listedBook `json:"books"`
}

type listedBook struct {
	Key     string       `json:"key"`
	Name    string       `json:"name"`
	Region  string       `json:"region"`
	Edition string       `json:"edition"`
	Year    int          `json:"year,omitempty"`
	Digest  string       `json:"digest"`
	Rules   []listedRule `json:"rules"`
}

type listedRule struct {
	ID      string   `json:"id"`
	Name    string   `json:"name"`
	Answers string   `json:"answers"`
	Unit    string   `json:"unit"`
	Crops   []string `json:"crops"`
	Status  string   `json:"status,omitempty"`
}

// Run lists the books.
func (c *rulebookListCommand) Run(d *door) error {
	books, err := rulebook.Shipped()
	if err != nil {
		return err
	}
	list := rulebookList{Version: "culm.rulebook-list/1", Books: []listedBook{}}
	for _, b := range books {
		list.Books = append(list.Books, listed(bookpage.Of(b)))
	}
	if c.JSON {
		return printJSON(d.out, list)
	}
	t := terminal{w: d.out}
	for _, b := range list.Books {
		t.wrap("", "    ", fmt.Sprintf("%s — %s. %s, %s", b.Key, b.Name, b.Region, b.Edition))
		for _, r := range b.Rules {
			serves := strings.Join(r.Crops, ", ")
			if serves == "" {
				serves = "any crop"
			}
			_, key, _ := strings.Cut(r.ID, "/")
			t.wrap(fmt.Sprintf("    %-20s ", key), strings.Repeat(" ", 25), fmt.Sprintf("%s; %s, for %s [%s]", r.Name, r.Unit, serves, r.Status))
		}
	}
	return nil
}

func listed(b bookpage.Document) listedBook {
	out := listedBook{Key: b.Key, Name: b.Name, Region: b.Region, Edition: b.Edition, Year: b.Year, Digest: b.Digest, Rules: []listedRule{}}
	for _, r := range b.Rules {
		out.Rules = append(out.Rules, listedRule{r.ID, r.Name, r.Answers, r.Unit, r.Crops, string(r.Status)})
	}
	return out
}

func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// isBookFile says that a book is named by its file and not by its key.
func isBookFile(name string) bool {
	ext := strings.ToLower(filepath.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// findBook gives a book that comes with Culm by its key, or reads one from a file. The problems of a book that
// cannot be used are printed and become an error with exit code 3.
func findBook(d *door, name string) (*rulebook.Book, error) {
	if !isBookFile(name) {
		return shippedBook(name)
	}
	text, err := readBookFile(name)
	if err != nil {
		return nil, err
	}
	book, err := rulebook.Parse(name, text)
	if err != nil {
		fmt.Fprintln(d.err, err)
		return nil, failWith(exitBadInput, "%s cannot be used; culm rulebook check %s tells more", name, name)
	}
	return book, nil
}

func shippedBook(key string) (*rulebook.Book, error) {
	books, err := rulebook.Shipped()
	if err != nil {
		return nil, err
	}
	var keys []string
	for _, b := range books {
		if b.Key == key {
			return b, nil
		}
		keys = append(keys, b.Key)
	}
	return nil, failWith(exitBadInput, "no book is called %q; the books are %s. A book of your own is named by its file, %s.yaml", key, strings.Join(keys, ", "), key)
}

// readBookFile reads a file, far beyond the length of a book and no further.
func readBookFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, failWith(exitBadInput, "there is no file %s", path)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, 64*rulebook.MaxText))
}

// findRule gives a rule of a book.
func findRule(b *rulebook.Book, key string) (*rulebook.Rule, error) {
	if r, ok := b.Rule(strings.TrimPrefix(key, b.Key+"/")); ok {
		return r, nil
	}
	return nil, failWith(exitBadInput, "%s has no rule %q; its rules are %s", b.Key, key, strings.Join(ruleKeys(b), ", "))
}

func ruleKeys(b *rulebook.Book) []string {
	var keys []string
	for _, r := range b.Rules {
		keys = append(keys, r.Key)
	}
	return keys
}
