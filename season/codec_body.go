package season

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"culm/agronomy/working"
)

// WrittenBody is a body in writing, as it lies in a file or a database.
//
// Version counts the shapes that a kind of body has had. Whoever changes a body type, and be it by one
// optional member, gives it the next version in blank and teaches Read the earlier ones. So a program never
// reads half of what a later one wrote: it either knows the shape or keeps the body whole, as an Opaque.
type WrittenBody struct {
	Kind    Kind
	Version int
	// Subject is the body's Subject. Reading a body of a known shape, it may be left empty.
	Subject string
	JSON    []byte
}

// blank gives an empty body of a kind and the version of its present shape, or nil for a kind not known.
func blank(k Kind) (Body, int) {
	switch k {
	case KindSettings:
		return &Settings{}, 3 // from 2 on with books and the score of lime, from 3 on with limits of the ground
	case KindProducer:
		return &Producer{}, 1
	case KindField:
		return &Field{}, 2 // from 2 on with further stations
	case KindBoundary:
		return &Boundary{}, 1
	case KindReadings:
		return &Readings{}, 1
	case KindRamp:
		return &Ramp{}, 1
	case KindVisit:
		return &Visit{}, 1
	case KindSoil:
		return &Soil{}, 2 // from 2 on with zone and mass of soil, and each sampling of an id stands
	case KindSpot:
		return &Spot{}, 1
	case KindApplied:
		return &Applied{}, 1
	case KindHarvest:
		return &Harvest{}, 1
	case KindStation:
		return &Station{}, 2 // from 2 on with time zone and hour of reading
	case KindWeather:
		return &Weather{}, 1
	case KindForecast:
		return &Forecast{}, 2 // from 2 on with hours
	case KindPrice:
		return &Price{}, 2 // from 2 on each day's price stands
	case KindTrial:
		return &Trial{}, 1
	case KindRig:
		return &Rig{}, 1
	default:
		return nil, 0
	}
}

// WriteBody writes a body in the present shape of its kind, and an Opaque as it came. A price's origin is
// not written: Assemble draws it from the entry. It fails on what JSON cannot hold: numbers that are not
// finite and text that is not UTF-8.
func WriteBody(b Body) (WrittenBody, error) {
	if o, ok := b.(*Opaque); ok {
		return o.Written, o.Written.checkOpaque()
	}
	_, version := blank(b.Kind())
	w := WrittenBody{Kind: b.Kind(), Version: version, Subject: b.Subject()}
	if version == 0 {
		return WrittenBody{}, fmt.Errorf("%s: not a kind of entry", w.Kind)
	}
	if err := checkSubject(w.Subject); err != nil {
		return WrittenBody{}, fmt.Errorf("%s: %w", w.Kind, err)
	}
	data, err := json.Marshal(withoutDerived(b))
	if err != nil {
		return WrittenBody{}, fmt.Errorf("%s %s: %w", w.Kind, w.Subject, plain(err))
	}
	if hasReplacement(data) {
		return WrittenBody{}, fmt.Errorf("%s %q: holds text that is not UTF-8", w.Kind, w.Subject)
	}
	w.JSON = data
	return w, nil
}

// Read reads the body. A body of an unknown kind, or of a later shape than this program knows, comes back
// as an Opaque. See Entry.UnmarshalJSON on how strict it is.
func (w WrittenBody) Read() (Body, error) {
	if w.Kind == "" {
		return nil, errors.New("kind is missing")
	}
	if w.Version < 1 {
		return nil, fmt.Errorf("%s: version is %d, expected 1 or more", w.Kind, w.Version)
	}
	body, version := blank(w.Kind)
	if w.Version > version {
		return w.keep()
	}
	if err := readStrictly(w.JSON, body, reflect.TypeOf(body).Elem()); err != nil {
		return nil, fmt.Errorf("%s: %w", w.Kind, err)
	}
	body = withoutDerived(body)
	if err := checkSubject(body.Subject()); err != nil {
		return nil, fmt.Errorf("%s: %w", w.Kind, err)
	}
	if want := subjectAt(body, w.Version); w.Subject != "" && w.Subject != want {
		return nil, fmt.Errorf("%s: subject is %q but the body speaks of %q", w.Kind, w.Subject, want)
	}
	return body, nil
}

