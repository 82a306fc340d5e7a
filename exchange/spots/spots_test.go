package spots_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/exchange/spots"
	"culm/internal/opendata"
	"culm/season"
	"culm/spatial"

	"github.com/google/go-cmp/cmp"
	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"
)

func february(d int) calendar.Day { return calendar.Date(2027, time.February, d) }

// three are a pair of spots and a poor spot without a good one.
func three() []*season.Spot {
	return []*season.Spot{
		{ID: "P1", Field: "h7", Day: february(10), Observer: "Ana", Spot: season.PoorSpot, Pair: "1", Sample: "S-11", At: season.Position{Lon: -97.6123456, Lat: 36.4021}, Note: "pale, <stunted> & \"thin\""},
		{ID: "G1", Field: "h7", Day: february(10), Observer: "Ana", Spot: season.GoodSpot, Pair: "1", At: season.Position{Lon: -97.6120, Lat: 36.4024}},
		{ID: "P2", Field: "h7", Spot: season.PoorSpot, Pair: "2", At: season.Position{Lon: -97.61, Lat: 36.40}},
	}
}

func ExampleWriteGeoJSON() {
	_ = spots.WriteGeoJSON(os.Stdout, three()[:2])
	// Output:
	// {"type":"FeatureCollection","features":[{"type":"Feature","id":"h7/P1","geometry":{"type":"Point","coordinates":[-97.6123456,36.4021]},"properties":{"day":"2027-02-10","field":"h7","id":"P1","note":"pale, \u003cstunted\u003e \u0026 \"thin\"","observer":"Ana","pair":"1","sample":"S-11","spot":"poor"}},{"type":"Feature","id":"h7/G1","geometry":{"type":"Point","coordinates":[-97.612,36.4024]},"properties":{"day":"2027-02-10","field":"h7","id":"G1","observer":"Ana","pair":"1","spot":"good"}},{"type":"Feature","id":"h7/pair/1","geometry":{"type":"LineString","coordinates":[[-97.6123456,36.4021],[-97.612,36.4024]]},"properties":{"distance_m":45.5,"field":"h7","good":"G1","pair":"1","poor":"P1"}}]}
}

func ExampleWriteGPX() {
	_ = spots.WriteGPX(os.Stdout, three()[2:])
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <gpx version="1.1" creator="Culm" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xmlns="http://www.topografix.com/GPX/1/1" xsi:schemaLocation="http://www.topografix.com/GPX/1/1 https://www.topografix.com/GPX/1/1/gpx.xsd">
	//   <wpt lat="36.4" lon="-97.61">
	//     <name>P2</name>
	//     <cmt>poor spot, pair 2, field h7</cmt>
	//     <type>poor</type>
	//     <extensions><spot xmlns="culm:spot:1" id="P2" field="h7" spot="poor" pair="2"></spot></extensions>
	//   </wpt>
	// </gpx>
}

// readFeatures reads GeoJSON back with another implementation, which refuses what RFC 7946 and the simple
// features standard do not allow.
func readFeatures(t *testing.T, data []byte) []geom.GeoJSONFeature {
	t.Helper()
	var c geom.GeoJSONFeatureCollection
	if err := json.Unmarshal(data, &c); err != nil {
		t.Fatalf("%v in %s", err, data)
	}
	return c.Features
}

func TestGeoJSONReadsBack(t *testing.T) {
	var buffer bytes.Buffer
	if err := spots.WriteGeoJSON(&buffer, three()); err != nil {
		t.Fatal(err)
	}
	c := readFeatures(t, buffer.Bytes())
	if len(c) != 4 || c[3].Geometry.Type() != geom.TypeLineString {
		t.Fatalf("%d features: three spots and one pair were written", len(c))
	}
	for i, s := range three() {
		xy, ok := c[i].Geometry.MustAsPoint().XY()
		if !ok || math.Abs(xy.X-s.At.Lon) > 0.5e-7 || math.Abs(xy.Y-s.At.Lat) > 0.5e-7 || c[i].Properties["id"] != s.ID {
			t.Errorf("%s is at %v", s.ID, xy)
		}
	}
	if note := c[0].Properties["note"]; note != three()[0].Note {
		t.Errorf("note %q", note)
	}
	if _, has := c[2].Properties["day"]; has {
		t.Error("an unknown day was written")
	}
}

