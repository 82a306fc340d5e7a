package folder

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"culm/season"
)

const boundariesFile = "boundaries.geojson"

// mostCoordinates bounds the text of one field's outline, in bytes.
const mostCoordinates = 16 * mb

// feature is a feature of GeoJSON (RFC 7946) as it stands in boundaries.geojson.
type feature struct {
	Type       string `json:"type"`
	Properties struct {
		Field string       `json:"field"`
		Entry *stampInJSON `json:"entry"`
	} `json:"properties"`
	Geometry *struct {
		Type        string          `json:"type"`
		Coordinates json.RawMessage `json:"coordinates"`
	} `json:"geometry"`
}

// stampInJSON is the stamp of a feature, for entries that came from elsewhere.
type stampInJSON struct {
	ID         string `json:"id,omitempty"`
	Writer     string `json:"writer,omitempty"`
	Observed   string `json:"observed,omitempty"`
	Recorded   string `json:"recorded,omitempty"`
	Supersedes string `json:"supersedes,omitempty"`
}

// readBoundaries reads boundaries.geojson one feature at a time, so that each can name its line.
func readBoundaries(data []byte, _ string, k *known, r *report) []made {
	b := boundaryReader{data: data, report: r, decoder: json.NewDecoder(bytes.NewReader(data)), known: k, line: 1}
	if err := b.collection(); err != nil {
		b.reportJSON(err)
	}
	return b.entries
}

type boundaryReader struct {
	data    []byte
	report  *report
	decoder *json.Decoder
	known   *known
	entries []made
	// line is the line of the byte at; both only go forward.
	at, line int
}

const expectedCollection = "a GeoJSON FeatureCollection, with a field's id in each feature's property \"field\""

// collection goes through the members of the outermost object.
func (b *boundaryReader) collection() error {
	if token, err := b.decoder.Token(); err != nil || token != json.Delim('{') {
		if err == nil {
			b.report.wrong(1, "", "this is no collection of features", fmt.Sprint(token), expectedCollection)
		}
		return err
	}
	kind, hasFeatures := "", false
	for b.decoder.More() {
		name, err := b.decoder.Token()
		if err != nil {
			return err
		}
		switch name {
		case "type":
			err = b.decoder.Decode(&kind)
		case "features":
			hasFeatures = true
			err = b.features()
		case "crs":
			err = b.crs()
		default:
			err = b.decoder.Decode(new(json.RawMessage))
		}
		if err != nil {
			return err
		}
	}
	if kind != "FeatureCollection" || !hasFeatures {
		b.report.wrong(1, "type", "this is no collection of features", quoted(kind), expectedCollection)
	}
	_, err := b.decoder.Token()
	if err != nil {
		return err
	}
	if rest := bytes.TrimSpace(b.data[b.decoder.InputOffset():]); len(rest) > 0 {
		b.report.wrong(b.here(), "", "something follows the end of the collection", string(rest[:min(len(rest), mostShown)]), "the end of the file")
	}
	return nil
}

// crs refuses another coordinate system than that of GeoJSON. Files of the draft before RFC 7946 could name
// one; metres taken for degrees would put a field anywhere.
func (b *boundaryReader) crs() error {
	line := b.here()
	var named struct {
		Properties struct {
			Name string `json:"name"`
		} `json:"properties"`
	}
	if err := b.decoder.Decode(&named); err != nil {
		return err
	}
	switch named.Properties.Name {
	case "", "urn:ogc:def:crs:OGC:1.3:CRS84", "urn:ogc:def:crs:OGC::CRS84", "EPSG:4326", "urn:ogc:def:crs:EPSG::4326":
	default:
		b.report.wrong(line, "crs", "the coordinates are not in longitude and latitude of WGS 84", named.Properties.Name, "degrees of WGS 84, without a crs member")
	}
	return nil
}

func (b *boundaryReader) features() error {
	if token, err := b.decoder.Token(); err != nil || token != json.Delim('[') {
		if err == nil {
			err = errors.New("features is not a list")
		}
		return err
	}
	for b.decoder.More() {
		line := b.here()
		var f feature
		err := b.decoder.Decode(&f)
		var wrongType *json.UnmarshalTypeError
		switch {
		case errors.As(err, &wrongType): // the decoder has gone past the feature
			b.report.wrong(line, wrongType.Field, "a part of the feature is of the wrong kind", "a "+wrongType.Value, "a feature as RFC 7946 has it")
		case err != nil:
			return err
		default:
			b.feature(&f, line)
		}
	}
	_, err := b.decoder.Token()
	return err
}

