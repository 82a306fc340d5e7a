package response

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"culm/season"
)

// BadPlots is the error for plots that no curve can be fitted to.
type BadPlots struct {
	// Plot is the place of the offending plot in the list, from 1; 0 when it is the list as a whole.
	Plot            int
	Found, Expected string
}

// Error implements error.
func (e *BadPlots) Error() string {
	if e.Plot == 0 {
		return fmt.Sprintf("trial has %s; expected %s", e.Found, e.Expected)
	}
	return fmt.Sprintf("plot %d of the trial has %s; expected %s", e.Plot, e.Found, e.Expected)
}

// trial is the plots sorted by rate and then by yield, so that the order in which they were listed never
// shows in a result, not even in the last digit.
type trial struct {
	plots  []season.Plot
	steps  []step
	mean   float64 // of yield, kg/ha
	within float64 // squares of yields about the mean of their own rate: what no curve can explain
	total  float64 // squares of yields about the overall mean
}

// step is what was harvested at one rate.
type step struct {
	rate  float64 // kg/ha
	mean  float64 // of yield, kg/ha
	plots float64
}

// newTrial checks the plots: at least four, with at least three different rates, so that every form's
// three parameters leave something to judge the scatter by.
func newTrial(plots []season.Plot) (*trial, error) {
	for i, p := range plots {
		if r := float64(p.Rate); !(r >= 0) || math.IsInf(r, 1) {
			return nil, &BadPlots{i + 1, fmt.Sprintf("a rate of %v kg/ha", r), "a rate of 0 or more"}
		}
		if y := float64(p.Yield); !(y >= 0) || math.IsInf(y, 1) {
			return nil, &BadPlots{i + 1, fmt.Sprintf("a yield of %v kg/ha", y), "a yield of 0 or more"}
		}
	}
	t := &trial{plots: slices.SortedFunc(slices.Values(plots), func(a, b season.Plot) int {
		return cmp.Or(cmp.Compare(a.Rate, b.Rate), cmp.Compare(a.Yield, b.Yield))
	})}
	t.gather()
	if len(t.plots) <= parameters {
		return nil, &BadPlots{0, fmt.Sprintf("%d plots", len(t.plots)), "at least 4"}
	}
	if len(t.steps) < parameters {
		return nil, &BadPlots{0, fmt.Sprintf("%d different rates", len(t.steps)), "at least 3"}
	}
	return t, nil
}

// gather works out the steps and sums from the sorted plots.
func (t *trial) gather() {
	t.steps = t.steps[:0]
	t.mean, t.within, t.total = 0, 0, 0
	for from := 0; from < len(t.plots); {
		to := from
		sum := 0.0
		for to < len(t.plots) && t.plots[to].Rate == t.plots[from].Rate {
			sum += float64(t.plots[to].Yield)
			to++
		}
		s := step{rate: float64(t.plots[from].Rate), mean: sum / float64(to-from), plots: float64(to - from)}
		for _, p := range t.plots[from:to] {
			t.within += square(float64(p.Yield) - s.mean)
		}
		t.steps = append(t.steps, s)
		t.mean += sum / float64(len(t.plots))
		from = to
	}
	t.total = t.within
	for _, s := range t.steps {
		t.total += s.plots * square(s.mean-t.mean)
	}
}

func (t *trial) lowest() float64  { return t.steps[0].rate }
func (t *trial) second() float64  { return t.steps[1].rate }
func (t *trial) highest() float64 { return t.steps[len(t.steps)-1].rate }

// freedom is the residual degrees of freedom of any form.
func (t *trial) freedom() float64 { return float64(len(t.plots) - parameters) }

// squares is the residual sum of squares of a curve.
func (t *trial) squares(curve func(rate float64) float64) float64 {
	rss := t.within
	for _, s := range t.steps {
		rss += s.plots * square(s.mean-curve(s.rate))
	}
	return rss
}

func square(x float64) float64 { return x * x }
