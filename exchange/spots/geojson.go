// Package spots writes poor spots and the good ground beside them for the devices that lead a sampler back
// to them, as GeoJSON (RFC 7946) and as GPX 1.1 waypoints; writes the outlines of fields and zones as
// GeoJSON; and reads GPX waypoints that a scout took with whatever was at hand.
//
// Coordinates are degrees of WGS 84 with seven decimals, a centimetre.
package spots

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"

	"culm/agronomy/unit"
	"culm/season"
	"culm/spatial"
)

// collection, feature and geometry are those of RFC 7946.
type collection struct {
	Type     string    `json:"type"`
	Features []feature `json:"features"`
}

type feature struct {
	Type       string         `json:"type"`
	ID         string         `json:"id,omitempty"`
	Geometry   geometry       `json:"geometry"`
	Properties map[string]any `json:"properties"`
}

type geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

// point is longitude, then latitude.
type point [2]float64

// WriteGeoJSON writes each spot as a point with its properties, and after them each pair that has a poor and
// a good spot in one field as a line from the poor to the good, with its length. It fails on a spot that has
// no place on Earth.
func WriteGeoJSON(w io.Writer, spots []*season.Spot) error {
	features := []feature{}
	for _, s := range spots {
		if err := placed(s); err != nil {
			return err
		}
		features = append(features, feature{
			Type: "Feature", ID: s.Field + "/" + s.ID,
			Geometry: geometry{"Point", at(s.At)}, Properties: properties(s),
		})
	}
	for _, p := range pairs(spots) {
		features = append(features, feature{
			Type: "Feature", ID: p.poor.Field + "/pair/" + p.poor.Pair,
			Geometry: geometry{"LineString", []point{at(p.poor.At), at(p.good.At)}},
			Properties: map[string]any{
				"field": p.poor.Field, "pair": p.poor.Pair, "poor": p.poor.ID, "good": p.good.ID,
				"distance_m": math.Round(float64(spatial.Distance(p.poor.At, p.good.At))*10) / 10,
			},
		})
	}
	return write(w, features)
}

// properties leaves out what is not known.
func properties(s *season.Spot) map[string]any {
	p := map[string]any{"id": s.ID, "field": s.Field, "spot": string(s.Spot)}
	for name, value := range map[string]string{"pair": s.Pair, "sample": s.Sample, "observer": s.Observer, "note": s.Note} {
		if value != "" {
			p[name] = value
		}
	}
	if !s.Day.IsZero() {
		p["day"] = s.Day.String()
	}
	return p
}

// pair is a poor spot and the good one beside it.
type pair struct{ poor, good *season.Spot }

// pairs joins spots of one field and pair name, in the order of the poor spots. Of several good spots in a
// pair the first counts.
func pairs(spots []*season.Spot) []pair {
	good := map[string]*season.Spot{}
	for _, s := range spots {
		if key := s.Field + "\x00" + s.Pair; s.Spot == season.GoodSpot && s.Pair != "" && good[key] == nil {
			good[key] = s
		}
	}
	var joined []pair
	for _, s := range spots {
		if g := good[s.Field+"\x00"+s.Pair]; s.Spot == season.PoorSpot && s.Pair != "" && g != nil {
			joined = append(joined, pair{s, g})
		}
	}
	return joined
}

// Outline is a field or a zone of one, to be drawn on a map or loaded into a machine.
type Outline struct {
	Boundary *season.Boundary // its Field names the field
	Name     string
	Zone     string // empty for a whole field
	// Values are numbers to go with it, by a name that holds the unit: "lime_kg_ha".
	Values map[string]float64
}