// here is the line at which the next value begins.
func (b *boundaryReader) here() int {
	offset := int(b.decoder.InputOffset())
	for offset < len(b.data) && bytes.IndexByte([]byte(" \t\r\n,:"), b.data[offset]) >= 0 {
		offset++
	}
	b.line += lineEnds(b.data[b.at:offset])
	b.at = offset
	return b.line
}

func (b *boundaryReader) reportJSON(err error) {
	offset := int(b.decoder.InputOffset())
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		offset = int(syntax.Offset)
	}
	message := "the file is not readable as JSON: " + err.Error()
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		offset, message = len(b.data), "the file ends in the middle"
	}
	b.report.wrong(lineAt(b.data, min(offset, len(b.data))), "", message, "", expectedCollection)
}

func (b *boundaryReader) feature(f *feature, line int) {
	r := b.report
	switch {
	case f.Type != "Feature":
		r.wrong(line, "type", "this is no feature", quoted(f.Type), "\"Feature\"")
	case f.Properties.Field == "":
		r.wrong(line, "field", "the feature does not say which field it bounds", "", "the id of a field in property \"field\"")
	case f.Geometry == nil:
		r.wrong(line, "geometry", "the feature has no geometry", "", "a Polygon or a MultiPolygon")
	default:
		b.outline(f, line)
	}
}

func (b *boundaryReader) outline(f *feature, line int) {
	r := b.report
	if n := len(f.Geometry.Coordinates); n > mostCoordinates {
		r.wrong(line, "coordinates", "the outline is too long for a field", sized(int64(n)), "at most "+sized(mostCoordinates))
		return
	}
	var polygons [][][]place
	var err error
	switch f.Geometry.Type {
	case "Polygon":
		polygons = make([][][]place, 1)
		err = json.Unmarshal(f.Geometry.Coordinates, &polygons[0])
	case "MultiPolygon":
		err = json.Unmarshal(f.Geometry.Coordinates, &polygons)
	default:
		r.wrong(line, "geometry", "a field is bounded by an area", quoted(f.Geometry.Type), "a Polygon or a MultiPolygon")
		return
	}
	if err != nil {
		r.wrong(line, "coordinates", "the coordinates cannot be read: "+err.Error(), "", "lists of [longitude, latitude]")
		return
	}
	st, ok := f.Properties.Entry.stamp(line, r)
	if !ok {
		return
	}
	body := &season.Boundary{Field: f.Properties.Field, Polygons: b.closed(polygons, f, line)}
	e, err := b.known.habits.entry(body, st, season.Where{File: r.file, Line: line})
	if err != nil {
		r.wrong(line, "", "the feature cannot be kept: "+err.Error(), "", "")
		return
	}
	b.entries = append(b.entries, made{entry: e})
}

// closed copies the rings, and closes those that are not, which it reports: RFC 7946 wants the first place
// again at the end.
func (b *boundaryReader) closed(polygons [][][]place, f *feature, line int) [][][]season.Position {
	var all [][][]season.Position
	open := false
	for _, polygon := range polygons {
		var rings [][]season.Position
		for _, ring := range polygon {
			var places []season.Position
			for _, p := range ring {
				places = append(places, season.Position{Lon: p[0], Lat: p[1]})
			}
			if n := len(places); n > 2 && places[0] != places[n-1] {
				open = true
				places = append(places, places[0])
			}
			rings = append(rings, places)
		}
		all = append(all, rings)
	}
	if open {
		b.report.doubt(line, "coordinates", "field "+f.Properties.Field+": a ring did not end where it began and was closed", "an open ring", "the first place again at the end")
	}
	return all
}

// place is a position in GeoJSON: longitude and latitude; a height is left out.
type place [2]float64

