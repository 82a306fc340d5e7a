package rulebook

import (
	"fmt"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/working"
	"culm/season"
)

// taken are a rule's slots as a field's facts fill them.
type taken struct {
	slots *Slots
	// Of each input: where it comes from, why it could not be taken, what stands behind it (a conversion, or a rule
	// that gave it) and the publications of that rule.
	origins  []working.Origin
	refused  []string
	standing []Standing
	sources  [][]cite.Source
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
		sources: make([][]cite.Source, len(r.Inputs)),
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
	t.origins[i], t.standing[i], t.sources[i] = v.origin, v.standing, v.sources
	for _, a := range v.assumed {
		t.doubt(i, in.Label+", "+a)
	}
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

func (t *taken) doubt(i int, text string) {
	t.doubts = append(t.doubts, text)
	t.doubtOf = append(t.doubtOf, i)
}
