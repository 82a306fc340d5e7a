package server

import (
	"context"
	"io"
	"math"
	"net/url"
	"strconv"
	"strings"
	"sync"

	"culm/advice"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"github.com/a-h/templ"
)

// opener writes a plan's sentences so that each number and claim in them opens its working in place: a slip
// of the page that holds the expression, the inputs and the sources.
type opener struct {
	ledger *working.Ledger
	units  unit.System
	// prefix keeps the slips of several plans on one page apart.
	prefix string
	// home is the page with the working of all figures of the plan; empty where there is none.
	home string
	// leads makes what opens a link to the figure on the same page, where all of them lie open.
	leads bool
	// source gives the full reference of a publication.
	source func(cite.Key) (cite.Source, bool)
	// loose tells the figures that rest on something that nobody saw and no source confirms.
	loose func() map[working.ID]bool
	// rules are the addresses of the rules that answers come from, by their figures.
	rules func() map[working.ID]string
}

func openerOf(p *advice.Plan, home string) opener {
	return opener{
		ledger: &p.Figures, units: p.Units, home: home, source: p.Source,
		loose: sync.OnceValue(func() map[working.ID]bool { return looseIn(p) }), // a sentence in a list needs none
		rules: sync.OnceValue(func() map[working.ID]string { return rulesIn(p) }),
	}
}

// rulesIn finds the rules that the plan's answers come from.
func rulesIn(p *advice.Plan) map[working.ID]string {
	used := map[string]bool{}
	for _, b := range p.Books {
		used[b.ID] = true
	}
	rules := map[working.ID]string{}
	lead := func(f working.ID, rule string) {
		if f != "" && used[bookOf(rule)] {
			rules[f] = rulePath(rule)
		}
	}
	for _, r := range p.Rates {
		lead(r.Figure, r.Method)
	}
	for _, g := range p.Ground {
		for _, n := range g.Needs {
			for _, w := range n.Ways {
				lead(w.Figure, w.Rule)
			}
		}
	}
	return rules
}

// looseIn finds the figures that are assumed, from memory or mere habit, or that were computed, at any
// remove, from something that is.
func looseIn(p *advice.Plan) map[working.ID]bool {
	l, told := &p.Figures, map[working.ID]bool{}
	var rests func(id working.ID) bool
	rests = func(id working.ID) bool {
		if told, known := told[id]; known {
			return told
		}
		told[id] = false // a circle adds nothing
		f, _ := l.Get(id)
		found := isLoose(p, f.Origin) || unconfirmed(f.Status)
		for _, in := range f.Inputs {
			found = found || isLoose(p, in.Origin) || in.Figure != "" && rests(in.Figure)
		}
		told[id] = found
		return found
	}
	for _, f := range l.All() {
		rests(f.ID)
	}
	return told
}

func isLoose(p *advice.Plan, o working.Origin) bool {
	if o.Source == "" {
		return o.Kind == working.Assumed
	}
	source, _ := p.Source(o.Source)
	return o.Kind == working.Assumed || unconfirmed(source.Status)
}

func unconfirmed(s cite.Status) bool { return s == cite.FromMemory || s == cite.CommonPractice }

// slip is the id that a figure's slip has on the page.
func (o opener) slip(id working.ID) string { return "w-" + o.prefix + string(id) }

// longestNumber is the longest text, in bytes, that is set as a button. A button does not break at the end
// of a line, as suits a number with its unit; a claim in words does break, so it is a link to its slip,
// which a script opens like a button.
const longestNumber = 24

// open writes a text that opens a figure, or the bare text when the ledger has no such figure.
func (o opener) open(text string, id working.ID) string {
	safe := templ.EscapeString(text)
	if _, ok := o.ledger.Get(id); !ok {
		return safe
	}
	class := "open"
	if o.loose()[id] {
		class = "open loose"
	}
	if o.leads {
		return `<a class="` + class + `" href="#` + templ.EscapeString(string(id)) + `">` + safe + `</a>`
	}
	target := templ.EscapeString(o.slip(id))
	if len(text) <= longestNumber {
		return `<button type="button" class="` + class + `" popovertarget="` + target + `">` + safe + `</button>`
	}
	return `<a class="` + class + `" href="#` + target + `" data-slip>` + safe + `</a>`
}

// words writes a sentence.
func (o opener) words(t working.Sentence) templ.Component {
	return o.write(t, o.open)
}

// plain writes a sentence of which nothing opens. A number still keeps to one line with its unit.
func (o opener) plain(t working.Sentence) templ.Component {
	return o.write(t, func(text string, _ working.ID) string {
		if len(text) > longestNumber {
			return templ.EscapeString(text)
		}
		return kept(templ.EscapeString(text))
	})
}

// kept keeps a piece of a sentence on one line.
func kept(html string) string { return `<span class="keep">` + html + `</span>` }

