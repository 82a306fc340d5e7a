package ground_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

const both = season.HasTemperature | season.HasRain

// fine is a record of dry days with the same low and high, ending on 31 January.
func fine(n int, low, high unit.Temperature) []ground.Day {
	days := make([]ground.Day, n)
	for i := range days {
		days[i] = ground.Day{Day: january(31 - n + 1 + i), Low: low, High: high, Has: both}
	}
	return days
}

var plains = ground.Site{Latitude: 36.5, HasLatitude: true, Texture: season.SiltLoam, Crop: season.WheatGrain, Planted: calendar.Date(2025, 10, 5)}

// A mild January, then an inch of rain that comes with three chances in five, and two dry days.
func ExampleRun() {
	weather := append(fine(60, 1, 11),
		ground.Day{Day: january(32), Low: 4, High: 12, Rain: 25, Chance: 0.6, Has: both, Lead: 1},
		ground.Day{Day: january(33), Low: 1, High: 10, Has: both, Lead: 2},
		ground.Day{Day: january(34), Low: 1, High: 12, Has: both, Lead: 3})
	course := ground.Run(plains, weather, january(31), january(34))
	for _, c := range course.Conditions {
		v := c.Verdict(ground.Seen{})
		fmt.Printf("%s: %s (%.0f %%), %s\n", c.Day.Short(), v.State, 100*float64(v.Chance), v.Reason)
		if v.Doubt != "" {
			fmt.Println("  ", v.Doubt)
		}
	}
	// Output:
	// Sat 31 Jan: open (100 %), neither frost, snow nor much water
	// Sun 1 Feb: soft and wet (60 %), after rain the top layer has not dried enough to carry a machine
	// Mon 2 Feb: soft and wet (60 %), after rain the top layer has not dried enough to carry a machine
	// Tue 3 Feb: open (100 %), neither frost, snow nor much water
}

func TestRunSaysWhatItAssumed(t *testing.T) {
	course := ground.Run(ground.Site{}, fine(30, 1, 11), january(31), january(31))
	for _, what := range []string{"Hargreaves", "loam", "40 degrees", "1 October"} {
		if !strings.Contains(strings.Join(course.Assumed, "; "), what) {
			t.Errorf("%q is not among what was assumed: %q", what, course.Assumed)
		}
	}
	if course := ground.Run(plains, fine(30, 1, 11), january(31), january(31)); len(course.Assumed) != 1 {
		t.Errorf("all but the radiation is known, and still assumed: %q", course.Assumed)
	}
}

