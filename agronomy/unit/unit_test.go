package unit_test

import (
	"fmt"
	"math"
	"testing"

	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

func ExampleShow() {
	rate := 64 * unit.PoundPerAcre
	fmt.Println(unit.Show(rate.Kind(), float64(rate), unit.US).Number)
	fmt.Println(unit.Show(rate.Kind(), float64(rate), unit.Metric).Number)
	yield := 45 * unit.WheatBushelPerAcre
	fmt.Println(unit.Show(unit.KindWheatYield, float64(yield), unit.US).Number)
	fmt.Println(unit.Show(unit.KindMoneyPerArea, float64(-31*unit.PerAcre), unit.US))
	// Output:
	// 64
	// 72
	// 45.0
	// −$31/ac
}

// An uncertain number is written one way everywhere.
func ExampleShowRange() {
	lb := func(v float64) float64 { return float64(unit.Rate(v) * unit.PoundPerAcre) }
	s := unit.ShowRange(unit.KindRate, lb(64), lb(48), lb(79), unit.US)
	fmt.Printf("%q\n", s)
	// Output: "64 (48 to 79)\u202flb/ac"
}

// The conversions printed in extension bulletins, at their printed digits.
func TestPublishedConversions(t *testing.T) {
	tests := []struct {
		name      string
		got, want float64
		digits    int // decimals printed in the source
	}{
		// Conversions at the head of the reference tables: 1 lb/ac = 1.12085 kg/ha, bushels of 60 and 50 lb.
		{"a pound per acre in kg/ha", float64(unit.PoundPerAcre), 1.12085, 5},
		{"a wheat bushel in kg", 1 / float64(unit.PerWheatBushel), 27.216, 3},
		{"a canola bushel in kg", 1 / float64(unit.PerCanolaBushel), 22.680, 3},
		// From the same factors; the reference tables print 14.869, cut off and not rounded from 14.8697.
		{"a tonne of wheat per hectare in bu/ac", float64(unit.TonneOfGrainPerHectare / unit.WheatBushelPerAcre), 14.87, 2},
		// University of Illinois: urea at $560 a ton costs $0.609 per lb of N.
		{"urea at $560 a ton, per lb of N", 560 * float64(unit.PerShortTon/unit.PerPound) / 0.46, 0.609, 3},
		// North Dakota growing degree days: a phyllochron of 143 °F·d is 79.4 °C·d.
		{"143 Fahrenheit days", float64(unit.FahrenheitDays(143)), 79.4, 1},
		// NWS recorded reply: 2.032 mm is 0.08 in; 20.372 km/h is 11 kt, which is 12.66 mph.
		{"2.032 mm in inches", float64(2.032 * unit.MillimetreOfWater / unit.InchOfWater), 0.08, 2},
		// 10 ppm nitrate-N over 24 in at 0.3 million lb an acre-inch is 72 lb/ac.
		{"10 ppm over 24 in", float64(unit.Concentration(10).InSoil(24*unit.Inch, 0.3) / unit.PoundPerAcre), 72, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if half := 0.5 * math.Pow10(-tt.digits); math.Abs(tt.got-tt.want) > half {
				t.Errorf("got %v, want %v to %d decimals", tt.got, tt.want, tt.digits)
			}
		})
	}
}

func TestNumbersAsWritten(t *testing.T) {
	tests := []struct {
		name string
		kind unit.Kind
		base float64
		s    unit.System
		want string
	}{
		{"money in thousands", unit.KindMoney, 12345.4, unit.US, "$12,345"},
		{"a million", unit.KindMoney, 1e6, unit.US, "$1,000,000"},
		{"a loss", unit.KindMoneyPerArea, float64(-9 * unit.PerAcre), unit.US, "−$9/ac"},
		{"nothing is not minus nothing", unit.KindMoneyPerArea, -0.01, unit.US, "$0/ac"},
		{"a share", unit.KindFraction, 0.184, unit.US, "18%"},
		{"a share of which hundredths count", unit.KindShare, 0.0239, unit.US, "2.39%"},
		{"half a percent of organic matter", unit.KindShare, 0.005, unit.US, "0.50%"},
		{"a small coefficient", unit.KindCoefficient, 0.00684, unit.US, "0.00684"},
		{"its trailing digit", unit.KindCoefficient, 0.005, unit.Metric, "0.00500"},
		{"a coefficient near one", unit.KindCoefficient, -0.7, unit.US, "−0.700"},
		{"a large coefficient", unit.KindCoefficient, 324.4, unit.US, "324"},
		{"a larger one keeps its digits", unit.KindCoefficient, 12345, unit.US, "12,345"},
		{"a coefficient of nothing", unit.KindCoefficient, 0, unit.US, "0"},
		{"freezing", unit.KindTemperature, 0, unit.US, "32\u202f°F"},
		{"freezing, metric", unit.KindTemperature, 0, unit.Metric, "0.0\u202f°C"},
		{"a bare ratio", unit.KindRatio, 1.2345, unit.US, "1.23"},
		{"rain", unit.KindWater, 15.24, unit.US, "0.60\u202fin"},
		// 40 psi is 275.79 kPa (1 psi = 6.894757 kPa, NIST SP 811).
		{"pressure", unit.KindPressure, 275.79, unit.US, "40\u202fpsi"},
		{"pressure, metric", unit.KindPressure, float64(40 * unit.PoundPerSquareInch), unit.Metric, "2.8\u202fbar"},
		{"flow of a nozzle", unit.KindFlow, float64(0.4 * unit.GallonPerMinute), unit.Metric, "1.51\u202fL/min"},
		{"wheat price", unit.KindWheatPrice, float64(5.5 * unit.PerWheatBushel), unit.US, "$5.50/bu"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := unit.Show(tt.kind, tt.base, tt.s).String(); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

// Changing the reader's units changes no quantity: showing and dividing by the factor comes back.
func TestConversionIsProportional(t *testing.T) {
	kinds := []unit.Kind{
		unit.KindRate, unit.KindWheatYield, unit.KindCanolaYield, unit.KindArea, unit.KindWater,
		unit.KindMoneyPerArea, unit.KindWheatPrice, unit.KindVolumePerArea, unit.KindDensity,
	}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		v := rapid.Float64Range(0.001, 1e6).Draw(t, "value")
		ratio := unit.Convert(k, v, unit.US) / unit.Convert(k, v, unit.Metric)
		one := unit.Convert(k, 1, unit.US) / unit.Convert(k, 1, unit.Metric)
		if math.Abs(ratio-one) > 1e-12*one {
			t.Fatalf("%s: US to metric %v at %v, %v at 1", k, ratio, v, one)
		}
	})
}

func TestEveryQuantityHasAScale(t *testing.T) {
	for _, k := range []unit.Kind{
		unit.Rate(0).Kind(), unit.Yield(0).Kind(), unit.Biomass(0).Kind(), unit.Mass(0).Kind(), unit.Area(0).Kind(),
		unit.Length(0).Kind(), unit.Water(0).Kind(), unit.Temperature(0).Kind(), unit.DegreeDays(0).Kind(),
		unit.Days(0).Kind(), unit.Concentration(0).Kind(), unit.Density(0).Kind(), unit.Volume(0).Kind(),
		unit.VolumePerArea(0).Kind(), unit.Speed(0).Kind(), unit.Money(0).Kind(), unit.MoneyPerArea(0).Kind(),
		unit.PricePerMass(0).Kind(),
	} {
		if unit.Symbol(k, unit.US) == "" || unit.BaseSymbol(k) == "" {
			t.Errorf("%s has no unit to be shown in", k)
		}
	}
}
