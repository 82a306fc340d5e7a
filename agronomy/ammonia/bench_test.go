package ammonia_test

import (
	"testing"

	"culm/agronomy/ammonia"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
)

// tableDays, tableProducts and tableWays are the size of the day table of one field.
const (
	tableDays     = 21
	tableProducts = 6
	tableWays     = 3
)

// table reckons every product on every day of a field. The way of
// placing does not change the loss, so the three ways share it.
func table(b *testing.B, c *ammonia.Course, products []fertilizer.Product, soil *ammonia.Soil) (sum unit.Fraction) {
	for day := range tableDays {
		for i := range tableProducts {
			r, err := c.Expect(spread().Add(day), &products[i], false, soil)
			if err != nil {
				b.Fatal(err)
			}
			sum += r.Loss
		}
	}
	return sum
}

// The day table of one field, its station's weather walked already: a thousand fields are to take under a second.
func BenchmarkDayTable(b *testing.B) {
	c := ammonia.Walk(steady(14, 5, rainOn{4: 7, 12: 15}), spread(), tableDays+ammonia.DefaultHorizon, nil)
	soil := ammonia.Soil{PH: observed(unit.Ratio(6.2))}
	products := fertilizer.All()
	b.ReportAllocs()
	for b.Loop() {
		table(b, c, products, &soil)
	}
	b.ReportMetric(float64(b.Elapsed().Seconds())/float64(b.N)*1000, "s/1000-fields")
}

// Walking a station's weather, once for all its fields.
func BenchmarkWalk(b *testing.B) {
	weather := steady(35, 5, rainOn{4: 7, 12: 15})
	b.ReportAllocs()
	for b.Loop() {
		ammonia.Walk(weather, spread().Add(14), tableDays+ammonia.DefaultHorizon, nil)
	}
}

func BenchmarkExpect(b *testing.B) {
	s := ammonia.Spreading{Product: product(b, "urea"), Day: spread(), Weather: steady(42, 5, rainOn{4: 7, 12: 15}), Surface: ammonia.Moist}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ammonia.Expect(s); err != nil {
			b.Fatal(err)
		}
	}
}

func TestCourseDoesNotAllocate(t *testing.T) {
	c := ammonia.Walk(steady(14, 5, rainOn{4: 7}), spread(), 60, nil)
	urea, soil := product(t, "urea"), ammonia.Soil{PH: observed(unit.Ratio(6.2))}
	if n := testing.AllocsPerRun(100, func() {
		if _, err := c.Expect(spread().Add(3), &urea, false, &soil); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("a day of the table allocates %v times", n)
	}
}
