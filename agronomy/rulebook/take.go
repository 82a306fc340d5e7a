package rulebook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// taken are a rule's slots as a field's facts fill them.
type taken struct {
	slots *Slots
	// Of each input: where it comes from, why it could not be taken, and a conversion that stands behind it.
	origins  []working.Origin
	refused  []string
	standing []Standing
	// doubts are assumptions that came up on the way, of input doubtOf each; notes are remarks.
	doubts  []string
	doubtOf []int
	notes   []string
}

// Slots fills a rule's slots from facts, without defaults. The slots are new and belong to the caller.
func (r *Rule) Slots(f *Facts) *Slots { return r.take(f).slots }

func (r *Rule) take(f *Facts) *taken {
	t := &taken{
		slots: r.NewSlots(), origins: make([]working.Origin, len(r.Inputs)),
		refused: make([]string, len(r.Inputs)), standing: make([]Standing, len(r.Inputs)),
	}
	var later []int // what may have to be converted under a condition that asks for other inputs
	for i := range r.Inputs {
		in := &r.Inputs[i]
		switch v, known := f.numbers[in.Name]; {
		case in.Sort != Number:
			t.takeWord(f, i, in)
		case known:
			t.takeNumber(f, i, in, v)
		case in.Soil != nil && len(in.Soil.Converts) > 0:
			later = append(later, i)
		case in.Soil != nil:
			t.takeSoil(f, i, in)
		}
	}
	for _, i := range later {
		t.takeSoil(f, i, &r.Inputs[i])
	}
	return t
}

func (t *taken) takeWord(f *Facts, i int, in *Input) {
	w, known := f.words[in.Name]
	if !known {
		return
	}
	t.origins[i] = w.origin
	if in.Sort == Word {
		t.slots.SetWord(i, w.text)
		return
	}
	switch strings.ToLower(w.text) {
	case "yes", "true":
		t.slots.Set(i, 1)
	case "no", "false":
		t.slots.Set(i, 0)
	default:
		t.refused[i] = fmt.Sprintf("the answer to %q is %q, expected yes or no", in.Label, w.text)
	}
}

func (t *taken) takeNumber(f *Facts, i int, in *Input, v fact) {
	number, err := t.slots.rule.numberIn(v, in.Unit, f.Crop)
	if err != nil {
		t.refused[i] = fmt.Sprintf("the %s cannot be put into %s: %s", in.Label, in.Unit, err)
		return
	}
	t.slots.Set(i, number)
	t.origins[i] = v.origin
}

// numberIn puts a fact into a unit of the rule.
func (r *Rule) numberIn(v fact, u quantity.Unit, crop season.Crop) (float64, error) {
	if !v.byHand {
		return r.NumberOf(v.amount, u, crop)
	}
	c, err := quantity.Between(v.unit, u, bushelOf(crop))
	if err != nil {
		return 0, err
	}
	return c.Of(v.value), nil
}

func bushelOf(c season.Crop) quantity.Bushel {
	switch {
	case c == season.Canola:
		return quantity.CanolaBushel
	case c.IsWheat():
		return quantity.WheatBushel
	default:
		return 0
	}
}

// isMobile says that water carries the nutrient down, so that a whole profile counts.
func isMobile(a season.Analyte) bool {
	switch a {
	case season.NitrateN, season.AmmoniumN, season.SulfateS, season.Chloride:
		return true
	default:
		return false
	}
}

// takeSoil takes what a laboratory found, on the rule's depth, mass of soil and method.
func (t *taken) takeSoil(f *Facts, i int, in *Input) {
	a := in.Soil.analyte
	samples := t.byMethod(f.samples, a, i, in)
	if len(samples) == 0 {
		return
	}
	if isMobile(a) || in.perArea {
		t.takeProfile(samples, a, i, in)
		return
	}
	t.takeLayer(samples, a, i, in)
}

// deepest is beyond any sample: the reach of what counts as sampled.
const deepestSample = 9 * unit.Metre

