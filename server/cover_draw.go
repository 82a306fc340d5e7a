package server

import (
	"fmt"
	"strings"

	"culm/agronomy/cover"
)

// classes lists what a patch can be, in the order that telling goes round.
func classes() []cover.Class {
	return []cover.Class{cover.Green, cover.Residue, cover.Soil, cover.Unseen}
}

// className is what a class is called.
func className(c cover.Class) string {
	switch c {
	case cover.Green:
		return "green leaves"
	case cover.Residue:
		return "residue"
	case cover.Soil:
		return "bare soil"
	default:
		return "not to be seen"
	}
}

// ofClass is a share of a cover.
func ofClass(c cover.Cover, class cover.Class) cover.Range {
	switch class {
	case cover.Green:
		return c.Green
	case cover.Residue:
		return c.Residue
	default:
		return c.Soil
	}
}

// viewBox is the drawing's: that of the photo.
func (p looked) viewBox() string { return fmt.Sprintf("0 0 %d %d", p.Seen.Width, p.Seen.Height) }

// fill is the patches of a class, to be hatched.
func (p looked) fill(class cover.Class) string {
	g := p.Seen.Grid
	var path strings.Builder
	for i, q := range g.Patches {
		if q.Class == class {
			fmt.Fprintf(&path, "M%d %dh%dv%dh-%dz", i%g.Columns*g.Side, i/g.Columns*g.Side, g.Side, g.Side, g.Side)
		}
	}
	return path.String()
}

// edge is the line of a class: where it meets a class that comes after it. What lies on the rim has none.
func (p looked) edge(class cover.Class) string {
	g := p.Seen.Grid
	rank := map[cover.Class]int{}
	for i, c := range classes() {
		rank[c] = i
	}
	meets := func(i, j int) bool {
		a, b := rank[g.Patches[i].Class], rank[g.Patches[j].Class]
		return a != b && min(a, b) == rank[class]
	}
	var path strings.Builder
	for i := range g.Patches {
		x, y := i%g.Columns, i/g.Columns
		if x+1 < g.Columns && meets(i, i+1) {
			fmt.Fprintf(&path, "M%d %dv%d", (x+1)*g.Side, y*g.Side, g.Side)
		}
		if y+1 < g.Rows && meets(i, i+g.Columns) {
			fmt.Fprintf(&path, "M%d %dh%d", x*g.Side, (y+1)*g.Side, g.Side)
		}
	}
	return path.String()
}

// marks shows the patches that a person spoke of: a small square in the middle.
func (p looked) marks() string {
	g := p.Seen.Grid
	var path strings.Builder
	for i, q := range g.Patches {
		if q.Told {
			part := g.Side / 3
			fmt.Fprintf(&path, "M%d %dh%dv%dh-%dz", i%g.Columns*g.Side+part, i/g.Columns*g.Side+part, part, part, part)
		}
	}
	return path.String()
}

// net is the grid.
func (p looked) net() string {
	g := p.Seen.Grid
	var path strings.Builder
	for x := 1; x < g.Columns; x++ {
		fmt.Fprintf(&path, "M%d 0V%d", x*g.Side, p.Seen.Height)
	}
	for y := 1; y < g.Rows; y++ {
		fmt.Fprintf(&path, "M0 %dH%d", y*g.Side, p.Seen.Width)
	}
	return path.String()
}
