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
	db, err := sql.Open("sqlite", address(path, o.Wait))
	if err != nil {
		return err
	}
	return errors.Join(mark(ctx, db), db.Close())
}

func mark(ctx context.Context, db *sql.DB) error {
	var id, pages int
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return err
	}
	if id == applicationID {
		return nil
	}
	if err := db.QueryRowContext(ctx, "PRAGMA page_count").Scan(&pages); err != nil {
		return err
	}
	if id != 0 || pages != 0 {
		return fmt.Errorf("it is the database of another program: %w", ErrNotNotebook)
	}
	_, err := db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID))
	return err
}

// migrate brings the tables up to date. Two programs may open a new notebook in the same moment: the slower
// one finds its work done by the other, which to goose is an error, and looks again.
func migrate(ctx context.Context, db *sql.DB) error {
	var err error
	for range 5 {
		if err = migrateOnce(ctx, db); err == nil || errors.Is(err, ErrNewer) || isCode(err, codeReadOnly, codeBusy) {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(50 * time.Millisecond):
		}
	}
	return err
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
