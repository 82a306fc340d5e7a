package notebook_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"culm/notebook"
	"culm/notebook/storetest"
)

// No program, whatever it knows of notebooks, can change or remove what was written.
func TestWhatIsWrittenCannotBeChanged(t *testing.T) {
	n, path := openNew(t)
	if _, err := n.Append(t.Context(), storetest.Producer("p", "ash", "Ash Farm", 1), storetest.Harvest("h", "f", 50, 2)); err != nil {
		t.Fatal(err)
	}
	if _, err := n.Freeze(t.Context(), storetest.Plan("f-1", "f", 1, `{}`)); err != nil {
		t.Fatal(err)
	}
	before := contents(t, n)
	db := otherProgram(t, path)
	const moment = `'2027-02-01T08:00:00.000000000Z'`
	for _, row := range []struct{ name, sql, says string }{
		{"update an entry", `UPDATE entries SET body = '{}'`, "never changed"},
		{"update an id", `UPDATE OR REPLACE entries SET id = 'h' WHERE id = 'p'`, "never changed"},
		{"delete an entry", `DELETE FROM entries WHERE id = 'p'`, "never removed"},
		{"delete all entries", `DELETE FROM entries`, "never removed"},
		{"replace an entry by its id", `INSERT OR REPLACE INTO entries (id, recorded, writer, withdrawn, supersedes) VALUES ('p', ` + moment + `, 'x', 1, 'h')`, ""},
		{"replace an entry by its revision", `INSERT OR REPLACE INTO entries (revision, id, recorded, writer, withdrawn, supersedes) VALUES (1, 'q', ` + moment + `, 'x', 1, 'h')`, ""},
		{"upsert an entry", `INSERT INTO entries (id, recorded, writer, withdrawn, supersedes) VALUES ('p', ` + moment + `, 'x', 1, 'h') ON CONFLICT (id) DO UPDATE SET writer = 'x'`, ""},
		{"update a plan", `UPDATE plans SET engine = '2'`, "never changed"},
		{"delete a plan", `DELETE FROM plans`, "never removed"},
		{"replace a plan", `INSERT OR REPLACE INTO plans SELECT id, field, made, made_by, format, '2', hash, input, plan FROM plans`, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := db.Exec(row.sql)
			if row.says != "" && (err == nil || !strings.Contains(err.Error(), row.says)) {
				t.Errorf("error is %v, want it to say %q", err, row.says)
			}
			if after := contents(t, n); after != before {
				t.Errorf("the notebook was %s\nand is %s", before, after)
			}
		})
	}
}

// The tables refuse rows that make no sense, whoever writes them.
func TestTheTablesRefuseNonsense(t *testing.T) {
	_, path := openNew(t)
	db := otherProgram(t, path)
	insert := func(change map[string]any) error {
		row := map[string]any{
			"id": "p", "kind": "producer", "version": 1, "subject": "ash", "field": nil, "supersedes": nil, "observed": nil,
			"recorded": "2027-02-01T08:00:00.000000000Z", "writer": "office", "file": nil, "line": nil, "withdrawn": 0, "body": "{}",
		}
		for name, value := range change {
			row[name] = value
		}
		var names []string
		var values []any
		for name, value := range row {
			names = append(names, name)
			values = append(values, value)
		}
		_, err := db.Exec("INSERT INTO entries ("+strings.Join(names, ", ")+") VALUES (?"+strings.Repeat(", ?", len(names)-1)+")", values...)
		return err
	}
	for name, change := range map[string]map[string]any{
		"no id":                         {"id": nil},
		"an empty id":                   {"id": ""},
		"an empty kind":                 {"kind": ""},
		"version 0":                     {"version": 0},
		"a version that is text":        {"version": "one"},
		"an empty subject":              {"subject": ""},
		"an empty field":                {"field": ""},
		"supersedes itself":             {"supersedes": "p"},
		"a day of another country":      {"observed": "01.02.2027"},
		"a moment without nanoseconds":  {"recorded": "2027-02-01T08:00:00Z"},
		"a moment in another zone":      {"recorded": "2027-02-01T08:00:00.000000000-06:00"},
		"no writer":                     {"writer": nil},
		"line 0":                        {"line": 0},
		"withdrawn twice":               {"withdrawn": 2},
		"withdraws nothing":             {"withdrawn": 1},
		"a body that is not JSON":       {"body": "wheat"},
		"a body that is a list":         {"body": "[]"},
		"a body without a kind":         {"kind": nil},
		"a kind without a body":         {"body": nil, "withdrawn": 1, "supersedes": "q"},
		"no body and nothing withdrawn": {"body": nil, "kind": nil, "version": nil, "subject": nil},
	} {
		if insert(change) == nil {
			t.Errorf("%s: was accepted", name)
		}
	}
	if err := insert(nil); err != nil {
		t.Errorf("the row that the others were made from: %v", err)
	}
}

