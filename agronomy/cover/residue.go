package cover

import (
	"math"
	"slices"
)

// The scale that straw is looked for on: brightness, and how much redder than blue, in logarithms.
const (
	lowestGlow  = 2.0
	glowWidth   = 4.5 / levels
	glowDamping = 8
	// yellowWeight is the part that red against blue has beside brightness. In the example colours straw
	// lies 0.57 above soil by brightness and 0.10 by this.
	yellowWeight = 0.8
)

// The rule for residue, our own. None of its figures could be fitted: no photos with residue marked were
// found. The gap is about half of what the example colours lie apart. Grain falls as detail gets finer; the
// grain that straw must have runs half way between that of the bare ground of the four photos, at three sizes
// each, and that of drawn straw: 0.51 and 0.74 at a sharpness of 0.35, 0.43 and 0.57 at 0.5.
const (
	leastGap   = 0.36  // between the means of two kinds of ground
	outlierGap = 0.40  // of scattered straw above the commonest ground
	marginGap  = 0.15  // either side of a threshold, for the interval
	softGrain  = 0.625 // of ground that is straw, in a photo as sharp as softSharp
	softSharp  = 0.35
	grainSlope = -0.83 // and how it falls with sharpness
	nearGrain  = 0.05  // ground with so little less may be straw too
	leastLong  = 2.5   // length over width of a scattered straw; stones are rounder
	grainBlock = 8     // pixels, the side of the blocks that grain is measured in
	fewBlocks  = 12    // fewer say nothing about grain

	// residueAllowance widens the interval of residue and of soil, as a share of the ground that is not
	// green, for what no test could show.
	residueAllowance = 0.15
)

// Marks of residue on pixels that are not green.
const (
	notResidue uint8 = iota
	wideResidue
	weakResidue
	sureResidue
)

// Ground says how residue and soil were told apart.
type Ground string

// The ways it can be.
const (
	TwoKinds   Ground = "two-kinds"   // bright, grained ground and other ground: the bright is residue
	AllResidue Ground = "all-residue" // grained throughout: residue, lit and shaded, or soil between it
	Scattered  Ground = "scattered"   // one kind of ground, soil, with bright straws on it or none
	Unclear    Ground = "unclear"     // too blurred, or a grain between both; bright spots count as residue
	NoGround   Ground = "none"        // hardly anything but green
)

// straws is what is found while looking for residue.
type straws struct {
	*frame
	glow   plane // levels; 0 for green and blind pixels
	marks  plane
	blocks []block
}

// markResidue marks residue among what is not green, and says how it was told.
func (f *frame) markResidue(green plane) (plane, Ground) {
	s := straws{frame: f, glow: make(plane, len(green)), marks: make(plane, len(green))}
	counts := s.measure(green)
	var all int
	for _, c := range counts {
		all += c
	}
	if float64(all) < leastGround*float64(len(green)) {
		return s.marks, NoGround
	}
	margin := int(math.Round(marginGap / glowWidth))
	switch k := s.kinds(counts); {
	case k.ground == Unclear:
		split := highest(smoothed(counts), 0, levels-1) + int(math.Round(outlierGap/glowWidth))
		s.mark(1, split, levels)
		return s.marks, Unclear
	case k.ground == AllResidue:
		// Of what is dark it cannot be told whether it is straw in the shade or soil: it counts half.
		s.mark(1, middle(counts[:k.split]), k.split)
		return s.marks, AllResidue
	case k.ground == TwoKinds && k.shade > 0:
		s.mark(1, k.split, k.split+margin)
		s.unmark(k.shade, k.split-margin)
		return s.marks, TwoKinds
	case k.ground == TwoKinds:
		s.mark(k.split-margin, k.split, k.split+margin)
		return s.marks, TwoKinds
	default:
		split := highest(smoothed(counts), 0, levels-1) + int(math.Round(outlierGap/glowWidth))
		s.mark(split-margin, split, split+margin)
		s.dropRound()
		return s.marks, Scattered
	}
}

// middle is the level that half of the counts lie below.
func middle(counts []int) int {
	var all, sum int
	for _, c := range counts {
		all += c
	}
	for level, c := range counts {
		if sum += c; 2*sum >= all {
			return level
		}
	}
	return len(counts)
}

// measure gives each pixel of the ground its glow.
func (s *straws) measure(green plane) []int {
	var bright, red, blue [levels]float64
	for v := range levels {
		bright[v] = (math.Log(float64(v)+glowDamping) - lowestGlow) / glowWidth
		red[v] = yellowWeight * math.Log(float64(v)+damping) / glowWidth
		blue[v] = -red[v]
	}
	counts := make([]int, levels)
	for i := range s.glow {
		if green[i] >= weakGreen || s.blind(i) {
			continue
		}
		level := uint8(min(levels-1, max(1, bright[s.luma[i]]+red[s.red[i]]+blue[s.blue[i]])))
		s.glow[i] = level
		counts[level]++
	}
	return counts
}

// kind is how the ground falls apart.
type kind struct {
	ground Ground
	split  int // residue has this level of glow or more
	shade  int // below this level it is too dark to tell; 0 when nothing is
}

