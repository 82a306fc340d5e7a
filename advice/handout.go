package advice

import (
	"fmt"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Handout is what a producer is given: one page in plain words and in the units they use. The page on
// screen, the page in print and the PDF are three dresses of this one text.
type Handout struct {
	Producer string
	Field    string
	Crop     string
	Area     string // empty when unknown
	Day      string // "Wednesday 10 February 2027"
	Invented bool
	Sentence string
	Reasons  []string
	// Do is what to set and buy, empty unless the advice is to spread.
	Do []Line
	// Ground says in a sentence or two what to do about lime and nutrients, and when.
	Ground []string
	// Days are the coming days, one a line.
	Days []HandoutDay
	// Seen lists what the advice rests on, with who saw it and when; Assumed what nobody saw.
	Seen    []string
	Assumed []string
	// Set lists what was chosen rather than seen: yield goal, prices.
	Set     []string
	Doubts  []string
	Missing []string
	// Ways sets the published ways of finding the rate side by side.
	Ways     []Line
	Cautions []string
	Sources  []string
	Closing  string
}

// Line is a label and what stands beside it.
type Line struct {
	Label string
	Value string
	// Lead marks the line the decision follows.
	Lead bool
}

// HandoutDay is one coming day.
type HandoutDay struct {
	Day   string
	Words string
	Best  bool
	Stop  bool
}

// HandoutOf writes the producer's page for a plan.
func HandoutOf(p *Plan, s unit.System) Handout {
	l := &p.Figures
	h := Handout{
		Producer: p.Producer.Name, Field: p.Field.Name, Crop: p.Field.Crop.String(),
		Day: p.Today.Time().Format("Monday 2 January 2006"), Invented: p.Invented,
		Sentence: p.Sentence.Read(l, s),
		Closing:  "Culm advises. The product's label, local rules and the licensed person decide.",
	}
	if area, ok := l.Get("area"); ok {
		h.Area = area.Show(s)
	}
	for _, r := range p.Reasons {
		h.Reasons = append(h.Reasons, r.Read(l, s))
	}
	if p.Spots.Pairs > 0 {
		h.Reasons = append(h.Reasons, p.Spots.Sentence.Read(l, s))
	}
	h.Do = p.toDo(s)
	h.Ground = p.groundLines(s)
	h.Days = p.handoutDays()
	h.Ways = p.ways(s)
	h.seen(p, s)
	for _, w := range p.Warnings {
		h.Doubts = append(h.Doubts, w.Text)
	}
	for _, m := range p.Missing {
		h.Missing = append(h.Missing, m.What+": "+m.Brings)
	}
	for _, c := range p.Cautions {
		h.Cautions = append(h.Cautions, c.Text)
	}
	h.Sources = p.leadSources()
	return h
}

// toDo says what to set on the machine and what to buy.
func (p *Plan) toDo(s unit.System) []Line {
	if p.Decision.Action != Spread {
		return nil
	}
	var lines []Line
	add := func(label string, id working.ID) {
		if f, ok := p.Figures.Get(id); ok {
			lines = append(lines, Line{Label: label, Value: f.ShowWithRange(s)})
		}
	}
	add("Nitrogen", "advised.rate")
	add("Product", "advised.product")
	add("Set the machine to", "advised.product-rate")
	add("For the field", "advised.product-total")
	add("Placed", "advised.placement")
	add("On", "advised.day")
	add("Reaches the crop", "advised.reaching")
	add("Costs", "advised.cost")
	add("Nets", "pay.net")
	add("Nets on the field", "pay.field")
	return lines
}

func (p *Plan) handoutDays() []HandoutDay {
	var days []HandoutDay
	for _, d := range p.Days {
		words := strings.Join(append([]string{sentenceCase(d.Why)}, d.Flags...), "; ")
		if d.Stop != "" {
			words = "No. " + sentenceCase(d.Stop) + "."
		}
		days = append(days, HandoutDay{Day: d.Day.Short(), Words: words, Best: d.Best, Stop: d.Stop != ""})
	}
	return days
}

func (p *Plan) ways(s unit.System) []Line {
	var lines []Line
	for _, r := range p.Rates {
		if !r.Answered {
			continue
		}
		if f, ok := p.Figures.Get(r.Figure); ok {
			lines = append(lines, Line{Label: r.Name, Value: f.ShowWithRange(s), Lead: r.Lead})
		}
	}
	return lines
}

// seen sorts the inputs of the figures the decision rests on into observed and assumed.
func (h *Handout) seen(p *Plan, s unit.System) {
	told := map[string]bool{}
	tell := func(label string, a working.Amount, text string, o working.Origin) {
		shown := text
		if shown == "" {
			shown = a.Show(s).String()
		}
		// The same thing seen by the same person at the same time is told once, under whatever label first.
		same := shown + seenBy(o)
		if o.Kind == working.Observed && told[same] {
			return
		}
		told[same] = true
		var line string
		switch o.Kind {
		case working.Observed:
			line = fmt.Sprintf("%s: %s, %s", label, shown, seenBy(o))
		case working.Assumed:
			line = fmt.Sprintf("%s: %s, %s", label, shown, o.Why)
		case working.Setting:
			line = fmt.Sprintf("%s: %s, %s", label, shown, setBy(o))
		default:
			return
		}
		if told[line] {
			return
		}
		told[line] = true
		switch o.Kind {
		case working.Observed:
			h.Seen = append(h.Seen, line)
		case working.Setting:
			h.Set = append(h.Set, line)
		default:
			h.Assumed = append(h.Assumed, line)
		}
	}
	for _, f := range p.restsOn() {
		tell(f.Label, f.Amount, f.Text, f.Origin)
		for _, in := range f.Inputs {
			if in.Figure == "" {
				tell(sentenceCase(in.Label), in.Amount, "", in.Origin)
			}
		}
	}
}

func setBy(o working.Origin) string {
	if o.By == "" && o.On.IsZero() {
		return "as set for the season"
	}
	return "set by " + seenBy(o)
}

func seenBy(o working.Origin) string {
	var parts []string
	if o.By != "" {
		parts = append(parts, o.By)
	}
	if !o.On.IsZero() {
		parts = append(parts, o.On.Short())
	}
	if o.With != "" {
		parts = append(parts, o.With)
	}
	if len(parts) == 0 {
		return "seen"
	}
	return strings.Join(parts, ", ")
}

// restsOn lists the figures behind the sentence and the reasons, and the figures behind those, each once. What
// the products that were not chosen would net is left out.
func (p *Plan) restsOn() []working.Figure {
	seen := map[working.ID]bool{}
	var found []working.Figure
	var follow func(id working.ID)
	follow = func(id working.ID) {
		f, ok := p.Figures.Get(id)
		if !ok || seen[id] || strings.HasPrefix(string(id), "net.") {
			return
		}
		seen[id] = true
		found = append(found, f)
		for _, in := range f.Inputs {
			follow(in.Figure)
		}
	}
	for _, part := range p.Sentence {
		follow(part.Figure)
	}
	for _, r := range p.Reasons {
		for _, part := range r {
			follow(part.Figure)
		}
	}
	return found
}

// leadSources gives the full references behind the decision.
func (p *Plan) leadSources() []string {
	seen := map[cite.Key]bool{}
	var refs []string
	for _, f := range p.restsOn() {
		if f.Source == "" || seen[f.Source] {
			continue
		}
		seen[f.Source] = true
		if s, ok := p.Source(f.Source); ok {
			refs = append(refs, s.Text+" ("+string(f.Status)+")")
		}
	}
	return refs
}

// sentenceCase gives the text a capital at the start.
func sentenceCase(s string) string {
	if s == "" || strings.HasPrefix(s, "pH") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
