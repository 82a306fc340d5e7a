package ghcn_test

import (
	"fmt"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/exchange/ghcn"
)

// Thirty years of one station, five elements, in each form: 55,000 lines of CSV, or 1,800 of .dly.
func BenchmarkRead(b *testing.B) {
	var csv, dly strings.Builder
	for _, element := range []string{"TMAX", "TMIN", "PRCP", "SNWD", "AWND"} {
		for day := calendar.Date(1991, 1, 1); day.Before(calendar.Date(2021, 1, 1)); day = day.Add(1) {
			n := day.Time().YearDay()
			if element == "TMIN" {
				n = -n
			}
			fmt.Fprintf(&csv, "USW00099999,%s,%s,%d,,,W,2400\n", strings.ReplaceAll(day.String(), "-", ""), element, n)
		}
		for year := 1991; year < 2021; year++ {
			for m := 1; m <= 12; m++ {
				days := map[int]string{}
				for day := 1; day <= 28; day++ {
					days[day] = "  -12  W"
				}
				if element != "TMIN" {
					days = map[int]string{1: "   12  W", 28: "   12  W"}
				}
				dly.WriteString(month(year, m, element, days) + "\n")
			}
		}
	}
	for name, text := range map[string]string{"CSV": csv.String(), "dly": dly.String()} {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := ghcn.Read(strings.NewReader(text), ghcn.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
