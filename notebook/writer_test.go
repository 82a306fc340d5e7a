package notebook

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"culm/season"
)

func testNotebook(t *testing.T) *Notebook {
	t.Helper()
	n, err := Open(t.Context(), filepath.Join(t.TempDir(), "season.culm"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = n.Close() }) // some tests close it themselves
	return n
}

// Durability rests on these.
func TestSettingsOfTheWriter(t *testing.T) {
	n := testNotebook(t)
	for pragma, want := range map[string]string{
		"journal_mode": "wal", "synchronous": "2" /* FULL */, "foreign_keys": "1", "busy_timeout": "5000",
	} {
		var got string
		if err := n.writer.db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %q, %v; want %q", pragma, got, err, want)
		}
	}
	if _, err := n.readers.Exec("CREATE TABLE x (y)"); !isCode(err, codeReadOnly) {
		t.Errorf("a reader wrote: %v", err)
	}
}

func count(t *testing.T, n *Notebook) Revision {
	t.Helper()
	at, err := n.Revision(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// insertRevoke writes the smallest entry there is.
func insertRevoke(n *Notebook, tx *sql.Tx, id string) error {
	rows, err := rowsOf([]season.Entry{{ID: id, Supersedes: "0", Withdrawn: true, Writer: "w", Recorded: time.Unix(1_800_000_000, 0)}})
	if err != nil {
		return err
	}
	_, err = n.writer.insertEntries(context.Background(), tx, rows)
	return err
}

func TestAFailureInABatchIsItsOwn(t *testing.T) {
	n := testNotebook(t)
	wrong := errors.New("wrong")
	var batch []request
	var answers []chan error
	add := func(work func(*sql.Tx) error) {
		done := make(chan error, 1)
		batch = append(batch, request{work, done})
		answers = append(answers, done)
	}
	add(func(tx *sql.Tx) error { return insertRevoke(n, tx, "a") })
	add(func(tx *sql.Tx) error { return errors.Join(insertRevoke(n, tx, "b"), wrong) }) // writes, then fails
	add(func(tx *sql.Tx) error { return insertRevoke(n, tx, "c") })
	n.writer.write(batch)
	for i, want := range []error{nil, wrong, nil} {
		if got := <-answers[i]; !errors.Is(got, want) {
			t.Errorf("answer %d is %v, want %v", i, got, want)
		}
	}
	entries, err := n.Entries(t.Context(), Filter{})
	if err != nil || len(entries) != 2 || entries[0].ID != "a" || entries[1].ID != "c" {
		t.Errorf("entries %v, %v; want a and c", entries, err)
	}
}

func TestABatchThatCannotBeWrittenTellsEveryCaller(t *testing.T) {
	n := testNotebook(t)
	var batch []request
	var answers []chan error
	for _, id := range []string{"a", "b"} {
		done := make(chan error, 1)
		batch = append(batch, request{func(tx *sql.Tx) error { return insertRevoke(n, tx, id) }, done})
		answers = append(answers, done)
	}
	// The last caller ends the transaction under the feet of the others, as a full disk would.
	done := make(chan error, 1)
	batch = append(batch, request{func(tx *sql.Tx) error { _, err := tx.Exec("ROLLBACK"); return err }, done})
	answers = append(answers, done)
	n.writer.write(batch)
	for i, answer := range answers {
		if <-answer == nil {
			t.Errorf("caller %d was told that its entry is written", i)
		}
	}
	if at := count(t, n); at != 0 {
		t.Errorf("revision %d, want 0", at)
	}
	// The writer goes on.
	if err := n.writer.do(t.Context(), func(tx *sql.Tx) error { return insertRevoke(n, tx, "d") }); err != nil {
		t.Error(err)
	}
	if at := count(t, n); at != 1 {
		t.Errorf("revision %d, want 1", at)
	}
}

// Closing while many write: each is told either that it is written, and it is, or that it is not.
func TestClosingAmongWriters(t *testing.T) {
	n := testNotebook(t)
	var told sync.Map
	var all sync.WaitGroup
	for w := range 16 {
		all.Go(func() {
			for i := range 50 {
				id := string(rune('a'+w)) + string(rune('A'+i))
				err := n.writer.do(t.Context(), func(tx *sql.Tx) error { return insertRevoke(n, tx, id) })
				if errors.Is(err, ErrClosed) {
					return
				}
				if err != nil {
					t.Error(err)
				}
				told.Store(id, true)
			}
		})
	}
	for count(t, n) < 40 {
	}
	if err := n.Close(); err != nil {
		t.Error(err)
	}
	all.Wait()
	again, err := Open(t.Context(), n.Path(), Options{Existing: true})
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	entries, err := again.Entries(t.Context(), Filter{})
	if err != nil {
		t.Fatal(err)
	}
	acknowledged := 0
	told.Range(func(any, any) bool { acknowledged++; return true })
	for _, e := range entries {
		if _, ok := told.Load(e.ID); !ok {
			t.Errorf("%s is written and nobody was told", e.ID)
		}
	}
	if len(entries) != acknowledged {
		t.Errorf("%d entries, %d acknowledged", len(entries), acknowledged)
	}
}
