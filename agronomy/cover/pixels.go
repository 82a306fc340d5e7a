package cover

import "fmt"

// Pixels is a photo: rows from the top, four bytes a pixel, red, green, blue and one that is not looked at.
// Colours are as a camera stores them (sRGB).
type Pixels struct {
	Width, Height int
	RGBA          []byte
}

// Sides of a photo that can be looked at, in pixels. Larger ones are to be scaled down first: about 1,300
// pixels across show leaves well, and more only cost time.
const (
	ShortestSide = 64
	LongestSide  = 4096
)

func (p Pixels) check() error {
	if p.Width < ShortestSide || p.Height < ShortestSide || p.Width > LongestSide || p.Height > LongestSide {
		return fmt.Errorf("cover: the photo is %d by %d pixels; expected %d to %d each way", p.Width, p.Height, ShortestSide, LongestSide)
	}
	if want := 4 * p.Width * p.Height; len(p.RGBA) != want {
		return fmt.Errorf("cover: %d bytes for %d by %d pixels; expected %d", len(p.RGBA), p.Width, p.Height, want)
	}
	return nil
}

// plane is one number for each pixel.
type plane []uint8

// frame is a photo laid out for looking at: colours smoothed over three by three pixels, which takes the
// noise of the camera out of shadows, and brightness as it is.
type frame struct {
	width, height int
	red, green    plane
	blue          plane
	luma          plane // of the smoothed colours
	raw           plane // brightness before smoothing
	sharp         float64
}

func newFrame(p Pixels) *frame {
	n := p.Width * p.Height
	store := make(plane, 5*n)
	f := &frame{
		width: p.Width, height: p.Height,
		red: store[:n], green: store[n : 2*n], blue: store[2*n : 3*n], luma: store[3*n : 4*n], raw: store[4*n:],
	}
	for i := range f.raw {
		c := p.RGBA[4*i : 4*i+3 : 4*i+3]
		f.raw[i] = brightness(c[0], c[1], c[2])
	}
	f.smooth(p)
	for i := range f.luma {
		f.luma[i] = brightness(f.red[i], f.green[i], f.blue[i])
	}
	f.sharp = f.sharpness()
	return f
}

// brightness weighs the bands as the eye does (ITU-R BT.601), 0 to 255.
func brightness(r, g, b uint8) uint8 {
	return uint8((77*uint32(r) + 150*uint32(g) + 29*uint32(b)) >> 8)
}

// smooth takes the mean of three by three pixels, in which the middle counts four times and those beside it
// twice; equal weights smear thin leaves more. At the rim of the photo the outermost pixels count again.
func (f *frame) smooth(p Pixels) {
	w, h := f.width, f.height
	sums := make([]uint16, 3*w) // of three rows, for each column and band
	for y := range h {
		above, here, below := p.RGBA[4*w*max(0, y-1):], p.RGBA[4*w*y:], p.RGBA[4*w*min(h-1, y+1):]
		for x := range w {
			a, b, c := above[4*x:4*x+3:4*x+3], here[4*x:4*x+3:4*x+3], below[4*x:4*x+3:4*x+3]
			s := sums[3*x : 3*x+3 : 3*x+3]
			s[0] = uint16(a[0]) + 2*uint16(b[0]) + uint16(c[0])
			s[1] = uint16(a[1]) + 2*uint16(b[1]) + uint16(c[1])
			s[2] = uint16(a[2]) + 2*uint16(b[2]) + uint16(c[2])
		}
		row := y * w
		for x := range w {
			l, m, r := sums[3*max(0, x-1):], sums[3*x:], sums[3*min(w-1, x+1):]
			f.red[row+x] = uint8((l[0] + 2*m[0] + r[0]) / 16)
			f.green[row+x] = uint8((l[1] + 2*m[1] + r[1]) / 16)
			f.blue[row+x] = uint8((l[2] + 2*m[2] + r[2]) / 16)
		}
	}
}

// Pixels darker or brighter than these in every band show no colour that could be trusted.
const (
	blackest = 20
	whitest  = 250
)

// blind says that a pixel shows nothing: black shadow or glare.
func (f *frame) blind(i int) bool {
	r, g, b := f.red[i], f.green[i], f.blue[i]
	return max(r, g, b) < blackest || min(r, g, b) >= whitest
}
