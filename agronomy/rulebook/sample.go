package rulebook

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// sampler sets a rule's slots to values from inside its ranges, always the same ones for the same rule.
type sampler struct {
	rule   *Rule
	slots  *Slots
	random *rand.Rand
	words  []string // that the rule knows, and one that it does not
}

func newSampler(r *Rule) *sampler {
	var seed uint64
	for _, c := range r.ID() {
		seed = seed*31 + uint64(c)
	}
	return &sampler{rule: r, slots: r.NewSlots(), random: rand.New(rand.NewPCG(seed, 1)), words: r.allWords()}
}

// allWords lists the words that the rule's tables and inputs know, and one that they do not.
func (r *Rule) allWords() []string {
	words := []string{"something else"}
	for i := range r.Tables {
		for _, row := range r.Tables[i].Rows {
			words = append(words, row.Words...)
		}
	}
	for _, in := range r.Inputs {
		words = append(words, in.Words...)
		if in.Default != nil && in.Default.Word != "" {
			words = append(words, in.Default.Word)
		}
	}
	return words
}

// choices is how many values of an input are tried at corners: two for each number, and one for a default or an
// absence.
func (s *sampler) choices(i int) int {
	in := &s.rule.Inputs[i]
	n := 2
	if in.Sort == Word {
		n = min(len(s.words), 4)
	}
	if in.Optional || in.Default != nil {
		n++
	}
	return n
}

// corner sets the slots to a corner, numbered from 0; false when there is no such corner. Of more corners than
// most, as many are drawn.
func (s *sampler) corner(n, most int) bool {
	all := 1
	for i := range s.rule.Inputs {
		all = min(all*s.choices(i), most+1)
	}
	for i := range s.rule.Inputs {
		k := s.choices(i)
		if all > most {
			s.pick(i, s.random.IntN(k))
			continue
		}
		s.pick(i, n%k)
		n /= k
	}
	return n == 0 || all > most
}

func (s *sampler) pick(i, choice int) {
	in := &s.rule.Inputs[i]
	switch {
	case in.Sort == Word && choice < min(len(s.words), 4):
		s.slots.SetWord(i, s.words[choice])
	case choice == 0:
		s.slots.Set(i, in.Low) // 0 where yes or no
	case choice == 1 && in.Sort == YesNo:
		s.slots.Set(i, 1)
	case choice == 1:
		s.slots.Set(i, in.High)
	default:
		s.slots.Clear(i)
	}
}

// anywhere sets the slots to a point drawn from the ranges.
func (s *sampler) anywhere() {
	for i := range s.rule.Inputs {
		s.draw(i)
	}
}

func (s *sampler) draw(i int) {
	in := &s.rule.Inputs[i]
	switch canMiss := in.Optional || in.Default != nil; {
	case canMiss && s.random.IntN(4) == 0:
		s.slots.Clear(i)
	case in.Sort == Word:
		s.slots.SetWord(i, s.words[s.random.IntN(len(s.words))])
	case in.Sort == YesNo:
		s.slots.Set(i, float64(s.random.IntN(2)))
	default:
		s.slots.Set(i, s.number(i))
	}
}

// number draws from a range, now and then a level of a table, where something may happen.
func (s *sampler) number(i int) float64 {
	in := &s.rule.Inputs[i]
	if s.random.IntN(4) == 0 {
		for _, t := range s.rule.Tables {
			for _, a := range t.Axes {
				if level := a.At[s.random.IntN(len(a.At))]; a.Name == string(in.Name) && level >= in.Low && level <= in.High {
					return level
				}
			}
		}
	}
	return in.Low + (in.High-in.Low)*s.random.Float64()
}

// at writes where the slots stand, for a message.
func (s *sampler) at() string {
	var parts []string
	for i, in := range s.rule.Inputs {
		switch {
		case !s.slots.in[i].Given:
		case in.Sort == Word:
			parts = append(parts, fmt.Sprintf("%s %q", in.Name, s.slots.texts[i]))
		default:
			parts = append(parts, fmt.Sprintf("%s %s", in.Name, short(s.slots.in[i].Number)))
		}
	}
	return strings.Join(parts, ", ")
}

// answers finds whether the rule answers everywhere inside its ranges, at the corners and in drawn samples.
func (r *reader) answers(rule *Rule, e effort, f *Finding) {
	s := newSampler(rule)
	path := "rules." + rule.Key
	spoke := 0
	look := func() bool {
		f.Checked++
		v, why := rule.Evaluate(s.slots)
		switch {
		case why.kind == answered:
			spoke++
		case silentOnPurpose(why):
			return true
		default:
			r.fail(rule.Line, path, "%s, at %s", rule.Why(s.slots, why), s.at())
			return false
		}
		switch {
		case math.IsNaN(v) || math.IsInf(v, 0):
			r.fail(rule.Line, path, "gives no finite number at %s", s.at())
			return false
		case v < 0 && rule.Answers != Index:
			r.fail(rule.Line, path, "gives %s at %s, expected nothing below 0; set floor: 0", quantityText(v, rule.Unit), s.at())
			return false
		}
		return true
	}
	for n := range e.corners {
		if !s.corner(n, e.corners) {
			break
		}
		if !look() {
			return
		}
	}
	for range e.samples {
		if s.anywhere(); !look() {
			return
		}
	}
	if spoke == 0 {
		r.fail(rule.Line, path, "answers nowhere inside its own ranges")
	}
}

// holds tries what the book says of itself on pairs of samples that differ in one input.
func (r *reader) holds(rule *Rule, e effort, f *Finding) {
	s := newSampler(rule)
	for _, c := range rule.Claims {
		i := rule.Slot(c.Input)
		answeredPairs := 0
		for range e.pairs {
			s.anywhere()
			low, high := s.number(i), s.number(i)
			if low > high {
				low, high = high, low
			}
			before, why1 := s.valueAt(i, low)
			after, why2 := s.valueAt(i, high)
			if !why1.Answered() || !why2.Answered() {
				continue
			}
			answeredPairs++
			f.Checked++
			if c.broken(before, after) {
				r.fail(c.Line, "rules."+rule.Key+".claims", "does not hold: the answer goes from %s to %s as %s goes from %s to %s; %s",
					short(before), quantityText(after, rule.Unit), c.Input, short(low), short(high), s.at())
				break
			}
		}
		if answeredPairs == 0 {
			r.fail(c.Line, "rules."+rule.Key+".claims", "could not be tried: the rule answers nowhere")
		}
	}
}

func (s *sampler) valueAt(i int, v float64) (float64, Silence) {
	s.slots.Set(i, v)
	return s.rule.Evaluate(s.slots)
}

// broken says that the answer moves as the claim denies, for an input that rises.
func (c Claim) broken(before, after float64) bool {
	slack := hair * max(1, math.Abs(before), math.Abs(after))
	mayNotRise := (c.Never == neverRises) == c.Rises
	if mayNotRise {
		return after > before+slack
	}
	return after < before-slack
}
