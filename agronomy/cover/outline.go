package cover

// Point is a corner of patches: 0, 0 is the upper left corner of the photo, and one patch is one unit.
type Point struct{ X, Y int }

// Outline is an area of patches of one class that share sides. The first ring runs round it, the others round
// the holes in it; rings are not closed by repeating their first point. Ground lies to the right of the way
// the rings run, as seen on the photo.
type Outline struct {
	Class   Class
	Rings   [][]Point
	Patches []int // the places of its patches
}

// Outlines gives the areas of the grid, in the order of their first patches.
func (g Grid) Outlines() []Outline {
	area := make([]int, len(g.Patches)) // 0 where none yet
	var all []Outline
	for start := range g.Patches {
		if area[start] != 0 {
			continue
		}
		patches := g.spread(start, area, len(all)+1)
		all = append(all, Outline{g.Patches[start].Class, g.rings(patches, area), patches})
	}
	return all
}

// spread gives a number to all patches of a class that can be reached over sides.
func (g Grid) spread(start int, area []int, number int) []int {
	area[start] = number
	patches := []int{start}
	for next := 0; next < len(patches); next++ {
		at := Point{patches[next] % g.Columns, patches[next] / g.Columns}
		for _, step := range steps() {
			q := Point{at.X + step.X, at.Y + step.Y}
			if !g.has(q) {
				continue
			}
			if j := q.Y*g.Columns + q.X; area[j] == 0 && g.Patches[j].Class == g.Patches[start].Class {
				area[j] = number
				patches = append(patches, j)
			}
		}
	}
	return patches
}

// steps go right, down, left and up: each is the one before, turned to the right as the photo is seen.
func steps() [4]Point { return [4]Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} }

func (g Grid) has(p Point) bool { return p.X >= 0 && p.Y >= 0 && p.X < g.Columns && p.Y < g.Rows }

// edge is a side of a patch: from a corner, one step.
type edge struct {
	from Point
	way  int // place in steps
}

// rings strings the outer sides of an area together. Sides run so that the area lies to the right; where two
// patches touch at a corner only, the ring turns right and keeps them apart.
func (g Grid) rings(patches, area []int) [][]Point {
	number := area[patches[0]]
	var edges []edge
	open := map[edge]bool{}
	for _, i := range patches {
		at := Point{i % g.Columns, i / g.Columns}
		corners := [4]Point{at, {at.X + 1, at.Y}, {at.X + 1, at.Y + 1}, {at.X, at.Y + 1}}
		for way, beside := range [4]Point{{at.X, at.Y - 1}, {at.X + 1, at.Y}, {at.X, at.Y + 1}, {at.X - 1, at.Y}} {
			if g.has(beside) && area[beside.Y*g.Columns+beside.X] == number {
				continue
			}
			e := edge{corners[way], way}
			edges = append(edges, e)
			open[e] = true
		}
	}
	var rings [][]Point
	for _, e := range edges {
		if open[e] {
			rings = append(rings, ring(e, open))
		}
	}
	return rings
}

// ring walks from a side until it is back, and keeps the corners where it turns.
func ring(start edge, open map[edge]bool) []Point {
	var corners []Point
	e, before := start, -1
	for open[e] {
		delete(open, e)
		if e.way != before {
			corners = append(corners, e.from)
		}
		before = e.way
		step := steps()[e.way]
		end := Point{e.from.X + step.X, e.from.Y + step.Y}
		for _, turn := range [3]int{1, 0, 3} { // right, straight on, left
			if next := (edge{end, (before + turn) % 4}); open[next] {
				e = next
				break
			}
		}
	}
	if before == start.way { // begun in the middle of a straight side
		corners = corners[1:]
	}
	return corners
}
