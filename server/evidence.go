package server

import (
	"culm/advice"
	"culm/season"
)

// seenHow says who took readings, when, with what, against what.
func (f fieldView) seenHow(e advice.NeedEvidence) string {
	text := e.Observer + ", " + longDay(e.Day)
	switch {
	case e.Instrument != "":
		text += ", " + e.Instrument
	case e.Means == season.Eye:
		text += ", by eye"
	}
	return text + "; " + against(e.Reference) + " " + e.Strip + ", " + plural(e.Pairs, "pair")
}

// because joins a reason to what it explains.
func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + why
}
