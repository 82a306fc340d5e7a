package quantity_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

func parse(t testing.TB, text string) quantity.Unit {
	t.Helper()
	u, err := quantity.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// The units of a term work out as they do on paper: pounds per bushel times bushels per acre are pounds per acre.
func ExampleUnit_Mul() {
	perBushel, _ := quantity.Parse("lb N/bu")
	yieldGoal, _ := quantity.Parse("bu/ac")
	fmt.Println(perBushel.Mul(yieldGoal))
	// Output: lb N/ac <nil>
}

// A substance is part of the symbol, so phosphorus never passes for its oxide.
func ExampleHint() {
	p, _ := quantity.Parse("lb P/ac")
	p2o5, _ := quantity.Parse("lb P2O5/ac")
	fmt.Println(quantity.Hint(p, p2o5))
	// Output: the substances differ: 1 lb P is 2.2914 lb P2O5; a constant of unit lb P2O5/lb P turns lb P/ac into lb P2O5/ac
}

func ExampleBetween() {
	tonnes, _ := quantity.Parse("t/ha")
	bushels, _ := quantity.Parse("bu/ac")
	toWheat, _ := quantity.Between(tonnes, bushels, quantity.WheatBushel)
	fmt.Printf("4 t/ha is %.1f bu/ac of wheat\n", toWheat.Of(4))
	_, err := quantity.Between(tonnes, bushels, 0)
	fmt.Println(err)
	// Output:
	// 4 t/ha is 59.5 bu/ac of wheat
	// expected bu/ac, found t/ha: a bushel is a mass only where the crop is known
}

func ExampleParseValue() {
	nitrate, _ := quantity.Parse("lb N/ac")
	for _, typed := range []string{"40", "40lb/ac", "45 kg N/ha", "40 lb S/ac", "12 ppm"} {
		v, err := quantity.ParseValue(typed)
		if err != nil {
			fmt.Println(err)
			continue
		}
		pounds, err := v.In(nitrate, quantity.WheatBushel)
		fmt.Printf("%.1f %v\n", pounds, err)
	}
	// Output:
	// 40.0 <nil>
	// 40.0 <nil>
	// 40.1 <nil>
	// 0.0 expected lb N/ac, found lb S/ac: the substances differ; give the value in lb N/ac
	// 0.0 expected lb N/ac, found ppm: one is a share of the soil and the other a mass on an area; it takes the depth of the sample and a mass of soil to get from one to the other
}

func TestUnitsAreWrittenInOneWay(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"a rate of nitrogen", "lb N/ac", "lb N/ac"},
		{"spaces do not matter", "  lb  N / ac ", "lb N/ac"},
		{"order does not matter", "lb/in/ac", "lb/ac/in"},
		{"a rate per part per million", "lb P2O5/ac/ppm P", "lb P2O5/ac/ppm P"},
		{"grain per acre", "bu/ac", "bu/ac"},
		{"a price", "$/lb N", "$/lb N"},
		{"percent", "%", "%"},
		{"a square", "ppm2", "ppm2"},
		{"a square of a substance", "ppm2 P", "ppm2 P"},
		{"the same, written out", "ppm P ppm P", "ppm2 P"},
		{"an area as a square", "kg/m2", "kg/m2"},
		{"exchange capacity by volume", "meq/100 cm3", "meq/100 cm3"},
		{"exchange capacity by mass", "meq/100 g", "meq/100 g"},
		{"a square of a symbol with a figure", "meq2/100 cm3/100 cm3", "meq2/100 cm3/100 cm3"},
		{"degree days", "day C", "C day"},
		{"a plain number", "1", "1"},
		{"something plain a day", "1/day", "1/day"},
		{"what cancels", "lb N/lb N", "1"},
		{"what does not", "lb N/lb", "lb N/lb"},
		{"what cancels of a square", "m2/m", "m"},
		{"per head and day", "lb/day/head", "lb/head/day"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := parse(t, tt.text).String(); got != tt.want {
				t.Errorf("%q reads as %q, want %q", tt.text, got, tt.want)
			}
		})
	}
}

