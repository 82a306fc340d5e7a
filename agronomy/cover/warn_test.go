package cover_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"culm/agronomy/cover"
	"culm/agronomy/cover/drawn"
)

// blur smooths a picture over so many pixels to each side.
func blur(p drawn.Picture, reach int) drawn.Picture {
	out := p
	out.RGBA = make([]byte, len(p.RGBA))
	for y := range p.Height {
		for x := range p.Width {
			var sum [3]int
			var n int
			for v := max(0, y-reach); v <= min(p.Height-1, y+reach); v++ {
				for u := max(0, x-reach); u <= min(p.Width-1, x+reach); u++ {
					n++
					for band := range sum {
						sum[band] += int(p.RGBA[4*(v*p.Width+u)+band])
					}
				}
			}
			for band := range sum {
				out.RGBA[4*(y*p.Width+x)+band] = byte(sum[band] / n)
			}
		}
	}
	return out
}

// paint changes the pixels of a picture for which which is true.
func paint(p drawn.Picture, which func(x, y int) bool, colour [3]float64, noise float64) drawn.Picture {
	rng := rand.New(rand.NewPCG(1, 2))
	out := p
	out.RGBA = slices.Clone(p.RGBA)
	for y := range p.Height {
		for x := range p.Width {
			if !which(x, y) {
				continue
			}
			for band, v := range colour {
				out.RGBA[4*(y*p.Width+x)+band] = byte(min(255, max(0, v+noise*rng.NormFloat64())))
			}
		}
	}
	return out
}

func draw(change func(*drawn.Scene)) drawn.Picture {
	s := scene()
	change(&s)
	return drawn.Draw(s)
}

func TestPicturesAreWarnedAbout(t *testing.T) {
	field := draw(func(*drawn.Scene) {})
	everywhere := func(int, int) bool { return true }
	for _, row := range []struct {
		name    string
		picture drawn.Picture
		kind    cover.WarningKind // "" for none at all
		fit     bool
	}{
		{"a good photo", field, "", true},
		{"moved while taking it", blur(field, 3), cover.Blur, true},
		{"hard sun on many leaves", draw(func(s *drawn.Scene) { s.Sun, s.Leaves, s.Straws = 0.75, 250, 0 }), cover.Shadow, true},
		{"glare of wet ground", paint(field, func(x, y int) bool { return x/8%5 == 0 && y/8%3 == 0 }, [3]float64{255, 255, 255}, 0), cover.Glare, true},
		{"hoar frost", paint(field, func(x, y int) bool { return (x/6+y/6)%3 != 0 }, [3]float64{196, 202, 208}, 6), cover.Frost, true},
		{"dark wet ground", draw(func(s *drawn.Scene) { s.Soil, s.Straw = drawn.Colour{40, 33, 27}, drawn.Colour{70, 60, 45} }), cover.Dark, true},
		{"held too high", draw(func(s *drawn.Scene) { s.LeafWidth, s.Leaves = 1.5, 120 }), cover.TooHigh, true},
		{"a panorama", draw(func(s *drawn.Scene) { s.Width, s.Height = 1200, 300 }), cover.Panorama, false},
		{"a wall", paint(field, everywhere, [3]float64{214, 208, 200}, 1), cover.NotACrop, false},
		{"a room: wall, window, floor", paint(paint(field, func(_, y int) bool { return y < 300 }, [3]float64{190, 188, 184}, 2), func(x, y int) bool { return y < 200 && x > 300 && x < 500 }, [3]float64{120, 160, 220}, 2), cover.NotACrop, false},
		{"a blue carpet", paint(field, everywhere, [3]float64{50, 70, 150}, 25), cover.NotACrop, false},
		{"a red cloth", paint(field, everywhere, [3]float64{180, 30, 40}, 20), cover.NotACrop, false},
		{"a field with a horizon", paint(field, func(_, y int) bool { return y < 190 }, [3]float64{228, 232, 236}, 9), cover.NotACrop, false},
		{"a sheet of paper with print", paint(field, everywhere, [3]float64{235, 235, 240}, 2), cover.NotACrop, false},
		{"a mat of straw in the sun", draw(func(s *drawn.Scene) { s.Straws, s.Sun = 1200, 0.5 }), cover.NoResidue, true},
	} {
		photo := look(t, row.picture)
		if photo.Fit != row.fit {
			t.Errorf("%s: fit %v, expected %v: %v", row.name, photo.Fit, row.fit, photo.Warnings)
		}
		if row.kind == "" {
			if len(photo.Warnings) > 0 {
				t.Errorf("%s: warned of %v", row.name, photo.Warnings)
			}
			continue
		}
		if !slices.ContainsFunc(photo.Warnings, func(w cover.Warning) bool { return w.Kind == row.kind && w.Text != "" }) {
			t.Errorf("%s: not warned of %s: %v", row.name, row.kind, photo.Warnings)
		}
	}
}

func TestSomethingElseIsSaidInPlainWords(t *testing.T) {
	room := paint(draw(func(*drawn.Scene) {}), func(int, int) bool { return true }, [3]float64{214, 208, 200}, 1)
	photo := look(t, room)
	if len(photo.Warnings) == 0 || !strings.Contains(photo.Warnings[0].Text, "this does not look like a crop from above") {
		t.Errorf("%v", photo.Warnings)
	}
}

func TestImpossiblePixels(t *testing.T) {
	for _, p := range []cover.Pixels{{}, {Width: 640, Height: 480}, {Width: 100, Height: 100, RGBA: make([]byte, 30000)}, {Width: 63, Height: 64, RGBA: make([]byte, 4*63*64)}, {Width: -1, Height: -1}, {Width: 5000, Height: 5000}} {
		if _, err := cover.Look(p); err == nil || !strings.Contains(err.Error(), "expected") {
			t.Errorf("%d by %d with %d bytes: %v", p.Width, p.Height, len(p.RGBA), err)
		}
	}
}

// Any bytes are looked at without harm.
func FuzzLook(f *testing.F) {
	f.Add(uint8(64), uint8(64), []byte{0, 0, 0, 255}, uint8(1))
	f.Add(uint8(70), uint8(200), []byte{255, 255, 255, 255, 80, 140, 60, 255}, uint8(3))
	f.Add(uint8(255), uint8(64), []byte{120, 100, 80, 0, 200, 180, 120, 0, 10, 250, 10, 0}, uint8(7))
	f.Fuzz(func(t *testing.T, width, height uint8, tile []byte, stride uint8) {
		p := cover.Pixels{Width: int(width), Height: int(height), RGBA: make([]byte, 4*int(width)*int(height))}
		for i := range p.RGBA {
			if len(tile) > 0 {
				p.RGBA[i] = tile[(i*int(stride)+i/7)%len(tile)]
			}
		}
		photo, err := cover.Look(p)
		if err != nil {
			return
		}
		c := photo.Cover
		if sum := c.Green.Value + c.Residue.Value + c.Soil.Value; !(sum > 1-1e-9 && sum < 1+1e-9) {
			t.Errorf("shares add up to %v", sum)
		}
		photo.Grid.Outlines()
	})
}
