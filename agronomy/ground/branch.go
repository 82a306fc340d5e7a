package ground

import (
	"cmp"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// branch is one way the weather may have gone, with its weight.
type branch struct {
	weight float64
	dry    bool // the day's rain does not come in it
	water  Water
	snow   Snow
	warmth Warmth
	fell   calendar.Day
}

// fall brings a day's rain and snow to a branch: what reached the ground as water, and whether snow melted.
func (b *branch) fall(d Day, known bool, mean unit.Temperature) (liquid unit.Water, melted bool) {
	fallen := unit.Water(0)
	if d.Has&season.HasRain != 0 && !b.dry {
		fallen = d.Rain
	}
	if d.Has&season.HasSnow != 0 && d.SnowLies {
		return b.measured(d, fallen)
	}
	if !known { // nothing tells snow from rain, nor melt
		return fallen, false
	}
	before := b.snow
	rain, snow := RainOrSnow(fallen, mean)
	if d.Has&season.HasSnow != 0 { // the forecast says what falls as snow
		snow = 0
		if !b.dry {
			snow = SnowOf(d.Snow)
		}
		rain = max(0, fallen-unit.Water(snow))
	}
	b.snow, liquid = b.snow.Next(rain, snow, mean, d.High)
	if snow > 0 {
		b.fell = d.Day
	}
	return liquid, liquid > rain && before > 0
}

// measured takes the depth that a station measured: what is gone since the day before has melted.
func (b *branch) measured(d Day, fallen unit.Water) (liquid unit.Water, melted bool) {
	now := SnowOf(d.Snow)
	if now > 0 {
		b.fell = d.Day
	}
	gone := b.snow - now
	b.snow = now
	if gone > 0 {
		return fallen + unit.Water(gone), true
	}
	return max(0, fallen+unit.Water(gone)), false
}

// mostBranches bounds the work: a fortnight of uncertain days would make 16,384.
const mostBranches = 24

// merge joins branches whose top layers hold nearly the same, so that the weighted means stay what they were.
func (r *run) merge() {
	if len(r.branches) <= mostBranches {
		return
	}
	soil := r.bucket.Soil
	slices.SortFunc(r.branches, func(a, b branch) int {
		return cmp.Or(cmp.Compare(lies(a), lies(b)), cmp.Compare(a.water.OfCapacity(soil), b.water.OfCapacity(soil)))
	})
	joined := r.branches[:0]
	for i := 0; i < len(r.branches); i++ {
		b := r.branches[i]
		if i+1 < len(r.branches) && lies(b) == lies(r.branches[i+1]) {
			i++
			b = b.with(r.branches[i])
		}
		joined = append(joined, b)
	}
	r.branches = joined
}

func lies(b branch) int {
	if b.snow.Lies() {
		return 1
	}
	return 0
}

func (b branch) with(o branch) branch {
	w := b.weight + o.weight
	if w == 0 {
		return b
	}
	mix := func(x, y float64) float64 { return (b.weight*x + o.weight*y) / w }
	water := func(x, y unit.Water) unit.Water { return unit.Water(mix(float64(x), float64(y))) }
	m := branch{
		weight: w, snow: Snow(mix(float64(b.snow), float64(o.snow))), fell: b.fell,
		water:  Water{water(b.water.Depleted, o.water.Depleted), water(b.water.Dried, o.water.Dried), water(b.water.Passing, o.water.Passing)},
		warmth: Warmth{mix(b.warmth.Shallow, o.warmth.Shallow), mix(b.warmth.Deep, o.warmth.Deep)},
	}
	if o.fell.After(m.fell) {
		m.fell = o.fell
	}
	return m
}
