package main

import (
	"math"
	"strings"
	"testing"

	"culm/agronomy/unit"
)

func TestAmountsOnTheCommandLine(t *testing.T) {
	for _, row := range []struct {
		text string
		want unit.Density
	}{
		{"10.65lb/gal", 10.65 * unit.PoundPerGallon},
		{" 10.65 LB/GAL ", 10.65 * unit.PoundPerGallon},
		{"1.28 kg/L", 1.28},
		{"1280kg/m3", 1.28},
		{"46 lb/ft3", 46 * unit.PoundPerGallon * 231 / 1728},
		{"-1kg/L", -1}, // what makes no sense is refused where it is used
	} {
		var g given[unit.Density]
		if err := g.UnmarshalText([]byte(row.text)); err != nil || !g.Given || math.Abs(float64(g.Value-row.want)) > 1e-12 {
			t.Errorf("%q: %v, %v; expected %v", row.text, g.Value, err, row.want)
		}
	}
	for text, says := range map[string]string{
		"1.28": "has no unit", "": "has no unit", "ten lb/gal": "is not one of this", "1,28 kg/L": "is not one of this",
		"1.2.8 kg/L": "is not a number", "kg/L": "is not a number", "6 mph": `the unit "mph" is not one of this`,
	} {
		var g given[unit.Density]
		if err := g.UnmarshalText([]byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, expected %q", text, err, says)
		}
	}
}

func TestNozzlesOnTheCommandLine(t *testing.T) {
	var g givenNozzle
	if err := g.UnmarshalText([]byte("blue tip=0.3gal/min@40psi:15psi-4bar")); err != nil {
		t.Fatal(err)
	}
	if g.Name != "blue tip" || g.Flow != 0.3*unit.GallonPerMinute || g.At != 40*unit.PoundPerSquareInch || g.Low != 15*unit.PoundPerSquareInch || g.High != 4*unit.Bar {
		t.Errorf("%+v", g)
	}
	for text, says := range map[string]string{
		"0.3gal/min": "is no nozzle", "0.3@40psi": "flow", "0.3gpm@40": "pressure", "0.3gpm@40psi:60psi": "expected a range", "0.3gpm@40psi:60psi-15psi": "lower pressure first",
		"0gpm@40psi": "a flow above zero",
	} {
		var g givenNozzle
		if err := g.UnmarshalText([]byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, expected %q", text, err, says)
		}
	}
}

// Whatever is typed is a finite amount or refused in words.
func FuzzAmounts(f *testing.F) {
	for _, seed := range []string{"10.65lb/gal", "6 mph", "1e400 kg/L", "−3 psi", "tip=0.4gal/min@40psi:15psi-60psi", "@:", "=-@", "0.3gpm@40psi:-", "NaN kg/L"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var d given[unit.Density]
		if d.UnmarshalText([]byte(text)) == nil && (math.IsNaN(float64(d.Value)) || math.IsInf(float64(d.Value), 0)) {
			t.Fatalf("%q is taken for %v", text, d.Value)
		}
		var n givenNozzle
		if n.UnmarshalText([]byte(text)) == nil && n.Check() != nil {
			t.Fatalf("%q is taken for a nozzle that is none", text)
		}
	})
}
