package lab_test

import (
	"fmt"

	"culm/agronomy/calendar"
	"culm/exchange/lab"
)

// A laboratory prints nitrate as pounds per acre of NO3-N in two layers, by the rule that six inches of soil weigh
// 2 million pounds. 12 lb/ac in 6 in are 12 ÷ 2 = 6 ppm; 36 in the next 18 in are 36 ÷ 6 = 6 ppm as well.
func ExampleRead() {
	mapping, problems := lab.ReadMapping("flats.yaml", []byte(`
lab-mapping: 1
lab: Flats Laboratory (invented)
sample: {column: Sample}
field: {is: north-80}
date: {column: Sampled}
date-format: month/day/year
depth: {column: Depth, unit: in}
soil-mass: 2 million lb per 6 in
not-detected: [ND]
results:
  - {column: NO3-N, analyte: nitrate-n, as: NO3-N, unit: lb/ac}
  - {column: P, analyte: phosphorus, as: P, unit: ppm, method: mehlich-3-icp, limit: 1, when-not-detected: limit}
`))
	fmt.Println(len(problems), "problems in the mapping")
	taken, problems := lab.Read("report.csv", []byte("Sample,Sampled,Depth,NO3-N,P\nA,9/8/2026,0-6,12,<1\nA,9/8/2026,6-24,36,ND\n"), mapping, calendar.Day{})
	fmt.Println(len(problems), "problems in the report")
	for _, s := range taken.Samples {
		for i, r := range s.Soil.Results {
			below := ""
			if r.Below {
				below = "below "
			}
			fmt.Printf("%s %.0f in: %s %s%g %s — printed %s %s\n", s.Soil.Sample, float64(s.Soil.Bottom)/0.0254, r.Analyte, below, r.Value, r.Analyte.Unit(), s.Printed[i].Text, s.Printed[i].Unit)
		}
	}
	// Output:
	// 0 problems in the mapping
	// 0 problems in the report
	// A 6 in: nitrate-n 6 ppm — printed 12 lb/ac NO3-N
	// A 6 in: phosphorus below 1 ppm — printed <1 ppm P
	// A 24 in: nitrate-n 6 ppm — printed 36 lb/ac NO3-N
	// A 24 in: phosphorus below 1 ppm — printed ND ppm P
}
