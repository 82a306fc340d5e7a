package spatial_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"culm/season"
	"culm/spatial"

	"github.com/peterstace/simplefeatures/carto"
	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"
)

func ExampleZoneOf() {
	at := season.Position{Lon: -97.5, Lat: 36.4}
	zone := spatial.ZoneOf(at)
	p := zone.Plane().Project(at)
	fmt.Printf("%s, EPSG:%d, east %.1f m, north %.1f m\n", zone, zone.EPSG(), p.East, p.North)
	// Output:
	// UTM zone 14 north, EPSG:32614, east 634510.0 m, north 4029360.8 m
}

// Two published pairs of coordinates, both from memory: the tower in Toronto that serves as the example of
// the encyclopedia article on UTM, and the example of the manual page of GeographicLib's GeoConvert, with
// military grid reference 38SMB4414084706. A grid reference names a square metre by its south-western
// corner, that is, it cuts digits off; the article's northing (we find 4833438.55) agrees only when read so.
func TestKnownPlaces(t *testing.T) {
	for _, row := range []struct {
		name     string
		at       season.Position
		zone     string
		low, top spatial.Point
	}{
		{
			"tower in Toronto",
			season.Position{Lon: -(79 + 23./60 + 13.7/3600), Lat: 43 + 38./60 + 33.24/3600},
			"UTM zone 17 north",
			spatial.Point{East: 630084, North: 4833438},
			spatial.Point{East: 630085, North: 4833439},
		},
		{
			"GeoConvert 33.3 N 44.4 E",
			season.Position{Lon: 44.4, Lat: 33.3},
			"UTM zone 38 north",
			spatial.Point{East: 444140, North: 3684706},
			spatial.Point{East: 444141, North: 3684707},
		},
	} {
		zone := spatial.ZoneOf(row.at)
		p := zone.Plane().Project(row.at)
		if zone.String() != row.zone || p.East < row.low.East || p.East > row.top.East || p.North < row.low.North || p.North > row.top.North {
			t.Errorf("%s: %v %+v, want %s within %+v and %+v", row.name, zone, p, row.zone, row.low, row.top)
		}
	}
}

// The transverse Mercator projection is by definition the continuation of the length of the meridian into
// complex latitudes: the isometric latitude becomes psi + i lambda, and the length is integrated along a
// path to the latitude that has it. Nothing of the series is used.
func TestSeriesAgreesWithTheDefinition(t *testing.T) {
	const a, f = 6378137.0, 1 / 298.257223563
	e := complex(math.Sqrt(f*(2-f)), 0)
	isometric := func(phi complex128) complex128 {
		return cmplx.Atanh(cmplx.Sin(phi)) - e*cmplx.Atanh(e*cmplx.Sin(phi))
	}
	density := func(phi complex128) complex128 { // metres of meridian per radian
		return complex(a, 0) * (1 - e*e) / cmplx.Pow(1-e*e*cmplx.Sin(phi)*cmplx.Sin(phi), 1.5)
	}
	for lat := -80.0; lat <= 80; lat += 10 {
		for _, lon := range []float64{0, 0.01, 1, 3, 6, 12} {
			want := isometric(complex(lat*math.Pi/180, 0)) + complex(0, lon*math.Pi/180)
			phi := complex(lat*math.Pi/180, 0)
			for range 50 {
				slope := (1 - e*e) / (1 - e*e*cmplx.Sin(phi)*cmplx.Sin(phi)) / cmplx.Cos(phi)
				phi -= (isometric(phi) - want) / slope
			}
			const steps = 4000 // Simpson's rule; halving them changes nothing at a nanometre
			sum := density(0) + density(phi)
			for i := 1; i < steps; i++ {
				sum += complex(float64(2+2*(i%2)), 0) * density(phi*complex(float64(i)/steps, 0))
			}
			length := sum * phi / (3 * steps)
			got := spatial.PlaneThrough(season.Position{}).Project(season.Position{Lon: lon, Lat: lat})
			if d := math.Hypot(got.North-real(length), got.East-imag(length)); d > 1e-6 {
				t.Errorf("lat %g, %g from the meridian: %+v, the definition gives %g, off by %g m", lat, lon, got, length, d)
			}
		}
	}
}

