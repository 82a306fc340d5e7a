package spatial_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/unit"
	"culm/internal/opendata"
	"culm/season"
	"culm/spatial"

	"pgregory.net/rapid"
)

// A quarter section of the public land survey is half a mile square, 160 acres.
func ExampleArea() {
	quarter := square("q", season.Position{Lon: -97.5, Lat: 36.4}, 2640*unit.Foot)
	fmt.Printf("%.1f ac\n", float64(spatial.Area(quarter)/unit.Acre))
	// Output: 160.0 ac
}

// parcel is a field of an open data set.
type parcel struct {
	boundary *season.Boundary
	declared unit.Area // 0 when the set declares none
}

// parcels reads a GeoJSON data set of polygons. A declared area stands in the named property.
func parcels(t *testing.T, name, property string, as unit.Area) []parcel {
	t.Helper()
	var file struct {
		Features []struct {
			Properties map[string]any
			Geometry   struct {
				Type        string
				Coordinates json.RawMessage
			}
		}
	}
	if err := json.NewDecoder(opendata.Open(t, name)).Decode(&file); err != nil {
		t.Fatal(err)
	}
	var out []parcel
	for i, f := range file.Features {
		var polygons [][][][]float64
		if f.Geometry.Type == "Polygon" {
			polygons = make([][][][]float64, 1)
			if err := json.Unmarshal(f.Geometry.Coordinates, &polygons[0]); err != nil {
				t.Fatal(err)
			}
		} else if err := json.Unmarshal(f.Geometry.Coordinates, &polygons); err != nil {
			t.Fatal(err)
		}
		b := &season.Boundary{Field: fmt.Sprint(i)}
		for _, polygon := range polygons {
			var rings [][]season.Position
			for _, ring := range polygon {
				var points []season.Position
				for _, p := range ring {
					points = append(points, season.Position{Lon: p[0], Lat: p[1]})
				}
				rings = append(rings, points)
			}
			b.Polygons = append(b.Polygons, rings)
		}
		p := parcel{boundary: b}
		if v, ok := f.Properties[property].(float64); ok {
			p.declared = unit.Area(v) * as
		}
		out = append(out, p)
	}
	return out
}

// The open parcels of Austria, the Netherlands and the United States, against the areas their owners
// declare and against totals found with an equal-area projection in another program. The coordinates have
// seven decimals, a centimetre.
func TestAreasOfOpenParcels(t *testing.T) {
	for _, set := range []struct {
		name, file, property string
		as                   unit.Area
		declared, equalArea  float64 // total, ha
		holes                int
	}{
		{"Austria 2025", "fields_open/at_100.geojson", "area_ha_declared", unit.Hectare, 57.974, 58.0023, 6},
		{"United States", "fields_open/us_csb_100.geojson", "CSBACRES", unit.Acre, 676.9473, 676.9469, 3},
		{"Netherlands 2023", "fields_open/nl_100.geojson", "", 0, 0, 63.2336, 5},
	} {
		t.Run(set.name, func(t *testing.T) {
			var total, declared unit.Area
			holes, worst := 0, 0.0
			for _, p := range parcels(t, set.file, set.property, set.as) {
				area := spatial.Area(p.boundary)
				total += area
				declared += p.declared
				for _, polygon := range p.boundary.Polygons {
					holes += len(polygon) - 1
				}
				if p.declared > 0 {
					worst = max(worst, math.Abs(float64(area/p.declared)-1))
				}
			}
			t.Logf("total %.4f ha, declared %.4f ha, worst parcel off by %.4f %%", total, declared, 100*worst)
			// The total printed by the other program has four decimals; it calls its own method good to 4 in a million.
			if got := float64(total); math.Abs(got-set.equalArea) > 4e-6*set.equalArea+0.00005 {
				t.Errorf("total %.4f ha, the equal-area projection gives %.4f", got, set.equalArea)
			}
			if set.declared > 0 && math.Abs(float64(total)/set.declared-1) > 0.001 {
				t.Errorf("total %.4f ha, declared %.4f: more than 0.1 %% apart", total, set.declared)
			}
			if holes != set.holes {
				t.Errorf("%d holes, want %d", holes, set.holes)
			}
		})
	}
}

