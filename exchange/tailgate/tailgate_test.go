package tailgate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/equipment"
	"culm/agronomy/unit"
	"culm/exchange/tailgate"

	"github.com/google/go-cmp/cmp"
)

func ExampleNozzles() {
	volumes, err := tailgate.Nozzles(strings.NewReader("nozzle,caught_oz\n2,26\n1,25.5\n"))
	fmt.Printf("%.1f and %.1f oz, %v\n", volumes[0]/equipment.FluidOunce, volumes[1]/equipment.FluidOunce, err)
	// Output:
	// 25.5 and 26.0 oz, <nil>
}

func TestPans(t *testing.T) {
	pans, err := tailgate.Pans(strings.NewReader("\ufeffat_ft, caught_g,note\n-5,1,left\n\n0,4,\n5,1,right\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := []equipment.Pan{{At: -5 * unit.Foot, Caught: 0.001}, {At: 0, Caught: 0.004}, {At: 5 * unit.Foot, Caught: 0.001}}
	if d := cmp.Diff(want, pans); d != "" {
		t.Error(d)
	}
}

func TestNozzlesAreCountedWhereTheyAreNotNumbered(t *testing.T) {
	volumes, err := tailgate.Nozzles(strings.NewReader("caught_ml\n750\n0\n760\n"))
	if d := cmp.Diff([]unit.Volume{0.75, 0, 0.76}, volumes); d != "" || err != nil {
		t.Error(d, err)
	}
}

func TestBadTables(t *testing.T) {
	for _, row := range []struct {
		name, text, says string
	}{
		{"nothing", "", "the table is empty"},
		{"only names", "caught_oz\n", "no rows"},
		{"no unit", "nozzle,caught\n1,2\n", "line 1: found nozzle, caught; expected a column caught_oz or caught_ml"},
		{"two units", "caught_oz,caught_ml\n1,2\n", "found caught_oz and caught_ml; expected one of them"},
		{"negative", "caught_oz\n25\n-3\n", "line 3, column caught_oz: found -3; expected what was caught: zero"},
		{"empty cell", "nozzle,caught_oz\n1,25\n2,\n", "line 3, column caught_oz: found an empty cell"},
		{"word", "caught_oz\nsome\n", `found "some"; expected a number`},
		{"decimal comma", "caught_oz\n\"25,5\"\n", "expected a number with a decimal point"},
		{"one left out", "nozzle,caught_oz\n1,25\n3,25\n", "found nozzle 3 where 2 is next"},
		{"twice", "nozzle,caught_oz\n1,25\n1,25\n", "found nozzle 1 where 2 is next"},
		{"open quote", "caught_oz\n\"25\n", "no row of a table"},
		{"infinite", "caught_oz\n1e400\n", "expected a number"},
	} {
		if _, err := tailgate.Nozzles(strings.NewReader(row.text)); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v, expected %q", row.name, err, row.says)
		}
	}
	if _, err := tailgate.Pans(strings.NewReader("caught_g\n1\n")); err == nil || !strings.Contains(err.Error(), "a column at_ft or at_m") {
		t.Errorf("pans without places: %v", err)
	}
	if _, err := tailgate.Nozzles(strings.NewReader("caught_oz\n" + strings.Repeat("1\n", 2001))); err == nil || !strings.Contains(err.Error(), "more than 2000 rows") {
		t.Errorf("too many rows: %v", err)
	}
}

// Whatever is read is something that can be tested, or is refused in words.
func FuzzTables(f *testing.F) {
	f.Add("nozzle,caught_oz\n1,25\n2,26\n")
	f.Add("at_m,caught_g\n-2,0\n-1,3\n0,5\n1,3\n2,0\n")
	f.Add("at_m,caught_g\n-1e9,1\n-1,0\n0,0\n1,0\n1e9,1\n")
	f.Add("caught_ml\n\"1\n")
	f.Fuzz(func(t *testing.T, text string) {
		if volumes, err := tailgate.Nozzles(strings.NewReader(text)); err == nil {
			for _, v := range volumes {
				if !(v >= 0) || math.IsInf(float64(v), 0) {
					t.Fatalf("took %v", v)
				}
			}
			_, _ = equipment.Catch{Caught: volumes, Time: 1e9}.Test()
		}
		if pans, err := tailgate.Pans(strings.NewReader(text)); err == nil {
			if p, err := equipment.NewPattern(pans); err == nil {
				for _, d := range equipment.Drivings() {
					p.Curve(d)
				}
			}
		}
	})
}
