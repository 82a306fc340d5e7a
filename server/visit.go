package server

import (
	"bytes"
	"encoding/json"
	"mime"
	"net/http"

	"culm/advice"
	"culm/server/desk"

	"github.com/a-h/templ"
)

// visit is one request and its answer.
type visit struct {
	w      http.ResponseWriter
	r      *http.Request
	reader reader
	server *Server
}

// visited turns an answer into a handler. An answer writes nothing before it knows that it will succeed; an
// error becomes a page of its own.
func (s *Server) visited(answer func(*visit) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		v := &visit{w: w, r: r, reader: readerOf(r), server: s}
		if err := answer(v); err != nil {
			v.explain(err)
		}
	}
}

// sheet gives the season, and sets the units of a reader who has not chosen any to the season's.
func (v *visit) sheet() (*desk.Sheet, error) {
	sheet, err := v.server.desk.Sheet(v.r.Context())
	if err == nil {
		v.reader = v.reader.in(sheet.Season.Settings.Units)
	}
	return sheet, err
}

// plan gives the season and the plan of the field in the address.
func (v *visit) plan() (*desk.Sheet, *advice.Plan, error) {
	sheet, err := v.sheet()
	if err != nil {
		return nil, nil, err
	}
	plan, ok := sheet.Plan(v.r.PathValue("field"), v.reader.Units)
	if !ok {
		return sheet, nil, desk.ErrNoField
	}
	return sheet, plan, nil
}

// shell gives what every page of the season needs.
func (v *visit) shell(sheet *desk.Sheet, title string) shell {
	return shell{
		Title: title, Settings: sheet.Season.Settings, Today: sheet.Today, Reader: v.reader,
		Here: v.r.URL.RequestURI(), Assets: v.server.assets,
	}
}

// show writes a page, whole or not at all.
func (v *visit) show(status int, page templ.Component) error {
	var text bytes.Buffer
	if err := page.Render(v.r.Context(), &text); err != nil {
		return err
	}
	return v.send(status, "text/html; charset=utf-8", text.Bytes())
}

func (v *visit) showJSON(value any) error {
	text, err := json.MarshalIndent(value, "", " ")
	if err != nil {
		return err
	}
	return v.send(http.StatusOK, "application/json", append(text, '\n'))
}

func (v *visit) send(status int, kind string, text []byte) error {
	v.w.Header().Set("Content-Type", kind)
	v.w.WriteHeader(status)
	_, _ = v.w.Write(text) // who no longer listens cannot be told
	return nil
}

// offer names a file that the browser is to save.
func (v *visit) offer(name string) { v.name("attachment", name) }

func (v *visit) name(disposition, name string) {
	v.w.Header().Set("Content-Disposition", mime.FormatMediaType(disposition, map[string]string{"filename": name}))
}
