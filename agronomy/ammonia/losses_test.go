package ammonia_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/ammonia"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

// courseDays is short enough for Over to look to the end of the course too, so that the two must agree.
const courseDays = 30

func drawCourses(t *rapid.T) []*ammonia.Course {
	courses := make([]*ammonia.Course, rapid.IntRange(1, 7).Draw(t, "courses"))
	for c := range courses {
		days := make([]season.ForecastDay, 14+courseDays)
		for i := range days {
			mean := unit.Temperature(rapid.Float64Range(-6, 18).Draw(t, "mean"))
			days[i].Day = spread().Add(i - 14)
			days[i].Low, days[i].High = mean-5, mean+5
			days[i].Rain = unit.Water(rapid.SampledFrom([]float64{0, 0, 0, 0, 1, 3, 8, 25}).Draw(t, "rain"))
			days[i].Has = season.HasTemperature | season.HasRain | season.HasSnow
			days[i].Snow = unit.Water(rapid.SampledFrom([]float64{0, 0, 0, 0, 0, 0, 50}).Draw(t, "snow"))
			if i >= 14 {
				days[i].RainChance = unit.Fraction(rapid.SampledFrom([]float64{0, 0.3, 0.9}).Draw(t, "chance"))
				days[i].Wind, days[i].Has = 5, days[i].Has|season.HasWind
			}
		}
		courses[c] = ammonia.Walk(days, spread(), courseDays, nil)
	}
	return courses
}

// One pass from the end gives what going through the days from each day of spreading on gives.
func TestLossesAgreeWithOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		courses := drawCourses(t)
		soil := ammonia.Soil{PH: observed(unit.Ratio(rapid.Float64Range(5, 8.5).Draw(t, "pH")))}
		losses, err := ammonia.Reckon(courses, 21, &soil)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range fertilizer.All() {
			for i := range 21 {
				got, err := losses.On(spread().Add(i), &p, false)
				if err != nil {
					t.Fatal(err)
				}
				want, err := ammonia.Over(courses, spread().Add(i), &p, false, &soil)
				if err != nil {
					t.Fatal(err)
				}
				same(t, p.Name, got, want)
			}
		}
	})
}

// same leaves out the range, in which the doubt about the coefficients is that of every fifth course.
func same(t *rapid.T, name string, got, want ammonia.Result) {
	t.Helper()
	for _, pair := range [][2]unit.Fraction{
		{got.Loss, want.Loss},
		{got.Washed, want.Washed},
		{got.Held, want.Held},
		{got.Other, want.Other},
		{got.Left, want.Left},
		{got.Hydrolysed, want.Hydrolysed},
	} {
		if math.Abs(float64(pair[0]-pair[1])) > 1e-12 {
			t.Fatalf("%s: %+v, by Over %+v", name, got, want)
		}
	}
	if got.Why(unit.US) != want.Why(unit.US) || got.Surface != want.Surface || got.Status != want.Status || got.Source != want.Source {
		t.Fatalf("%s: %s; by Over %s", name, got.Why(unit.US), want.Why(unit.US))
	}
}

// Walking members together is walking each.
func TestWalkMembers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := make([]season.ForecastDay, 20+courseDays)
		members := make([][]season.ForecastDay, 3)
		for m := range members {
			for i := range all {
				if i < 20 && m > 0 {
					continue // the days before are the same
				}
				all[i].Day, all[i].Has = spread().Add(i-20), season.HasTemperature|season.HasRain
				all[i].High = unit.Temperature(rapid.Float64Range(-4, 20).Draw(t, "high"))
				all[i].Low = all[i].High - 9
				all[i].Rain = unit.Water(rapid.SampledFrom([]float64{0, 0, 0, 2, 9}).Draw(t, "rain"))
			}
			members[m] = slices.Clone(all[20:])
		}
		at := &season.Position{Lat: 38}
		together := ammonia.WalkMembers(all[:20], members, spread(), at)
		for m := range members {
			one := ammonia.Walk(append(slices.Clone(all[:20]), members[m]...), spread(), courseDays, at)
			if !reflect.DeepEqual(one, together[m]) {
				t.Fatalf("member %d walked alone is another", m)
			}
		}
	})
}

// Of a single course the range is that of Over too, and a forecast's chance of rain counts.
func TestLossesOfOneCourse(t *testing.T) {
	weather := steady(courseDays, 6, rainOn{4: 12})
	weather[len(weather)-courseDays+4].RainChance = 0.4
	courses, soil, urea := []*ammonia.Course{ammonia.Walk(weather, spread(), courseDays, nil)}, ammonia.Soil{}, product(t, "urea")
	losses, err := ammonia.Reckon(courses, 3, &soil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := losses.On(spread().Add(1), &urea, false)
	if err != nil {
		t.Fatal(err)
	}
	want, err := courses[0].Expect(spread().Add(1), &urea, false, &soil)
	if err != nil {
		t.Fatal(err)
	}
	for _, pair := range [][2]unit.Fraction{{got.Loss, want.Loss}, {got.Low, want.Low}, {got.High, want.High}, {got.WithoutRain, want.WithoutRain}} {
		if math.Abs(float64(pair[0]-pair[1])) > 1e-12 {
			t.Errorf("%+v, by Expect %+v", got, want)
		}
	}
}

// What cannot be answered is said.
func TestLossesRefuse(t *testing.T) {
	soil := ammonia.Soil{}
	course := func(n int) *ammonia.Course { return ammonia.Walk(steady(n, 6, nil), spread(), n, nil) }
	for _, c := range []struct {
		name    string
		courses []*ammonia.Course
		days    int
		soil    ammonia.Soil
		says    string
	}{
		{"no course", nil, 5, soil, "no course"},
		{"days beyond the courses", []*ammonia.Course{course(10)}, 11, soil, "11 days of spreading asked of courses of 10"},
		{"courses of other days", []*ammonia.Course{course(10), course(12)}, 5, soil, "expected the same days"},
		{"a soil that cannot be", []*ammonia.Course{course(10)}, 5, ammonia.Soil{PH: observed(unit.Ratio(77))}, "soil pH is 77"},
	} {
		if _, err := ammonia.Reckon(c.courses, c.days, &c.soil); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v; expected %q", c.name, err, c.says)
		}
	}
	losses, err := ammonia.Reckon([]*ammonia.Course{course(10)}, 5, &soil)
	if err != nil {
		t.Fatal(err)
	}
	urea := product(t, "urea")
	if _, err := losses.On(spread().Add(5), &urea, false); err == nil {
		t.Error("a day that was not reckoned: no complaint")
	}
}

// A field's table over fifty courses: the part of it that every field of a station needs for itself.
func BenchmarkLosses(b *testing.B) {
	courses := make([]*ammonia.Course, 50)
	for i := range courses {
		courses[i] = ammonia.Walk(steady(63, 5, rainOn{i % 60: 12}), spread(), 63, nil)
	}
	soil := ammonia.Soil{PH: observed(unit.Ratio(6.2))}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ammonia.Reckon(courses, 21, &soil); err != nil {
			b.Fatal(err)
		}
	}
}
