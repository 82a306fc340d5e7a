package spatial_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"culm/season"
	"culm/spatial"

	"pgregory.net/rapid"
)

func ExampleCheck() {
	bowTie := &season.Boundary{Field: "h7", Polygons: [][][]season.Position{{{
		{Lon: -97.60, Lat: 36.40}, {Lon: -97.59, Lat: 36.41}, {Lon: -97.59, Lat: 36.40}, {Lon: -97.60, Lat: 36.41}, {Lon: -97.60, Lat: 36.40},
	}}}}
	for _, p := range spatial.Check(bowTie, nil) {
		fmt.Printf("%s: %s, %s: found %s\n", p.Severity, p.Message, p.Field, p.Found)
	}
	// Output:
	// error: field h7: the outline crosses itself or another ring, so its area cannot be told, polygon 1, outline: found a crossing at 36.40500 N 97.59500 W
}

func ring(points ...float64) []season.Position {
	out := make([]season.Position, len(points)/2)
	for i := range out {
		out[i] = season.Position{Lon: points[2*i], Lat: points[2*i+1]}
	}
	return out
}

func field(polygons ...[][]season.Position) *season.Boundary {
	return &season.Boundary{Field: "f", Polygons: polygons}
}

func polygon(rings ...[]season.Position) [][]season.Position { return rings }

func TestCheck(t *testing.T) {
	good := ring(-97.60, 36.40, -97.59, 36.40, -97.59, 36.41, -97.60, 36.41, -97.60, 36.40)
	pond := ring(-97.597, 36.403, -97.594, 36.403, -97.594, 36.406, -97.597, 36.406, -97.597, 36.403)
	station := []season.Position{{Lon: -97.9, Lat: 36.3}}
	for _, row := range []struct {
		name     string
		boundary *season.Boundary
		near     []season.Position
		severity season.Severity // empty: nothing found
		part     string
		says     string
	}{
		{"a sound field", field(polygon(good)), station, "", "", ""},
		{"a sound field with a pond", field(polygon(good, pond)), station, "", "", ""},
		{"no polygon", field(), nil, season.Fatal, "", "no polygon"},
		{"a polygon without rings", field(polygon()), nil, season.Fatal, "polygon 1", "no outline"},
		{"a ring left open", field(polygon(good[:4])), nil, season.Fatal, "polygon 1, outline", "not closed"},
		{"three points", field(polygon(ring(-97, 36, -97, 37, -97, 36))), nil, season.Fatal, "polygon 1, outline", "too few points"},
		{"a line there and back", field(polygon(ring(-97, 36, -97, 36.01, -97, 36.02, -97, 36))), nil, season.Fatal, "", "no ground"},
		{"a spike in the fence", field(polygon(ring(-97.60, 36.40, -97.59, 36.40, -97.59, 36.41, -97.58, 36.42, -97.59, 36.41, -97.60, 36.41, -97.60, 36.40))), nil, season.Doubtful, "polygon 1, outline", "runs back over itself"},
		{"one place four times", field(polygon(ring(-97, 36, -97, 36, -97, 36, -97, 36))), nil, season.Fatal, "", "no ground"},
		{"reversed in the United States", field(polygon(ring(36.40, -97.60, 36.40, -97.59, 36.41, -97.59, 36.40, -97.60))), nil, season.Fatal, "polygon 1, outline, point 1", "reversed"},
		{"reversed in Bavaria", field(polygon(ring(48.4, 10.9, 48.4, 10.91, 48.41, 10.91, 48.4, 10.9))), []season.Position{{Lon: 10.8, Lat: 48.3}}, season.Fatal, "", "reversed"},
		{"metres for degrees", field(polygon(ring(634510, 4029360, 634910, 4029360, 634910, 4029760, 634510, 4029360))), nil, season.Fatal, "polygon 1, outline, point 1", "not on Earth"},
		{"not a number", field(polygon(ring(math.NaN(), 36, 1, 1, 2, 2, 3, 3))), nil, season.Fatal, "polygon 1, outline, point 1", "not on Earth"},
		{"far from its station", field(polygon(good)), []season.Position{{Lon: -105, Lat: 40}}, season.Doubtful, "", "far from its station"},
		{"a county for a field", field(polygon(ring(-97.6, 36.4, -97.4, 36.4, -97.4, 36.6, -97.6, 36.6, -97.6, 36.4))), station, season.Doubtful, "", "larger than a field"},
		{"a pond across the fence", field(polygon(good, ring(-97.597, 36.403, -97.58, 36.403, -97.58, 36.406, -97.597, 36.406, -97.597, 36.403))), nil, season.Fatal, "polygon 1, hole 1", "crosses"},
		{"a pond next door", field(polygon(good, ring(-97.57, 36.403, -97.56, 36.403, -97.56, 36.406, -97.57, 36.403))), nil, season.Fatal, "polygon 1, hole 1", "outside its outline"},
		{"the pond twice", field(polygon(good, pond, pond)), nil, season.Fatal, "polygon 1, hole 2", "on top of each other"},
		{"the field twice", field(polygon(good), polygon(good)), nil, season.Fatal, "polygon 2, outline", "on top of polygon 1"},
		{"an island in the pond", field(polygon(good, pond), polygon(ring(-97.596, 36.404, -97.595, 36.404, -97.595, 36.405, -97.596, 36.404))), nil, "", "", ""},
		{"two fields in one", field(polygon(good), polygon(ring(-97.58, 36.40, -97.57, 36.40, -97.57, 36.41, -97.58, 36.40))), nil, "", "", ""},
		{"a ring pinched to a point", field(polygon(ring(-97.60, 36.40, -97.595, 36.405, -97.59, 36.40, -97.59, 36.41, -97.595, 36.405, -97.60, 36.41, -97.60, 36.40))), nil, season.Doubtful, "polygon 1, outline", "touches itself"},
	} {
		found := spatial.Check(row.boundary, row.near)
		switch {
		case row.severity == "" && len(found) == 0:
		case row.severity == "":
			t.Errorf("%s: found %+v", row.name, found)
		case len(found) != 1:
			t.Errorf("%s: %d findings %+v, want one", row.name, len(found), found)
		case found[0].Severity != row.severity || found[0].Field != row.part || !strings.Contains(found[0].Message, row.says):
			t.Errorf("%s: %+v, want %s at %q saying %q", row.name, found[0], row.severity, row.part, row.says)
		}
	}
}

