package climate

import (
	"math"
	"math/rand/v2"

	"culm/agronomy/calendar"
)

// draws is the source of chance. Every member has a stream of its own for every day of the calendar, seeded
// from the three: so alternatives judged on the same members meet the same weather, a plan made tomorrow
// meets tomorrow the draws it expects today, and what one day uses up shifts nothing on the next.
type draws struct {
	pcg  rand.PCG
	rand *rand.Rand // on pcg
	seed uint64
}

func newDraws(seed uint64) *draws {
	d := &draws{seed: seed}
	d.rand = rand.New(&d.pcg)
	return d
}

// at goes to the stream of a member and a day.
func (d *draws) at(member int, day calendar.Day) {
	number := uint64(day.Sub(calendar.Day{}))
	high := scramble(d.seed + scramble(uint64(member)))
	d.pcg.Seed(high, scramble(high^number))
}

// scramble spreads neighbouring numbers over all 64 bits (the finalizer of SplitMix64; Steele, Lea and Flood
// 2014, from memory), so that neighbouring days and members have nothing in common.
func scramble(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// uniform is in [0, 1).
func (d *draws) uniform() float64 { return float64(d.pcg.Uint64()>>11) * 0x1p-53 }

func (d *draws) normal() float64 { return d.rand.NormFloat64() }

// gamma draws from the gamma law of scale 1 by the method of Marsaglia and Tsang (2000, ACM Transactions on
// Mathematical Software 26:363-372, from memory).
func (d *draws) gamma(shape float64) float64 {
	if shape < 1 {
		return d.gamma(shape+1) * math.Pow(1-d.uniform(), 1/shape)
	}
	third := shape - 1./3
	width := 1 / math.Sqrt(9*third)
	for {
		x := d.normal()
		v := 1 + width*x
		if v <= 0 {
			continue
		}
		v *= v * v
		u := 1 - d.uniform()
		if u < 1-0.0331*x*x*x*x || math.Log(u) < 0.5*x*x+third*(1-v+math.Log(v)) {
			return third * v
		}
	}
}

// amount draws what falls on a wet day.
func (d *draws) amount(a Amounts) float64 {
	const patience = 1000 // beyond it so little of the law lies above the least that the least will do
	for range patience {
		if mm := d.gamma(float64(a.Shape)) * float64(a.Scale); mm >= float64(a.Least) {
			return mm
		}
	}
	return float64(a.Least)
}
