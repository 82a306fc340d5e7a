package soil_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestMatch(t *testing.T) {
	day := calendar.Date(2027, 2, 3)
	spot := func(id, pair, sample string, kind season.SpotKind) *season.Spot {
		return &season.Spot{ID: id, Field: "home", Pair: pair, Sample: sample, Spot: kind}
	}
	row := func(sample string) *season.Soil { return layer(sample, 0, 6, day, season.PH, 6, "") }
	elsewhere := row("S6")
	elsewhere.Field = "away"
	m := soil.Match([]*season.Spot{
		spot("1p", "1", "s1", season.PoorSpot), spot("1g", "1", "s2", season.GoodSpot),
		spot("2p", "2", "S3", season.PoorSpot), spot("2g", "2", "S4", season.GoodSpot),
		spot("3p", "3", "S5", season.PoorSpot),
		spot("4p", "4", "", season.PoorSpot), spot("4g", "4", "S6", season.GoodSpot),
		spot("5p", "", "S1", season.PoorSpot),
		spot("1h", "1", "S2", season.GoodSpot),
		spot("6x", "6", "S1", "odd"),
	}, []*season.Soil{row("S1 "), row("S2"), row("S3"), row("S5"), elsewhere, row("composite")})
	if len(m.Pairs) != 1 || m.Pairs[0].Poor.ID != "1p" || m.Pairs[0].GoodSoil[0].Sample != "S2" {
		t.Errorf("pairs %+v, want pair 1 alone", m.Pairs)
	}
	for _, want := range []string{
		"Spot 2g: the laboratory has not reported sample S4.",
		"Poor spot 3p has no good ground beside it to compare with.",
		"Spot 4p was marked but has no sample.",
		"Spot 4g: the laboratory has not reported sample S6.",
		"Spot 5p belongs to no pair.",
		"Spot 1h: pair 1 has a good spot already; the first is used.",
		`Spot 6x is marked "odd"; expected "poor" or "good".`,
	} {
		if !slices.Contains(m.Unmatched, want) {
			t.Errorf("%q is not reported in %q", want, m.Unmatched)
		}
	}
	var rest []string
	for _, r := range m.Rest {
		rest = append(rest, r.Sample)
	}
	if diff := cmp.Diff([]string{"S6", "composite"}, rest); diff != "" {
		t.Errorf("rows of no spot (-want +got):\n%s", diff)
	}
}

// Samplings are numbered from 1 each: in September sample 1 was drawn of the field, in February of a spot marked in
// January, in May once more of nobody knows what.
func TestASpotsRowsAreThoseOfTheDayNearestAfterItsMark(t *testing.T) {
	september, february, may := calendar.Date(2026, 9, 10), calendar.Date(2027, 2, 10), calendar.Date(2027, 5, 3)
	marked := func(id, sample string, day calendar.Day, kind season.SpotKind) *season.Spot {
		return &season.Spot{ID: id, Field: "home", Day: day, Pair: "1", Sample: sample, Spot: kind}
	}
	row := func(sample string, day calendar.Day) *season.Soil { return layer(sample, 0, 6, day, season.PH, 6, "") }
	rows := []*season.Soil{row("1", september), row("2", february), row("1", february), row("1", may)}
	january := calendar.Date(2027, 1, 12)
	m := soil.Match([]*season.Spot{marked("p", "1", january, season.PoorSpot), marked("g", "2", february, season.GoodSpot)}, rows)
	if len(m.Pairs) != 1 || len(m.Pairs[0].PoorSoil) != 1 || m.Pairs[0].PoorSoil[0].Day != february {
		t.Errorf("%+v, want February's row for the poor spot", m.Pairs)
	}
	if len(m.Rest) != 1 || m.Rest[0].Day != september {
		t.Errorf("%d rows speak for the field, want September's", len(m.Rest))
	}
	if len(m.Unmatched) != 1 || !strings.Contains(m.Unmatched[0], "Sample 1 was drawn again on 2027-05-03, after that of spot p on 2027-02-10") {
		t.Errorf("%q", m.Unmatched)
	}
	for name, row := range map[string]struct {
		spot *season.Spot
		rows []*season.Soil
		rest int
		want string
	}{
		"marked after the sample was drawn": {marked("p", "1", january, season.PoorSpot), rows[:1], 1, "that sample speaks for the field"},
		"a mark without a day":              {marked("p", "1", calendar.Day{}, season.PoorSpot), rows, 4, "none of them is taken"},
	} {
		m := soil.Match([]*season.Spot{row.spot}, row.rows)
		if len(m.Rest) != row.rest || !strings.Contains(m.Unmatched[0], row.want) {
			t.Errorf("%s: %d for the field, %q", name, len(m.Rest), m.Unmatched)
		}
	}
	// A spot marked anew under the same id takes the later rows.
	m = soil.Match([]*season.Spot{marked("p", "1", january, season.PoorSpot), marked("q", "1", calendar.Date(2027, 4, 20), season.PoorSpot)}, rows)
	if len(m.Rest) != 2 || slices.ContainsFunc(m.Unmatched, func(u string) bool { return strings.Contains(u, "again") }) {
		t.Errorf("%d for the field, %q", len(m.Rest), m.Unmatched)
	}
}

