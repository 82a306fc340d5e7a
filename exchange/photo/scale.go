package photo

import (
	"image"
	"image/color"

	"culm/agronomy/cover"
)

// orientation is how a picture in a file is to be turned to stand upright, as EXIF numbers it, 1 to 8.
type orientation int

// size gives the sides of a picture held upright.
func (o orientation) size(width, height int) (int, int) {
	if o >= 5 {
		return height, width
	}
	return width, height
}

// place gives where a pixel of the file lies in the upright picture of that size.
func (o orientation) place(x, y, width, height int) (int, int) {
	switch o {
	case 2:
		return width - 1 - x, y
	case 3:
		return width - 1 - x, height - 1 - y
	case 4:
		return x, height - 1 - y
	case 5:
		return y, x
	case 6:
		return width - 1 - y, x
	case 7:
		return width - 1 - y, height - 1 - x
	case 8:
		return y, height - 1 - x
	default:
		return x, y
	}
}

// scale makes each pixel the mean of a square of pixels, and turns the picture upright. What is left over at
// the right and lower rim, less than a square, is dropped.
func scale(m image.Image, turn orientation) cover.Pixels {
	b := m.Bounds()
	side := (max(b.Dx(), b.Dy()) + acrossLooking - 1) / acrossLooking
	// A strip of a picture must not be scaled away.
	for side > 1 && min(b.Dx(), b.Dy())/side < cover.ShortestSide {
		side--
	}
	across, down := min(b.Dx()/side, cover.LongestSide), min(b.Dy()/side, cover.LongestSide)
	p := cover.Pixels{}
	p.Width, p.Height = turn.size(across, down)
	p.RGBA = make([]byte, 4*across*down)
	mean := meanOf(m)
	for y := range down {
		for x := range across {
			r, g, bl := mean(b.Min.X+x*side, b.Min.Y+y*side, side)
			u, v := turn.place(x, y, p.Width, p.Height)
			to := p.RGBA[4*(v*p.Width+u):]
			to[0], to[1], to[2], to[3] = r, g, bl, 255
		}
	}
	return p
}

// meanOf gives a function for the mean colour of a square: fast for what cameras store, slower for the rest.
func meanOf(m image.Image) func(x, y, side int) (r, g, b uint8) {
	switch m := m.(type) {
	case *image.YCbCr:
		return func(x, y, side int) (r, g, b uint8) { return meanYCbCr(m, x, y, side) }
	case *image.RGBA:
		return func(x, y, side int) (r, g, b uint8) { return meanBytes(m.Pix[m.PixOffset(x, y):], m.Stride, side) }
	case *image.NRGBA:
		return func(x, y, side int) (r, g, b uint8) { return meanBytes(m.Pix[m.PixOffset(x, y):], m.Stride, side) }
	default:
		return func(x, y, side int) (r, g, b uint8) { return meanAny(m, x, y, side) }
	}
}

// meanYCbCr takes the mean of brightness and of both colour planes, which may be coarser, and then mixes the
// colour once.
func meanYCbCr(m *image.YCbCr, x, y, side int) (r, g, b uint8) {
	var luma int
	for v := y; v < y+side; v++ {
		at := m.YOffset(x, v)
		for _, l := range m.Y[at : at+side] {
			luma += int(l)
		}
	}
	first, last := m.COffset(x, y), m.COffset(x+side-1, y+side-1)
	rows := (last-first)/m.CStride + 1
	columns := last - first - (rows-1)*m.CStride + 1
	var cb, cr int
	for row := range rows {
		at := first + row*m.CStride
		for _, c := range m.Cb[at : at+columns] {
			cb += int(c)
		}
		for _, c := range m.Cr[at : at+columns] {
			cr += int(c)
		}
	}
	half := side * side / 2
	n := rows * columns
	return color.YCbCrToRGB(uint8((luma+half)/(side*side)), uint8((cb+n/2)/n), uint8((cr+n/2)/n))
}

func meanBytes(pix []byte, stride, side int) (r, g, b uint8) {
	var red, green, blue int
	for row := range side {
		line := pix[row*stride : row*stride+4*side]
		for i := 0; i < len(line); i += 4 {
			red, green, blue = red+int(line[i]), green+int(line[i+1]), blue+int(line[i+2])
		}
	}
	n := side * side
	return uint8((red + n/2) / n), uint8((green + n/2) / n), uint8((blue + n/2) / n)
}

func meanAny(m image.Image, x, y, side int) (r, g, b uint8) {
	var red, green, blue int
	for v := y; v < y+side; v++ {
		for u := x; u < x+side; u++ {
			cr, cg, cb, _ := m.At(u, v).RGBA()
			red, green, blue = red+int(cr>>8), green+int(cg>>8), blue+int(cb>>8)
		}
	}
	n := side * side
	return uint8((red + n/2) / n), uint8((green + n/2) / n), uint8((blue + n/2) / n)
}
