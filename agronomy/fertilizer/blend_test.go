package fertilizer_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"pgregory.net/rapid"
)

// UAN 28 with thiosulfate to eight parts of N to one of S. By hand: x = (8 × 0.26 − 0.12) ÷ (0.28 − 0.12 + 8 × 0.26)
// = 1.96 ÷ 2.24 = 0.875, so 26.0 % N and 3.25 % S; 1 ÷ (0.875 ÷ 10.65 + 0.125 ÷ 11.04) = 10.70 lb/gal.
func ExampleForSulfur() {
	uan, _ := fertilizer.Find("uan-28")
	ats, _ := fertilizer.Find("ammonium-thiosulfate")
	blend, parts, err := fertilizer.ForSulfur(uan, ats, 8)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %% of the mass is UAN: %.2f %% N, %.2f %% S, %.2f lb/gal (%s)\n", 100*parts[0].Share, 100*blend.Nitrogen.Value, 100*blend.Sulfur.Value,
		blend.Density.Value/unit.PoundPerGallon, blend.Density.Status)
	shares := fertilizer.VolumeShare(parts)
	v, _ := blend.Volume(40 * unit.PoundPerAcre)
	fmt.Printf("40 lb N takes %.2f gal/ac, %.2f of it thiosulfate, and brings %.0f lb S\n", v/unit.GallonPerAcre, float64(v/unit.GallonPerAcre)*float64(shares[1]), blend.SulfurCarried(40*unit.PoundPerAcre)/unit.PoundPerAcre)
	fmt.Println("salt-out known:", blend.SaltOut.Known())
	// Output:
	// 87.5 % of the mass is UAN: 26.00 % N, 3.25 % S, 10.70 lb/gal (derived from confirmed facts)
	// 40 lb N takes 14.38 gal/ac, 1.74 of it thiosulfate, and brings 5 lb S
	// salt-out known: false
}

func TestABlendKeepsEveryPound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		uan, ats := find2("uan-28"), find2("ammonium-thiosulfate")
		ratio := unit.Ratio(rapid.Float64Range(0.47, 100).Draw(t, "N : S"))
		blend, parts, err := fertilizer.ForSulfur(uan, ats, ratio)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(blend.Nitrogen.Value / blend.Sulfur.Value); math.Abs(got/float64(ratio)-1) > 1e-9 {
			t.Fatalf("N : S is %v, asked for %v", got, ratio)
		}
		if sum := blend.Urea.Value + blend.Ammonium.Value + blend.Nitrate.Value; math.Abs(float64(sum)-1) > 1e-9 {
			t.Fatalf("the forms of N add up to %v", sum)
		}
		// A hundred kg of the blend, taken apart again.
		liquid := 0.0
		for _, p := range parts {
			liquid += 100 * float64(p.Share) / float64(p.Product.Density.Value)
		}
		if got := 100 / float64(blend.Density.Value); math.Abs(got-liquid) > 1e-9 {
			t.Fatalf("100 kg take %v L, the parts %v", got, liquid)
		}
		if blend.Density.Value < uan.Density.Value || blend.Density.Value > ats.Density.Value {
			t.Fatalf("a density of %v", blend.Density.Value)
		}
	})
}

func find2(key string) fertilizer.Product {
	p, _ := fertilizer.Find(key)
	return p
}

func TestBlendsThatCannotBe(t *testing.T) {
	uan, ats, urea := find(t, "uan-28"), find(t, "ammonium-thiosulfate"), find(t, "urea")
	for _, row := range []struct {
		name string
		err  func() error
		says string
	}{
		{"more sulfur than thiosulfate has", func() error { _, _, err := fertilizer.ForSulfur(uan, ats, 0.3); return err }, "expected from 0.462 : 1"},
		{"no sulfur", func() error { _, _, err := fertilizer.ForSulfur(ats, uan, 8); return err }, "carries no sulfur"},
		{"a ratio of nothing", func() error { _, _, err := fertilizer.ForSulfur(uan, ats, 0); return err }, "no blend"},
		{"dry with liquid", func() error {
			_, err := fertilizer.Mix(fertilizer.Part{Product: uan, Share: 0.5}, fertilizer.Part{Product: urea, Share: 0.5})
			return err
		}, "one tank or one hopper"},
		{"half a blend", func() error { _, err := fertilizer.Mix(fertilizer.Part{Product: uan, Share: 0.5}); return err }, "make up 50 %"},
		{"nothing", func() error { _, err := fertilizer.Mix(); return err }, "a blend of nothing"},
	} {
		if err := row.err(); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, expected %q", row.name, err, row.says)
		}
	}
}

func TestABlendSaysThatItsSaltOutIsNotKnown(t *testing.T) {
	blend, _, err := fertilizer.ForSulfur(find(t, "uan-32"), find(t, "ammonium-thiosulfate"), 10)
	if err != nil {
		t.Fatal(err)
	}
	hints := 0
	for _, c := range blend.Cautions {
		if strings.Contains(c.Text, "was not found") && strings.Contains(c.Text, "UAN solution 32-0-0 does first, at 28 °F") {
			hints++
		}
	}
	if hints != 1 {
		t.Errorf("cautions %v", blend.Cautions)
	}
	if c, warned := blend.Storage(-3); !warned || !strings.Contains(c.Text, "not known") {
		t.Errorf("%v, %v", c, warned)
	}
}

