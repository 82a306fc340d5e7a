package need

import (
	"math"
	"math/rand/v2"
	"testing"

	"culm/agronomy/unit"
)

// remembering is a series of mean 0 and variance 1 in which each value remembers the one before it by phi.
func remembering(g *rand.Rand, n int, phi float64) []float64 {
	x := make([]float64, n)
	x[0] = g.NormFloat64()
	for i := 1; i < n; i++ {
		x[i] = phi*x[i-1] + math.Sqrt(1-phi*phi)*g.NormFloat64()
	}
	return x
}

// trueIndex is the response of the made-up strips.
const trueIndex = 1.15

// madeUpStrip gives readings on a strip and beside it: a slope in the ground that both share, and for each
// its own variation of 6 %, in which neighbours resemble each other by phi.
func madeUpStrip(g *rand.Rand, n int, phi float64) (on, beside []float64) {
	ground, a, b := remembering(g, n, 0.9), remembering(g, n, phi), remembering(g, n, phi)
	on, beside = make([]float64, n), make([]float64, n)
	for i := range on {
		beside[i] = 0.5 * math.Exp(0.1*ground[i]+0.06*a[i])
		on[i] = 0.5 * trueIndex * math.Exp(0.1*ground[i]+0.06*b[i])
	}
	return on, beside
}

// TestIntervalHoldsTheTruthAsOftenAsItSays draws strips whose index is known and counts how often the
// interval holds it, beside the interval that draws pairs one by one as if they were independent.
//
// With 2000 strips a share near 0.9 has a standard error of 0.0067. Seen with this seed, at level 0.90,
// blocks first, then pairs drawn one by one:
//
//	pairs   φ 0            φ 0.3          φ 0.6          φ 0.8
//	  20    0.936  0.890   0.900  0.758   0.895  0.553   0.841  0.374
//	  40    0.917  0.884   0.900  0.751   0.902  0.570   0.883  0.395
//	  80    0.915  0.895   0.899  0.759   0.892  0.563   0.887  0.372
//	 160    0.913  0.896   0.905  0.768   0.899  0.574   0.898  0.391
//
// So from 40 pairs on and up to φ 0.6 the interval means what it says. A short series with a long memory (20
// pairs at φ 0.8 are worth two independent ones) cannot tell how long its memory is: there the interval is
// too narrow, and the finding warns of it. The last row is left out below to save time.
func TestIntervalHoldsTheTruthAsOftenAsItSays(t *testing.T) {
	const strips, level = 2000, 0.9
	o := Options{Resamples: 1000, Level: level}
	allowed := 3 * math.Sqrt(level*(1-level)/strips) // three standard errors of the count
	for _, n := range []int{20, 40, 80} {
		for _, phi := range []float64{0, 0.3, 0.6, 0.8} {
			g := rand.New(rand.NewPCG(7, uint64(n)))
			held, heldNaive := 0, 0
			for s := range strips {
				on, beside := madeUpStrip(g, n, phi)
				f := Finding{Pairs: n, Index: unit.Ratio(mean(on) / mean(beside)), Level: level}
				o.Seed = uint64(s)
				f.resample(on, beside, o)
				if f.Low <= trueIndex && trueIndex <= f.High {
					held++
				}
				low, high := bounds(circularBlocks(on, beside, 1, o.Resamples, o.Seed), o)
				if low <= trueIndex && trueIndex <= high {
					heldNaive++
				}
			}
			share, shareNaive := float64(held)/strips, float64(heldNaive)/strips
			t.Logf("%3d pairs, φ %.1f: blocks %.3f, one by one %.3f", n, phi, share, shareNaive)
			if n >= 40 && phi <= 0.6 && math.Abs(share-level) > allowed {
				t.Errorf("%d pairs, φ %.1f: the interval held the truth in %.3f of strips, want %.2f ± %.3f", n, phi, share, level, allowed)
			}
			if phi >= 0.3 && !(share > shareNaive+0.05) {
				t.Errorf("%d pairs, φ %.1f: blocks %.3f, one by one %.3f: blocks should hold the truth clearly more often", n, phi, share, shareNaive)
			}
		}
	}
}

