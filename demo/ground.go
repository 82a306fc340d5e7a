package demo

import (
	"math"

	"culm/season"
)

// The district is laid out in sections of a square mile, counted from the south-west corner of the cast's
// land. Metres east (x) and north (y) of that corner are turned into degrees on the ellipsoid of WGS 84. The
// corner lies in open rangeland of the southern plains; none of the fields is there.
const (
	mile      = 1609.344 // m
	originLon = -98.95   // degrees
	originLat = 37.1     // degrees
	roadside  = 9.0      // m kept clear along each edge of a block: ditch, fence row
	bank      = 28.0     // m kept clear on each side of the middle of the creek
	acre      = 4046.8564224
)

// point is a place in the district in metres.
type point struct{ x, y float64 }

// position turns a point into degrees, to a tenth of a metre: what a receiver in a pickup would give.
func (p point) position() season.Position {
	phi := originLat * math.Pi / 180
	lat := originLat + p.y/(111132.954-559.822*math.Cos(2*phi)+1.175*math.Cos(4*phi))
	phi = lat * math.Pi / 180
	lon := originLon + p.x/(111412.84*math.Cos(phi)-93.5*math.Cos(3*phi)+0.118*math.Cos(5*phi))
	return season.Position{Lon: round(lon, 1e-6), Lat: round(lat, 1e-6)}
}

// creek is how far north Sallow Creek runs at x. It crosses the district from west to east.
func creek(x float64) float64 {
	turn := func(reach, miles, start float64) float64 { return reach * math.Sin(2*math.Pi*x/(miles*mile)+start) }
	return 2.5*mile + turn(330, 3.1, 0.4) + turn(90, 0.83, 1) + turn(28, 0.31, 2)
}

// block is a piece of a section before the creek has cut it.
type block struct {
	west, south, east, north float64 // m
	// hole is a pond or a graveyard in the middle, corner a farmstead cut out of the south-west corner.
	hole, corner bool
	// bothSides says that the field lies on both sides of the creek; otherwise it ends at the creek, on the
	// larger side.
	bothSides bool
}

// piece is the part of a section between fractions of its sides.
func piece(col, row int, west, south, east, north float64) block {
	x, y := float64(col)*mile, float64(row)*mile
	return block{west: x + west*mile + roadside, south: y + south*mile + roadside, east: x + east*mile - roadside, north: y + north*mile - roadside}
}

// quarter is a quarter section, 160 acres less its edges. The corner is "NE", "NW", "SE" or "SW".
func quarter(col, row int, corner string) block {
	w, s := corners(corner)
	return piece(col, row, w, s, w+0.5, s+0.5)
}

// eighty is the half of a quarter on one side of it: "N", "S", "E" or "W".
func eighty(col, row int, corner, side string) block {
	w, s := corners(corner)
	e, n := w+0.5, s+0.5
	switch side {
	case "N":
		s += 0.25
	case "S":
		n -= 0.25
	case "E":
		w += 0.25
	case "W":
		e -= 0.25
	}
	return piece(col, row, w, s, e, n)
}

// forty is a quarter of a quarter.
func forty(col, row int, corner, within string) block {
	w, s := corners(corner)
	dw, ds := corners(within)
	return piece(col, row, w+dw/2, s+ds/2, w+dw/2+0.25, s+ds/2+0.25)
}

// corners gives the south-west corner of a quarter of a unit square.
func corners(corner string) (west, south float64) {
	if corner[0] == 'N' {
		south = 0.5
	}
	if corner[1] == 'E' {
		west = 0.5
	}
	return west, south
}

func (b block) middle() point { return point{(b.west + b.east) / 2, (b.south + b.north) / 2} }

// at is the place in the block at fractions of its sides.
func (b block) at(east, north float64) point {
	return point{b.west + east*(b.east-b.west), b.south + north*(b.north-b.south)}
}

// polygons is the field's outline: polygons of rings, the outer one first and counter-clockwise, holes
// clockwise, every ring closed.
func (b block) polygons() [][][]point {
	if b.meetsCreek() {
		return b.alongCreek()
	}
	outer := []point{{b.west, b.south}, {b.east, b.south}, {b.east, b.north}, {b.west, b.north}}
	if b.corner {
		const yard = 130 // m
		outer = append([]point{{b.west + yard, b.south}}, outer[1:]...)
		outer = append(outer, point{b.west, b.south + yard}, point{b.west + yard, b.south + yard})
	}
	rings := [][]point{closed(outer)}
	if b.hole {
		rings = append(rings, b.pond())
	}
	return [][][]point{rings}
}

