package soil_test

import (
	"math"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func pounds(p soil.Profile) float64 { return float64(p.Held.Value / unit.PoundPerAcre) }

func TestProfiles(t *testing.T) {
	now, week, autumn := calendar.Date(2027, 1, 27), calendar.Date(2027, 1, 20), calendar.Date(2026, 9, 1)
	n := func(sample string, top, bottom float64, day calendar.Day, ppm float64) *season.Soil {
		return layer(sample, top, bottom, day, season.NitrateN, ppm, "")
	}
	below := n("1", 6, 24, now, 2)
	below.Results[0].Below = true
	for _, c := range []struct {
		name    string
		samples []*season.Soil
		want    float64 // lb/ac
		depth   float64 // in
		full    bool
		warning string
	}{
		// 10 ppm over 24 in is 72 lb/ac: 0.3 million lb to the acre-inch.
		{"one core of 24 in", []*season.Soil{n("1", 0, 24, now, 10)}, 72, 24, true, ""},
		{"two layers", []*season.Soil{n("1", 6, 24, now, 4), n("1", 0, 6, now, 8)}, 14.4 + 21.6, 24, true, ""},
		{"the subsoil bag has a number of its own", []*season.Soil{n("1", 0, 6, now, 8), n("2", 6, 24, now, 4)}, 36, 24, true, ""},
		{"two composites are averaged by layer", []*season.Soil{n("1", 0, 6, now, 8), n("2", 0, 6, now, 12), n("1", 6, 24, now, 4), n("2", 6, 24, now, 2)}, 18 + 16.2, 24, true, ""},
		{"only the top", []*season.Soil{n("1", 0, 6, now, 8)}, 14.4, 6, false, "is not known and not counted"},
		{"three feet count to 24 in", []*season.Soil{n("1", 0, 12, now, 5), n("1", 12, 36, now, 5)}, 36, 24, true, "as if it were alike throughout"},
		{"a gap ends the profile", []*season.Soil{n("1", 0, 6, now, 8), n("1", 12, 24, now, 4)}, 14.4, 6, false, "Sample 1, 12 to 24 in"},
		{"an older sampling is not mixed in", []*season.Soil{n("1", 0, 6, now, 8), n("0", 6, 24, autumn, 40)}, 14.4, 6, false, "not known"},
		{"a week apart is one sampling", []*season.Soil{n("1", 0, 6, now, 8), n("1", 6, 24, week, 4)}, 36, 24, true, ""},
		{"60 cm is called 24 in", []*season.Soil{n("1", 0, 60/2.54, now, 10)}, 72 * 60 / 2.54 / 24, 60 / 2.54, true, ""},
		{"a whole core beside a surface sample: the deeper way counts", []*season.Soil{n("1", 0, 24, now, 10), n("2", 0, 6, now, 50)}, 72, 24, true, "Sample 2, 0 to 6 in"},
		{"under the limit of detection", []*season.Soil{n("1", 0, 6, now, 8), below}, 14.4 + 10.8, 24, true, "at most that much"},
	} {
		p, err := soil.ProfileOf(season.NitrateN, c.samples, soil.ProfileDepth, soil.ThreeTenths)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if math.Abs(pounds(p)-c.want) > 1e-9 || math.Abs(float64(p.Depth/unit.Inch)-c.depth) > 1e-9 || p.Full != c.full {
			t.Errorf("%s: %.2f lb/ac to %.1f in, whole %v; want %.2f to %.1f, %v", c.name, pounds(p), float64(p.Depth/unit.Inch), p.Full, c.want, c.depth, c.full)
		}
		if said := strings.Join(p.Warnings, "\n"); c.warning == "" && said != "" || !strings.Contains(said, c.warning) {
			t.Errorf("%s: warnings %q, want %q", c.name, said, c.warning)
		}
		if p.Day != now || p.Held.Origin.Kind != working.Observed || p.Held.Origin.By != "laboratory" {
			t.Errorf("%s: sampled %s, origin %+v", c.name, p.Day, p.Held.Origin)
		}
	}
}

// TestTwoConventions: 5 ppm over 24 in is 36 lb/ac at 0.3 and 40 at one third ("times two for 6 in").
func TestTwoConventions(t *testing.T) {
	core := []*season.Soil{layer("1", 0, 24, calendar.Date(2027, 1, 27), season.NitrateN, 5, "")}
	for convention, want := range map[unit.PoundsPerMillion]float64{soil.ThreeTenths: 36, soil.OneThird: 40} {
		if p, err := soil.ProfileOf(season.NitrateN, core, soil.ProfileDepth, convention); err != nil || math.Abs(pounds(p)-want) > 1e-9 {
			t.Errorf("at %v: %v lb/ac (%v), want %v", convention, pounds(p), err, want)
		}
	}
}

// TestMissingIsNotZero: without a usable sample nothing is known, and that is no error.
func TestMissingIsNotZero(t *testing.T) {
	day := calendar.Date(2027, 1, 27)
	for name, samples := range map[string][]*season.Soil{
		"no samples":               nil,
		"nitrate was not measured": {layer("1", 0, 6, day, season.PH, 6, "")},
		"only the subsoil":         {layer("1", 6, 24, day, season.NitrateN, 5, "")},
	} {
		p, err := soil.ProfileOf(season.NitrateN, samples, soil.ProfileDepth, soil.ThreeTenths)
		if err != nil || p.Held.Known() {
			t.Errorf("%s: held %v, error %v; want unknown and none", name, p.Held, err)
		}
	}
}

func TestProfileRefusals(t *testing.T) {
	day := calendar.Date(2027, 1, 27)
	for name, s := range map[string]*season.Soil{
		"reaches from 0.152 to 0.152 m": layer("7", 6, 6, day, season.NitrateN, 5, ""),
		"reaches from -0.0508 to":       layer("7", -2, 6, day, season.NitrateN, 5, ""),
		"-3 of nitrate":                 layer("7", 0, 6, day, season.NitrateN, -3, ""),
		"NaN of nitrate":                layer("7", 0, 6, day, season.NitrateN, math.NaN(), ""),
	} {
		_, err := soil.ProfileOf(season.NitrateN, []*season.Soil{s}, soil.ProfileDepth, soil.ThreeTenths)
		if err == nil || !strings.Contains(err.Error(), name) || !strings.Contains(err.Error(), "sample 7 of field home") {
			t.Errorf("error %v, want one naming the sample and %q", err, name)
		}
	}
	if _, err := soil.ProfileOf(season.PH, nil, soil.ProfileDepth, soil.ThreeTenths); err == nil {
		t.Error("a profile of pH was added up")
	}
}

// TestProfileAdds: cutting a core into layers of the same content leaves what it holds, and the order in
// which rows come in leaves everything.
func TestProfileAdds(t *testing.T) {
	day := calendar.Date(2027, 1, 27)
	rapid.Check(t, func(t *rapid.T) {
		ppm := rapid.Float64Range(0, 50).Draw(t, "ppm")
		cut := rapid.Float64Range(3, 21).Draw(t, "cut")
		whole := []*season.Soil{layer("1", 0, 24, day, season.NitrateN, ppm, "")}
		halves := []*season.Soil{layer("1", 0, cut, day, season.NitrateN, ppm, ""), layer("1", cut, 24, day, season.NitrateN, ppm, "")}
		a, _ := soil.ProfileOf(season.NitrateN, whole, soil.ProfileDepth, soil.ThreeTenths)
		b, _ := soil.ProfileOf(season.NitrateN, halves, soil.ProfileDepth, soil.ThreeTenths)
		if math.Abs(pounds(a)-pounds(b)) > 1e-9 {
			t.Errorf("whole %v, cut at %v in %v", pounds(a), cut, pounds(b))
		}
		turned, _ := soil.ProfileOf(season.NitrateN, rapid.Permutation(halves).Draw(t, "order"), soil.ProfileDepth, soil.ThreeTenths)
		if diff := cmp.Diff(b, turned); diff != "" {
			t.Error(diff)
		}
	})
}

// 6 to 24 in: the layer above does not count, and one that crosses 6 in is not divided.
func TestProfileBelowTheSurface(t *testing.T) {
	at := func(sample string, top, bottom, ppm float64) *season.Soil {
		return &season.Soil{
			Sample: sample, Field: "f", Day: calendar.Date(2026, 9, 1), Top: unit.Length(top) * unit.Inch, Bottom: unit.Length(bottom) * unit.Inch,
			Results: []season.Result{{Analyte: season.NitrateN, Value: ppm}},
		}
	}
	p, err := soil.ProfileBetween(season.NitrateN, []*season.Soil{at("a", 0, 6, 10), at("b", 6, 24, 4)}, 6*unit.Inch, 24*unit.Inch, soil.ThreeTenths)
	// 4 ppm over 18 in at 0.3 million lb an acre-inch.
	if err != nil || math.Abs(float64(p.Held.Value/unit.PoundPerAcre)-21.6) > 1e-9 || p.Mean() != 4 || !p.Full || len(p.Warnings) > 0 {
		t.Errorf("%+v, %v; want 21.6 lb/ac", p, err)
	}
	p, err = soil.ProfileBetween(season.NitrateN, []*season.Soil{at("a", 0, 24, 10)}, 6*unit.Inch, 24*unit.Inch, soil.ThreeTenths)
	if err != nil || p.Held.Known() || len(p.Warnings) == 0 {
		t.Errorf("%+v, %v; want nothing counted and a word about it", p, err)
	}
}
