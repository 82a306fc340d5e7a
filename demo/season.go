// Package demo makes up the winter of a district: the season that the demonstration, the screenshots and
// the browser tests show. Place, people, fields and figures are invented; the settings say so and every
// page repeats it.
//
// The cast is a fixed set of fields, each with a story that an advisor will know from their own rounds. The
// seed varies the noise around the stories (daily weather, scatter of readings) and never the stories
// themselves. Fields beyond the cast are drawn from the seed.
//
// Nothing here is a recommendation and nothing was measured. The figures are meant to be plausible for the
// southern Great Plains of North America, in the judgement of whoever wrote them; no source is claimed.
package demo

import (
	"cmp"
	"slices"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Cast is how many fields are always there.
const Cast = 26

// Today is the day on which the demonstration is looked at: a Wednesday in February.
func Today() calendar.Day { return calendar.Date(2027, time.February, 10) }

// The people of the invented district, and the devices they write with.
const (
	advisor      = "Nadia Brandvold"
	scout        = "Teo Marchetti"
	scoutsPhone  = "phone of Teo Marchetti"
	secondScout  = "Adaeze Kirkwood"
	secondsPhone = "phone of Adaeze Kirkwood"
	laboratory   = "Divide Soil Laboratory (invented)"
	weatherDesk  = "Harrow Divide weather desk (invented)"
)

// Season gives the entries of a season with that many fields, in order of recording, and never fewer than
// the cast. The same seed gives the same entries, and a larger season holds every entry of a smaller one.
func Season(fields int, seed uint64) []season.Entry {
	n := &notebook{seed: seed}
	writeSettings(n)
	writeRigs(n)
	writePrices(n)
	writeTrials(n)
	writeWeather(n)
	writeForecasts(n)
	all := append(cast(), crowd(max(fields-Cast, 0), seed)...)
	writeProducers(n, all)
	for i, s := range all {
		writeField(n, i, s)
	}
	return n.inOrder()
}

func writeSettings(n *notebook) {
	n.write(advisor, calendar.Date(2026, time.September, 1), &season.Settings{
		Name:        "Harrow Divide, winter 2026/27",
		District:    "Harrow Divide, an invented district",
		Advisor:     advisor,
		Invented:    true,
		HarvestYear: 2027,
		Units:       unit.US,
		LimeScore: working.Fact[unit.Fraction]{
			Value:  62 * unit.Percent,
			Origin: working.Origin{Kind: working.Observed, By: laboratory, On: calendar.Date(2026, time.June, 4), With: "lime of the Divide Co-op's quarry"},
		},
		LocalRules: "This district is invented and has no rules of its own. In a real one this is the place for setbacks from water, closed dates and licences.",
	})
}

func writeProducers(n *notebook, all []story) {
	var known []string
	for _, s := range all {
		if slices.Contains(known, s.producer) {
			continue
		}
		known = append(known, s.producer)
		n.write(advisor, calendar.Date(2026, time.September, 1), &season.Producer{ID: slug(s.producer), Name: s.producer})
	}
}

// inOrder gives the entries as a notebook would hold them: in the order in which they were recorded.
func (n *notebook) inOrder() []season.Entry {
	slices.SortFunc(n.entries, func(a, b season.Entry) int {
		return cmp.Or(a.Recorded.Compare(b.Recorded), cmp.Compare(a.ID, b.ID))
	})
	return n.entries
}
