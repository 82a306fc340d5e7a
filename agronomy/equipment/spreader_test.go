package equipment_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"culm/agronomy/equipment"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"pgregory.net/rapid"
)

// line lays pans at even steps about the middle.
func line(step float64, grams ...float64) []equipment.Pan {
	pans := make([]equipment.Pan, len(grams))
	for i, g := range grams {
		pans[i] = equipment.Pan{At: unit.Length(float64(i-len(grams)/2) * step), Caught: unit.Mass(g / 1000)}
	}
	return pans
}

func pattern(tb testing.TB, pans []equipment.Pan) *equipment.Pattern {
	tb.Helper()
	p, err := equipment.NewPattern(pans)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

func overlap(tb testing.TB, p *equipment.Pattern, swath float64, d equipment.Driving) equipment.Evenness {
	tb.Helper()
	e, err := p.Overlap(unit.Length(swath), d)
	if err != nil {
		tb.Fatal(err)
	}
	return e
}

// The full example: trays every 2 m from -14 to 14 m, 50.8 g in all. Computed by hand from the overlap sum; no
// published set of catches was found.
func TestTheFullExample(t *testing.T) {
	p := pattern(t, line(2, 0.2, 0.9, 2.1, 3.6, 4.8, 5.6, 6.0, 6.1, 5.9, 5.4, 4.4, 3.2, 1.8, 0.7, 0.1))
	for _, row := range []struct{ swath, mean, progressive, back float64 }{
		{12, 8.467, 7.23, 7.53},
		{14, 7.257, 8.78, 9.23},
		{16, 6.350, 4.12, 5.69},
		{18, 5.644, 5.32, 6.55},
		{20, 5.080, 16.28, 16.27},
		{22, 4.618, 28.00, 27.48},
	} {
		a, b := overlap(t, p, row.swath, equipment.Progressive), overlap(t, p, row.swath, equipment.BackAndForth)
		near(t, "mean, progressive, g", float64(a.Mean)*1000, row.mean, 3)
		near(t, "mean, back and forth, g", float64(b.Mean)*1000, row.mean, 3)
		near(t, "CV, progressive, %", 100*float64(a.CV), row.progressive, 2)
		near(t, "CV, back and forth, %", 100*float64(b.CV), row.back, 2)
	}
	for _, d := range equipment.Drivings() {
		if w, ok := equipment.Widest(p.Curve(d), 0.15); !ok || w.Swath != 18 {
			t.Errorf("%s: widest %v, %v; expected 18 m", d, w.Swath, ok)
		}
	}
}

// c = 8 − |x|: two triangles meet in a flat top at S = 8, and at S = 10 the sums are 8 7 6 6 6 6 6 6 6 7, of which the
// CV is √(4.4/9)/6.4 = 10.925 % exactly by hand.
func TestTheTriangle(t *testing.T) {
	var grams []float64
	for x := -8; x <= 8; x++ {
		grams = append(grams, 8-math.Abs(float64(x)))
	}
	p := pattern(t, line(1, grams...))
	for _, d := range equipment.Drivings() {
		if e := overlap(t, p, 8, d); math.Abs(float64(e.CV)) > 1e-12 || math.Abs(float64(e.Mean)*1000-8) > 1e-12 {
			t.Errorf("%s at 8: CV %v, mean %v", d, e.CV, e.Mean)
		}
	}
	near(t, "CV at 10, %", 100*float64(overlap(t, p, 10, equipment.Progressive).CV), 10.925, 3)
	// The triangle's halves fall to half at 4 to either side.
	if s, ok := p.EffectiveSwath(); !ok || s != 8 {
		t.Errorf("effective swath %v, %v", s, ok)
	}
}

// Nothing is lost and nothing made: over one period every pass puts all it throws. And a symmetric pattern does not
// care which way it is driven.
func TestOverlapKeepsTheMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := rapid.SliceOfN(rapid.Float64Range(0, 10), 3, 20).Draw(t, "right")
		other := rapid.SliceOfN(rapid.Float64Range(0, 10), len(half)-1, len(half)-1).Draw(t, "left")
		grams := append(append([]float64{}, other...), half...)
		grams[len(other)] += 0.1
		p, err := equipment.NewPattern(line(1.5, grams...))
		if err != nil {
			t.Fatal(err)
		}
		steps := rapid.IntRange(2, len(grams)).Draw(t, "steps")
		sum := 0.0
		for _, g := range grams {
			sum += g
		}
		for _, d := range equipment.Drivings() {
			e, err := p.Overlap(unit.Length(float64(steps)*1.5), d)
			if err != nil {
				t.Fatal(err)
			}
			if want := sum / 1000 / float64(steps); math.Abs(float64(e.Mean)-want) > 1e-12*(1+want) {
				t.Fatalf("%s: mean %v, the pans' sum says %v", d, e.Mean, want)
			}
		}
		mirrored := make([]float64, len(grams))
		for i, g := range grams {
			mirrored[i] = (g + grams[len(grams)-1-i]) / 2
		}
		q, err := equipment.NewPattern(line(1.5, mirrored...))
		if err != nil {
			t.Fatal(err)
		}
		a, _ := q.Sum(unit.Length(float64(steps)*1.5), equipment.Progressive)
		b, _ := q.Sum(unit.Length(float64(steps)*1.5), equipment.BackAndForth)
		for i := range b {
			if math.Abs(float64(a[i%len(a)].Caught-b[i].Caught)) > 1e-12 {
				t.Fatalf("a symmetric pattern differs at %d", i)
			}
		}
	})
}

