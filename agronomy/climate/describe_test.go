package climate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/season"
)

func ExampleDescribe() {
	d := climate.Describe(rains(day(2027, 3, 1), "dwwdddwd?wwd"), climate.WetFrom)
	fmt.Printf("%d of %d days wet, %.1f mm each\n", d.WetDays, d.Days, d.Amount)
	fmt.Printf("wet spells of %.1f days, dry ones of %.1f\n", d.WetSpell, d.DrySpell)
	// Output:
	// 5 of 11 days wet, 2.0 mm each
	// wet spells of 1.5 days, dry ones of 3.0
}

// A spell counts only when both of its ends are known.
func TestSpells(t *testing.T) {
	for _, c := range []struct {
		name, days string
		wet, dry   float64
	}{
		{"begun before the record", "wwd", 0, 0},
		{"not ended in it", "dww", 0, 0},
		{"whole", "dwwd", 2, 0},
		{"two", "dwdwwwd", 2, 1},
		{"cut by a day not measured", "dww?wd", 0, 0},
		{"cut by a day without a row", "dww wd", 0, 0},
		{"dry", "wdddw", 0, 3},
	} {
		d := climate.Describe(rains(day(2027, 3, 1), c.days), climate.WetFrom)
		if d.WetSpell != c.wet || d.DrySpell != c.dry {
			t.Errorf("%s: wet %v, dry %v; want %v, %v", c.name, d.WetSpell, d.DrySpell, c.wet, c.dry)
		}
	}
}

// Totals of whole Marches: 2, 4 and 6 mm have a standard deviation of 2. A March with a day missing is no whole one.
func TestSpreadOfMonths(t *testing.T) {
	var record []season.WeatherDay
	for i, wet := range []int{1, 2, 3} {
		record = append(record, rains(day(2021+i, 3, 1), strings.Repeat("w", wet)+strings.Repeat("d", 31-wet))...)
	}
	record = append(record, rains(day(2024, 3, 1), "?"+strings.Repeat("w", 30))...)
	if got := climate.Describe(record, climate.WetFrom).MonthSpread; math.Abs(float64(got)-2) > 1e-12 {
		t.Errorf("%v mm; want 2", got)
	}
}

// Of 100 wet days with 1, 2, ... 100 mm one exceeds 99 mm.
func TestOneWetDayInAHundred(t *testing.T) {
	record := rains(day(2027, 1, 1), strings.Repeat("w", 100))
	for i := range record {
		record[i].Rain = unit.Water((i*37)%100 + 1)
	}
	if got := climate.Describe(record, climate.WetFrom).Large; got != 99 {
		t.Errorf("%v mm; want 99", got)
	}
}

// What made the record is found in it: the memory of its temperature, and only the months asked for.
func TestDescribedTemperature(t *testing.T) {
	record := invented(30, 3)
	all, winter := climate.Describe(record, climate.WetFrom), climate.Describe(record, climate.WetFrom, time.December, time.January)
	// 4 C of noise with memory 0.7, and wet days 2 C colder, a quarter of all, with the memory of the chain (0.25):
	// variance 16 + 0.75, lag 0.7 x 16 + 0.25 x 0.75.
	near(t, "spread", float64(all.TemperatureSpread), math.Sqrt(16.75), 0.05)
	near(t, "memory", all.Memory, (0.7*16+0.25*0.75)/16.75, 0.01)
	if winter.Days != 30*62 {
		t.Errorf("%d days in 30 winters", winter.Days)
	}
}
