package response

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"culm/agronomy/unit"
	"culm/season"
)

// Resampling says how a bootstrap draws.
type Resampling struct {
	// Draws is how many trials are drawn, at least 100. With 1000 the limits still move by a few kg/ha from
	// seed to seed, and upper ones by more.
	Draws int
	// Seed makes the draws: the same seed gives the same limits.
	Seed uint64
	// Cases draws whole plots, rate and yield. Without it the rates stay and residuals are drawn, which is
	// right where the rates were chosen and the scatter is the same at all of them.
	Cases bool
}

// Bootstrap gives limits by drawing trials like this one, fitting each, and taking percentiles of their
// optima. Residuals are drawn as they are, not widened for the three parameters that were fitted, so with
// few plots the limits come out too narrow.
//
// A draw whose optimum is at no nitrogen counts as 0, and one that still rises counts as above every limit;
// when the upper percentile falls among the latter the limits are open above.
func Bootstrap(form Form, plots []season.Plot, ratio unit.Ratio, level unit.Fraction, how Resampling) (Limits, error) {
	if how.Draws < 100 {
		return Limits{}, fmt.Errorf("bootstrap of %d draws; expected at least 100", how.Draws)
	}
	t, curve, err := begin(form, plots, ratio, level)
	if err != nil {
		return Limits{}, err
	}
	redraw, method := t.residuals(curve), MethodResiduals
	if how.Cases {
		redraw, method = t.cases(), MethodCases
	}
	chance := rand.New(rand.NewPCG(how.Seed, 0))
	optima := make([]float64, 0, how.Draws)
	unlimited, unfitted := 0, 0
	for range how.Draws {
		optimum, fitted := redraw(chance).drawnOptimum(form, float64(ratio))
		switch {
		case !fitted:
			unfitted++
			continue
		case math.IsInf(optimum, 1):
			unlimited++
		}
		optima = append(optima, optimum)
	}
	if len(optima) < how.Draws/2 {
		return Limits{}, &Refusal{form, "most trials drawn from these plots are left with fewer than three rates"}
	}
	slices.Sort(optima)
	tail := (1 - float64(level)) / 2
	l := t.newLimits(method, level, percentile(optima, tail), percentile(optima, 1-tail))
	l.Draws, l.Unlimited, l.Unfitted = how.Draws, unlimited, unfitted
	return l, nil
}

// residuals draws yields about the curve, with residuals drawn with replacement and centred. The trial it
// hands out is overwritten by the next draw.
func (t *trial) residuals(c Curve) func(*rand.Rand) *trial {
	n := len(t.plots)
	fitted, residual := make([]float64, n), make([]float64, n)
	mean := 0.0
	for i, p := range t.plots {
		fitted[i] = c.yield(float64(p.Rate))
		residual[i] = float64(p.Yield) - fitted[i]
		mean += residual[i] / float64(n)
	}
	drawn := &trial{plots: slices.Clone(t.plots)}
	return func(chance *rand.Rand) *trial {
		for i := range drawn.plots {
			drawn.plots[i].Yield = unit.Yield(fitted[i] + residual[chance.IntN(n)] - mean)
		}
		drawn.gather()
		return drawn
	}
}

// cases draws plots with replacement. The trial it hands out is overwritten by the next draw.
func (t *trial) cases() func(*rand.Rand) *trial {
	n := len(t.plots)
	times := make([]int, n)
	drawn := &trial{plots: make([]season.Plot, 0, n)}
	return func(chance *rand.Rand) *trial {
		clear(times)
		for range n {
			times[chance.IntN(n)]++
		}
		drawn.plots = drawn.plots[:0]
		for i, p := range t.plots {
			for range times[i] {
				drawn.plots = append(drawn.plots, p)
			}
		}
		drawn.gather()
		return drawn
	}
}

// drawnOptimum is the optimum of a drawn trial: 0 where nitrogen does not pay, +Inf where the yield rises
// for ever. It is not fitted when the draw left fewer than three rates.
func (t *trial) drawnOptimum(form Form, ratio float64) (optimum float64, fitted bool) {
	if len(t.steps) < parameters {
		return 0, false
	}
	c := t.fit(form)
	optimum, found := c.tangent(ratio)
	if !found || c.Straight && optimum > t.highest() {
		return math.Inf(1), true
	}
	return max(optimum, 0), true
}

// percentile is the order statistic at share (n+1), between its neighbours by proportion.
func percentile(sorted []float64, share float64) float64 {
	place := min(max(share*float64(len(sorted)+1), 1), float64(len(sorted)))
	i := int(place)
	below := sorted[i-1]
	if i == len(sorted) || place == float64(i) {
		return below
	}
	if math.IsInf(sorted[i], 1) {
		return math.Inf(1)
	}
	return below + (place-float64(i))*(sorted[i]-below)
}
