package spatial

import (
	"fmt"
	"math"
	"slices"

	"culm/season"

	"github.com/peterstace/simplefeatures/geom"
)

// What a boundary may be, by common practice; no source.
const (
	mostPoints  = 50000
	leastArea   = 0.0001 // ha, 1 m2
	largestArea = 10000  // ha, 100 km2
	farAway     = 200e3  // m from everything else of the season
)

// Check looks for what is wrong with a boundary. Fatal findings make its area or its place meaningless;
// doubtful ones need a person's look. Near are places the field should lie close to, such as its weather
// station and the season's other fields; with none given, nothing is said about where it lies.
func Check(b *season.Boundary, near []season.Position) []season.Problem {
	c := check{boundary: b}
	if len(b.Polygons) == 0 {
		c.fatal("", "the boundary has no polygon", "none", "at least one polygon")
		return c.found
	}
	c.count()
	for i, polygon := range b.Polygons {
		c.polygon(i, polygon)
	}
	if len(c.found) > 0 {
		return c.found // what follows needs whole rings of true places
	}
	c.shape()
	c.place(near)
	return c.found
}

// check gathers what is found on one boundary.
type check struct {
	boundary *season.Boundary
	found    []season.Problem
}

func (c *check) fatal(part, message, found, expected string) {
	c.add(season.Fatal, part, message, found, expected)
}

func (c *check) doubt(part, message, found, expected string) {
	c.add(season.Doubtful, part, message, found, expected)
}

func (c *check) add(s season.Severity, part, message, found, expected string) {
	if c.boundary.Field != "" {
		message = "field " + c.boundary.Field + ": " + message
	}
	c.found = append(c.found, season.Problem{Severity: s, Field: part, Message: message, Found: found, Expected: expected})
}

// count keeps hostile or broken files from costing more than a moment.
func (c *check) count() {
	n := 0
	for _, polygon := range c.boundary.Polygons {
		for _, ring := range polygon {
			n += len(ring)
		}
	}
	if n > mostPoints {
		c.fatal("", "the boundary has more points than any field needs", fmt.Sprintf("%d points", n),
			fmt.Sprintf("at most %d; simplify it first", mostPoints))
	}
}

func (c *check) polygon(i int, polygon [][]season.Position) {
	if len(polygon) == 0 {
		c.fatal(fmt.Sprintf("polygon %d", i+1), "a polygon has no outline", "no ring", "an outer ring")
	}
	for j, ring := range polygon {
		c.ring(ringName(i, j), ring)
	}
}

func ringName(polygon, ring int) string {
	if ring == 0 {
		return fmt.Sprintf("polygon %d, outline", polygon+1)
	}
	return fmt.Sprintf("polygon %d, hole %d", polygon+1, ring)
}

func (c *check) ring(name string, ring []season.Position) {
	for k, p := range ring {
		if !c.position(fmt.Sprintf("%s, point %d", name, k+1), p) {
			return // one wrong place is enough: the others are wrong the same way
		}
	}
	if len(ring) < 4 {
		c.fatal(name, "a ring has too few points to enclose ground", fmt.Sprintf("%d points", len(ring)),
			"at least 4, the last one the same as the first")
		return
	}
	if first, last := ring[0], ring[len(ring)-1]; first != last {
		c.fatal(name, "a ring is not closed", "it ends at "+Spoken(last), "an end where it starts, at "+Spoken(first))
	}
}

// position says whether a place is on Earth, and if not whether latitude and longitude are reversed.
func (c *check) position(name string, p season.Position) bool {
	onEarth := finite(p) && math.Abs(p.Lat) <= 90 && math.Abs(p.Lon) <= 180
	if onEarth {
		return true
	}
	found := fmt.Sprintf("longitude %g, latitude %g", p.Lon, p.Lat)
	if math.Abs(p.Lat) <= 180 && math.Abs(p.Lon) <= 90 {
		c.fatal(name, "latitude and longitude look reversed", found, "longitude first, then latitude from -90 to 90")
	} else {
		c.fatal(name, "a point is not on Earth", found, "longitude from -180 to 180, latitude from -90 to 90, in degrees")
	}
	return false
}

// shape looks for rings that cross or touch, for holes and polygons out of place, and at the size. What
// makes the area meaningless ends the search.
func (c *check) shape() {
	crossing, touch := meetings(c.boundary)
	if crossing != nil {
		c.fatal(crossing.ring, "the outline crosses itself or another ring, so its area cannot be told",
			"a crossing at "+Spoken(crossing.at), "rings that do not cross")
		return
	}
	area := float64(Area(c.boundary))
	if area < leastArea {
		c.fatal("", "the boundary encloses no ground", fmt.Sprintf("%.1f m2", area*10000), "a field")
		return
	}
	if area > largestArea {
		c.doubt("", "the boundary is far larger than a field", fmt.Sprintf("%.0f ha", area), fmt.Sprintf("at most %d ha (100 km2)", largestArea))
	}
	c.nesting()
	if slices.ContainsFunc(c.found, isFatal) || allValid(shape(c.boundary)) {
		return
	}
	ring, found := "", "no single place"
	if touch != nil {
		ring, found = touch.ring, "a touch at "+Spoken(touch.at)
	}
	c.doubt(ring, "the outline touches itself or runs back over itself; look whether the area is right", found,
		"a ring that meets itself nowhere")
}

