package demo

import (
	"fmt"

	"culm/agronomy/unit"
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
	// The soil changes along the strip and shows on both sides of it; the rest is the reading's own.
	shared, own := 0.0, 0.8
	if c.isLog {
		shared, own = 0.85, 0.4
	}
	ground := drift(r, c.count, c.scatter*0.75, shared)
	reference := drift(r, c.count, c.scatter*0.66, 1-own)
	beside := drift(r, c.count, c.scatter*0.66, 1-own)
	for i := range c.count {
		on := c.note(c.beside*c.ratio + ground[i]*c.ratio + reference[i])
		off := c.note(c.beside + ground[i] + beside[i])
		for _, reading := range []season.Reading{{Place: season.OnReference, Value: on}, {Place: season.Beside, Value: off}} {
			if c.isLog {
				const step = 40 // ft between readings
				reading.Along, reading.HasAlong = unit.Length(step*i)*unit.Foot, true
			} else {
				reading.Pair = i + 1
			}
			out.Readings = append(out.Readings, reading)
		}
	}
	return out
}

// note is a reading as it is written down: an index to three digits, a score to the half.
func (c comparison) note(value float64) float64 {
	if c.means == season.Eye {
		return min(10, max(0, round(value, 0.5)))
	}
	return min(0.99, max(0.05, round(value, 0.001)))
}
