package notebook

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
)

// applicationID marks a SQLite file as a notebook: "Culm" in ASCII. It is the first thing written into a
// new file, so that no notebook is ever without it.
const applicationID = 0x43756c6d

//go:embed migrations/*.sql
var migrationFiles embed.FS

// identify makes sure that the file is a notebook, or new and empty and then marks it as one.
func identify(ctx context.Context, path string, o Options) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && o.Existing:
		return fmt.Errorf("there is no such file: %w", ErrNotFound)
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Stat(filepath.Dir(path)); err != nil {
			return fmt.Errorf("there is no folder %s: %w", filepath.Dir(path), ErrNotFound)
		}
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return fmt.Errorf("it is not a file: %w", ErrNotNotebook)
	case info.Size() == 0 && o.Existing:
		return fmt.Errorf("the file is empty: %w", ErrNotNotebook)
	}
	db, err := sql.Open("sqlite", address(path, o.Wait, "_txlock", "immediate"))
	if err != nil {
		return err
	}
	return errors.Join(mark(ctx, db), db.Close())
}

func mark(ctx context.Context, db *sql.DB) error {
	id, _, err := marks(ctx, db)
	if err != nil || id == applicationID {
		return err
	}
	if id != 0 {
		return fmt.Errorf("it is the database of another program: %w", ErrNotNotebook)
	}
	// Unmarked: new and empty, or another program's. Under the lock, as another may be beginning it too.
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // does nothing once committed
	id, changes, err := marks(ctx, tx)
	if err != nil || id == applicationID {
		return err
	}
	if id != 0 || changes != 0 {
		return fmt.Errorf("it is the database of another program: %w", ErrNotNotebook)
	}
	if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return err
	}
	return tx.Commit()
}

// marks reads a file's application id and how often its tables were changed: never, in a new file.
func marks(ctx context.Context, q querier) (id, changes int, err error) {
	if err := q.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return 0, 0, err
	}
	err = q.QueryRowContext(ctx, "PRAGMA schema_version").Scan(&changes)
	return id, changes, err
}

// migrate brings the tables up to date. Two programs may open a new notebook in the same moment. The slower
// one finds a step done by the other, which to goose is an error, or is refused the change to write-ahead
// logging without a wait; both are over when it looks again.
func migrate(ctx context.Context, db *sql.DB, wait time.Duration) error {
	deadline := time.Now().Add(wait)
	for tries := 1; ; tries++ {
		err := migrateOnce(ctx, db)
		switch {
		case err == nil || errors.Is(err, ErrNewer) || isCode(err, codeReadOnly, codeCorrupt):
			return err
		case isCode(err, codeBusy) && time.Now().After(deadline):
			return err
		case !isCode(err, codeBusy) && tries >= 10:
			return err
		}
		select {
		case <-ctx.Done():
			return err
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func migrateOnce(ctx context.Context, db *sql.DB) error {
	files, err := fs.Sub(migrationFiles, "migrations")
	if err != nil {
		return err
	}
	steps, err := goose.NewProvider(goose.DialectSQLite3, db, files,
		goose.WithTableName("migrations"), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	have, latest, err := steps.GetVersions(ctx)
	if err != nil {
		return err
	}
	if have > latest {
		return fmt.Errorf("its tables are of version %d, this program knows %d: %w", have, latest, ErrNewer)
	}
	_, err = steps.Up(ctx)
	return err
}
