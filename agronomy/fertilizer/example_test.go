package fertilizer_test

import (
	"fmt"

	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
)

// University of Nebraska-Lincoln, CropWatch 2016, Setting the sprayer flow rate for non-water solutions:
// 10.65 lb/gal x 0.28 = 2.982 lb N/gal; 75 lb N takes 25.151 gal/ac; 20 GPA is 22.6 GPA in water terms.
func ExampleProduct_Volume() {
	uan, _ := fertilizer.Find("uan-28")
	n, _ := uan.NitrogenPerVolume()
	fmt.Printf("%.3f lb N/gal\n", n/unit.PoundPerGallon)
	v, _ := uan.Volume(75 * unit.PoundPerAcre)
	fmt.Printf("%.3f gal/ac\n", v/unit.GallonPerAcre)
	water, _ := uan.WaterTerms(20 * unit.GallonPerAcre)
	fmt.Printf("%.1f gal/ac on a table made for water\n", water/unit.GallonPerAcre)
	// Output:
	// 2.982 lb N/gal
	// 25.151 gal/ac
	// 22.6 gal/ac on a table made for water
}

// University of Illinois: urea at $560 a ton is $0.609 a pound of N.
func ExampleProduct_PricePerNitrogen() {
	urea, _ := fertilizer.Find("urea")
	price := urea.PricePerNitrogen(560 * unit.PerShortTon)
	fmt.Printf("$%.3f/lb N\n", price/unit.PerPound)
	// Output:
	// $0.609/lb N
}

// Where sources disagree on a density, both stand, and the gallons follow the one that is chosen.
func ExampleProduct_WithDensity() {
	uan, _ := fertilizer.Find("uan-28")
	for _, d := range append([]fertilizer.Published[unit.Density]{uan.Density}, uan.Density.Others...) {
		v, _ := uan.WithDensity(d).Volume(30 * unit.PoundPerAcre)
		fmt.Printf("%.2f lb/gal: %.2f gal/ac (%s)\n", d.Value/unit.PoundPerGallon, v/unit.GallonPerAcre, d.Source)
	}
	// Output:
	// 10.65 lb/gal: 10.06 gal/ac (nebraska-solutions-2016)
	// 10.67 lb/gal: 10.04 gal/ac (fertilizer-physical-characteristics)
}