func TestUnitsThatAreNone(t *testing.T) {
	tests := []struct{ name, text, says string }{
		{"nothing", " ", "found nothing"},
		{"pounds in the plural", "lbs N/ac", "is lb meant?"},
		{"acres spelled out", "lb N/acre", "is ac meant?"},
		{"a substance glued on", "lbN/ac", "is lb N meant?"},
		{"a substance in front", "N lb/ac", "N is a substance and stands behind a mass"},
		{"a substance behind an area", "lb/ac N", "a substance stands behind a mass, ppm or %, as in lb N/ac"},
		{"a power with a sign", "ppm^2", "without a sign"},
		{"a negative power", "kg ha-1", "behind a slash"},
		{"a divisor of two", "lb/ac in", "each divisor has its own slash"},
		{"a slash with nothing behind", "lb/", "missing beside the slash"},
		{"a slash with nothing before", "/ac", "missing beside the slash"},
		{"capitals", "PPM", "is ppm meant?"},
		{"a power of nothing", "ppm0", "expected a power from 1 to 9"},
		{"a power too far", "m9 m9", "powers go from"},
		{"no unit at all", "furlong", "not a unit known here"},
		{"an endless one", strings.Repeat("lb ", 50), "at most"},
		{"megagrams", "Mg/ha", "Mg is a substance"},
		{"degrees", "°F", "is F meant?"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if u, err := quantity.Parse(tt.text); err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("%q: got %v, %v; want an error that says %q", tt.text, u, err, tt.says)
			}
		})
	}
}

func TestAlgebra(t *testing.T) {
	u := func(text string) quantity.Unit { return parse(t, text) }
	tests := []struct {
		name string
		got  func() (quantity.Unit, error)
		want string
	}{
		{"a rate through a soil test", func() (quantity.Unit, error) { return u("lb P2O5/ac/ppm P").Mul(u("ppm P")) }, "lb P2O5/ac"},
		{"not through another substance", func() (quantity.Unit, error) { return u("lb P2O5/ac/ppm P").Mul(u("ppm P2O5")) }, "lb P2O5 ppm P2O5/ac/ppm P"},
		{"return on nitrogen", func() (quantity.Unit, error) { return u("$/bu").Mul(u("bu/ac")) }, "$/ac"},
		{"a square", func() (quantity.Unit, error) { return u("ppm P").Pow(2) }, "ppm2 P"},
		{"to the power 0", func() (quantity.Unit, error) { return u("ppm P").Pow(0) }, "1"},
		{"inverted", func() (quantity.Unit, error) { return u("lb/ac").Pow(-1) }, "ac/lb"},
		{"a root", func() (quantity.Unit, error) { return u("kg2/m2").Root() }, "kg/m"},
		{"a root of a volume squared", func() (quantity.Unit, error) { return u("meq2/100 cm3/100 cm3").Root() }, "meq/100 cm3"},
		{"the constant between two", func() (quantity.Unit, error) { return u("lb/ac").Div(u("ppm")) }, "lb/ac/ppm"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got, err := tt.got(); err != nil || got.String() != tt.want {
				t.Errorf("got %v, %v; want %s", got, err, tt.want)
			}
		})
	}
	if got, err := u("lb/ac").Root(); err == nil {
		t.Errorf("the root of lb/ac is %v, want an error", got)
	}
	if got, err := u("ppm9").Mul(u("ppm")); err == nil {
		t.Errorf("ppm10 is %v, want an error", got)
	}
}