// WriteOutlines writes outlines as polygons, outer rings counter-clockwise and holes clockwise as RFC 7946
// asks, with field, name, zone, area_ha and the outline's own values as properties. It fails on an outline
// with no ring or with a place that is not on Earth.
func WriteOutlines(w io.Writer, outlines []Outline) error {
	features := []feature{}
	for _, o := range outlines {
		shape, err := polygons(o.Boundary)
		if err != nil {
			return err
		}
		id := o.Boundary.Field
		p := map[string]any{"field": o.Boundary.Field, "area_ha": hectares(spatial.Area(o.Boundary))}
		if o.Name != "" {
			p["name"] = o.Name
		}
		if o.Zone != "" {
			p["zone"] = o.Zone
			id += "/" + o.Zone
		}
		for name, value := range o.Values {
			if _, taken := p[name]; taken || math.IsNaN(value) || math.IsInf(value, 0) {
				return fmt.Errorf("outline %s: the value %s cannot be written; expected a number under a name of its own", id, name)
			}
			p[name] = value
		}
		features = append(features, feature{Type: "Feature", ID: id, Geometry: shape, Properties: p})
	}
	return write(w, features)
}

// Outlines makes outlines of whole fields, in the order of the fields; fields without a boundary are left
// out.
func Outlines(fields []season.Field, boundaries map[string]*season.Boundary) []Outline {
	var out []Outline
	for _, f := range fields {
		if b := boundaries[f.ID]; b != nil {
			out = append(out, Outline{Boundary: b, Name: f.Name})
		}
	}
	return out
}

// hectares with four decimals, a square metre.
func hectares(a unit.Area) float64 { return math.Round(float64(a)*1e4) / 1e4 }

func polygons(b *season.Boundary) (geometry, error) {
	var all [][][]point
	for _, polygon := range b.Polygons {
		var rings [][]point
		for i, ring := range polygon {
			if len(ring) < 4 {
				return geometry{}, fmt.Errorf("outline %s has a ring of %d points, expected at least 4", b.Field, len(ring))
			}
			turned := slices.Clone(ring)
			if outer := i == 0; counterClockwise(turned) != outer {
				slices.Reverse(turned)
			}
			points := make([]point, len(turned))
			for k, p := range turned {
				if !onEarth(p) {
					return geometry{}, fmt.Errorf("outline %s has a point at longitude %g, latitude %g, which is not on Earth", b.Field, p.Lon, p.Lat)
				}
				points[k] = at(p)
			}
			rings = append(rings, points)
		}
		all = append(all, rings)
	}
	switch len(all) {
	case 0:
		return geometry{}, fmt.Errorf("outline %s has no polygon", b.Field)
	case 1:
		return geometry{"Polygon", all[0]}, nil
	default:
		return geometry{"MultiPolygon", all}, nil
	}
}

// counterClockwise tells the way a ring runs, by the sign of its area in degrees.
func counterClockwise(ring []season.Position) bool {
	twice := 0.0
	for i := range len(ring) - 1 {
		p, q := ring[i], ring[i+1]
		twice += (p.Lon-ring[0].Lon)*(q.Lat-ring[0].Lat) - (q.Lon-ring[0].Lon)*(p.Lat-ring[0].Lat)
	}
	return twice > 0
}

func write(w io.Writer, features []feature) error {
	if err := json.NewEncoder(w).Encode(collection{Type: "FeatureCollection", Features: features}); err != nil {
		return fmt.Errorf("writing GeoJSON: %w", err)
	}
	return nil
}

func at(p season.Position) point { return point{sevenDecimals(p.Lon), sevenDecimals(p.Lat)} }

func sevenDecimals(degrees float64) float64 { return math.Round(degrees*1e7) / 1e7 }

func placed(s *season.Spot) error {
	if !onEarth(s.At) {
		return fmt.Errorf("spot %s of field %s is at longitude %g, latitude %g, which is not on Earth", s.ID, s.Field, s.At.Lon, s.At.Lat)
	}
	return nil
}

// onEarth is false for what is not a number, too.
func onEarth(p season.Position) bool { return math.Abs(p.Lon) <= 180 && math.Abs(p.Lat) <= 90 }
