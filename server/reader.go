package server

import (
	"net/http"
	"strings"

	"culm/agronomy/unit"
)

// light is whether a page is for daylight or for dusk. Empty leaves it to the reader's machine.
type light string

const (
	day  light = "day"
	dusk light = "dusk"
)

// reader is how the person in front of the page reads. It is kept in cookies and nowhere else.
type reader struct {
	Units unit.System // empty until chosen or taken from the season
	Light light
}

const (
	unitsCookie = "culm-units"
	lightCookie = "culm-light"
)

func readerOf(r *http.Request) reader {
	var who reader
	if c, err := r.Cookie(unitsCookie); err == nil {
		who.Units = unitsIn(c.Value)
	}
	if c, err := r.Cookie(lightCookie); err == nil {
		who.Light = lightIn(c.Value)
	}
	return who
}

func unitsIn(s string) unit.System {
	switch u := unit.System(s); u {
	case unit.US, unit.Metric:
		return u
	default:
		return ""
	}
}

func lightIn(s string) light {
	switch l := light(s); l {
	case day, dusk:
		return l
	default:
		return ""
	}
}

// in gives the reader the season's units where they have chosen none.
func (who reader) in(units unit.System) reader {
	if who.Units == "" {
		who.Units = units
	}
	if who.Units == "" {
		who.Units = unit.US
	}
	return who
}

// setReader keeps a choice of units or light and goes back to where it was made.
func (s *Server) setReader(v *visit) error {
	if err := v.r.ParseForm(); err != nil {
		return badRequest("the form could not be read", err)
	}
	if v.r.PostForm.Has("units") {
		v.remember(unitsCookie, string(unitsIn(v.r.PostForm.Get("units"))))
	}
	if v.r.PostForm.Has("light") {
		v.remember(lightCookie, string(lightIn(v.r.PostForm.Get("light"))))
	}
	http.Redirect(v.w, v.r, localPath(v.r.PostForm.Get("back")), http.StatusSeeOther)
	return nil
}

const year = 365 * 24 * 60 * 60

func (v *visit) remember(name, value string) {
	c := &http.Cookie{Name: name, Value: value, Path: "/", MaxAge: year, HttpOnly: true, SameSite: http.SameSiteLaxMode}
	if value == "" {
		c.MaxAge = -1
	}
	http.SetCookie(v.w, c)
}

// localPath keeps a way back on this server.
func localPath(path string) string {
	if !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.Contains(path, `\`) {
		return "/"
	}
	return path
}
