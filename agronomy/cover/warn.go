package cover

import (
	"fmt"
	"math"
)

// WarningKind names what is wrong with a picture.
type WarningKind string

// What can be wrong.
const (
	NotACrop  WarningKind = "not-a-crop"
	Panorama  WarningKind = "panorama"
	Blur      WarningKind = "blur"
	Shadow    WarningKind = "shadow"
	Glare     WarningKind = "glare"
	Frost     WarningKind = "frost"
	Dark      WarningKind = "dark-ground"
	TooHigh   WarningKind = "too-high"
	NoResidue WarningKind = "residue-not-told"
)

// Warning is something wrong with a picture, in words, with what was measured.
type Warning struct {
	Kind WarningKind `json:"kind"`
	Text string      `json:"text"`
	// Grave means that the picture should not be used.
	Grave bool `json:"grave"`
}

// Limits of the warnings. All are ours; those of blur, shadow and flatness were set so that the four photos
// with masks pass and blurred or flat ones do not.
const (
	widest        = 2.2   // longer side over shorter; cameras have 4:3 to 2:1
	mostOdd       = 0.15  // share of pixels with a colour that fields do not have
	mostFlat      = 0.4   // share of small squares without any texture
	mostUneven    = 0.65  // difference of the lightest and the darkest ninth, over the mean
	flatDeviation = 1.5   // levels
	flatSquare    = 12    // pixels
	leastSharp    = 0.325 // change over one pixel, over that over four
	darkBeside    = 0.45  // shadow is darker than this share of what is lit
	mostShadow    = 0.15
	mostGlare     = 0.02
	mostFrost     = 0.15
	darkGround    = 55  // of 255
	leastWidth    = 4.0 // pixels; thinner leaves are smeared and counted too wide
	leafless      = 0.05
	leastGreen    = 0.01 // of the pixels, to say anything about leaves
)

// look is what the warnings are judged by.
type look struct {
	odd, flat, shadow, glare, frost float64 // shares
	sharp, uneven                   float64
	middle                          int     // brightness of what is not green, its median
	leafWidth                       float64 // pixels
}

func (f *frame) warn(green plane, g ground, p Photo) []Warning {
	k := f.look(green)
	var all []Warning
	say := func(when bool, kind WarningKind, grave bool, format string, args ...any) {
		if when {
			all = append(all, Warning{kind, fmt.Sprintf(format, args...), grave})
		}
	}
	ratio := float64(max(f.width, f.height)) / float64(min(f.width, f.height))
	say(ratio > widest, Panorama, true, "the picture is %.1f times as long as wide, like a panorama; expected a single photo taken straight down", ratio)
	frosty := k.frost > mostFrost
	say(!frosty && k.odd > mostOdd, NotACrop, true, "this does not look like a crop from above: %.0f %% of it has colours that leaves, straw and soil do not have", 100*k.odd)
	say(k.odd <= mostOdd && k.flat > mostFlat, NotACrop, true, "this does not look like a crop from above: %.0f %% of it is smooth, as walls, floors, sky and fresh snow are, or far out of focus", 100*k.flat)
	say(k.uneven > mostUneven, NotACrop, true, "this does not look like a crop from above: one part is far lighter than another, as with a horizon, or with half of it in the shade")
	say(!g.seen && float64(p.Cover.Green.Value) < leafless, NotACrop, true, "this does not look like a crop from above: neither leaves nor ground of a usual colour were found; the light may be coloured")
	say(k.flat <= mostFlat && k.sharp < leastSharp, Blur, false, "the photo is blurred; hold still and let it focus. Thin leaves and straw run into the ground")
	say(k.shadow > mostShadow, Shadow, false, "%.0f %% of the ground lies in hard shadow; take it under cloud or shade the whole spot", 100*k.shadow)
	say(k.glare > mostGlare, Glare, false, "%.0f %% is glare and shows no colour; shade the spot or take it when the ground has dried off", 100*k.glare)
	say(frosty, Frost, false, "%.0f %% is whitish, as frost or snow is; leaves under it are not counted. Wait until it has gone", 100*k.frost)
	say(k.middle < darkGround, Dark, false, "the ground is dark, wet or badly lit; wet straw is as dark as wet soil, so that residue is likely missed")
	say(float64(p.Cover.Green.Value) > leastGreen && k.leafWidth < leastWidth, TooHigh, false, "leaves look only %.1f pixels wide and are counted too wide; hold the camera lower, at about chest height", k.leafWidth)
	say(p.Ground == Unclear && k.sharp >= leastSharp, NoResidue, false, "it could not be told whether the ground is straw or soil; the range of residue spans both. Tap patches to say what they are, or count a line")
	say(p.Ground == AllResidue, NoResidue, false, "straw and shade or soil between it could not be told apart; the range of residue spans both. Tap patches to say what they are")
	return all
}

