package spatial

import (
	"math"

	"culm/agronomy/unit"
	"culm/season"

	"github.com/peterstace/simplefeatures/geom"
)

// Area is the ground inside a boundary, on the ellipsoid: polygons less their holes. Each polygon is
// measured on a plane laid through its middle, true to one part in a million for fields up to 10 km across.
// Rings may run either way round. Where a ring crosses itself the area means nothing; Check finds that.
func Area(b *season.Boundary) unit.Area {
	total := 0.0 // m2
	for _, polygon := range b.Polygons {
		pl := PlaneThrough(middle(polygon))
		for i, ring := range polygon {
			if i == 0 {
				total += ringArea(pl, ring)
			} else {
				total -= ringArea(pl, ring)
			}
		}
	}
	const squareMetresPerHectare = 10000
	return unit.Area(total / squareMetresPerHectare)
}

// ringArea is the area of a ring, m2, without regard to the way it runs.
func ringArea(pl Plane, ring []season.Position) float64 {
	if len(ring) == 0 {
		return 0
	}
	twice := 0.0
	origin := pl.Project(ring[0]) // subtracted, so that no digits are lost in the northing's millions
	before := Point{}
	for _, p := range ring[1:] {
		q := pl.Project(p)
		here := Point{q.East - origin.East, q.North - origin.North}
		twice += before.East*here.North - here.East*before.North
		before = here
	}
	return math.Abs(twice) / 2
}

// Bounds are the south-western and north-eastern corners of the box around a boundary. It returns false
// when the boundary has no points.
func Bounds(b *season.Boundary) (southWest, northEast season.Position, ok bool) {
	southWest = season.Position{Lon: math.Inf(1), Lat: math.Inf(1)}
	northEast = season.Position{Lon: math.Inf(-1), Lat: math.Inf(-1)}
	for _, polygon := range b.Polygons {
		for _, ring := range polygon {
			for _, p := range ring {
				southWest = season.Position{Lon: min(southWest.Lon, p.Lon), Lat: min(southWest.Lat, p.Lat)}
				northEast = season.Position{Lon: max(northEast.Lon, p.Lon), Lat: max(northEast.Lat, p.Lat)}
				ok = true
			}
		}
	}
	return southWest, northEast, ok
}

// Contains says that a place lies inside the boundary or on its edge, and not in a hole.
func Contains(b *season.Boundary, p season.Position) bool {
	point := geom.NewPointXY(p.Lon, p.Lat)
	return finite(p) && geom.Intersects(point.AsGeometry(), shape(b).AsGeometry())
}

// Centroid is the centre of gravity of the ground inside a boundary. It may lie outside, as in a field bent
// round a pond; LabelPoint never does. It returns false when the boundary holds no ground.
func Centroid(b *season.Boundary) (season.Position, bool) {
	pl, flat, ok := flatten(b)
	if !ok {
		return season.Position{}, false
	}
	xy, ok := flat.Centroid().XY()
	return pl.Position(Point{xy.X, xy.Y}), ok
}

// Simplify leaves out points that move the outline by less than a tolerance, for drawing: on a screen where
// a pixel is 5 m wide nothing finer shows. A polygon too small to survive is kept as it is, a hole too small
// is dropped. The result may cross itself and is not for measuring.
func Simplify(b *season.Boundary, tolerance unit.Length) *season.Boundary {
	out := &season.Boundary{Field: b.Field}
	for _, polygon := range b.Polygons {
		pl := PlaneThrough(middle(polygon))
		// The error is that of validation, which is switched off.
		simple, _ := onPlane(pl, polygon).Simplify(float64(tolerance), geom.NoValidate{})
		if simple.IsEmpty() {
			out.Polygons = append(out.Polygons, polygon)
			continue
		}
		out.Polygons = append(out.Polygons, fromPlane(pl, simple))
	}
	return out
}

// flatten puts a whole boundary on the plane through its middle. It returns false when there is no polygon
// of finite points.
func flatten(b *season.Boundary) (Plane, geom.MultiPolygon, bool) {
	southWest, northEast, ok := Bounds(b)
	if !ok || !finite(southWest) || !finite(northEast) {
		return Plane{}, geom.MultiPolygon{}, false
	}
	pl := PlaneThrough(season.Position{Lon: (southWest.Lon + northEast.Lon) / 2})
	polygons := make([]geom.Polygon, len(b.Polygons))
	for i, polygon := range b.Polygons {
		polygons[i] = onPlane(pl, polygon)
	}
	return pl, geom.NewMultiPolygon(polygons), true
}

func onPlane(pl Plane, polygon [][]season.Position) geom.Polygon {
	return asPolygon(polygon, func(p season.Position) (x, y float64) {
		q := pl.Project(p)
		return q.East, q.North
	})
}

// shape is the boundary in degrees.
func shape(b *season.Boundary) geom.MultiPolygon {
	polygons := make([]geom.Polygon, len(b.Polygons))
	for i, polygon := range b.Polygons {
		polygons[i] = asPolygon(polygon, func(p season.Position) (x, y float64) { return p.Lon, p.Lat })
	}
	return geom.NewMultiPolygon(polygons)
}

// asPolygon leaves out rings of fewer than four points, which enclose nothing; without an outer ring the
// polygon is empty.
func asPolygon(polygon [][]season.Position, xy func(season.Position) (x, y float64)) geom.Polygon {
	rings := make([][]float64, 0, len(polygon))
	for i, ring := range polygon {
		if len(ring) < 4 && i == 0 {
			return geom.Polygon{}
		}
		if len(ring) < 4 {
			continue
		}
		flat := make([]float64, 0, 2*len(ring))
		for _, p := range ring {
			x, y := xy(p)
			flat = append(flat, x, y)
		}
		rings = append(rings, flat)
	}
	return geom.NewPolygonXY(rings...)
}

func fromPlane(pl Plane, polygon geom.Polygon) [][]season.Position {
	var rings [][]season.Position
	for _, line := range polygon.DumpRings() {
		points := line.Coordinates()
		ring := make([]season.Position, points.Length())
		for i := range ring {
			xy := points.GetXY(i)
			ring[i] = pl.Position(Point{xy.X, xy.Y})
		}
		rings = append(rings, ring)
	}
	return rings
}

// middle is the middle of the box around a polygon's outer ring; the zero Position when it has none.
func middle(polygon [][]season.Position) season.Position {
	if len(polygon) == 0 {
		return season.Position{}
	}
	southWest, northEast, ok := Bounds(&season.Boundary{Polygons: [][][]season.Position{polygon[:1]}})
	if !ok {
		return season.Position{}
	}
	return season.Position{Lon: (southWest.Lon + northEast.Lon) / 2, Lat: (southWest.Lat + northEast.Lat) / 2}
}

func finite(p season.Position) bool {
	return !math.IsNaN(p.Lon-p.Lon) && !math.IsNaN(p.Lat-p.Lat) // infinity less itself is not a number either
}