func contents(t *testing.T, n *notebook.Notebook) string {
	t.Helper()
	entries, err := n.Entries(context.Background(), notebook.Filter{})
	if err != nil {
		t.Fatal(err)
	}
	plans, err := n.Plans(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	return storetest.Diff(nil, entries) + storetest.Diff(nil, plans)
}

// edit changes the file behind the notebook's back, without its guards.
func edit(t *testing.T, path, query string) {
	t.Helper()
	db := otherProgram(t, path)
	for _, trigger := range []string{"entries_are_not_changed", "plans_are_not_changed"} {
		run(t, db, "DROP TRIGGER "+trigger)
	}
	run(t, db, "PRAGMA ignore_check_constraints = ON")
	run(t, db, query)
}

func TestAnEditedPlanIsFound(t *testing.T) {
	for name, query := range map[string]string{
		"its plan taken from another": `UPDATE plans SET plan = (SELECT plan FROM plans WHERE id = 'f-2') WHERE id = 'f-1'`,
		"its input cut short":         `UPDATE plans SET input = substr(input, 1, length(input) - 1) WHERE id = 'f-1'`,
		"its input emptied":           `UPDATE plans SET input = x'' WHERE id = 'f-1'`,
		"its hash changed":            `UPDATE plans SET hash = substr(hash, 2) || substr(hash, 1, 1) WHERE id = 'f-1'`,
		"its moment in words":         `UPDATE plans SET made = 'yesterday' WHERE id = 'f-1'`,
	} {
		t.Run(name, func(t *testing.T) {
			n, path := openNew(t)
			for id, plan := range map[string]string{"f-1": `{"action":"spread"}`, "f-2": `{"action":"hold"}`} {
				if _, err := n.Freeze(t.Context(), storetest.Plan(id, "f", 1, plan)); err != nil {
					t.Fatal(err)
				}
			}
			if err := n.Check(t.Context()); err != nil {
				t.Fatalf("before the edit: %v", err)
			}
			edit(t, path, query)
			if _, err := n.Frozen(t.Context(), "f-1"); !errors.Is(err, notebook.ErrDamaged) {
				t.Errorf("error is %v, want ErrDamaged", err)
			}
			if err := n.Check(t.Context()); !errors.Is(err, notebook.ErrDamaged) {
				t.Errorf("the check says %v, want ErrDamaged", err)
			}
		})
	}
}

func TestAnEditedEntryIsFound(t *testing.T) {
	for name, query := range map[string]string{
		"a body without its number": `UPDATE entries SET body = json_remove(body, '$.yield')`,
		"a body of another subject": `UPDATE entries SET body = json_set(body, '$.field', 'g')`,
		"a moment in words":         `UPDATE entries SET recorded = 'yesterday'`,
		"a day that is none":        `UPDATE entries SET observed = '2027-02-31'`,
	} {
		t.Run(name, func(t *testing.T) {
			n, path := openNew(t)
			if _, err := n.Append(t.Context(), storetest.Harvest("h", "f", 50, 2)); err != nil {
				t.Fatal(err)
			}
			edit(t, path, query)
			if _, _, err := n.Season(t.Context()); !errors.Is(err, notebook.ErrDamaged) || !strings.Contains(err.Error(), `entry "h"`) {
				t.Errorf("error is %v, want ErrDamaged about entry h", err)
			}
			if err := n.Check(t.Context()); !errors.Is(err, notebook.ErrDamaged) {
				t.Errorf("the check says %v, want ErrDamaged", err)
			}
		})
	}
}

func TestADamagedFileIsFound(t *testing.T) {
	n, path := openNew(t)
	for i := range 200 {
		e := storetest.Producer(strings.Repeat("p", i+1), "ash", strings.Repeat("Ash Farm ", 20), 1)
		if _, err := n.Append(t.Context(), e); err != nil {
			t.Fatal(err)
		}
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := len(data) / 2; i < len(data)/2+8192; i++ {
		data[i] ^= 0xff
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	again, err := notebook.Open(t.Context(), path, notebook.Options{})
	if err == nil {
		defer again.Close()
		err = again.Check(t.Context())
	}
	if !errors.Is(err, notebook.ErrDamaged) {
		t.Errorf("error is %v, want ErrDamaged", err)
	}
}

func TestBackup(t *testing.T) {
	n, _ := openNew(t)
	ctx := t.Context()
	if _, err := n.Append(ctx, storetest.Producer("p", "ash", "Ash Farm", 1)); err != nil {
		t.Fatal(err)
	}
	if _, err := n.Freeze(ctx, storetest.Plan("f-1", "f", 1, `{}`)); err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	path := filepath.Join(folder, "backup.culm")

	// Writing goes on while the copy is made.
	stop, stopped := make(chan struct{}), make(chan error)
	go func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				stopped <- nil
				return
			default:
			}
			if _, err := n.Append(ctx, storetest.Harvest(time.Now().Format(time.RFC3339Nano), "f", float64(i), 2)); err != nil {
				stopped <- err
				return
			}
		}
	}()
	time.Sleep(20 * time.Millisecond)
	before, err := n.Entries(ctx, notebook.Filter{})
	if err != nil {
		t.Fatal(err)
	}
	if err := n.Backup(ctx, path); err != nil {
		t.Fatal(err)
	}
	close(stop)
	if err := <-stopped; err != nil {
		t.Error(err)
	}

	if files, err := os.ReadDir(folder); err != nil || len(files) != 1 {
		t.Errorf("the backup left %v, %v; want one file", files, err)
	}
	backup, err := notebook.Open(ctx, path, notebook.Options{Existing: true})
	if err != nil {
		t.Fatal(err)
	}
	defer backup.Close()
	if err := backup.Check(ctx); err != nil {
		t.Error(err)
	}
	copied, err := backup.Entries(ctx, notebook.Filter{})
	if err != nil || len(copied) < len(before) {
		t.Errorf("%d entries, %v; want at least the %d from before", len(copied), err, len(before))
	}
	if _, err := backup.Frozen(ctx, "f-1"); err != nil {
		t.Error(err)
	}
	if _, err := backup.Append(ctx, storetest.Producer("p2", "ash", "Ash", 2)); err != nil {
		t.Errorf("writing into the backup: %v", err)
	}
	if err := n.Backup(ctx, path); !errors.Is(err, os.ErrExist) {
		t.Errorf("over a file that is there: error is %v, want ErrExist", err)
	}
	if err := n.Backup(ctx, filepath.Join(folder, "no", "where.culm")); err == nil {
		t.Error("a backup into no folder succeeded")
	}
}