func TestNoSpotsAreAnEmptyCollection(t *testing.T) {
	var buffer bytes.Buffer
	if err := spots.WriteGeoJSON(&buffer, nil); err != nil || strings.TrimSpace(buffer.String()) != `{"type":"FeatureCollection","features":[]}` {
		t.Errorf("%s, %v", buffer.String(), err)
	}
}

func TestPlacesNotOnEarthAreRefused(t *testing.T) {
	for name, at := range map[string]season.Position{
		"reversed": {Lon: 36.4, Lat: -97.6}, "not a number": {Lon: math.NaN(), Lat: 36}, "infinite": {Lon: 0, Lat: math.Inf(1)},
	} {
		s := []*season.Spot{{ID: "P1", Field: "h7", Spot: season.PoorSpot, At: at}}
		if err := spots.WriteGeoJSON(io.Discard, s); err == nil || !strings.Contains(err.Error(), "P1") {
			t.Errorf("%s, GeoJSON: %v", name, err)
		}
		if err := spots.WriteGPX(io.Discard, s); err == nil || !strings.Contains(err.Error(), "P1") {
			t.Errorf("%s, GPX: %v", name, err)
		}
		b := &season.Boundary{Field: "h7", Polygons: [][][]season.Position{{{at, {Lon: 1}, {Lat: 1}, at}}}}
		if err := spots.WriteOutlines(io.Discard, []spots.Outline{{Boundary: b}}); err == nil {
			t.Errorf("%s: the outline was written", name)
		}
	}
}

// Every ring must turn as RFC 7946 asks, whichever way it came, and nothing of the field may be lost.
func TestOutlines(t *testing.T) {
	outer := []season.Position{{Lon: -97.60, Lat: 36.40}, {Lon: -97.59, Lat: 36.40}, {Lon: -97.59, Lat: 36.41}, {Lon: -97.60, Lat: 36.41}, {Lon: -97.60, Lat: 36.40}}
	pond := []season.Position{{Lon: -97.597, Lat: 36.403}, {Lon: -97.594, Lat: 36.403}, {Lon: -97.594, Lat: 36.406}, {Lon: -97.597, Lat: 36.403}}
	clockwise := slices.Clone(outer)
	slices.Reverse(clockwise)
	for name, rings := range map[string][][]season.Position{"as asked": {outer, pond}, "the other way": {clockwise, pond}} {
		b := &season.Boundary{Field: "h7", Polygons: [][][]season.Position{rings}}
		var buffer bytes.Buffer
		err := spots.WriteOutlines(&buffer, []spots.Outline{
			{Boundary: b, Name: "Home"},
			{Boundary: b, Zone: "low pH", Values: map[string]float64{"lime_kg_ha": 2240.5}},
			{Boundary: &season.Boundary{Field: "two", Polygons: [][][]season.Position{{outer}, {move(outer, 0.02)}}}},
		})
		if err != nil {
			t.Fatal(err)
		}
		c := readFeatures(t, buffer.Bytes())
		polygon := c[0].Geometry.MustAsPolygon()
		if !polygon.IsCCW() || polygon.NumInteriorRings() != 1 {
			t.Errorf("%s: %s", name, polygon.AsText())
		}
		if c[0].Properties["name"] != "Home" || math.Abs(c[0].Properties["area_ha"].(float64)-float64(spatial.Area(b))) > 0.00005 {
			t.Errorf("%s: %v", name, c[0].Properties)
		}
		if c[1].ID != "h7/low pH" || c[1].Properties["lime_kg_ha"] != 2240.5 {
			t.Errorf("%s: %v %v", name, c[1].ID, c[1].Properties)
		}
		if c[2].Geometry.Type() != geom.TypeMultiPolygon || c[2].Geometry.MustAsMultiPolygon().NumPolygons() != 2 {
			t.Errorf("%s: %s", name, c[2].Geometry.AsText())
		}
	}
	if rings := outer; rings[1].Lon != -97.59 {
		t.Error("writing turned the field's own ring round")
	}
	for name, o := range map[string]spots.Outline{
		"no polygon":       {Boundary: &season.Boundary{Field: "x"}},
		"three points":     {Boundary: &season.Boundary{Field: "x", Polygons: [][][]season.Position{{outer[:3]}}}},
		"a name taken":     {Boundary: &season.Boundary{Field: "x", Polygons: [][][]season.Position{{outer}}}, Values: map[string]float64{"area_ha": 1}},
		"a value not real": {Boundary: &season.Boundary{Field: "x", Polygons: [][][]season.Position{{outer}}}, Values: map[string]float64{"n": math.NaN()}},
	} {
		if err := spots.WriteOutlines(io.Discard, []spots.Outline{o}); err == nil {
			t.Errorf("%s: written", name)
		}
	}
	fields := []season.Field{{ID: "a", Name: "A"}, {ID: "b"}}
	if got := spots.Outlines(fields, map[string]*season.Boundary{"a": {Field: "a"}}); len(got) != 1 || got[0].Name != "A" {
		t.Errorf("outlines %+v", got)
	}
}

