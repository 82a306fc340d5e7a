package bookpage_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
	"culm/server/bookpage"

	"golang.org/x/net/html"
)

func shipped(t testing.TB) []*rulebook.Book {
	t.Helper()
	books, err := rulebook.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return books
}

func book(t testing.TB, key string) *rulebook.Book {
	t.Helper()
	for _, b := range shipped(t) {
		if b.Key == key {
			return b
		}
	}
	t.Fatalf("no book %s", key)
	return nil
}

// A number stands with its unit the way people write it.
func ExampleWithUnit() {
	fmt.Println(bookpage.WithUnit(40, "lb N/ac"))
	fmt.Println(bookpage.WithUnit(5.5, "$/bu"))
	fmt.Println(bookpage.WithUnit(-0.25, "1"))
	// Output:
	// 40 lb N/ac
	// $5.50/bu
	// −0.25
}

// Nebraska's table as printed for 4 ppm of nitrate: wheat at $5.50 and nitrogen at 50 cents give 60 lb.
func TestTableAsPrinted(t *testing.T) {
	r, _ := book(t, "nebraska-ec143").Rule("nitrogen")
	grids := bookpage.RuleOf(r).Tables[0].Grids()
	if len(grids) != 6 {
		t.Fatalf("%d tables, want one for each nitrate test printed", len(grids))
	}
	four := grids[1]
	if four.Caption != "mean nitrate in the soil, 0–36 in 4 ppm N" && !strings.HasSuffix(four.Caption, " 4 ppm N") {
		t.Errorf("headed %q", four.Caption)
	}
	if row := four.Rows[2]; row.Label != "5.5" || strings.Join(row.Cells, " ") != "95 60 30" {
		t.Errorf("row %q: %v, printed is 5.50: 95 60 30", row.Label, row.Cells)
	}
	last := grids[5].Rows[3].Cells
	if last[2] != "?" {
		t.Errorf("the cell that could not be read shows as %q", last[2])
	}
	if reading := bookpage.RuleOf(r).Tables[0].Reading(); !strings.Contains(reading, "could not be read in the source") {
		t.Errorf("nothing is said of it: %s", reading)
	}
}

// The standing of every number is on the page, and the weak ones are marked.
func TestStandingShows(t *testing.T) {
	for _, b := range shipped(t) {
		page, err := bookpage.Standalone(b)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range bookpage.Of(b).Rules {
			for _, c := range r.Constants {
				want := `class="status">` + string(c.Status)
				if c.Status == cite.FromMemory || c.Status == cite.CommonPractice {
					want = `class="status weak">` + string(c.Status)
				}
				if !strings.Contains(string(page), want) {
					t.Errorf("%s: %s is %q, and the page does not say so", r.ID, c.Name, c.Status)
				}
			}
		}
	}
}

// Every page is whole HTML, asks nothing of a network and leads nowhere that is not on it.
func TestPagesStandAlone(t *testing.T) {
	for _, b := range shipped(t) {
		page, err := bookpage.Standalone(b)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := html.Parse(strings.NewReader(string(page)))
		if err != nil {
			t.Fatal(err)
		}
		ids, targets := map[string]bool{}, []string{}
		for n := range doc.Descendants() {
			for _, a := range n.Attr {
				switch a.Key {
				case "id":
					if ids[a.Val] {
						t.Errorf("%s: two parts are called %s", b.Key, a.Val)
					}
					ids[a.Val] = true
				case "href", "src":
					targets = append(targets, a.Val)
				}
			}
		}
		for _, target := range targets {
			if !strings.HasPrefix(target, "#") || !ids[target[1:]] {
				t.Errorf("%s: a link leads to %s", b.Key, target)
			}
		}
	}
}

// The document is JSON with a version; a cell that could not be read is null and never 0.
func TestDocument(t *testing.T) {
	text, err := json.Marshal(bookpage.Of(book(t, "nebraska-ec143")))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"version":"culm.rulebook/1"`, `,null]`, `"confirmed in the source"`, `"unit":"lb N/ac"`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the document lacks %s", want)
		}
	}
}
