package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/season"
	"culm/spatial"
)

// District holds the outlines of a season's fields on one flat map. It is laid out once and drawn often.
type District struct {
	outlines      []outline
	width, height float64 // of the drawing
	scale         float64 // drawing units a metre
}

type outline struct {
	field, name   string
	path          string
	labelX        float64
	labelY        float64
	breadth       float64 // the shorter side of the field's extent, drawing units
	east, west    float64
	north, south  float64
	hasLabelPoint bool
}

const (
	districtSize = 640.0 // longer side of the drawing
	districtRim  = 18.0
	// coarse is how far a drawn outline may lie from the true one, in drawing units.
	coarse = 0.4
)

// LayDistrict draws the outlines of fields, those with a boundary, on a plane through their middle.
func LayDistrict(fields []season.Field, boundaries map[string]*season.Boundary) *District {
	west, east, south, north := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	var known []season.Field
	for _, f := range fields {
		b := boundaries[f.ID]
		if b == nil {
			continue
		}
		sw, ne, ok := spatial.Bounds(b)
		if !ok {
			continue
		}
		known = append(known, f)
		west, east = math.Min(west, sw.Lon), math.Max(east, ne.Lon)
		south, north = math.Min(south, sw.Lat), math.Max(north, ne.Lat)
	}
	d := &District{width: districtSize, height: districtSize}
	if len(known) == 0 {
		return d
	}
	frame := d.frame(west, east, south, north)
	tolerance := unit.Length(coarse / d.scale)
	for _, f := range known {
		d.outlines = append(d.outlines, frame.outline(f, spatial.Simplify(boundaries[f.ID], tolerance)))
	}
	return d
}

// frame turns positions into places on a drawing.
type frame struct {
	plane     spatial.Plane
	left, top float64 // the corner of the map on the plane, m
	scale     float64
}

func (d *District) frame(west, east, south, north float64) frame {
	plane := spatial.PlaneThrough(season.Position{Lon: (west + east) / 2, Lat: (south + north) / 2})
	left, right, top, bottom := math.Inf(1), math.Inf(-1), math.Inf(-1), math.Inf(1)
	for _, corner := range []season.Position{{Lon: west, Lat: south}, {Lon: west, Lat: north}, {Lon: east, Lat: south}, {Lon: east, Lat: north}} {
		p := plane.Project(corner)
		left, right = math.Min(left, p.East), math.Max(right, p.East)
		bottom, top = math.Min(bottom, p.North), math.Max(top, p.North)
	}
	across, up := math.Max(right-left, 1), math.Max(top-bottom, 1)
	d.scale = (districtSize - 2*districtRim) / math.Max(across, up)
	d.width, d.height = across*d.scale+2*districtRim, up*d.scale+2*districtRim
	return frame{plane: plane, left: left, top: top, scale: d.scale}
}

func (f frame) place(p season.Position) (x, y float64) {
	at := f.plane.Project(p)
	return districtRim + (at.East-f.left)*f.scale, districtRim + (f.top-at.North)*f.scale
}

func (f frame) outline(field season.Field, b *season.Boundary) outline {
	o := outline{field: field.ID, name: field.Name, west: math.Inf(1), north: math.Inf(1)}
	var path strings.Builder
	for _, polygon := range b.Polygons {
		for _, ring := range polygon {
			for i, p := range ring {
				x, y := f.place(p)
				o.west, o.east = math.Min(o.west, x), math.Max(o.east, x)
				o.north, o.south = math.Min(o.north, y), math.Max(o.south, y)
				if i < len(ring)-1 {
					path.WriteString(pen(i) + px(x) + " " + px(y))
				}
			}
			path.WriteString("Z")
		}
	}
	o.path = path.String()
	o.breadth = math.Min(o.east-o.west, o.south-o.north)
	if p, ok := labelPoint(b); ok {
		o.labelX, o.labelY = f.place(p)
		o.hasLabelPoint = true
	}
	return o
}

// labelPoint is the middle of a field, or its widest part where the middle lies outside or in a hole.
func labelPoint(b *season.Boundary) (season.Position, bool) {
	if p, ok := spatial.Centroid(b); ok && spatial.Contains(b, p) {
		return p, true
	}
	return spatial.LabelPoint(b)
}

// Empty says that no field has a boundary.
func (d *District) Empty() bool { return len(d.outlines) == 0 }

// Mark is how a field stands on the map.
type Mark struct {
	Action advice.Action
	Rank   int    // its place in the list beside the map
	Words  string // "Mill Quarter: spread"
}

// Map is a district with the marks of the fields that a list shows; the others are drawn as outlines only.
type Map struct {
	district *District
	marks    map[string]Mark
	units    unit.System
}

// With gives the map of a district with marks.
func (d *District) With(marks map[string]Mark, s unit.System) Map { return Map{d, marks, s} }

// marked and unmarked part the fields: what is listed is drawn last, over the rest.
func (m Map) marked() (in []outline) {
	for _, o := range m.district.outlines {
		if _, ok := m.marks[o.field]; ok {
			in = append(in, o)
		}
	}
	return in
}

func (m Map) unmarked() (out []outline) {
	for _, o := range m.district.outlines {
		if _, ok := m.marks[o.field]; !ok {
			out = append(out, o)
		}
	}
	return out
}

// crowded says that the fields are too small on the whole map to carry numbers.
func (m Map) crowded() bool { return len(m.district.outlines) > 80 }

func (m Map) viewBox() string { return "0 0 " + px(m.district.width) + " " + px(m.district.height) }

func (m Map) class() string {
	if m.crowded() {
		return "map crowded"
	}
	return "map"
}

// barLength picks a round distance for the scale bar: its length in drawing units and its words.
func (m Map) barLength() (length float64, words string) {
	perUnit, name := 1609.344, "mi"
	if m.units == unit.Metric {
		perUnit, name = 1000, "km"
	}
	for _, n := range []float64{0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 50, 100} {
		if length, words = n*perUnit*m.district.scale, strconv.FormatFloat(n, 'f', -1, 64)+" "+name; length > districtSize/8 {
			break
		}
	}
	return length, words
}

func (m Map) bar() string {
	length, _ := m.barLength()
	y := m.district.height - 6
	return fmt.Sprintf("M%s %sv-4v4h%sv-4", px(districtRim), px(y), px(length))
}

func (m Map) barWords() string { _, words := m.barLength(); return words }

func (m Map) barEnd() string { length, _ := m.barLength(); return px(districtRim + length + 6) }

func (m Map) foot() string { return px(m.district.height - 5) }

func (m Map) rank(o outline) string { return strconv.Itoa(m.marks[o.field].Rank) }

func (m Map) action(o outline) string { return string(m.marks[o.field].Action) }

// link names what a link of the map opens. The words start with the field's name, which the list shows too.
func (m Map) words(o outline) string { return m.marks[o.field].Words }

// cross draws a stroke through a field, corner to corner of its extent: it is left alone.
func (o outline) cross() string {
	inset := o.breadth * 0.25
	return fmt.Sprintf("M%s %sL%s %s", px(o.west+inset), px(o.south-inset), px(o.east-inset), px(o.north+inset))
}
