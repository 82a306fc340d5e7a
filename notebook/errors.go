package notebook

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"modernc.org/sqlite"
)

// The ways in which a notebook fails, to be told apart with errors.Is.
var (
	ErrNotNotebook = errors.New("this is not a notebook")
	ErrNewer       = errors.New("the notebook was written by a later version of Culm; update this one to open it")
	ErrReadOnly    = errors.New("the file or its folder cannot be written to; a notebook keeps two more files beside it while it is open")
	ErrBusy        = errors.New("another program is writing to the notebook and has not finished; try again")
	ErrFull        = errors.New("the disk is full; nothing of this was written")
	ErrDamaged     = errors.New("the notebook was damaged, or changed by another program; fall back on a backup")
	ErrConflict    = errors.New("already in the notebook with another content")
	ErrNotFound    = errors.New("not found")
	ErrClosed      = errors.New("the notebook is closed")
)

// ConflictError says that an id is taken. It is an ErrConflict. Nothing of the call was written.
type ConflictError struct {
	ID string // of the entry or frozen plan
	// Have says in a few words what the notebook holds under the id, and Differs where what came differs.
	Have, Differs string
}

// Error implements error.
func (e *ConflictError) Error() string {
	return fmt.Sprintf("%q is %s: it is %s; what was sent differs in %s; nothing was written", e.ID, ErrConflict, e.Have, e.Differs)
}

// Is makes a ConflictError an ErrConflict.
func (e *ConflictError) Is(target error) bool { return target == ErrConflict }

// SQLite's primary result codes, https://sqlite.org/rescode.html.
const (
	codePermission = 3
	codeBusy       = 5
	codeLocked     = 6
	codeReadOnly   = 8
	codeCorrupt    = 11
	codeFull       = 13
	codeCannotOpen = 14
	codeNotADB     = 26
)

// isCode says that an error comes from SQLite with one of these primary codes.
func isCode(err error, codes ...int) bool {
	var failed *sqlite.Error
	return errors.As(err, &failed) && slices.Contains(codes, failed.Code()&0xff)
}

// explain puts what SQLite or the file system says into the notebook's own errors, keeping the chain.
func explain(err error) error {
	switch {
	case err == nil:
		return nil
	case isCode(err, codeBusy, codeLocked):
		return fmt.Errorf("%w (%w)", ErrBusy, err)
	case isCode(err, codeReadOnly, codePermission, codeCannotOpen), errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%w (%w)", ErrReadOnly, err)
	case isCode(err, codeNotADB):
		return fmt.Errorf("%w (%w)", ErrNotNotebook, err)
	case isCode(err, codeCorrupt):
		return fmt.Errorf("%w (%w)", ErrDamaged, err)
	case isCode(err, codeFull):
		return fmt.Errorf("%w (%w)", ErrFull, err)
	default:
		return err
	}
}