// square is a field of the given side, north up on the plane through its middle.
func square(field string, at season.Position, side unit.Length) *season.Boundary {
	pl := spatial.PlaneThrough(at)
	c := pl.Project(at)
	h := float64(side) / 2
	ring := []season.Position{}
	for _, d := range []spatial.Point{{East: -h, North: -h}, {East: h, North: -h}, {East: h, North: h}, {East: -h, North: h}, {East: -h, North: -h}} {
		ring = append(ring, pl.Position(spatial.Point{East: c.East + d.East, North: c.North + d.North}))
	}
	ring[len(ring)-1] = ring[0]
	return &season.Boundary{Field: field, Polygons: [][][]season.Position{{ring}}}
}

// withHole cuts the second square out of the first.
func withHole(outer, hole *season.Boundary) *season.Boundary {
	return &season.Boundary{Field: outer.Field, Polygons: [][][]season.Position{{outer.Polygons[0][0], hole.Polygons[0][0]}}}
}

// A cell of the globe one thousandth of a degree wide: the zone between two parallels has a closed form,
// pi b2 (q(phi2) - q(phi1)) for the full turn, which is how the equal-area projections are derived.
func TestAreaOfACellOfTheGlobe(t *testing.T) {
	const a, f = 6378137.0, 1 / 298.257223563
	e := math.Sqrt(f * (2 - f))
	q := func(lat float64) float64 {
		s := math.Sin(lat * math.Pi / 180)
		return s/(1-e*e*s*s) + math.Atanh(e*s)/e
	}
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-65, 65).Draw(t, "lat")
		lon := rapid.Float64Range(-179, 178).Draw(t, "lon")
		const side = 0.001
		b := a * (1 - f)
		want := b * b / 2 * (q(lat+side) - q(lat)) * side * math.Pi / 180 / 10000 // ha
		got := float64(spatial.Area(&season.Boundary{Polygons: [][][]season.Position{{{
			{Lon: lon, Lat: lat}, {Lon: lon + side, Lat: lat}, {Lon: lon + side, Lat: lat + side}, {Lon: lon, Lat: lat + side}, {Lon: lon, Lat: lat},
		}}}}))
		// Parallels are not straight lines on the plane; over 100 m they bow by micrometres.
		if math.Abs(got/want-1) > 1e-6 {
			t.Errorf("%.9f ha, the closed form gives %.9f", got, want)
		}
	})
}

func TestAreaTakesHolesOffAndIgnoresTheWayRound(t *testing.T) {
	at := season.Position{Lon: -97.5, Lat: 36.4}
	field, pond := square("f", at, 400), square("f", at, 100)
	if got := spatial.Area(withHole(field, pond)); math.Abs(float64(got)-15) > 1e-6 {
		t.Errorf("16 ha less a pond of 1 ha: %v", got)
	}
	reversed := square("f", at, 400)
	ring := reversed.Polygons[0][0]
	for i := range len(ring) / 2 {
		ring[i], ring[len(ring)-1-i] = ring[len(ring)-1-i], ring[i]
	}
	if got, want := float64(spatial.Area(reversed)), float64(spatial.Area(field)); math.Abs(got-want) > 1e-9 {
		t.Errorf("the other way round: %v and %v", got, want)
	}
	if got := spatial.Area(&season.Boundary{}); got != 0 {
		t.Errorf("no polygon has area %v", got)
	}
}

// A field bent round a pond: its centre of gravity lies outside, its label inside.
func TestLabelLiesInside(t *testing.T) {
	at := season.Position{Lon: -97.5, Lat: 36.4}
	bent := withHole(square("bent", at, 400), square("bent", at, 300))
	centre, ok := spatial.Centroid(bent)
	if !ok || spatial.Contains(bent, centre) || spatial.Distance(centre, at) > 0.01 {
		t.Errorf("centre of gravity %v, %v", centre, ok)
	}
	if label, ok := spatial.LabelPoint(bent); !ok || !spatial.Contains(bent, label) {
		t.Errorf("label at %v, %v", label, ok)
	}
}

func TestEveryOpenParcelHasItsLabelInside(t *testing.T) {
	for _, p := range parcels(t, "fields_open/us_csb_100.geojson", "", 0) {
		label, ok := spatial.LabelPoint(p.boundary)
		if !ok || !spatial.Contains(p.boundary, label) {
			t.Errorf("parcel %s: label at %v, %v", p.boundary.Field, label, ok)
		}
	}
}

