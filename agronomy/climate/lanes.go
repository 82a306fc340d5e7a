package climate

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"culm/agronomy/unit"
)

// MostCounted is the most days that CountWetDays counts over.
const MostCounted = 255

// CountWetDays simulates so many sequences of days and counts them by how many of their days are wet:
// element n is how many sequences had n wet days. It is the simulated twin of the exact WetDays, for tests
// and for showing what chance does. At most MostCounted days count; days beyond are left out.
//
// 64 sequences go side by side as the bits of one word. A uniform number is below p when, read from its
// highest binary digit down, the first digit in which the two differ is 0 in the number and 1 in p. One random
// word gives that digit to all 64 sequences at once, and after some eight words every sequence is decided:
// exact to the last bit of p, for an eighth of a random word a draw.
func CountWetDays(days []Rain, wetBefore unit.Fraction, sequences int, seed uint64) []int {
	days = days[:min(len(days), MostCounted)]
	counts := make([]int, len(days)+1)
	laws := make([]binaryChain, len(days))
	for i := range days {
		laws[i] = binaryChain{binary(days[i].AfterDry), binary(days[i].AfterWet)}
	}
	rng := rand.NewPCG(seed, scramble(seed))
	before := binary(wetBefore)
	var digits [8]uint64 // of the 64 counts in binary, the lowest first
	planes := digits[:bits.Len(uint(len(days)))]
	for left := sequences; left > 0; left -= 64 {
		wet := below(rng, before, before, 0)
		clear(planes)
		for i := range laws {
			wet = below(rng, laws[i].afterDry, laws[i].afterWet, wet)
			addOne(planes, wet)
		}
		countLanes(counts, planes, lanes(left))
	}
	return counts
}

// lanes marks as many of the 64 sequences as are left.
func lanes(left int) uint64 {
	if left >= 64 {
		return math.MaxUint64
	}
	return 1<<left - 1
}

type binaryChain struct{ afterDry, afterWet binaryFraction }

// binaryFraction is a fraction by its 64 binary digits, the highest first; one is digits all ones and the mark.
type binaryFraction struct {
	digits uint64
	one    bool
}

func binary(f unit.Fraction) binaryFraction {
	switch {
	case f >= 1:
		return binaryFraction{math.MaxUint64, true}
	case !(f > 0):
		return binaryFraction{}
	}
	return binaryFraction{digits: uint64(math.Ldexp(float64(f), 64))}
}

// below draws for 64 sequences whether a uniform number is below the fraction that holds for each: p1 where
// its bit of which is set, p0 elsewhere.
func below(rng *rand.PCG, p0, p1 binaryFraction, which uint64) uint64 {
	var under uint64
	undecided := uint64(math.MaxUint64)
	for digit := 63; digit >= 0 && undecided != 0; digit-- {
		r := rng.Uint64()
		p := which&-(p1.digits>>digit&1) | ^which&-(p0.digits>>digit&1)
		differ := (r ^ p) & undecided
		under |= differ & p
		undecided &^= differ
	}
	if p0.one {
		under |= undecided &^ which
	}
	if p1.one {
		under |= undecided & which
	}
	return under
}

// addOne adds a bit to each of the 64 counts.
func addOne(planes []uint64, bit uint64) {
	for i := range planes {
		planes[i], bit = planes[i]^bit, planes[i]&bit
	}
}

// countLanes adds the 64 counts to the histogram.
func countLanes(counts []int, planes []uint64, of uint64) {
	for n := range counts {
		same := of
		for i := range planes {
			same &^= planes[i] ^ -(uint64(n) >> i & 1)
		}
		counts[n] += bits.OnesCount64(same)
	}
}
