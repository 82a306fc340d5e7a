package notebook_test

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"culm/notebook"
	"culm/notebook/storetest"

	"github.com/pressly/goose/v3"
)

// openNew opens a notebook in a new folder and gives its path.
func openNew(t testing.TB) (*notebook.Notebook, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "season.culm")
	return reopen(t, path), path
}

func reopen(t testing.TB, path string) *notebook.Notebook {
	t.Helper()
	n, err := notebook.Open(context.Background(), path, notebook.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = n.Close() }) // some tests close it themselves
	return n
}

// otherProgram opens the file as a program would that knows nothing of notebooks.
func otherProgram(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", (&url.URL{Scheme: "file", Path: path}).String())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	return db
}

func run(t testing.TB, db *sql.DB, query string, values ...any) {
	t.Helper()
	if _, err := db.Exec(query, values...); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
}

func TestReopening(t *testing.T) {
	n, path := openNew(t)
	if _, err := n.Append(t.Context(), storetest.Producer("p", "ash", "Ash Farm", 1)); err != nil {
		t.Fatal(err)
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := notebook.Open(t.Context(), path, notebook.Options{Existing: true})
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if at, err := again.Revision(t.Context()); at != 1 || err != nil {
		t.Errorf("revision %d, %v; want 1", at, err)
	}
	if err := again.Close(); err != nil {
		t.Error(err)
	}
	if err := again.Close(); err != nil {
		t.Errorf("closing twice: %v", err)
	}
}

func TestPathsWithSigns(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "50% off? #1 & more", "süd")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	n := reopen(t, filepath.Join(folder, "a b?c=d.culm"))
	if _, err := n.Append(t.Context(), storetest.Producer("p", "ash", "Ash Farm", 1)); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(folder, "a b?c=d.culm")); err != nil {
		t.Error(err)
	}
	if err := n.Backup(t.Context(), filepath.Join(folder, "back up?.culm")); err != nil {
		t.Error(err)
	}
}

func TestWhatIsNotANotebookIsRefusedAndLeftAlone(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	other := filepath.Join(folder, "other.sqlite")
	run(t, otherProgram(t, other), "CREATE TABLE cows (name TEXT)")
	marked := filepath.Join(folder, "marked.sqlite")
	run(t, otherProgram(t, marked), "PRAGMA application_id = 77")

	for _, row := range []struct {
		name, path string
		o          notebook.Options
		want       error
	}{
		{"a short text", write("short.txt", "wheat"), notebook.Options{}, notebook.ErrNotNotebook},
		{"a long text", write("long.txt", strings.Repeat("wheat and canola\n", 1000)), notebook.Options{}, notebook.ErrNotNotebook},
		{"another program's database", other, notebook.Options{}, notebook.ErrNotNotebook},
		{"another program's empty database", marked, notebook.Options{}, notebook.ErrNotNotebook},
		{"a folder", folder, notebook.Options{}, notebook.ErrNotNotebook},
		{"an empty file that should be a notebook", write("empty", ""), notebook.Options{Existing: true}, notebook.ErrNotNotebook},
		{"no file", filepath.Join(folder, "none"), notebook.Options{Existing: true}, notebook.ErrNotFound},
		{"no folder", filepath.Join(folder, "no", "where"), notebook.Options{}, notebook.ErrNotFound},
	} {
		t.Run(row.name, func(t *testing.T) {
			before := snapshot(t, folder)
			_, err := notebook.Open(t.Context(), row.path, row.o)
			if !errors.Is(err, row.want) {
				t.Errorf("error is %v, want %v", err, row.want)
			}
			if after := snapshot(t, folder); after != before {
				t.Errorf("the folder was\n%s\nand is\n%s", before, after)
			}
		})
	}
}

// snapshot is all that a folder holds.
func snapshot(t *testing.T, folder string) string {
	t.Helper()
	var all strings.Builder
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		all.WriteString(path + "\n" + string(data) + "\n")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all.String()
}

func TestALaterVersionsNotebookIsRefused(t *testing.T) {
	n, path := openNew(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	run(t, otherProgram(t, path), "INSERT INTO migrations (version_id, is_applied) VALUES (900, 1)")
	if _, err := notebook.Open(t.Context(), path, notebook.Options{}); !errors.Is(err, notebook.ErrNewer) {
		t.Errorf("error is %v, want ErrNewer", err)
	}
}

// An earlier version's notebook, here one without frozen plans, is brought up to date with all its entries.
func TestAnEarlierVersionsNotebookIsBroughtUpToDate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.culm")
	db := otherProgram(t, path)
	run(t, db, "PRAGMA application_id = 1131768941") // "Culm"
	steps, err := goose.NewProvider(goose.DialectSQLite3, db, os.DirFS("migrations"), goose.WithTableName("migrations"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := steps.UpTo(t.Context(), 1); err != nil {
		t.Fatal(err)
	}
	run(t, db, `INSERT INTO entries (id, kind, version, subject, recorded, writer, withdrawn, body)
		VALUES ('p', 'producer', 1, 'ash', '2027-02-01T08:00:00.000000000Z', 'office', 0, '{"id":"ash","name":"Ash Farm"}')`)
	n := reopen(t, path)
	if s, _, err := n.Season(t.Context()); err != nil || len(s.Producers) != 1 || s.Producers[0].Name != "Ash Farm" {
		t.Errorf("season %+v, %v; want Ash Farm in it", s, err)
	}
	if _, err := n.Freeze(t.Context(), storetest.Plan("f-1", "f", 1, `{}`)); err != nil {
		t.Error(err)
	}
}

func TestManyMayBeginTheSameNotebook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.culm")
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			n, err := notebook.Open(context.Background(), path, notebook.Options{})
			if err != nil {
				t.Error(err)
				return
			}
			if _, err := n.Append(context.Background(), storetest.Producer("p", "ash", "Ash Farm", 1)); err != nil {
				t.Error(err)
			}
			if err := n.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if at, err := reopen(t, path).Revision(t.Context()); at != 1 || err != nil {
		t.Errorf("revision %d, %v; want 1", at, err)
	}
}

func TestALockedNotebookSaysSo(t *testing.T) {
	_, path := openNew(t)
	n, err := notebook.Open(t.Context(), path, notebook.Options{Wait: 50 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	other, err := otherProgram(t, path).Conn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if _, err := other.ExecContext(t.Context(), "BEGIN IMMEDIATE"); err != nil {
		t.Fatal(err)
	}
	e := storetest.Producer("p", "ash", "Ash Farm", 1)
	if _, err := n.Append(t.Context(), e); !errors.Is(err, notebook.ErrBusy) {
		t.Errorf("error is %v, want ErrBusy", err)
	}
	if _, _, err := n.Season(t.Context()); err != nil {
		t.Errorf("reading does not wait for writing, but: %v", err)
	}
	if _, err := other.ExecContext(t.Context(), "COMMIT"); err != nil {
		t.Fatal(err)
	}
	if _, err := n.Append(t.Context(), e); err != nil {
		t.Errorf("after the other is done: %v", err)
	}
}