func offer(key string, dollarsPerTon, pass float64) fertilizer.Offer {
	return fertilizer.Offer{Product: find2(key), Price: unit.PricePerMass(dollarsPerTon) * unit.PerShortTon, Application: unit.MoneyPerArea(pass) * unit.PerAcre}
}

// Urea at $560 a ton is $0.609 a pound of N (University of Illinois). Spread for $9/ac at 60 lb N, with a tenth lost and
// 2 lb tied up, by hand: 60 × 0.60870 + 9 = $45.52; 52 lb reach the crop: $0.875 a pound.
func ExampleOffer_CostOf() {
	c, err := offer("urea", 560, 9).CostOf(60*unit.PoundPerAcre, fertilizer.Fate{Lost: 0.10, TiedUp: 2 * unit.PoundPerAcre})
	fmt.Printf("$%.2f/ac; $%.3f a lb bought, $%.3f a lb that reaches the crop, %v\n", c.Total/unit.PerAcre, c.PerBought/unit.PerPound, c.PerReached/unit.PerPound, err)
	// Output:
	// $45.52/ac; $0.759 a lb bought, $0.875 a lb that reaches the crop, <nil>
}

// The closed form of the price at which one switches, against trying prices until the costs are the same.
func TestSwitchOverAgainstTrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		products := fertilizer.All()
		draw := func(name string) (fertilizer.Offer, fertilizer.Fate) {
			o := fertilizer.Offer{
				Product:     rapid.SampledFrom(products).Draw(t, name),
				Price:       unit.PricePerMass(rapid.Float64Range(100, 1200).Draw(t, name+" $/ton")) * unit.PerShortTon,
				Delivery:    unit.PricePerMass(rapid.Float64Range(0, 40).Draw(t, name+" delivery")) * unit.PerShortTon,
				Application: unit.MoneyPerArea(rapid.Float64Range(0, 15).Draw(t, name+" pass")) * unit.PerAcre,
				Sulfur:      unit.PricePerMass(rapid.Float64Range(0, 0.6).Draw(t, "sulfur")) * unit.PerPound,
			}
			return o, fertilizer.Fate{Lost: unit.Fraction(rapid.Float64Range(0, 0.5).Draw(t, name+" lost")), TiedUp: unit.Rate(rapid.Float64Range(0, 12).Draw(t, name+" tied"))}
		}
		a, fateA := draw("a")
		b, fateB := draw("b")
		reaching := unit.Rate(rapid.Float64Range(5, 150).Draw(t, "reaching"))
		price, err := fertilizer.SwitchOver(a, fateA, b, fateB, reaching)
		if err != nil {
			t.Fatal(err)
		}
		costA, err := a.CostOf(fateA.Needed(reaching), fateA)
		if err != nil {
			t.Fatal(err)
		}
		dearer := func(p float64) bool { // b at price p, added up from its bill
			n := float64(fateB.Needed(reaching))
			mass := n / float64(b.Product.Nitrogen.Value)
			bill := mass*(p+float64(b.Delivery)) + float64(b.Application) - mass*float64(b.Product.Sulfur.Value)*float64(b.Sulfur)
			return bill > float64(costA.Total)
		}
		low, high := -100.0, 100.0
		for range 200 {
			if m := (low + high) / 2; dearer(m) {
				high = m
			} else {
				low = m
			}
		}
		if math.Abs(low-float64(price)) > 1e-9 {
			t.Fatalf("closed form %v, tried %v", price, low)
		}
		if got := fateA.Reaching(fateA.Needed(reaching)); math.Abs(float64(got-reaching)) > 1e-9 {
			t.Fatalf("%v reaches of %v", got, reaching)
		}
		if price > 0 { // and back: a's switch-over price against b at that price is a's own
			b.Price = price
			back, err := fertilizer.SwitchOver(b, fateB, a, fateA, reaching)
			if err != nil || math.Abs(float64(back-a.Price)) > 1e-9 {
				t.Fatalf("back at %v, expected %v, %v", back, a.Price, err)
			}
		}
	})
}

func TestCostsThatCannotBe(t *testing.T) {
	urea := offer("urea", 560, 9)
	for _, row := range []struct {
		name string
		err  func() error
		says string
	}{
		{"all lost", func() error { _, err := urea.CostOf(50, fertilizer.Fate{Lost: 1}); return err }, "expected 0 to less than 100"},
		{"no rate", func() error { _, err := urea.CostOf(0, fertilizer.Fate{}); return err }, "expected one above zero"},
		{"negative tie-up", func() error { _, err := urea.CostOf(50, fertilizer.Fate{TiedUp: -1}); return err }, "ties up -1"},
		{"negative price", func() error { u := urea; u.Price = -1; _, err := u.CostOf(50, fertilizer.Fate{}); return err }, "the price of urea"},
		{"nothing to reach", func() error {
			_, err := fertilizer.SwitchOver(urea, fertilizer.Fate{}, urea, fertilizer.Fate{}, 0)
			return err
		}, "is to reach the crop"},
	} {
		if err := row.err(); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, expected %q", row.name, err, row.says)
		}
	}
	// Little nitrogen under much residue: none of it reaches the crop, and no price is made up for it.
	if c, err := urea.CostOf(5, fertilizer.Fate{TiedUp: 10}); err != nil || c.Reaches || c.PerReached != 0 {
		t.Errorf("%+v, %v", c, err)
	}
}

