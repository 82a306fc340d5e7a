package cover

import "culm/agronomy/unit"

// Class is what covers a piece of ground.
type Class string

// The classes. Unseen is ground that shows nothing: black shadow or glare.
const (
	Green   Class = "green"
	Residue Class = "residue"
	Soil    Class = "soil"
	Unseen  Class = "unseen"
)

// Range is a share of ground with how low and how high it may be.
type Range struct {
	Value unit.Fraction `json:"value"`
	Low   unit.Fraction `json:"low"`
	High  unit.Fraction `json:"high"`
}

// Cover is what covers the ground. The three values add up to 1: ground that shows nothing is taken to be
// covered as the rest is, and widens the ranges. The ranges are not those of chance but of judgment: the
// rules made stricter and more lenient, and for residue and soil an allowance besides.
type Cover struct {
	Green   Range `json:"green"`
	Residue Range `json:"residue"`
	Soil    Range `json:"soil"`
	// Unseen is the share of ground that shows nothing.
	Unseen unit.Fraction `json:"unseen"`
}

// Photo is what was seen in one photo.
type Photo struct {
	Width, Height int // pixels, as it was looked at
	Cover         Cover
	Grid          Grid
	// Ground says how residue and soil were told apart.
	Ground Ground
	// Fit is false when the picture should not be used; the warnings say why.
	Fit      bool
	Warnings []Warning
	// Published are the green covers by published rules, for comparison.
	Published Published
}

// Published are green covers by rules that others published.
type Published struct {
	// ExcessGreenOtsu: excess green above the threshold that Otsu's method finds.
	ExcessGreenOtsu unit.Fraction
	// ExcessGreenMinusRed: excess green minus excess red above 0.
	ExcessGreenMinusRed unit.Fraction
}

// Look tells green, residue and soil apart in a photo taken straight down. It fails for impossible sizes
// only; a picture of something else comes back as not fit, with reasons.
func Look(p Pixels) (Photo, error) {
	if err := p.check(); err != nil {
		return Photo{}, err
	}
	f := newFrame(p)
	levels, counts := f.greenLevels()
	g := f.findGround(levels, counts)
	green := f.markGreen(levels, g, usualRule())
	residue, kind := f.markResidue(green)
	photo := Photo{Width: p.Width, Height: p.Height, Ground: kind, Grid: f.grid(green, residue)}
	photo.Cover = photo.Grid.cover()
	photo.Published = f.published()
	photo.Warnings = f.warn(green, g, photo)
	photo.Fit = true
	for _, w := range photo.Warnings {
		photo.Fit = photo.Fit && !w.Grave
	}
	return photo, nil
}

// published applies the published rules to the smoothed colours.
func (f *frame) published() Published {
	counts := make([]int, levels)
	var minusRed int
	for i := range f.red {
		r, g, b := int(f.red[i]), int(f.green[i]), int(f.blue[i])
		// Both indices times the sum of the bands, in tenths, so that no division by a real is needed.
		if 30*g-24*r-10*b > 0 {
			minusRed++
		}
		sum := r + g + b
		if sum == 0 {
			counts[0]++
			continue
		}
		// Chromatic green of 0 to 1/2 and more over the levels: excess green is three times that, less 1.
		counts[min(levels-1, 2*levels*g/sum)]++
	}
	n := unit.Fraction(len(f.red))
	out := Published{ExcessGreenMinusRed: unit.Fraction(minusRed) / n}
	if split, ok := Otsu(counts); ok {
		out.ExcessGreenOtsu = unit.Fraction(split.UpperShare)
	}
	return out
}
