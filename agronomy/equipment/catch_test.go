package equipment_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"culm/agronomy/equipment"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Montana State University, MT 2000-14: an average of 44.1 oz accepts 41.9 to 46.3 oz.
func TestMontanaNozzles(t *testing.T) {
	b, err := equipment.Catch{Caught: []unit.Volume{44.1 * equipment.FluidOunce}, Time: time.Minute}.Test()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low", float64(b.AcceptLow/equipment.FluidOunce), 41.9, 1)
	near(t, "high", float64(b.AcceptHigh/equipment.FluidOunce), 46.3, 1)
}

// Louisiana State University AgCenter: distances for 1/128 acre by spacing in inches.
func TestStrip128(t *testing.T) {
	for _, row := range []struct{ inches, feet float64 }{
		{30, 136}, {28, 146}, {26, 157}, {24, 170}, {22, 185}, {20, 204}, {18, 227}, {16, 255}, {14, 291}, {12, 340}, {10, 408},
	} {
		got, err := equipment.Strip128(unit.Length(row.inches) * unit.Inch)
		if err != nil {
			t.Fatal(err)
		}
		// The table rounds 185.6 ft (22 in) and 291.7 ft (14 in) down, and 226.9 ft (18 in) up: within a foot.
		if feet := float64(got / unit.Foot); math.Abs(feet-row.feet) >= 1 {
			t.Errorf("%v in: %.1f ft, printed %v", row.inches, feet, row.feet)
		}
	}
}

// moreVaried is the probability that n values of a normal population with the CV kappa are found to have one above cv,
// exactly: √n × mean ÷ s has a noncentral t distribution about √n ÷ kappa, whose probability is the normal's averaged
// over χ². Both are a general library's, and so is the quadrature.
func moreVaried(cv, kappa float64, n int) float64 {
	nu, root := float64(n-1), math.Sqrt(float64(n))
	chi := distuv.ChiSquared{K: nu}
	return quad.Fixed(func(w float64) float64 {
		return distuv.UnitNormal.CDF(root/cv*math.Sqrt(w/nu)-root/kappa) * chi.Prob(w)
	}, chi.Quantile(1e-12), chi.Quantile(1-1e-12), 600, quad.Legendre{}, 0)
}

// An interval of 95 % leaves 2.5 % beyond either end. By the exact distribution ours does so to the printed tenth of a
// percent for booms up to 10 %. For worse ones the approximation is known to err: it errs to the safe side, holding
// more than it says, by half a point at most (four nozzles at 33 %).
func TestCVIntervalAgainstTheExactDistribution(t *testing.T) {
	for _, n := range []int{4, 6, 12, 30, 72} {
		for _, cv := range []float64{0.02, 0.05, 0.10, 0.20, 0.33} {
			low, high, ok := equipment.CVInterval(unit.Fraction(cv), n, 0.95)
			if !ok {
				t.Fatalf("no interval for %v of %d", cv, n)
			}
			below, above := 100*moreVaried(cv, float64(low), n), 100*(1-moreVaried(cv, float64(high), n))
			t.Logf("n %d, CV %.2f: %.4f to %.4f leaves %.3f %% and %.3f %%", n, cv, low, high, below, above)
			if cv <= 0.10 {
				near(t, "% below", below, 2.5, 1)
				near(t, "% above", above, 2.5, 1)
			}
			if holds := 100 - below - above; holds < 94.95 || holds > 95.55 {
				t.Errorf("n %d, CV %v: holds %.2f %%", n, cv, holds)
			}
		}
	}
}

// Of booms drawn from one normal law 95 % hold its CV: 4,000 draws, whose own standard error is 0.34 points.
func TestCVIntervalHoldsTheTruth(t *testing.T) {
	const draws, truth = 4000, 0.08
	r := rand.New(rand.NewPCG(1, 2))
	held := 0
	for range draws {
		sample := make([]float64, 18)
		for i := range sample {
			sample[i] = 1 + truth*r.NormFloat64()
		}
		low, high, ok := equipment.CVInterval(unit.Fraction(stat.StdDev(sample, nil)/stat.Mean(sample, nil)), len(sample), 0.95)
		if ok && low <= truth && truth <= high {
			held++
		}
	}
	if share := float64(held) / draws; math.Abs(share-0.95) > 3*0.0034 {
		t.Errorf("%.2f %% of the intervals hold the truth", 100*share)
	}
}

func TestNozzlesOnTheLimits(t *testing.T) {
	for _, row := range []struct {
		off  float64
		want equipment.Finding
	}{
		{0, equipment.Even},
		{0.05, equipment.Even},
		{0.06, equipment.Watch},
		{-0.06, equipment.Watch},
		{0.10, equipment.Watch},
		{0.11, equipment.Worn},
		{-0.11, equipment.Blocked},
		{-1, equipment.Blocked},
	} {
		b, err := equipment.Catch{Caught: []unit.Volume{unit.Volume(1 + row.off), unit.Volume(1 - row.off)}, Time: time.Minute}.Test()
		if err != nil {
			t.Fatal(err)
		}
		if got := b.Nozzles[0].Finding; got != row.want {
			t.Errorf("%+.0f %%: %s, expected %s", 100*row.off, got, row.want)
		}
	}
}

