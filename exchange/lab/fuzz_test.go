package lab_test

import (
	"bytes"
	"math"
	"testing"

	"culm/agronomy/calendar"
	"culm/exchange/lab"
	"culm/season"

	"github.com/xuri/excelize/v2"
)

// Whatever comes, reading ends, and either samples or errors come out. What is taken, season.Check would take.
func FuzzRead(f *testing.F) {
	f.Add([]byte(flatsReport))
	f.Add([]byte("Sample;P\nA;12,5\nB;<1\n\"C\";\"1.200,5\"\n"))
	f.Add([]byte("Sample\tP\rA\t>200\r"))
	f.Add([]byte("\xFF\xFES\x00a\x00"))
	f.Add([]byte(`<ModusResult><Event><EventMetaData><EventDate>2026-09-08</EventDate></EventMetaData><EventSamples><Soil><DepthRefs><DepthRef DepthID="1"><StartingDepth>0</StartingDepth><EndingDepth>6</EndingDepth><DepthUnit>in</DepthUnit></DepthRef></DepthRefs><SoilSample><SampleMetaData><SampleNumber>1</SampleNumber></SampleMetaData><Depths><Depth DepthID="1"><NutrientResults><NutrientResult><Element>P</Element><Value>12</Value><ValueUnit>ppm</ValueUnit><ModusTestID>S-P-M3.04</ModusTestID></NutrientResult></NutrientResults></Depth></Depths></SoilSample></Soil></EventSamples></Event></ModusResult>`))
	f.Add([]byte(`<!DOCTYPE x [<!ENTITY a "aaaa">]><ModusResult>&a;</ModusResult>`))
	f.Add([]byte(`{"Events":[{"EventMetaData":{"EventDate":"2026-09-08"},"EventSamples":{"Soil":{"DepthRefs":[{"DepthID":1,"StartingDepth":0,"EndingDepth":15,"DepthUnit":"cm"}],"SoilSamples":[{"SampleMetaData":{"SampleNumber":"1"},"Depths":[{"DepthID":"1","NutrientResults":[{"Element":"pH","Value":"<6.1","ValueUnit":"none","ModusTestID":"S-PH-1:1.02"},{"Element":"K","Value":1e308,"ValueUnit":"cmol/kg"}]}]}]}}}]}`))
	f.Add(workbook(f, func(b *excelize.File) {
		put(f, b, "Sheet1", []any{"Sample", "P"}, []any{"A", 12}, []any{"B", "<1"})
		must(f, b.MergeCell("Sheet1", "A2", "A3"))
	}))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, m := range []lab.Mapping{plain(), {Results: []lab.Column{{Element: "K", Analyte: season.Potassium, Method: "unknown"}}}} {
			taken, problems := lab.Read("report", data, m, calendar.Day{})
			fatal := false
			for _, p := range problems {
				fatal = fatal || p.Severity == season.Fatal
			}
			if fatal != (len(taken.Samples) == 0) {
				t.Fatalf("%d samples beside %+v", len(taken.Samples), problems)
			}
			for _, s := range taken.Samples {
				if len(s.Printed) != len(s.Soil.Results) {
					t.Fatalf("%d results, %d as printed", len(s.Soil.Results), len(s.Printed))
				}
				for _, r := range s.Soil.Results {
					if low, high := season.Believed(r.Analyte); !(r.Value >= low && r.Value <= high) || math.IsNaN(r.Value) {
						t.Fatalf("%+v", r)
					}
				}
			}
		}
		lab.Suggest("report", data)
	})
}

// A mapping that is read is written and read again the same.
func FuzzMapping(f *testing.F) {
	f.Add([]byte("lab-mapping: 1\nlab: Flats\nsample: {column: Sample}\ndate: {is: 2026-09-08}\ndepth: 0-6 in\nresults:\n  - {column: P, analyte: phosphorus, unit: ppm, as: P, method: olsen}\n"))
	f.Add([]byte("lab-mapping: 1\nfield: {column: F, names: {a: b}}\ndepth: {top: T, bottom: B, unit: cm, names: {x: 0-6 in}}\nsoil-mass: 2 million lb per 6 in\nnot-detected: [ND, ~]\n"))
	f.Add([]byte("lab-mapping: 1\nlab: {column: L}\nsheet: [a, b]\nheader-row: 3\ndecimal: ','\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, problems := lab.ReadMapping("m.yaml", data)
		if len(problems) > 0 {
			return
		}
		first, err := m.File(nil)
		if err != nil {
			t.Fatal(err)
		}
		back, problems := lab.ReadMapping("m.yaml", first)
		if len(problems) > 0 {
			t.Fatalf("%+v\n%s", problems, first)
		}
		if again, err := back.File(nil); err != nil || !bytes.Equal(first, again) {
			t.Fatalf("%v\n%s\n%s", err, first, again)
		}
	})
}
