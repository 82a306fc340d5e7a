package rulebook

import (
	"slices"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Facts are what is known of a field, as its records say it. Rules take from them what they ask for, in their
// own units, depths and laboratory methods. Everything may be missing; missing is not zero. Facts are filled
// by one goroutine and may then be read by several.
type Facts struct {
	// Crop is the crop the answer is for. It decides how much a bushel weighs.
	Crop season.Crop

	numbers map[What]fact
	words   map[What]word
	samples []*season.Soil
}

// fact is a number with its origin: in the base unit of a kind, or by hand in a unit as a book writes it.
type fact struct {
	amount working.Amount
	byHand bool
	value  float64
	unit   quantity.Unit
	origin working.Origin
	// Where another rule gave it: what stands behind its answer.
	standing Standing
	sources  []cite.Source
	assumed  []string
}

type word struct {
	text   string
	origin working.Origin
}

// Put notes a number. A fact that is not known takes an earlier one away.
func Put[T unit.Quantity](f *Facts, w What, v working.Fact[T]) {
	if !v.Known() {
		delete(f.numbers, w)
		return
	}
	f.put(w, fact{amount: v.Amount(), origin: v.Origin})
}

// Give notes a number in a unit as a book writes it, as a person types it: 40 lb N/ac.
func (f *Facts) Give(w What, value float64, u quantity.Unit, o working.Origin) {
	f.put(w, fact{byHand: true, value: value, unit: u, origin: o})
}

// Follow notes the answer of another rule as a number, such as the pH to lime to. What rests on it stands no better
// than that answer, names its publications and carries what it assumes. An answer that is none takes an earlier
// number away.
func (f *Facts) Follow(w What, from Worked) {
	if from.Why != "" {
		delete(f.numbers, w)
		return
	}
	f.put(w, fact{
		byHand: true, value: from.Value, unit: from.Rule.Unit,
		origin:   working.Origin{Kind: working.Rulebook, Source: from.Rule.Source, With: from.Rule.Name},
		standing: Standing{Status: from.Status, Source: from.Rule.Source, Where: from.Rule.Where},
		sources:  from.Sources, assumed: from.Assumed,
	})
}

func (f *Facts) put(w What, v fact) {
	if f.numbers == nil {
		f.numbers = map[What]fact{}
	}
	f.numbers[w] = v
}

// Say notes a word, such as the previous crop; for an input of yes or no it is "yes" or "no". An empty word
// takes an earlier one away.
func (f *Facts) Say(w What, text string, o working.Origin) {
	if text == "" {
		delete(f.words, w)
		return
	}
	if f.words == nil {
		f.words = map[What]word{}
	}
	f.words[w] = word{text: text, origin: o}
}

// Sample notes what a laboratory found in a sample that speaks for the field. Samples of poor and good spots
// are left out by whoever calls.
func (f *Facts) Sample(s *season.Soil) { f.samples = append(f.samples, s) }

// Clone gives facts that can be changed without touching these.
func (f *Facts) Clone() *Facts {
	c := &Facts{Crop: f.Crop, samples: slices.Clone(f.samples)}
	for w, v := range f.numbers {
		c.put(w, v)
	}
	for w, v := range f.words {
		c.Say(w, v.text, v.origin)
	}
	return c
}
