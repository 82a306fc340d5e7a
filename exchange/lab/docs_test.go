package lab_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/exchange/lab"
)

// The mapping shown in docs/formats.md reads a report that looks as it says.
func TestTheDocumentedMappingReads(t *testing.T) {
	text, err := os.ReadFile("../../docs/formats.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(text), "```yaml\nlab-mapping: 1")
	body, _, _ := strings.Cut(rest, "```")
	m, problems := lab.ReadMapping("mapping.yaml", []byte("lab-mapping: 1"+body))
	if !found || len(problems) > 0 {
		t.Fatal(problems)
	}
	report := "Flats Laboratory (invented)\nReport no. 17\n" +
		"Sample ID,Farm field,Zone,Sampled,Depth,NO3-N lb/a,Mehlich-3,Mehlich-3,OM,Sulfur,Report no.\n,,,,,,P ppm,K ppm,,,\n" +
		"7,N 80,east,9/8/2026,Topsoil,21,ND,>400,2.1,8 ppm,17\n"
	taken, problems := lab.Read("report.csv", []byte(report), m, calendar.Day{})
	// 21 lb/ac in 7 in of 1/3 million lb to the inch are 9 ppm.
	want := []string{"7 0-7 nitrate-n 9", "7 0-7 organic-matter 0.021", "7 0-7 phosphorus <1", "7 0-7 sulfate-s 8"}
	if got := said(taken); !slices.Equal(got, want) {
		t.Fatalf("got %q\nwant %q\n%v", got, want, problems)
	}
	if s := taken.Samples[0].Soil; s.Field != "north-80" || s.Zone != "east" || s.Day.String() != "2026-09-08" || len(taken.LeftOut) > 0 {
		t.Errorf("%+v, left out %v", s, taken.LeftOut)
	}
}