// Factors from outside: the tables of conversions at the head of Culm's methods, and definitions.
func TestConversions(t *testing.T) {
	tests := []struct {
		name     string
		from, to string
		bushel   quantity.Bushel
		v, want  float64
		decimals int
	}{
		// 1 lb/ac = 1.12085 kg/ha, printed in extension bulletins.
		{"a pound per acre", "lb N/ac", "kg N/ha", 0, 1, 1.12085, 5},
		{"a pound per acre of something taken as nitrogen", "lb/ac", "kg N/ha", 0, 1, 1.12085, 5},
		// 1 t/ha of wheat is 14.87 bu/ac.
		{"a tonne of wheat", "t/ha", "bu/ac", quantity.WheatBushel, 1, 14.87, 2},
		{"a bushel of canola in kg", "bu", "kg", quantity.CanolaBushel, 1, 22.680, 3},
		{"freezing", "F", "C", 0, 32, 0, 10},
		{"boiling", "C", "F", 0, 100, 212, 10},
		// North Dakota growing degree days: a phyllochron of 143 F days is 79.4 C days. No offset.
		{"143 Fahrenheit days", "F day", "C day", 0, 143, 79.4, 1},
		{"a degree per inch is a difference", "F/in", "C/in", 0, 18, 10, 10},
		{"a percent", "%", "1", 0, 2.5, 0.025, 10},
		{"a share", "1", "%", 0, 0.025, 2.5, 10},
		{"parts per million", "mg P/kg", "ppm P", 0, 12, 12, 10},
		{"percent of a million", "%", "ppm", 0, 0.0012, 12, 10},
		{"an exchange capacity", "cmol/kg", "meq/100 g", 0, 14, 14, 10},
		{"matter on a square metre", "kg/m2", "t/ha", 0, 1.25, 12.5, 10},
		{"a short ton of lime", "ton/ac", "lb/ac", 0, 1.7, 3400, 10},
		// The US price of urea per lb of N from $/ton: Illinois, $560 a ton is $0.28 a lb of product.
		{"a price per ton", "$/ton", "$/lb", 0, 560, 0.28, 10},
		{"a grain price per tonne", "$/t", "$/bu", quantity.WheatBushel, 200, 5.44, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, err := quantity.Between(parse(t, tt.from), parse(t, tt.to), tt.bushel)
			if err != nil {
				t.Fatal(err)
			}
			if got := c.Of(tt.v); math.Abs(got-tt.want) > 0.5*math.Pow10(-tt.decimals) {
				t.Errorf("%v %s is %v %s, want %v", tt.v, tt.from, got, tt.to, tt.want)
			}
		})
	}
}

func TestWhatDoesNotConvert(t *testing.T) {
	tests := []struct{ name, from, to, says string }{
		{"phosphorus into its oxide", "lb P/ac", "lb P2O5/ac", "1 lb P is 2.2914 lb P2O5"},
		{"nitrogen into sulfur", "lb N/ac", "lb S/ac", "the substances differ"},
		{"a substance into none", "ppm P2O5", "ppm", "the substances differ"},
		{"a share of the soil into a mass on it", "ppm", "lb N/ac", "depth of the sample"},
		{"bushels of nothing", "bu/ac", "lb/ac", "only where the crop is known"},
		{"exchange capacity by volume into by mass", "meq/100 cm3", "meq/100 g", "expected meq/100 g"},
		{"acidity into a number", "pH", "1", "expected 1"},
		{"a year into days", "year", "day", "expected day"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, err := quantity.Between(parse(t, tt.from), parse(t, tt.to), 0)
			if err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("got %v, %v; want an error that says %q", c, err, tt.says)
			}
		})
	}
}

// Nutrients restated by atomic masses, as printed: NO3/NO3-N 4.4268, P2O5/P 2.2914, K2O/K 1.2046; SO4/S 2.996
// and CaCO3/Ca 2.497 from the same masses to their four digits.
func TestRatiosOfSubstances(t *testing.T) {
	for _, tt := range []struct {
		from, to string
		want     float64
		decimals int
	}{
		{"N", "NO3", 4.4268, 4},
		{"P", "P2O5", 2.2914, 4},
		{"K", "K2O", 1.2046, 4},
		{"S", "SO4", 2.996, 3},
		{"Ca", "CaCO3", 2.497, 3},
		{"P2O5", "P", 1 / 2.2914, 4},
	} {
		if got, ok := quantity.Ratio(tt.from, tt.to); !ok || math.Abs(got-tt.want) > 0.5*math.Pow10(-tt.decimals) {
			t.Errorf("%s as %s: %v, want %v", tt.from, tt.to, got, tt.want)
		}
	}
	if v, ok := quantity.Ratio("Zn", "P2O5"); ok {
		t.Errorf("zinc as P2O5 is %v", v)
	}
}

