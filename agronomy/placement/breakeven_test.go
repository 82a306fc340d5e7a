package placement_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"pgregory.net/rapid"
)

// No-till wheat on wheat with half of the ground covered and a herbicide due. By hand: fans tie up 5 lb, streams 1; 4 lb
// at $0.65 ÷ (1 − 0.08) are worth $2.83 an acre, and a pass costs $9. 9 ÷ (8 × 0.7065) is more than all the ground.
func ExampleWeighing_Weigh() {
	uan, _ := fertilizer.Find("uan-28")
	w := placement.Weighing{
		Question: placement.Question{Product: uan, Crop: season.WheatGrain, Residue: seen(unit.Fraction(0.5)), PreviousCrop: "wheat", HerbicideDue: true},
		Rate:     50 * unit.PoundPerAcre, Price: 0.65 * unit.PerPound, Pass: 9 * unit.PerAcre, LostFans: 0.08, LostStreams: 0.08,
	}
	v, err := w.Weigh()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("saves %.1f lb worth $%.2f; net $%.2f; pays at nitrogen of $%.2f a lb; at any residue %v\n",
		v.Saved/unit.PoundPerAcre, v.Worth/unit.PerAcre, v.Net/unit.PerAcre, v.FromPrice/unit.PerPound, v.HasFromResidue)
	var l working.Ledger
	fmt.Println(strings.ReplaceAll(v.Work(&l, w).Read(&l, unit.US), "\u202f", " "))
	// Output:
	// saves 4.0 lb worth $2.83; net $-6.17; pays at nitrogen of $2.07 a lb; at any residue false
	// With 50% residue showing, streams keep 4 lb/ac more nitrogen for the crop than fans, worth $2.83/ac; a pass of their own beside the herbicide's costs $9.00/ac: by the money fans, unless nitrogen costs $2.07/lb; common practice is streams, above 30 % residue.
}

func weighing(t *rapid.T) placement.Weighing {
	uan, _ := fertilizer.Find("uan-32")
	return placement.Weighing{
		Question: placement.Question{
			Product: uan, PreviousCrop: rapid.SampledFrom([]string{"wheat", "corn", "sorghum", "soybean", "canola", "pea", "rye", "oat"}).Draw(t, "previous crop"),
			HerbicideDue: true, Residue: seen(unit.Fraction(0.4)),
		},
		Rate: unit.Rate(rapid.Float64Range(10, 150).Draw(t, "rate")), Price: unit.PricePerMass(rapid.Float64Range(0.2, 4).Draw(t, "price")),
		Pass:     unit.MoneyPerArea(rapid.Float64Range(0.1, 30).Draw(t, "pass")),
		LostFans: unit.Fraction(rapid.Float64Range(0, 0.3).Draw(t, "lost by fans")), LostStreams: unit.Fraction(rapid.Float64Range(0, 0.3).Draw(t, "lost by streams")),
	}
}

// netAt judges both ways at a cover and adds the bill up, without any of the algebra.
func netAt(t *rapid.T, w placement.Weighing, residue float64) float64 {
	w.Residue = seen(unit.Fraction(residue))
	fan, err1 := placement.Judge(placement.FlatFan, w.Question)
	stream, err2 := placement.Judge(placement.Stream, w.Question)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	byFan := float64(w.Rate)*(1-float64(w.LostFans)) - float64(fan.TiedUp)
	byStream := float64(w.Rate)*(1-float64(w.LostStreams)) - float64(stream.TiedUp)
	return (byStream-byFan)*float64(w.Price)/(1-float64(w.LostStreams)) - float64(w.Pass)
}

// The algebra of the break-even residue against going through 2,000 covers.
func TestBreakEvenResidueAgainstTrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := weighing(t)
		const steps = 2000
		first := -1
		for i := 0; i <= steps; i++ {
			if netAt(t, w, float64(i)/steps) >= 0 {
				first = i
				break
			}
		}
		r, ok := w.BreakEvenResidue(w.Price)
		switch {
		case ok != (first >= 0):
			if !ok || netAt(t, w, float64(r)) < -1e-6 { // at the very last step either answer is one of rounding
				t.Fatalf("found %v (%v), trying gives step %d", r, ok, first)
			}
		case ok && (float64(r) > float64(first)/steps+1e-9 || float64(r) < float64(first-1)/steps-1e-9):
			t.Fatalf("found %v, trying gives %v to %v", r, float64(first-1)/steps, float64(first)/steps)
		case ok && r > 0 && math.Abs(netAt(t, w, float64(r))) > 1e-6:
			t.Fatalf("at %v the net is %v", r, netAt(t, w, float64(r)))
		}
	})
}