// kinds looks for a bright kind of ground with the grain of straw: first over all, then within the brighter
// part, where the darker was shadow.
func (s *straws) kinds(counts []int) kind {
	first, ok := Otsu(counts)
	switch {
	case s.sharp < leastSharp:
		return kind{ground: Unclear}
	case !ok:
		return kind{ground: Scattered}
	}
	upper := slices.Clone(counts)
	clear(upper[:first.Level])
	second, ok := Otsu(upper)
	whole, leastGrain := s.grain(1, levels), softGrain+grainSlope*(s.sharp-softSharp)
	switch {
	case ok && gap(second) >= leastGap && s.grain(second.Level, levels) >= leastGrain:
		return kind{TwoKinds, second.Level, first.Level}
	case whole >= leastGrain && first.UpperShare > 0.5 && s.grain(1, first.Level) >= leastGrain:
		return kind{AllResidue, first.Level, 0}
	case gap(first) >= leastGap && s.grain(first.Level, levels) >= leastGrain:
		return kind{TwoKinds, first.Level, 0}
	case whole >= leastGrain:
		return kind{AllResidue, first.Level, 0}
	case whole >= leastGrain-nearGrain:
		return kind{ground: Unclear}
	default:
		return kind{ground: Scattered}
	}
}

func gap(s Split) float64 { return (s.Upper - s.Lower) * glowWidth }

// mark marks pixels by three levels of glow.
func (s *straws) mark(wide, weak, sure int) {
	for i, level := range s.glow {
		switch g := int(level); {
		case g == 0 || g < wide:
			s.marks[i] = notResidue
		case g >= sure:
			s.marks[i] = sureResidue
		case g >= weak:
			s.marks[i] = weakResidue
		default:
			s.marks[i] = wideResidue
		}
	}
}

// unmark takes back what may be residue from one level of glow to below another.
func (s *straws) unmark(from, to int) {
	for i, level := range s.glow {
		if g := int(level); g >= from && g < to {
			s.marks[i] = notResidue
		}
	}
}

// grain is how much brightness changes in one direction only, 0 to 1: the median, over small blocks most of
// which have a glow from low to below high, of the coherence of the structure tensor. Straw has long edges;
// clods and grains of soil have edges every way. Too few blocks have no grain: 0.
func (s *straws) grain(low, high int) float64 {
	if s.blocks == nil {
		s.measureBlocks()
	}
	var all []float64
	for _, b := range s.blocks {
		if s.isMostly(b, low, high) {
			all = append(all, b.coherence)
		}
	}
	if len(all) < fewBlocks {
		return 0
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// block is a small square with any texture at all.
type block struct {
	first     int // its upper left pixel
	coherence float64
}

func (s *straws) measureBlocks() {
	s.blocks = make([]block, 0, len(s.luma)/(grainBlock*grainBlock))
	for top := 1; top+grainBlock < s.height; top += grainBlock {
		for left := 1; left+grainBlock < s.width; left += grainBlock {
			first := top*s.width + left
			if c, ok := s.coherence(first); ok {
				s.blocks = append(s.blocks, block{first, c})
			}
		}
	}
}

// coherence is that of the structure tensor of a block; none where brightness does not change.
func (f *frame) coherence(first int) (c float64, ok bool) {
	var xx, yy, xy int
	for row := range grainBlock {
		at := first + row*f.width
		line := f.luma[at-1 : at+grainBlock+1]
		above := f.luma[at-f.width : at-f.width+grainBlock]
		below := f.luma[at+f.width : at+f.width+grainBlock]
		for x := range grainBlock {
			dx := int(line[x+2]) - int(line[x])
			dy := int(below[x]) - int(above[x])
			xx, yy, xy = xx+dx*dx, yy+dy*dy, xy+dx*dy
		}
	}
	if xx+yy == 0 {
		return 0, false
	}
	return math.Hypot(float64(xx-yy), float64(2*xy)) / float64(xx+yy), true
}

// isMostly says that six in ten pixels of a block have a glow from low to below high.
func (s *straws) isMostly(b block, low, high int) bool {
	var within int
	for row := range grainBlock {
		at := b.first + row*s.width
		for _, level := range s.glow[at : at+grainBlock] {
			if int(level) >= low && int(level) < high {
				within++
			}
		}
	}
	return 10*within >= 6*grainBlock*grainBlock
}

// dropRound takes back what hangs together and is no longer than a stone: it stays within the interval.
func (s *straws) dropRound() {
	seen := make(plane, len(s.marks))
	var piece []int32
	for i, mark := range s.marks {
		if mark < weakResidue || seen[i] != 0 {
			continue
		}
		seen[i] = 1
		piece = s.grow(seen, append(piece[:0], int32(i)), func(j int32) bool { return s.marks[j] >= weakResidue }, 1)
		if s.long(piece) < leastLong {
			for _, j := range piece {
				s.marks[j] = wideResidue
			}
		}
	}
}

// long is length over width of the ellipse with the moments of a piece.
func (f *frame) long(piece []int32) float64 {
	n := float64(len(piece))
	var x, y, xx, yy, xy float64
	for _, i := range piece {
		u, v := float64(int(i)%f.width), float64(int(i)/f.width)
		x, y, xx, yy, xy = x+u, y+v, xx+u*u, yy+v*v, xy+u*v
	}
	x, y = x/n, y/n
	// A pixel has an extent of its own: a twelfth each way.
	a, b, c := xx/n-x*x+1.0/12, yy/n-y*y+1.0/12, xy/n-x*y
	root := math.Hypot((a-b)/2, c)
	least := (a+b)/2 - root
	if least <= 0 {
		return math.Inf(1)
	}
	return math.Sqrt(((a+b)/2 + root) / least)
}
