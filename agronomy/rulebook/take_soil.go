package rulebook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

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
	samples := t.byMethod(f, a, i, in)
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
		t.refuseElsewhere(samples, i, in)
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
	if !p.Full && !s.AsSampled && s.Partial == PartialSilent {
		t.refused[i] = fmt.Sprintf("the %s was sampled %s only, and the book is for %s: what lies below is not known, and missing is not none", inputLabel(in.Name), soil.Depth(s.Top, p.Depth), s.reach())
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
	if p.Full || s.AsSampled {
		return
	}
	o := &t.origins[i]
	o.Kind, o.Why = working.Assumed, "sampled "+soil.Depth(s.Top, p.Depth)+" only; "+s.Partial.assumes()
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

// refuseElsewhere tells that there are samples, none of which begins where the rule does. Where a default stands in,
// it stands in here too.
func (t *taken) refuseElsewhere(samples []*season.Soil, i int, in *Input) {
	if in.Default == nil {
		t.refused[i] = fmt.Sprintf("the %s was sampled %s only, and the book is for %s", inputLabel(in.Name), soil.Depth(samples[0].Top, samples[0].Bottom), cmp.Or(in.Soil.reach(), "the surface"))
	}
}

// nearEnough is how far the bottom of a sample may lie from the depth of a rule and still stand for it, with a word
// on it: 6 in for 8 in, or 20 cm for 6 in (common practice, no source). Beyond it the sample is of another soil.
const nearEnough = 2.5 * unit.Inch

// takeLayer takes the mean of the samples of the layer that comes nearest to the rule's.
func (t *taken) takeLayer(samples []*season.Soil, a season.Analyte, i int, in *Input) {
	off := func(s *season.Soil) unit.Length {
		if in.Soil.Depth == "" || in.Soil.AsSampled {
			return 0
		}
		return max(s.Bottom-in.Soil.Bottom, in.Soil.Bottom-s.Bottom)
	}
	fromTop := func(s *season.Soil) bool { return s.Top-in.Soil.Top < alike && in.Soil.Top-s.Top < alike }
	elsewhere := samples
	samples = slices.DeleteFunc(slices.Clone(samples), func(s *season.Soil) bool { return !fromTop(s) })
	if len(samples) == 0 {
		t.refuseElsewhere(elsewhere, i, in)
		return
	}
	latest := slices.MaxFunc(samples, func(p, q *season.Soil) int { return p.Day.Sub(q.Day) }).Day
	samples = slices.DeleteFunc(samples, func(s *season.Soil) bool { return latest.Sub(s.Day) > sameSampling })
	nearest := slices.MinFunc(samples, func(p, q *season.Soil) int { return cmp.Compare(off(p), off(q)) })
	if off(nearest) > nearEnough {
		t.refused[i] = fmt.Sprintf("the %s was sampled %s, and the book is for %s: that is another soil", inputLabel(in.Name), soil.Depth(nearest.Top, nearest.Bottom), in.Soil.reach())
		return
	}
	samples = slices.DeleteFunc(samples, func(s *season.Soil) bool { return off(s) > min(off(nearest)+alike, nearEnough) })
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