// The folded sum against the definition, term by term, for swaths of whole and of broken steps.
func TestOverlapAgainstTheDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := 2*rapid.IntRange(2, 12).Draw(t, "to a side") + 1
		grams := rapid.SliceOfN(rapid.Float64Range(0.1, 10), n, n).Draw(t, "grams")
		p, err := equipment.NewPattern(line(1, grams...))
		if err != nil {
			t.Fatal(err)
		}
		swath := rapid.Float64Range(2, float64(n)).Draw(t, "swath")
		if rapid.Bool().Draw(t, "whole") {
			swath = math.Round(swath)
		}
		catch := func(x float64) float64 {
			x += float64(n / 2)
			i := math.Floor(x)
			if x < 0 || x > float64(n-1) {
				return 0
			}
			if int(i) == n-1 {
				return grams[n-1]
			}
			return grams[int(i)] + (x-i)*(grams[int(i)+1]-grams[int(i)])
		}
		for _, d := range equipment.Drivings() {
			sums, err := p.Sum(unit.Length(swath), d)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range sums {
				want := 0.0
				for k := -40; k <= 40; k++ {
					x := float64(s.At) - float64(k)*swath
					if d == equipment.BackAndForth && k%2 != 0 {
						x = -x
					}
					want += catch(x)
				}
				if math.Abs(float64(s.Caught)*1000-want) > 1e-6 { // a pan on the very edge may fall to either side
					edge := false
					for k := -40; k <= 40; k++ {
						if off := math.Abs(math.Abs(float64(s.At)-float64(k)*swath) - float64(n/2)); off < 1e-9 {
							edge = true
						}
					}
					if !edge {
						t.Fatalf("%s, swath %v, at %v: %v, the definition says %v", d, swath, s.At, float64(s.Caught)*1000, want)
					}
				}
			}
		}
	})
}

func TestBadPans(t *testing.T) {
	for _, row := range []struct {
		name string
		pans []equipment.Pan
		says string
	}{
		{"too few", line(2, 1, 2, 1), "expected 5 to"},
		{"missing on one side", line(2, 1, 2, 3, 4, 3, 2, 1)[2:], "pans are missing on one side: they reach from -6.562 ft (-2 m) to 19.69 ft (6 m)"},
		{"negative", line(2, 1, 2, -3, 2, 1), "the pan at 0 ft (0 m) caught -3 g"},
		{"not a number", line(2, 1, 2, math.NaN(), 2, 1), "caught NaN"},
		{"twice in one place", append(line(2, 1, 2, 3, 2, 1), equipment.Pan{At: 2, Caught: 1}), "two pans stand at 6.562 ft"},
		{"out of step", []equipment.Pan{{At: -4}, {At: -2, Caught: 1}, {At: 0.5}, {At: 2}, {At: 4}}, "out of step"},
		{"empty", line(2, 0, 0, 0, 0, 0), "all pans are empty"},
		{"nearly no pans", []equipment.Pan{{At: -100, Caught: 1}, {At: -1}, {At: 0, Caught: 1}, {At: 1}, {At: 100, Caught: 1}}, "places have no pan"},
		{"none right of the middle", []equipment.Pan{{At: -5, Caught: 1}, {At: -4}, {At: -3}, {At: -2}, {At: -1}}, "missing on one side"},
	} {
		if _, err := equipment.NewPattern(row.pans); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, expected %q", row.name, err, row.says)
		}
	}
	p := pattern(t, line(2, 1, 2, 3, 2, 1))
	for _, swath := range []unit.Length{0, -4, 1, 21, unit.Length(math.NaN())} {
		if _, err := p.Overlap(swath, equipment.Progressive); err == nil {
			t.Errorf("a swath of %v was taken", swath)
		}
	}
}

