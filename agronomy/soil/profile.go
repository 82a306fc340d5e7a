package soil

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// ProfileDepth is how deep Kansas and Minnesota count nitrate, sulfate and chloride: 24 in. Nebraska counts
// nitrate to 3 ft.
const ProfileDepth = 24 * unit.Inch

// sameSampling is how many days apart samples may be drawn and still be one look at a field (common
// practice, no source). Nitrate moves; older samples are not mixed in.
const sameSampling = 14

// Profile is what a field's soil holds of a mobile nutrient, layer by layer from the surface.
type Profile struct {
	// Held is the mass per area in the layers sampled, missing when nothing usable was sampled. Nitrate,
	// sulfate and chloride count as N, S and Cl.
	Held working.Fact[unit.Rate]
	// Depth is how deep the sampled layers reach from the surface, at most the depth asked for; Full says
	// that they reach it. What lies deeper is not known and not counted.
	Depth unit.Length
	Full  bool
	// Day is that of the latest sample used.
	Day        calendar.Day
	Convention unit.PoundsPerMillion
	Layers     []Layer
	// Warnings are doubts, in sentences.
	Warnings []string
}

// Layer is one sampled layer: the mean of the samples drawn from it.
type Layer struct {
	Top, Bottom unit.Length
	// Content is the mean of the samples.
	Content unit.Concentration
	// Held is what the layer holds, down to the depth asked for.
	Held    unit.Rate
	Samples []string
	// Below says that a sample was under the laboratory's limit, which was counted instead: the layer holds
	// at most Held.
	Below bool
}

// ProfileOf gives what the soil holds of an analyte measured in ppm, from the surface down to a depth: nitrate in the
// top 24 in, for one.
//
// All layers of the latest sampling count, each as the mean of its samples, from the surface as deep as they
// follow each other without a gap; a layer that reaches past the depth counts to there. Nothing is assumed about
// layers that were not sampled. Leave samples of poor and good spots out: they do not speak for the field.
//
// It refuses a layer without thickness and a value that no soil has. No sample at all is not an error:
// Held is then missing.
func ProfileOf(a season.Analyte, samples []*season.Soil, to unit.Length, convention unit.PoundsPerMillion) (Profile, error) {
	return ProfileBetween(a, samples, 0, to, convention)
}

// ProfileBetween does it for a layer that begins below the surface, such as 6 to 24 in. A sample that crosses
// its top is not divided, and so not counted.
func ProfileBetween(a season.Analyte, samples []*season.Soil, from, to unit.Length, convention unit.PoundsPerMillion) (Profile, error) {
	if KindOf(a) != unit.KindConcentration {
		return Profile{}, fmt.Errorf("a profile of %s cannot be added up; expected something measured in ppm", Name(a))
	}
	p := Profile{Convention: convention}
	used, latest, err := latestSampling(a, samples)
	if err != nil || len(used) == 0 {
		return p, err
	}
	p.Day = latest
	chain := deepest(layersOf(a, used), from, to)
	switch {
	case len(chain) == 0 && from == 0:
		p.warn("%s was sampled, but not from the surface: nothing is counted.", Name(a))
		return p, nil
	case len(chain) == 0:
		p.warn("%s was sampled, but not from %.0f in (%.0f cm) down: nothing is counted.", Name(a), float64(from/unit.Inch), float64(from)*100)
		return p, nil
	}
	total := unit.Rate(0)
	for _, l := range chain {
		l.Held = l.Content.InSoil(min(l.Bottom, to)-l.Top, convention)
		total += l.Held
		p.Depth = min(l.Bottom, to)
		p.Layers = append(p.Layers, l)
	}
	p.Full = p.Depth > to-rounding
	p.Held = working.Fact[unit.Rate]{Value: total, Origin: working.Origin{
		Kind: working.Observed, By: labs(used), On: latest,
		With: fmt.Sprintf("%s, at %.3g million lb of soil to the acre-inch", Depth(from, p.Depth), float64(convention)),
	}}
	p.doubt(a, from, to, used)
	return p, nil
}

// Mean is the mean concentration over the layers counted; 0 where nothing was.
func (p Profile) Mean() unit.Concentration {
	var sum float64 // mg/kg × m
	var thickness unit.Length
	for _, l := range p.Layers {
		t := min(l.Bottom, p.Depth) - l.Top
		sum += float64(l.Content) * float64(t)
		thickness += t
	}
	if thickness == 0 {
		return 0
	}
	return unit.Concentration(sum / float64(thickness))
}

func (p *Profile) warn(format string, args ...any) {
	p.Warnings = append(p.Warnings, fmt.Sprintf(format, args...))
}

