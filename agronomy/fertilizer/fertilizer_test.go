package fertilizer_test

import (
	"math"
	"testing"

	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

func find(t *testing.T, key string) fertilizer.Product {
	t.Helper()
	p, ok := fertilizer.Find(key)
	if !ok {
		t.Fatalf("no product %q", key)
	}
	return p
}

// near compares at the digits a source prints: half a unit of the last one.
func near(t *testing.T, what string, got, printed float64, decimals int) {
	t.Helper()
	if tolerance := 0.5 * math.Pow(10, -float64(decimals)); math.Abs(got-printed) > tolerance {
		t.Errorf("%s = %v, printed %v", what, got, printed)
	}
}

func TestPrintedPoundsPerGallon(t *testing.T) {
	uan28, uan32, ats := find(t, "uan-28"), find(t, "uan-32"), find(t, "ammonium-thiosulfate")
	for _, row := range []struct {
		name    string
		of      func() (unit.Density, bool)
		printed float64
	}{
		{"UAN 28 at 10.65 lb/gal (Nebraska)", uan28.NitrogenPerVolume, 2.982},
		{"UAN 28 at 10.67 lb/gal (materials sheet)", uan28.WithDensity(uan28.Density.Others[0]).NitrogenPerVolume, 2.988},
		{"UAN 32 at 11.06 lb/gal", uan32.NitrogenPerVolume, 3.539},
		{"ATS nitrogen at 11.04 lb/gal", ats.NitrogenPerVolume, 1.325},
		{"ATS sulfur at 11.04 lb/gal", ats.SulfurPerVolume, 2.870},
	} {
		got, liquid := row.of()
		if !liquid {
			t.Errorf("%s: not liquid", row.name)
		}
		near(t, row.name, float64(got/unit.PoundPerGallon), row.printed, 3)
	}
}

// Physical characteristics of nitrogen solutions: 10.74 lb/gal at 40 F and 10.6 at 80 F, "1.3 %".
func TestSolutionShrinksInTheCold(t *testing.T) {
	uan := find(t, "uan-28")
	cold, ok1 := uan.DensityAt(unit.Fahrenheit(40))
	warm, ok2 := uan.DensityAt(unit.Fahrenheit(80))
	if !ok1 || !ok2 {
		t.Fatal("40 and 80 °F are lines of the table")
	}
	near(t, "shrink from 80 to 40 °F, %", 100*float64((cold-warm)/warm), 1.3, 1)

	between, ok := uan.DensityAt(unit.Fahrenheit(60))
	if !ok {
		t.Fatal("60 °F lies inside the table")
	}
	// The table sides with the materials sheet's 10.67 and not with Nebraska's 10.65.
	near(t, "60 °F, lb/gal", float64(between/unit.PoundPerGallon), 10.67, 2)
}

func TestDensityOutsideTheTableIsNotInvented(t *testing.T) {
	for _, row := range []struct {
		name string
		key  string
		f    float64
	}{
		{"colder than the table", "uan-28", 10},
		{"warmer than the table", "uan-28", 95},
		{"no table for 32 %", "uan-32", 40},
		{"a dry product", "urea", 40},
	} {
		p := find(t, row.key)
		if d, ok := p.DensityAt(unit.Fahrenheit(row.f)); ok || d != p.Density.Value {
			t.Errorf("%s: %v, %v; expected the figure for 60 °F, not confirmed for this temperature", row.name, d, ok)
		}
	}
}

// By mass: UAN 28 is 40 % ammonium nitrate and 30 % urea, so 50 % of its N is urea; UAN 32 is 45 and 35,
// so 50.9 %. Alabama ANR-174; "half" also in Illinois Bulletin 729 and Penn State.
func TestUreaShares(t *testing.T) {
	near(t, "UAN 28, % of N as urea", 100*float64(find(t, "uan-28").Urea.Value), 50, 0)
	near(t, "UAN 32, % of N as urea", 100*float64(find(t, "uan-32").Urea.Value), 50.9, 1)
}

// Balance of mass: 0.1429 lb water to a lb of 32 %, 0.1894 gal to a gal.
func TestCutting32To28(t *testing.T) {
	water, ok := find(t, "uan-32").WaterToCut(0.28)
	if !ok {
		t.Fatal("32 % can be cut to 28 %")
	}
	near(t, "gal water to a gal", float64(water), 0.1894, 4)
	if _, ok := find(t, "uan-28").WaterToCut(0.32); ok {
		t.Error("water made 28 % solution stronger")
	}
	if _, ok := find(t, "urea").WaterToCut(0.28); ok {
		t.Error("dry urea was cut with water")
	}
}

// University of Nebraska-Lincoln 2016 prints factors to two digits for solutions by weight.
func TestNozzleFactors(t *testing.T) {
	for _, row := range []struct{ lbPerGal, factor float64 }{
		{8.34, 1.00},
		{9.0, 1.04},
		{10.0, 1.10},
		{10.65, 1.13},
		{11.0, 1.15},
		{11.06, 1.15},
		{11.4, 1.17},
		{11.6, 1.18},
		{12.0, 1.20},
		{7.0, 0.92},
		{6.6, 0.89},
	} {
		p := find(t, "uan-28").WithDensity(fertilizer.Published[unit.Density]{Value: unit.Density(row.lbPerGal) * unit.PoundPerGallon})
		got, _ := p.WaterTerms(1)
		near(t, "nozzle factor", float64(got), row.factor, 2)
	}
}

func TestSulfurIsCreditedOnlyWhenWanted(t *testing.T) {
	as := find(t, "ammonium-sulfate")
	price := 400 * unit.PerShortTon
	// $400/ton is $0.20/lb product; 0.20/0.21 = $0.952/lb N. With S at $0.30/lb: (0.20-0.072)/0.21 = $0.610.
	near(t, "sulfur free", float64(as.PricePerNitrogen(price)/unit.PerPound), 0.952, 3)
	near(t, "sulfur credited", float64(as.PricePerNitrogenLessSulfur(price, 0.30*unit.PerPound)/unit.PerPound), 0.610, 3)
	near(t, "S with 21 lb N", float64(as.SulfurCarried(21*unit.PoundPerAcre)/unit.PoundPerAcre), 24, 6)
}

func TestConflictsStayVisible(t *testing.T) {
	for _, row := range []struct {
		key  string
		both [2]float64
	}{
		{"uan-28", [2]float64{10.65, 10.67}},
		{"ammonium-thiosulfate", [2]float64{11.04, 11.5}},
	} {
		d := find(t, row.key).Density
		if len(d.Others) != 1 {
			t.Fatalf("%s: %d other densities, expected the one that disagrees", row.key, len(d.Others))
		}
		near(t, row.key, float64(d.Value/unit.PoundPerGallon), row.both[0], 6)
		near(t, row.key, float64(d.Others[0].Value/unit.PoundPerGallon), row.both[1], 6)
		if d.Source == d.Others[0].Source {
			t.Errorf("%s: both densities name %s", row.key, d.Source)
		}
	}
}

func TestThiosulfateGoesIntoBlends(t *testing.T) {
	for _, p := range fertilizer.All() {
		if got, want := p.BlendOnly, p.Key == "ammonium-thiosulfate"; got != want {
			t.Errorf("%s: blend only is %v", p.Key, got)
		}
		if p.BlendOnly != (p.BlendWhy != "") {
			t.Errorf("%s: a product for blends must say why", p.Key)
		}
	}
}

func TestEveryFigureNamesItsSource(t *testing.T) {
	for _, p := range fertilizer.All() {
		if found, ok := fertilizer.Find(p.Key); !ok || found.Name != p.Name {
			t.Errorf("Find(%q) does not give what All lists", p.Key)
		}
		if sum := p.Urea.Value + p.Ammonium.Value + p.Nitrate.Value; math.Abs(float64(sum)-1) > 1e-12 {
			t.Errorf("%s: forms of N add up to %v", p.Key, sum)
		}
		for what, f := range map[string]fertilizer.Published[unit.Fraction]{
			"N": p.Nitrogen, "S": p.Sulfur, "urea": p.Urea, "ammonium": p.Ammonium, "nitrate": p.Nitrate,
		} {
			if _, ok := cite.Find(f.Source); !ok || !f.Known() {
				t.Errorf("%s: %s has source %q, status %q", p.Key, what, f.Source, f.Status)
			}
		}
		if _, ok := cite.Find(p.Density.Source); !ok || !p.Density.Known() {
			t.Errorf("%s: density has source %q", p.Key, p.Density.Source)
		}
		if p.Form == fertilizer.Liquid && !p.SaltOut.Known() {
			t.Errorf("%s: a liquid without a temperature at which it salts out", p.Key)
		}
		for _, c := range p.Cautions {
			if _, ok := cite.Find(c.Source); !ok || c.Status == "" || c.Key == "" {
				t.Errorf("%s: caution %+v", p.Key, c)
			}
		}
	}
	if _, ok := fertilizer.Find("sawdust"); ok {
		t.Error("found a product that is not in the table")
	}
}

// The nitrogen that is paid for, carried and sprayed is the nitrogen asked for.
func TestMassCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(fertilizer.All()).Draw(t, "product")
		n := unit.Rate(rapid.Float64Range(0, 300).Draw(t, "kg N/ha"))
		price := unit.PricePerMass(rapid.Float64Range(0.05, 3).Draw(t, "price per kg"))

		product := p.ProductRate(n)
		if got := float64(product) * float64(p.Nitrogen.Value); math.Abs(got-float64(n)) > 1e-9 {
			t.Fatalf("%s: product holds %v kg N of %v", p.Key, got, n)
		}
		bill, worth := float64(product)*float64(price), float64(n)*float64(p.PricePerNitrogen(price))
		if math.Abs(bill-worth) > 1e-6 {
			t.Fatalf("%s: the product costs %v, its nitrogen %v", p.Key, bill, worth)
		}
		if v, ok := p.Volume(n); ok {
			perLitre, _ := p.NitrogenPerVolume()
			if got := float64(v) * float64(perLitre); math.Abs(got-float64(n)) > 1e-9 {
				t.Fatalf("%s: gallons hold %v kg N of %v", p.Key, got, n)
			}
		} else if p.Form != fertilizer.Dry {
			t.Fatalf("%s: no volume for a liquid", p.Key)
		}
	})
}

func TestInhibitedUreaIsUrea(t *testing.T) {
	bare, treated := find(t, "urea"), find(t, "urea-inhibitor")
	if bare.Inhibited || !treated.Inhibited || treated.Nitrogen.Value != bare.Nitrogen.Value || treated.Urea.Value != 1 {
		t.Errorf("urea %+v\nwith inhibitor %+v", bare, treated)
	}
}
