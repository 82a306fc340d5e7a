package cover

import "math"

// The scale that greenness is counted on: so many levels from lowest to highest.
const (
	levels          = 256
	lowestGreenness = -0.6
	levelWidth      = 1.4 / levels
	// damping keeps the noise of dark pixels from looking like colour: it is added to every band, of 255.
	damping = 15
	// blueWeight is the part that green against blue has beside green against red.
	blueWeight = 0.3
)

// Greenness is the index of our own: ln(G/R) + 0.3 ln(G/B), on bands to each of which 15 was added. By itself
// it means little, because light and soil colour it; what counts is how far a pixel lies above the ground of
// the same photo. Bluish leaves, which absolute rules miss, still lie above a reddish ground.
func Greenness(r, g, b float64) float64 {
	return (1+blueWeight)*math.Log(g+damping) - math.Log(r+damping) - blueWeight*math.Log(b+damping)
}

// greenRule is the rule for green: how many spreads of the ground above the ground green begins. A rough,
// shaded ground so needs more than a smooth one.
type greenRule struct {
	seed float64 // green
	weak float64 // green where it hangs together with a seed
	wide float64 // might be green where it hangs together with that
}

// usualRule was chosen on two of the four photos that have masks; docs/cover.md shows it on the others, and
// what choosing on any three of them would do to the fourth.
func usualRule() greenRule { return greenRule{seed: 3, weak: 2, wide: 1.25} }

// What else the rule for green rests on.
const (
	leastStep = 0.05 // green never begins less above the ground than this

	// A pixel on the rim of a leaf is part leaf, part ground. Half of the way from ground to leaf it is
	// half leaf; so counted, rims neither add nor take away. The shares beside a half make the interval.
	wideShare, halfShare, sureShare = 0.35, 0.5, 0.65

	// redStep is how far ln(G/R) must lie above that of the ground. Straw is yellower than soil, and so
	// greener on most indices, but by 0.08 only in the example colours of the check values.
	redStep = 0.09
	// Leaves never are redder, nor need to be greener, than these.
	leastGreenToRed, mostGreenToRed = -0.06, 0.02

	// The ground's greenness lies in this range; brighter soils and straw lie in the upper part of it.
	lowestGround, highestGround = -0.5, 0.03
	// What is taken where hardly any ground is seen, and how little that is.
	usualGround, usualSpread = -0.08, 0.035
	leastGround              = 0.02
	// Spreads beyond these come from something other than the ground.
	leastSpread, mostSpread = 0.012, 0.09
)

// ground is the colour that greenness is measured from.
type ground struct {
	greenness, spread float64
	greenToRed        float64 // ln(G/R)
	seen              bool
}

// greenLevels counts the greenness of each pixel that shows one, and writes its level; blind pixels get 0.
func (f *frame) greenLevels() (plane, []int) {
	var logs [levels]float64
	for v := range logs {
		logs[v] = math.Log(float64(v)+damping) / levelWidth
	}
	offset := -lowestGreenness / levelWidth
	out := make(plane, len(f.luma))
	counts := make([]int, levels)
	for i := range out {
		if f.blind(i) {
			continue
		}
		x := (1+blueWeight)*logs[f.green[i]] - logs[f.red[i]] - blueWeight*logs[f.blue[i]] + offset
		level := uint8(min(levels-1, max(1, x)))
		out[i] = level
		counts[level]++
	}
	return out, counts
}

func levelOf(greenness float64) int {
	return int(min(levels-1, max(1, math.Round((greenness-lowestGreenness)/levelWidth))))
}

func greennessAt(level int) float64 { return lowestGreenness + (float64(level)+0.5)*levelWidth }

// findGround takes the commonest greenness within the range of soils and straw. Leaves lie above it only, so
// its spread is measured below it: where a normal spread would have 16 % of all.
func (f *frame) findGround(green plane, counts []int) ground {
	low, high := levelOf(lowestGround), levelOf(highestGround)
	var all, inRange int
	for level, c := range counts {
		all += c
		if level >= low && level <= high {
			inRange += c
		}
	}
	mode := highest(smoothed(counts), low, high)
	g := ground{greenness: usualGround, spread: usualSpread, greenToRed: usualGround - 0.02}
	if float64(inRange) < leastGround*float64(all) || mode >= high-1 {
		return g
	}
	g.seen = true
	g.greenness = greennessAt(mode)
	g.spread = min(mostSpread, max(leastSpread, g.greenness-greennessAt(lowerTail(counts, mode))))
	g.greenToRed = f.meanGreenToRed(green, mode)
	return g
}

