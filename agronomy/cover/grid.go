package cover

import (
	"strconv"
	"strings"

	"culm/agronomy/unit"
)

// patchesAcross is how many patches the longer side of a photo has.
const patchesAcross = 32

// Patch is a square of the photo.
type Patch struct {
	Cover Cover
	// Class is what most of the patch is.
	Class Class
	// Told is set when a person said what the patch is.
	Told bool
	// pixels is how many it has: those at the right and lower rim have fewer.
	pixels int
}

// Grid is a photo as patches, row by row from the top left.
type Grid struct {
	Columns, Rows int
	Side          int // pixels
	Patches       []Patch
}

// tally counts the marks of the pixels of one patch.
type tally struct {
	pixels, unseen          int
	green, wide, sure       int
	straw, wideStraw, sureS int
}

func (f *frame) grid(green, residue plane) Grid {
	side := (max(f.width, f.height) + patchesAcross - 1) / patchesAcross
	g := Grid{Columns: (f.width + side - 1) / side, Rows: (f.height + side - 1) / side, Side: side}
	tallies := make([]tally, g.Columns)
	g.Patches = make([]Patch, 0, g.Columns*g.Rows)
	for row := range g.Rows {
		clear(tallies)
		for y := row * side; y < min(f.height, (row+1)*side); y++ {
			for x := range f.width {
				i := y*f.width + x
				tallies[x/side].add(green[i], residue[i], f.blind(i))
			}
		}
		for _, t := range tallies {
			g.Patches = append(g.Patches, t.patch())
		}
	}
	return g
}

func (t *tally) add(green, residue uint8, blind bool) {
	t.pixels++
	switch {
	case green >= weakGreen:
		t.green++
		t.wide++
		if green == sureGreen {
			t.sure++
		}
	case blind:
		t.unseen++
	case green == wideGreen:
		t.wide++
	}
	switch residue {
	case sureResidue:
		t.sureS++
		t.straw++
		t.wideStraw++
	case weakResidue:
		t.straw++
		t.wideStraw++
	case wideResidue:
		t.wideStraw++
	}
}

// patch turns counts into shares. What is unseen may be anything.
func (t *tally) patch() Patch {
	n := float64(t.pixels)
	seen := n - float64(t.unseen)
	c := Cover{Unseen: unit.Fraction(float64(t.unseen) / n)}
	if seen == 0 {
		whole := Range{Value: 1.0 / 3, Low: 0, High: 1}
		c.Green, c.Residue, c.Soil = whole, whole, whole
		return Patch{Cover: c, Class: Unseen, pixels: t.pixels}
	}
	unseen := float64(t.unseen)
	allowance := residueAllowance * (seen - float64(t.green))
	green, straw := float64(t.green)/seen, float64(t.straw)/seen
	c.Green = Range{unit.Fraction(green), share(float64(t.sure) / n), share((float64(t.wide) + unseen) / n)}
	c.Residue = Range{unit.Fraction(straw), share((float64(t.sureS) - allowance) / n), share((float64(t.wideStraw) + allowance + unseen) / n)}
	c.Soil = Range{share(1 - green - straw), share(1 - (float64(t.wide)+float64(t.wideStraw)+allowance+unseen)/n), share(1 - (float64(t.sure)+float64(t.sureS)-allowance)/n)}
	c.Soil.Low, c.Soil.High = min(c.Soil.Low, c.Soil.Value), max(c.Soil.High, c.Soil.Value)
	return Patch{Cover: c, Class: c.main(), pixels: t.pixels}
}

// main is the class that most of the ground is.
func (c Cover) main() Class {
	switch {
	case c.Unseen > 0.5:
		return Unseen
	case c.Green.Value >= c.Residue.Value && c.Green.Value >= c.Soil.Value:
		return Green
	case c.Residue.Value >= c.Soil.Value:
		return Residue
	default:
		return Soil
	}
}

// cover is the mean of the patches by their pixels. Their errors have one cause and do not cancel, so that
// the ends of the ranges are means too.
func (g Grid) cover() Cover {
	var c Cover
	var known, all float64
	add := func(to *Range, r Range, seen, n float64) {
		to.Value += r.Value * unit.Fraction(seen)
		to.Low += r.Low * unit.Fraction(n)
		to.High += r.High * unit.Fraction(n)
	}
	for _, p := range g.Patches {
		n := float64(p.pixels)
		seen := n * float64(1-p.Cover.Unseen)
		known += seen
		all += n
		add(&c.Green, p.Cover.Green, seen, n)
		add(&c.Residue, p.Cover.Residue, seen, n)
		add(&c.Soil, p.Cover.Soil, seen, n)
		c.Unseen += p.Cover.Unseen * unit.Fraction(n)
	}
	c.Unseen /= unit.Fraction(all)
	for _, r := range []*Range{&c.Green, &c.Residue, &c.Soil} {
		if known > 0 {
			r.Value /= unit.Fraction(known)
		} else {
			r.Value = 1.0 / 3
		}
		r.Low = min(r.Low/unit.Fraction(all), r.Value)
		r.High = max(r.High/unit.Fraction(all), r.Value)
	}
	return c
}

// Name is a patch as a person calls it: the letter of its column and the number of its row, A1 at the upper
// left; columns after Z are AA, AB and so on.
func (g Grid) Name(patch int) string {
	return ColumnName(patch%g.Columns) + strconv.Itoa(patch/g.Columns+1)
}

// ColumnName is the letters of a column, from 0.
func ColumnName(column int) string {
	if column < 26 {
		return string(rune('A' + column))
	}
	return ColumnName(column/26-1) + string(rune('A'+column%26))
}

// Find is the patch with a name.
func (g Grid) Find(name string) (patch int, ok bool) {
	for i := range g.Patches {
		if strings.EqualFold(g.Name(i), name) {
			return i, true
		}
	}
	return 0, false
}
