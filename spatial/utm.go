package spatial

import (
	"fmt"
	"math"

	"culm/season"
)

// Zone is a zone of the Universal Transverse Mercator grid on WGS 84.
type Zone struct {
	Number int // 1 to 60
	South  bool
}

// ZoneOf gives the zone a position lies in: six degrees wide, counted east from 180 W. The exceptions for
// western Norway and Svalbard are left out; a field there still maps truly, in the neighbouring zone.
func ZoneOf(p season.Position) Zone {
	number := int(math.Floor((math.Remainder(p.Lon, 360)+180)/6)) + 1
	return Zone{Number: min(number, 60), South: p.Lat < 0}
}

// Plane is the zone's map: scale 0.9996 on the central meridian, 500 km added to eastings and, in the
// south, 10 000 km to northings.
func (z Zone) Plane() Plane {
	pl := PlaneThrough(season.Position{Lon: float64(6*z.Number - 183)})
	pl.scale, pl.offsetE = 0.9996, 500000
	if z.South {
		pl.offsetN = 10000000
	}
	return pl
}

// EPSG is the code by which files name the zone's coordinate system.
func (z Zone) EPSG() int {
	if z.South {
		return 32700 + z.Number
	}
	return 32600 + z.Number
}

// String writes "UTM zone 14 north".
func (z Zone) String() string {
	if z.South {
		return fmt.Sprintf("UTM zone %d south", z.Number)
	}
	return fmt.Sprintf("UTM zone %d north", z.Number)
}