// subjectAt is the subject a body had in a version of its shape.
func subjectAt(b Body, version int) string {
	switch b := b.(type) {
	case *Price:
		if version < 2 { // a price then took the place of every earlier one
			return b.Item
		}
	case *Soil:
		if version < 2 { // as a sample did of every earlier one under its id
			return b.Field + "/" + b.Sample + "/" + b.top()
		}
	}
	return b.Subject()
}

// Subjects lists under which subjects a body may lie in writing: its Subject, and those of earlier shapes.
func Subjects(b Body) []string {
	subjects := []string{b.Subject()}
	_, version := blank(b.Kind())
	for v := version - 1; v > 0; v-- {
		if s := subjectAt(b, v); !slices.Contains(subjects, s) {
			subjects = append(subjects, s)
		}
	}
	return subjects
}

// checkSubject refuses a body that does not say what it speaks of.
func checkSubject(subject string) error {
	if subject == "" || strings.HasPrefix(subject, "/") {
		return errors.New("does not say what it speaks of: the id of its field, station or the like is empty")
	}
	return nil
}

// withoutDerived takes out of a body what Assemble fills in.
func withoutDerived(b Body) Body {
	if p, ok := b.(*Price); ok && p.Origin != (working.Origin{}) {
		bare := *p
		bare.Origin = working.Origin{}
		return &bare
	}
	return b
}

// Opaque is a body that this program cannot read: of a kind it does not know, or of a later shape. It is
// kept as it came and written again unharmed. It supersedes and stands like any other, and Assemble passes
// over it; Unread tells a person about it.
type Opaque struct {
	Written WrittenBody
}

// Kind implements Body.
func (o *Opaque) Kind() Kind { return o.Written.Kind }

// Subject implements Body.
func (o *Opaque) Subject() string { return o.Written.Subject }

func (w WrittenBody) keep() (Body, error) {
	compact, err := compactly(w.JSON)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", w.Kind, err)
	}
	w.JSON = compact
	if err := w.checkOpaque(); err != nil {
		return nil, err
	}
	return &Opaque{Written: w}, nil
}

func (w WrittenBody) checkOpaque() error {
	_, known := blank(w.Kind)
	switch {
	case w.Kind == "" || w.Version <= known:
		return fmt.Errorf("%s: version %d is known here and must not be kept unread", w.Kind, w.Version)
	case w.Subject == "":
		return fmt.Errorf("%s: subject is missing; a kind not known here must say what it speaks of", w.Kind)
	case !strings.HasPrefix(string(w.JSON), "{"):
		return fmt.Errorf("%s: body is not an object in braces", w.Kind)
	}
	return nil
}

// Unread lists the entries among those that stand which this program cannot read, as problems to show.
func Unread(entries []Entry) []Problem {
	var problems []Problem
	for _, e := range Standing(entries) {
		if o, ok := e.Body.(*Opaque); ok {
			problems = append(problems, Problem{
				Severity: Doubtful, File: e.Where.File, Line: e.Where.Line,
				Message:  "An entry was written by a later version of Culm and is left out of the advice.",
				Found:    fmt.Sprintf("%s %s, version %d, by %s", o.Kind(), o.Subject(), o.Written.Version, e.Writer),
				Expected: "update Culm to use it",
			})
		}
	}
	return problems
}

// FieldOf names the field that a body speaks of. It is empty for what belongs to no single field: settings,
// producers, stations, weather, forecasts, prices, trials.
func FieldOf(b Body) string {
	switch b := b.(type) {
	case *Field:
		return b.ID
	case *Boundary:
		return b.Field
	case *Readings:
		return b.Field
	case *Ramp:
		return b.Field
	case *Visit:
		return b.Field
	case *Soil:
		return b.Field
	case *Spot:
		return b.Field
	case *Applied:
		return b.Field
	case *Harvest:
		return b.Field
	case *Opaque:
		return b.field()
	default:
		return ""
	}
}

// field reads the member that every body about a field has had so far, if the unread body has it too.
func (o *Opaque) field() string {
	var in struct {
		Field string `json:"field"`
	}
	if err := json.Unmarshal(o.Written.JSON, &in); err != nil {
		return ""
	}
	return in.Field
}
