// Package spatial answers what a field's outline says: how large it is, where it lies, whether it can be
// true, and how it looks on a flat map. It draws nothing and reads no file.
//
// Places come as season.Position, degrees of WGS 84 with longitude first. Whatever needs metres goes
// through a Plane, a transverse Mercator map laid through the field itself; UTM is the Plane that machines
// and files expect.
package spatial

import (
	"math"

	"culm/agronomy/unit"
	"culm/season"
)

// Plane is a flat map in metres: the transverse Mercator projection of WGS 84 about a meridian of its own.
// Angles are true everywhere, lengths near the meridian. It is made by PlaneThrough or by Zone.Plane; the
// zero Plane maps nothing.
type Plane struct {
	meridian          float64 // degrees
	scale             float64 // on the meridian
	offsetE, offsetN  float64 // added to eastings and northings, m
	toPlane, toSphere series
}

// Point is a place on a Plane, metres east and north.
type Point struct{ East, North float64 }

// PlaneThrough lays a plane whose meridian passes through a place. Within 5 km east or west of it lengths
// are true to 3 parts in ten million, so it serves for areas and distances of a field without correction.
func PlaneThrough(p season.Position) Plane {
	return Plane{meridian: p.Lon, scale: 1, toPlane: toPlane(), toSphere: toSphere()}
}

// Project gives the point of the plane at a position, better than a micrometre within 3000 km of the
// meridian.
func (pl Plane) Project(p season.Position) Point {
	s := sphere(p, pl.meridian)
	x, y := pl.toPlane.shift(s.north, s.east)
	r := rectifyingRadius() * pl.scale
	return Point{East: pl.offsetE + r*(s.east+y), North: pl.offsetN + r*(s.north+x)}
}

// Position gives the position of a point of the plane: the inverse of Project, to the same accuracy.
func (pl Plane) Position(p Point) season.Position {
	r := rectifyingRadius() * pl.scale
	north, east := (p.North-pl.offsetN)/r, (p.East-pl.offsetE)/r
	dx, dy := pl.toSphere.shift(north, east)
	north, east = north-dx, east-dy
	tau := geodetic(math.Sin(north) / math.Hypot(math.Sinh(east), math.Cos(north)))
	lon := pl.meridian + degrees(math.Atan2(math.Sinh(east), math.Cos(north)))
	return season.Position{Lon: math.Remainder(lon, 360), Lat: degrees(math.Atan(tau))}
}

// ScaleAt is the length on the plane of a metre on the ground at a position; areas grow with its square.
// Karney 2011, eqs. 22 to 24.
func (pl Plane) ScaleAt(p season.Position) float64 {
	s := sphere(p, pl.meridian)
	sin, cos := math.Sincos(radians(p.Lat))
	onSphere := math.Sqrt(1-eccentricity2*sin*sin) / cos / s.spread
	return pl.scale * rectifyingRadius() / equatorialRadius * pl.toPlane.stretch(s.north, s.east) * onSphere
}

// Distance is the length over the ground between two places, along a sphere of the Earth's mean radius:
// good to 0.5 %.
func Distance(a, b season.Position) unit.Length {
	const meanRadius = 6371008.8 // m
	dLat, dLon := radians(b.Lat-a.Lat), radians(b.Lon-a.Lon)
	h := square(math.Sin(dLat/2)) + math.Cos(radians(a.Lat))*math.Cos(radians(b.Lat))*square(math.Sin(dLon/2))
	return unit.Length(2 * meanRadius * math.Asin(math.Sqrt(min(1, h))))
}

func radians(d float64) float64 { return d * math.Pi / 180 }
func degrees(r float64) float64 { return r * 180 / math.Pi }
func square(x float64) float64  { return x * x }