// A gallon of UAN 28 at $1.60 is $300.47 a ton: 1.60 ÷ 10.65 × 2000.
func TestPriceByTheGallon(t *testing.T) {
	p, ok := find(t, "uan-28").PriceOfVolume(1.60 / float64(unit.Gallon))
	if !ok {
		t.Fatal("UAN is sold by the gallon")
	}
	near(t, "$/ton", float64(p/unit.PerShortTon), 300.47, 2)
	if _, ok := find(t, "urea").PriceOfVolume(1); ok {
		t.Error("urea was sold by the gallon")
	}
}

// 80 ac at 25.151 gal/ac (University of Nebraska-Lincoln: 75 lb N from UAN 28) are 2,012 gal: three loads of 600 and
// one of 212.
func ExampleLoadsOf() {
	uan, _ := fertilizer.Find("uan-28")
	_, volume, _ := uan.OnField(75*unit.PoundPerAcre, 80*unit.Acre)
	l, err := fertilizer.LoadsOf(volume, 600*unit.Gallon, 80*unit.Acre)
	fmt.Printf("%.0f gal: %d loads, %d full and one of %.0f; or each of %.0f; a load covers %.1f ac, %v\n",
		l.Total/unit.Gallon, l.Count, l.Full, l.Last/unit.Gallon, l.Even/unit.Gallon, l.Covers/unit.Acre, err)
	bought, left, _ := fertilizer.Left(l.Total, 250*unit.Gallon)
	fmt.Printf("bought %.0f gal, %.0f left\n", bought/unit.Gallon, left/unit.Gallon)
	// Output:
	// 2012 gal: 4 loads, 3 full and one of 212; or each of 503; a load covers 23.9 ac, <nil>
	// bought 2250 gal, 238 left
}

func TestLoadsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		capacity := unit.Mass(rapid.Float64Range(100, 20_000).Draw(t, "hopper"))
		total := unit.Mass(rapid.Float64Range(1, 100_000).Draw(t, "total"))
		if rapid.Bool().Draw(t, "whole loads") {
			total = capacity * unit.Mass(rapid.IntRange(1, 40).Draw(t, "loads"))
		}
		l, err := fertilizer.LoadsOf(total, capacity, 32)
		if err != nil {
			t.Fatal(err)
		}
		if got := unit.Mass(l.Full)*capacity + l.Last; math.Abs(float64(got-total)) > 1e-6*float64(total) {
			t.Fatalf("%+v add up to %v of %v", l, got, total)
		}
		if l.Last < 0 || l.Last >= capacity || l.Even > capacity*(1+1e-9) || (l.Last > 0) != (l.Count == l.Full+1) {
			t.Fatalf("%+v of %v", l, capacity)
		}
	})
	if _, err := fertilizer.LoadsOf(100*unit.Gallon, 0, 1); err == nil || !strings.Contains(err.Error(), "holds 0") {
		t.Error(err)
	}
	if _, err := fertilizer.LoadsOf(100_000*unit.Gallon, unit.Litre, 1); err == nil || !strings.Contains(err.Error(), "in another unit") {
		t.Error(err)
	}
}

func TestStorageInTheCold(t *testing.T) {
	for _, row := range []struct {
		name    string
		key     string
		f       float64
		warned  bool
		saysNot string
	}{
		{"28 % on a mild night", "uan-28", 25, false, ""},
		{"28 % close to it", "uan-28", 5, true, "do not store"},
		{"28 % below it", "uan-28", -5, true, ""},
		{"32 % just below freezing", "uan-32", 25, true, ""},
		{"dry urea", "urea", -20, false, ""},
	} {
		c, warned := find(t, row.key).Storage(unit.Fahrenheit(row.f))
		if warned != row.warned || row.saysNot != "" && strings.Contains(c.Text, row.saysNot) {
			t.Errorf("%s: %v, %q", row.name, warned, c.Text)
		}
	}
}

func TestACostOpensToItsWorking(t *testing.T) {
	o, f := offer("ammonium-sulfate", 400, 9), fertilizer.Fate{Lost: 0.05}
	o.Sulfur = 0.3 * unit.PerPound
	c, err := o.CostOf(50*unit.PoundPerAcre, f)
	if err != nil {
		t.Fatal(err)
	}
	var l working.Ledger
	c.Work(&l, "cost.sulfate", o, f)
	if len(l.All()) != 2 {
		t.Errorf("%d figures", len(l.All()))
	}
}