func TestVerdict(t *testing.T) {
	yes, no := true, false
	for _, row := range []struct {
		name  string
		c     ground.Condition
		seen  ground.Seen
		state ground.State
		says  string
		doubt string
	}{
		{"dry and mild", ground.Condition{SoilKnown: true}, ground.Seen{}, ground.Open, "neither", ""},
		{"frost likely enough", ground.Condition{SoilKnown: true, Frozen: 0.25}, ground.Seen{}, ground.Frozen, "too often", ""},
		{"frost possible", ground.Condition{SoilKnown: true, Frozen: 0.10}, ground.Seen{}, ground.Open, "neither", "spade"},
		{"frost by the forecast's error alone", ground.Condition{SoilKnown: true, Frozen: 0.25, FrostByError: 0.2}, ground.Seen{}, ground.Frozen, "nobody can know so far ahead", ""},
		{"frost possible by the forecast's error alone", ground.Condition{SoilKnown: true, Frozen: 0.10, FrostByError: 0.09}, ground.Seen{}, ground.Open, "neither", "nobody can know so far ahead"},
		{"frost possible, and freezing air", ground.Condition{SoilKnown: true, Frozen: 0.10, Freezing: true}, ground.Seen{}, ground.Frozen, "all day", ""},
		{"freezing air on warm soil", ground.Condition{SoilKnown: true, Frozen: 0.01, Freezing: true}, ground.Seen{}, ground.Open, "neither", ""},
		{"frost likely, found open", ground.Condition{SoilKnown: true, Frozen: 0.9}, ground.Seen{Frozen: &no}, ground.Open, "neither", ""},
		{"found frozen", ground.Condition{SoilKnown: true}, ground.Seen{Frozen: &yes}, ground.Frozen, "found frozen", ""},
		{"snow seen", ground.Condition{SoilKnown: true}, ground.Seen{Snow: &yes}, ground.SnowCovered, "seen", ""},
		{"snow likely", ground.Condition{SoilKnown: true, Snow: 0.7, SnowFell: january(3)}, ground.Seen{}, ground.SnowCovered, "Saturday 3 January", ""},
		{"snow likely, seen bare", ground.Condition{SoilKnown: true, Snow: 0.7}, ground.Seen{Snow: &no}, ground.Open, "neither", ""},
		{"snow possible", ground.Condition{SoilKnown: true, Snow: 0.3}, ground.Seen{}, ground.Open, "neither", "snow may lie"},
		{"snow over frost", ground.Condition{SoilKnown: true, Snow: 1, Frozen: 1, SnowMeasured: true}, ground.Seen{}, ground.SnowCovered, "measured", ""},
		{"full of rain", ground.Condition{SoilKnown: true, Saturated: 1, Soft: 1}, ground.Seen{}, ground.Saturated, "much rain", ""},
		{"full of melt", ground.Condition{SoilKnown: true, Saturated: 1, Soft: 1, Melted: true}, ground.Seen{}, ground.Saturated, "melting snow", ""},
		{"wet", ground.Condition{SoilKnown: true, Soft: 0.6}, ground.Seen{}, ground.Soft, "rain", ""},
		{"wet, if it rains", ground.Condition{SoilKnown: true, Soft: 0.4}, ground.Seen{}, ground.Open, "neither", "hangs on rain"},
		{"thawing", ground.Condition{SoilKnown: true, Thawed: true, Frozen: 0.05}, ground.Seen{}, ground.Soft, "thawing", "spade"},
		{"no rain known", ground.Condition{SoilKnown: true, RainMissing: 3}, ground.Seen{}, ground.Unknown, "rain", ""},
		{"no rain known, but frozen", ground.Condition{SoilKnown: true, RainMissing: 3, Frozen: 0.5}, ground.Seen{}, ground.Frozen, "too often", ""},
		{"a rain missing", ground.Condition{SoilKnown: true, RainMissing: 1}, ground.Seen{}, ground.Open, "neither", "not known"},
		{"no temperature", ground.Condition{}, ground.Seen{}, ground.Unknown, "temperature", ""},
		{"nothing known", ground.Condition{RainMissing: 3}, ground.Seen{}, ground.Unknown, "neither rain nor", ""},
	} {
		v := row.c.Verdict(row.seen)
		if v.State != row.state || !strings.Contains(v.Reason, row.says) || !strings.Contains(v.Doubt, row.doubt) || (row.doubt == "") != (v.Doubt == "") {
			t.Errorf("%s: %+v, want %s saying %q, doubt %q", row.name, v, row.state, row.says, row.doubt)
		}
		if stops := row.state == ground.Frozen || row.state == ground.SnowCovered || row.state == ground.Saturated; v.State.Stops() != stops {
			t.Errorf("%s: stops %v", row.name, v.State.Stops())
		}
	}
}

// Limits are settings: the same ground carries a light machine earlier.
func TestLimitsAreSettings(t *testing.T) {
	weather := append(fine(60, 1, 11), ground.Day{Day: january(32), Low: 4, High: 12, Rain: 12, Has: both}, ground.Day{Day: january(33), Low: 1, High: 10, Has: both})
	for _, row := range []struct {
		limit unit.Fraction
		want  ground.State
	}{{0.50, ground.Soft}, {1.20, ground.Open}} {
		site := plains
		site.Limits.Soft = row.limit
		c := ground.Run(site, weather, january(33), january(33)).Conditions[0]
		if v := c.Verdict(ground.Seen{}); v.State != row.want {
			t.Errorf("limit %v: %s at %v of capacity, want %s", row.limit, v.State, c.OfCapacity, row.want)
		}
	}
}

// Rain on frozen ground runs off where the same rain on open ground soaks in, and the more the wetter it froze (see
// CurveNumber.Frozen).
func TestRainOnFrozenGroundRunsOff(t *testing.T) {
	rain := func(low, high unit.Temperature, autumn unit.Water) unit.Water {
		weather := fine(60, low, high)
		weather[0].Low, weather[0].High, weather[0].Rain = 3, 9, autumn
		weather = append(weather, ground.Day{Day: january(32), Low: 2, High: 4, Rain: 20, Has: both})
		return ground.Run(plains, weather, january(32), january(32)).Conditions[0].Runoff
	}
	open, dry, wet := rain(2, 12, 0), rain(-14, -4, 0), rain(-14, -4, 60)
	t.Logf("of 20 mm %.1f run off open ground, %.1f off ground that froze dry, %.1f off ground that froze wet", float64(open), float64(dry), float64(wet))
	if open != 0 || !(dry > open) || !(wet > dry) {
		t.Errorf("of 20 mm %v run off open ground, %v off ground that froze dry, %v off ground that froze wet", open, dry, wet)
	}
}