func (t *taken) takeProfile(samples []*season.Soil, a season.Analyte, i int, in *Input) {
	s := in.Soil
	bottom := s.Bottom
	if s.AsSampled {
		bottom = deepestSample
	}
	convention := s.PerAcreInch
	if convention == 0 {
		convention = soil.ThreeTenths // not used: only the mean counts
	}
	p, err := soil.ProfileBetween(a, samples, s.Top, bottom, convention)
	if err != nil {
		t.refused[i] = err.Error()
		return
	}
	if !p.Held.Known() {
		return
	}
	isMean := !in.perArea
	amount := p.Held.Amount()
	if isMean {
		amount = working.Of(p.Mean())
	}
	v, err := t.slots.rule.NumberOf(amount, in.Unit, "")
	if err != nil {
		t.refused[i] = fmt.Sprintf("the %s cannot be put into %s: %s", in.Label, in.Unit, err)
		return
	}
	t.slots.Set(i, v)
	var names []string
	for _, l := range p.Layers {
		names = append(names, l.Samples...)
		if l.Below {
			t.notes = append(t.notes, fmt.Sprintf("%s: in %s the laboratory found less than it can measure; its limit is counted.", in.Label, soil.Depth(l.Top, l.Bottom)))
		}
	}
	t.origins[i] = working.Origin{Kind: working.Observed, By: p.Held.Origin.By, On: p.Day, With: soilSamples(names)}
	switch {
	case p.Full || s.AsSampled:
	case isMean:
		t.doubt(i, in.Label+": not sampled to that depth; the mean of what was sampled stands for all of it")
	default:
		t.doubt(i, in.Label+": not sampled to that depth; what lies below the samples is counted as none")
	}
}

func (t *taken) doubt(i int, text string) {
	t.doubts = append(t.doubts, text)
	t.doubtOf = append(t.doubtOf, i)
}

func soilSamples(names []string) string {
	slices.Sort(names)
	names = slices.Compact(names)
	switch len(names) {
	case 0:
		return "a soil test"
	case 1:
		return "soil sample " + names[0]
	default:
		return "soil samples " + strings.Join(names, ", ")
	}
}

// alike is how far apart two depths may be and still mean the same: 15 cm is called 6 in.
const alike = 1 * unit.Inch

// sameSampling is how many days apart samples may be drawn and still be one look at a field, as in package
// soil.
const sameSampling = 14

// takeLayer takes the mean of the samples of the layer that comes nearest to the rule's.
func (t *taken) takeLayer(samples []*season.Soil, a season.Analyte, i int, in *Input) {
	off := func(s *season.Soil) unit.Length {
		if in.Soil.Depth == "" || in.Soil.AsSampled {
			return 0
		}
		return max(s.Bottom-in.Soil.Bottom, in.Soil.Bottom-s.Bottom)
	}
	fromTop := func(s *season.Soil) bool { return s.Top-in.Soil.Top < alike && in.Soil.Top-s.Top < alike }
	samples = slices.DeleteFunc(slices.Clone(samples), func(s *season.Soil) bool { return !fromTop(s) })
	if len(samples) == 0 {
		return
	}
	latest := slices.MaxFunc(samples, func(p, q *season.Soil) int { return p.Day.Sub(q.Day) }).Day
	samples = slices.DeleteFunc(samples, func(s *season.Soil) bool { return latest.Sub(s.Day) > sameSampling })
	nearest := slices.MinFunc(samples, func(p, q *season.Soil) int { return cmp.Compare(off(p), off(q)) })
	samples = slices.DeleteFunc(samples, func(s *season.Soil) bool { return off(s) > off(nearest)+alike })
	total := 0.0
	var names, labs []string
	for _, s := range samples {
		r, _ := s.Find(a)
		v, err := t.slots.rule.NumberOf(working.Amount{Base: r.Value, Kind: soil.KindOf(a)}, in.Unit, "")
		if err != nil {
			v = r.Value // meq/100 g and the like are no kind: the analyte's name says the unit
		}
		total += v
		names = append(names, s.Sample)
		if s.Lab != "" && !slices.Contains(labs, s.Lab) {
			labs = append(labs, s.Lab)
		}
		if r.Below {
			t.notes = append(t.notes, fmt.Sprintf("%s: in sample %s the laboratory found less than it can measure; its limit is counted.", in.Label, s.Sample))
		}
	}
	t.slots.Set(i, total/float64(len(samples)))
	t.origins[i] = working.Origin{Kind: working.Observed, By: strings.Join(labs, ", "), On: latest, With: soilSamples(names)}
	if off(nearest) > alike {
		t.doubt(i, fmt.Sprintf("%s: sampled %s, taken as it is", in.Label, soil.Depth(nearest.Top, nearest.Bottom)))
	}
}

