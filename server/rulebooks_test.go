package server_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/rulebook"
	"culm/demo"
	"culm/season"
)

func shippedBooks(t testing.TB) []*rulebook.Book {
	t.Helper()
	books, err := rulebook.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return books
}

func TestEveryBookHasAPage(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	shelf := s.get("/rulebooks")
	checkPage(t, "/rulebooks", shelf, http.StatusOK)
	for _, b := range shippedBooks(t) {
		path := "/rulebooks/" + b.Key
		checkPage(t, path, s.get(path), http.StatusOK)
		if !strings.Contains(shelf.text, `href="`+path+`"`) {
			t.Errorf("the shelf does not lead to %s", path)
		}
	}
}

// Each rate and each nutrient answer of a field leads to a rule that is on its book's page.
func TestAnswersLeadToTheirRules(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	pages := map[string]map[string]bool{}
	for _, f := range season.Assemble(demo.Season(demo.Cast, 1)).Fields {
		leads, page := 0, s.get("/fields/"+f.ID).text
		if strings.Contains(page, "the decision follows it") && !strings.Contains(page, "The rule in its book") {
			t.Errorf("%s: the working of the rate does not lead to its rule", f.ID)
		}
		for _, e := range elements(page) {
			href, err := url.Parse(e.attrs["href"])
			if e.attrs["class"] != "rule-name" {
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			leads++
			if pages[href.Path] == nil {
				pages[href.Path] = ids(t, href.Path, elements(s.get(href.Path).text))
			}
			if !pages[href.Path][href.Fragment] {
				t.Errorf("%s leads to %s, where there is no such rule", f.ID, href)
			}
		}
		if leads == 0 {
			t.Errorf("%s: no answer leads to its book", f.ID)
		}
	}
}

func TestTwoRulesSideBySide(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	for _, row := range []struct{ name, query, says string }{
		{"nothing chosen yet", "", "Still to choose: a rule, another to lay beside it and a field to ask both for."},
		{"one rule chosen", "a=kansas-2003", "Still to choose: another to lay beside it and a field to ask both for."},
		{"two sums", "a=kansas-2003&b=minnesota&field=mill-quarter", "by Mass balance, Minnesota than by Mass balance, Kansas 2003 form, for Mill Quarter"},
		{"a rule beside itself", "a=minnesota&b=minnesota&field=mill-quarter", "Both say the same for Mill Quarter"},
		{"a sum and a table", "a=kansas-2003/lime&b=oregon-em9585&field=red-gate-eighty", "What goes in"},
		{"nitrogen and lime", "a=minnesota&b=oregon-em9585/lime&field=red-gate-eighty", "These two cannot be set against each other for Red Gate Eighty"},
		{"a field without a soil test", "a=minnesota&b=kansas-2003&field=east-of-the-barn", "East of the Barn"},
	} {
		path := "/rulebooks/compare?" + row.query
		a := s.get(path)
		checkPage(t, path, a, http.StatusOK)
		if !strings.Contains(words(a.text), row.says) {
			t.Errorf("%s: the page does not say %q", row.name, row.says)
		}
	}
}

// Every rule can be laid beside every other that answers the same.
func TestEveryTwoRulesCanBeLaidSideBySide(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	var rules []*rulebook.Rule
	for _, b := range shippedBooks(t) {
		rules = append(rules, b.Rules...)
	}
	for i, a := range rules {
		for _, b := range rules[:i] {
			if a.Answers == b.Answers {
				path := "/rulebooks/compare?" + url.Values{"a": {a.ID()}, "b": {b.ID()}, "field": {"red-gate-eighty"}}.Encode()
				checkPage(t, path, s.get(path), http.StatusOK)
			}
		}
	}
}

func TestRulesThatAreNotThere(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	for _, row := range []struct {
		path   string
		status int
		says   string
	}{
		{"/rulebooks/nowhere", http.StatusNotFound, "The season goes by no such book of guidance."},
		{"/rulebooks/..%2f..%2fetc", http.StatusNotFound, "no such"},
		{"/rulebooks/compare?a=nowhere&b=minnesota&field=mill-quarter", http.StatusBadRequest, `no book of guidance is called "nowhere"`},
		{"/rulebooks/compare?a=minnesota/lime&b=minnesota&field=mill-quarter", http.StatusBadRequest, `has no rule "lime"`},
		{"/rulebooks/compare?a=%3Cscript%3Ealert(1)%3C/script%3E", http.StatusBadRequest, "<script>alert(1)"},
		{"/rulebooks/compare?a=minnesota&b=kansas-2003&field=nowhere", http.StatusNotFound, "The season has no such field."},
	} {
		a := s.get(row.path)
		checkPage(t, row.path, a, row.status)
		if !strings.Contains(words(a.text), row.says) {
			t.Errorf("%s does not say %q", row.path, row.says)
		}
	}
}

// A book of the season's own is told apart from those that come with Culm, and can be laid beside them.
func TestABookOfTheSeasonsOwn(t *testing.T) {
	minnesota := shippedBooks(t)[slices.IndexFunc(shippedBooks(t), func(b *rulebook.Book) bool { return b.Key == "minnesota" })]
	text := strings.NewReplacer("key: minnesota\n", "key: linden\n", "Minnesota wheat", "Linden Flats <b>wheat</b>", "Mass balance, Minnesota", "Mass balance, Linden Flats").Replace(minnesota.Text)
	own, err := rulebook.Parse("linden.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	s := serve(t, demo.Season(demo.Cast, 1), own)
	shelf := s.get("/rulebooks")
	checkPage(t, "/rulebooks", shelf, http.StatusOK)
	said := words(shelf.text)
	if at := strings.Index(said, "Linden Flats <b>wheat</b>"); at < 0 || !strings.HasPrefix(said[at+len("Linden Flats <b>wheat</b>"):], "the season's own") {
		t.Error("the shelf does not say whose the book is")
	}
	if strings.Contains(shelf.text, "<b>wheat") {
		t.Error("a book's name became part of the page")
	}
	checkPage(t, "/rulebooks/linden", s.get("/rulebooks/linden"), http.StatusOK)
	compared := s.get("/rulebooks/compare?a=minnesota&b=linden&field=mill-quarter")
	checkPage(t, "compare", compared, http.StatusOK)
	if !strings.Contains(words(compared.text), "Both say the same for Mill Quarter") {
		t.Error("a copy of a book does not say the same")
	}
	if !strings.Contains(s.get("/fields/mill-quarter").text, `href="/rulebooks/linden#nitrogen"`) {
		t.Error("the field's page does not lead to the book")
	}
}
