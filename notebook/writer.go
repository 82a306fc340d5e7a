package notebook

import (
	"context"
	"database/sql"
	"errors"
	"runtime"
	"sync"
)

// writer is the one place that writes. Its goroutine takes what waits, runs it in one transaction, and
// answers each caller once the transaction is on the disk. A hundred phones that empty their outboxes in
// one moment so share one wait for the disk, and none is told "written" before it is.
//
//	callers ──requests──> gather ──> one transaction, each caller within a savepoint ──> commit ──> answers
//
// What fails within its savepoint is taken back alone; the others of the batch are written all the same.
type writer struct {
	db *sql.DB
	// insertEntry is prepared once: reading the table's checks and triggers takes longer than the insert.
	insertEntry *sql.Stmt
	requests    chan request
	once        sync.Once
	stop        chan struct{} // closed by close: take no more
	stopped     chan struct{} // closed by run: nothing is being written
}

// request is one caller's work, all of it or nothing.
type request struct {
	work func(*sql.Tx) error
	done chan<- error
}

// batchLimit bounds how many callers share a transaction, and so how long the first of them waits.
const batchLimit = 256

func startWriter(ctx context.Context, db *sql.DB) (*writer, error) {
	insert, err := db.PrepareContext(ctx, insertEntry)
	if err != nil {
		return nil, err
	}
	w := &writer{
		db: db, insertEntry: insert,
		requests: make(chan request), stop: make(chan struct{}), stopped: make(chan struct{}),
	}
	go w.run()
	return w, nil
}

// do runs work in a transaction and returns when it is on the disk. If ctx ends while it waits for its turn,
// nothing is written. Once its turn has come it is not cut short, so that the answer is always right.
func (w *writer) do(ctx context.Context, work func(*sql.Tx) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	done := make(chan error, 1)
	select {
	case w.requests <- request{work, done}:
		return <-done
	case <-ctx.Done():
		return ctx.Err()
	case <-w.stop:
		return ErrClosed
	}
}

func (w *writer) close() error {
	w.once.Do(func() { close(w.stop) })
	<-w.stopped
	return w.db.Close()
}

func (w *writer) run() {
	defer close(w.stopped)
	for {
		select {
		case first := <-w.requests:
			w.write(w.gather(first))
		case <-w.stop:
			return
		}
	}
}

// gather collects the callers that wait. Those whom the last batch has just answered get a chance to run
// first: otherwise the quickest of them would get a transaction alone and the rest would wait for it.
func (w *writer) gather(first request) []request {
	batch := []request{first}
	for pauses := 0; len(batch) < batchLimit; {
		select {
		case next := <-w.requests:
			batch = append(batch, next)
			pauses = 0
		default:
			if pauses == 2 {
				return batch
			}
			pauses++
			runtime.Gosched()
		}
	}
	return batch
}

func (w *writer) write(batch []request) {
	answers, err := w.transact(batch)
	for i, r := range batch {
		if err != nil {
			r.done <- explain(err)
		} else {
			r.done <- explain(answers[i])
		}
	}
}

// transact gives each caller's own error, or the one error that kept the whole batch from the disk.
func (w *writer) transact(batch []request) (answers []error, err error) {
	tx, err := w.db.BeginTx(context.Background(), nil)
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			// After a failed commit there may be nothing left to take back; the first error tells why.
			_ = tx.Rollback()
		}
	}()
	if len(batch) == 1 {
		if err := batch[0].work(tx); err != nil {
			return nil, err
		}
		return make([]error, 1), tx.Commit()
	}
	answers = make([]error, len(batch))
	for i, r := range batch {
		answers[i], err = within(tx, r.work)
		if err != nil {
			return nil, err
		}
	}
	return answers, tx.Commit()
}

// within runs work in a savepoint. failed is the work's own error, err one of the transaction.
func within(tx *sql.Tx, work func(*sql.Tx) error) (failed, err error) {
	if _, err := tx.Exec("SAVEPOINT caller"); err != nil {
		return nil, err
	}
	if failed := work(tx); failed != nil {
		if _, err := tx.Exec("ROLLBACK TO caller"); err != nil {
			return nil, errors.Join(failed, err)
		}
		_, err = tx.Exec("RELEASE caller")
		return failed, err
	}
	_, err = tx.Exec("RELEASE caller")
	return nil, err
}
