// Package notebook keeps the season's entries and the frozen plans in one SQLite file, for good: what was
// acknowledged is on the disk, and nothing written is ever changed or removed.
//
// All writing goes through one connection and one goroutine, which puts what waits at the same moment into
// one transaction: see writer. Reading has connections of its own and never waits for writing. Several
// programs may have the file open at once; SQLite's own locks keep them apart.
//
// The tables are explained where they are made, in the folder migrations.
package notebook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"runtime"
	"time"

	"github.com/klauspost/compress/zstd"
	_ "modernc.org/sqlite" // the driver "sqlite"
)

// Options say how a notebook is opened. The zero Options are good for use.
type Options struct {
	// Existing refuses to begin a new notebook where there is none.
	Existing bool
	// Wait is how long to wait for another program that is writing. Zero means five seconds.
	Wait time.Duration
}

// Notebook is an open notebook. It is safe for use by several goroutines.
type Notebook struct {
	path    string
	wait    time.Duration
	writer  *writer
	readers *sql.DB
	pack    *zstd.Encoder
	unpack  *zstd.Decoder
}

// Revision counts the entries that a notebook has taken in. It grows with every entry, so that what was
// drawn from the entries can be kept until it changes.
type Revision int64

// Open opens the notebook at a path and begins a new one where there is none. It brings the file of an
// earlier version up to date. It fails with ErrNotNotebook, ErrNewer, ErrReadOnly, ErrBusy, ErrDamaged or
// ErrNotFound, and leaves a file that is not a notebook as it is.
func Open(ctx context.Context, path string, o Options) (*Notebook, error) {
	if o.Wait == 0 {
		o.Wait = 5 * time.Second
	}
	n, err := open(ctx, path, o)
	if err != nil {
		return nil, fmt.Errorf("opening notebook %s: %w", path, explain(err))
	}
	return n, nil
}

func open(ctx context.Context, path string, o Options) (*Notebook, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if err := identify(ctx, path, o); err != nil {
		return nil, err
	}
	writing, err := sql.Open("sqlite", address(path, o.Wait,
		"_pragma", "journal_mode(WAL)",
		"_pragma", "synchronous(FULL)", // an acknowledged entry survives a power cut
		"_pragma", "foreign_keys(ON)",
		"_txlock", "immediate", // a transaction that will write takes its lock at once or waits for it
	))
	if err != nil {
		return nil, err
	}
	writing.SetMaxOpenConns(1)
	if err := migrate(ctx, writing, o.Wait); err != nil {
		return nil, errors.Join(err, writing.Close())
	}
	reading, err := sql.Open("sqlite", address(path, o.Wait, "mode", "ro"))
	if err != nil {
		return nil, errors.Join(err, writing.Close())
	}
	reading.SetMaxOpenConns(max(4, runtime.NumCPU()))
	n := &Notebook{path: path, wait: o.Wait, readers: reading}
	if n.pack, n.unpack, err = newPackers(); err == nil {
		n.writer, err = startWriter(ctx, writing)
	}
	if err != nil {
		return nil, errors.Join(err, reading.Close(), writing.Close())
	}
	return n, nil
}

// Close waits for what is being written, refuses what comes after with ErrClosed, and closes the file.
func (n *Notebook) Close() error {
	err := errors.Join(n.readers.Close(), n.writer.close(), n.pack.Close())
	n.unpack.Close()
	return err
}

// Path is where the notebook lies.
func (n *Notebook) Path() string { return n.path }

// address is the SQLite address of a file, with settings in pairs of name and value.
func address(path string, wait time.Duration, settings ...string) string {
	query := url.Values{"_pragma": {fmt.Sprintf("busy_timeout(%d)", wait.Milliseconds())}}
	for i := 0; i < len(settings); i += 2 {
		query.Add(settings[i], settings[i+1])
	}
	file := url.URL{Scheme: "file", Path: filepath.ToSlash(path), RawQuery: query.Encode()}
	return file.String()
}