// Water is caught, UAN of 10.65 lb/gal will run: less of it comes out, by 1/1.13.
func TestWaterCaughtForUAN(t *testing.T) {
	c := equipment.Catch{Caught: []unit.Volume{1, 1}, Time: time.Minute, Speed: 6 * unit.MilePerHour, Spacing: 20 * unit.Inch}
	water, err1 := c.Test()
	c.Density = 10.65 * unit.PoundPerGallon
	uan, err2 := c.Test()
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	near(t, "factor", float64(water.Rate/uan.Rate), 1.13, 2)
}

func TestBadCatches(t *testing.T) {
	one := []unit.Volume{1, 1}
	for _, row := range []struct {
		name string
		c    equipment.Catch
		says string
	}{
		{"none", equipment.Catch{Time: time.Second}, "no nozzle was caught"},
		{"no time", equipment.Catch{Caught: one}, "expected a time above zero"},
		{"below zero", equipment.Catch{Caught: []unit.Volume{1, -1, 1, -2}, Time: time.Second}, "nozzle 2 caught -1 L"},
		{"all of them told", equipment.Catch{Caught: []unit.Volume{1, -1, 1, -2}, Time: time.Second}, "nozzle 4 caught -2 L"},
		{"not a number", equipment.Catch{Caught: []unit.Volume{unit.Volume(math.NaN())}, Time: time.Second}, "nozzle 1 caught NaN"},
		{"dry boom", equipment.Catch{Caught: []unit.Volume{0, 0}, Time: time.Second}, "nothing was caught"},
		{"density in lb/gal", equipment.Catch{Caught: one, Time: time.Second, Density: 10.65}, "looks like lb/gal"},
		{"backwards", equipment.Catch{Caught: one, Time: time.Second, Speed: -1}, "the speed is"},
	} {
		if _, err := row.c.Test(); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, expected %q", row.name, err, row.says)
		}
	}
}

func TestUnitsOfACatchChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		caught := rapid.SliceOfN(rapid.Float64Range(0.5, 2), 2, 80).Draw(t, "L")
		factor := rapid.Float64Range(0.1, 10).Draw(t, "factor")
		var a, b equipment.Catch
		a.Time = time.Minute
		b.Time = time.Duration(factor * float64(time.Minute))
		for _, v := range caught {
			a.Caught = append(a.Caught, unit.Volume(v))
			b.Caught = append(b.Caught, unit.Volume(v*factor))
		}
		x, err1 := a.Test()
		y, err2 := b.Test()
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if math.Abs(float64(x.Flow/y.Flow)-1) > 1e-6 || math.Abs(float64(x.CV-y.CV)) > 1e-9 {
			t.Fatalf("%v and %v, %v and %v", x.Flow, y.Flow, x.CV, y.CV)
		}
		mean := 0.0
		for _, n := range x.Nozzles {
			mean += float64(n.Off)
		}
		if math.Abs(mean) > 1e-9*float64(len(caught)) {
			t.Fatalf("the nozzles are off their own average by %v", mean)
		}
	})
}

func TestACatchOpensToItsWorking(t *testing.T) {
	c := equipment.Catch{Caught: []unit.Volume{1, 1.02, 0.99}, Time: time.Minute, Speed: 3, Spacing: 0.5, Density: 1.28}
	b, err := c.Test()
	if err != nil {
		t.Fatal(err)
	}
	var l working.Ledger
	b.Work(&l, c)
	if len(l.All()) != 3 {
		t.Errorf("%d figures", len(l.All()))
	}
}

// The controller counted 105 gal where 100 ran: its number was too small by 5 %, or the meter runs fast.
func ExampleRecount_Check() {
	r, err := equipment.Recount{Number: 720, Counted: 105 * unit.Gallon, Caught: 100 * unit.Gallon}.Check()
	fmt.Printf("%.0f, counted %+.0f %%, leave %v, %v\n", r.Number, 100*r.Off, r.Leave, err)
	// Output:
	// 756, counted +5 %, leave false, <nil>
}

func TestARecountCorrectsItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pulses := rapid.Float64Range(1e3, 1e6).Draw(t, "pulses")
		number := rapid.Float64Range(1, 1e4).Draw(t, "number")
		caught := rapid.Float64Range(1, 1000).Draw(t, "caught")
		counted := pulses / number
		r, err := equipment.Recount{Number: number, Counted: unit.Volume(counted), Caught: unit.Volume(caught)}.Check()
		if err != nil {
			t.Fatal(err)
		}
		if got := pulses / r.Number; math.Abs(got/caught-1) > 1e-9 {
			t.Fatalf("with the new number the same pulses count %v of %v", got, caught)
		}
	})
	if _, err := (equipment.Recount{Number: 720, Counted: 100}).Check(); err == nil {
		t.Error("nothing caught, and no error")
	}
}