func (f *frame) look(green plane) look {
	var k look
	bright := make([]int, levels)
	var odd, glare, frost, ground int
	for i := range f.luma {
		r, g, b := int(f.red[i]), int(f.green[i]), int(f.blue[i])
		if isOdd(r, g, b) {
			odd++
		}
		if min(r, g, b) >= whitest-5 {
			glare++
		}
		if isFrosty(r, g, b) {
			frost++
		}
		if green[i] < weakGreen {
			bright[f.luma[i]]++
			ground++
		}
	}
	n := float64(len(f.luma))
	k.odd, k.glare, k.frost = float64(odd)/n, float64(glare)/n, float64(frost)/n
	k.middle = middle(bright)
	k.shadow = float64(below(bright, int(darkBeside*float64(quarter(bright, ground))))) / max(1, float64(ground))
	k.flat, k.sharp, k.uneven, k.leafWidth = f.flat(), f.sharp, f.uneven(), f.leafWidth(green)
	return k
}

// isOdd says that a colour is strong and none of leaves, straw or soil: blue, purple, or a bright red.
func isOdd(r, g, b int) bool {
	strong := max(r, g, b)-min(r, g, b) > 50
	return strong && (10*b > 11*max(r, g) || 10*b > 12*g && r > g || 10*r > 25*g)
}

// isFrosty says that a colour is light and without any of the yellow that light straw and sand have.
func isFrosty(r, g, b int) bool {
	return min(r, g, b) > 150 && min(r, g, b) < whitest && max(r, g, b)-min(r, g, b) < 26 && b >= r-4
}

// quarter is the level that the brightest quarter begins at.
func quarter(counts []int, all int) int {
	var sum int
	for level := levels - 1; level >= 0; level-- {
		if sum += counts[level]; 4*sum >= all {
			return level
		}
	}
	return 0
}

func below(counts []int, level int) int {
	var sum int
	for _, c := range counts[:level] {
		sum += c
	}
	return sum
}

// flat is the share of small squares whose brightness hardly varies.
func (f *frame) flat() float64 {
	var flat, all int
	for top := 0; top+flatSquare <= f.height; top += flatSquare {
		for left := 0; left+flatSquare <= f.width; left += flatSquare {
			var sum, squares int
			for y := top; y < top+flatSquare; y++ {
				for _, v := range f.luma[y*f.width+left : y*f.width+left+flatSquare] {
					sum += int(v)
					squares += int(v) * int(v)
				}
			}
			const n = flatSquare * flatSquare
			all++
			if variance := float64(squares)/n - float64(sum)/n*float64(sum)/n; variance < flatDeviation*flatDeviation {
				flat++
			}
		}
	}
	return float64(flat) / float64(all)
}

// uneven is how far the mean brightness of ninths of the picture lies apart, over that of all. The ground from
// above is much the same everywhere; pictures from the side have a light and a dark end.
func (f *frame) uneven() float64 {
	var sums, counts [9]int
	for y := range f.height {
		row := f.luma[y*f.width : (y+1)*f.width]
		for third := range 3 {
			part := row[third*f.width/3 : (third+1)*f.width/3]
			ninth := 3*y/f.height*3 + third
			counts[ninth] += len(part)
			for _, v := range part {
				sums[ninth] += int(v)
			}
		}
	}
	least, most, all := math.Inf(1), 0.0, 0.0
	for i, sum := range sums {
		mean := float64(sum) / float64(counts[i])
		least, most, all = min(least, mean), max(most, mean), all+mean/9
	}
	if all == 0 {
		return 0
	}
	return (most - least) / all
}

// sharpness is how much brightness changes from pixel to pixel, over the change across four: a quarter when
// everything is smooth, more the finer the detail. Every fourth row will do.
func (f *frame) sharpness() float64 {
	var near, far int
	for y := 0; y < f.height; y += 4 {
		row := f.raw[y*f.width : (y+1)*f.width]
		for x := range row[:len(row)-4] {
			near += distance(row[x], row[x+1])
			far += distance(row[x], row[x+4])
		}
	}
	if far == 0 {
		return 0
	}
	return float64(near) / float64(far)
}

func distance(a, b uint8) int { return int(max(a, b) - min(a, b)) }

// leafWidth is the mean width of green parts: twice their area over the length of their rim. It is infinite
// where there is no rim.
func (f *frame) leafWidth(green plane) float64 {
	var area, rim int
	for y := 1; y < f.height; y++ {
		row, above := green[y*f.width:(y+1)*f.width], green[(y-1)*f.width:y*f.width]
		for x := 1; x < f.width; x++ {
			is := row[x] >= weakGreen
			if is {
				area++
			}
			if is != (row[x-1] >= weakGreen) {
				rim++
			}
			if is != (above[x] >= weakGreen) {
				rim++
			}
		}
	}
	if rim == 0 {
		return math.Inf(1)
	}
	// Steps along rows and columns make a slanting rim longer by 4/π on average.
	return 2 * float64(area) / (float64(rim) * math.Pi / 4)
}