func move(ring []season.Position, east float64) []season.Position {
	moved := slices.Clone(ring)
	for i := range moved {
		moved[i].Lon += east
	}
	return moved
}

// The examples of RFC 7946 itself are read by the implementation that checks ours, so it can be trusted here.
func TestTheCheckingReaderReadsTheStandardsExamples(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(opendata.Path(t, "std_geojson/rfc7946_draft_examples"), "*"))
	if err != nil {
		t.Fatal(err)
	}
	collections := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(data, []byte(`"FeatureCollection"`)) {
			readFeatures(t, data)
			collections++
		}
	}
	if collections == 0 {
		t.Error("no feature collection among the examples")
	}
}

// Whatever a spot is called, it comes back from GPX as it went in, to the seventh decimal.
func TestGPXRoundTrip(t *testing.T) {
	text := rapid.StringOfN(rapid.RuneFrom([]rune(`abcXYZ 0123456789-_<>&"'äß漢`)), 1, 12, -1)
	rapid.Check(t, func(t *rapid.T) {
		var want []*season.Spot
		for range rapid.IntRange(0, 4).Draw(t, "spots") {
			s := &season.Spot{
				ID: text.Draw(t, "id"), Field: text.Draw(t, "field"), Observer: text.Draw(t, "observer"), Note: text.Draw(t, "note"), Pair: text.Draw(t, "pair"),
				Spot: rapid.SampledFrom([]season.SpotKind{season.PoorSpot, season.GoodSpot}).Draw(t, "kind"),
				At: season.Position{
					Lon: math.Round(rapid.Float64Range(-180, 180).Draw(t, "lon")*1e7) / 1e7, Lat: math.Round(rapid.Float64Range(-90, 90).Draw(t, "lat")*1e7) / 1e7,
				},
			}
			if rapid.Bool().Draw(t, "day known") {
				s.Day = february(rapid.IntRange(1, 28).Draw(t, "day"))
			}
			want = append(want, s)
		}
		var buffer bytes.Buffer
		if err := spots.WriteGPX(&buffer, want); err != nil {
			t.Fatal(err)
		}
		waypoints, problems, err := spots.ReadGPX(&buffer)
		if err != nil || len(problems) != 0 {
			t.Fatalf("%v, %v", problems, err)
		}
		got, problems := spots.AsSpots(waypoints, spots.Given{Field: "other"})
		if diff := cmp.Diff(want, got, cmp.Comparer(func(a, b calendar.Day) bool { return a == b })); diff != "" || len(problems) != 0 {
			t.Fatalf("%v %s", problems, diff)
		}
	})
}

