package server

import (
	"bytes"
	"errors"
	"net/http"

	"culm/advice"
	"culm/exchange/days"
	"culm/server/desk"
)

var errNoProducer = errors.New("the season has no such producer")

// daysFeed gives the good days of a field to any program that keeps a calendar.
func (s *Server) daysFeed(v *visit) error {
	k, err := v.calendar()
	if err != nil {
		return err
	}
	return v.sendFeed(k.Field.Name+": days for top-dressing", k.Field.ID+"-days.ics", []advice.Calendar{k})
}

// daysJSON gives the whole table of days of a field.
func (s *Server) daysJSON(v *visit) error {
	k, err := v.calendar()
	if err != nil {
		return err
	}
	return v.showJSON(k)
}

// calendar gives the table of days of the field in the address.
func (v *visit) calendar() (advice.Calendar, error) {
	sheet, err := v.sheet()
	if err != nil {
		return advice.Calendar{}, err
	}
	k, ok := sheet.Calendar(v.r.PathValue("field"), v.reader.Units)
	if !ok {
		return k, desk.ErrNoField
	}
	return k, nil
}

// allDaysFeed gives the good days of all fields, or of one producer's.
func (s *Server) allDaysFeed(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	producer, of, name := v.r.URL.Query().Get("producer"), sheet.Season.Settings.Name, "days.ics"
	if producer != "" {
		if of, err = producerNamed(sheet, producer); err != nil {
			return err
		}
		name = producer + "-days.ics"
	}
	var fields []string
	for _, f := range sheet.Season.Fields {
		if producer == "" || f.Producer == producer {
			fields = append(fields, f.ID)
		}
	}
	return v.sendFeed(of+": days for top-dressing", name, sheet.Calendars(fields, v.reader.Units))
}

func producerNamed(sheet *desk.Sheet, id string) (string, error) {
	for _, p := range sheet.Season.Producers {
		if p.ID == id {
			return p.Name, nil
		}
	}
	return "", errNoProducer
}

func (v *visit) sendFeed(title, file string, fields []advice.Calendar) error {
	var text bytes.Buffer
	if err := days.Write(&text, title, fields); err != nil {
		return err
	}
	v.name("inline", file)
	return v.send(http.StatusOK, "text/calendar; charset=utf-8", text.Bytes())
}

// feedPath is the address of the feed of all fields, or of one producer's.
func feedPath(producer string) string {
	if producer == "" {
		return "/days.ics"
	}
	return "/days.ics?producer=" + escapeQuery(producer)
}