// allValid says that each polygon by itself is valid in the sense of the simple features standard. Polygons
// that share a fence are sound; validating them together is not done, as the library panics on some of them.
func allValid(m geom.MultiPolygon) bool {
	for i := range m.NumPolygons() {
		if m.PolygonN(i).Validate() != nil {
			return false
		}
	}
	return true
}

func isFatal(p season.Problem) bool { return p.Severity == season.Fatal }

// nesting finds holes outside their outline, holes in holes, and polygons on top of each other. No ring
// crosses another here, so one place inside a ring tells where the whole ring lies.
func (c *check) nesting() {
	for i, polygon := range c.boundary.Polygons {
		for j := 1; j < len(polygon); j++ {
			if !liesIn(polygon[j], polygon[0]) {
				c.fatal(ringName(i, j), "a hole lies outside its outline", "a hole at "+Spoken(polygon[j][0]), "a hole inside the outline")
			}
			for k := 1; k < j; k++ {
				if liesIn(polygon[j], polygon[k]) || liesIn(polygon[k], polygon[j]) {
					c.fatal(ringName(i, j), "two holes lie on top of each other", "a hole at "+Spoken(polygon[j][0]), "holes apart from each other")
				}
			}
		}
		for k := range i {
			if other := c.boundary.Polygons[k]; covers(polygon, other[0]) || covers(other, polygon[0]) {
				c.fatal(ringName(i, 0), fmt.Sprintf("polygon %d lies on top of polygon %d, so ground would count twice", i+1, k+1),
					"ground in both at "+Spoken(polygon[0][0]), "polygons side by side")
			}
		}
	}
}

// covers says that a ring lies on the ground of a polygon: inside its outline and in none of its holes.
func covers(polygon [][]season.Position, ring []season.Position) bool {
	for _, hole := range polygon[1:] {
		if liesIn(ring, hole) {
			return false
		}
	}
	return liesIn(ring, polygon[0])
}

// liesIn says that one ring lies inside another, or is the same, given that they do not cross.
func liesIn(inner, outer []season.Position) bool {
	asBoundary := func(ring []season.Position) *season.Boundary {
		return &season.Boundary{Polygons: [][][]season.Position{{ring}}}
	}
	if Area(asBoundary(inner)) > Area(asBoundary(outer))*(1+1e-9) {
		return false
	}
	p, ok := LabelPoint(asBoundary(inner))
	return ok && Contains(asBoundary(outer), p)
}

// place doubts a field far from everything it should be near to, and recognises reversed coordinates.
func (c *check) place(near []season.Position) {
	southWest, northEast, ok := Bounds(c.boundary)
	if !ok || len(near) == 0 {
		return
	}
	at := season.Position{Lon: (southWest.Lon + northEast.Lon) / 2, Lat: (southWest.Lat + northEast.Lat) / 2}
	away := nearest(at, near)
	if away <= farAway {
		return
	}
	found := fmt.Sprintf("%s, %.0f km from the nearest", Spoken(at), away/1000)
	expected := fmt.Sprintf("a field within %.0f km of its station or of the other fields", farAway/1000)
	reversed := season.Position{Lon: at.Lat, Lat: at.Lon}
	if math.Abs(reversed.Lat) <= 90 && nearest(reversed, near) <= farAway {
		c.fatal("", "latitude and longitude look reversed: the other way round the field lies among the others", found, expected)
		return
	}
	c.doubt("", "the field lies far from its station and from the other fields", found, expected)
}

// nearest is the distance to the nearest of some places, m.
func nearest(at season.Position, near []season.Position) float64 {
	least := math.Inf(1)
	for _, p := range near {
		least = min(least, float64(Distance(at, p)))
	}
	return least
}

// Spoken writes a place as people say it, to about a metre: "36.40210 N 97.61230 W".
func Spoken(p season.Position) string {
	northSouth, eastWest := "N", "E"
	if p.Lat < 0 {
		northSouth = "S"
	}
	if p.Lon < 0 {
		eastWest = "W"
	}
	return fmt.Sprintf("%.5f %s %.5f %s", math.Abs(p.Lat), northSouth, math.Abs(p.Lon), eastWest)
}
