package folder

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

func passOf(lb float64) *season.Applied {
	return &season.Applied{
		Field: "north-80", Day: calendar.Date(2027, time.February, 12), Product: "uan-28", Rate: unit.Rate(lb) * unit.PoundPerAcre,
		Placement: "stream", By: "T. Amsel, boom", Note: "left out: the wet corner, \"3 ac\"",
	}
}

func TestAPassIsAddedAndCorrected(t *testing.T) {
	dir := copied(t)
	name := filepath.Join(dir, "applied.csv")
	const before = "field,date,product,n_lb_ac,note\nnorth-80,2026-10-01,urea,20,\"starter, with the drill\"\n\ncreek-40,2026-09-12,urea,15,\n"
	if err := os.WriteFile(name, []byte(before), 0o644); err != nil {
		t.Fatal(err)
	}
	today := calendar.Date(2027, time.February, 13)
	add := func(lb float64, corrected time.Time) Addition {
		t.Helper()
		outcome, problems, err := AddApplied(dir, passOf(lb), today, corrected)
		if err != nil || len(problems) > 0 {
			t.Fatal(err, problems)
		}
		return outcome
	}
	for _, step := range []struct {
		name      string
		lb        float64
		corrected time.Time
		want      Addition
		standing  float64
	}{
		{"a new pass", 48, time.Time{}, Added, 48},
		{"told twice", 48, time.Time{}, Same, 48},
		{"another rate without a word", 45, time.Time{}, Other, 48},
		{"another rate as a correction", 45, time.Date(2027, 2, 13, 9, 0, 0, 0, time.UTC), Corrected, 45},
	} {
		if got := add(step.lb, step.corrected); got != step.want {
			t.Errorf("%s: %s, want %s", step.name, got, step.want)
		}
		content, _ := Open(dir)
		stands := 0.0
		for _, a := range season.Assemble(content.Entries).Applied["north-80"] {
			if a.Day == passOf(0).Day {
				stands = float64(a.Rate / unit.PoundPerAcre)
			}
		}
		if d := stands - step.standing; d > 1e-9 || d < -1e-9 {
			t.Errorf("%s: %v lb/ac stand, want %v", step.name, stands, step.standing)
		}
	}
	after, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(before), "\n")[1:] {
		if !strings.Contains(string(after), line) {
			t.Errorf("the row %q is gone", line)
		}
	}
	leftovers, _ := filepath.Glob(filepath.Join(dir, ".new-*"))
	if len(leftovers) > 0 {
		t.Errorf("left behind: %v", leftovers)
	}
}

func TestAPassWhereNoneWas(t *testing.T) {
	dir := copied(t)
	if outcome, problems, err := AddApplied(dir, passOf(48), calendar.Date(2027, time.February, 13), time.Time{}); outcome != Added {
		t.Fatal(outcome, problems, err)
	}
	metric := "field,date,product,n_kg_ha\nnorth-80,2026-10-02,urea,20\n"
	if err := os.WriteFile(filepath.Join(dir, "applied.csv"), []byte(metric), 0o644); err != nil {
		t.Fatal(err)
	}
	if outcome, problems, err := AddApplied(dir, passOf(48), calendar.Date(2027, time.February, 13), time.Time{}); outcome != Added {
		t.Fatal(outcome, problems, err)
	}
	text, err := os.ReadFile(filepath.Join(dir, "applied.csv"))
	if err != nil || !strings.HasPrefix(string(text), "field,date,product,n_kg_ha,placement") || strings.Contains(string(text), "n_lb_ac") {
		t.Errorf("%v\n%s", err, text)
	}
}

func TestNothingIsWrittenWhereSomethingIsWrong(t *testing.T) {
	dir := copied(t)
	before, _ := os.ReadFile(filepath.Join(dir, "applied.csv"))
	stranger := passOf(48)
	stranger.Field = "south-40"
	if outcome, problems, err := AddApplied(dir, stranger, calendar.Date(2027, time.February, 13), time.Time{}); outcome != "" || len(problems) == 0 || err != nil {
		t.Errorf("%q, %v, %v", outcome, problems, err)
	}
	if _, _, err := AddApplied(filepath.Join(dir, "season.yaml"), passOf(48), calendar.Date(2027, time.February, 13), time.Time{}); err == nil {
		t.Error("a file was taken for a folder")
	}
	if after, _ := os.ReadFile(filepath.Join(dir, "applied.csv")); string(after) != string(before) {
		t.Error("the table was touched")
	}
}
