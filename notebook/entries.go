package notebook

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

// Filter chooses entries. The zero Filter chooses all.
type Filter struct {
	Kinds   []season.Kind // any of these; empty: any kind
	Field   string        // about this field
	Subject string        // about this subject, as Body.Subject gives it
	Writer  string        // written by this person or device
	After   Revision      // taken in after this revision
}

// Entries lists what was written, superseded entries among it, in the order of recording and then of id.
// The order does not depend on when the entries arrived.
func (n *Notebook) Entries(ctx context.Context, f Filter) ([]season.Entry, error) {
	where, values := f.conditions()
	entries, err := queryEntries(ctx, n.readers, where+" ORDER BY recorded, id", values...)
	if err != nil {
		return nil, fmt.Errorf("reading entries: %w", explain(err))
	}
	return entries, nil
}

// Season puts the entries that stand together, and says at which revision.
func (n *Notebook) Season(ctx context.Context) (*season.Season, Revision, error) {
	entries, revision, err := n.all(ctx)
	if err != nil {
		return nil, 0, fmt.Errorf("reading the season: %w", explain(err))
	}
	return season.Assemble(entries), revision, nil
}

// all reads every entry and the revision in one look, so that the two belong together.
func (n *Notebook) all(ctx context.Context) (entries []season.Entry, at Revision, err error) {
	tx, err := n.readers.BeginTx(ctx, nil)
	if err != nil {
		return nil, 0, err
	}
	defer tx.Rollback() // nothing was written
	if at, err = revision(ctx, tx); err != nil {
		return nil, 0, err
	}
	entries, err = queryEntries(ctx, tx, "")
	return entries, at, err
}

// Revision says how many entries the notebook has taken in.
func (n *Notebook) Revision(ctx context.Context) (Revision, error) {
	at, err := revision(ctx, n.readers)
	if err != nil {
		return 0, fmt.Errorf("reading the revision: %w", explain(err))
	}
	return at, nil
}

func revision(ctx context.Context, q querier) (Revision, error) {
	var at Revision
	err := q.QueryRowContext(ctx, "SELECT coalesce(max(revision), 0) FROM entries").Scan(&at)
	return at, err
}

func (f Filter) conditions() (where string, values []any) {
	var all []string
	add := func(condition string, value any) {
		all = append(all, condition)
		values = append(values, value)
	}
	if len(f.Kinds) > 0 {
		all = append(all, "kind IN (?"+strings.Repeat(", ?", len(f.Kinds)-1)+")")
		for _, k := range f.Kinds {
			values = append(values, string(k))
		}
	}
	if f.Field != "" {
		add("field = ?", f.Field)
	}
	if f.Subject != "" {
		add("subject = ?", f.Subject)
	}
	if f.Writer != "" {
		add("writer = ?", f.Writer)
	}
	if f.After > 0 {
		add("revision > ?", int64(f.After))
	}
	if len(all) == 0 {
		return "", nil
	}
	return "WHERE " + strings.Join(all, " AND "), values
}

// querier is a connection pool or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

const selectEntries = `
SELECT id, coalesce(kind, ''), coalesce(version, 0), coalesce(subject, ''), coalesce(supersedes, ''),
	coalesce(observed, ''), recorded, writer, coalesce(file, ''), coalesce(line, 0), withdrawn, coalesce(body, '')
FROM entries `

// queryEntries reads the entries that a condition chooses.
func queryEntries(ctx context.Context, q querier, rest string, values ...any) ([]season.Entry, error) {
	rows, err := q.QueryContext(ctx, selectEntries+rest, values...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var entries []season.Entry
	for rows.Next() {
		e, err := scanEntry(rows)
		if err != nil {
			return nil, err
		}
		entries = append(entries, e)
	}
	return entries, rows.Err()
}

func scanEntry(rows *sql.Rows) (season.Entry, error) {
	var (
		e                  season.Entry
		body               season.WrittenBody
		observed, recorded string
	)
	err := rows.Scan(&e.ID, &body.Kind, &body.Version, &body.Subject, &e.Supersedes,
		&observed, &recorded, &e.Writer, &e.Where.File, &e.Where.Line, &e.Withdrawn, &body.JSON)
	if err != nil {
		return e, err
	}
	if e.Recorded, err = time.Parse(momentFormat, recorded); err != nil {
		return e, damaged(e, err)
	}
	if observed != "" {
		if e.Observed, err = calendar.Parse(observed); err != nil {
			return e, damaged(e, err)
		}
	}
	if body.Kind != "" {
		if e.Body, err = body.Read(); err != nil {
			return e, damaged(e, err)
		}
	}
	return e, nil
}

// damaged says which entry cannot be read back: every entry could when it was written.
func damaged(e season.Entry, err error) error {
	return fmt.Errorf("entry %q: %w: %w", e.ID, ErrDamaged, err)
}
