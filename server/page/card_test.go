package page_test

import (
	"strings"
	"testing"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/season"
	"culm/server/page"

	"golang.org/x/net/html"
)

// A card stands by itself: it needs no other file, runs no script, says what the card says, and its figures open to
// their working.
func TestACardStandsByItself(t *testing.T) {
	a, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	s := season.Assemble(demo.Season(24, 1))
	opened := 0
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		p := a.Advise(fs)
		c := advice.CardOf(&p, &season.Rig{ID: "discs", Machine: season.Spreader, Hopper: 4 * unit.ShortTon, Monitor: season.PoundsAnAcre}, unit.US)
		text, err := page.Card(&c)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := html.Parse(strings.NewReader(string(text))); err != nil {
			t.Fatal(err)
		}
		for _, foreign := range []string{"<script", "http://", "src="} {
			if strings.Contains(string(text), foreign) {
				t.Errorf("%s: the card holds %q", f.Name, foreign)
			}
		}
		if !strings.Contains(string(text), html.EscapeString(c.Head)) || !strings.Contains(string(text), "What was really spread") {
			t.Errorf("%s: the card does not say %q", f.Name, c.Head)
		}
		opened += strings.Count(string(text), "<details>")
	}
	if opened == 0 {
		t.Error("no figure opens to its working")
	}
}