// The GPX 1.1 schema fixes the order of a waypoint's elements; ours is read from the schema.
func TestGPXKeepsTheOrderOfTheSchema(t *testing.T) {
	schema, err := io.ReadAll(opendata.Open(t, "std_gpx/schema/gpx.xsd"))
	if err != nil {
		t.Fatal(err)
	}
	_, after, found := strings.Cut(string(schema), `complexType name="wptType"`)
	if !found {
		t.Fatal("no wptType in the schema")
	}
	definition, _, _ := strings.Cut(after, "</xsd:complexType>")
	var order []string
	for _, piece := range strings.Split(definition, `<xsd:element name="`)[1:] {
		name, _, _ := strings.Cut(piece, `"`)
		order = append(order, name)
	}
	if order[0] != "ele" || order[len(order)-1] != "extensions" {
		t.Fatalf("order in the schema: %v", order)
	}

	var buffer bytes.Buffer
	if err := spots.WriteGPX(&buffer, three()); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(&buffer)
	last, depth, seen := -1, 0, 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if depth == 1 {
				last = -1
			}
			if at := slices.Index(order, e.Name.Local); depth == 2 {
				if at <= last {
					t.Errorf("<%s> stands out of order", e.Name.Local)
				}
				last = at
				seen++
			}
			depth++
		case xml.EndElement:
			depth--
		}
	}
	if seen < 10 {
		t.Errorf("only %d elements seen", seen)
	}
}

// All sample files can be read. Of the waypoints, the counts are those of the tags in the files.
func TestSampleFiles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(opendata.Path(t, "std_gpx"), "*.gpx"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		waypoints, problems, err := spots.ReadGPX(bytes.NewReader(data))
		if want := bytes.Count(data, []byte("<wpt")); err != nil || len(problems) != 0 || len(waypoints) != want {
			t.Errorf("%s: %d waypoints, want %d; %v, %v", filepath.Base(file), len(waypoints), want, problems, err)
		}
	}
	lake, _, err := spots.ReadGPX(opendata.Open(t, "std_gpx/cerknicko-jezero.gpx"))
	if err != nil || lake[0].Name != "001" || lake[0].At != (season.Position{Lon: 14.357652292, Lat: 45.772163216}) || lake[0].Time.Format(time.RFC3339) != "2010-08-05T14:23:59Z" {
		t.Errorf("%+v, %v", lake[0], err)
	}
}

func ExampleAsSpots() {
	const file = `<gpx version="1.1"><wpt lat="36.4" lon="-97.6"><time>2027-02-11T03:30:00Z</time><name>P3</name><desc>sandy</desc></wpt>
		<wpt lat="36.41" lon="-97.61"><name>Good 3</name></wpt><wpt lat="36.42" lon="-97.62"><name>gate</name></wpt></gpx>`
	waypoints, _, _ := spots.ReadGPX(strings.NewReader(file))
	found, problems := spots.AsSpots(waypoints, spots.Given{Field: "h7", Observer: "Ana", Day: february(9), Zone: time.FixedZone("", -6*3600)})
	for _, s := range found {
		fmt.Printf("%s: %s of pair %s on %s, %q\n", s.ID, s.Spot, s.Pair, s.Day, s.Note)
	}
	fmt.Println(problems[0].Found)
	// Output:
	// P3: poor of pair 3 on 2027-02-10, "sandy"
	// Good 3: good of pair 3 on 2027-02-09, ""
	// name "gate", type ""
}

func TestAsSpotsReadsKindAndPair(t *testing.T) {
	for _, row := range []struct {
		name, kind string
		want       season.SpotKind // empty: left out
		pair       string
	}{
		{"P1", "", season.PoorSpot, "1"},
		{"g12", "", season.GoodSpot, "12"},
		{"poor-4", "", season.PoorSpot, "4"},
		{"GOOD #7", "", season.GoodSpot, "7"},
		{"by the oak", "poor", season.PoorSpot, ""},
		{"oak", "Good", season.GoodSpot, ""},
		{"P5", "good", season.GoodSpot, "5"},
		{"Pond", "", "", ""},
		{"gate", "", "", ""},
		{"17", "", "", ""},
		{"", "poor", "", ""},
		{"P", "", "", ""},
		{"P-1x", "", "", ""},
	} {
		found, problems := spots.AsSpots([]spots.Waypoint{{Name: row.name, Type: row.kind}}, spots.Given{})
		switch {
		case row.want == "" && len(found) == 0 && len(problems) == 1:
		case row.want != "" && len(found) == 1 && found[0].Spot == row.want && found[0].Pair == row.pair && found[0].ID == row.name:
		default:
			t.Errorf("%q of type %q: %+v, %+v", row.name, row.kind, found, problems)
		}
	}
}

func TestReadGPXRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"nothing":         "",
		"not XML":         "lat,lon\n36,-97",
		"another XML":     "<kml></kml>",
		"cut off":         `<gpx><wpt lat="36" lon="-97"><name>P1`,
		"an entity":       `<!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><gpx><wpt lat="1" lon="1"><name>&b;</name></wpt></gpx>`,
		"strange letters": "<?xml version=\"1.0\" encoding=\"x-no-such\"?><gpx></gpx>",
		"too many":        "<gpx>" + strings.Repeat(`<wpt lat="1" lon="1"/>`, 20001) + "</gpx>",
		"too large":       "<gpx>" + strings.Repeat("<!-- "+strings.Repeat("x", 1000)+" -->", 8500) + "</gpx>",
		"too deep":        "<gpx><wpt>" + strings.Repeat("<a>", 100000),
	} {
		waypoints, _, err := spots.ReadGPX(strings.NewReader(text))
		if err == nil {
			t.Errorf("%s: %d waypoints", name, len(waypoints))
		}
	}
}

func TestWaypointsWithoutAPlaceAreReported(t *testing.T) {
	const file = "<gpx>\n<wpt lat=\"36\"/>\n<wpt lat=\"-97.6\" lon=\"36.4\"><name>P1</name></wpt>\n<wpt lat=\"NaN\" lon=\"1\"/>\n<wpt lat=\"north\" lon=\"1\"/>\n<wpt lat=\"1\" lon=\"2\"/>\n</gpx>"
	waypoints, problems, err := spots.ReadGPX(strings.NewReader(file))
	if err != nil || len(waypoints) != 1 || len(problems) != 4 || problems[1].Line != 3 || !strings.Contains(problems[1].Message, "P1") {
		t.Errorf("%+v, %+v, %v", waypoints, problems, err)
	}
}

func FuzzReadGPX(f *testing.F) {
	var buffer bytes.Buffer
	if err := spots.WriteGPX(&buffer, three()); err != nil {
		f.Fatal(err)
	}
	f.Add(buffer.Bytes())
	f.Add([]byte("\ufeff<?xml version=\"1.0\" encoding=\"utf-8\"?><gpx><wpt lat=\"43.3\" lon=\"3.5\"><time>2016-05-27T10:08:47.8Z</time><name>good 2</name></wpt></gpx>"))
	f.Add([]byte(`<gpx version="1.0"><trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>`))
	f.Add([]byte(`<?xml version="1.0" encoding="ISO-8859-1"?><gpx><wpt lat="1e400" lon="0x1p3"><extensions><spot xmlns="culm:spot:1" id="a" spot="poor" day="2027-02-30"/></extensions></wpt></gpx>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		waypoints, _, err := spots.ReadGPX(bytes.NewReader(data))
		if err != nil {
			return
		}
		found, _ := spots.AsSpots(waypoints, spots.Given{Field: "f", Observer: "o"})
		for _, s := range found {
			if s.ID == "" || !(math.Abs(s.At.Lat) <= 90 && math.Abs(s.At.Lon) <= 180) || s.Spot != season.PoorSpot && s.Spot != season.GoodSpot {
				t.Errorf("%+v", s)
			}
		}
		if err := spots.WriteGPX(io.Discard, found); err != nil {
			t.Error(err)
		}
		if err := spots.WriteGeoJSON(io.Discard, found); err != nil {
			t.Error(err)
		}
	})
}
