package equipment_test

import (
	"math"
	"strings"
	"testing"

	"culm/agronomy/equipment"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"pgregory.net/rapid"
)

// near compares at the digits a source prints: half a unit of the last one.
func near(t *testing.T, what string, got, printed float64, decimals int) {
	t.Helper()
	if tolerance := 0.5*math.Pow(10, -float64(decimals)) + 1e-12; math.Abs(got-printed) > tolerance {
		t.Errorf("%s = %v, printed %v", what, got, printed)
	}
}

// Montana State University, MT 2000-14: 10 GPM over 420 in make 30 GPA at 4.7 mph.
func TestMontanaSpeed(t *testing.T) {
	v := equipment.SpeedFor(10*unit.GallonPerMinute, 30*unit.GallonPerAcre, 420*unit.Inch)
	near(t, "mph", float64(v/unit.MilePerHour), 4.7, 1)
}

// The law that tables are printed with: GPM = GPA × mph × W ÷ 5940 (Mesa County, Colorado; MT 2000-14), whose 5940 is
// rounded from 43560 × 12 × 60 ÷ 5280 = 5940 exactly; in metric, ÷ 600.
func TestTheLawInBothSystems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(1, 100).Draw(t, "rate")
		speed := rapid.Float64Range(1, 25).Draw(t, "speed")
		width := rapid.Float64Range(5, 500).Draw(t, "width")
		us := equipment.Spray{Rate: unit.VolumePerArea(rate) * unit.GallonPerAcre, Speed: unit.Speed(speed) * unit.MilePerHour, Spacing: unit.Length(width) * unit.Inch}
		if got, want := float64(us.Flow()/unit.GallonPerMinute), rate*speed*width/5940; math.Abs(got/want-1) > 1e-12 {
			t.Fatalf("%v GPM, the law says %v", got, want)
		}
		metric := equipment.Spray{Rate: unit.VolumePerArea(rate), Speed: unit.Speed(speed) * unit.KilometrePerHour, Spacing: unit.Length(width) / 100}
		if got, want := float64(metric.Flow()), rate*speed*width/100/600; math.Abs(got/want-1) > 1e-12 {
			t.Fatalf("%v L/min, the law says %v", got, want)
		}
		if back := equipment.RateOf(us.Flow(), us.Speed, us.Spacing); math.Abs(float64(back/us.Rate)-1) > 1e-12 {
			t.Fatalf("a flow for %v makes %v", us.Rate, back)
		}
	})
}

// A supplier's table at 2 bar, and L/ha at 6 km/h on 0.5 m. Its row 025 prints the flow of 03; its 164 L/ha prove that
// 0.82 is meant, which is what scaling gives (0.816).
func TestStandardSizesAgainstATableAtTwoBar(t *testing.T) {
	printed := map[string][2]float64{
		"01": {0.33, 65}, "015": {0.49, 98}, "02": {0.65, 131}, "025": {0.82, 164}, "03": {0.98, 196},
		"04": {1.31, 261}, "05": {1.63, 327}, "06": {1.96, 392}, "08": {2.61, 523},
	}
	checked := 0
	for _, n := range equipment.StandardSizes() {
		row, ok := printed[strings.Fields(n.Name)[1]]
		if !ok {
			continue
		}
		checked++
		flow := n.WaterAt(2 * unit.Bar)
		near(t, n.Name+", L/min", float64(flow), row[0], 2)
		if strings.Contains(n.Name, "025") {
			flow = 0.82 // this row multiplies the rounded flow, the others do not
		}
		near(t, n.Name+", L/ha", float64(equipment.RateOf(flow, 6*unit.KilometrePerHour, 0.5)), row[1], 0)
	}
	if checked != len(printed) {
		t.Errorf("%d of %d rows met a size", checked, len(printed))
	}
}

// ISO size 04 at 2 bar, 6 km/h, 0.5 m: 1.31 L/min and 261 L/ha (supplier's table).
func TestSize04(t *testing.T) {
	for _, n := range equipment.StandardSizes() {
		if !strings.Contains(n.Name, "04") {
			continue
		}
		near(t, "L/min", float64(n.WaterAt(2*unit.Bar)), 1.31, 2)
		near(t, "L/ha", float64(equipment.RateOf(n.WaterAt(2*unit.Bar), 6*unit.KilometrePerHour, 0.5)), 261, 0)
		// The number is tenths of a gallon a minute at 40 psi; metric sizes are rounded to 0.1 L.
		near(t, "GPM at 40 psi", float64(n.WaterAt(40*unit.PoundPerSquareInch)/unit.GallonPerMinute), 0.4, 1)
	}
}

// 0.4 GPM at 40 psi is 0.4899 at 60 psi (computed from the square-root law).
func TestPressure(t *testing.T) {
	n := equipment.Nozzle{Flow: 0.4 * unit.GallonPerMinute, At: 40 * unit.PoundPerSquareInch}
	near(t, "GPM at 60 psi", float64(n.WaterAt(60*unit.PoundPerSquareInch)/unit.GallonPerMinute), 0.4899, 4)
	near(t, "psi back", float64(n.PressureFor(n.WaterAt(60*unit.PoundPerSquareInch))/unit.PoundPerSquareInch), 60, 9)
}