// byMethod keeps the samples in which the analyte was measured by a method the rule is for, or by one that it
// converts from, each with that one result. Where there are only others, it says why none is taken.
func (t *taken) byMethod(samples []*season.Soil, a season.Analyte, i int, in *Input) []*season.Soil {
	var kept []*season.Soil
	refused := ""
	for _, s := range samples {
		best := fit{rank: notAtAll}
		for _, r := range s.Results {
			if r.Analyte != a {
				continue
			}
			if one := t.fits(r, in); one.rank < best.rank || best.rank == notAtAll {
				best = one
			}
		}
		if best.rank == notAtAll {
			refused = cmp.Or(refused, best.why)
			continue
		}
		alone := *s
		alone.Results = []season.Result{best.result}
		kept = append(kept, &alone)
		if best.standing.Status != "" {
			t.standing[i] = best.standing
		}
		if best.doubt != "" && !slices.Contains(t.doubts, best.doubt) {
			t.doubt(i, best.doubt)
		}
		if best.note != "" && !slices.Contains(t.notes, best.note) {
			t.notes = append(t.notes, best.note)
		}
	}
	if len(kept) == 0 {
		t.refused[i] = refused
	}
	return kept
}

// fit is how well a laboratory's method fits a rule.
type fit struct {
	rank     int
	result   season.Result
	doubt    string
	note     string
	standing Standing
	why      string
}

// The ranks of fit.
const (
	exactly = iota
	converted
	unstated
	notAtAll
)

func (t *taken) fits(r season.Result, in *Input) fit {
	method := season.MethodName(r.Method)
	methods := in.Soil.Methods
	if len(methods) == 0 || slices.Contains(methods, method) || slices.Contains(methods, season.Extractant(method)) {
		return fit{rank: exactly, result: r}
	}
	measured := soil.Name(r.Analyte)
	why := fmt.Sprintf("%s was measured by %s, and the book is for %s", measured, method, strings.Join(methods, " or "))
	for _, c := range in.Soil.Converts {
		if c.From != method {
			continue
		}
		copy(t.slots.all, t.slots.in)
		if c.Unless != nil {
			if not, _ := c.Unless.YesNo(t.slots.all); not {
				return fit{rank: notAtAll, why: why + "; on this soil the one is not turned into the other (" + c.Unless.InWords() + ")"}
			}
		}
		r.Value *= c.Factor
		note := fmt.Sprintf("%s was measured by %s and turned into %s by a factor of %s", measured, method, methods[0], plain(c.Factor))
		if c.Note != "" {
			note += ": " + c.Note
		}
		return fit{rank: converted, result: r, note: sentence(note), standing: c.Standing}
	}
	isUsual := slices.Equal(methods, usualMethods(r.Analyte))
	switch {
	case method == "" && isUsual:
		return fit{rank: exactly, result: r}
	case method == "":
		return fit{rank: unstated, result: r, doubt: fmt.Sprintf("%s: the laboratory's method is not stated; taken to be %s", in.Label, methods[0])}
	case isWay(method, methods):
		return fit{rank: unstated, result: r, doubt: fmt.Sprintf("%s: how the %s extract was read is not stated; taken to be %s", in.Label, method, readAs(method, methods))}
	default:
		return fit{rank: notAtAll, why: why + "; nothing turns the one into the other"}
	}
}

// isWay says that a rule is for some way of reading the extract that the laboratory names.
func isWay(method string, methods []string) bool { return readAs(method, methods) != "" }

func readAs(method string, methods []string) string {
	for _, m := range methods {
		if season.Extractant(m) == method {
			return m
		}
	}
	return ""
}

func sentence(s string) string {
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}

// weaker picks the status that carries less.
func weaker(a, b cite.Status) cite.Status {
	if strength(b) < strength(a) {
		return b
	}
	return a
}

func strength(s cite.Status) int {
	at := slices.Index(statusWords(), string(s))
	if at < 0 {
		return len(statusWords()) + 1 // nothing stated
	}
	return len(statusWords()) - at
}
