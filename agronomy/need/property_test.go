package need_test

import (
	"math"
	"slices"
	"testing"

	"culm/agronomy/need"
	"culm/agronomy/unit"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// drawReadings makes up readings: numbered pairs, a pair of logs, or neither.
func drawReadings(t *rapid.T) []season.Reading {
	value := rapid.Float64Range(0.05, 0.95)
	how := rapid.SampledFrom([]string{"numbered", "along", "neither"}).Draw(t, "how")
	var all []season.Reading
	for _, place := range []season.Place{season.OnReference, season.Beside} {
		n := rapid.IntRange(1, 30).Draw(t, "readings at "+string(place))
		for i := range n {
			x := season.Reading{Place: place, Value: value.Draw(t, "value")}
			switch how {
			case "numbered":
				x.Pair = i + 1
			case "along":
				x.HasAlong, x.Along = true, unit.Length(rapid.Float64Range(0, 400).Draw(t, "along"))
			}
			all = append(all, x)
		}
	}
	return all
}

func drawn(t *rapid.T, readings []season.Reading) need.Finding {
	f, err := need.Assess(strip(readings), season.WheatGrain, need.Options{Seed: 5, Resamples: 400})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestExchangingThePlacesInvertsTheIndex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := drawReadings(t)
		exchanged := slices.Clone(readings)
		for i := range exchanged {
			if exchanged[i].Place == season.Beside {
				exchanged[i].Place = season.OnReference
			} else {
				exchanged[i].Place = season.Beside
			}
		}
		f, g := drawn(t, readings), drawn(t, exchanged)
		if f.Pairs != g.Pairs || f.BlockLength != g.BlockLength || f.HasInterval != g.HasInterval || f.HasIndex != g.HasIndex {
			t.Fatalf("%d pairs in blocks of %d against %d in blocks of %d", f.Pairs, f.BlockLength, g.Pairs, g.BlockLength)
		}
		if f.HasIndex && !near(f.Index*g.Index, 1) {
			t.Errorf("indices %v and %v, want inverses", f.Index, g.Index)
		}
		if f.HasInterval && (!near(f.Low*g.High, 1) || !near(f.High*g.Low, 1)) {
			t.Errorf("intervals %v to %v and %v to %v, want inverses", f.Low, f.High, g.Low, g.High)
		}
	})
}

func near(a, b unit.Ratio) bool { return math.Abs(float64(a-b)) < 1e-9 }

func TestTheOrderOfWritingDownChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := drawReadings(t)
		shuffled := rapid.Permutation(readings).Draw(t, "shuffled")
		if diff := cmp.Diff(drawn(t, readings), drawn(t, shuffled)); diff != "" {
			t.Errorf("the same readings in another order (-first +second):\n%s", diff)
		}
	})
}

// TestRenumberingFewPairsChangesNothing: below FewPairs no order is read out of the numbers.
func TestRenumberingFewPairsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(need.LeastPairs, need.FewPairs-1).Draw(t, "pairs")
		value := rapid.SliceOfN(rapid.Float64Range(0.05, 0.95), n, n)
		on, beside := value.Draw(t, "on"), value.Draw(t, "beside")
		readings := pairs(on, beside)
		renumbered := slices.Clone(readings)
		numbers := rapid.Permutation(seq(n)).Draw(t, "numbers")
		for i := range renumbered {
			renumbered[i].Pair = numbers[i/2]
		}
		f, g := drawn(t, readings), drawn(t, renumbered)
		if !near(f.Index, g.Index) || !near(f.Low, g.Low) || !near(f.High, g.High) || f.Verdict != g.Verdict {
			t.Errorf("%v (%v to %v) %q against %v (%v to %v) %q", f.Index, f.Low, f.High, f.Verdict, g.Index, g.Low, g.High, g.Verdict)
		}
	})
}

func seq(n int) []int {
	s := make([]int, n)
	for i := range s {
		s[i] = i + 1
	}
	return s
}

// TestTheScalesOfReadingAndDistanceDoNotMatter: halving every reading or measuring along the strip in feet
// leaves the index and its interval. Factors of two keep the arithmetic exact.
func TestTheScalesOfReadingAndDistanceDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := drawReadings(t)
		scaled := slices.Clone(readings)
		for i := range scaled {
			scaled[i].Value /= 2
			scaled[i].Along *= 4
		}
		kept := cmpopts.IgnoreFields(need.Finding{}, "Reference", "Beside", "Points", "Warnings", "Strength", "StrengthWhy")
		if diff := cmp.Diff(drawn(t, readings), drawn(t, scaled), kept); diff != "" {
			t.Errorf("the same readings on other scales (-first +second):\n%s", diff)
		}
	})
}

func TestTheIntervalHoldsTheIndex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawn(t, drawReadings(t))
		if f.HasInterval && !(0 < f.Low && f.Low <= f.Index && f.Index <= f.High && !math.IsInf(float64(f.High), 0)) {
			t.Errorf("index %v outside %v to %v", f.Index, f.Low, f.High)
		}
		if f.HasInterval != (f.Method != "" && f.Low > 0) {
			t.Errorf("interval known %v, but method %q and low %v", f.HasInterval, f.Method, f.Low)
		}
	})
}

// FuzzAssess feeds readings such as a broken instrument or a careless file would give: whatever comes in,
// there is a finding or an error, and a finding has a verdict and a reason.
func FuzzAssess(f *testing.F) {
	f.Add([]byte{}, false)
	f.Add([]byte{1, 0, 60, 1, 1, 50, 2, 0, 62, 2, 1, 50, 3, 0, 60, 3, 1, 51}, false)
	f.Add([]byte{1, 0, 7, 1, 1, 5, 2, 0, 6, 2, 1, 6}, true)
	f.Add([]byte{200, 0, 60, 210, 1, 50, 220, 0, 255, 0, 0, 0}, false)
	f.Fuzz(func(t *testing.T, data []byte, eye bool) {
		var readings []season.Reading
		for i := 0; i+2 < len(data); i += 3 {
			x := season.Reading{Pair: int(data[i]), Place: season.OnReference, Value: float64(data[i+2]) / 100}
			if data[i] >= 128 {
				x.Pair, x.HasAlong, x.Along = 0, true, unit.Length(data[i])
			}
			if data[i+1]%2 == 1 {
				x.Place = season.Beside
			}
			readings = append(readings, x)
		}
		r := strip(readings)
		if eye {
			r.Means = season.Eye
		}
		got, err := need.Assess(r, season.WheatGrazed, need.Options{Resamples: 200})
		if err == nil && (got.Verdict == "" || got.Why == "") {
			t.Errorf("a finding without verdict or reason: %+v", got)
		}
	})
}
