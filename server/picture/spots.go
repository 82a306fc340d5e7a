package picture

import (
	"math"

	"culm/season"
	"culm/spatial"
)

// Field draws one field's outline with the places marked in it.
type Field struct {
	outline       outline
	width, height float64
	spots         []spotMark
	Words         string
}

type spotMark struct {
	x, y float64
	poor bool
	pair string
}

// FieldOf lays out a field. It returns false when the field has no outline.
func FieldOf(f season.Field, b *season.Boundary, spots []*season.Spot) (Field, bool) {
	if b == nil {
		return Field{}, false
	}
	sw, ne, ok := spatial.Bounds(b)
	if !ok {
		return Field{}, false
	}
	d := &District{}
	frame := d.frame(sw.Lon, ne.Lon, sw.Lat, ne.Lat)
	picture := Field{
		outline: frame.outline(f, spatial.Simplify(b, 2)),
		width:   d.width, height: d.height,
		Words: "Outline of " + f.Name + ", north up",
	}
	for _, s := range spots {
		x, y := frame.place(s.At)
		if !math.IsNaN(x) && !math.IsNaN(y) {
			picture.spots = append(picture.spots, spotMark{x: x, y: y, poor: s.Spot == season.PoorSpot, pair: s.Pair})
		}
	}
	if len(spots) > 0 {
		picture.Words += ", with the poor spots and the good ground beside them"
	}
	return picture, true
}

func (f Field) viewBox() string { return "0 0 " + px(f.width) + " " + px(f.height) }

// triangle points down at a poor spot.
func (s spotMark) triangle() string {
	return "M" + px(s.x-11) + " " + px(s.y-9) + "h22l-11 19Z"
}
