package crop_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/crop"
	"culm/agronomy/unit"
	"culm/season"
)

// The North Dakota table: 824 F days make 5 leaves.
func ExampleLeafNumber() {
	leaves, _ := crop.LeafNumber(unit.FahrenheitDays(824))
	fmt.Printf("%.1f leaves\n", float64(leaves))
	// Output: 5.0 leaves
}

// Rows of the published table, and 600 F days, which its rule Haun = 1 + (GDD - 252)/143 puts at 3.434.
func TestLeafNumber(t *testing.T) {
	for _, row := range []struct{ fahrenheitDays, leaves float64 }{
		{180, 0.5}, {252, 1}, {395, 2}, {538, 3}, {600, 3.434}, {681, 4}, {824, 5}, {967, 6}, {1110, 7}, {1181, 7.5}, {1255, 8},
	} {
		got, ok := crop.LeafNumber(unit.FahrenheitDays(row.fahrenheitDays))
		if !ok || math.Abs(float64(got)-row.leaves) > 0.0005 {
			t.Errorf("%g F days: %v, want %g", row.fahrenheitDays, got, row.leaves)
		}
	}
	for _, outside := range []float64{0, 179, 1256, -5, math.NaN()} {
		if got, ok := crop.LeafNumber(unit.FahrenheitDays(outside)); ok {
			t.Errorf("%g F days: %v leaves", outside, got)
		}
	}
}

// Every row of the published table, whose degree days are printed to one F day and whose steps of 0.2 to 1
// run over at least 28 of them.
func TestHaunNumber(t *testing.T) {
	for _, row := range []struct{ fahrenheitDays, haun float64 }{
		{180, 0.5},
		{252, 1},
		{395, 2},
		{538, 3},
		{681, 4},
		{824, 5},
		{967, 6},
		{1110, 7},
		{1181, 7.5},
		{1255, 8},
		{1396, 9},
		{1539, 10},
		{1567, 10.2},
		{1682, 11},
		{1739, 11.4},
		{1768, 11.6},
		{1825, 12},
	} {
		got, ok := crop.HaunNumber(unit.FahrenheitDays(row.fahrenheitDays))
		if !ok || math.Abs(float64(got)-row.haun) > 1e-9 {
			t.Errorf("%g F days: %v, want %g", row.fahrenheitDays, got, row.haun)
		}
	}
	// A leaf takes 143 F days, which are 79.4 C days.
	if leaf := unit.FahrenheitDays(143); math.Abs(float64(leaf)-79.4) > 0.05 {
		t.Errorf("a leaf takes %v C days", leaf)
	}
	for _, outside := range []float64{179, 1826} {
		if got, ok := crop.HaunNumber(unit.FahrenheitDays(outside)); ok {
			t.Errorf("%g F days: %v", outside, got)
		}
	}
}

// fall is a run of equal days from the day after planting on 1 October.
func fall(n int, low, high float64) (planted calendar.Day, days []season.WeatherDay) {
	planted = calendar.Date(2026, time.October, 1)
	for i := 1; i <= n; i++ {
		days = append(days, season.WeatherDay{Day: planted.Add(i), Low: unit.Fahrenheit(low), High: unit.Fahrenheit(high), Has: season.HasTemperature})
	}
	return planted, days
}

// Days of 75 over 28 F bring 19.0 each until 395 F days have come together, on the 21st day, and 21.5 after.
func TestWheatDegreeDaysChangeTheirCap(t *testing.T) {
	planted, days := fall(30, 28, 75)
	for _, row := range []struct {
		n    int
		want float64
	}{{20, 380}, {21, 399}, {22, 399 + 21.5}, {30, 399 + 9*21.5}} {
		sum := crop.WheatDegreeDays(days, planted, planted.Add(row.n))
		if math.Abs(sum.Total.Fahrenheit()-row.want) > 1e-9 || !sum.Complete() {
			t.Errorf("after %d days %v F days, want %v", row.n, sum.Total.Fahrenheit(), row.want)
		}
	}
}

// The published rule caps the high and not the low: a night of 72 F and a day of 90 make 39 F days before the
// second leaf, of 70 and 72, and 49 after, of 90 and 72.
func TestWarmNightsAreNotCapped(t *testing.T) {
	planted, days := fall(15, 72, 90)
	for n, want := range map[int]float64{1: 39, 10: 390, 11: 429, 12: 429 + 49} {
		if got := crop.WheatDegreeDays(days, planted, planted.Add(n)).Total.Fahrenheit(); math.Abs(got-want) > 1e-9 {
			t.Errorf("after %d days %v F days, want %v", n, got, want)
		}
	}
}

func TestFallLeavesStopAtTheYearsEnd(t *testing.T) {
	planted, days := fall(150, 30, 42)
	atYearsEnd, ok := crop.FallLeaves(days, planted, calendar.Date(2026, time.December, 31))
	later, alsoOK := crop.FallLeaves(days, planted, planted.Add(150))
	if !ok || !alsoOK || atYearsEnd != later {
		t.Errorf("%v and %v leaves", atYearsEnd, later)
	}
	if leaves, ok := crop.FallLeaves(append(days[:10:10], days[11:]...), planted, planted.Add(90)); ok {
		t.Errorf("a missing day still gives %v leaves", leaves)
	}
	if leaves, ok := crop.FallLeaves(days, calendar.Day{}, planted.Add(90)); ok {
		t.Errorf("unknown planting gives %v leaves", leaves)
	}
}

// The edges of the published rows, F days.
func TestCanolaStage(t *testing.T) {
	for f, want := range map[float64]string{
		0: "seedling", 256: "seedling", 257: "rosette, third leaf", 396: "rosette, third leaf", 397: "rosette, fourth leaf",
		727: "rosette, fourth leaf", 728: "early bud", 828: "early bud", 829: "late bud", 932: "late bud", 933: "early flower",
		1165: "early flower", 1397: "late flower", 1398: "early ripening", 1634: "early ripening", 1635: "late ripening",
		1874: "late ripening", 1875: "ripe",
	} {
		// Half a degree day inside, as Fahrenheit days divided by 1.8 do not come back to the last digit.
		if got := crop.CanolaStage(unit.FahrenheitDays(f + 0.5)); got != want {
			t.Errorf("%g F days: %q, want %q", f, got, want)
		}
	}
	planted, days := fall(10, 31, 61)
	if sum := crop.CanolaDegreeDays(days, planted, planted.Add(10)); math.Abs(sum.Total.Fahrenheit()-50) > 1e-9 || sum.Days != 10 {
		t.Errorf("ten days of 46 F over a base of 41: %v", sum)
	}
}