// doubt warns of what was not sampled, not detected and not used.
func (p *Profile) doubt(a season.Analyte, from, to unit.Length, used []*season.Soil) {
	if !p.Full {
		p.warn("Only %s was sampled for %s: what lies below, to %.0f in (%.0f cm), is not known and not counted.",
			Depth(from, p.Depth), Name(a), float64(to/unit.Inch), float64(to)*100)
	}
	for _, l := range p.Layers {
		if l.Below {
			p.warn("In %s the laboratory found less than it can measure; its limit is counted, so there is at most that much.", Depth(l.Top, l.Bottom))
		}
		if l.Bottom > to+rounding {
			p.warn("The layer %s is counted down to %.0f in (%.0f cm) as if it were alike throughout.", Depth(l.Top, l.Bottom), float64(to/unit.Inch), float64(to)*100)
		}
	}
	for _, s := range used {
		counted := slices.ContainsFunc(p.Layers, func(l Layer) bool { return same(l.Top, s.Top) && same(l.Bottom, s.Bottom) })
		if !counted && s.Top < to-rounding && s.Bottom > from+rounding {
			p.warn("Sample %s, %s, is left out: it overlaps other layers or lies below one that was not sampled.", s.Sample, Depth(s.Top, s.Bottom))
		}
	}
}

// latestSampling picks the samples that have the analyte and were drawn no more than sameSampling days
// before the latest of them.
func latestSampling(a season.Analyte, samples []*season.Soil) (used []*season.Soil, latest calendar.Day, err error) {
	for _, s := range samples {
		r, ok := s.Find(a)
		if !ok {
			continue
		}
		if err := check(s, r); err != nil {
			return nil, latest, err
		}
		used = append(used, s)
		if s.Day.After(latest) {
			latest = s.Day
		}
	}
	used = slices.DeleteFunc(used, func(s *season.Soil) bool { return latest.Sub(s.Day) > sameSampling })
	// The order in which samples come in must not reach the last digit.
	slices.SortFunc(used, func(s, t *season.Soil) int {
		return cmp.Or(cmp.Compare(s.Top, t.Top), cmp.Compare(s.Bottom, t.Bottom), strings.Compare(s.Sample, t.Sample))
	})
	return used, latest, nil
}

// check refuses what no layer and no soil can be.
func check(s *season.Soil, r season.Result) error {
	if !(s.Top >= 0 && s.Bottom > s.Top && s.Bottom < 10) {
		return fmt.Errorf("sample %s of field %s reaches from %.3g to %.3g m; expected a layer that begins at or below the surface and has a thickness", s.Sample, s.Field, float64(s.Top), float64(s.Bottom))
	}
	if !(r.Value >= 0 && r.Value < 1e6) {
		return fmt.Errorf("sample %s of field %s has %v of %s; expected 0 or more", s.Sample, s.Field, r.Value, Name(r.Analyte))
	}
	return nil
}

// layersOf joins samples of the same layer. Samples and layers are in order of depth.
func layersOf(a season.Analyte, samples []*season.Soil) (layers []Layer) {
	for _, s := range samples {
		i := slices.IndexFunc(layers, func(l Layer) bool { return same(l.Top, s.Top) && same(l.Bottom, s.Bottom) })
		if i < 0 {
			i = len(layers)
			layers = append(layers, Layer{Top: s.Top, Bottom: s.Bottom})
		}
		l := &layers[i]
		r, _ := s.Find(a)
		l.Content += unit.Concentration(r.Value)
		l.Below = l.Below || r.Below
		l.Samples = append(l.Samples, s.Sample)
	}
	for i := range layers {
		layers[i].Content /= unit.Concentration(len(layers[i].Samples))
	}
	return layers
}

// deepest finds the layers that follow each other from a depth down the farthest; of two ways as deep, the
// one with the thinner layers first. The layers are in order of depth, thinner ones first.
func deepest(layers []Layer, from, to unit.Length) (best []Layer) {
	reach := from
	for i, l := range layers {
		if !same(l.Top, from) || from >= to-rounding {
			continue
		}
		chain := append([]Layer{l}, deepest(layers[i+1:], l.Bottom, to)...)
		if end := min(chain[len(chain)-1].Bottom, to); end > reach+rounding || best == nil {
			best, reach = chain, end
		}
	}
	return best
}

// labs names the laboratories, each once.
func labs(samples []*season.Soil) string {
	var names []string
	for _, s := range samples {
		if s.Lab != "" && !slices.Contains(names, s.Lab) {
			names = append(names, s.Lab)
		}
	}
	return strings.Join(names, ", ")
}
