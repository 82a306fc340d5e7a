// Package storetest is the contract of a notebook's storage: what must hold whatever database is
// underneath. A storage runs it in its own tests.
package storetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/notebook"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Store is what a storage offers. See notebook.Notebook for what each method promises.
type Store interface {
	Append(ctx context.Context, entries ...season.Entry) (notebook.Receipt, error)
	Entries(ctx context.Context, f notebook.Filter) ([]season.Entry, error)
	Season(ctx context.Context) (*season.Season, notebook.Revision, error)
	Revision(ctx context.Context) (notebook.Revision, error)
	PlanImport(ctx context.Context, entries []season.Entry) (notebook.ImportPlan, error)
	Import(ctx context.Context, entries []season.Entry) (notebook.ImportPlan, error)
	Freeze(ctx context.Context, f notebook.Frozen) (notebook.PlanLabel, error)
	Frozen(ctx context.Context, id string) (notebook.Frozen, error)
	Plans(ctx context.Context, field string) ([]notebook.PlanLabel, error)
	Close() error
}

// Run tests a storage. The function opens a new and empty one, closed by the test or at its end; opening
// is also asked of a rapid.T.
func Run(t *testing.T, open func(tb rapid.TB) Store) {
	for _, chapter := range []struct {
		name string
		test func(*testing.T, Store)
	}{
		{"what is written reads back", readsBack},
		{"sending twice changes nothing", sendingTwice},
		{"an id is not used for two things", conflict},
		{"a call is all or nothing", allOrNothing},
		{"entries come in the order of recording", order},
		{"filters", filters},
		{"a correction may come before its original", lateOriginal},
		{"a call that is no longer wanted writes nothing", cancelled},
		{"a closed notebook says so", closed},
		{"many writers at once", manyWriters},
		{"import", imports},
		{"import of a file that was corrected elsewhere", importCorrected},
		{"import under ids that are taken", importTakenIDs},
		{"import over what two phones wrote apart", importOverRivals},
		{"import of a row that moved to another field", importMoved},
		{"import is all or nothing", importRefuses},
		{"frozen plans", frozen},
		{"frozen plans that cannot be", frozenRefused},
	} {
		t.Run(chapter.name, func(t *testing.T) {
			s := open(t)
			chapter.test(t, s)
		})
	}
	t.Run("any order of sending gives the same season", func(t *testing.T) { anyOrder(t, open) })
}

// At is the morning of a day of February 2027.
func At(day int) time.Time { return time.Date(2027, 2, day, 8, 0, 0, 0, time.UTC) }

// Producer is an entry that names a producer.
func Producer(id, subject, name string, day int) season.Entry {
	return season.Entry{ID: id, Writer: "office", Recorded: At(day), Body: &season.Producer{ID: subject, Name: name}}
}

// Harvest is an entry about a field.
func Harvest(id, field string, bushels float64, day int) season.Entry {
	return season.Entry{
		ID: id, Writer: "phone", Recorded: At(day), Observed: calendar.FromTime(At(day)),
		Body: &season.Harvest{
			Field: field, Part: "field", Day: calendar.FromTime(At(day)),
			Yield: unit.Yield(bushels) * unit.WheatBushelPerAcre,
		},
	}
}

// Diff compares values that hold days.
func Diff(want, got any) string { return cmp.Diff(want, got, cmp.AllowUnexported(calendar.Day{})) }

func must[T any](value T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return value
	}
}

func ids(entries []season.Entry) string {
	var all []string
	for _, e := range entries {
		all = append(all, e.ID)
	}
	return strings.Join(all, " ")
}

func readsBack(t *testing.T, s Store) {
	ctx := t.Context()
	var later season.Entry
	err := json.Unmarshal([]byte(`{"format":"culm.entry/1","id":"later","recorded":"2027-02-10T09:00:00Z","writer":"w",`+
		`"kind":"drone","version":7,"subject":"f/1","body":{"field":"f","z":1.00,"a":null}}`), &later)
	if err != nil {
		t.Fatal(err)
	}
	full := Harvest("full", "f", 52, 3)
	full.Recorded = time.Date(2027, 2, 3, 8, 0, 0, 1, time.UTC) // to the nanosecond
	full.Supersedes, full.Where = "earlier", season.Where{File: "harvest.csv", Line: 12}
	withdrawal := season.Entry{ID: "gone", Supersedes: "full", Withdrawn: true, Writer: "øffice 'n' \"son\"; --", Recorded: At(20)}
	want := []season.Entry{full, later, withdrawal}
	receipt := must(s.Append(ctx, want...))(t)
	if receipt != (notebook.Receipt{Added: 3}) {
		t.Errorf("receipt %+v, want 3 added", receipt)
	}
	got := must(s.Entries(ctx, notebook.Filter{}))(t)
	if diff := Diff(want, got); diff != "" {
		t.Errorf("reads back differently:\n%s", diff)
	}
	standing, revision, err := s.Season(ctx)
	if err != nil || revision != 3 {
		t.Errorf("revision %d, %v; want 3", revision, err)
	}
	if len(standing.Harvests) != 0 {
		t.Errorf("harvests %v stand; they were withdrawn", standing.Harvests)
	}
}

