package advice

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/rulebook"
)

// UsedBook is a rulebook that answered something in a plan.
type UsedBook struct {
	ID      string `json:"id"` // its key
	Name    string `json:"name"`
	Edition string `json:"edition"`
	// Digest is the SHA-256 of the book's text, in hexadecimal: two books of one digest give the same answers.
	Digest string `json:"digest"`
	// Own says that the book does not come with Culm.
	Own bool `json:"own,omitempty"`
}

// usedBooks lists the books that answered something, in the order of the advisor's.
func (c *inquiry) usedBooks() []UsedBook {
	answered := map[string]bool{}
	for _, r := range c.plan.Rates {
		if r.Answered {
			answered[r.Method] = true // of a book's nitrogen rule, its key
		}
	}
	for _, g := range c.plan.Ground {
		for _, n := range g.Needs {
			for _, w := range n.Ways {
				if key, _, _ := strings.Cut(w.Rule, "/"); w.Answered {
					answered[key] = true
				}
			}
		}
	}
	var used []UsedBook
	for _, b := range c.advisor.books {
		if answered[b.Key] {
			used = append(used, c.advisor.usedBook(b))
		}
	}
	return used
}

func (a *Advisor) usedBook(b *rulebook.Book) UsedBook {
	return UsedBook{ID: b.Key, Name: b.Name, Edition: b.Edition, Digest: b.Digest, Own: a.own[b.Key]}
}

// ownTexts are the texts of the advisor's own books that a plan used, by digest, so that they can be read again
// when the file is gone.
func (a *Advisor) ownTexts(p *Plan) map[string]string {
	var texts map[string]string
	for _, u := range p.Books {
		if !u.Own {
			continue
		}
		i := slices.IndexFunc(a.books, func(b *rulebook.Book) bool { return b.Key == u.ID })
		if texts == nil {
			texts = map[string]string{}
		}
		texts[u.Digest] = a.books[i].Text
	}
	return texts
}

// of gives the advisor that goes by a frozen plan's own books, where they were kept with it, in place of this
// advisor's. A text that does not fit its digest is damaged.
func (a *Advisor) of(f Frozen, p *Plan) (*Advisor, error) {
	own := make([]*rulebook.Book, 0, len(a.own))
	kept := map[string]bool{}
	for _, u := range p.Books {
		text, has := f.Books[u.Digest]
		if !has {
			continue
		}
		if sum := sha256.Sum256([]byte(text)); hex.EncodeToString(sum[:]) != u.Digest {
			return nil, ErrDamaged
		}
		b, err := rulebook.Parse(u.ID+".yaml", []byte(text))
		if err != nil {
			return nil, fmt.Errorf("reading the rulebook %s kept with frozen plan %s: %w", u.ID, f.ID, err)
		}
		own = append(own, b)
		kept[b.Key] = true
	}
	if len(own) == 0 {
		return a, nil
	}
	for _, b := range a.books {
		if a.own[b.Key] && !kept[b.Key] {
			own = append(own, b)
		}
	}
	return NewAdvisor(own...)
}

// changed says which of the books a plan used are another text now, or not at hand.
func (a *Advisor) changed(p *Plan) []string {
	var all []string
	for _, u := range p.Books {
		i := slices.IndexFunc(a.books, func(b *rulebook.Book) bool { return b.Key == u.ID })
		switch {
		case i < 0:
			all = append(all, fmt.Sprintf("The rulebook %s (%s, %s) is not at hand any more.", u.ID, u.Name, u.Edition))
		case a.books[i].Digest != u.Digest:
			all = append(all, fmt.Sprintf("The rulebook %s has changed since: then %s, %s; now %s, %s.", u.ID, u.Edition, u.Digest[:min(8, len(u.Digest))], a.books[i].Edition, a.books[i].Digest[:8]))
		}
	}
	return all
}
