package response

import (
	"math"

	"culm/agronomy/unit"
)

// family is the curves yield = level + gain z(N; bend) of one form: for a given bend, the one parameter
// that is not linear, the rest is a straight-line fit of yield on z. z never falls as N rises, so a
// positive gain is a response.
type family struct {
	z func(rate, bend float64) float64
	// dz is the derivative of z with respect to bend.
	dz func(rate, bend float64) float64
}

// member is the best curve of a family at one bend.
type member struct {
	bend, level, gain float64
	rss               float64
	// downhill is the derivative of rss with respect to bend; the least-squares level and gain make their
	// own share of it vanish.
	downhill float64
}

// linePlateau: a + b min(N, J).
func linePlateau() family {
	return family{
		z: func(n, join float64) float64 { return min(n, join) },
		dz: func(n, join float64) float64 {
			if n > join {
				return 1
			}
			return 0
		},
	}
}

// curvePlateau: Ymax − k/2 (M − N)² with gain k/2.
func curvePlateau() family {
	return family{
		z:  func(n, join float64) float64 { return -square(max(join-n, 0)) },
		dz: func(n, join float64) float64 { return -2 * max(join-n, 0) },
	}
}

// saturation: A − (A − y0) exp(−c N) with level A. The gain is that above the lowest rate, since where
// that is high, exp(−c N) may be too small for a number.
func saturation(lowest float64) family {
	return family{
		z:  func(n, c float64) float64 { return -math.Exp(-c * (n - lowest)) },
		dz: func(n, c float64) float64 { return (n - lowest) * math.Exp(-c*(n-lowest)) },
	}
}

func (t *trial) linearPlateau() Curve {
	best := t.best(linePlateau(), t.joins())
	return t.mark(t.describe(LinearPlateau, [parameters]float64{best.level, best.gain, best.bend}))
}

func (t *trial) quadraticPlateau() Curve {
	best := t.best(curvePlateau(), t.joins())
	// Beyond the highest rate the plateau is out of sight and the form is the quadratic with its top there,
	// or, where the quadratic has none, the straighter the better.
	beyond := straightest * t.highest()
	_, b1, b2 := split(t.quadratic())
	if top := -b1 / (2 * b2); b2 < 0 && top < beyond {
		beyond = max(top, t.highest())
	}
	if m := t.at(curvePlateau(), beyond); m.gain > 0 && m.rss < best.rss {
		best = m
	}
	return t.mark(t.describe(QuadraticPlateau, [parameters]float64{best.level, 2 * best.gain, best.bend}))
}

func (t *trial) mitscherlich() Curve {
	best := t.best(saturation(t.lowest()), t.constants())
	y0 := best.level - best.gain*math.Exp(best.bend*t.lowest())
	return t.mark(t.describe(Mitscherlich, [parameters]float64{best.level, y0, best.bend}))
}

func split(p [parameters]float64) (a, b, c float64) { return p[0], p[1], p[2] }

// straightest bounds the families at their straight end: the slope of a quadratic-plateau or Mitscherlich
// curve there changes by one part in this many over the rates tested.
const straightest = 1000

// mark notes that a curve stands at an end of its family: as straight as it goes, or with all but a
// millionth of its response by the second-lowest rate.
func (t *trial) mark(c Curve) Curve {
	start, end := t.lowest(), t.highest()
	atStart, beforeEnd := c.slope(start), c.slope(end*(1-1e-6))
	c.Straight = atStart > 0 && beforeEnd > atStart*(1-2.0/straightest)
	if all := c.yield(end) - c.yield(start); all > 0 && c.yield(end)-c.yield(t.second()) < 1e-6*all {
		c.Sudden = unit.Rate(t.second())
	}
	return c
}

