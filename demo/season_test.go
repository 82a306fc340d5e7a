package demo_test

import (
	"encoding/json"
	"math"
	"testing"

	"culm/agronomy/calendar"
	"culm/demo"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// days can be compared: a day is a number that only its own package sees.
func days() cmp.Option { return cmpopts.EquateComparable(calendar.Day{}) }

func TestSameSeedSameSeason(t *testing.T) {
	if diff := cmp.Diff(demo.Season(60, 7), demo.Season(60, 7), days()); diff != "" {
		t.Errorf("two seasons of one seed differ:\n%s", diff)
	}
	if diff := cmp.Diff(demo.AfterHarvest(7), demo.AfterHarvest(7), days()); diff != "" {
		t.Errorf("two harvests of one seed differ:\n%s", diff)
	}
	a, b := season.Assemble(demo.Season(demo.Cast, 1)), season.Assemble(demo.Season(demo.Cast, 2))
	if cmp.Equal(a.Weather, b.Weather, days()) {
		t.Error("two seeds have the same weather")
	}
	if diff := cmp.Diff(a.Fields, b.Fields, days(), ignoreEntries()); diff != "" {
		t.Errorf("the seed changes the cast:\n%s", diff)
	}
}

// ignoreEntries leaves out the ids of entries, which hold the seed.
func ignoreEntries() cmp.Option {
	return cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".Entry" }, cmp.Ignore())
}

func TestCounts(t *testing.T) {
	for asked, want := range map[int]int{-1: 26, 0: 26, 24: 26, 26: 26, 28: 28, 300: 300, 1000: 1000} {
		s := season.Assemble(demo.Season(asked, 3))
		if len(s.Fields) != want || len(s.Boundaries) != want {
			t.Errorf("asked for %d fields: %d fields and %d boundaries, want %d of each", asked, len(s.Fields), len(s.Boundaries), want)
		}
	}
}

func TestLargerSeasonHoldsTheSmaller(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		few := rapid.IntRange(0, 60).Draw(t, "few")
		more := rapid.IntRange(few, 120).Draw(t, "more")
		large := map[string]season.Entry{}
		for _, e := range demo.Season(more, seed) {
			large[e.ID] = e
		}
		for _, e := range demo.Season(few, seed) {
			if diff := cmp.Diff(e, large[e.ID], days()); diff != "" {
				t.Fatalf("entry %s of %d fields is another one among %d:\n%s", e.ID, few, more, diff)
			}
		}
	})
}

// TestNoClash asks that a thousand fields share no entry id, no subject and no laboratory sample.
func TestNoClash(t *testing.T) {
	entries := append(demo.Season(1000, 5), demo.AfterHarvest(5)...)
	ids := map[string]bool{}
	for _, e := range entries {
		if ids[e.ID] {
			t.Errorf("two entries have the id %s", e.ID)
		}
		ids[e.ID] = true
		if err := e.Check(); err != nil {
			t.Error(err)
		}
		if e.Supersedes != "" && !ids[e.Supersedes] {
			t.Errorf("entry %s corrects %s, which is not before it", e.ID, e.Supersedes)
		}
	}
	// One entry does not stand: the visit that was corrected. The price of the fall stands for the fall.
	if standing := len(season.Standing(entries)); standing != len(entries)-1 {
		t.Errorf("%d of %d entries stand; want all but one", standing, len(entries))
	}
	layers := map[string]string{}
	for _, e := range entries {
		if soil, ok := e.Body.(*season.Soil); ok {
			if other, taken := layers[soil.Sample]; taken && other != soil.Field {
				t.Errorf("sample %s is of %s and of %s", soil.Sample, other, soil.Field)
			}
			layers[soil.Sample] = soil.Field
		}
	}
}

func TestEntriesComeInOrderOfRecording(t *testing.T) {
	for _, entries := range [][]season.Entry{demo.Season(100, 4), demo.AfterHarvest(4)} {
		for i := 1; i < len(entries); i++ {
			if entries[i].Recorded.Before(entries[i-1].Recorded) {
				t.Errorf("entry %d was recorded before entry %d", i, i-1)
			}
		}
	}
}

// TestNobodyKnowsTheFuture asks that nothing in the season was seen or written after the day it is looked at.
func TestNobodyKnowsTheFuture(t *testing.T) {
	morning := demo.Today().Time().Add(14 * 60 * 60 * 1e9)
	for _, e := range demo.Season(300, 2) {
		if e.Observed.After(demo.Today()) || e.Recorded.After(morning) {
			t.Errorf("entry %s (%s) observed %s, recorded %s", e.ID, e.Body.Kind(), e.Observed, e.Recorded)
		}
		if e.Observed.Time().After(e.Recorded) {
			t.Errorf("entry %s (%s) was recorded at %s, before it was observed on %s", e.ID, e.Body.Kind(), e.Recorded, e.Observed)
		}
	}
	for _, e := range demo.AfterHarvest(2) {
		if !e.Observed.After(demo.Today()) {
			t.Errorf("entry %s (%s) after the harvest is of %s", e.ID, e.Body.Kind(), e.Observed)
		}
	}
}