func TestContains(t *testing.T) {
	at := season.Position{Lon: -97.5, Lat: 36.4}
	field := withHole(square("f", at, 400), square("f", at, 100))
	pl := spatial.PlaneThrough(at)
	c := pl.Project(at)
	for _, row := range []struct {
		name        string
		east, north float64
		inside      bool
	}{
		{"in the field", 100, 100, true},
		{"in the pond", 10, 10, false},
		{"beyond the fence", 201, 0, false},
		{"in the corner", 199, 199, true},
	} {
		p := pl.Position(spatial.Point{East: c.East + row.east, North: c.North + row.north})
		if got := spatial.Contains(field, p); got != row.inside {
			t.Errorf("%s: inside %v", row.name, got)
		}
	}
	if corner := field.Polygons[0][0][0]; !spatial.Contains(field, corner) {
		t.Error("a corner post belongs to the field")
	}
	if spatial.Contains(field, season.Position{Lon: math.NaN(), Lat: 36}) {
		t.Error("no place is in no field")
	}
}

func TestBounds(t *testing.T) {
	sw, ne, ok := spatial.Bounds(&season.Boundary{Polygons: [][][]season.Position{{{{Lon: 1, Lat: 5}, {Lon: 3, Lat: 4}}}, {{{Lon: 2, Lat: 7}}}}})
	if !ok || sw != (season.Position{Lon: 1, Lat: 4}) || ne != (season.Position{Lon: 3, Lat: 7}) {
		t.Errorf("bounds %v to %v, %v", sw, ne, ok)
	}
	if _, _, ok := spatial.Bounds(&season.Boundary{}); ok {
		t.Error("nothing has bounds")
	}
}

func TestNothingHasNoCentre(t *testing.T) {
	for name, b := range map[string]*season.Boundary{
		"no polygon":    {},
		"no ring":       {Polygons: [][][]season.Position{{}}},
		"two points":    {Polygons: [][][]season.Position{{{{Lon: 1, Lat: 1}, {Lon: 2, Lat: 2}}}}},
		"not a number":  {Polygons: [][][]season.Position{{{{Lon: math.NaN()}, {}, {}, {}}}}},
		"beyond number": {Polygons: [][][]season.Position{{{{Lon: math.Inf(1)}, {}, {}, {}}}}},
	} {
		if at, ok := spatial.Centroid(b); ok {
			t.Errorf("%s: centre %v", name, at)
		}
		if at, ok := spatial.LabelPoint(b); ok {
			t.Errorf("%s: label %v", name, at)
		}
		spatial.Simplify(b, 5)
		spatial.Contains(b, season.Position{Lon: 1, Lat: 1})
	}
}

// Simplifying never moves the outline by more than the tolerance, so the area changes by less than the
// tolerance times the length of the outline, and no parcel is lost.
func TestSimplifyStaysWithinTolerance(t *testing.T) {
	const tolerance = 5 * unit.Metre
	before, after := 0, 0
	for _, p := range parcels(t, "fields_open/at_100.geojson", "", 0) {
		simple := spatial.Simplify(p.boundary, tolerance)
		if len(simple.Polygons) != len(p.boundary.Polygons) {
			t.Errorf("parcel %s has %d polygons, had %d", p.boundary.Field, len(simple.Polygons), len(p.boundary.Polygons))
		}
		length := 0.0
		for _, polygon := range p.boundary.Polygons {
			for _, ring := range polygon {
				before += len(ring)
				for k := range len(ring) - 1 {
					length += float64(spatial.Distance(ring[k], ring[k+1]))
				}
			}
		}
		for _, polygon := range simple.Polygons {
			after += len(polygon[0])
		}
		if change := math.Abs(float64(spatial.Area(simple) - spatial.Area(p.boundary))); change*10000 > float64(tolerance)*length {
			t.Errorf("parcel %s: area changes by %g ha", p.boundary.Field, change)
		}
	}
	t.Logf("%d points became %d", before, after)
	if after*2 > before {
		t.Errorf("%d points became %d; a tolerance of 5 m should drop most", before, after)
	}
}

func TestSpoken(t *testing.T) {
	if got := spatial.Spoken(season.Position{Lon: -97.6123, Lat: 36.4021}); got != "36.40210 N 97.61230 W" {
		t.Error(got)
	}
	if got := spatial.Spoken(season.Position{Lon: 116.7, Lat: -30.9}); !strings.HasPrefix(got, "30.90000 S 116.7") {
		t.Error(got)
	}
}