func TestKinds(t *testing.T) {
	tests := []struct {
		name   string
		unit   string
		bushel quantity.Bushel
		kind   unit.Kind
		base   float64 // of 1 in that unit
	}{
		{"a rate", "lb N/ac", 0, unit.KindRate, float64(unit.PoundPerAcre)},
		{"lime", "ton/ac", 0, unit.KindProductRate, 2000 * float64(unit.PoundPerAcre)},
		{"a yield of wheat", "bu/ac", quantity.WheatBushel, unit.KindWheatYield, float64(unit.WheatBushelPerAcre)},
		{"a yield of canola", "bu/ac", quantity.CanolaBushel, unit.KindCanolaYield, float64(unit.CanolaBushelPerAcre)},
		{"nitrogen per bushel", "lb N/bu", quantity.CanolaBushel, unit.KindPerCanola, float64(unit.NitrogenPoundPerCanolaBushel)},
		{"nitrogen per grain", "lb N/lb", 0, unit.KindPerYield, 1},
		{"a soil test", "ppm P", 0, unit.KindConcentration, 1},
		{"organic matter", "%", 0, unit.KindShare, 0.01},
		{"a price of grain", "$/bu", quantity.WheatBushel, unit.KindWheatPrice, float64(unit.PerWheatBushel)},
		{"a price of nitrogen", "$/lb N", 0, unit.KindNutrientPrice, float64(unit.PerPound)},
		{"a price of product", "$/ton", 0, unit.KindProductPrice, float64(unit.PerShortTon)},
		{"a return", "$/ac", 0, unit.KindMoneyPerArea, float64(unit.PerAcre)},
		{"acidity", "pH", 0, unit.KindCoefficient, 1},
		{"an index", "1", 0, unit.KindCoefficient, 1},
		{"a depth", "in", 0, unit.KindLength, float64(unit.Inch)},
		{"days", "day", 0, unit.KindDays, 1},
		{"degree days", "F day", 0, unit.KindDegreeDays, float64(unit.FahrenheitDays(1))},
		{"a temperature", "F", 0, unit.KindTemperature, float64(unit.Fahrenheit(1))},
		{"a volume of fertilizer", "gal/ac", 0, unit.KindVolumePerArea, float64(unit.GallonPerAcre)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			u := parse(t, tt.unit)
			kind, ok := quantity.KindOf(u, tt.bushel)
			if !ok || kind != tt.kind {
				t.Fatalf("kind %q, want %q", kind, tt.kind)
			}
			to, err := quantity.ToKindFrom(u, kind, tt.bushel)
			base := to.Of(1)
			if err != nil || math.Abs(base-tt.base) > 1e-12*math.Abs(tt.base) {
				t.Errorf("1 %s is %v in the base unit (%v), want %v", u, base, err, tt.base)
			}
			if back, err := quantity.FromKind(kind, base, u, tt.bushel); err != nil || math.Abs(back-1) > 1e-9 {
				t.Errorf("and back again %v (%v)", back, err)
			}
		})
	}
	if kind, ok := quantity.KindOf(parse(t, "meq/100 g"), 0); ok {
		t.Errorf("meq/100 g is a %s, want no kind", kind)
	}
	if c, err := quantity.ToKindFrom(parse(t, "ppm N"), unit.KindRate, 0); err == nil {
		t.Errorf("ppm N stands for a rate by %v", c)
	}
}

func TestValuesAsTyped(t *testing.T) {
	good := []struct {
		text string
		want float64
		unit string
	}{
		{"40lb/ac", 40, "lb/ac"},
		{"-2.5 %", -2.5, "%"},
		{"$5.50/bu", 5.5, "$/bu"},
		{"1,200 lb/ac", 1200, "lb/ac"},
		{"6.5pH", 6.5, "pH"},
		{"1e3 lb/ac", 1000, "lb/ac"},
		{".5in", 0.5, "in"},
		{"14 meq/100 cm3", 14, "meq/100 cm3"},
		{"40", 40, ""},
		{"$ 5 /bu", 5, "$/bu"},
	}
	for _, tt := range good {
		v, err := quantity.ParseValue(tt.text)
		if err != nil || v.Number != tt.want || v.HasUnit != (tt.unit != "") || v.HasUnit && v.Unit.String() != tt.unit {
			t.Errorf("%q is %+v (%v), want %v %s", tt.text, v, err, tt.want, tt.unit)
		}
	}
	for _, text := range []string{"", "lb/ac", "4,5 t/ha", "1.200,5", ",5", "--4", "4 furlongs", "NaN", "1e999", "0x10"} {
		if v, err := quantity.ParseValue(text); err == nil {
			t.Errorf("%q is %+v, want an error", text, v)
		}
	}
}

