package need_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/need"
	"culm/agronomy/unit"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// strip wraps readings taken by sensor on a strip.
func strip(readings []season.Reading) *season.Readings {
	return &season.Readings{
		Field: "home", Strip: "A", Day: calendar.Date(2027, 2, 10), Observer: "scout",
		Reference: season.StripReference, Means: season.Sensor, Readings: readings,
	}
}

// log makes the readings of a sensor carried along the strip: values at even spacing from a start, m.
func log(place season.Place, start, spacing float64, values ...float64) []season.Reading {
	var all []season.Reading
	for i, v := range values {
		all = append(all, season.Reading{
			Place: place, Value: v, HasAlong: true, Along: unit.Length(start + float64(i)*spacing),
		})
	}
	return all
}

func assess(t *testing.T, r *season.Readings, crop season.Crop) need.Finding {
	t.Helper()
	f, err := need.Assess(r, crop, need.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestIndexIsARatioOfMeans uses the check value of the in-season method: reference 0.72, field 0.55, index
// 1.30909 (arithmetic on the form of Raun et al. 2002; the form is from memory).
func TestIndexIsARatioOfMeans(t *testing.T) {
	f := assess(t, strip(pairs([]float64{0.70, 0.72, 0.74}, []float64{0.50, 0.55, 0.60})), season.WheatGrain)
	if got := float64(f.Index); math.Abs(got-1.30909) > 5e-6 {
		t.Errorf("index %.6f, want 1.30909", got)
	}
	if f.Pairs != 3 || math.Abs(float64(f.Reference)-0.72) > 1e-12 || math.Abs(float64(f.Beside)-0.55) > 1e-12 {
		t.Errorf("%d pairs, means %v and %v; want 3, 0.72 and 0.55", f.Pairs, f.Reference, f.Beside)
	}
}

// TestFewPairsFollowStudent checks the interval against one worked by hand. Pairs 0.60/0.50, 0.66/0.55 and
// 0.66/0.57: means 0.64 and 0.54, index 1.185185. Parts of the log index 0.60/0.64 - 0.50/0.54 = 0.0115741,
// 0.0127315, -0.0243056; their standard deviation 0.0210572, over √3 0.0121574. Student's t for 90 % with 2
// degrees of freedom is 2.919986 (any table), so the index is multiplied or divided by exp(0.0354993).
func TestFewPairsFollowStudent(t *testing.T) {
	f := assess(t, strip(pairs([]float64{0.60, 0.66, 0.66}, []float64{0.50, 0.55, 0.57})), season.WheatGrain)
	if math.Abs(float64(f.Low)-1.143850) > 1e-6 || math.Abs(float64(f.High)-1.228014) > 1e-6 {
		t.Errorf("interval %.6f to %.6f, want 1.143850 to 1.228014", f.Low, f.High)
	}
	if f.Verdict != need.ResponseSeen || f.Strength != need.Fair {
		t.Errorf("%q, %q; want response seen, one step off strong for few pairs", f.Verdict, f.Strength)
	}
}

func TestTwoPairsLeaveItUnsure(t *testing.T) {
	f := assess(t, strip(pairs([]float64{0.70, 0.72}, []float64{0.50, 0.50})), season.WheatGrain)
	if f.Verdict != need.ResponseUnsure || f.HasInterval || !f.HasIndex {
		t.Errorf("two pairs: %q, interval known %v, index known %v; want unsure without interval", f.Verdict, f.HasInterval, f.HasIndex)
	}
}

func TestLogsArePairedByDistance(t *testing.T) {
	for _, c := range []struct {
		name       string
		on, beside []season.Reading
		want       []need.Point
		leftOut    int
	}{
		{
			"logs side by side", log(season.OnReference, 0, 5, 0.6, 0.7, 0.8), log(season.Beside, 1, 5, 0.5, 0.6, 0.7),
			[]need.Point{{0, 0.6, 0.5}, {5, 0.7, 0.6}, {10, 0.8, 0.7}},
			0,
		},
		{
			"twice as many readings beside", log(season.OnReference, 0, 4, 0.6, 0.8), log(season.Beside, 0, 2, 0.4, 0.5, 0.7),
			[]need.Point{{0, 0.6, 0.45}, {4, 0.8, 0.7}},
			0,
		},
		{
			"a log that runs on past the other", log(season.OnReference, 0, 2, 0.6, 0.7), log(season.Beside, 0, 2, 0.5, 0.5, 0.5, 0.5),
			[]need.Point{{0, 0.6, 0.5}, {2, 0.7, 0.5}},
			1,
		},
		{
			"a sensor standing still", append(log(season.OnReference, 3, 0, 0.6, 0.8), log(season.OnReference, 5, 1, 0.9)...), log(season.Beside, 3, 2, 0.5, 0.5),
			[]need.Point{{3, 0.7, 0.5}, {5, 0.9, 0.5}},
			0,
		},
		{
			"logs of different ends of the strip", log(season.OnReference, 0, 1, 0.6, 0.7), log(season.Beside, 100, 1, 0.5, 0.5),
			nil, 4,
		},
	} {
		f := assess(t, strip(append(c.on, c.beside...)), season.WheatGrain)
		if diff := cmp.Diff(c.want, f.Points, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
		if f.LeftOut != c.leftOut {
			t.Errorf("%s: %d left out, want %d", c.name, f.LeftOut, c.leftOut)
		}
	}
}

func TestRepeatsOfAPairAreAveragedAndSinglesLeftOut(t *testing.T) {
	readings := append(pairs([]float64{0.6, 0.7}, []float64{0.5, 0.5}),
		season.Reading{Pair: 1, Place: season.OnReference, Value: 0.8},
		season.Reading{Pair: 9, Place: season.Beside, Value: 0.5},
		season.Reading{Place: season.Beside, Value: 0.5})
	f := assess(t, strip(readings), season.WheatGrain)
	want := []need.Point{{1, 0.7, 0.5}, {2, 0.7, 0.5}}
	if diff := cmp.Diff(want, f.Points, cmpopts.EquateApprox(0, 1e-12)); diff != "" || f.LeftOut != 2 {
		t.Errorf("%d left out, want 2 (-want +got):\n%s", f.LeftOut, diff)
	}
	if !mentions(f, "2 readings found no partner") {
		t.Errorf("readings without partner are not mentioned: %q", f.Warnings)
	}
}

// TestUnpairedReadingsAreTwoSamples compares readings that carry neither number nor distance: weaker, and
// said so. The interval is Welch's on the log ratio, worked by hand as in TestFewPairsFollowStudent: on
// 0.60 0.62 0.64 (mean 0.62, sd 0.02), beside 0.49 0.50 0.51 (mean 0.50, sd 0.01); squared errors of the log
// means 0.000346861 and 0.000133333, root of their sum 0.0219133, and by Welch and Satterthwaite
// 3.34 degrees of freedom.
func TestUnpairedReadingsAreTwoSamples(t *testing.T) {
	var readings []season.Reading
	for _, v := range []float64{0.60, 0.62, 0.64} {
		readings = append(readings, season.Reading{Place: season.OnReference, Value: v})
	}
	for _, v := range []float64{0.49, 0.50, 0.51} {
		readings = append(readings, season.Reading{Place: season.Beside, Value: v})
	}
	f := assess(t, strip(readings), season.WheatGrain)
	if f.Pairs != 0 || f.Strength != need.Weak || !mentions(f, "neither pair numbers nor distances") {
		t.Errorf("%d pairs, %s evidence, warnings %q; want none, weak, and the reason", f.Pairs, f.Strength, f.Warnings)
	}
	a, b := 0.02*0.02/(0.62*0.62)/3, 0.01*0.01/(0.50*0.50)/3
	// Student's t for 90 % lies between those of 3 and 4 degrees of freedom, 2.353363 and 2.131847 (tables).
	wide, narrow := math.Exp(2.353363*math.Sqrt(a+b)), math.Exp(2.131847*math.Sqrt(a+b))
	if up := float64(f.High / f.Index); up > wide || up < narrow {
		t.Errorf("upper bound %.5f of the index, want between %.5f and %.5f", up, narrow, wide)
	}
}

func mentions(f need.Finding, words string) bool {
	return strings.Contains(strings.Join(f.Warnings, "\n"), words)
}

// steady gives n readings near a level, in numbered pairs with a constant response.
func steady(n int, level, index float64) []season.Reading {
	g := rand.New(rand.NewPCG(3, 4))
	on, beside := make([]float64, n), make([]float64, n)
	for i := range on {
		beside[i] = level * (1 + 0.02*g.NormFloat64())
		on[i] = min(1, beside[i]*index*(1+0.02*g.NormFloat64()))
	}
	return pairs(on, beside)
}

func TestWarnings(t *testing.T) {
	with := func(r season.Reference, readings []season.Reading) *season.Readings {
		s := strip(readings)
		s.Reference = r
		return s
	}
	zeros := append(steady(12, 0.5, 1.2), season.Reading{Pair: 3, Place: season.Beside, Value: 0})
	wild := steady(12, 0.5, 1.2)
	wild[8].Value = 0.05
	for _, c := range []struct {
		name     string
		readings *season.Readings
		crop     season.Crop
		mention  string
		strength need.Strength
	}{
		{"a dense stand", strip(steady(12, 0.84, 1.1)), season.WheatGrain, "hardly rises with more leaf", need.Fair},
		{"a thin stand", strip(steady(12, 0.22, 1.2)), season.WheatGrain, "soil shows through", need.Fair},
		{"six pairs", strip(steady(6, 0.5, 1.2)), season.WheatGrain, "Only 6 pairs", need.Fair},
		{"a skip read on the strip", strip(wild), season.WheatGrain, "farthest out is the pair at 5, 0.05 on the reference", need.Fair},
		{"a sensor that saw nothing once", strip(zeros), season.WheatGrain, "1 reading of zero was taken as no reading", need.Strong},
		{"urine spots", with(season.UrineReference, steady(12, 0.5, 1.2)), season.WheatGrazed, "phosphorus and potassium", need.Fair},
		{"a strip cattle can reach", strip(steady(12, 0.5, 1.0)), season.WheatGrazed, "unless it was fenced off", need.Strong},
		{"canola", strip(steady(12, 0.5, 1.2)), season.Canola, "No published way turns it into a rate", need.Strong},
	} {
		f := assess(t, c.readings, c.crop)
		if !mentions(f, c.mention) {
			t.Errorf("%s: warnings %q, want one with %q", c.name, f.Warnings, c.mention)
		}
		if f.Strength != c.strength {
			t.Errorf("%s: %s evidence (%s), want %s", c.name, f.Strength, f.StrengthWhy, c.strength)
		}
	}
	if f := assess(t, strip(steady(12, 0.5, 1.2)), season.WheatGrain); len(f.Warnings) > 0 {
		t.Errorf("a good strip has warnings: %q", f.Warnings)
	}
}

func TestScoresByEye(t *testing.T) {
	same := []float64{5, 5, 5, 5, 5, 5, 5, 5, 5, 5}
	for _, c := range []struct {
		name       string
		on, beside []float64
		want       need.Verdict
	}{
		{"greener in every pair of five", []float64{6, 7, 6, 7, 6}, same[:5], need.ResponseSeen},
		{"greener in every pair of four: chance does that once in sixteen", []float64{6, 7, 6, 7}, same[:4], need.ResponseUnsure},
		{"no difference anywhere", same, same, need.NoResponse},
		{"as often paler as greener", []float64{6, 4, 6, 4, 5}, same[:5], need.NoResponse},
		{"greener in seven of ten, paler in three", []float64{6, 6, 6, 6, 6, 6, 6, 4, 4, 4}, same, need.ResponseUnsure},
		{"greener in one of ten, else alike", []float64{6, 5, 5, 5, 5, 5, 5, 5, 5, 5}, same, need.NoResponse},
		{"two pairs", []float64{9, 9}, same[:2], need.ResponseUnsure},
	} {
		s := strip(pairs(c.on, c.beside))
		s.Means = season.Eye
		f := assess(t, s, season.WheatGrain)
		if f.Verdict != c.want {
			t.Errorf("%s: %q (%s), want %q", c.name, f.Verdict, f.Why, c.want)
		}
		if f.HasIndex || f.HasInterval || f.Strength != need.Weak {
			t.Errorf("%s: index known %v, interval known %v, %s evidence; scores by eye give neither and are weak", c.name, f.HasIndex, f.HasInterval, f.Strength)
		}
	}
}

// Where no pair differs there is no share of the pairs that differ, which is not a share of none.
func TestPairsThatAllLookAlikeHaveNoShare(t *testing.T) {
	s := strip(pairs([]float64{5, 6, 7, 5}, []float64{5, 6, 7, 5}))
	s.Means = season.Eye
	f := assess(t, s, season.WheatGrain)
	if diff := cmp.Diff(need.Signs{Alike: 4, P: 1}, f.Signs); diff != "" || f.Verdict != need.NoResponse || f.Why != "all 4 pairs look alike" {
		t.Errorf("%q because %q; signs (-want +got):\n%s", f.Verdict, f.Why, diff)
	}
	s.Readings[0].Value = 4 // on the reference
	if f = assess(t, s, season.WheatGrain); !f.Signs.HasShare || f.Signs.Share != 0 || f.Signs.Paler != 1 {
		t.Errorf("one pair paler: %+v, want a share of 0", f.Signs)
	}
}

func TestNothingToCompareIsAFinding(t *testing.T) {
	for name, r := range map[string]*season.Readings{
		"nothing was read":              nil,
		"an empty list":                 strip(nil),
		"only the strip was read":       strip(log(season.OnReference, 0, 1, 0.6, 0.6)),
		"the sensor saw nothing beside": strip(append(log(season.OnReference, 0, 1, 0.6), log(season.Beside, 0, 1, 0)...)),
	} {
		if f := assess(t, r, season.WheatGrain); f.Verdict != need.NoReference || f.Why == "" {
			t.Errorf("%s: %q because %q, want %q with a reason", name, f.Verdict, f.Why, need.NoReference)
		}
	}
}

func TestRefusals(t *testing.T) {
	eye := func(readings []season.Reading) *season.Readings {
		s := strip(readings)
		s.Means = season.Eye
		return s
	}
	unknown := strip(nil)
	unknown.Means = "guess"
	for _, c := range []struct {
		name     string
		readings *season.Readings
		options  need.Options
		want     string
	}{
		{"an index above 1", strip(pairs([]float64{0.6, 62}, []float64{0.5, 0.5})), need.Options{}, "reading 3 (reference, pair 2) is 62; expected 0 to 1"},
		{"an index below 0", strip(pairs([]float64{0.6}, []float64{-0.1})), need.Options{}, "reading 2 (beside, pair 1) is -0.1; expected 0 to 1"},
		{"not a number", strip(pairs([]float64{math.NaN()}, []float64{0.5})), need.Options{}, "is NaN; expected 0 to 1"},
		{"a score above 10", eye(pairs([]float64{11}, []float64{5})), need.Options{}, "is 11; expected 0 to 10"},
		{"scores without pairs", eye([]season.Reading{{Place: season.OnReference, Value: 5}, {Place: season.Beside, Value: 4}}), need.Options{}, "expected the same pair number"},
		{"an unknown place", strip([]season.Reading{{Place: "middle", Value: 0.5}}), need.Options{}, `taken at "middle"; expected "reference" or "beside"`},
		{"an unknown means", unknown, need.Options{}, `taken by "guess"; expected "sensor" or "eye"`},
		{"too few resamples", strip(nil), need.Options{Resamples: 50}, "50 resamples are too few"},
		{"certainty", strip(nil), need.Options{Level: 1}, "makes no interval"},
	} {
		if _, err := need.Assess(c.readings, season.WheatGrain, c.options); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

func TestStrongestEvidenceDecides(t *testing.T) {
	jan, feb := calendar.Date(2027, 1, 8), calendar.Date(2027, 2, 12)
	at := func(name string, day calendar.Day, v need.Verdict, s need.Strength) need.Finding {
		return need.Finding{Strip: name, Day: day, Verdict: v, Strength: s, Against: season.StripReference, Means: season.Sensor}
	}
	unsure := func(f need.Finding, why string) need.Finding {
		f.Verdict, f.Why = need.ResponseUnsure, why
		return f
	}
	for _, c := range []struct {
		name     string
		findings []need.Finding
		want     need.Finding
		conflict string // what the warning says; none where it is empty
	}{
		{"strength before date", []need.Finding{at("B", feb, need.ResponseSeen, need.Fair), at("A", jan, need.ResponseSeen, need.Strong)}, at("A", jan, need.ResponseSeen, need.Strong), ""},
		{"the later of two alike", []need.Finding{at("A", jan, need.ResponseUnsure, need.Strong), at("A", feb, need.ResponseSeen, need.Strong)}, at("A", feb, need.ResponseSeen, need.Strong), ""},
		{"a response that came with time is no conflict", []need.Finding{at("A", jan, need.NoResponse, need.Strong), at("A", feb, need.ResponseSeen, need.Strong)}, at("A", feb, need.ResponseSeen, need.Strong), ""},
		{"a weaker later look at the same strip is one", []need.Finding{at("A", jan, need.NoResponse, need.Strong), at("A", feb, need.ResponseSeen, need.Fair)}, at("A", jan, need.NoResponse, need.Strong), "The stronger evidence decides"},
		{"two strips that disagree", []need.Finding{at("A", feb, need.NoResponse, need.Strong), at("B", feb, need.ResponseSeen, need.Fair)}, at("A", feb, need.NoResponse, need.Strong), "The stronger evidence decides"},
		{"two strips as strong, the later no proof against the other", []need.Finding{at("A", feb.Add(-1), need.ResponseSeen, need.Strong), at("B", feb, need.NoResponse, need.Strong)}, unsure(at("B", feb, need.NoResponse, need.Strong), "two references of the same strength disagree"), `two references of the same strength disagree: strip B on Fri 12 Feb (strong evidence) says "no response seen"`},
		{"two looks on one day", []need.Finding{at("A", feb, need.ResponseSeen, need.Fair), at("A", feb, need.NoResponse, need.Fair)}, unsure(at("A", feb, need.ResponseSeen, need.Fair), "two looks of the same strength at one reference disagree"), "two looks of the same strength at one reference disagree"},
		{"what a strip said before it was looked at again", []need.Finding{at("A", jan, need.NoResponse, need.Strong), at("A", feb.Add(-1), need.ResponseSeen, need.Strong), at("B", feb, need.ResponseSeen, need.Strong)}, at("B", feb, need.ResponseSeen, need.Strong), ""},
		{"unsure is no conflict", []need.Finding{at("A", feb, need.NoResponse, need.Strong), at("B", feb, need.ResponseUnsure, need.Fair)}, at("A", feb, need.NoResponse, need.Strong), ""},
	} {
		got := need.Strongest(c.findings)
		if diff := cmp.Diff(c.want, got, cmpopts.IgnoreFields(need.Finding{}, "Warnings")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
		if said := strings.Join(got.Warnings, " "); (said == "") != (c.conflict == "") || !strings.Contains(said, c.conflict) {
			t.Errorf("%s: warnings %q, want %q", c.name, got.Warnings, c.conflict)
		}
	}
	if got := need.Strongest(nil); got.Verdict != need.NoReference {
		t.Errorf("no findings: %q, want %q", got.Verdict, need.NoReference)
	}
}
