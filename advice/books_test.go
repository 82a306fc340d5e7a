package advice_test

import (
	"errors"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/rulebook"
)

// ownBook is Minnesota's book under a key of an invented region, with more nitrogen for each bushel.
func ownBook(t *testing.T, key, perBushel string) *rulebook.Book {
	t.Helper()
	text, err := os.ReadFile("../agronomy/rulebook/books/minnesota.yaml")
	if err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(string(text), "    examples:\n")
	head = strings.Replace(head, "key: minnesota", "key: "+key, 1)
	head = strings.Replace(head, "perBushel: {value: 2.5,", "perBushel: {value: "+perBushel+",", 1)
	b, err := rulebook.Parse(key+".yaml", []byte(head+"    examples:\n      - {name: nothing left in the soil, given: {yieldGoal: 10, nitrate: 0, previousCrop: wheat}, answer: "+perBushel[:1]+perBushel[2:]+", status: from memory}\n"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestAnAdvisorsOwnBookStandsBesideTheShippedOnes(t *testing.T) {
	own, err := advice.NewAdvisor(ownBook(t, "linden", "3.1"))
	if err != nil {
		t.Fatal(err)
	}
	fs := named(t, "Mill Quarter")
	p, shipped := own.Advise(fs), advisor(t).Advise(fs)
	if len(p.Rates) != len(shipped.Rates)+1 {
		t.Errorf("%d ways with a book of one's own, %d without", len(p.Rates), len(shipped.Rates))
	}
	i := slices.IndexFunc(p.Rates, func(r advice.RateAnswer) bool { return r.Method == "linden" })
	k := slices.IndexFunc(p.Rates, func(r advice.RateAnswer) bool { return r.Method == "minnesota" })
	if i < 0 || !p.Rates[i].Answered || !(p.Rates[i].Rate > p.Rates[k].Rate) || i > k {
		t.Errorf("the own book answers %+v, Minnesota's %+v", p.Rates[i], p.Rates[k])
	}
	used := func(key string) (advice.UsedBook, bool) {
		at := slices.IndexFunc(p.Books, func(b advice.UsedBook) bool { return b.ID == key })
		if at < 0 {
			return advice.UsedBook{}, false
		}
		return p.Books[at], true
	}
	if b, ok := used("linden"); !ok || !b.Own || len(b.Digest) != 64 {
		t.Errorf("the plan names the book as %+v", b)
	}
	if b, ok := used("minnesota"); !ok || b.Own {
		t.Errorf("the plan names the shipped book as %+v", b)
	}
	if _, err := advice.NewAdvisor(ownBook(t, "linden", "3.1"), ownBook(t, "linden", "3.2")); err == nil || !strings.Contains(err.Error(), "linden") {
		t.Errorf("two books of one key: %v", err)
	}
	instead, err := advice.NewAdvisor(ownBook(t, "minnesota", "3.1"))
	if err != nil {
		t.Fatal(err)
	}
	if p := instead.Advise(fs); len(p.Rates) != len(shipped.Rates) || p.Rates[k-1].Rate <= shipped.Rates[k-1].Rate {
		t.Errorf("a book under a shipped key does not take its place: %d ways", len(p.Rates))
	}
}

// A plan is frozen with the digests of the books it used and the texts of those of one's own: it replays when
// the book is gone, and replay says what became of it.
func TestAFrozenPlanKeepsItsBooks(t *testing.T) {
	linden := ownBook(t, "linden", "3.1")
	own, err := advice.NewAdvisor(linden)
	if err != nil {
		t.Fatal(err)
	}
	frozen, err := own.Freeze(named(t, "Mill Quarter"), "test", time.Time{}, "")
	if err != nil {
		t.Fatal(err)
	}
	if frozen.Books[linden.Digest] != linden.Text || len(frozen.Books) != 1 {
		t.Errorf("%d texts are kept with the plan, want that of the own book", len(frozen.Books))
	}
	later, err := advice.NewAdvisor(ownBook(t, "linden", "3.3"))
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		by   *advice.Advisor
		says string
	}{
		"by the same books":     {own, ""},
		"when the book is gone": {advisor(t), "The rulebook linden (Minnesota wheat, extension page as read) is not at hand any more."},
		"when it was revised":   {later, "The rulebook linden has changed since"},
	} {
		r, err := c.by.Replay(frozen)
		if err != nil || !r.Identical {
			t.Errorf("%s: identical %v, %v, %v", name, r.Identical, r.Differences, err)
		}
		if said := strings.Join(r.Changed, " "); (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s: says %q, want %q", name, said, c.says)
		}
	}
	frozen.Books = map[string]string{linden.Digest: linden.Text + "\n"}
	if _, err := own.Replay(frozen); !errors.Is(err, advice.ErrDamaged) {
		t.Errorf("with a text that was changed: %v", err)
	}
}
