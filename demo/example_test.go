package demo_test

import (
	"fmt"

	"culm/agronomy/unit"
	"culm/demo"
	"culm/season"
	"culm/spatial"
)

func ExampleSeason() {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	fmt.Println(s.Settings.District, s.Settings.Invented)
	fmt.Println(len(s.Fields), "fields of", len(s.Producers), "producers around", len(s.Stations), "stations")

	fs, _ := s.Of("mill-quarter", demo.Today())
	acres := spatial.Area(fs.Boundary) / unit.Acre
	fmt.Printf("%s: %s on %.0f acres, read on %s\n", fs.Field.Name, fs.Field.Crop, float64(acres), fs.Readings[0].Day.Spoken())
	// Output:
	// Harrow Divide, an invented district true
	// 26 fields of 12 producers around 3 stations
	// Mill Quarter: winter wheat for grain on 153 acres, read on Monday 8 February
}
