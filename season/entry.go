// Package season holds what is known of a district's winter: fields, observations, weather, prices. It is
// the meeting place of files, notebook and advice, and is itself pure: values in, values out.
//
// Knowledge comes as entries. An entry is written once and never changed; a correction is a new entry that
// supersedes an old one. Assemble puts the entries that stand into a Season, and Season.Of takes out of it
// what one field's advice needs.
package season

import (
	"time"

	"culm/agronomy/calendar"
)

// Kind names what an entry records.
type Kind string

// The kinds of entry, each with the body type of the same name.
const (
	KindSettings Kind = "settings"
	KindProducer Kind = "producer"
	KindField    Kind = "field"
	KindBoundary Kind = "boundary"
	KindReadings Kind = "readings"
	KindRamp     Kind = "ramp"
	KindVisit    Kind = "visit"
	KindSoil     Kind = "soil"
	KindSpot     Kind = "spot"
	KindApplied  Kind = "applied"
	KindHarvest  Kind = "harvest"
	KindStation  Kind = "station"
	KindWeather  Kind = "weather"
	KindForecast Kind = "forecast"
	KindPrice    Kind = "price"
	KindTrial    Kind = "trial"
	KindRig      Kind = "rig"
)

// Body is what an entry records: one of the body types of this package, always a pointer.
type Body interface {
	// Kind says which body type this is.
	Kind() Kind
	// Subject is the natural key: two entries of one kind and subject speak of the same thing, and the one
	// that supersedes, or else the one recorded later, stands.
	Subject() string
}

// Entry is one thing written in the notebook.
type Entry struct {
	// ID is made where the entry was written. Sending an entry twice changes nothing.
	ID string `json:"id"`
	// Supersedes is the id of the entry that this one corrects, if any.
	Supersedes string `json:"supersedes,omitempty"`
	// Observed is the day the thing was seen or became true, Recorded the moment it was written down.
	Observed calendar.Day `json:"observed,omitzero"`
	Recorded time.Time    `json:"recorded"`
	// Writer is the person or device that wrote the entry.
	Writer string `json:"writer"`
	// Where is the file and line the entry was read from, if it came from a file.
	Where Where `json:"where,omitzero"`
	// Withdrawn marks a correction that takes the superseded entry back and puts nothing in its place.
	Withdrawn bool `json:"withdrawn,omitempty"`
	Body      Body `json:"body"`
}

// Where is a place in a file.
type Where struct {
	File string `json:"file,omitempty"`
	Line int    `json:"line,omitempty"`
}

// Problem is something wrong with what was read. It names the place, what was found and what was expected.
type Problem struct {
	Severity Severity `json:"severity"`
	File     string   `json:"file,omitempty"`
	Line     int      `json:"line,omitempty"`
	// Field is the column, key or property at fault.
	Field    string `json:"field,omitempty"`
	Message  string `json:"message"` // one plain sentence
	Found    string `json:"found,omitempty"`
	Expected string `json:"expected,omitempty"`
}

// Severity says what a problem prevents.
type Severity string

const (
	// Fatal: the season cannot be used until it is put right.
	Fatal Severity = "error"
	// Doubtful: usable, but a person should look.
	Doubtful Severity = "warning"
)
