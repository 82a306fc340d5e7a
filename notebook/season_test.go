package notebook_test

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/demo"
	"culm/notebook"
	"culm/notebook/storetest"
	"culm/season"
)

// A whole invented season goes in through several doors and comes out the same.
func TestAWholeSeason(t *testing.T) {
	entries := demo.Season(demo.Cast, 1)
	want := season.Assemble(entries)
	ctx := t.Context()

	t.Run("phones send in any order and some of it twice", func(t *testing.T) {
		n, _ := openNew(t)
		sent := append(slices.Clone(entries), entries[:len(entries)/3]...)
		random := rand.New(rand.NewPCG(1, 2))
		random.Shuffle(len(sent), func(i, j int) { sent[i], sent[j] = sent[j], sent[i] })
		for chunk := range slices.Chunk(sent, 17) {
			if _, err := n.Append(ctx, chunk...); err != nil {
				t.Fatal(err)
			}
		}
		got, revision, err := n.Season(ctx)
		if err != nil || int(revision) != len(entries) {
			t.Fatalf("revision %d, %v; want %d", revision, err, len(entries))
		}
		if diff := storetest.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	})

	t.Run("an import is done once", func(t *testing.T) {
		n, _ := openNew(t)
		for i := range 2 {
			plan, err := n.Import(ctx, entries)
			if err != nil {
				t.Fatal(err)
			}
			if i == 1 && len(plan.Append) > 0 {
				t.Errorf("the second import wrote %d entries", len(plan.Append))
			}
		}
		got, _, err := n.Season(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if diff := storetest.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	})

	t.Run("every entry passes through JSON", func(t *testing.T) {
		for _, e := range entries {
			written, err := json.Marshal(e)
			if err != nil {
				t.Fatal(err)
			}
			var got season.Entry
			if err := json.Unmarshal(written, &got); err != nil {
				t.Fatalf("%v\n%s", err, written)
			}
			if diff := storetest.Diff(e, got); diff != "" {
				t.Error(diff)
			}
		}
	})
}

// A notebook begun when a sample took the place of every earlier one under its id: the sample is known again,
// and one of another day stands beside it.
func TestSamplesOfTheFirstShapeAreKnownAgain(t *testing.T) {
	n, path := openNew(t)
	sample := func(id, day string) season.Entry {
		at, err := calendar.Parse(day)
		if err != nil {
			t.Fatal(err)
		}
		return season.Entry{
			ID: id, Recorded: at.Time(), Writer: "office", Where: season.Where{File: "soil.csv"},
			Body: &season.Soil{Sample: "1", Field: "f", Day: at, Bottom: 0.15, Results: []season.Result{{Analyte: season.PH, Value: 6.1}}},
		}
	}
	september := sample("first", "2026-09-10")
	body, err := season.WriteBody(september.Body)
	if err != nil {
		t.Fatal(err)
	}
	run(t, otherProgram(t, path), "INSERT INTO entries (id, kind, version, subject, field, recorded, writer, file, withdrawn, body) VALUES (?, 'soil', 1, 'f/1/0', 'f', '2026-09-10T00:00:00.000000000Z', 'office', 'soil.csv', 0, ?)",
		september.ID, string(body.JSON))
	plan, err := n.Import(t.Context(), []season.Entry{sample("again", "2026-09-10"), sample("later", "2027-02-10")})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := plan.Counts[season.KindSoil], (notebook.ImportCount{New: 1, Same: 1}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	s, _, err := n.Season(t.Context())
	if err != nil || len(s.Soils["f"]) != 2 {
		t.Errorf("%d samples stand, %v; want September's and February's", len(s.Soils["f"]), err)
	}
}

// A plan that is taken out of the notebook years later computes again to the last digit.
func TestAFrozenPlanReplays(t *testing.T) {
	n, path := openNew(t)
	kept, err := n.Freeze(t.Context(), demoPlan(t))
	if err != nil {
		t.Fatal(err)
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := reopen(t, path).Frozen(t.Context(), kept.ID)
	if err != nil {
		t.Fatal(err)
	}
	advisor, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	replay, err := advisor.Replay(f.Frozen)
	if err != nil || !replay.Identical || replay.Compared == 0 {
		t.Errorf("replay %+v, %v; want it identical", replay, err)
	}
}

// demoPlan is the frozen plan of a field of the demonstration.
func demoPlan(t testing.TB) notebook.Frozen {
	t.Helper()
	advisor, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	fs, ok := season.Assemble(demo.Season(demo.Cast, 1)).Of("mill-quarter", demo.Today())
	if !ok {
		t.Fatal("the demonstration has no field mill-quarter")
	}
	f, err := advisor.Freeze(fs, "test", time.Date(2027, 2, 10, 9, 0, 0, 123, time.UTC), "office")
	if err != nil {
		t.Fatal(err)
	}
	return notebook.Frozen{Field: fs.Field.ID, Frozen: f}
}
