package server

import (
	"net/http"

	"culm/agronomy/cite"
)

func (s *Server) sources(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	return v.show(http.StatusOK, sourcesPage(v.shell(sheet, "Sources"), cite.All()))
}

// statuses lists how far numbers were confirmed, from the strongest to the weakest.
func statuses() []cite.Status {
	return []cite.Status{cite.Confirmed, cite.Quoted, cite.Derived, cite.FromMemory, cite.CommonPractice}
}

func withStatus(all []cite.Source, s cite.Status) []cite.Source {
	var found []cite.Source
	for _, source := range all {
		if source.Status == s {
			found = append(found, source)
		}
	}
	return found
}

func statusID(s cite.Status) string { return "status-" + statusClass(s) + "-" + string(s[:3]) }
