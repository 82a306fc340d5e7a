package server

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/season"
)

// shell is what stands around every page.
type shell struct {
	Title    string
	Settings season.Settings
	Today    calendar.Day // zero on a page without a season
	Reader   reader
	Here     string // path and query, to come back to after a choice
	Assets   assets
	Styles   []string // addresses of further style sheets
}

// statusClass names a status for the style sheet.
func statusClass(s cite.Status) string {
	switch s {
	case cite.Confirmed:
		return "is-confirmed"
	case cite.Quoted, cite.Derived:
		return "is-derived"
	default:
		return "is-unconfirmed"
	}
}

func pressed(chosen bool) string {
	if chosen {
		return "true"
	}
	return "false"
}
