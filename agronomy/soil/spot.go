package soil

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"culm/season"
)

// Pair is a poor spot and the good ground beside it, with what the laboratory found in each.
type Pair struct {
	Name       string
	Poor, Good *season.Spot
	// PoorSoil and GoodSoil are the laboratory's rows, from the surface down; never empty.
	PoorSoil, GoodSoil []*season.Soil
}

// Matched are spots joined with each other and with the laboratory's rows.
type Matched struct {
	Pairs []Pair // by name
	// Unmatched says, in sentences, which spots could not be used and why.
	Unmatched []string
	// Rest are the laboratory's rows that belong to no spot: samples that speak for the field.
	Rest []*season.Soil
}

// Match joins poor spots with the good ground of the same pair name, and spots with the laboratory's rows by
// sample id. Ids are compared without regard to capitals and to spaces around them, because laboratories
// type them anew. A spot without partner, without sample id or without a row is reported, never guessed.
func Match(spots []*season.Spot, rows []*season.Soil) Matched {
	m := Matched{}
	bySample := map[string][]*season.Soil{}
	for _, r := range rows {
		bySample[id(r.Sample)] = append(bySample[id(r.Sample)], r)
	}
	taken := map[*season.Soil]bool{}
	pairs := map[string]*Pair{}
	var names []string
	for _, s := range spots {
		found := m.rowsOf(s, bySample)
		for _, r := range found {
			taken[r] = true
		}
		key := id(s.Pair)
		if key == "" {
			m.report("Spot %s belongs to no pair.", s.ID)
			continue
		}
		if pairs[key] == nil {
			pairs[key] = &Pair{Name: strings.TrimSpace(s.Pair)}
			names = append(names, key)
		}
		m.place(pairs[key], s, found)
	}
	for _, key := range names {
		m.close(pairs[key])
	}
	for _, r := range rows {
		if !taken[r] {
			m.Rest = append(m.Rest, r)
		}
	}
	slices.SortFunc(m.Pairs, func(a, b Pair) int { return cmp.Compare(a.Name, b.Name) })
	return m
}

func id(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

func (m *Matched) report(format string, args ...any) {
	m.Unmatched = append(m.Unmatched, fmt.Sprintf(format, args...))
}

// rowsOf finds a spot's rows, from the surface down, and reports a spot that has none.
func (m *Matched) rowsOf(s *season.Spot, bySample map[string][]*season.Soil) (found []*season.Soil) {
	if id(s.Sample) == "" {
		m.report("Spot %s was marked but has no sample.", s.ID)
		return nil
	}
	for _, r := range bySample[id(s.Sample)] {
		if r.Field == "" || s.Field == "" || r.Field == s.Field {
			found = append(found, r)
		}
	}
	if len(found) == 0 {
		m.report("Spot %s: the laboratory has not reported sample %s.", s.ID, s.Sample)
	}
	slices.SortStableFunc(found, func(a, b *season.Soil) int { return cmp.Compare(a.Top, b.Top) })
	return found
}

// place puts a spot into its pair.
func (m *Matched) place(p *Pair, s *season.Spot, found []*season.Soil) {
	switch {
	case s.Spot != season.PoorSpot && s.Spot != season.GoodSpot:
		m.report("Spot %s is marked %q; expected %q or %q.", s.ID, s.Spot, season.PoorSpot, season.GoodSpot)
	case s.Spot == season.PoorSpot && p.Poor == nil:
		p.Poor, p.PoorSoil = s, found
	case s.Spot == season.GoodSpot && p.Good == nil:
		p.Good, p.GoodSoil = s, found
	default:
		m.report("Spot %s: pair %s has a %s spot already; the first is used.", s.ID, p.Name, s.Spot)
	}
}

// close keeps a pair that is whole. A spot without a row was reported before.
func (m *Matched) close(p *Pair) {
	switch {
	case p.Poor == nil && p.Good == nil:
	case p.Good == nil:
		m.report("Poor spot %s has no good ground beside it to compare with.", p.Poor.ID)
	case p.Poor == nil:
		m.report("Good spot %s has no poor spot beside it.", p.Good.ID)
	case len(p.PoorSoil) > 0 && len(p.GoodSoil) > 0:
		m.Pairs = append(m.Pairs, *p)
	}
}
