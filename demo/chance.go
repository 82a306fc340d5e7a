package demo

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// chance gives a stream of random numbers for one purpose. Each purpose has its own, so that adding a field
// does not change the weather.
func chance(seed uint64, purpose string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(purpose)) // never fails
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// scatter draws n numbers of mean zero and of exactly the standard deviation asked for, so that no seed can
// turn a story round.
func scatter(r *rand.Rand, n int, deviation float64) []float64 {
	return drift(r, n, deviation, 0)
}

// drift is scatter in which each number resembles the one before it with the correlation given.
func drift(r *rand.Rand, n int, deviation, correlation float64) []float64 {
	xs := make([]float64, n)
	sum := 0.0
	for i := range xs {
		xs[i] = r.NormFloat64()
		if i > 0 {
			xs[i] = correlation*xs[i-1] + math.Sqrt(1-correlation*correlation)*xs[i]
		}
		sum += xs[i]
	}
	squares := 0.0
	for i := range xs {
		xs[i] -= sum / float64(n)
		squares += xs[i] * xs[i]
	}
	if squares == 0 {
		return xs
	}
	scale := deviation / math.Sqrt(squares/float64(n-1))
	for i := range xs {
		xs[i] *= scale
	}
	return xs
}

// levelled takes the mean out of each stretch of a series, so that a month is as warm in every seed.
func levelled(xs []float64, stretch int) []float64 {
	for start := 0; start < len(xs); start += stretch {
		part := xs[start:min(start+stretch, len(xs))]
		sum := 0.0
		for _, x := range part {
			sum += x
		}
		for i := range part {
			part[i] -= sum / float64(len(part))
		}
	}
	return xs
}

// round gives the multiple of step nearest to x: what an instrument or a person would have written down.
func round(x, step float64) float64 {
	steps := math.Round(x / step)
	if per := math.Round(1 / step); step < 1 {
		return steps / per // 0.3 and not 0.30000000000000004
	}
	return steps * step
}
