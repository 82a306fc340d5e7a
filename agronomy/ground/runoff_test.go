package ground_test

import (
	"fmt"
	"math"
	"testing"

	"culm/agronomy/ground"
	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

// 8 in of rain on ground of curve number 80 (a published worked example of TR-55's equations).
func ExampleRunoff() {
	retention, _ := ground.CurveNumber(80).Retention()
	runoff := ground.Runoff(8*unit.InchOfWater, retention)
	fmt.Printf("holds %.1f in, sheds %.3f in\n", float64(retention/unit.InchOfWater), float64(runoff/unit.InchOfWater))
	// Output: holds 2.5 in, sheds 5.625 in
}

// TR-55 (1986): Example 2-1 and the value of its table for 6 in at 75 are from memory, their inputs read; the
// metric row is arithmetic on the same equation.
func TestRunoffPublished(t *testing.T) {
	for _, row := range []struct {
		name          string
		rain          unit.Water
		curve         ground.CurveNumber
		sheds         unit.Water
		halfLastDigit unit.Water
	}{
		{"TR-55 example 2-1, 6 in on 70", 6 * unit.InchOfWater, 70, 2.81 * unit.InchOfWater, 0.005 * unit.InchOfWater},
		{"TR-55 table, 6 in on 75", 6 * unit.InchOfWater, 75, 3.28 * unit.InchOfWater, 0.005 * unit.InchOfWater},
		{"25 mm on 85", 25, 85, 4.225, 0.0005},
	} {
		retention, err := row.curve.Retention()
		if got := ground.Runoff(row.rain, retention); err != nil || math.Abs(float64(got-row.sheds)) > float64(row.halfLastDigit) {
			t.Errorf("%s: %v mm, printed %v (%v)", row.name, got, row.sheds, err)
		}
	}
}

// The dry and wet numbers of the Soil Conservation Service (1985), as repeated in Beven's Primer, Table B6.3.2,
// against both sets of equations, which are fits to it. As found: the watershed model's stay within 0.7 of the
// printed whole numbers, ASCE's within 0.7 but for the dry number of 90, which they put 1.8 too high.
func TestMoistureClassesAgainstTable(t *testing.T) {
	for _, row := range []struct{ normal, dry, wet ground.CurveNumber }{
		{90, 78, 96}, {80, 63, 91}, {70, 51, 85}, {60, 40, 78},
	} {
		for _, off := range []struct {
			name string
			by   float64
		}{
			{"dry, ASCE", float64(row.normal.Dry() - row.dry)},
			{"wet, ASCE", float64(row.normal.Wet() - row.wet)},
			{"dry, watershed model", float64(row.normal.Driest() - row.dry)},
			{"wet, watershed model", float64(row.normal.Wettest() - row.wet)},
		} {
			t.Logf("%v: %s is off by %.2f", row.normal, off.name, off.by)
			most := 0.7
			if row.normal == 90 && off.name == "dry, ASCE" {
				most = 1.8
			}
			if math.Abs(off.by) > most {
				t.Errorf("%v: %s is off by %.2f", row.normal, off.name, off.by)
			}
		}
	}
}

// Values of the same equations reckoned in another program: regressions.
func TestMoistureClasses(t *testing.T) {
	const cn = ground.CurveNumber(75)
	for _, row := range []struct {
		name           string
		got, elsewhere float64
	}{
		{"driest", float64(cn.Driest()), 56.86},
		{"wettest", float64(cn.Wettest()), 88.74},
		{"dry", float64(cn.Dry()), 56.81},
		{"wet", float64(cn.Wet()), 87.54},
		{"frozen, of 80", float64(ground.CurveNumber(80).Frozen(80)), 96.97},
	} {
		if math.Abs(row.got-row.elsewhere) > 0.005 {
			t.Errorf("%s: %v, reckoned elsewhere %v", row.name, row.got, row.elsewhere)
		}
	}
}

// No more runs off than rains, more runs off wetter and frozen ground, and the day's number lies between dry and wet.
func TestRunoffHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rain := unit.Water(rapid.Float64Range(0, 200).Draw(t, "rain"))
		cn := ground.CurveNumber(rapid.Float64Range(45, 95).Draw(t, "curve number"))
		dried := unit.Water(rapid.Float64Range(0, 25).Draw(t, "dried"))
		on := cn.On(dried, 9, 22)
		if on < cn.Dry()-1e-9 || on > cn.Wet()+1e-9 || cn.On(dried+1, 9, 22) > on+1e-9 {
			t.Fatalf("%v on the day, %v dry, %v wet", on, cn.Dry(), cn.Wet())
		}
		sheds := func(n ground.CurveNumber) unit.Water {
			r, err := n.Retention()
			if err != nil {
				t.Fatal(err)
			}
			return ground.Runoff(rain, r)
		}
		if open, frozen := sheds(on), sheds(cn.Frozen(on)); open < 0 || frozen > rain || open > frozen+1e-9 {
			t.Fatalf("of %v mm %v run off open and %v off frozen ground", rain, open, frozen)
		}
	})
}

func TestRetentionRefuses(t *testing.T) {
	for _, cn := range []ground.CurveNumber{0, -3, 101, ground.CurveNumber(math.NaN())} {
		if s, err := cn.Retention(); err == nil {
			t.Errorf("curve number %v holds %v mm", cn, s)
		}
	}
}
