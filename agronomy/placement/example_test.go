package placement_test

import (
	"fmt"

	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/season"
)

// UAN on a no-till field that nobody has looked at for residue, with a herbicide due.
func ExampleAll() {
	uan, _ := fertilizer.Find("uan-28")
	ways, err := placement.All(placement.Question{
		Product: uan, Crop: season.WheatGrain, Tillage: season.NoTill, PreviousCrop: "wheat", HerbicideDue: true,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range ways {
		if !w.Possible {
			fmt.Printf("%s: %s\n", w.Name, w.Why)
			continue
		}
		fmt.Printf("%s: ties up %.1f (%.0f to %.1f) lb/ac; extra pass %v; discouraged %v\n", w.Name,
			w.TiedUp/unit.PoundPerAcre, w.TiedUpLow/unit.PoundPerAcre, w.TiedUpHigh/unit.PoundPerAcre, w.ExtraPass, w.Discouraged)
	}
	fmt.Println(ways[1].Why)
	// Output:
	// broadcast: UAN solution 28-0-0 is liquid; a dry spreader cannot carry it
	// flat fans: ties up 5.0 (0 to 6.4) lb/ac; extra pass false; discouraged true
	// streams: ties up 1.0 (0 to 2.6) lb/ac; extra pass true; discouraged false
	// 50 % of the ground shows residue; above about 30 % liquid goes on in streams
}

// 1,000 lb of wheat straw at 80:1, wholly decayed, takes up 11.67 lb N (USDA-NRCS, Carbon to nitrogen
// ratios in cropping systems: critical ratio 24; carbon 40 %; computed).
func ExampleImmobilized() {
	n := placement.Immobilized(1000*unit.PoundOfMatterPerAcre, 1, placement.CarbonToNitrogen("wheat"))
	fmt.Printf("%.2f lb N\n", n/unit.PoundPerAcre)
	// Output:
	// 11.67 lb N
}
