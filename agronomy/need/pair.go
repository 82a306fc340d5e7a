package need

import (
	"cmp"
	"math"
	"slices"

	"culm/season"
)

// matched are readings joined into pairs, in the order walked.
type matched struct {
	points  []Point
	how     string
	leftOut int // readings without a partner
}

// match pairs readings by number where any has one, otherwise by distance along the strip. Without either
// there are no pairs.
func match(readings []season.Reading) matched {
	numbered, located := false, false
	for _, x := range readings {
		numbered = numbered || x.Pair > 0
		located = located || x.HasAlong
	}
	switch {
	case numbered:
		return byNumber(readings)
	case located:
		return byDistance(readings)
	default:
		return matched{how: "not paired: neither pair numbers nor distances along the strip"}
	}
}

// byNumber joins the readings of each pair number. Several readings at one place of a pair are repeats of
// one reading and are averaged. The pairs are in order of distance where every one has a distance, otherwise
// of number: people number as they walk.
func byNumber(readings []season.Reading) matched {
	sorted := make([]season.Reading, 0, len(readings))
	located := true
	for _, x := range readings {
		if x.Pair > 0 {
			sorted = append(sorted, x)
			located = located && x.HasAlong
		}
	}
	m := matched{how: "by pair number", leftOut: len(readings) - len(sorted)}
	slices.SortFunc(sorted, func(a, b season.Reading) int {
		return cmp.Or(cmp.Compare(a.Pair, b.Pair), cmp.Compare(a.Place, b.Place), cmp.Compare(a.Along, b.Along), cmp.Compare(a.Value, b.Value))
	})
	for len(sorted) > 0 {
		n := 1
		for n < len(sorted) && sorted[n].Pair == sorted[0].Pair {
			n++
		}
		p, both := meanOfPair(sorted[:n], located)
		if both {
			m.points = append(m.points, p)
		} else {
			m.leftOut += n
		}
		sorted = sorted[n:]
	}
	slices.SortStableFunc(m.points, func(a, b Point) int { return cmp.Compare(a.At, b.At) })
	return m
}

// meanOfPair averages the readings of one pair number at each place; both says that there were any at each.
func meanOfPair(readings []season.Reading, located bool) (p Point, both bool) {
	on, beside, along := 0.0, 0.0, 0.0
	for _, x := range readings {
		if x.Place == season.OnReference {
			p.Reference += x.Value
			on++
		} else {
			p.Beside += x.Value
			beside++
		}
		along += float64(x.Along)
	}
	if on == 0 || beside == 0 {
		return Point{}, false
	}
	p.Reference /= on
	p.Beside /= beside
	p.At = float64(readings[0].Pair)
	if located {
		p.At = along / float64(len(readings))
	}
	return p, true
}

// spot is a reading of a log: metres along the strip, and the value there.
type spot struct{ at, value float64 }

// byDistance joins two logs along a strip. The log with fewer readings sets the places: every reading of
// the other goes to the place nearest to it and those at one place are averaged, so that each pair is one
// piece of ground and no reading is used twice. A reading farther from its place than the median spacing of
// the places is of other ground and is left out: on evenly read ground the nearest place is never more than
// half a spacing away, so a whole one allows for uneven walking and no more.
//
// Which log is the reference plays no part, so exchanging the two exchanges the pairs and nothing else.
func byDistance(readings []season.Reading) matched {
	m := matched{how: "by distance along the strip"}
	on, missedOn := logOf(readings, season.OnReference)
	beside, missedBeside := logOf(readings, season.Beside)
	m.leftOut = missedOn + missedBeside
	onIsPlaces := len(on) < len(beside) || len(on) == len(beside) && earlier(on, beside)
	places, others := beside, on
	if onIsPlaces {
		places, others = on, beside
	}
	if len(places) == 0 {
		m.leftOut = len(readings)
		return m
	}
	means, missed := gather(places, others)
	m.leftOut += missed
	for i, mean := range means {
		switch {
		case math.IsNaN(mean):
			m.leftOut++
		case onIsPlaces:
			m.points = append(m.points, Point{places[i].at, places[i].value, mean})
		default:
			m.points = append(m.points, Point{places[i].at, mean, places[i].value})
		}
	}
	return m
}

// logOf takes one place's readings out in order of distance, one for each distance: a sensor standing still
// repeats itself. Readings without distance are counted as missed.
func logOf(readings []season.Reading, place season.Place) (log []spot, missed int) {
	for _, x := range readings {
		switch {
		case x.Place != place:
		case !x.HasAlong:
			missed++
		default:
			log = append(log, spot{float64(x.Along), x.Value})
		}
	}
	slices.SortFunc(log, func(a, b spot) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.value, b.value)) })
	merged := log[:0]
	for len(log) > 0 {
		n, sum := 0, 0.0
		for n < len(log) && log[n].at == log[0].at {
			sum += log[n].value
			n++
		}
		merged = append(merged, spot{log[0].at, sum / float64(n)})
		log = log[n:]
	}
	return merged, missed
}

// earlier says that one log of two equally long ones begins before the other.
func earlier(a, b []spot) bool {
	return slices.CompareFunc(a, b, func(x, y spot) int { return cmp.Compare(x.at, y.at) }) < 0
}

// gather averages, for each place, the readings of the other log that are nearest to it. A place without
// any is NaN. Both logs are in order of distance.
func gather(places, others []spot) (means []float64, missed int) {
	reach := medianSpacing(places)
	means = make([]float64, len(places))
	counts := make([]float64, len(places))
	i := 0
	for _, o := range others {
		for i+1 < len(places) && math.Abs(places[i+1].at-o.at) < math.Abs(places[i].at-o.at) {
			i++
		}
		if math.Abs(places[i].at-o.at) > reach {
			missed++
			continue
		}
		means[i] += o.value
		counts[i]++
	}
	for i := range means {
		means[i] /= counts[i] // 0/0 is NaN: nothing was near
	}
	return means, missed
}

// medianSpacing is the middle distance between neighbours, m; without neighbours anything is near.
func medianSpacing(places []spot) float64 {
	if len(places) < 2 {
		return math.Inf(1)
	}
	gaps := make([]float64, len(places)-1)
	for i := range gaps {
		gaps[i] = places[i+1].at - places[i].at
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/2]
}
