package demo_test

import (
	"testing"

	"culm/agronomy/unit"
	"culm/demo"
	"culm/season"
	"culm/spatial"

	"github.com/peterstace/simplefeatures/geom"
)

func hectares(s *season.Season, field string) float64 {
	return float64(spatial.Area(s.Boundaries[field]))
}

// TestBoundariesAreSound checks each outline with package spatial, and its area, which that package measures
// on the ellipsoid by a way of its own.
func TestBoundariesAreSound(t *testing.T) {
	s := season.Assemble(demo.Season(300, 11))
	several, holes, bent := 0, 0, 0
	for field, b := range s.Boundaries {
		for _, p := range spatial.Check(b, nil) {
			t.Errorf("%s: %+v", field, p)
		}
		acres := unit.Area(hectares(s, field)) / unit.Acre
		if acres < 20 || acres > 160 {
			t.Errorf("%s has %.1f acres; expected 20 to 160", field, acres)
		}
		if len(b.Polygons) > 1 {
			several++
		}
		for _, rings := range b.Polygons {
			holes += len(rings) - 1
			if len(rings[0]) > 10 {
				bent++
			}
		}
	}
	if several < 2 || holes < 5 || bent < 10 {
		t.Errorf("%d fields in several pieces, %d holes and %d edges along the creek; want some of each", several, holes, bent)
	}
}

func TestProducersAcresAreNearTheMap(t *testing.T) {
	s := season.Assemble(demo.Season(300, 11))
	for _, f := range s.Fields {
		if !f.AreaGiven.Known() {
			continue
		}
		if off := float64(f.AreaGiven.Value)/hectares(s, f.ID) - 1; off < -0.03 || off > 0.03 {
			t.Errorf("%s: the producer's acres differ from the map's by %.1f %%", f.ID, 100*off)
		}
	}
}

// TestFieldsDoNotOverlap uses the overlay of simplefeatures, which this package does not build with.
func TestFieldsDoNotOverlap(t *testing.T) {
	s := season.Assemble(demo.Season(300, 11))
	type outline struct {
		field string
		shape geom.Geometry
		box   geom.Envelope
	}
	var all []outline
	for _, f := range s.Fields {
		g := shape(s.Boundaries[f.ID])
		all = append(all, outline{f.ID, g, g.Envelope()})
	}
	for i, a := range all {
		for _, b := range all[:i] {
			if !a.box.Intersects(b.box) {
				continue
			}
			common, err := geom.Intersection(a.shape, b.shape)
			if err != nil {
				t.Fatal(err)
			}
			if common.Area() > 0 {
				t.Errorf("%s and %s overlap", a.field, b.field)
			}
		}
	}
}

func shape(b *season.Boundary) geom.Geometry {
	var polygons []geom.Polygon
	for _, rings := range b.Polygons {
		var lines []geom.LineString
		for _, ring := range rings {
			var flat []float64
			for _, p := range ring {
				flat = append(flat, p.Lon, p.Lat)
			}
			lines = append(lines, geom.NewLineString(geom.NewSequence(flat, geom.DimXY)))
		}
		polygons = append(polygons, geom.NewPolygon(lines))
	}
	return geom.NewMultiPolygon(polygons).AsGeometry()
}

func TestSpotsLieInTheirFields(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	for field, spots := range s.Spots {
		for _, spot := range spots {
			if !spatial.Contains(s.Boundaries[field], spot.At) {
				t.Errorf("spot %s of %s lies outside", spot.ID, field)
			}
		}
	}
}

func TestStationsLieAmongTheFields(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	served := map[string]int{}
	for _, f := range s.Fields {
		served[f.Station]++
		middle, _ := spatial.Centroid(s.Boundaries[f.ID])
		if far := spatial.Distance(middle, s.Stations[f.Station].At); far > 6000 {
			t.Errorf("%s lies %.1f km from its station", f.ID, float64(far)/1000)
		}
	}
	for id := range s.Stations {
		if served[id] < 5 {
			t.Errorf("station %s serves %d fields of the cast; want five or more", id, served[id])
		}
	}
}