// TestFewPairsHoldTheTruth does the same for Student's interval on five independent pairs. Seen: 0.905.
func TestFewPairsHoldTheTruth(t *testing.T) {
	const strips, level = 4000, 0.9
	g := rand.New(rand.NewPCG(8, 5))
	held := 0
	for range strips {
		on, beside := madeUpStrip(g, 5, 0)
		f := Finding{Pairs: 5, Index: unit.Ratio(mean(on) / mean(beside)), Level: level}
		f.compareFew(on, beside)
		if f.Low <= trueIndex && trueIndex <= f.High {
			held++
		}
	}
	share := float64(held) / strips
	t.Logf("five pairs: %.3f", share)
	if allowed := 3 * math.Sqrt(level*(1-level)/strips); math.Abs(share-level) > allowed {
		t.Errorf("the interval held the truth in %.3f of strips, want %.2f ± %.3f", share, level, allowed)
	}
}

// TestBlockLengthFollowsTheMemory checks the rule against what it is derived from: at φ 0.6 blocks miss
// 2φ/(1-φ²) = 1.875 values' worth of variance, so a quarter is missed at 7.5, rounded up to 8; independent
// pairs want blocks of 1 or a little more by chance.
func TestBlockLengthFollowsTheMemory(t *testing.T) {
	g := rand.New(rand.NewPCG(9, 9))
	for phi, want := range map[float64]int{0: 1, 0.6: 8} {
		b := chooseBlocks(remembering(g, 100_000, phi))
		if b.length != want || math.Abs(b.lag1-phi) > 0.01 {
			t.Errorf("φ %v: blocks of %d with lag-1 autocorrelation %.3f, want %d", phi, b.length, b.lag1, want)
		}
	}
	if b := chooseBlocks(remembering(g, 40, 0.95)); b.length > 10 {
		t.Errorf("40 pairs were cut into blocks of %d, want at least four blocks", b.length)
	}
	if b := chooseBlocks(make([]float64, 40)); b.length != 1 || b.lag1 != 0 {
		t.Errorf("a series that never varies: blocks of %d, lag-1 %v; want 1 and 0", b.length, b.lag1)
	}
}

// TestExactCounts checks against printed tables of the sign test and of Clopper and Pearson's limits, which
// give 0.0215 for 9 of 10, 0.109 for 8 of 10, and 0.555 to 0.997 for 9 of 10 at 95 % (textbook values, from
// memory; the closed forms below are independent of the library).
func TestExactCounts(t *testing.T) {
	if p := signTest(9, 10); math.Abs(p-22.0/1024) > 1e-12 {
		t.Errorf("9 of 10: p %v, want 22/1024", p)
	}
	if p := signTest(8, 10); math.Abs(p-112.0/1024) > 1e-12 {
		t.Errorf("8 of 10: p %v, want 112/1024", p)
	}
	if p := signTest(5, 10); p != 1 {
		t.Errorf("5 of 10: p %v, want 1", p)
	}
	low, high := exactShare(10, 10, 0.95)
	if want := math.Pow(0.025, 0.1); math.Abs(float64(low)-want) > 1e-9 || high != 1 {
		t.Errorf("10 of 10: %v to %v, want %v to 1", low, high, want)
	}
	low, high = exactShare(0, 10, 0.95)
	if want := 1 - math.Pow(0.025, 0.1); low != 0 || math.Abs(float64(high)-want) > 1e-9 {
		t.Errorf("0 of 10: %v to %v, want 0 to %v", low, high, want)
	}
	low, high = exactShare(9, 10, 0.95)
	if math.Abs(float64(low)-0.555) > 5e-4 || math.Abs(float64(high)-0.997) > 6e-4 {
		t.Errorf("9 of 10: %v to %v, want 0.555 to 0.997", low, high)
	}
}

func BenchmarkInterval(b *testing.B) {
	for _, phi := range []float64{0, 0.6} {
		for _, n := range []int{40, 200} {
			on, beside := madeUpStrip(rand.New(rand.NewPCG(1, 2)), n, phi)
			f := Finding{Pairs: n, Index: unit.Ratio(mean(on) / mean(beside)), Level: 0.9}
			b.Run(map[float64]string{0: "independent", 0.6: "alike"}[phi]+"/"+map[int]string{40: "40", 200: "200"}[n], func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					f.resample(on, beside, Options{Seed: 1, Resamples: 2000, Level: 0.9})
				}
			})
		}
	}
}
