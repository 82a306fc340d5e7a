package crop_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/crop"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"pgregory.net/rapid"
)

// Kansas eUpdate 617: as much as 5 % a day past first hollow stem. 45 bushels and 6 days, in a straight line.
func ExampleGrazingLoss() {
	loss := crop.GrazingLoss(45*unit.WheatBushelPerAcre, 6)
	fmt.Printf("up to %.1f bu/ac\n", float64(loss/unit.WheatBushelPerAcre))
	// Output: up to 13.5 bu/ac
}

func TestGrazingLossIsNeverNegativeNorAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := unit.Yield(rapid.Float64Range(0, 9000).Draw(t, "yield"))
		late := unit.Days(rapid.Float64Range(-30, 90).Draw(t, "late"))
		loss := crop.GrazingLoss(y, late)
		if loss < 0 || loss > y || late <= 0 && loss != 0 || crop.GrazingLoss(y, late+1) < loss {
			t.Fatalf("%v of %v after %v days", loss, y, late)
		}
	})
}

// 1.5 cm, about the width of a dime (Kansas eUpdate 581-3).
func TestFirstHollowStem(t *testing.T) {
	short, just, long := split(march(1), 0.014), split(march(4), 0.015), split(march(9), 0.04)
	for _, row := range []struct {
		name    string
		crop    season.Crop
		visits  []*season.Visit
		known   bool
		reached bool
		off     bool
	}{
		{"nobody split a stem", season.WheatGrazed, []*season.Visit{{Day: march(1)}}, false, false, false},
		{"1.4 cm", season.WheatGrazed, []*season.Visit{short}, true, false, false},
		{"1.5 cm", season.WheatGrazed, []*season.Visit{short, just}, true, true, true},
		{"1.5 cm, not grazed", season.WheatGrain, []*season.Visit{just}, true, true, false},
		{"1.5 cm, grazed out", season.WheatGrazeOut, []*season.Visit{just}, true, true, false},
		{"canola", season.Canola, []*season.Visit{long}, false, false, false},
	} {
		got := crop.FirstHollowStem(row.crop, row.visits)
		if got.Known != row.known || got.Reached != row.reached || got.CattleOff(row.crop) != row.off {
			t.Errorf("%s: %+v, cattle off %v", row.name, got, got.CattleOff(row.crop))
		}
	}
	if got := crop.FirstHollowStem(season.WheatGrazed, []*season.Visit{short, just, long}); got.Day != march(4) {
		t.Errorf("the first walk that found it counts, not %v", got.Day)
	}
}

func TestStand(t *testing.T) {
	stand := func(shares ...unit.Fraction) []*season.Visit {
		visits := []*season.Visit{{Day: march(1)}} // a walk that noted no stand
		for i, s := range shares {
			visits = append(visits, &season.Visit{Day: march(2 + i), Stand: working.Fact[unit.Fraction]{Value: s, Origin: working.Origin{Kind: working.Observed}}})
		}
		return visits
	}
	for _, row := range []struct {
		name                        string
		crop                        season.Crop
		visits                      []*season.Visit
		known, thin, thinning, wait bool
	}{
		{"nobody noted it", season.WheatGrain, stand(), false, false, false, false},
		{"full", season.WheatGrain, stand(0.95), true, false, false, false},
		{"half", season.WheatGrain, stand(0.5), true, false, false, false},
		{"under half", season.WheatGrain, stand(0.49), true, true, false, false},
		{"canola holding", season.Canola, stand(0.8, 0.75), true, false, false, false},
		{"canola thinning", season.Canola, stand(0.8, 0.7), true, false, true, true},
		{"wheat thinning does not wait", season.WheatGrain, stand(0.8, 0.7), true, false, true, false},
		{"thin canola", season.Canola, stand(0.4), true, true, false, true},
		{"canola that recovers", season.Canola, stand(0.6, 0.8), true, false, false, false},
	} {
		got := crop.StandOf(row.crop, row.visits)
		if got.Known != row.known || got.Thin != row.thin || got.Thinning != row.thinning || got.Wait != row.wait {
			t.Errorf("%s: %+v", row.name, got)
		}
		if speaks := got.Why != ""; speaks != (row.thin || row.wait) || speaks && got.Source == "" {
			t.Errorf("%s: says %q from %q", row.name, got.Why, got.Source)
		}
	}
	if got := crop.StandOf(season.Canola, stand(0.8, 0.7)); !strings.Contains(got.Why, "wait") || math.Abs(float64(got.Share)-0.7) > 1e-12 {
		t.Errorf("%+v", got)
	}
}
