package response_test

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"testing"

	"culm/agronomy/response"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

// Bachmaier 2009: published 173 and 260. The decimals are from a second program (R), with the ratio as the
// source rounds it and as the prices give it.
func TestFiellerOnWheat(t *testing.T) {
	highZone := bachmaier.read(t, map[string]string{"zone": "high"})
	for _, row := range []struct {
		name      string
		plots     []season.Plot
		ratio     unit.Ratio
		low, high string
	}{
		{"low zone as published", lowZone(), bachmaierRatio, "173", "260"},
		{"low zone, rounded ratio", lowZone(), bachmaierRatio, "173.10", "260.06"},
		{"low zone, 0.60 over 110", lowZone(), 0.60 / 0.110, "173.09", "260.05"},
		{"high zone, rounded ratio", highZone, bachmaierRatio, "203.97", "328.29"},
		{"high zone, 0.60 over 110", highZone, 0.60 / 0.110, "203.97", "328.28"},
	} {
		t.Run(row.name, func(t *testing.T) {
			l, err := response.Fieller(row.plots, row.ratio, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			printed(t, "low", float64(l.Low), row.low)
			printed(t, "high", float64(l.High), row.high)
			if l.HighOpen || l.Level != 0.95 {
				t.Errorf("%+v", l)
			}
		})
	}
	wald, err := response.Wald(response.Quadratic, lowZone(), bachmaierRatio, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "Wald low", float64(wald.Low), "163.9")
	printed(t, "Wald high", float64(wald.High), "234.3")
}

func site5(t *testing.T) []season.Plot { return hernandez.read(t, map[string]string{"site": "S5"}) }

// Hernandez and Mulla 2008, 90 % limits for site S5 as printed with the data in agridat.
func TestWaldOnCorn(t *testing.T) {
	l, err := response.Wald(response.Quadratic, site5(t), hernandezRatio, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "low", float64(l.Low), "118.93")
	printed(t, "high", float64(l.High), "264.51")
}

// The source prints 147.96 to 401.65 by profile likelihood. The exact limits are 147.11 and 401.56: a second
// program (Python), which refits the curve with the optimum held at these rates, finds signed roots of the
// F ratio of −1.7207429 and 1.7207429, Student's t for 90 % and 21 degrees of freedom being 1.7207429; at
// the printed rates they are −1.66838 and 1.72099. So the printed lower limit is off by 0.85 kg/ha and the
// upper by 0.09, and ours are kept. The likely cause is a coarse profile: with 13 points of it, a spline
// through them, and straight lines between 39 points of the spline, the second program gives 147.96 and
// 401.60. How far the points reach had to be guessed; two other guesses gave 148.65 and 149.34.
func TestProfileOnCorn(t *testing.T) {
	profile, err := response.Profile(response.Quadratic, site5(t), hernandezRatio, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "low", float64(profile.Low), "147.109308")
	printed(t, "high", float64(profile.High), "401.563046")
	fieller, err := response.Fieller(site5(t), hernandezRatio, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "Fieller low", float64(fieller.Low), "147.109308")
	printed(t, "Fieller high", float64(fieller.High), "401.563046")
	if !profile.Beyond || !fieller.Beyond {
		t.Error("limits above the highest rate, 168, are not marked")
	}
}

// The source prints 149.8 to 334.1 from one run of 500 draws of residuals. What such a run gives depends on
// its seed, which another generator cannot repeat: over 200 seeds of ours the lower limit lies between 147
// and 153 and the upper between 317 and 407 nineteen times in twenty, and with 200 000 draws they settle
// at 150.0 and 348.8. The printed run is an ordinary one among ours.
func TestBootstrapOnCorn(t *testing.T) {
	plots := site5(t)
	var lows, highs []float64
	for seed := range uint64(200) {
		l, err := response.Bootstrap(response.Quadratic, plots, hernandezRatio, 0.9, response.Resampling{Draws: 500, Seed: seed})
		if err != nil || l.HighOpen {
			t.Fatal(l, err)
		}
		lows, highs = append(lows, float64(l.Low)), append(highs, float64(l.High))
	}
	for name, limit := range map[string]struct {
		runs    []float64
		printed float64
	}{"lower": {lows, 149.8}, "upper": {highs, 334.1}} {
		slices.Sort(limit.runs)
		from, to := limit.runs[4], limit.runs[194]
		t.Logf("%s limit: %.1f to %.1f in 19 runs of 20, the source prints %v", name, from, to, limit.printed)
		if limit.printed < from || limit.printed > to {
			t.Errorf("%s limit %v is outside what 19 of 20 runs give, %.1f to %.1f", name, limit.printed, from, to)
		}
	}
}

func TestBootstrapRepeats(t *testing.T) {
	for _, how := range []response.Resampling{{Draws: 300, Seed: 7}, {Draws: 300, Seed: 7, Cases: true}} {
		first, err := response.Bootstrap(response.QuadraticPlateau, lowZone(), bachmaierRatio, 0.9, how)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := response.Bootstrap(response.QuadraticPlateau, lowZone(), bachmaierRatio, 0.9, how)
		how.Seed++
		other, _ := response.Bootstrap(response.QuadraticPlateau, lowZone(), bachmaierRatio, 0.9, how)
		if first != again || first == other {
			t.Errorf("%+v, again %+v, with another seed %+v", first, again, other)
		}
		if want := map[bool]response.Method{false: response.MethodResiduals, true: response.MethodCases}[how.Cases]; first.Method != want {
			t.Errorf("method %q, want %q", first.Method, want)
		}
	}
}

// Italy bends the wrong way a little less here, so little that no upper limit can be given.
func TestLimitsOpenAbove(t *testing.T) {
	nearlyStraight := stepped(100, []step{{0, []float64{25, 28, 22}}, {60, []float64{36, 33, 35}}, {120, []float64{43, 45, 42}}, {180, []float64{51, 49, 54}}})
	fieller, err := response.Fieller(nearlyStraight, 5, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	if !fieller.HighOpen || !fieller.Beyond || fieller.High != 0 || fieller.Low < 120 || fieller.Low > 180 {
		t.Errorf("Fieller %+v", fieller)
	}
	for _, form := range response.Forms() {
		profile, err := response.Profile(form, nearlyStraight, 5, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		if !profile.HighOpen {
			t.Errorf("%s: %+v", form, profile)
		}
		bootstrap, err := response.Bootstrap(form, nearlyStraight, 5, 0.9, response.Resampling{Draws: 400})
		if err != nil {
			t.Fatal(err)
		}
		if !bootstrap.HighOpen {
			t.Errorf("%s: %+v", form, bootstrap)
		}
	}
}

func TestNoLimits(t *testing.T) {
	var refusal *response.Refusal
	if _, err := response.Fieller(italy(), 5, 0.9); !errors.As(err, &refusal) {
		t.Errorf("convex, Fieller: %v", err)
	}
	if _, err := response.Profile(response.SquareRoot, italy(), 5, 0.9); !errors.As(err, &refusal) {
		t.Errorf("convex square root, profile: %v", err)
	}
	if _, err := response.Bootstrap(response.Quadratic, italy(), 5, 0.9, response.Resampling{Draws: 100}); !errors.As(err, &refusal) {
		t.Errorf("convex, bootstrap: %v", err)
	}
	if _, err := response.Wald(response.LinearPlateau, knoxville1966(), 5, 0.9); !errors.As(err, &refusal) {
		t.Errorf("no response, Wald: %v", err)
	}
	if _, err := response.Wald(response.QuadraticPlateau, knoxville1965(), 5, 0.9); !errors.As(err, &refusal) {
		t.Errorf("sudden response, Wald: %v", err)
	}
	if _, err := response.Profile(response.Mitscherlich, lowZone(), 0, 0.9); !errors.As(err, &refusal) {
		t.Errorf("free nitrogen, Mitscherlich: %v", err)
	}
	for _, level := range []unit.Fraction{0, 1, 90, unit.Fraction(math.NaN())} {
		if _, err := response.Fieller(lowZone(), 5, level); err == nil {
			t.Errorf("level %v accepted", level)
		}
	}
	if _, err := response.Fieller(lowZone(), -5, 0.9); err == nil {
		t.Error("negative price ratio accepted")
	}
	if _, err := response.Bootstrap(response.Quadratic, lowZone(), 5, 0.9, response.Resampling{Draws: 10}); err == nil {
		t.Error("ten draws accepted")
	}
}

// For the quadratic the likelihood set and Fieller's are the same, reached by different ways: roots of a
// polynomial in the covariances here, refitting and bisection there.
func TestProfileOfTheQuadraticIsFieller(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plots := anyTrial(t)
		ratio := unit.Ratio(rapid.Float64Range(0, 40).Draw(t, "ratio"))
		fieller, err := response.Fieller(plots, ratio, 0.9)
		var refusal *response.Refusal
		if errors.As(err, &refusal) || fieller.HighOpen || !(fieller.High > 0) {
			t.Skip("no bounded set of positive rates")
		}
		profile, err := response.Profile(response.Quadratic, plots, ratio, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		near := func(a, b unit.Rate) bool { return math.Abs(float64(a-b)) <= 1e-6*(1+float64(a)) }
		if !near(fieller.Low, profile.Low) || !near(fieller.High, profile.High) || profile.HighOpen {
			t.Errorf("Fieller %+v, profile %+v", fieller, profile)
		}
	})
}

func TestLimitsHoldTheOptimumAndGrowWithTheLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plots := anyTrial(t)
		ratio := unit.Ratio(rapid.Float64Range(0.1, 40).Draw(t, "ratio"))
		for _, a := range compare(t, plots, ratio) {
			if a.Optimum.Refused {
				continue
			}
			some, errSome := response.Profile(a.Curve.Form, plots, ratio, 0.5)
			more, errMore := response.Profile(a.Curve.Form, plots, ratio, 0.95)
			if errSome != nil && errMore != nil && a.Curve.Form != response.Mitscherlich {
				continue // bends upward and is nowhere worth it
			}
			for _, l := range []response.Limits{some, more} {
				if _, err := json.Marshal(l); err != nil {
					t.Fatalf("%s: not every number is one: %v", a.Curve.Form, err)
				}
				if below := a.Optimum.Rate < l.Low && !a.Optimum.Below; below || !l.HighOpen && a.Optimum.Rate > l.High && !a.Optimum.Below {
					t.Errorf("%s: optimum %+v outside %+v", a.Curve.Form, a.Optimum, l)
				}
			}
			if more.Low > some.Low+1e-6 || some.HighOpen && !more.HighOpen || !more.HighOpen && more.High < some.High-1e-6 {
				t.Errorf("%s: 50 %% %+v, 95 %% %+v", a.Curve.Form, some, more)
			}
		}
	})
}

// With little scatter every form is nearly linear about its optimum, and the three ways must come together.
// There is no published value for the other forms; this ties their derivatives to refitting.
func TestWaldNearsProfileWhereScatterIsSmall(t *testing.T) {
	for _, form := range response.Forms() {
		c := fit(t, form, lowZone())
		var plots []season.Plot
		for rate := unit.Rate(0); rate <= 260; rate += 13 {
			for _, off := range []unit.Yield{-3, -1, 1, 3} {
				plots = append(plots, season.Plot{Rate: rate, Yield: c.Yield(rate) + off})
			}
		}
		wald, err := response.Wald(form, plots, 8, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		profile, err := response.Profile(form, plots, 8, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		width := float64(profile.High - profile.Low)
		if math.Abs(float64(wald.Low-profile.Low)) > 0.03*width || math.Abs(float64(wald.High-profile.High)) > 0.03*width {
			t.Errorf("%s: Wald %v to %v, profile %v to %v", form, wald.Low, wald.High, profile.Low, profile.High)
		}
	}
}