// write joins the parts of a sentence, those with a figure as piece writes them. Spaces at the ends of such
// a part stay outside it, and a stop that follows it stays with it at the end of a line.
func (o opener) write(t working.Sentence, piece func(text string, id working.ID) string) templ.Component {
	return templ.ComponentFunc(func(_ context.Context, w io.Writer) error {
		var b strings.Builder
		stop := ""
		for i, p := range t {
			text := strings.TrimPrefix(p.Read(o.ledger, o.units), stop)
			stop = ""
			if p.Figure == "" {
				b.WriteString(templ.EscapeString(text))
				continue
			}
			inner := strings.Trim(text, " ")
			before, after, _ := strings.Cut(text, inner)
			written := piece(inner, p.Figure)
			if i+1 < len(t) && after == "" {
				stop = stopAt(t[i+1].Read(o.ledger, o.units))
			}
			if stop != "" && len(inner) <= longestNumber {
				written = kept(written + stop)
			} else {
				written += stop
			}
			b.WriteString(before + written + after)
		}
		_, err := io.WriteString(w, b.String())
		return err
	})
}

// stopAt gives the stop that a text begins with.
func stopAt(text string) string {
	if text != "" && strings.Contains(".,;:)", text[:1]) {
		return text[:1]
	}
	return ""
}

// figure writes a figure with its range, opening to its working.
func (o opener) figure(id working.ID) templ.Component {
	f, _ := o.ledger.Get(id)
	return o.words(working.Sentence{working.Range(f)})
}

// claim writes words that open to a figure.
func (o opener) claim(text string, id working.ID) templ.Component {
	return o.words(working.Sentence{{Text: text, Figure: id}})
}

// has says that the plan has a figure.
func (o opener) has(id working.ID) bool {
	_, ok := o.ledger.Get(id)
	return ok
}

// behind lists the figures of sentences and all that they were computed from, each once.
func (o opener) behind(sentences ...working.Sentence) []working.Figure {
	seen := map[working.ID]bool{}
	var found []working.Figure
	var follow func(id working.ID)
	follow = func(id working.ID) {
		f, ok := o.ledger.Get(id)
		if !ok || seen[id] {
			return
		}
		seen[id] = true
		found = append(found, f)
		for _, in := range f.Inputs {
			follow(in.Figure)
		}
	}
	for _, s := range sentences {
		for _, p := range s {
			follow(p.Figure)
		}
	}
	return found
}

// originWord names a kind of origin for a reader.
func originWord(k working.OriginKind) string {
	switch k {
	case working.Observed:
		return "Seen"
	case working.Assumed:
		return "Assumed"
	case working.Rulebook:
		return "From the book"
	case working.Setting:
		return "Chosen"
	default:
		return "Worked out"
	}
}

// originDetail says by whom, when, with what, or why.
func originDetail(o working.Origin) string {
	var parts []string
	if o.By != "" {
		parts = append(parts, "by "+o.By)
	}
	if !o.On.IsZero() {
		parts = append(parts, o.On.Time().Format("Mon 2 Jan 2006"))
	}
	if o.With != "" {
		parts = append(parts, o.With)
	}
	if o.Why != "" {
		parts = append(parts, strings.TrimPrefix(o.Why, "assumed: "))
	}
	if o.Where != "" {
		parts = append(parts, "read from "+o.Where)
	}
	return strings.Join(parts, ", ")
}

// publication is the text of the reference that a value comes from; empty where it comes from none.
func (o opener) publication(from working.Origin) string {
	s, _ := o.source(from.Source)
	return s.Text
}

// originOf is where an input comes from: for a figure of the same plan that was itself seen, chosen or
// assumed, that.
func (o opener) originOf(in working.Input) working.Origin {
	if f, ok := o.ledger.Get(in.Figure); ok && f.Origin.Kind != "" {
		return f.Origin
	}
	return in.Origin
}

// sureness says what a figure's range is. A figure that was not computed says so in its own notes.
func sureness(f working.Figure) string {
	switch {
	case f.Interval == nil, f.Interval.Level == 0 && len(f.Inputs) == 0:
		return ""
	case f.Interval.Level == 0:
		return "The range is what comes out over the stated range of its inputs."
	default:
		return "The range follows from the readings or samples at " + share(f.Interval.Level) + " confidence; doubt about the method itself is not in it."
	}
}

// moved writes what a figure would be if one input were otherwise.
func moved(f working.Figure, e working.Effect, s unit.System) (by, to string) {
	more := "higher"
	amount := e.By
	if amount.Base < 0 {
		amount.Base, more = -amount.Base, "lower"
	}
	if amount.Kind == unit.KindTemperature { // a difference, not a reading: no offset
		shift := unit.Convert(amount.Kind, amount.Base, s) - unit.Convert(amount.Kind, 0, s)
		tenths := strconv.FormatFloat(math.Round(10*shift)/10, 'f', -1, 64)
		return tenths + "\u202f" + unit.Symbol(amount.Kind, s) + " " + more, e.To.Show(s).String()
	}
	return amount.Show(s).String() + " " + more, e.To.Show(s).String()
}

// flat gives an opener whose figures lie open on the page already: what opens leads there.
func (o opener) flat() opener {
	o.leads = true
	return o
}

// escapePath writes a name as one step of an address.
func escapePath(name string) string { return url.PathEscape(name) }

// escapeQuery writes a name as a value in an address.
func escapeQuery(name string) string { return url.QueryEscape(name) }