func anyUnit(t *rapid.T, label string) quantity.Unit {
	symbols := []string{"lb N", "lb S", "lb", "kg N", "bu", "ac", "ha", "in", "ppm P", "%", "$", "day", "C", "100 cm3", "meq", "pH"}
	var u quantity.Unit
	for _, s := range rapid.SliceOfN(rapid.SampledFrom(symbols), 0, 3).Draw(t, label) {
		f, err := quantity.Parse(s)
		if err != nil {
			t.Fatal(err)
		}
		if rapid.Bool().Draw(t, label+" below") {
			f, _ = f.Pow(-1)
		}
		if u, err = u.Mul(f); err != nil {
			t.Fatal(err)
		}
	}
	return u
}

func TestAlgebraHasItsLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u, v := anyUnit(t, "u"), anyUnit(t, "v")
		uv, err := u.Mul(v)
		if err != nil {
			t.Skip("too many symbols")
		}
		if vu, _ := v.Mul(u); vu != uv {
			t.Fatalf("%s times %s is %s, and the other way round %s", u, v, uv, vu)
		}
		if back, _ := uv.Div(v); back != u {
			t.Fatalf("%s over %s is %s, want %s", uv, v, back, u)
		}
		if again, err := quantity.Parse(uv.String()); err != nil || again != uv {
			t.Fatalf("%q reads back as %q (%v)", uv, again, err)
		}
		square, err := u.Pow(2)
		if err != nil {
			t.Fatal(err)
		}
		if root, err := square.Root(); err != nil || root != u {
			t.Fatalf("the root of %s is %s (%v), want %s", square, root, err, u)
		}
	})
}

// Converting there and back, or by way of a third unit, changes nothing.
func TestConversionsAgree(t *testing.T) {
	families := [][]string{{"lb N/ac", "kg N/ha", "t N/ha", "kg N/m2", "ton N/ac"}, {"bu/ac", "t/ha", "lb/ac", "cwt/ac"}, {"C", "F"}, {"ppm", "%", "1", "mg/kg", "lb/ton"}, {"$/bu", "$/t", "$/lb"}}
	rapid.Check(t, func(t *rapid.T) {
		family := rapid.SampledFrom(families).Draw(t, "family")
		unitOf := func(label string) quantity.Unit {
			u, err := quantity.Parse(rapid.SampledFrom(family).Draw(t, label))
			if err != nil {
				t.Fatal(err)
			}
			return u
		}
		a, b, c := unitOf("a"), unitOf("b"), unitOf("c")
		v := rapid.Float64Range(-1000, 1000).Draw(t, "v")
		convert := func(v float64, from, to quantity.Unit) float64 {
			how, err := quantity.Between(from, to, quantity.WheatBushel)
			if err != nil {
				t.Fatal(err)
			}
			return how.Of(v)
		}
		direct, around := convert(v, a, c), convert(convert(v, a, b), b, c)
		if math.Abs(direct-around) > 1e-12*(math.Abs(direct)+1e3) {
			t.Fatalf("%v %s is %v %s directly and %v by way of %s", v, a, direct, c, around, b)
		}
	})
}

// FuzzParse: any text gives a unit that reads back as itself, or an error; never a panic.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{"lb P2O5/ac/ppm P", "$/lb N", "meq/100 cm3", "kg/m2", "ppm2 P", "C day", "1", "1/1", "lb N2", "100 cm3 100 cm3", "lb/ac N", "%/%", "pH", "9", "m9/m9", "° "} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		u, err := quantity.Parse(text)
		if err != nil {
			return
		}
		if again, err := quantity.Parse(u.String()); err != nil || again != u {
			t.Fatalf("%q reads as %q, which reads as %q (%v)", text, u, again, err)
		}
	})
}

// FuzzParseValue: what is typed gives a finite number or an error.
func FuzzParseValue(f *testing.F) {
	for _, seed := range []string{"40lb/ac", "$5.50/bu", "1,200 lb/ac", "-2.5%", "1e3", "1e", "4e lb", "$", "+", ",,,"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if v, err := quantity.ParseValue(text); err == nil && (math.IsNaN(v.Number) || math.IsInf(v.Number, 0)) {
			t.Fatalf("%q is %v", text, v.Number)
		}
	})
}
