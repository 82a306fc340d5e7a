package spatial

import (
	"cmp"
	"math"
	"slices"

	"culm/season"
)

// How close counts as meeting. Coordinates rounded to seven decimals move a point by up to 6 mm, so a
// crossing no deeper than that is a touch made by rounding.
const (
	crossingDepth = 0.05 // m
	touchDistance = 0.01 // m
)

// meeting is a place where two edges of a boundary meet that should not.
type meeting struct {
	ring string
	at   season.Position
}

// edge is one side of a ring on the plane through the boundary.
type edge struct {
	from, to Point
	ring     string
	ringAt   int // position of its ring among all rings
	at, of   int // which edge of how many in its ring
}

// meetings finds the first crossing of two edges and the first touch, where edges that are not neighbours
// meet or neighbours fold back on each other. The edges are swept from west to east, so that only pairs that overlap in easting are compared.
func meetings(b *season.Boundary) (crossing, touch *meeting) {
	southWest, northEast, _ := Bounds(b)
	pl := PlaneThrough(season.Position{Lon: (southWest.Lon + northEast.Lon) / 2})
	edges := edgesOf(b, pl)
	slices.SortFunc(edges, func(a, b edge) int { return cmp.Compare(a.west(), b.west()) })
	for i, a := range edges {
		for _, b := range edges[i+1:] {
			if b.west() > a.east()+touchDistance {
				break
			}
			if b.south() > a.north()+touchDistance || a.south() > b.north()+touchDistance {
				continue
			}
			if at, ok := a.crosses(b); ok {
				return &meeting{a.ring, pl.Position(at)}, touch
			}
			if at, ok := a.touches(b); ok && touch == nil {
				touch = &meeting{a.ring, pl.Position(at)}
			}
		}
	}
	return nil, touch
}

func edgesOf(b *season.Boundary, pl Plane) []edge {
	var edges []edge
	rings := 0
	for i, polygon := range b.Polygons {
		for j, ring := range polygon {
			for k := range len(ring) - 1 {
				edges = append(edges, edge{
					from: pl.Project(ring[k]), to: pl.Project(ring[k+1]),
					ring: ringName(i, j), ringAt: rings, at: k, of: len(ring) - 1,
				})
			}
			rings++
		}
	}
	return edges
}

func (a edge) west() float64  { return min(a.from.East, a.to.East) }
func (a edge) east() float64  { return max(a.from.East, a.to.East) }
func (a edge) south() float64 { return min(a.from.North, a.to.North) }
func (a edge) north() float64 { return max(a.from.North, a.to.North) }

// follows says that an edge begins where another of the same ring ends.
func (a edge) follows(b edge) bool { return a.ringAt == b.ringAt && a.at == (b.at+1)%b.of }

// crosses gives the place where two edges cross, if each goes through the other by more than rounding.
func (a edge) crosses(b edge) (Point, bool) {
	fromA, toA := b.offset(a.from), b.offset(a.to)
	fromB, toB := a.offset(b.from), a.offset(b.to)
	deep := min(math.Abs(fromA), math.Abs(toA), math.Abs(fromB), math.Abs(toB)) > crossingDepth
	if !deep || fromA*toA > 0 || fromB*toB > 0 {
		return Point{}, false
	}
	return a.along(fromA / (fromA - toA)), true
}

// touches gives an end of one edge that lies on the other. The end that neighbours share does not count.
func (a edge) touches(b edge) (Point, bool) {
	switch {
	case a.follows(b):
		return firstOn(a, b, []Point{a.to}, []Point{b.from})
	case b.follows(a):
		return firstOn(a, b, []Point{a.from}, []Point{b.to})
	default:
		return firstOn(a, b, []Point{a.from, a.to}, []Point{b.from, b.to})
	}
}

// firstOn gives the first of a's ends that lies on b, or of b's that lies on a.
func firstOn(a, b edge, endsA, endsB []Point) (Point, bool) {
	for _, p := range endsA {
		if b.distance(p) < touchDistance {
			return p, true
		}
	}
	for _, p := range endsB {
		if a.distance(p) < touchDistance {
			return p, true
		}
	}
	return Point{}, false
}

// offset is how far a point lies to the left of the edge's line, m.
func (a edge) offset(p Point) float64 {
	dE, dN := a.to.East-a.from.East, a.to.North-a.from.North
	length := math.Hypot(dE, dN)
	if length == 0 {
		return 0
	}
	return (dE*(p.North-a.from.North) - dN*(p.East-a.from.East)) / length
}

// distance from the edge to a point, m.
func (a edge) distance(p Point) float64 {
	dE, dN := a.to.East-a.from.East, a.to.North-a.from.North
	share := 0.0
	if squared := dE*dE + dN*dN; squared > 0 {
		share = ((p.East-a.from.East)*dE + (p.North-a.from.North)*dN) / squared
	}
	foot := a.along(min(1, max(0, share)))
	return math.Hypot(p.East-foot.East, p.North-foot.North)
}

// along is the point a share of the way along the edge.
func (a edge) along(share float64) Point {
	return Point{
		East:  a.from.East + share*(a.to.East-a.from.East),
		North: a.from.North + share*(a.to.North-a.from.North),
	}
}