// Whatever the weather, every chance is one, and expected water is what falls: nothing is lost by joining branches.
func TestRunHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weather := fine(40, 1, 11)
		var expected unit.Water
		for i := range 16 {
			low := unit.Temperature(rapid.Float64Range(2, 10).Draw(t, "low"))
			d := ground.Day{
				Day: january(32 + i), Low: low, High: low + 8, Rain: unit.Water(rapid.Float64Range(0, 40).Draw(t, "rain")),
				Chance: unit.Fraction(rapid.Float64Range(0.05, 1).Draw(t, "chance")), Has: both, Lead: i + 1,
			}
			expected += d.Rain * unit.Water(d.Chance)
			weather = append(weather, d)
		}
		course := ground.Run(plains, weather, january(32), january(47))
		var reached unit.Water
		for _, c := range course.Conditions {
			reached += c.Liquid
			for _, chance := range []unit.Fraction{c.Frozen, c.Snow, c.Saturated, c.Soft, c.RunsOff, c.Verdict(ground.Seen{}).Chance, c.Evaporable} {
				if !(chance >= -1e-9 && chance <= 1+1e-9) {
					t.Fatalf("%+v", c)
				}
			}
			if c.Saturated > c.Soft+1e-9 || c.Runoff < 0 || c.Drained < 0 {
				t.Fatalf("%+v", c)
			}
		}
		if math.Abs(float64(reached-expected)) > 1e-6 {
			t.Fatalf("%v mm expected, %v mm reached the ground", expected, reached)
		}
	})
}

// Six uncertain days make 64 ways, which are joined to 24: the chances against running all 64 through, each as certain.
func TestJoiningBranchesKeepsTheChances(t *testing.T) {
	chances := []unit.Fraction{0.3, 0.6, 0.2, 0.5, 0.8, 0.4}
	rains := []unit.Water{12, 20, 4, 9, 15, 30}
	forecast := func(rain func(i int) (unit.Water, unit.Fraction)) []ground.Day {
		days := fine(60, 1, 11)
		for i := range chances {
			d := ground.Day{Day: january(32 + i), Low: 2, High: 11, Has: both, Lead: i + 1}
			d.Rain, d.Chance = rain(i)
			days = append(days, d)
		}
		return days
	}
	last := january(31 + len(chances))
	joined := ground.Run(plains, forecast(func(i int) (unit.Water, unit.Fraction) { return rains[i], chances[i] }), last, last).Conditions[0]
	var soft, capacity unit.Fraction
	for way := range 1 << len(chances) {
		weight := unit.Fraction(1)
		days := forecast(func(i int) (unit.Water, unit.Fraction) {
			if way>>i&1 == 1 {
				weight *= chances[i]
				return rains[i], 1
			}
			weight *= 1 - chances[i]
			return 0, 1
		})
		c := ground.Run(plains, days, last, last).Conditions[0]
		soft += weight * c.Soft
		capacity += weight * c.OfCapacity
	}
	if math.Abs(float64(joined.Soft-soft)) > 0.05 || math.Abs(float64(joined.OfCapacity-capacity)) > 0.01 {
		t.Errorf("soft with a chance of %v, one by one %v; %v of capacity, one by one %v", joined.Soft, soft, joined.OfCapacity, capacity)
	}
}

// A field's ground for three weeks of forecast, half of them with an uncertain rain.
func BenchmarkRun(b *testing.B) {
	weather := fine(120, 1, 11)
	for i := range 21 {
		d := ground.Day{Day: january(32 + i), Low: 2, High: 11, Has: both, Lead: i + 1}
		if i%2 == 0 {
			d.Rain, d.Chance = 8, 0.4
		}
		weather = append(weather, d)
	}
	for b.Loop() {
		ground.Run(plains, weather, january(32), january(52))
	}
}

func TestSurfaceOf(t *testing.T) {
	loam, _ := ground.SoilOf(season.Loam)
	for _, row := range []struct {
		name       string
		evaporable unit.Fraction
		want       ground.Surface
	}{
		{"at field capacity", 1, ground.WetSurface},
		{"8 of 9 mm readily evaporable gone, of 19", 1 - 8./19, ground.WetSurface},
		{"14 of 19 mm gone, half the rate left", 1 - 14./19, ground.DampSurface},
		{"18 of 19 mm gone, a tenth of the rate left", 1 - 18./19, ground.DrySurface},
		{"air-dry", 0, ground.DrySurface},
	} {
		if got := ground.SurfaceOf(row.evaporable, loam); got != row.want {
			t.Errorf("%s: %s, want %s", row.name, got, row.want)
		}
	}
}