// A second implementation: simplefeatures/carto, which uses a shorter series, up to 0.92 mm off in a zone.
// From 56 N on it makes the exceptions of the grid for Norway.
func TestUTMAgreesWithASecondImplementation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := season.Position{Lon: rapid.Float64Range(-126, 24).Draw(t, "lon"), Lat: rapid.Float64Range(25, 55.9).Draw(t, "lat")}
		other, err := carto.NewUTMFromLocation(geom.XY{X: at.Lon, Y: at.Lat})
		if err != nil {
			t.Fatal(err)
		}
		got, want := spatial.ZoneOf(at).Plane().Project(at), other.Forward(geom.XY{X: at.Lon, Y: at.Lat})
		if d := math.Hypot(got.East-want.X, got.North-want.Y); d > 0.00092 {
			t.Errorf("%+v: %+v and %+v differ by %g m", at, got, want, d)
		}
	})
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := season.Position{Lon: rapid.Float64Range(-180, 180).Draw(t, "lon"), Lat: rapid.Float64Range(-84, 84).Draw(t, "lat")}
		pl := spatial.ZoneOf(at).Plane()
		p := pl.Project(at)
		q := pl.Project(pl.Position(p))
		if d := math.Hypot(p.East-q.East, p.North-q.North); d > 1e-6 {
			t.Errorf("%+v comes back %g m off", at, d)
		}
	})
}

// On a plane that keeps angles the scale is the same north and east, and is the length of a small step on
// the plane over its length on the ellipsoid.
func TestScaleIsTheLengthOfASmallStep(t *testing.T) {
	const a, f = 6378137.0, 1 / 298.257223563
	rapid.Check(t, func(t *rapid.T) {
		at := season.Position{Lon: rapid.Float64Range(-102, -96).Draw(t, "lon"), Lat: rapid.Float64Range(-70, 70).Draw(t, "lat")}
		pl := spatial.ZoneOf(at).Plane()
		const step = 1e-4 // degrees
		p := pl.Project(season.Position{Lon: at.Lon, Lat: at.Lat - step})
		q := pl.Project(season.Position{Lon: at.Lon, Lat: at.Lat + step})
		sin := math.Sin(at.Lat * math.Pi / 180)
		e2 := f * (2 - f)
		ground := a * (1 - e2) / math.Pow(1-e2*sin*sin, 1.5) * 2 * step * math.Pi / 180
		want := math.Hypot(p.East-q.East, p.North-q.North) / ground
		if got := pl.ScaleAt(at); math.Abs(got-want) > 1e-8 {
			t.Errorf("%+v: scale %.9f, a small step gives %.9f", at, got, want)
		}
	})
}

func TestZones(t *testing.T) {
	for _, row := range []struct {
		name string
		at   season.Position
		zone spatial.Zone
		epsg int
	}{
		{"the Plains", season.Position{Lon: -97.5, Lat: 36}, spatial.Zone{Number: 14}, 32614},
		{"on a border, the eastern zone", season.Position{Lon: -96, Lat: 36}, spatial.Zone{Number: 15}, 32615},
		{"Bavaria", season.Position{Lon: 10.9, Lat: 48.4}, spatial.Zone{Number: 32}, 32632},
		{"Western Australia", season.Position{Lon: 116.7, Lat: -30.9}, spatial.Zone{Number: 50, South: true}, 32750},
		{"the eastern end", season.Position{Lon: 180, Lat: 10}, spatial.Zone{Number: 60}, 32660},
		{"the western end", season.Position{Lon: -180, Lat: 10}, spatial.Zone{Number: 1}, 32601},
	} {
		if got := spatial.ZoneOf(row.at); got != row.zone || got.EPSG() != row.epsg {
			t.Errorf("%s: %v EPSG:%d, want %v EPSG:%d", row.name, got, got.EPSG(), row.zone, row.epsg)
		}
	}
}

func TestDistance(t *testing.T) {
	// One degree of latitude is 111.1 km, by the first definition of the metre (90 degrees are 10 000 km).
	got := spatial.Distance(season.Position{Lon: -97, Lat: 44.5}, season.Position{Lon: -97, Lat: 45.5})
	if math.Abs(float64(got)-10e6/90) > 0.005*10e6/90 {
		t.Errorf("one degree of latitude is %.0f m", got)
	}
}