// pond is a ring of eight corners, clockwise, somewhat off the middle.
func (b block) pond() []point {
	c := b.at(0.42, 0.58)
	var ring []point
	for i := range 8 {
		turn := -2 * math.Pi * float64(i) / 8
		ring = append(ring, point{c.x + 62*math.Cos(turn), c.y + 48*math.Sin(turn)})
	}
	return closed(ring)
}

func closed(ring []point) []point { return append(ring, ring[0]) }

// meetsCreek says that the creek or its bank crosses the block.
func (b block) meetsCreek() bool {
	for _, x := range b.steps() {
		if y := creek(x); y+bank > b.south && y-bank < b.north {
			return true
		}
	}
	return false
}

// steps are places along the block's width at which the creek is looked at.
func (b block) steps() []float64 {
	const every = 24 // m
	n := int(math.Ceil((b.east - b.west) / every))
	xs := make([]float64, n+1)
	for i := range xs {
		xs[i] = b.west + (b.east-b.west)*float64(i)/float64(n)
	}
	return xs
}

func (b block) alongCreek() [][][]point {
	north, south := b.northOfCreek(), b.southOfCreek()
	switch {
	case b.bothSides && north != nil && south != nil:
		return [][][]point{{north}, {south}}
	case acres(north) >= acres(south):
		return [][][]point{{north}}
	default:
		return [][][]point{{south}}
	}
}

// northOfCreek is the ring between the creek's north bank and the block's north edge.
func (b block) northOfCreek() []point {
	reach := b.widest(func(x float64) float64 { return b.north - max(b.south, creek(x)+bank) })
	if len(reach) < 2 {
		return nil
	}
	var ring []point
	for _, x := range reach {
		ring = append(ring, point{x, max(b.south, creek(x)+bank)})
	}
	ring = append(ring, point{reach[len(reach)-1], b.north}, point{reach[0], b.north})
	return closed(straightened(ring))
}

// southOfCreek is the ring between the block's south edge and the creek's south bank.
func (b block) southOfCreek() []point {
	reach := b.widest(func(x float64) float64 { return min(b.north, creek(x)-bank) - b.south })
	if len(reach) < 2 {
		return nil
	}
	ring := []point{{reach[0], b.south}, {reach[len(reach)-1], b.south}}
	for i := len(reach) - 1; i >= 0; i-- {
		ring = append(ring, point{reach[i], min(b.north, creek(reach[i])-bank)})
	}
	return closed(straightened(ring))
}

// widest is the longest stretch of the block in which the ground is deep enough to turn a drill on.
func (b block) widest(depth func(x float64) float64) []float64 {
	const turning = 40 // m
	var best, run []float64
	for _, x := range b.steps() {
		if depth(x) < turning {
			run = nil
			continue
		}
		if run = append(run, x); len(run) > len(best) {
			best = run
		}
	}
	return best
}

// straightened leaves out the points that lie on a straight line between their neighbours.
func straightened(ring []point) []point {
	var kept []point
	for i, p := range ring {
		a, c := ring[(i+len(ring)-1)%len(ring)], ring[(i+1)%len(ring)]
		if cross := (p.x-a.x)*(c.y-a.y) - (p.y-a.y)*(c.x-a.x); math.Abs(cross) > 1 {
			kept = append(kept, p)
		}
	}
	return kept
}

// acres is the area inside a ring, whichever way it turns.
func acres(ring []point) float64 {
	twice := 0.0
	for i := 1; i < len(ring); i++ {
		twice += ring[i-1].x*ring[i].y - ring[i].x*ring[i-1].y
	}
	return math.Abs(twice) / 2 / acre
}

// acres is the area of the field's outline less its holes.
func (b block) acres() float64 {
	sum := 0.0
	for _, rings := range b.polygons() {
		sum += acres(rings[0])
		for _, hole := range rings[1:] {
			sum -= acres(hole)
		}
	}
	return sum
}

// boundary is the outline as the notebook holds it.
func (b block) boundary(field string) *season.Boundary {
	out := &season.Boundary{Field: field}
	for _, rings := range b.polygons() {
		var polygon [][]season.Position
		for _, ring := range rings {
			line := make([]season.Position, len(ring))
			for i, p := range ring {
				line[i] = p.position()
			}
			polygon = append(polygon, line)
		}
		out.Polygons = append(out.Polygons, polygon)
	}
	return out
}