// UnmarshalJSON reads [longitude, latitude] with or without a height. It takes the list apart itself: a
// district has millions of positions, and encoding/json would make a list of pointers for each.
func (p *place) UnmarshalJSON(data []byte) error {
	inside := bytes.TrimSpace(data)
	if len(inside) < 2 || inside[0] != '[' {
		return fmt.Errorf("a position is not a list of numbers: %s", shown(string(data)))
	}
	numbers := bytes.Split(inside[1:len(inside)-1], []byte{','})
	if len(numbers) < 2 || len(numbers) > 3 {
		return fmt.Errorf("a position is not a longitude and a latitude: %s", shown(string(data)))
	}
	for i := range p {
		v, err := strconv.ParseFloat(string(bytes.TrimSpace(numbers[i])), 64)
		if err != nil {
			return fmt.Errorf("a position is not a longitude and a latitude: %s", shown(string(data)))
		}
		p[i] = v
	}
	return nil
}

func (s *stampInJSON) stamp(line int, r *report) (stamp, bool) {
	if s == nil {
		return stamp{}, true
	}
	st := stamp{id: s.ID, writer: s.Writer, supersedes: s.Supersedes}
	if st.noDay = s.Observed == unnoted; s.Observed != "" && !st.noDay {
		day, ok := parseDay([]byte(s.Observed))
		if !ok {
			r.wrong(line, "observed", "the date cannot be read", quoted(s.Observed), expectedDate)
			return st, false
		}
		st.observed = day
	}
	if s.Recorded != "" {
		t, ok := parseMoment(s.Recorded)
		if !ok {
			r.wrong(line, "recorded", "the time cannot be read", quoted(s.Recorded), "a date, or a date and time with its zone")
			return st, false
		}
		st.recorded = t
	}
	return st, true
}

// writeBoundaries writes one feature a line, so that a change to one field is a change of one line.
func writeBoundaries(entries []season.Entry, k *known) ([]byte, error) {
	out := []byte("{\"type\": \"FeatureCollection\", \"features\": [\n")
	for i, e := range entries {
		b := e.Body.(*season.Boundary)
		properties := map[string]any{"field": b.Field}
		if st := k.habits.stampOf(e); st != (stamp{}) {
			properties["entry"] = inJSON(st)
		}
		head, err := json.Marshal(properties)
		if err != nil {
			return nil, err
		}
		out = append(out, `{"type": "Feature", "properties": `...)
		out = append(out, head...)
		out = append(out, `, "geometry": `...)
		out = appendGeometry(out, b)
		out = append(out, '}')
		if i+1 < len(entries) {
			out = append(out, ',')
		}
		out = append(out, '\n')
	}
	return append(out, "]}\n"...), nil
}

func inJSON(s stamp) stampInJSON {
	in := stampInJSON{ID: s.id, Writer: s.writer, Supersedes: s.supersedes}
	switch {
	case s.noDay:
		in.Observed = unnoted
	case !s.observed.IsZero():
		in.Observed = s.observed.String()
	}
	if !s.recorded.IsZero() {
		in.Recorded = s.recorded.UTC().Format(time.RFC3339Nano)
	}
	return in
}

func appendGeometry(out []byte, b *season.Boundary) []byte {
	if len(b.Polygons) == 1 {
		out = append(out, `{"type": "Polygon", "coordinates": `...)
		out = appendList(out, b.Polygons[0], appendRing)
	} else {
		out = append(out, `{"type": "MultiPolygon", "coordinates": `...)
		out = appendList(out, b.Polygons, func(out []byte, polygon [][]season.Position) []byte {
			return appendList(out, polygon, appendRing)
		})
	}
	return append(out, '}')
}

func appendRing(out []byte, ring []season.Position) []byte {
	return appendList(out, ring, func(out []byte, p season.Position) []byte {
		out = append(out, '[')
		out = strconv.AppendFloat(out, p.Lon, 'f', -1, 64)
		out = append(out, ',')
		out = strconv.AppendFloat(out, p.Lat, 'f', -1, 64)
		return append(out, ']')
	})
}

func appendList[T any](out []byte, items []T, item func([]byte, T) []byte) []byte {
	out = append(out, '[')
	for i, v := range items {
		if i > 0 {
			out = append(out, ',')
		}
		out = item(out, v)
	}
	return append(out, ']')
}