// compared compares one analyte of pairs made up from values.
func compared(t interface{ Fatalf(string, ...any) }, crop season.Crop, a season.Analyte, method string, good, poor []float64) soil.Nutrient {
	spots, rows := spotsOf(a, method, good, poor)
	all := soil.Compare(soil.Match(spots, rows).Pairs, crop)
	if len(all) != 1 {
		t.Fatalf("%d analytes compared, want 1", len(all))
	}
	return all[0]
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		name       string
		crop       season.Crop
		analyte    season.Analyte
		method     string
		good, poor []float64
		want       soil.Part
		words      string
	}{
		{"phosphorus short in the poor spots only", season.WheatGrain, season.Phosphorus, soil.Mehlich3, []float64{28, 31, 25, 30, 27}, []float64{9, 11, 8, 12, 10}, soil.LikelyCause, "likely the cause"},
		{"the same with three pairs", season.WheatGrain, season.Phosphorus, soil.Bray1, []float64{28, 31, 25}, []float64{9, 11, 8}, soil.PossibleCause, "fewer than five pairs cannot settle it"},
		{"short, but within the scatter", season.WheatGrain, season.Phosphorus, soil.Mehlich3, []float64{10, 40, 15, 35, 12}, []float64{30, 10, 25, 12, 20}, soil.PossibleCause, "may be chance"},
		{"the good ground is low too", season.WheatGrain, season.Phosphorus, soil.Mehlich3, []float64{14, 15, 13, 16, 14}, []float64{13, 15, 14, 15, 14}, soil.ShortAllOver, "does not set the poor spots apart"},
		{"low all over, the poor spots lower", season.WheatGrain, season.Phosphorus, soil.Mehlich3, []float64{14, 15, 13, 16, 14}, []float64{6, 7, 5, 8, 7}, soil.ShortAllOver, "the poor spots farther"},
		{"enough everywhere", season.WheatGrain, season.Phosphorus, soil.Mehlich3, []float64{40, 41, 39, 42, 40}, []float64{40, 42, 38, 42, 41}, soil.NotCause, "Neither is below"},
		{"less but enough", season.WheatGrain, season.Phosphorus, soil.Mehlich3, []float64{60, 61, 59, 62, 60}, []float64{40, 42, 38, 42, 41}, soil.NotCause, "hardly the cause"},
		{"the good ground is short and the poor not", season.WheatGrain, season.Phosphorus, soil.Mehlich3, []float64{14, 15, 13, 16, 14}, []float64{40, 42, 38, 42, 41}, soil.GoodShort, "the good ground needs it"},
		{"Olsen is not held against Mehlich", season.WheatGrain, season.Phosphorus, soil.Olsen, []float64{14, 15, 13, 16, 14}, []float64{6, 7, 5, 8, 7}, soil.Different, "Measured by olsen, and the critical level holds for mehlich-3 and bray-1 only"},
		{"an unnamed method", season.WheatGrain, season.Phosphorus, "", []float64{14, 15}, []float64{6, 7}, soil.Unjudged, "method is not known"},
		{"aluminium harms from above", season.WheatGrain, season.Aluminium, "", []float64{5, 8, 6, 7, 5}, []float64{60, 70, 55, 80, 66}, soil.LikelyCause, "above the critical level"},
		{"sulfate is not judged", season.Canola, season.SulfateS, "", []float64{10, 11, 10, 12, 11}, []float64{4, 5, 4, 4, 5}, soil.Different, "unreliable"},
		{"chloride in the top 6 in only", season.WheatGrain, season.Chloride, "", []float64{6, 7, 6, 7, 8}, []float64{2, 2, 3, 2, 2}, soil.Different, "for 0 to 24 in (0 to 61 cm), not for 0 to 6 in"},
		{"organic matter", season.WheatGrain, season.OrganicMatter, "", []float64{0.02, 0.021, 0.02, 0.019, 0.02}, []float64{0.02, 0.02, 0.021, 0.02, 0.019}, soil.Unjudged, "No clear difference"},
		{"pairs that differ by the same", season.Canola, season.PH, "", []float64{5.8, 5.9, 6.0, 6.1, 6.2}, []float64{5.1, 5.2, 5.3, 5.4, 5.5}, soil.LikelyCause, "likely the cause"},
		{"nothing wrong with the pH", season.Canola, season.PH, "", []float64{6.5, 6.6}, []float64{6.4, 6.5}, soil.NotCause, "Neither is below"},
	} {
		n := compared(t, c.crop, c.analyte, c.method, c.good, c.poor)
		if n.Part != c.want || !strings.Contains(n.Verdict, c.words) {
			t.Errorf("%s: %q, %q; want %q and %q", c.name, n.Part, n.Verdict, c.want, c.words)
		}
		if n.HasTest && len(c.good) < soil.TestedPairs {
			t.Errorf("%s: %d pairs were tested", c.name, n.Pairs)
		}
	}
}

