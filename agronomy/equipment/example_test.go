package equipment_test

import (
	"fmt"
	"time"

	"culm/agronomy/equipment"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
)

// 20 GPA at 6 mph on 20 in takes 0.4040 GPM; for UAN of 10.65 lb/gal the table for water is read at 0.4566 GPM
// (5940 law, Montana MT 2000-14; factor 1.13, University of Nebraska-Lincoln 2016; the products computed).
func ExampleSpray_Flow() {
	s := equipment.Spray{
		Rate: 20 * unit.GallonPerAcre, Speed: 6 * unit.MilePerHour, Spacing: 20 * unit.Inch, Density: 10.65 * unit.PoundPerGallon,
	}
	fmt.Printf("%.4f GPM of UAN, %.4f in a table for water\n", s.Flow()/unit.GallonPerMinute, s.WaterFlow()/unit.GallonPerMinute)
	// Output:
	// 0.4040 GPM of UAN, 0.4566 in a table for water
}

// Which of the sizes that a rig owns does it?
func ExampleSpray_Choose() {
	s := equipment.Spray{Rate: 10 * unit.GallonPerAcre, Speed: 8 * unit.MilePerHour, Spacing: 20 * unit.Inch, Density: fertilizer.Water}
	settings, err := s.Choose(equipment.StandardSizes())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range settings[:3] {
		fmt.Printf("%s at %.0f psi, %.1f to %.1f mph\n", t.Nozzle.Name, t.Pressure/unit.PoundPerSquareInch, t.Slowest/unit.MilePerHour, t.Fastest/unit.MilePerHour)
	}
	// Output:
	// size 03 blue at 31 psi, 5.5 to 11.1 mph
	// size 025 lilac at 45 psi, 4.6 to 9.2 mph
	// size 04 red at 18 psi, 7.4 to 14.7 mph
}

// Louisiana State University AgCenter: rows of 40 in with two nozzles each, 102 ft, driven in 17 s; 14 ounces from
// the two are 14 GPA (the speed of 4.09 mph computed).
func ExampleRun128_Rate() {
	rate, speed, err := equipment.Run128{Width: 40 * unit.Inch, Took: 17 * time.Second, Caught: 14 * equipment.FluidOunce}.Rate()
	fmt.Printf("%.0f GPA at %.2f mph, %v\n", rate/unit.GallonPerAcre, speed/unit.MilePerHour, err)
	// Output:
	// 14 GPA at 4.09 mph, <nil>
}

// A boom of six nozzles, 30 s each, one of them half blocked.
func ExampleCatch_Test() {
	oz := equipment.FluidOunce
	b, err := equipment.Catch{
		Caught: []unit.Volume{26 * oz, 25 * oz, 27 * oz, 14 * oz, 26 * oz, 26 * oz}, Time: 30 * time.Second,
		Speed: 6 * unit.MilePerHour, Spacing: 20 * unit.Inch, Target: 20 * unit.GallonPerAcre,
	}.Test()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range b.Nozzles {
		fmt.Printf("nozzle %d: %+.0f %%, %s\n", n.Nozzle, 100*n.Off, n.Finding)
	}
	fmt.Printf("%.1f GPA; CV %.1f %% (%.1f to %.1f)\n", b.Rate/unit.GallonPerAcre, 100*b.CV, 100*b.Low, 100*b.High)
	// Output:
	// nozzle 1: +8 %, watch
	// nozzle 2: +4 %, even
	// nozzle 3: +12 %, worn
	// nozzle 4: -42 %, blocked
	// nozzle 5: +8 %, watch
	// nozzle 6: +8 %, watch
	// 18.6 GPA; CV 20.6 % (12.7 to 54.3)
}

// Ohio State University, Bulletin 817: half of the middle's rate 6 ft from it makes an effective swath of 12 ft.
func ExamplePattern_EffectiveSwath() {
	var pans []equipment.Pan
	for x, grams := range map[float64]float64{-9: 0, -6: 3, -3: 5, 0: 6, 3: 5, 6: 3, 9: 0} {
		pans = append(pans, equipment.Pan{At: unit.Length(x) * unit.Foot, Caught: unit.Mass(grams / 1000)})
	}
	p, err := equipment.NewPattern(pans)
	if err != nil {
		fmt.Println(err)
		return
	}
	swath, _ := p.EffectiveSwath()
	fmt.Printf("%.0f ft\n", swath/unit.Foot)
	// Output:
	// 12 ft
}