func TestASettingDeliversTheRate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := equipment.Spray{
			Rate: unit.VolumePerArea(rapid.Float64Range(3, 60).Draw(t, "gpa")) * unit.GallonPerAcre, Speed: unit.Speed(rapid.Float64Range(3, 20).Draw(t, "mph")) * unit.MilePerHour,
			Spacing: unit.Length(rapid.Float64Range(7, 40).Draw(t, "in")) * unit.Inch, Density: unit.Density(rapid.Float64Range(0.8, 1.5).Draw(t, "kg/L")),
			Streams: rapid.Bool().Draw(t, "streams"),
		}
		all, err := s.Choose(equipment.StandardSizes())
		if err != nil {
			t.Fatal(err)
		}
		misfits := false
		for _, set := range all {
			got := equipment.RateOf(set.Nozzle.FlowAt(set.Pressure, s.Density), s.Speed, s.Spacing)
			if math.Abs(float64(got/s.Rate)-1) > 1e-9 {
				t.Fatalf("%s at %v makes %v of %v", set.Nozzle.Name, set.Pressure, got, s.Rate)
			}
			if set.Fits != (set.Why == "") || set.Fits && misfits {
				t.Fatalf("%s fits %v: %q; one that fits stands behind one that does not: %v", set.Nozzle.Name, set.Fits, set.Why, misfits)
			}
			misfits = misfits || !set.Fits
			if !s.Streams && set.Fits != (s.Speed >= set.Slowest/1.0000001 && s.Speed <= set.Fastest*1.0000001) {
				t.Fatalf("%s fits %v, but the window is %v to %v at %v", set.Nozzle.Name, set.Fits, set.Slowest, set.Fastest, s.Speed)
			}
		}
	})
}

func TestStreamsAreNotChosenByColour(t *testing.T) {
	s := equipment.Spray{Rate: 20 * unit.GallonPerAcre, Speed: 6 * unit.MilePerHour, Spacing: 20 * unit.Inch, Density: 10.65 * unit.PoundPerGallon, Streams: true}
	all, err := s.Choose(equipment.StandardSizes())
	if err != nil {
		t.Fatal(err)
	}
	for _, set := range all {
		if set.Fits || !strings.Contains(set.Why, "makes fans") {
			t.Errorf("%s is offered for streams: %q", set.Nozzle.Name, set.Why)
		}
	}
	own := equipment.Nozzle{Name: "three-hole", Flow: 0.5 * unit.GallonPerMinute, At: 40 * unit.PoundPerSquareInch, Streams: true}
	set, err := s.Set(own)
	if err != nil || !set.Fits || set.RangeKnown {
		t.Errorf("%+v, %v", set, err)
	}
}

func TestBadSettingsSayWhatIsWrong(t *testing.T) {
	good := equipment.Spray{Rate: 20 * unit.GallonPerAcre, Speed: 6 * unit.MilePerHour, Spacing: 20 * unit.Inch, Density: fertilizer.Water}
	for _, row := range []struct {
		name   string
		change func(*equipment.Spray)
		says   []string
	}{
		{"zero speed", func(s *equipment.Spray) { s.Speed = 0 }, []string{"the speed is 0", "stands still"}},
		{"speed in km/h taken for m/s", func(s *equipment.Spray) { s.Speed = 20 }, []string{"72", "no boom is driven that fast"}},
		{"no rate", func(s *equipment.Spray) { s.Rate = 0 }, []string{"the rate is 0.0"}},
		{"pounds a gallon taken for kg/L", func(s *equipment.Spray) { s.Density = 10.65 }, []string{"10.65", "looks like lb/gal"}},
		{"specific gravity taken for lb/gal", func(s *equipment.Spray) { s.Density = 1.28 * unit.PoundPerGallon }, []string{"1.28", "specific gravity"}},
		{"kg/m3", func(s *equipment.Spray) { s.Density = 1280 }, []string{"looks like kg/m³"}},
	} {
		s := good
		row.change(&s)
		_, err := s.Choose(equipment.StandardSizes())
		if err == nil {
			t.Errorf("%s: no error", row.name)
			continue
		}
		for _, part := range row.says {
			if !strings.Contains(err.Error(), part) {
				t.Errorf("%s: %q does not say %q", row.name, err, part)
			}
		}
	}
	if _, err := good.Choose(nil); err == nil {
		t.Error("a nozzle was chosen of none")
	}
}

func TestPressureOutsideTheRange(t *testing.T) {
	n := equipment.Nozzle{Name: "tip", Flow: 0.2 * unit.GallonPerMinute, At: 40 * unit.PoundPerSquareInch, Low: 20 * unit.PoundPerSquareInch, High: 60 * unit.PoundPerSquareInch}
	s := equipment.Spray{Rate: 20 * unit.GallonPerAcre, Speed: 6 * unit.MilePerHour, Spacing: 20 * unit.Inch, Density: fertilizer.Water}
	set, err := s.Set(n)
	if err != nil {
		t.Fatal(err)
	}
	// 0.404 GPM of 0.2 at 40 psi is 163 psi; at 60 psi the rate holds up to 3.6 mph.
	if set.Fits || !strings.Contains(set.Why, "163 psi") && !strings.Contains(set.Why, "163\u202fpsi") || !strings.Contains(set.Why, "no faster than 3.6 mph") {
		t.Errorf("%q", set.Why)
	}
}

func TestASettingOpensToItsWorking(t *testing.T) {
	s := equipment.Spray{Rate: 20 * unit.GallonPerAcre, Speed: 6 * unit.MilePerHour, Spacing: 20 * unit.Inch, Density: 10.65 * unit.PoundPerGallon}
	all, err := s.Choose(equipment.StandardSizes())
	if err != nil {
		t.Fatal(err)
	}
	var l working.Ledger
	all[0].Work(&l, s, equipment.SprayOrigins{})
	for _, f := range l.All() {
		if f.Expression == "" || len(f.Inputs) == 0 || f.Source == "" || f.Status == "" {
			t.Errorf("%s: %+v", f.ID, f)
		}
	}
	if _, ok := l.Get(equipment.PressureFigure); !ok {
		t.Error("no pressure")
	}
}
