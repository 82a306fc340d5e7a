package demo

import (
	"fmt"
	"math"
	"math/rand/v2"

	"culm/season"
)

// readings makes up the single readings of a comparison. Their means are the story's, whatever the seed:
// only how they scatter is drawn.
func (c comparison) readings(field string, seed uint64) *season.Readings {
	out := &season.Readings{
		Field: field, Strip: c.strip, Day: c.day, Observer: c.observer, Instrument: c.instrument,
		Reference: c.reference, Means: c.means,
	}
	r := chance(seed, fmt.Sprint("readings ", field, c.strip, c.day, c.reference, c.means))
	ground, reference, beside := c.noise(r)
	for i := range c.count {
		on := c.note(c.beside*c.ratio + ground[i]*c.ratio + reference[i])
		off := c.note(c.beside + ground[i] + beside[i])
		for _, reading := range []season.Reading{{Place: season.OnReference, Value: on}, {Place: season.Beside, Value: off}} {
			if c.isLog {
				const step = 40 // ft between readings
				reading.Along, reading.HasAlong = feet(float64(step*i)), true
			} else {
				reading.Pair = i + 1
			}
			out.Readings = append(out.Readings, reading)
		}
	}
	return out
}

// noise draws what makes the readings differ along the strip: the soil, which shows on the reference and
// beside it, and what is the reading's own on each of the two. Along a log neighbours resemble each other.
// Stops for pairs are far apart: there the draw is kept whose neighbours resemble each other least.
func (c comparison) noise(r *rand.Rand) (ground, reference, beside []float64) {
	const soil, own = 0.75, 0.66 // shares of the scatter, whose squares add up to 1
	if c.isLog {
		return drift(r, c.count, soil*c.scatter, 0.85), drift(r, c.count, own*c.scatter, 0.6), drift(r, c.count, own*c.scatter, 0.6)
	}
	ground = scatter(r, c.count, soil*c.scatter)
	least := math.Inf(1)
	for range 24 {
		on, off := scatter(r, c.count, own*c.scatter), scatter(r, c.count, own*c.scatter)
		if alike := math.Abs(resemblance(on, off)); alike < least {
			least, reference, beside = alike, on, off
		}
	}
	return ground, reference, beside
}

// resemblance is the correlation of the difference between two series with that of the neighbours.
func resemblance(on, off []float64) float64 {
	products, squares := 0.0, 0.0
	for i := range on {
		d := on[i] - off[i]
		squares += d * d
		if i > 0 {
			products += d * (on[i-1] - off[i-1])
		}
	}
	return products / squares
}

// note is a reading as it is written down: an index to three digits, a score to the half.
func (c comparison) note(value float64) float64 {
	if c.means == season.Eye {
		return min(10, max(0, round(value, 0.5)))
	}
	return min(0.99, max(0.05, round(value, 0.001)))
}
