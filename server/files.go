package server

import (
	"bytes"
	"io"
	"log/slog"
	"net/http"

	"culm/exchange/spots"
	"culm/season"
	"culm/server/desk"
)

// markedSpots lists the spots of the field in the query, or of all fields.
func (v *visit) markedSpots() ([]*season.Spot, error) {
	sheet, err := v.sheet()
	if err != nil {
		return nil, err
	}
	if field := v.r.URL.Query().Get("field"); field != "" {
		if _, ok := sheet.Season.Of(field, sheet.Today); !ok {
			return nil, desk.ErrNoField
		}
		return sheet.Season.Spots[field], nil
	}
	var all []*season.Spot
	for _, f := range sheet.Season.Fields {
		all = append(all, sheet.Season.Spots[f.ID]...)
	}
	return all, nil
}

func (s *Server) spotsGeoJSON(v *visit) error {
	return v.sendSpots("application/geo+json", "spots.geojson", spots.WriteGeoJSON)
}

func (s *Server) spotsGPX(v *visit) error {
	return v.sendSpots("application/gpx+xml", "spots.gpx", spots.WriteGPX)
}

func (v *visit) sendSpots(kind, name string, write func(io.Writer, []*season.Spot) error) error {
	marked, err := v.markedSpots()
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := write(&text, marked); err != nil {
		return err
	}
	v.offer(name)
	return v.send(http.StatusOK, kind, text.Bytes())
}

// healthz says that the notebook can be read.
func (s *Server) healthz(v *visit) error {
	if _, err := v.sheet(); err != nil {
		s.report(v.r, err)
		return v.send(http.StatusServiceUnavailable, "text/plain; charset=utf-8", []byte("the notebook cannot be read\n"))
	}
	return v.send(http.StatusOK, "text/plain; charset=utf-8", []byte("ok\n"))
}

// report writes an error down where the server runs.
func (s *Server) report(r *http.Request, err error) {
	slog.Error("a page could not be answered", "method", r.Method, "path", r.URL.Path, "error", err)
}
