package rulebook

import (
	"fmt"
	"math"
	"slices"

	"culm/agronomy/working"
	"culm/season"
)

// With gives the rule with an advisor's own numbers in place of some of its constants, or of the defaults of
// its inputs, under another key and name. It stands in a book of its own that nobody published: the notes, the
// ground it was fitted on and the examples of the publication fall away; the origin stands beside each of the
// advisor's numbers, and what stays keeps its source and standing. It fails when the rule has no such number
// or the value cannot be used.
func (r *Rule) With(key, name string, numbers map[string]float64, origin working.Origin) (*Rule, error) {
	own := *r
	own.Name, own.FittedOn, own.Notes, own.Examples, own.Claims = name, origin.Why, nil, nil, nil
	own.Source, own.Where, own.Form = "", "", Standing{}
	own.Constants, own.Inputs = slices.Clone(r.Constants), slices.Clone(r.Inputs)
	own.own = origin
	own.replaced = map[string]bool{}
	for _, n := range sortedKeys(numbers) {
		if err := own.replace(n, numbers[n]); err != nil {
			return nil, err
		}
	}
	own.Book = &Book{Key: key, Name: name, Region: r.Book.Region, Sources: r.Book.Sources, found: r.Book.found, Rules: []*Rule{&own}}
	// Formulas print the numbers of constants, so they are compiled anew.
	own.Steps, own.Terms, own.Silent, own.Remarks = slices.Clone(r.Steps), slices.Clone(r.Terms), slices.Clone(r.Silent), slices.Clone(r.Remarks)
	own.Classes = slices.Clone(r.Classes)
	own.compiled = compiled{}
	check := &reader{file: key, stage: StageUnits}
	if check.compile(&own); len(check.problems) > 0 {
		return nil, check.problems[0]
	}
	if r.Rating != nil {
		own.Rating = &own.Classes[slices.IndexFunc(own.Classes, func(c Classes) bool { return c.Name == r.Rating.Name })]
	}
	return &own, nil
}

func sortedKeys(m map[string]float64) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// replace puts one number in.
func (r *Rule) replace(name string, v float64) error {
	if math.IsNaN(v) || math.Abs(v) > maxNumber {
		return fmt.Errorf("%s is not a number that can be reckoned with", name)
	}
	r.replaced[name] = true
	if i := slices.IndexFunc(r.Constants, func(c Constant) bool { return c.Name == name }); i >= 0 {
		c := &r.Constants[i]
		c.Value, c.Low, c.High = v, 0, 0
		return nil
	}
	i := r.Slot(What(name))
	if i < 0 || r.Inputs[i].Default == nil || r.Inputs[i].Sort != Number {
		return fmt.Errorf("%s of %s has no number %q of its own", r.Key, r.Book.Key, name)
	}
	in := &r.Inputs[i]
	if v < in.Low || v > in.High {
		return fmt.Errorf("the %s is %s, and the book was made for values from %s to %s", in.Label, plain(v), plain(in.Low), plain(in.High))
	}
	d := *in.Default
	d.Value, d.Low, d.High, d.Is, d.written = v, 0, 0, nil, written{}
	in.Default = &d
	return nil
}

// isOwn says that a number is the advisor's.
func (r *Rule) isOwn(name string) bool { return r.replaced[name] }

// Answering lists the rules of books that answer something for a crop, in the order of the books.
func Answering(books []*Book, a Answer, c season.Crop) []*Rule {
	var all []*Rule
	for _, b := range books {
		for _, r := range b.Rules {
			if r.Answers == a && (c == "" || r.For(c)) {
				all = append(all, r)
			}
		}
	}
	return all
}
