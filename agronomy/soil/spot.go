package soil

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
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
//
// Samplings are often numbered from 1 each, so that one id may stand for several days. A spot's rows are those of
// the day nearest after it was marked, that day included. Rows from before speak for the field. Rows of a later day
// may be of the spot again or of the field: they count for neither, and are reported.
func Match(spots []*season.Spot, rows []*season.Soil) Matched {
	m := Matched{}
	bySample := map[string][]*season.Soil{}
	for _, r := range rows {
		bySample[id(r.Sample)] = append(bySample[id(r.Sample)], r)
	}
	taken := map[*season.Soil]bool{}
	var again []resampled
	pairs := map[string]*Pair{}
	var names []string
	for _, s := range spots {
		found, later := m.rowsOf(s, bySample)
		for _, r := range found {
			taken[r] = true
		}
		for _, r := range later {
			again = append(again, resampled{s, found[0].Day, r})
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
	m.reportAgain(again, taken)
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

// rowsOf finds a spot's rows, from the surface down, and reports a spot that has none. later are rows under its
// id that were drawn after them.
func (m *Matched) rowsOf(s *season.Spot, bySample map[string][]*season.Soil) (found, later []*season.Soil) {
	if id(s.Sample) == "" {
		m.report("Spot %s was marked but has no sample.", s.ID)
		return nil, nil
	}
	var rows []*season.Soil
	for _, r := range bySample[id(s.Sample)] {
		if r.Field == "" || s.Field == "" || r.Field == s.Field {
			rows = append(rows, r)
		}
	}
	slices.SortStableFunc(rows, func(a, b *season.Soil) int { return cmp.Or(a.Day.Sub(b.Day), cmp.Compare(a.Top, b.Top)) })
	from := slices.IndexFunc(rows, func(r *season.Soil) bool { return !r.Day.Before(s.Day) })
	switch {
	case len(rows) == 0:
		m.report("Spot %s: the laboratory has not reported sample %s.", s.ID, s.Sample)
		return nil, nil
	case from < 0:
		m.report("Spot %s was marked on %s, after sample %s was drawn on %s: that sample speaks for the field and not for the spot.", s.ID, s.Day, s.Sample, rows[len(rows)-1].Day)
		return nil, nil
	case s.Day.IsZero() && rows[0].Day != rows[len(rows)-1].Day:
		m.report("Spot %s has no day, and sample %s was drawn on several: none of them is taken for the spot.", s.ID, s.Sample)
		return nil, nil
	}
	to := from
	for to < len(rows) && rows[to].Day == rows[from].Day {
		to++
	}
	return rows[from:to:to], rows[to:]
}

// resampled is a row under a spot's id that was drawn after the spot's own.
type resampled struct {
	spot *season.Spot
	own  calendar.Day
	row  *season.Soil
}

// reportAgain keeps rows that no other spot has taken from speaking for the field, and says so once for each day.
func (m *Matched) reportAgain(again []resampled, taken map[*season.Soil]bool) {
	for _, a := range again {
		if taken[a.row] {
			continue
		}
		for _, b := range again {
			taken[b.row] = taken[b.row] || b.spot == a.spot && b.row.Day == a.row.Day
		}
		m.report("Sample %s was drawn again on %s, after that of spot %s on %s: it counts neither for the spot nor for the field. Give it an id of its own if it speaks for the field.",
			a.row.Sample, a.row.Day, a.spot.ID, a.own)
	}
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
