package notebook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Backup copies the notebook as it is at this moment to a new file, while reading and writing go on. The
// copy is one file, complete and on the disk when Backup returns; it is opened like any notebook. A file
// that is there already is left alone.
func (n *Notebook) Backup(ctx context.Context, path string) error {
	if err := n.backup(ctx, path); err != nil {
		return fmt.Errorf("backup to %s: %w", path, explain(err))
	}
	return nil
}

func (n *Notebook) backup(ctx context.Context, path string) (err error) {
	if _, err := os.Lstat(path); err == nil {
		return fs.ErrExist
	}
	// Under the final name the file must never be seen half written.
	part, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".part-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(part.Name()))
		}
	}()
	if err := errors.Join(part.Close(), n.vacuumInto(ctx, part.Name()), syncFile(part.Name())); err != nil {
		return err
	}
	if err := os.Rename(part.Name(), path); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// vacuumInto uses a connection of its own: the readers may not write and the writer must not wait.
func (n *Notebook) vacuumInto(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", address(n.path, n.wait))
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, "VACUUM INTO ?", path)
	return errors.Join(err, db.Close())
}

// syncFile brings a file onto the disk.
func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncFolder brings the names in a folder onto the disk. Windows does so by itself and refuses to be asked.
func syncFolder(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