func TestCheckNamesThePlaceOfATouch(t *testing.T) {
	pinched := field(polygon(ring(-97.60, 36.40, -97.595, 36.405, -97.59, 36.40, -97.59, 36.41, -97.595, 36.405, -97.60, 36.41, -97.60, 36.40)))
	if found := spatial.Check(pinched, nil); !strings.Contains(found[0].Found, "36.40500 N 97.59500 W") {
		t.Errorf("%+v", found)
	}
}

func TestCheckRefusesTooManyPoints(t *testing.T) {
	many := make([]season.Position, 50002)
	if found := spatial.Check(field(polygon(many)), nil); len(found) != 1 || found[0].Found != "50002 points" {
		t.Errorf("%+v", found)
	}
}

// The data set's description counts 4 self-touching or invalid polygons among the 100 of the United States,
// and their areas still agree with the declared ones, so they are doubted and not refused.
func TestCheckOpenParcels(t *testing.T) {
	for _, set := range []struct {
		file     string
		doubtful int
	}{
		{"fields_open/us_csb_100.geojson", 4},
		{"fields_open/at_100.geojson", 0},
		{"fields_open/nl_100.geojson", 0},
	} {
		doubtful := 0
		for _, p := range parcels(t, set.file, "", 0) {
			for _, problem := range spatial.Check(p.boundary, nil) {
				t.Logf("%s: %+v", set.file, problem)
				if problem.Severity == season.Fatal {
					t.Errorf("%s: %+v", set.file, problem)
				}
				doubtful++
			}
		}
		if doubtful != set.doubtful {
			t.Errorf("%s: %d doubtful, want %d", set.file, doubtful, set.doubtful)
		}
	}
}

// Whatever is handed in, Check answers; what it does not refuse has an area, and what it finds sound has a
// place for a label.
func TestCheckAnswersAlways(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b season.Boundary
		for range rapid.IntRange(1, 2).Draw(t, "polygons") {
			var rings [][]season.Position
			for range rapid.IntRange(1, 2).Draw(t, "rings") {
				var points []season.Position
				for range rapid.IntRange(3, 5).Draw(t, "points") {
					// A coarse grid makes points coincide and edges overlap.
					points = append(points, season.Position{
						Lon: float64(rapid.IntRange(0, 4).Draw(t, "lon")) / 100, Lat: float64(rapid.IntRange(0, 4).Draw(t, "lat")) / 100,
					})
				}
				rings = append(rings, append(points, points[0]))
			}
			b.Polygons = append(b.Polygons, rings)
		}
		found := spatial.Check(&b, nil)
		if slices.ContainsFunc(found, func(p season.Problem) bool { return p.Severity == season.Fatal }) {
			return
		}
		if area := spatial.Area(&b); !(area > 0) {
			t.Fatalf("not refused, but the area is %v", area)
		}
		label, ok := spatial.LabelPoint(&b)
		if len(found) == 0 && (!ok || !spatial.Contains(&b, label)) {
			t.Fatalf("sound, but the label is at %v, %v", label, ok)
		}
	})
}