func TestWheelTracksAreFilledIn(t *testing.T) {
	pans := line(0.5, 0, 1, 2, 3, 4, 3, 2, 1, 0)
	pans = append(pans[:5], pans[6:]...) // none at +0.5 m
	p := pattern(t, pans)
	if f := p.Filled(); len(f) != 1 || f[0] != 0.5 {
		t.Errorf("filled %v", f)
	}
	if got := p.Pans()[5].Caught * 1000; math.Abs(float64(got)-3) > 1e-12 {
		t.Errorf("%v g between 4 and 2", got)
	}
}

func TestAPanTestSaysWhatItSees(t *testing.T) {
	lopsided := line(1, 0, 0.1, 0.2, 0.3, 0.5, 3, 5, 3, 1, 0.5, 0.4)
	s, err := equipment.PanTest{Pans: lopsided, Opening: 0.25, Wind: 12 * unit.MilePerHour, Bulk: 0.6, Swath: 6}.Test()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"wider than the pans", "to the right of the middle", "carries the pattern", "light material", "another lot"} {
		found := false
		for _, n := range s.Notes {
			found = found || strings.Contains(n.Text, want)
		}
		if !found {
			t.Errorf("no note says %q: %v", want, s.Notes)
		}
	}
	// 14 g over 6 pans of 0.25 m² are 14/6/0.25 = 9.333 g/m² = 93.33 kg/ha.
	near(t, "kg/ha", float64(s.Ways[0].Rate), 93.33, 2)
	var l working.Ledger
	s.Work(&l, equipment.PanTest{Pans: lopsided, Opening: 0.25, Swath: 6})
	for _, f := range l.All() {
		if f.Expression == "" || len(f.Inputs) == 0 || f.Source == "" {
			t.Errorf("%s: %+v", f.ID, f)
		}
	}
}

func TestNoSwathIsAcceptable(t *testing.T) {
	s, err := equipment.PanTest{Pans: line(1, 0, 9, 0, 0, 1, 0, 0, 0, 0, 4, 0), Limit: 0.01}.Test()
	if err != nil {
		t.Fatal(err)
	}
	if s.Ways[0].HasWidest {
		t.Errorf("%+v", s.Ways[0].Widest)
	}
}

// many makes patterns such as spreaders throw: a triangle with scatter, 31 pans each.
func many(n int) [][]equipment.Pan {
	r := rand.New(rand.NewPCG(3, 4))
	all := make([][]equipment.Pan, n)
	for i := range all {
		grams := make([]float64, 61)
		for j := range grams {
			grams[j] = max(0, 8-math.Abs(float64(j-30))*0.3+0.5*r.NormFloat64())
		}
		all[i] = line(0.5, grams...)
	}
	return all
}

// Ten thousand patterns at sixty swaths, driven both ways, in under two seconds.
func TestTenThousandPatternsAreQuick(t *testing.T) {
	if testing.Short() {
		t.Skip("times the machine")
	}
	all := many(10_000)
	start := time.Now()
	for _, pans := range all {
		p := pattern(t, pans)
		for _, d := range equipment.Drivings() {
			if got := len(p.Curve(d)); got != 60 {
				t.Fatalf("%d swaths", got)
			}
		}
	}
	if took := time.Since(start); took > 2*time.Second {
		t.Errorf("took %v", took)
	}
}

func BenchmarkTenThousandPatterns(b *testing.B) {
	all := many(10_000)
	for b.Loop() {
		for _, pans := range all {
			p := pattern(b, pans)
			for _, d := range equipment.Drivings() {
				p.Curve(d)
			}
		}
	}
}
