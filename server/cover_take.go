package server

import (
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"path"
	"strings"

	"culm/exchange/photo"
	"culm/server/desk"
)

// isPhotos says that a request brings photos.
func isPhotos(r *http.Request) bool {
	return r.Method == http.MethodPost && strings.HasPrefix(r.URL.Path, "/fields/") && path.Base(r.URL.Path) == "cover" &&
		strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data")
}

// takePhotos looks at the photos that come with a form and leads to what was seen. Each is read while it arrives; none
// reaches the disk.
func (s *Server) takePhotos(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	field := v.r.PathValue("field")
	if _, ok := sheet.Season.Of(field, sheet.Today); !ok {
		return desk.ErrNoField
	}
	l := *newLook(field)
	if with := v.r.URL.Query().Get("with"); with != "" {
		if l, err = s.looks.find(field, with); err != nil {
			return err
		}
		if l.Kept {
			return badRequest("what these photos show is written down already; begin with new ones", nil)
		}
		l.Refused = nil
	}
	parts, err := v.r.MultipartReader()
	if err != nil {
		return badRequest("it brings no photos", err)
	}
	if err := s.takeAll(v.r.Context(), parts, &l); err != nil {
		return err
	}
	if len(l.Photos) == 0 && len(l.Refused) == 0 {
		l.Refused = []string{"No photo was chosen."}
	}
	if len(l.Photos) == 0 {
		return v.show(http.StatusUnprocessableEntity, coverFormPage(s.coverView(v, sheet, l)))
	}
	s.looks.put(l)
	http.Redirect(v.w, v.r, lookPath(l), http.StatusSeeOther)
	return nil
}

// takeAll reads one photo after the other.
func (s *Server) takeAll(ctx context.Context, parts *multipart.Reader, l *look) error {
	photos := append([]looked(nil), l.Photos...) // what is held is not written over
	defer func() { l.Photos = photos }()
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return notArrived(err)
		}
		if part.FormName() != "photo" || part.FileName() == "" {
			continue
		}
		if len(photos) == mostPhotos {
			l.Refused = append(l.Refused, fmt.Sprintf("Only the first %d photos were looked at; expected at most so many together.", mostPhotos))
			return nil
		}
		p, err := s.takeOne(ctx, part)
		switch {
		case errors.Is(err, photo.ErrNotRead):
			l.Refused = append(l.Refused, err.Error()+".")
		case err != nil:
			return notArrived(err)
		default:
			photos = append(photos, p)
		}
	}
}

func (s *Server) takeOne(ctx context.Context, part *multipart.Part) (looked, error) {
	select {
	case s.looks.reading <- struct{}{}:
		defer func() { <-s.looks.reading }()
	case <-ctx.Done():
		return looked{}, ctx.Err()
	}
	p, err := photo.Read(part.FileName(), part)
	if err != nil {
		return looked{}, err
	}
	return lookAt(p)
}

// notArrived tells photos that are too large together from a line that broke.
func notArrived(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return badRequest(fmt.Sprintf("the photos have more than %d MB together; send fewer at a time", large.Limit>>20), err)
	}
	return badRequest("the photos did not arrive whole; send them again", err)
}