// The break-even price against the bill, and the sign of the net on either side of both.
func TestBreakEvenPrice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := weighing(t)
		w.Residue = seen(unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "residue")))
		v, err := w.Weigh()
		if err != nil {
			t.Fatal(err)
		}
		if got := netAt(t, w, float64(w.Residue.Value)); math.Abs(got-float64(v.Net)) > 1e-9 {
			t.Fatalf("net %v, the bill says %v", v.Net, got)
		}
		if !v.HasFromPrice {
			if v.Saved > 0 {
				t.Fatal("something is saved, and no price pays it")
			}
			return
		}
		w.Price = v.FromPrice
		// Two bills of the whole rate are subtracted: what is left is their rounding.
		bill := float64(w.Rate) * float64(w.Price)
		if got := netAt(t, w, float64(w.Residue.Value)); math.Abs(got) > 1e-12*bill+1e-9 {
			t.Fatalf("at the break-even price %v the net is %v", v.FromPrice, got)
		}
	})
}

// Dearer nitrogen never asks for more residue.
func TestTheLineFallsWithThePrice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := weighing(t)
		last := placement.Point{Residue: 1, Never: true}
		for _, p := range w.Curve(0.1, 8, 25) {
			if p.Never && !last.Never || !p.Never && !last.Never && p.Residue > last.Residue+1e-9 {
				t.Fatalf("%+v after %+v", p, last)
			}
			last = p
		}
	})
}

func TestNoHerbicideNoExtraPass(t *testing.T) {
	w := placement.Weighing{
		Question: placement.Question{Product: product(t, "uan-28"), Residue: seen(unit.Fraction(0.4)), PreviousCrop: "wheat"},
		Rate:     50, Price: 1, Pass: 20,
	}
	v, err := w.Weigh()
	if err != nil || v.Pass != 0 || !v.StreamsPay() || v.FromResidue != 0 || !v.AsPractice {
		t.Errorf("%+v, %v", v, err)
	}
}

// Common practice, no source, beside the money: 25 to 30 % of residue and 10 lb N.
func TestPracticeStandsBeside(t *testing.T) {
	for _, row := range []struct {
		residue unit.Fraction
		says    string
	}{{0.1, "fans"}, {0.27, "either"}, {0.5, "streams"}} {
		w := placement.Weighing{Question: placement.Question{Product: product(t, "uan-28"), Residue: seen(row.residue), PreviousCrop: "wheat", HerbicideDue: true}, Rate: 50, Price: 1, Pass: 20}
		v, err := w.Weigh()
		if err != nil || !strings.HasPrefix(v.Practice, row.says) {
			t.Errorf("%v: %q, %v", row.residue, v.Practice, err)
		}
	}
}

func TestGreenLeafHidesResidueThatNobodySaw(t *testing.T) {
	q := placement.Question{Product: product(t, "uan-28"), Tillage: season.NoTill, Green: seen(unit.Fraction(0.6))}
	r := judge(t, placement.FlatFan, q)
	if math.Abs(float64(r.Residue.Value)-0.2) > 1e-12 || r.Residue.Origin.Kind != working.Assumed {
		t.Errorf("%+v", r.Residue)
	}
	burn := false
	for _, n := range r.Notes {
		burn = burn || strings.Contains(n.Text, "60 % of the ground is green leaf")
	}
	if !burn {
		t.Errorf("no word of leaf: %v", r.Notes)
	}
	if _, err := placement.Judge(placement.FlatFan, placement.Question{Product: q.Product, Green: seen(unit.Fraction(0.8)), Residue: seen(unit.Fraction(0.5))}); err == nil {
		t.Error("130 % of the ground was taken")
	}
}

func TestWeighingsThatCannotBe(t *testing.T) {
	uan := placement.Question{Product: product(t, "uan-28")}
	for _, row := range []struct {
		name string
		w    placement.Weighing
		says string
	}{
		{"dry", placement.Weighing{Question: placement.Question{Product: product(t, "urea")}}, "is dry"},
		{"all lost", placement.Weighing{Question: uan, LostFans: 1}, "loss by fans is 1"},
		{"negative pass", placement.Weighing{Question: uan, Pass: -1}, "cost of the pass is -1"},
		{"rate of NaN", placement.Weighing{Question: uan, Rate: unit.Rate(math.NaN())}, "rate is NaN"},
	} {
		if _, err := row.w.Weigh(); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, expected %q", row.name, err, row.says)
		}
	}
}
