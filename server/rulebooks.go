package server

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook"
	"culm/server/bookpage"
	"culm/server/desk"
)

var errNoBook = errors.New("there is no such book of guidance")

// shelf is the books of guidance that the season goes by, and what of them this season follows.
type shelf struct {
	shell
	Books   []shelved
	Answers []string // all that some book is about, in the order of the trade
	Asked   string   // the answer a reader asked for; empty for all
}

// shelved is one book with what there is to say about it before it is opened.
type shelved struct {
	bookpage.Document
	Own      bool
	Follows  int // fields whose decision or nutrient plan follows it
	Standing []counted
}

// counted is how many rules of a book stand so well.
type counted struct {
	Status cite.Status
	Rules  int
}

func (s *Server) rulebooks(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	view := shelf{shell: v.shell(sheet, "Books of guidance"), Answers: topicsOf(answersOf(s.desk.Books()))}
	if asked := v.r.URL.Query().Get("answers"); slices.Contains(view.Answers, asked) {
		view.Asked = asked
	}
	followed := followedBy(sheet, v)
	for _, b := range s.desk.Books() {
		one := shelved{Document: bookpage.Of(b), Own: s.desk.Own(b.Key), Follows: followed[b.Key]}
		if view.Asked != "" && !slices.Contains(topicsOf(one.answers()), view.Asked) {
			continue
		}
		one.Standing = standingsOf(one.Document)
		view.Books = append(view.Books, one)
	}
	slices.SortStableFunc(view.Books, func(a, b shelved) int {
		return cmp.Or(own(b)-own(a), cmp.Compare(b.Follows, a.Follows), cmp.Compare(a.Name, b.Name))
	})
	return v.show(http.StatusOK, shelfPage(view))
}

func own(b shelved) int {
	if b.Own {
		return 1
	}
	return 0
}

// rulebook shows one book with all that stands in it.
func (s *Server) rulebook(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	book, ok := s.desk.Book(v.r.PathValue("book"))
	if !ok {
		return errNoBook
	}
	sh := v.shell(sheet, book.Name)
	sh.Styles = []string{s.assets.ownAddress(bookStyle)}
	return v.show(http.StatusOK, bookPage(sh, book, s.desk.Own(book.Key)))
}

// followedBy counts, for each book, the fields that follow it for nitrogen or for anything else.
func followedBy(sheet *desk.Sheet, v *visit) map[string]int {
	counts := map[string]int{}
	for _, p := range sheet.Plans(v.reader.Units) {
		books := map[string]bool{}
		for _, r := range p.Rates {
			if r.Lead && r.Answered {
				books[bookOf(r.Method)] = true
			}
		}
		for _, g := range p.Ground {
			for _, n := range g.Needs {
				for _, w := range n.Ways {
					if w.Lead && w.Answered {
						books[bookOf(w.Rule)] = true
					}
				}
			}
		}
		for key := range books {
			counts[key]++
		}
	}
	return counts
}

// bookOf gives the key of the book in the id of a rule.
func bookOf(rule string) string {
	key, _, _ := strings.Cut(rule, "/")
	return key
}

// tradeOrder is the order in which the trade asks.
func tradeOrder() []rulebook.Answer {
	return []rulebook.Answer{
		rulebook.Nitrogen, rulebook.Lime, rulebook.LimeEffect, rulebook.LimeTarget, rulebook.DepthOfLime, rulebook.LimeMost,
		rulebook.Phosphate, rulebook.Potash, rulebook.Sulfur, rulebook.Chloride, rulebook.Zinc, rulebook.Copper, rulebook.Boron,
		rulebook.Iron, rulebook.Manganese, rulebook.BuildUp, rulebook.Removal, rulebook.Uptake, rulebook.Forage, rulebook.Index,
	}
}

// inTradeOrder sorts answers; one that the trade's order does not name comes last.
func inTradeOrder(answers []string) []string {
	order := tradeOrder()
	at := func(a string) int {
		if i := slices.Index(order, rulebook.Answer(a)); i >= 0 {
			return i
		}
		return len(order)
	}
	slices.SortStableFunc(answers, func(a, b string) int { return cmp.Or(at(a)-at(b), cmp.Compare(a, b)) })
	return slices.Compact(answers)
}

func answersOf(books []*rulebook.Book) []string {
	var all []string
	for _, b := range books {
		for _, r := range b.Rules {
			all = append(all, string(r.Answers))
		}
	}
	return inTradeOrder(all)
}

// topicsOf puts all that is asked about lime together.
func topicsOf(answers []string) []string {
	var topics []string
	for _, a := range answers {
		if strings.HasPrefix(a, "lime-") {
			a = string(rulebook.Lime)
		}
		if !slices.Contains(topics, a) {
			topics = append(topics, a)
		}
	}
	return topics
}

// answers lists what the book answers.
func (b shelved) answers() []string {
	var all []string
	for _, r := range b.Rules {
		all = append(all, r.Answers)
	}
	return inTradeOrder(all)
}

// says is what the book answers, in words.
func (b shelved) says() string {
	var names []string
	for _, a := range topicsOf(b.answers()) {
		names = append(names, bookpage.AnswerInWords(a))
	}
	return list(names)
}

// standingsOf counts the rules of a book by the standing of their weakest number, the strongest first.
func standingsOf(d bookpage.Document) []counted {
	var all []counted
	for _, s := range statuses() {
		n := 0
		for _, r := range d.Rules {
			if r.Status == s {
				n++
			}
		}
		if n > 0 {
			all = append(all, counted{s, n})
		}
	}
	return all
}

// bookPath is the address of a book, or of one of its rules.
func bookPath(book string) string { return "/rulebooks/" + escapePath(book) }

// rulePath is the address of a rule by its id, "kansas-2003/nitrogen"; the key of a book alone means its rule
// for nitrogen.
func rulePath(rule string) string {
	book, key, has := strings.Cut(rule, "/")
	if !has {
		key = string(rulebook.Nitrogen)
	}
	return bookPath(book) + "#" + escapePath(key)
}

// serves names the crops of the book.
func (b shelved) serves() string {
	var crops []string
	for _, r := range b.Rules {
		crops = append(crops, r.Crops...)
	}
	if len(crops) == 0 {
		return "any crop"
	}
	return bookpage.CropsInWords(crops)
}

// facts are the region and state of the book, in a line.
func (b shelved) facts() string {
	var parts []string
	for _, part := range []string{b.Region, b.Edition} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, " · ")
}

// title says how many books there are and what for.
func (sh shelf) title() string {
	if sh.Asked != "" {
		return plural(len(sh.Books), "book") + " on " + bookpage.AnswerInWords(sh.Asked)
	}
	return plural(len(sh.Books), "book") + " of guidance, each checked against its own printed examples"
}