func sendingTwice(t *testing.T, s Store) {
	ctx := t.Context()
	e := Harvest("h1", "f", 52, 3)
	must(s.Append(ctx, e))(t)
	before := must(s.Revision(ctx))(t)
	if r := must(s.Append(ctx, e, e))(t); r != (notebook.Receipt{Known: 2}) {
		t.Errorf("receipt %+v, want 2 known", r)
	}
	e.Where = season.Where{File: "harvest.csv", Line: 9} // read from a file the second time
	if r := must(s.Append(ctx, e))(t); r != (notebook.Receipt{Known: 1}) {
		t.Errorf("receipt %+v, want 1 known: the place in a file is not content", r)
	}
	if after := must(s.Revision(ctx))(t); after != before {
		t.Errorf("revision went from %d to %d", before, after)
	}
	twin := Producer("p1", "ash", "Ash Farm", 1)
	if r := must(s.Append(ctx, twin, twin))(t); r != (notebook.Receipt{Added: 1, Known: 1}) {
		t.Errorf("receipt %+v, want one added and one known", r)
	}
}

func conflict(t *testing.T, s Store) {
	ctx := t.Context()
	first := Harvest("h1", "f", 52, 3)
	must(s.Append(ctx, first))(t)
	for name, change := range map[string]func(*season.Entry){
		"another yield":      func(e *season.Entry) { e.Body = Harvest("h1", "f", 53, 3).Body },
		"another kind":       func(e *season.Entry) { e.Body = &season.Producer{ID: "f"} },
		"another writer":     func(e *season.Entry) { e.Writer = "office" },
		"another moment":     func(e *season.Entry) { e.Recorded = e.Recorded.Add(time.Nanosecond) },
		"another day":        func(e *season.Entry) { e.Observed = e.Observed.Add(1) },
		"corrects something": func(e *season.Entry) { e.Supersedes = "h0" },
	} {
		other := first
		change(&other)
		_, err := s.Append(ctx, Harvest("h2", "f", 50, 4), other, Harvest("h3", "f", 50, 4))
		var taken *notebook.ConflictError
		if !errors.As(err, &taken) || taken.ID != "h1" || !errors.Is(err, notebook.ErrConflict) {
			t.Errorf("%s: error is %v, want a conflict about h1", name, err)
		}
	}
	if got := ids(must(s.Entries(ctx, notebook.Filter{}))(t)); got != "h1" {
		t.Errorf("entries %q, want h1 alone: nothing of a refused call is written", got)
	}
}

func allOrNothing(t *testing.T, s Store) {
	ctx := t.Context()
	nameless := Producer("bad", "", "", 1)
	if _, err := s.Append(ctx, Producer("good", "ash", "Ash Farm", 1), nameless); err == nil {
		t.Error("an entry that does not say what it speaks of was written")
	}
	if at := must(s.Revision(ctx))(t); at != 0 {
		t.Errorf("revision %d, want 0", at)
	}
	if r, err := s.Append(ctx); r != (notebook.Receipt{}) || err != nil {
		t.Errorf("appending nothing: %+v, %v", r, err)
	}
}

func order(t *testing.T, s Store) {
	ctx := t.Context()
	must(s.Append(ctx, Harvest("c", "f", 1, 9), Harvest("b", "f", 1, 5)))(t)
	must(s.Append(ctx, Harvest("a", "f", 1, 5)))(t)
	must(s.Append(ctx, Harvest("z", "f", 1, 1)))(t)
	if got := ids(must(s.Entries(ctx, notebook.Filter{}))(t)); got != "z a b c" {
		t.Errorf("order is %q, want z a b c", got)
	}
}

