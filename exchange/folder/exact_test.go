package folder

import (
	"math"
	"math/big"
	"strconv"
	"testing"

	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

// every lists one scale of each factor.
func every() []scale {
	var all []scale
	for _, list := range [][]scale{
		plainNumber(), rates(), areas(), masses(), days(), distances(), depths(), stems(), percents(), freshMasses(),
		temperatures(), rains(), snows(), winds(), yields(season.WheatGrain), yields(season.Canola),
		prices("wheat"), prices("canola"), prices("gain"), prices("urea"), prices("pass/broadcast"),
	} {
		all = append(all, list...)
	}
	return all
}

// The exact fractions here and the constants of package unit are written down in two places; they are the
// same numbers.
func TestFactorsAreThoseOfPackageUnit(t *testing.T) {
	for _, c := range []struct {
		name   string
		scales []scale
		symbol string
		want   float64
	}{
		{"nitrogen rate", rates(), "lb/ac", float64(unit.PoundPerAcre)},
		{"area", areas(), "ac", float64(unit.Acre)},
		{"mass", masses(), "lb", float64(unit.Pound)},
		{"metric mass", masses(), "t", float64(unit.Tonne)},
		{"distance", distances(), "ft", float64(unit.Foot)},
		{"depth", depths(), "in", float64(unit.Inch)},
		{"percent", percents(), "%", float64(unit.Percent)},
		{"fresh mass", freshMasses(), "kg/m2", float64(unit.KilogramOfMatterPerSquareMetre)},
		{"rain", rains(), "in", float64(unit.InchOfWater)},
		{"snow", snows(), "in", float64(unit.InchOfWater)},
		{"wind", winds(), "mph", float64(unit.MilePerHour)},
		{"metric wind", winds(), "km/h", float64(unit.KilometrePerHour)},
		{"wheat yield", yields(season.WheatGrazed), "bu/ac", float64(unit.WheatBushelPerAcre)},
		{"canola yield", yields(season.Canola), "bu/ac", float64(unit.CanolaBushelPerAcre)},
		{"metric yield", yields(season.Canola), "t/ha", float64(unit.TonneOfGrainPerHectare)},
		{"wheat price", prices("wheat"), "$/bu", float64(unit.PerWheatBushel)},
		{"canola price", prices("canola"), "$/bu", float64(unit.PerCanolaBushel)},
		{"metric price", prices("wheat"), "$/t", float64(unit.PerTonne)},
		{"gain price", prices("gain"), "$/lb", float64(unit.PerPound)},
		{"product price", prices("urea"), "$/ton", float64(unit.PerShortTon)},
		{"liquid's price at 10.65 lb/gal", prices("uan-28"), "$/gal", 1 / (10.65 * 0.45359237)},
		{"pass", prices("pass/stream"), "$/ac", float64(unit.PerAcre)},
	} {
		for _, s := range c.scales {
			if s.symbol == c.symbol && s.hi != c.want {
				t.Errorf("%s in %s: factor %v, package unit has %v", c.name, c.symbol, s.hi, c.want)
			}
		}
	}
	fahrenheit := temperatures()[0]
	for _, f := range []string{"-40", "32", "50", "212"} {
		got, _ := fahrenheit.parse([]byte(f))
		x, _ := strconv.ParseFloat(f, 64)
		if want := float64(unit.Fahrenheit(x)); got != want {
			t.Errorf("%s °F is %v °C, want %v", f, got, want)
		}
	}
}

func TestNumbersAreRoundedOnce(t *testing.T) {
	for _, c := range []struct {
		text string
		in   scale
		want float64
	}{
		{"0.6", rains()[0], 15.24}, // 0.6 × 25.4 in float64 gives 15.239999999999998
		{"1", rates()[0], 1.1208511561944561},
		{"12.5", plainNumber()[0], 12.5},
		{"-0.1", temperatures()[1], -0.1},
		{"59", temperatures()[0], 15},
		{"1e3", plainNumber()[0], 1000},
		{".5", plainNumber()[0], 0.5},
		{"123456789012345678901234567890", plainNumber()[0], 123456789012345678901234567890},
	} {
		if got, ok := c.in.parse([]byte(c.text)); !ok || got != c.want {
			t.Errorf("%s %s reads as %v, %v, want %v", c.text, c.in.symbol, got, ok, c.want)
		}
	}
}

func TestOnlyPlainDecimalsAreNumbers(t *testing.T) {
	for _, text := range []string{
		"", "-", ".", "1,5", "1.2.3", "0x10", "1_000", "inf", "NaN", "1/3", "12 ", "1e", "1e9999", "e5", "--1", "1e400", "½", "1'000",
	} {
		for _, s := range []scale{plainNumber()[0], rates()[0]} {
			if v, ok := s.parse([]byte(text)); ok {
				t.Errorf("%q reads as %v, want no number", text, v)
			}
		}
	}
}

// The quick way agrees with exact arithmetic on fractions to the last bit.
func TestQuickArithmeticAgreesWithExact(t *testing.T) {
	all := every()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(all).Draw(t, "scale")
		digits := rapid.Uint64Range(0, 1e17).Draw(t, "digits")
		text := strconv.FormatUint(digits, 10)
		if places := rapid.IntRange(0, 15).Draw(t, "places"); places > 0 {
			text = new(big.Rat).SetFrac(new(big.Int).SetUint64(digits), new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil)).FloatString(places)
		}
		if rapid.Bool().Draw(t, "negative") {
			text = "-" + text
		}
		got, ok := s.parse([]byte(text))
		if want := s.slow([]byte(text)); !ok || got != want {
			t.Fatalf("%s %s: %v, exactly %v", text, s.symbol, got, want)
		}
	})
}

func TestEveryFloatCanBeWrittenInEveryUnit(t *testing.T) {
	all := every()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(all).Draw(t, "scale")
		v := rapid.OneOf(
			rapid.Float64Range(-100, 5000),
			rapid.Float64Range(-1e-8, 1e-8),
			rapid.Float64(),
		).Draw(t, "amount")
		if math.IsInf(v, 0) || math.Abs(v) > 1e290 {
			t.Skip("in other units out of a float64's range")
		}
		text := s.format(v)
		if got, ok := s.parse([]byte(text)); !ok || got != v {
			t.Fatalf("%v is written %s %s and reads back as %v, %v", v, text, s.symbol, got, ok)
		}
	})
}

func TestNumbersKeepTheDigitsTheyCameWith(t *testing.T) {
	all := every()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(all).Draw(t, "scale")
		text := strconv.FormatFloat(float64(rapid.IntRange(-99999, 99999).Draw(t, "hundredths"))/100, 'f', -1, 64)
		v, ok := s.parse([]byte(text))
		if got := s.format(v); !ok || got != text {
			t.Fatalf("%s %s is %v and written back %s", text, s.symbol, v, got)
		}
	})
}

func BenchmarkParseFahrenheit(b *testing.B) {
	s := temperatures()[0]
	text := []byte("27.5")
	for b.Loop() {
		s.parse(text)
	}
}
