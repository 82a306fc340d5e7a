package notebook

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"time"

	"culm/season"
)

// Receipt says what became of the entries of a call.
type Receipt struct {
	Added int // new to the notebook
	Known int // here already with the same content
}

// Append writes entries, all of them or none, and returns when they are on the disk. An entry that is here
// already with the same content is left as it is, whatever file and line it now comes from; with another
// content it is a ConflictError.
func (n *Notebook) Append(ctx context.Context, entries ...season.Entry) (Receipt, error) {
	rows, err := rowsOf(entries)
	if err != nil {
		return Receipt{}, err
	}
	var receipt Receipt
	err = n.writer.do(ctx, func(tx *sql.Tx) error {
		receipt, err = n.writer.insertEntries(ctx, tx, rows)
		return err
	})
	if err != nil {
		return Receipt{}, fmt.Errorf("writing entries: %w", err)
	}
	return receipt, nil
}

// row is an entry beside its writing in the columns of the table.
type row struct {
	entry season.Entry
	body  season.WrittenBody // zero for an entry without a body
}

func rowsOf(entries []season.Entry) ([]row, error) {
	rows := make([]row, len(entries))
	for i, e := range entries {
		if err := e.Check(); err != nil {
			return nil, err
		}
		rows[i].entry = e
		if e.Body == nil {
			continue
		}
		body, err := season.WriteBody(e.Body)
		if err != nil {
			return nil, fmt.Errorf("entry %q: %w", e.ID, err)
		}
		rows[i].body = body
	}
	return rows, nil
}

const insertEntry = `
INSERT INTO entries (id, kind, version, subject, field, supersedes, observed, recorded, writer, file, line, withdrawn, body)
VALUES (?, NULLIF(?, ''), NULLIF(?, 0), NULLIF(?, ''), NULLIF(?, ''), NULLIF(?, ''), NULLIF(?, ''), ?, ?, NULLIF(?, ''), NULLIF(?, 0), ?, NULLIF(?, ''))
ON CONFLICT (id) DO NOTHING`

func (w *writer) insertEntries(ctx context.Context, tx *sql.Tx, rows []row) (Receipt, error) {
	var receipt Receipt
	insert := tx.Stmt(w.insertEntry)
	for _, r := range rows {
		result, err := insert.Exec(r.columns()...)
		if err != nil {
			return receipt, fmt.Errorf("entry %q: %w", r.entry.ID, err)
		}
		added, err := result.RowsAffected()
		if err != nil {
			return receipt, err
		}
		if added == 0 {
			if err := expectSame(ctx, tx, r.entry); err != nil {
				return receipt, err
			}
		}
		receipt.Added += int(added)
		receipt.Known += 1 - int(added)
	}
	return receipt, nil
}

func (r row) columns() []any {
	e := r.entry
	observed, field := "", ""
	if !e.Observed.IsZero() {
		observed = e.Observed.String()
	}
	if e.Body != nil {
		field = season.FieldOf(e.Body)
	}
	return []any{
		e.ID, string(r.body.Kind), r.body.Version, r.body.Subject, field, e.Supersedes, observed,
		moment(e.Recorded), e.Writer, e.Where.File, e.Where.Line, e.Withdrawn, string(r.body.JSON),
	}
}

// expectSame compares an entry with the one that has its id.
func expectSame(ctx context.Context, tx *sql.Tx, sent season.Entry) error {
	have, err := queryEntries(ctx, tx, "WHERE id = ?", sent.ID)
	if err != nil {
		return err
	}
	if len(have) != 1 {
		return fmt.Errorf("entry %q: %w", sent.ID, ErrDamaged)
	}
	differs, err := differences(have[0], sent)
	if err != nil {
		return err
	}
	if len(differs) > 0 {
		return &ConflictError{ID: sent.ID, Have: describe(have[0]), Differs: strings.Join(differs, " and ")}
	}
	return nil
}

// differences names what differs between two entries with one id. Where they were read does not count.
func differences(a, b season.Entry) ([]string, error) {
	var differs []string
	note := func(name string, same bool) {
		if !same {
			differs = append(differs, name)
		}
	}
	note("what it supersedes", a.Supersedes == b.Supersedes && a.Withdrawn == b.Withdrawn)
	note("the day observed", a.Observed == b.Observed)
	note("the moment recorded", a.Recorded.Equal(b.Recorded))
	note("the writer", a.Writer == b.Writer)
	same, err := season.SameContent(a.Body, b.Body)
	note("the body", same)
	return differs, err
}

// describe says what an entry is in a few words.
func describe(e season.Entry) string {
	what := "a withdrawal of " + e.Supersedes
	if e.Body != nil {
		what = string(e.Body.Kind()) + " " + e.Body.Subject()
	}
	return fmt.Sprintf("%s, recorded %s by %s", what, e.Recorded.UTC().Format(time.RFC3339), e.Writer)
}

// momentFormat writes moments so that text order is order in time.
const momentFormat = "2006-01-02T15:04:05.000000000Z"

func moment(t time.Time) string { return t.UTC().Format(momentFormat) }