func TestEveryReferenceResolves(t *testing.T) {
	s := season.Assemble(append(demo.Season(300, 8), demo.AfterHarvest(8)...))
	producers, fields := map[string]bool{}, map[string]bool{}
	for _, p := range s.Producers {
		producers[p.ID] = true
	}
	for _, f := range s.Fields {
		fields[f.ID] = true
		if !producers[f.Producer] {
			t.Errorf("field %s has the producer %q, who is not there", f.ID, f.Producer)
		}
		if s.Stations[f.Station] == nil || len(s.Weather[f.Station]) == 0 || s.LatestForecast(f.Station) == nil {
			t.Errorf("field %s has the station %q without place, weather or forecast", f.ID, f.Station)
		}
	}
	known := func(what, field string) {
		if !fields[field] {
			t.Errorf("%s of field %q, which is not there", what, field)
		}
	}
	for field := range s.Boundaries {
		known("a boundary", field)
	}
	for field := range s.Readings {
		known("readings", field)
	}
	for field := range s.Visits {
		known("a visit", field)
	}
	for field := range s.Soils {
		known("a soil test", field)
	}
	for field := range s.Applied {
		known("nitrogen spread", field)
	}
	for field := range s.Harvests {
		known("a harvest", field)
	}
	for field := range s.Spots {
		known("a spot", field)
	}
}

// TestEntriesSurviveJSON writes each entry as the notebook does and reads it back.
func TestEntriesSurviveJSON(t *testing.T) {
	entries := append(demo.Season(60, 6), demo.AfterHarvest(6)...)
	text, err := json.Marshal(entries)
	if err != nil {
		t.Fatal(err)
	}
	var back []season.Entry
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(entries, back, days()); diff != "" {
		t.Errorf("entries differ after JSON:\n%s", diff)
	}
}

// TestValuesAreOrdinary bounds every number by what an agronomist would let pass. The bounds are from
// memory of the trade, no source.
func TestValuesAreOrdinary(t *testing.T) {
	within := func(what string, x, low, high float64) {
		t.Helper()
		if !(x >= low && x <= high) || math.IsNaN(x) {
			t.Errorf("%s is %g; expected %g to %g", what, x, low, high)
		}
	}
	s := season.Assemble(append(demo.Season(1000, 9), demo.AfterHarvest(9)...))
	for _, f := range s.Fields {
		if f.YieldGoal.Known() {
			within(f.ID+" yield goal, t/ha", float64(f.YieldGoal.Value)/1000, 1.2, 5)
		}
		if f.Heads.Known() {
			load := float64(f.Heads.Value) * float64(f.HeadMass.Value) / hectares(s, f.ID)
			within(f.ID+" live weight, kg/ha", load, 250, 650)
			within(f.ID+" days of grazing", float64(f.GrazingDays.Value), 60, 200)
		}
		if f.Crop.IsGrazed() != f.Heads.Known() {
			t.Errorf("%s: %s, herd known %v", f.ID, f.Crop, f.Heads.Known())
		}
	}
	for field, list := range s.Soils {
		for _, soil := range list {
			for _, r := range soil.Results {
				low, high := ordinary(r.Analyte)
				within(field+" "+string(r.Analyte), r.Value, low, high)
			}
		}
	}
	for field, list := range s.Applied {
		for _, a := range list {
			within(field+" nitrogen spread, kg/ha", float64(a.Rate), 8, 100)
		}
	}
	for field, list := range s.Harvests {
		for _, h := range list {
			within(field+" harvest, t/ha", float64(h.Yield)/1000, 1.2, 5)
			if h.Protein.Known() {
				within(field+" protein", float64(h.Protein.Value), 0.095, 0.155)
			}
		}
	}
	for field, list := range s.Readings {
		for _, r := range list {
			low, high := 0.1, 0.96
			if r.Means == season.Eye {
				low, high = 2, 10
			}
			for _, reading := range r.Readings {
				within(field+" reading", reading.Value, low, high)
			}
		}
	}
	for field, list := range s.Visits {
		for _, v := range list {
			for name, f := range map[string]float64{"residue": float64(v.Residue.Value), "green": float64(v.Green.Value), "stand": float64(v.Stand.Value)} {
				within(field+" "+name, f, 0, 1)
			}
			within(field+" fresh mass, kg/ha", float64(v.FreshMass.Value), 0, 20000)
			within(field+" hollow stem, m", float64(v.HollowStem.Value), 0, 0.1)
		}
	}
}

func ordinary(a season.Analyte) (low, high float64) {
	switch a {
	case season.PH:
		return 4.5, 8.5
	case season.BufferPH:
		return 5.8, 7.1
	case season.OrganicMatter:
		return 0.004, 0.04
	case season.NitrateN, season.SulfateS, season.Chloride:
		return 0.5, 40
	case season.Phosphorus:
		return 4, 130
	case season.Potassium:
		return 75, 620
	case season.Zinc:
		return 0.1, 4
	case season.Aluminium:
		return 1, 120
	default:
		return math.NaN(), math.NaN()
	}
}
