package demo_test

import (
	"path/filepath"
	"testing"

	"culm/agronomy/unit"
	"culm/demo"
	"culm/exchange/folder"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// TestSurvivesASeasonFolder writes a season as files, in both systems of units, and reads it back: to the
// last bit the same.
func TestSurvivesASeasonFolder(t *testing.T) {
	entries := append(demo.Season(40, 1), demo.AfterHarvest(1)...)
	for _, units := range []unit.System{unit.US, unit.Metric} {
		dir := filepath.Join(t.TempDir(), "season")
		if err := folder.Write(dir, entries, units); err != nil {
			t.Fatal(err)
		}
		back, problems := folder.Open(dir)
		for _, p := range problems {
			t.Errorf("%s: %+v", units, p)
		}
		byID := cmpopts.SortSlices(func(a, b season.Entry) bool { return a.ID < b.ID })
		places := cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".Where" }, cmp.Ignore())
		if diff := cmp.Diff(entries, back.Entries, days(), byID, places); diff != "" {
			t.Errorf("%s: entries differ:\n%s", units, diff)
		}
	}
}

// TestOnlyTheStrayIsDoubtful: the checks that a season folder goes through find one thing, the bag that is
// still out, which the cast means to show.
func TestOnlyTheStrayIsDoubtful(t *testing.T) {
	problems := season.Check(demo.Season(300, 1), demo.Today())
	if len(problems) != 1 || problems[0].Severity != season.Doubtful || problems[0].Field != "pair" {
		t.Errorf("problems: %+v; want the one spot without a partner", problems)
	}
}
