package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"culm/server/bookpage"
)

// rulebookCommand groups what is done with books of regional guidance.
type rulebookCommand struct {
	List    rulebookListCommand    `cmd:"" help:"List the books that come with Culm or with a season, with what each of their rules answers."`
	Show    rulebookShowCommand    `cmd:"" help:"Show a book: formulas, tables, limits, worked examples and sources."`
	Check   rulebookCheckCommand   `cmd:"" help:"Check books: reading, units, ranges, answers, what they claim of themselves, worked examples."`
	Apply   rulebookApplyCommand   `cmd:"" help:"Work out one rule from values given by hand."`
	Compare rulebookCompareCommand `cmd:"" help:"Lay two rules side by side for one field, and say which term makes the difference."`

	Critical criticalCommand `cmd:"" help:"Find the critical level of a soil test from trials of one's own, by Cate and Nelson."`
}

type rulebookListCommand struct {
	Season string `help:"List a season folder's own books too." placeholder:"FOLDER"`
	JSON   bool   `name:"json" help:"Print the list as JSON."`
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
	books, err := library(d, c.Season)
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