func filters(t *testing.T, s Store) {
	ctx := t.Context()
	must(s.Append(ctx, Producer("p", "ash", "Ash Farm", 1), Harvest("h1", "f", 50, 2)))(t)
	middle := must(s.Revision(ctx))(t)
	must(s.Append(ctx, Harvest("h2", "g", 50, 3), Harvest("h0", "f", 50, 1)))(t)
	for _, row := range []struct {
		name string
		f    notebook.Filter
		want string
	}{
		{"all", notebook.Filter{}, "h0 p h1 h2"},
		{"one kind", notebook.Filter{Kinds: []season.Kind{season.KindProducer}}, "p"},
		{"two kinds", notebook.Filter{Kinds: []season.Kind{season.KindProducer, season.KindHarvest}}, "h0 p h1 h2"},
		{"a kind nobody wrote", notebook.Filter{Kinds: []season.Kind{season.KindRamp}}, ""},
		{"one field", notebook.Filter{Field: "f"}, "h0 h1"},
		{"one subject", notebook.Filter{Subject: "g/field"}, "h2"},
		{"one writer", notebook.Filter{Writer: "office"}, "p"},
		{"since a revision", notebook.Filter{After: middle}, "h0 h2"},
		{"one field since a revision", notebook.Filter{Field: "f", After: middle}, "h0"},
	} {
		if got := ids(must(s.Entries(ctx, row.f))(t)); got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

func lateOriginal(t *testing.T, s Store) {
	ctx := t.Context()
	original, correction := Harvest("h1", "f", 25, 9), Harvest("h2", "f", 52, 3)
	correction.Supersedes = original.ID
	must(s.Append(ctx, correction))(t)
	must(s.Append(ctx, original))(t)
	standing, _, err := s.Season(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if h := standing.Harvests["f"]; len(h) != 1 || h[0].Yield != 52*unit.WheatBushelPerAcre {
		t.Errorf("harvests %v, want the correction alone", h)
	}
}

func cancelled(t *testing.T, s Store) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Append(ctx, Producer("p", "ash", "Ash Farm", 1)); !errors.Is(err, context.Canceled) {
		t.Errorf("error is %v, want context.Canceled", err)
	}
	if at := must(s.Revision(t.Context()))(t); at != 0 {
		t.Errorf("revision %d, want 0", at)
	}
}

func closed(t *testing.T, s Store) {
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Append(t.Context(), Producer("p", "ash", "Ash Farm", 1)); !errors.Is(err, notebook.ErrClosed) {
		t.Errorf("error is %v, want ErrClosed", err)
	}
}

// manyWriters has writers that send entries of their own, entries that others send too, and entries that
// cannot be written, all at once.
func manyWriters(t *testing.T, s Store) {
	const writers, each = 16, 12
	ctx := t.Context()
	var added, known, refused atomic.Int64
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for i := range each {
				own := Harvest(fmt.Sprintf("own-%d-%d", w, i), "f", 50, 1)
				shared := Harvest(fmt.Sprintf("shared-%d", i), "g", 50, 1)
				r, err := s.Append(ctx, own, shared)
				if err != nil {
					t.Error(err)
				}
				added.Add(int64(r.Added))
				known.Add(int64(r.Known))
				wrong := Harvest(fmt.Sprintf("shared-%d", i), "g", 51, 1) // another yield under the same id
				if _, err := s.Append(ctx, Harvest("never-"+own.ID, "f", 1, 1), wrong); errors.Is(err, notebook.ErrConflict) {
					refused.Add(1)
				}
			}
		})
	}
	all.Wait()
	if a, k, r := added.Load(), known.Load(), refused.Load(); a != writers*each+each || k != writers*each-each || r != writers*each {
		t.Errorf("added %d, known %d, refused %d; want %d, %d, %d", a, k, r, writers*each+each, writers*each-each, writers*each)
	}
	if n := len(must(s.Entries(ctx, notebook.Filter{}))(t)); n != writers*each+each {
		t.Errorf("%d entries, want %d", n, writers*each+each)
	}
}

