package server

import (
	"errors"
	"fmt"
	"net/http"

	"culm/advice"
	"culm/notebook"
	"culm/server/desk"
)

var errNoPage = errors.New("there is no such page")

// requestError is a request that cannot be answered as it was sent.
type requestError struct {
	what string
	err  error
}

func (e requestError) Error() string { return fmt.Sprintf("%s: %v", e.what, e.err) }
func (e requestError) Unwrap() error { return e.err }

func badRequest(what string, err error) error { return requestError{what, err} }

// problem is an error as a reader sees it.
type problem struct {
	Status   int
	Sentence string
	Hint     string
}

// problemOf finds the words for an error. What went wrong inside is not shown: it may name files.
func problemOf(err error) problem {
	var bad requestError
	switch {
	case errors.Is(err, desk.ErrNoField):
		return problem{http.StatusNotFound, "The season has no such field.", "It may have been renamed or taken out of the notebook. The overview lists all fields."}
	case errors.Is(err, notebook.ErrNotFound):
		return problem{http.StatusNotFound, "No plan was handed over under this name.", "Each field's page lists the plans handed over for it."}
	case errors.Is(err, errNoProducer):
		return problem{http.StatusNotFound, "The season has no such producer.", "The overview lists all producers under the list of fields."}
	case errors.Is(err, errNoBook):
		return problem{http.StatusNotFound, "The season goes by no such book of guidance.", "Its key may have changed. All books at hand stand under Books of guidance, at the foot of each page."}
	case errors.Is(err, errNoLook):
		return problem{http.StatusNotFound, "These photos are no longer here.", "Photos are not kept: newer ones took their place, or the server was started again. Take or choose them once more."}
	case errors.Is(err, errNoPage):
		return problem{http.StatusNotFound, "There is no such page.", "Start again from the overview."}
	case errors.Is(err, desk.ErrMoved):
		return problem{http.StatusConflict, "Nothing was handed over: the notebook or the day changed after you opened the plan.", "Go back, read the plan as it stands now, and hand that over."}
	case errors.Is(err, advice.ErrDamaged), errors.Is(err, notebook.ErrDamaged):
		return problem{http.StatusInternalServerError, "This plan was changed or damaged after it was handed over.", "Its contents no longer fit its hash, so it is not shown. Look for it in a backup of the notebook."}
	case errors.Is(err, notebook.ErrBusy):
		return problem{http.StatusServiceUnavailable, "Another program is writing to the notebook.", "Try again in a moment."}
	case errors.As(err, &bad):
		return problem{http.StatusBadRequest, "This request cannot be answered: " + bad.what + ".", "Go back and try again."}
	default:
		return problem{http.StatusInternalServerError, "Something went wrong on this server.", "The window in which it runs may say more."}
	}
}

// explain answers with an error.
func (v *visit) explain(err error) {
	p := problemOf(err)
	if p.Status == http.StatusInternalServerError {
		v.server.report(v.r, err)
	}
	sh := shell{Title: p.Sentence, Reader: v.reader.in(""), Here: "/", Assets: v.server.assets}
	if showErr := v.show(p.Status, problemPage(sh, p)); showErr != nil {
		http.Error(v.w, p.Sentence, p.Status)
	}
}
