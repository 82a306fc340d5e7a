package page_test

import (
	"strings"
	"testing"

	"culm/advice"
	"culm/demo"
	"culm/season"
	"culm/server/page"

	"golang.org/x/net/html"
)

func plans(t *testing.T) ([]advice.Plan, *season.Season) {
	t.Helper()
	s := season.Assemble(demo.Season(demo.Cast, 1))
	advisor, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	var all []advice.Plan
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		all = append(all, advisor.Advise(fs))
	}
	return all, s
}

// texts reads a page back: what it says, without tags, and the addresses it names.
func texts(t *testing.T, text []byte) (said string, addresses []string) {
	t.Helper()
	var b strings.Builder
	z := html.NewTokenizer(strings.NewReader(string(text)))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return b.String(), addresses
		case html.TextToken:
			b.WriteString(html.UnescapeString(string(z.Text())))
		case html.StartTagToken, html.SelfClosingTagToken:
			for _, a := range z.Token().Attr {
				if a.Key == "href" || a.Key == "src" {
					addresses = append(addresses, a.Val)
				}
			}
		}
	}
}

func TestThePageSaysWhatTheHandoutSays(t *testing.T) {
	all, s := plans(t)
	for i := range all {
		p := &all[i]
		text, err := page.Standalone(p, s.Boundaries[p.Field.ID])
		if err != nil {
			t.Fatal(err)
		}
		said, addresses := texts(t, text)
		if len(addresses) > 0 {
			t.Errorf("%s: a page on its own needs %q", p.Field.ID, addresses)
		}
		h := advice.HandoutOf(p, p.Units)
		want := append([]string{h.Sentence, h.Producer, h.Field, h.Day, h.Closing, "What was really spread", "Invented for demonstration"}, h.Reasons...)
		want = append(append(append(append(append(append(want, h.Ground...), h.Seen...), h.Assumed...), h.Missing...), h.Cautions...), h.Sources...)
		for _, l := range append(h.Do, h.Ways...) {
			want = append(want, l.Label, l.Value)
		}
		for _, d := range h.Days {
			want = append(want, d.Words)
		}
		for _, w := range want {
			if !strings.Contains(said, w) {
				t.Errorf("%s: the page does not say %q", p.Field.ID, w)
			}
		}
	}
}

func TestHostileNamesStayText(t *testing.T) {
	all, _ := plans(t)
	p := all[0]
	p.Field.Name, p.Producer.Name = `</style><script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`
	text, err := page.Standalone(&p, nil)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(text), "<script>") || strings.Contains(string(text), "<img") {
		t.Error("a name became part of the page")
	}
}

func TestTheSamePlanGivesTheSamePage(t *testing.T) {
	all, s := plans(t)
	first, err := page.Standalone(&all[0], s.Boundaries[all[0].Field.ID])
	if err != nil {
		t.Fatal(err)
	}
	again, _ := page.Standalone(&all[0], s.Boundaries[all[0].Field.ID])
	if string(first) != string(again) {
		t.Error("two pages of one plan differ")
	}
}