// lowerTail is the level that 32 % of what lies below a level lie below.
func lowerTail(counts []int, mode int) int {
	var below int
	for _, c := range counts[:mode+1] {
		below += c
	}
	var sum int
	for level, c := range counts[:mode+1] {
		sum += c
		if float64(sum) >= 0.32*float64(below) {
			return level
		}
	}
	return mode
}

// meanGreenToRed is ln(G/R) of the pixels at the ground's greenness.
func (f *frame) meanGreenToRed(green plane, mode int) float64 {
	var red, grn int
	for i, level := range green {
		if int(level) == mode {
			red += int(f.red[i]) + damping
			grn += int(f.green[i]) + damping
		}
	}
	return math.Log(float64(grn) / float64(red))
}

// smoothed is counts as means of seven levels.
func smoothed(counts []int) []int {
	out := make([]int, len(counts))
	for i := range out {
		for j := max(0, i-3); j <= min(len(counts)-1, i+3); j++ {
			out[i] += counts[j]
		}
	}
	return out
}

// highest is the level with the most counts from low to high.
func highest(counts []int, low, high int) int {
	best := low
	for level := low; level <= high; level++ {
		if counts[level] > counts[best] {
			best = level
		}
	}
	return best
}

// Marks of pixels, from what is surely green to what shows nothing.
const (
	notGreen uint8 = iota
	wideGreen
	weakGreen
	sureGreen
)

// markGreen marks what surely is green, then what hangs together with that.
func (f *frame) markGreen(green plane, g ground, rule greenRule) plane {
	above := func(step float64) uint8 { return uint8(levelOf(g.greenness + max(leastStep, step))) }
	limit := min(mostGreenToRed, max(leastGreenToRed, g.greenToRed+redStep))
	ratio := int(256 * math.Exp(limit))
	isLeaf := func(i int) bool { return f.green256(i) >= ratio*f.red15(i) }

	leaf := f.leafAbove(green, g, above(rule.seed*g.spread), isLeaf)
	sure := above(max(rule.seed*g.spread, sureShare*leaf))
	seed := above(max(rule.seed*g.spread, halfShare*leaf))
	weak := above(max(rule.weak*g.spread, halfShare*leaf))
	wide := above(max(rule.wide*g.spread, wideShare*leaf))

	marks := make(plane, len(green))
	var stack []int32
	for i, level := range green {
		if level >= seed && isLeaf(i) {
			marks[i] = weakGreen
			stack = append(stack, int32(i))
		}
	}
	stack = f.grow(marks, stack, func(i int32) bool { return green[i] >= weak && isLeaf(int(i)) }, weakGreen)
	for _, i := range stack {
		if green[i] >= sure {
			marks[i] = sureGreen
		}
	}
	f.grow(marks, stack, func(i int32) bool { return green[i] >= wide }, wideGreen)
	return marks
}

// leafAbove is how far the leaves lie above the ground: the median of what surely is green.
func (f *frame) leafAbove(green plane, g ground, seed uint8, isLeaf func(int) bool) float64 {
	counts := make([]int, levels)
	var all, sum int
	for i, level := range green {
		if level >= seed && isLeaf(i) {
			counts[level]++
			all++
		}
	}
	for level, c := range counts {
		if sum += c; c > 0 && 2*sum >= all {
			return greennessAt(level) - g.greenness
		}
	}
	return 0
}

func (f *frame) green256(i int) int { return 256 * (int(f.green[i]) + damping) }
func (f *frame) red15(i int) int    { return int(f.red[i]) + damping }

// grow marks what hangs together with the marked pixels of the stack and may be marked, over corners too. It
// returns all marked pixels, to grow on from.
func (f *frame) grow(marks plane, stack []int32, may func(int32) bool, mark uint8) []int32 {
	w, h := int32(f.width), int32(f.height)
	for next := 0; next < len(stack); next++ {
		i := stack[next]
		x, y := i%w, i/w
		for v := max(0, y-1); v <= min(h-1, y+1); v++ {
			for u := max(0, x-1); u <= min(w-1, x+1); u++ {
				j := v*w + u
				if marks[j] == notGreen && may(j) {
					marks[j] = mark
					stack = append(stack, j)
				}
			}
		}
	}
	return stack
}