// anyOrder sends random entries in random calls, some of them twice, and compares with season.Assemble.
func anyOrder(t *testing.T, open func(tb rapid.TB) Store) {
	rapid.Check(t, func(t *rapid.T) {
		var written []season.Entry
		for i := range rapid.IntRange(1, 12).Draw(t, "entries") {
			e := Harvest(fmt.Sprint("e", i), rapid.SampledFrom([]string{"f", "g"}).Draw(t, "field"), float64(40+i), rapid.IntRange(1, 5).Draw(t, "day"))
			if i > 0 && rapid.Bool().Draw(t, "corrects") {
				e.Supersedes = fmt.Sprint("e", rapid.IntRange(0, i-1).Draw(t, "corrected"))
				e.Withdrawn = rapid.Bool().Draw(t, "withdraws")
			}
			written = append(written, e)
		}
		s := open(t)
		ctx := context.Background()
		sent := append(rapid.Permutation(written).Draw(t, "order"), rapid.SliceOfN(rapid.SampledFrom(written), 0, 4).Draw(t, "again")...)
		for len(sent) > 0 {
			n := rapid.IntRange(1, len(sent)).Draw(t, "in one call")
			if _, err := s.Append(ctx, sent[:n]...); err != nil {
				t.Fatal(err)
			}
			sent = sent[n:]
		}
		got, revision, err := s.Season(ctx)
		if err != nil || int(revision) != len(written) {
			t.Fatalf("revision %d, %v; want %d", revision, err, len(written))
		}
		if diff := Diff(season.Assemble(written), got); diff != "" {
			t.Fatal(diff)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	})
}

// fromFile places entries in a file, one a line.
func fromFile(file string, entries ...season.Entry) []season.Entry {
	for i := range entries {
		entries[i].Where = season.Where{File: file, Line: i + 2}
	}
	return entries
}

func imports(t *testing.T, s Store) {
	ctx := t.Context()
	check := func(name string, entries []season.Entry, want notebook.ImportCount, wantRevision notebook.Revision) {
		t.Helper()
		before := must(s.Revision(ctx))(t)
		planned := must(s.PlanImport(ctx, entries))(t)
		if at := must(s.Revision(ctx))(t); at != before {
			t.Errorf("%s: planning wrote something", name)
		}
		done := must(s.Import(ctx, entries))(t)
		if diff := Diff(planned, done); diff != "" {
			t.Errorf("%s: done otherwise than planned:\n%s", name, diff)
		}
		if got := done.Counts[season.KindHarvest]; got != want {
			t.Errorf("%s: %+v, want %+v", name, got, want)
		}
		if at := must(s.Revision(ctx))(t); at != wantRevision {
			t.Errorf("%s: revision %d, want %d", name, at, wantRevision)
		}
	}
	check("first time", fromFile("harvest.csv", Harvest("1", "f", 50, 1), Harvest("2", "g", 60, 1)), notebook.ImportCount{New: 2}, 2)
	check("again", fromFile("harvest.csv", Harvest("1", "f", 50, 1), Harvest("2", "g", 60, 1)), notebook.ImportCount{Same: 2}, 2)
	check("again under new ids, in another order", fromFile("harvest.csv", Harvest("3", "g", 60, 1), Harvest("4", "f", 50, 1)), notebook.ImportCount{Same: 2}, 2)
	check("one row changed", fromFile("harvest.csv", Harvest("5", "f", 50, 1), Harvest("6", "g", 61, 1)), notebook.ImportCount{Same: 1, Changed: 1}, 3)
	check("changed back", fromFile("harvest.csv", Harvest("7", "f", 50, 1), Harvest("8", "g", 60, 1)), notebook.ImportCount{Same: 1, Changed: 1}, 4)
	check("a row twice", fromFile("harvest.csv", Harvest("9", "h", 1, 1), Harvest("10", "h", 2, 2)), notebook.ImportCount{New: 1, Repeated: 1}, 5)
	check("nothing", nil, notebook.ImportCount{}, 5)

	all := must(s.Entries(ctx, notebook.Filter{Subject: "g/field"}))(t)
	if len(all) != 3 {
		t.Fatalf("%d entries on field g, want 3", len(all))
	}
	supersedes := map[string]string{}
	for _, e := range all {
		supersedes[e.ID] = e.Supersedes
	}
	if want := map[string]string{"2": "", "6": "2", "8": "6"}; !reflect.DeepEqual(supersedes, want) {
		t.Errorf("supersedes %v, want %v", supersedes, want)
	}
}

func importCorrected(t *testing.T, s Store) {
	ctx := t.Context()
	yield := func() unit.Yield {
		standing, _, err := s.Season(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if h := standing.Harvests["f"]; len(h) == 1 {
			return h[0].Yield / unit.WheatBushelPerAcre
		}
		return 0
	}
	file := func(id string, bushels float64, day int) []season.Entry {
		e := Harvest(id, "f", bushels, 1)
		e.Recorded = At(day)
		return fromFile("harvest.csv", e)
	}
	must(s.Import(ctx, file("1", 25, 1)))(t)
	correction := Harvest("phone-1", "f", 52, 2)
	correction.Supersedes = "1"
	must(s.Append(ctx, correction))(t)

	done := must(s.Import(ctx, file("2", 25, 3)))(t)
	if got := done.Counts[season.KindHarvest]; got != (notebook.ImportCount{Kept: 1}) || yield() != 52 {
		t.Errorf("the unchanged file: %+v and %v bu/ac stand, want the correction of 52 kept", got, yield())
	}
	done = must(s.Import(ctx, file("3", 48, 4)))(t)
	if got := done.Counts[season.KindHarvest]; got != (notebook.ImportCount{Changed: 1}) || yield() != 48 {
		t.Errorf("the changed file: %+v and %v bu/ac stand, want 48", got, yield())
	}
	withdrawal := Harvest("phone-2", "f", 48, 5)
	withdrawal.Supersedes, withdrawal.Withdrawn = "3", true
	must(s.Append(ctx, withdrawal))(t)
	done = must(s.Import(ctx, file("4", 48, 6)))(t)
	if got := done.Counts[season.KindHarvest]; got != (notebook.ImportCount{Kept: 1}) || yield() != 0 {
		t.Errorf("the unchanged file after a withdrawal: %+v and %v bu/ac stand, want none", got, yield())
	}
	done = must(s.Import(ctx, file("5", 49, 1)))(t) // recorded before the withdrawal
	if got := done.Counts[season.KindHarvest]; got != (notebook.ImportCount{Changed: 1}) || yield() != 49 {
		t.Errorf("the changed file after a withdrawal: %+v and %v bu/ac stand, want 49", got, yield())
	}
}

// importTakenIDs imports what a reader of files gives that derives ids from the subject alone.
func importTakenIDs(t *testing.T, s Store) {
	ctx := t.Context()
	for i, bushels := range []float64{50, 51, 50, 51, 51} {
		must(s.Import(ctx, fromFile("harvest.csv", Harvest("f/field", "f", bushels, 1))))(t)
		standing, at, err := s.Season(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if h := standing.Harvests["f"]; len(h) != 1 || h[0].Yield != unit.Yield(bushels)*unit.WheatBushelPerAcre {
			t.Errorf("import %d: %v stands, want %v bu/ac", i+1, h, bushels)
		}
		if want := notebook.Revision(min(i+1, 4)); at != want {
			t.Errorf("import %d: revision %d, want %d", i+1, at, want)
		}
	}
}

// importOverRivals imports a row recorded before several entries on its subject that know nothing of each
// other. The file was changed after them all, so what it says must stand.
func importOverRivals(t *testing.T, s Store) {
	ctx := t.Context()
	harvest := func(id string, bushels float64, recorded int) season.Entry {
		e := Harvest(id, "f", bushels, 1)
		e.Recorded = At(recorded)
		return e
	}
	must(s.Append(ctx, harvest("phone-1", 41, 8), harvest("phone-2", 42, 9), harvest("phone-3", 43, 10)))(t)
	for i, bushels := range []float64{50, 51, 51} {
		must(s.Import(ctx, fromFile("harvest.csv", harvest(fmt.Sprint("file-", i), bushels, 1))))(t)
		standing, _, err := s.Season(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if h := standing.Harvests["f"]; len(h) != 1 || h[0].Yield != unit.Yield(bushels)*unit.WheatBushelPerAcre {
			t.Errorf("import %d: %v stands, want %v bu/ac", i+1, h, bushels)
		}
	}
	if at := must(s.Revision(ctx))(t); at != 3+1+2+1 {
		t.Errorf("revision %d, want 7: three from phones, two from the file, two withdrawals", at)
	}
}

// importMoved imports a row that supersedes one on another subject: it was noted under the wrong field.
func importMoved(t *testing.T, s Store) {
	ctx := t.Context()
	must(s.Append(ctx, Harvest("1", "wrong", 50, 1), Harvest("2", "right", 40, 1)))(t)
	moved := Harvest("3", "right", 50, 2)
	moved.Supersedes = "1"
	must(s.Import(ctx, fromFile("harvest.csv", moved)))(t)
	standing, _, err := s.Season(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if h := standing.Harvests; len(h["wrong"]) != 0 || len(h["right"]) != 1 || h["right"][0].Yield != 50*unit.WheatBushelPerAcre {
		t.Errorf("harvests %v, want 50 bu/ac on the right field alone", h)
	}
}

func importRefuses(t *testing.T, s Store) {
	ctx := t.Context()
	withdrawal := season.Entry{ID: "w", Supersedes: "1", Withdrawn: true, Writer: "office", Recorded: At(1)}
	for name, wrong := range map[string]season.Entry{
		"a withdrawal":         withdrawal,
		"without a writer":     {ID: "x", Recorded: At(1), Body: &season.Producer{ID: "ash"}},
		"speaking of nothing":  Producer("y", "", "", 1),
		"text that is no text": Producer("z", "ash", "Ash\xff", 1),
	} {
		if _, err := s.Import(ctx, []season.Entry{Harvest("1", "f", 50, 1), wrong}); err == nil {
			t.Errorf("%s was imported", name)
		}
	}
	if at := must(s.Revision(ctx))(t); at != 0 {
		t.Errorf("revision %d, want 0", at)
	}
}

// Plan is a small frozen plan.
func Plan(id, field string, day int, plan string) notebook.Frozen {
	return notebook.Frozen{Field: field, Frozen: advice.Frozen{
		Format: advice.FrozenFormat, ID: id, Made: At(day), By: "office", Engine: "1.0",
		Input: json.RawMessage(`{"today":"2027-02-10"}`), Plan: json.RawMessage(plan),
	}}
}

func frozen(t *testing.T, s Store) {
	ctx := t.Context()
	want := Plan("f-1", "f", 10, `{"action":"spread","rate":71.7}`)
	want.Books = map[string]string{"0a1b": "key: ours\nname: Ours\n"}
	label := must(s.Freeze(ctx, want))(t)
	want.Hash = label.Hash
	if got := must(s.Frozen(ctx, "f-1"))(t); Diff(want, got) != "" {
		t.Errorf("reads back differently:\n%s", Diff(want, got))
	}

	again := Plan("f-2", "f", 12, "{ \"action\": \"spread\",\n  \"rate\": 71.7 }")
	again.Hash = label.Hash
	if got := must(s.Freeze(ctx, again))(t); got != label {
		t.Errorf("the same plan with white space is kept as %+v, want %+v", got, label)
	}
	if _, err := s.Frozen(ctx, "f-2"); !errors.Is(err, notebook.ErrNotFound) {
		t.Errorf("error is %v, want ErrNotFound", err)
	}

	must(s.Freeze(ctx, Plan("f-3", "f", 11, `{"action":"hold"}`)))(t)
	must(s.Freeze(ctx, Plan("g-1", "g", 9, `{"action":"leave"}`)))(t)
	for field, want := range map[string]string{"f": "f-3 f-1", "g": "g-1", "": "f-3 f-1 g-1", "h": ""} {
		var got []string
		for _, l := range must(s.Plans(ctx, field))(t) {
			got = append(got, l.ID)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("plans of %q: %v, want %s", field, got, want)
		}
	}
}

func frozenRefused(t *testing.T, s Store) {
	ctx := t.Context()
	must(s.Freeze(ctx, Plan("f-1", "f", 10, `{"action":"spread"}`)))(t)
	if _, err := s.Freeze(ctx, Plan("f-1", "f", 10, `{"action":"hold"}`)); !errors.Is(err, notebook.ErrConflict) {
		t.Errorf("another plan under the same id: error is %v, want a conflict", err)
	}
	wrong := Plan("f-2", "f", 10, `{"action":"hold"}`)
	wrong.Hash = strings.Repeat("0", 64)
	if _, err := s.Freeze(ctx, wrong); !errors.Is(err, notebook.ErrDamaged) {
		t.Errorf("a hash that does not fit: error is %v, want ErrDamaged", err)
	}
	for name, f := range map[string]notebook.Frozen{
		"no id": Plan("", "f", 10, `{}`), "no field": Plan("f-3", "", 10, `{}`), "not JSON": Plan("f-4", "f", 10, `{`),
	} {
		if _, err := s.Freeze(ctx, f); err == nil {
			t.Errorf("%s: was frozen", name)
		}
	}
	if n := len(must(s.Plans(ctx, ""))(t)); n != 1 {
		t.Errorf("%d plans, want 1", n)
	}
}