// joins is the grid of join points, from the second-lowest rate to the highest. Between the two lowest
// rates every join fits alike.
//
// What a curve that joins between two rates can do is set by how far the join is from the rate before
// both. So each gap is cut in steps that grow with that distance, by an eighth: narrow where a wide gap
// follows a narrow one, and never fewer than four. A last one ends just short of the next rate, since the
// linear-plateau's derivative jumps there. Every valley in every gap is seen then. A trial with very many
// rates has no gap worth it, and its range is cut evenly.
func (t *trial) joins() []float64 {
	const growth, fewest, justShort, manyRates, evenCuts = 1.125, 4, 1e-9, 64, 256
	grid := []float64{t.second()}
	if len(t.steps) > manyRates {
		for i := 1; i <= evenCuts; i++ {
			grid = append(grid, t.second()+(t.highest()-t.second())*float64(i)/evenCuts)
		}
		return grid
	}
	for i := 2; i < len(t.steps); i++ {
		before, from, to := t.steps[i-2].rate, t.steps[i-1].rate, t.steps[i].rate
		ratio := (to - before) / (from - before)
		cuts := max(math.Ceil(math.Log(ratio)/math.Log(growth)), fewest)
		for cut := 1.0; cut < cuts; cut++ {
			grid = append(grid, before+(from-before)*math.Pow(ratio, cut/cuts))
		}
		grid = append(grid, to-(to-from)*justShort, to)
	}
	return grid
}

// constants is the grid of rate constants, from the straightest curve to one that is level before the
// second-lowest rate, or as far that way as y0 remains a number. Even steps in the logarithm: a factor of
// 1.2 or so each.
func (t *trial) constants() []float64 {
	const points, level, largest = 96, 30, 650
	low, high := 1/(straightest*t.highest()), level/(t.second()-t.lowest())
	if t.lowest() > 0 {
		high = min(high, largest/t.lowest())
	}
	grid := make([]float64, points)
	for i := range grid {
		grid[i] = low * math.Pow(high/low, float64(i)/(points-1))
	}
	return grid
}

// best is the member with the least squares among all valleys along the grid and the two ends of it. Where
// no member rises it is flat: gain and bend 0.
func (t *trial) best(f family, grid []float64) member {
	best := member{level: t.mean, rss: t.total}
	keep := func(m member) {
		if m.gain > 0 && m.rss < best.rss {
			best = m
		}
	}
	left := t.at(f, grid[0])
	keep(left)
	for i, bend := range grid[1:] {
		right := t.at(f, bend)
		// The grid of joins starts on the flat, where the derivative is 0 but for rounding, so its first
		// interval is searched whatever its sign there.
		if (left.downhill < 0 || i == 0) && right.downhill >= 0 {
			keep(t.bottom(f, left.bend, right.bend))
		}
		left = right
	}
	keep(left)
	return best
}

// bottom halves an interval in which rss falls at the left end and rises at the right until it is as
// narrow as numbers allow. At a kink, as at a tested rate of the linear-plateau, it ends on the kink.
func (t *trial) bottom(f family, left, right float64) member {
	for {
		middle := left + (right-left)/2
		m := t.at(f, middle)
		if middle <= left || middle >= right || m.downhill == 0 {
			return m
		}
		if m.downhill < 0 {
			left = middle
		} else {
			right = middle
		}
	}
}

// at is the straight-line fit of yield on z at one bend.
func (t *trial) at(f family, bend float64) member {
	m := member{bend: bend, level: t.mean}
	zMean := 0.0
	for _, s := range t.steps {
		zMean += s.plots * f.z(s.rate, bend)
	}
	zMean /= float64(len(t.plots))
	var zz, zy float64
	for _, s := range t.steps {
		dz := f.z(s.rate, bend) - zMean
		zz += s.plots * dz * dz
		zy += s.plots * dz * (s.mean - t.mean)
	}
	if zz > 0 {
		m.gain = zy / zz
	}
	m.level = t.mean - m.gain*zMean
	m.rss = t.within
	for _, s := range t.steps {
		residual := s.mean - m.level - m.gain*f.z(s.rate, bend)
		m.rss += s.plots * residual * residual
		m.downhill -= 2 * m.gain * s.plots * residual * f.dz(s.rate, bend)
	}
	return m
}
