package spots

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/season"

	"golang.org/x/net/html/charset"
)

// Limits on a GPX file that is read.
const (
	mostBytes     = 8 << 20
	mostWaypoints = 20000
)

// Waypoint is a place that a device marked.
type Waypoint struct {
	Name        string
	Comment     string
	Description string
	Type        string
	At          season.Position
	// Time is zero when the device gave none, or one without a time zone that nobody could place.
	Time time.Time
	Line int // of the file
	// spot is the spot that WriteGPX put into the waypoint; nil for one from elsewhere.
	spot *season.Spot
}

type waypointXML struct {
	Lat     *string  `xml:"lat,attr"`
	Lon     *string  `xml:"lon,attr"`
	Name    string   `xml:"name"`
	Comment string   `xml:"cmt"`
	Desc    string   `xml:"desc"`
	Type    string   `xml:"type"`
	Time    string   `xml:"time"`
	Spot    *spotXML `xml:"extensions>spot"`
}

// ReadGPX reads the waypoints of a GPX file, 1.0 or 1.1; routes and tracks are passed over. A waypoint
// without a place on Earth is left out and reported. An error means that the file is not GPX, breaks off, or
// is larger than any scout's.
func ReadGPX(r io.Reader) ([]Waypoint, []season.Problem, error) {
	g := newGPXReader(r)
	root, err := g.next()
	switch {
	case errors.Is(err, io.EOF):
		return nil, nil, errors.New("the file is empty, expected GPX")
	case err != nil:
		return nil, nil, err
	case root.Name.Local != "gpx":
		return nil, nil, fmt.Errorf("the file begins with <%s>, expected GPX, which begins with <gpx>", clip(root.Name.Local))
	}
	var waypoints []Waypoint
	var problems []season.Problem
	for {
		start, err := g.next()
		switch {
		case errors.Is(err, io.EOF):
			return waypoints, problems, nil
		case err != nil:
			return nil, nil, err
		}
		if start.Name.Local != "wpt" {
			if err := g.skip(); err != nil {
				return nil, nil, err
			}
			continue
		}
		if len(waypoints)+len(problems) == mostWaypoints {
			return nil, nil, fmt.Errorf("the GPX file has more than %d waypoints", mostWaypoints)
		}
		w, problem, err := g.waypoint(start)
		switch {
		case err != nil:
			return nil, nil, err
		case problem != nil:
			problems = append(problems, *problem)
		default:
			waypoints = append(waypoints, w)
		}
	}
}

// gpxReader goes through a file element by element and never reads more than mostBytes of it.
type gpxReader struct {
	limited *io.LimitedReader
	xml     *xml.Decoder
}

func newGPXReader(r io.Reader) *gpxReader {
	limited := &io.LimitedReader{R: r, N: mostBytes + 1}
	d := xml.NewDecoder(limited)
	d.CharsetReader = charset.NewReaderLabel
	return &gpxReader{limited, d}
}

// next gives the next element that begins, or io.EOF.
func (g *gpxReader) next() (xml.StartElement, error) {
	for {
		token, err := g.xml.Token()
		if err != nil {
			return xml.StartElement{}, g.explain(err)
		}
		if start, ok := token.(xml.StartElement); ok {
			return start, nil
		}
	}
}

func (g *gpxReader) skip() error { return g.explain(g.xml.Skip()) }

func (g *gpxReader) waypoint(start xml.StartElement) (Waypoint, *season.Problem, error) {
	line, _ := g.xml.InputPos()
	var x waypointXML
	if err := g.xml.DecodeElement(&x, &start); err != nil {
		return Waypoint{}, nil, g.explain(err)
	}
	w, problem := fromWaypoint(x, line)
	return w, problem, nil
}

// explain says where the file broke off, or that it is too large; io.EOF stays as it is.
func (g *gpxReader) explain(err error) error {
	line, _ := g.xml.InputPos()
	switch {
	case err == nil:
		return nil
	case g.limited.N <= 0:
		return fmt.Errorf("the GPX file has more than %d MB", mostBytes>>20)
	case errors.Is(err, io.EOF):
		return io.EOF
	default:
		return fmt.Errorf("the GPX file cannot be read at line %d: %w", line, err)
	}
}

