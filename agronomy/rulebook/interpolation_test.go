package rulebook_test

import (
	"maps"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"
)

// straight reads a straight line between points by gonum, a second opinion on reading between printed cells.
func straight(t *rapid.T, xs, ys []float64, x float64) float64 {
	var line interp.PiecewiseLinear
	if err := line.Fit(xs, ys); err != nil {
		t.Fatal(err)
	}
	return line.Predict(x)
}

// TestBetweenCellsOfSikora reads between the typed cells of EM 9585 by gonum, first along the buffer pH and then
// along the target.
func TestBetweenCellsOfSikora(t *testing.T) {
	r := rule(t, "oregon-em9585/lime")
	buffers := slices.Sorted(maps.Keys(sikora))
	rapid.Check(t, func(rt *rapid.T) {
		buffer := rapid.Float64Range(4.8, 6.9).Draw(rt, "buffer pH")
		target := rapid.Float64Range(5.6, 7.2).Draw(rt, "target pH")
		var across [5]float64
		for i := range across {
			var column []float64
			for _, b := range buffers {
				column = append(column, sikora[b][i])
			}
			across[i] = straight(rt, buffers, column, buffer)
		}
		want := straight(rt, sikoraTargets[:], across[:], target)
		if got := answer(t, r, given{"bufferPH": buffer, "targetPH": target}); math.Abs(got-want) > 1e-9 {
			rt.Fatalf("buffer %v to %v: %v, gonum reads %v", buffer, target, got, want)
		}
	})
}

// TestBetweenCellsOfNebraska does the same in the three directions of EC143, above the row with the lost cell.
func TestBetweenCellsOfNebraska(t *testing.T) {
	r := rule(t, "nebraska-ec143/nitrogen")
	levels := []float64{2, 4, 6, 8, 10}
	grains, nitrogens := []float64{3.50, 4.50, 5.50, 6.50}, []float64{0.25, 0.50, 0.75}
	rapid.Check(t, func(rt *rapid.T) {
		ppm := rapid.Float64Range(2, 10).Draw(rt, "nitrate")
		grain := rapid.Float64Range(3.50, 6.50).Draw(rt, "wheat price")
		nitrogen := rapid.Float64Range(0.25, 0.75).Draw(rt, "nitrogen price")
		var byPPM []float64
		for _, level := range levels {
			var byGrain []float64
			for i := range grains {
				byGrain = append(byGrain, straight(rt, nitrogens, nebraska[level][3*i:3*i+3], nitrogen))
			}
			byPPM = append(byPPM, straight(rt, grains, byGrain, grain))
		}
		want := straight(rt, levels, byPPM, ppm)
		got := answer(t, r, given{"nitrateMean": ppm, "grainPrice": grain, "nitrogenPrice": nitrogen})
		if math.Abs(got-want) > 1e-9*max(1, want) {
			rt.Fatalf("%v ppm, $%v, $%v: %v, gonum reads %v", ppm, grain, nitrogen, got, want)
		}
	})
}

// Beside the lost cell the rule is silent wherever that cell would count, and speaks where it would not.
func TestBesideTheLostCell(t *testing.T) {
	r := rule(t, "nebraska-ec143/nitrogen")
	if v, ok := ask(t, r, given{"nitrateMean": 11, "grainPrice": 6.00, "nitrogenPrice": 0.60}); ok {
		t.Errorf("next to the lost cell it gives %v", v)
	}
	if v := answer(t, r, given{"nitrateMean": 11, "grainPrice": 6.50, "nitrogenPrice": 0.50}); v != 5 {
		t.Errorf("along the edge without the lost cell it gives %v, want the mean of 10 and 0", v)
	}
}
