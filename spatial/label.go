package spatial

import (
	"slices"

	"culm/season"
)

// labelLines is how many lines are laid across a field to find its widest part.
const labelLines = 31

// LabelPoint is a place well inside a boundary, for a name on a map: the middle of the longest stretch of
// ground on lines laid from west to east at even spacing. It returns false when the boundary holds no
// ground.
func LabelPoint(b *season.Boundary) (season.Position, bool) {
	southWest, northEast, ok := Bounds(b)
	if !ok || !finite(southWest) || !finite(northEast) {
		return season.Position{}, false
	}
	var best season.Position
	widest := 0.0
	for i := range labelLines {
		share := (float64(i) + 0.5) / labelLines
		lat := southWest.Lat + share*(northEast.Lat-southWest.Lat)
		fences := fencesAt(b, lat)
		for k := 0; k+1 < len(fences); k += 2 {
			if width := fences[k+1] - fences[k]; width > widest {
				best, widest = season.Position{Lon: fences[k] + width/2, Lat: lat}, width
			}
		}
	}
	return best, widest > 0
}

// fencesAt gives the longitudes, from west to east, at which a line along a latitude goes into the field
// and out again.
func fencesAt(b *season.Boundary, lat float64) []float64 {
	var lons []float64
	for _, polygon := range b.Polygons {
		for _, ring := range polygon {
			for i := range len(ring) - 1 {
				p, q := ring[i], ring[i+1]
				if (p.Lat <= lat) != (q.Lat <= lat) {
					lons = append(lons, p.Lon+(lat-p.Lat)/(q.Lat-p.Lat)*(q.Lon-p.Lon))
				}
			}
		}
	}
	slices.Sort(lons)
	return lons
}