func fromWaypoint(x waypointXML, line int) (Waypoint, *season.Problem) {
	w := Waypoint{
		Name: strings.TrimSpace(x.Name), Comment: strings.TrimSpace(x.Comment),
		Description: strings.TrimSpace(x.Desc), Type: strings.TrimSpace(x.Type), Line: line,
	}
	lat, okLat := degrees(x.Lat)
	lon, okLon := degrees(x.Lon)
	w.At = season.Position{Lon: lon, Lat: lat}
	if !okLat || !okLon || !onEarth(w.At) {
		return w, &season.Problem{
			Severity: season.Doubtful, Line: line, Field: "wpt",
			Message: fmt.Sprintf("waypoint %q has no place on Earth and is left out", clip(w.Name)),
			Found:   fmt.Sprintf("lat %s, lon %s", given(x.Lat), given(x.Lon)), Expected: "degrees in lat and lon",
		}
	}
	w.Time, _ = time.Parse(time.RFC3339, strings.TrimSpace(x.Time)) // zero when it cannot be placed
	if s, ok := fromXML(x.Spot); ok {
		s.At = w.At
		w.spot = s
	}
	return w, nil
}

func degrees(text *string) (float64, bool) {
	if text == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(*text), 64)
	return v, err == nil
}

func given(text *string) string {
	if text == nil {
		return "missing"
	}
	return clip(strconv.Quote(*text))
}

// clip keeps a hostile text from filling a message.
func clip(text string) string {
	const most = 60
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "…"
}

// Given is what the waypoints of a device do not say themselves.
type Given struct {
	Field    string
	Observer string
	// Day is taken for waypoints without a time; Zone is that of the field, nil for UTC.
	Day  calendar.Day
	Zone *time.Location
}

// AsSpots makes spots of waypoints. A waypoint that WriteGPX wrote comes back whole. Of others, the type
// says poor or good, or else the name does: "P3", "poor 3" or "good-3"; what follows names the pair, and the
// name is the id. Waypoints that say neither are left out and reported.
func AsSpots(waypoints []Waypoint, g Given) ([]*season.Spot, []season.Problem) {
	var spots []*season.Spot
	var problems []season.Problem
	for _, w := range waypoints {
		if w.spot != nil {
			spots = append(spots, w.spot)
			continue
		}
		kind, pair, ok := told(w)
		if !ok || w.Name == "" {
			problems = append(problems, season.Problem{
				Severity: season.Doubtful, Line: w.Line, Field: "wpt",
				Message:  "a waypoint does not say whether it is a poor or a good spot and is left out",
				Found:    fmt.Sprintf("name %q, type %q", clip(w.Name), clip(w.Type)),
				Expected: `a name such as "P3" or "good 3", or the type "poor" or "good"`,
			})
			continue
		}
		day := g.Day
		if !w.Time.IsZero() {
			day = calendar.FromTime(w.Time.In(zone(g.Zone)))
		}
		spots = append(spots, &season.Spot{
			ID: w.Name, Field: g.Field, Day: day, Observer: g.Observer, Spot: kind, Pair: pair, At: w.At, Note: w.Description,
		})
	}
	return spots, problems
}

func zone(loc *time.Location) *time.Location {
	if loc == nil {
		return time.UTC
	}
	return loc
}

// told reads kind and pair from a waypoint's type and name.
func told(w Waypoint) (kind season.SpotKind, pair string, ok bool) {
	name := strings.ToLower(w.Name)
	for _, word := range []struct {
		text string
		kind season.SpotKind
	}{{"poor", season.PoorSpot}, {"good", season.GoodSpot}, {"p", season.PoorSpot}, {"g", season.GoodSpot}} {
		rest, begins := strings.CutPrefix(name, word.text)
		number := strings.Trim(rest, " -_#.")
		if _, err := strconv.ParseUint(number, 10, 32); begins && err == nil {
			kind, pair, ok = word.kind, number, true
			break
		}
	}
	if byType := strings.ToLower(w.Type); isKind(byType) {
		kind, ok = season.SpotKind(byType), true
	}
	return kind, pair, ok
}