// TestCriticalLevels lists the levels with their sources, as a reader would look them up.
func TestCriticalLevels(t *testing.T) {
	const core = 24 * unit.Inch
	for _, c := range []struct {
		crop    season.Crop
		analyte season.Analyte
		method  string
		want    float64
		source  cite.Key
		status  cite.Status
	}{
		{season.WheatGrain, season.Phosphorus, "Mehlich 3", 20, cite.WheatPCritical, cite.Confirmed},
		{season.WheatGrain, season.Phosphorus, soil.Bray1, 20, cite.WheatPCritical, cite.Confirmed},
		{season.Canola, season.Phosphorus, soil.Mehlich3, 20, cite.WashingtonFS045E, cite.Derived},
		{season.WheatGrazed, season.Potassium, soil.AmmoniumAcetate, 130, cite.CornSoyKCritical, cite.Confirmed},
		{season.WheatGrain, season.Potassium, soil.Mehlich3, 148.2, cite.OhioANR75, cite.Derived},
		{season.WheatGrain, season.PH, "1:1 water", 5.5, cite.WheatPH, cite.Confirmed},
		{season.Canola, season.PH, "", 5.5, cite.CanolaPH, cite.Confirmed},
		{season.WheatGrain, season.Aluminium, "", 25, cite.WheatPH, cite.Confirmed},
		{season.WheatGrain, season.Zinc, soil.Mehlich3, 1.0, cite.RutgersCritical, cite.Confirmed},
		{season.WheatGrain, season.Chloride, "", 38 / 7.2, cite.ChlorideFixen, cite.Derived},
	} {
		got, why := soil.CriticalLevel(c.crop, c.analyte, c.method, core)
		if why != "" || math.Abs(got.Level-c.want) > 1e-9 || got.Source != c.source || got.Status != c.status {
			t.Errorf("%s, %s by %q: %v from %s, %s (%s); want %v from %s, %s", c.crop, c.analyte, c.method, got.Level, got.Source, got.Status, why, c.want, c.source, c.status)
		}
		if _, ok := cite.Find(got.Source); !ok || got.Note == "" {
			t.Errorf("%s: source %q is not in the catalogue, or the level has no note", c.analyte, got.Source)
		}
	}
	for _, c := range []struct {
		analyte season.Analyte
		method  string
		words   string
	}{
		{season.Zinc, "dtpa", "measured by dtpa, and the critical level holds for mehlich-3 only"},
		{season.PH, "CaCl2", "measured by cacl2, and the critical level holds for water only"},
		{season.Chloride, "", "no critical level is known for this crop"},
		{season.NitrateN, "", "ask the crop"},
	} {
		if got, why := soil.CriticalLevel(season.Canola, c.analyte, c.method, core); !strings.Contains(why, c.words) {
			t.Errorf("%s by %q under canola: %+v, %q; want no level because %q", c.analyte, c.method, got, why, c.words)
		}
	}
}

// TestAcidityUnderWheat: a low pH harms wheat by aluminium, so the two are read together.
func TestAcidityUnderWheat(t *testing.T) {
	good, poor := []float64{5.9, 6.0, 5.8, 6.1, 5.9}, []float64{4.9, 5.1, 4.8, 5.0, 5.2}
	n := compared(t, season.WheatGrain, season.PH, "", good, poor)
	if n.Part != soil.LikelyCause || !strings.Contains(strings.Join(n.Notes, " "), "Aluminium was not measured") {
		t.Errorf("pH alone: %q with notes %q", n.Part, n.Notes)
	}
	for ppm, want := range map[float64]soil.Part{60: soil.LikelyCause, 10: soil.PossibleCause} {
		spots, rows := spotsOf(season.PH, "", good, poor)
		for i, r := range rows {
			r.Results = append(r.Results, season.Result{Analyte: season.Aluminium, Value: ppm / 10 * float64(1+9*(i%2)) * (1 + 0.01*float64(i))})
		}
		all := soil.Compare(soil.Match(spots, rows).Pairs, season.WheatGrain)
		i := slices.IndexFunc(all, func(n soil.Nutrient) bool { return n.Analyte == season.PH })
		if all[i].Part != want {
			t.Errorf("aluminium near %v ppm in the poor spots: pH is %q, want %q", ppm, all[i].Part, want)
		}
	}
}

