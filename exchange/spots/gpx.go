package spots

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"culm/agronomy/calendar"
	"culm/season"

	gpx "github.com/twpayne/go-gpx"
)

// namespace marks the element in which a spot travels whole through a GPX file.
const namespace = "culm:spot:1"

// spotXML is a spot inside a waypoint's extensions; what a device shows is said again in plain elements.
type spotXML struct {
	XMLName  xml.Name `xml:"spot"`
	Space    string   `xml:"xmlns,attr"`
	ID       string   `xml:"id,attr"`
	Field    string   `xml:"field,attr"`
	Spot     string   `xml:"spot,attr"`
	Pair     string   `xml:"pair,attr,omitempty"`
	Sample   string   `xml:"sample,attr,omitempty"`
	Day      string   `xml:"day,attr,omitempty"`
	Observer string   `xml:"observer,attr,omitempty"`
	Note     string   `xml:"note,attr,omitempty"`
}

// WriteGPX writes spots as waypoints. A device shows the name (the spot's id), the comment ("poor spot, pair
// 3, sample S-12, field h7"), the note as description and "poor" or "good" as type. It fails on a spot that
// has no place on Earth.
func WriteGPX(w io.Writer, spots []*season.Spot) error {
	file := &gpx.GPX{Version: "1.1", Creator: "Culm"}
	for _, s := range spots {
		if err := placed(s); err != nil {
			return err
		}
		whole, err := xml.Marshal(toXML(s))
		if err != nil {
			return fmt.Errorf("writing spot %s as GPX: %w", s.ID, err)
		}
		p := at(s.At)
		file.Wpt = append(file.Wpt, &gpx.WptType{
			Lat: p[1], Lon: p[0], Name: s.ID, Cmt: comment(s), Desc: s.Note, Type: string(s.Spot),
			Extensions: &gpx.ExtensionsType{XML: whole},
		})
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return fmt.Errorf("writing GPX: %w", err)
	}
	if err := file.WriteIndent(w, "", "  "); err != nil {
		return fmt.Errorf("writing GPX: %w", err)
	}
	return nil
}

func comment(s *season.Spot) string {
	parts := []string{string(s.Spot) + " spot"}
	for _, part := range []struct{ name, value string }{{"pair", s.Pair}, {"sample", s.Sample}, {"field", s.Field}} {
		if part.value != "" {
			parts = append(parts, part.name+" "+part.value)
		}
	}
	return strings.Join(parts, ", ")
}

func toXML(s *season.Spot) spotXML {
	x := spotXML{
		Space: namespace, ID: s.ID, Field: s.Field, Spot: string(s.Spot), Pair: s.Pair, Sample: s.Sample,
		Observer: s.Observer, Note: s.Note,
	}
	if !s.Day.IsZero() {
		x.Day = s.Day.String()
	}
	return x
}

// fromXML is the spot of an element, without its place; false for an element that is not one.
func fromXML(x *spotXML) (*season.Spot, bool) {
	if x == nil || x.Space != namespace || x.ID == "" || !isKind(x.Spot) {
		return nil, false
	}
	s := &season.Spot{
		ID: x.ID, Field: x.Field, Spot: season.SpotKind(x.Spot), Pair: x.Pair, Sample: x.Sample,
		Observer: x.Observer, Note: x.Note,
	}
	if x.Day != "" {
		day, err := calendar.Parse(x.Day)
		if err != nil {
			return nil, false
		}
		s.Day = day
	}
	return s, true
}

func isKind(s string) bool { return s == string(season.PoorSpot) || s == string(season.GoodSpot) }