func TestWhatLimitsStandsFirst(t *testing.T) {
	spots, rows := spotsOf(season.PH, "", []float64{6.5, 6.6, 6.4, 6.5, 6.6}, []float64{6.4, 6.6, 6.5, 6.5, 6.4})
	for i, r := range rows {
		isPoor := i%2 == 1
		r.Results = append(r.Results,
			season.Result{Analyte: season.Zinc, Method: soil.Mehlich3, Value: map[bool]float64{true: 0.4, false: 1.6}[isPoor] + 0.01*float64(i)},
			season.Result{Analyte: season.Phosphorus, Method: soil.Mehlich3, Value: map[bool]float64{true: 8, false: 30}[isPoor] + 0.1*float64(i)},
			season.Result{Analyte: season.Potassium, Method: soil.Mehlich3, Value: 300 + float64(i)},
			season.Result{Analyte: season.BufferPH, Value: 6.8})
	}
	var got []season.Analyte
	for _, n := range soil.Compare(soil.Match(spots, rows).Pairs, season.Canola) {
		got = append(got, n.Analyte)
	}
	want := []season.Analyte{season.Phosphorus, season.Zinc, season.PH, season.Potassium}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("order (-want +got):\n%s", diff)
	}
}

func TestPairsThatCannotBeComparedAreLeftOut(t *testing.T) {
	spots, rows := spotsOf(season.Phosphorus, soil.Mehlich3, []float64{30, 31, 29, 30, 32, 30}, []float64{10, 11, 9, 10, 12, 10})
	rows[0].Results[0].Method = soil.Olsen // pair 1, good: another extractant
	rows[3].Bottom = 24 * unit.Inch        // pair 2, poor: another depth
	rows[4].Results = nil                  // pair 3, good: not measured
	rows[6].Results[0].Method = soil.Olsen // pair 4: both by another
	rows[7].Results[0].Method = soil.Olsen //
	rows[9].Results[0].Below = true        // pair 5, poor: under the limit
	rows[8].Results[0].Value = 33          //
	n := soil.Compare(soil.Match(spots, rows).Pairs, season.WheatGrain)[0]
	if n.Pairs != 2 || n.Method != soil.Mehlich3 || n.PoorMean != 11 || n.GoodMean != 31.5 {
		t.Errorf("%d pairs by %s, means %v and %v; want 2 by mehlich-3, 11 and 31.5", n.Pairs, n.Method, n.PoorMean, n.GoodMean)
	}
	said := strings.Join(n.Notes, "\n")
	for _, want := range []string{"Pair 1 is left out: phosphorus was measured by", "Pair 2 is left out: the poor spot was sampled 0 to 24 in", "Pair 3 is left out: phosphorus was measured in only one", "1 of 3 pairs left out", "In 1 of 2 pairs a value is below"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not noted in %q", want, said)
		}
	}
}

// TestExchangingGoodAndPoorTurnsTheSign: and leaves p and the width of the interval.
func TestExchangingGoodAndPoorTurnsTheSign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "pairs")
		values := rapid.SliceOfN(rapid.Float64Range(1, 100), n, n)
		good, poor := values.Draw(t, "good"), values.Draw(t, "poor")
		a := compared(t, season.WheatGrain, season.Phosphorus, soil.Mehlich3, good, poor)
		b := compared(t, season.WheatGrain, season.Phosphorus, soil.Mehlich3, poor, good)
		if math.Abs(a.Mean+b.Mean) > 1e-9 || math.Abs(a.P-b.P) > 1e-9 || math.Abs(a.Low+b.High) > 1e-9 {
			t.Errorf("%v (%v to %v), p %v against %v (%v to %v), p %v", a.Mean, a.Low, a.High, a.P, b.Mean, b.Low, b.High, b.P)
		}
		if a.HasTest && (a.P <= 0.05) != (a.Low > 0 || a.High < 0) && math.Abs(a.P-0.05) > 1e-9 {
			t.Errorf("p %v, but the 95 %% interval is %v to %v", a.P, a.Low, a.High)
		}
	})
}
