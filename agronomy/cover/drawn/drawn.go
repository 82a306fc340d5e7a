// Package drawn makes pictures of ground whose cover is known because it was drawn: soil with grain and
// clods, straw, leaves, and the shadows they cast. It stands in tests for the photos of residue that no open
// data set was found for. A drawing is kinder than a field: what works here may fail there, and what fails
// here fails there too.
package drawn

import (
	"math"
	"math/rand/v2"
)

// Colour is red, green and blue, 0 to 255, as a camera stores them.
type Colour [3]float64

// Leaf, Soil and Straw are the example colours that published indices are checked with.
func Leaf() Colour  { return Colour{80, 140, 60} }
func Soil() Colour  { return Colour{120, 100, 80} }
func Straw() Colour { return Colour{200, 180, 120} }

// Scene says what is drawn.
type Scene struct {
	Width, Height int
	Seed          uint64

	Soil, Straw, Leaf Colour
	// Grain is how much the soil's brightness varies, as a share; 0.12 is a fine seedbed, 0.3 rough clods.
	Grain float64
	// Straws and Leaves are how many are laid, each StrawWidth and LeafWidth pixels wide.
	Straws, Leaves        int
	StrawWidth, LeafWidth float64
	// Sun is how much light a cast shadow takes, as a share; 0 is an overcast sky.
	Sun float64
	// Noise is the camera's, in levels.
	Noise float64
}

// Truth is what covers a pixel.
type Truth = uint8

// What there is.
const (
	IsSoil Truth = iota
	IsStraw
	IsLeaf
)

// Picture is a drawing with what covers each of its pixels.
type Picture struct {
	Width, Height int
	RGBA          []byte
	Truth         []Truth
}

// Share is the share of pixels covered so.
func (p Picture) Share(of Truth) float64 {
	var n int
	for _, t := range p.Truth {
		if t == of {
			n++
		}
	}
	return float64(n) / float64(len(p.Truth))
}

// canvas is a picture being drawn: colour and height of what lies uppermost.
type canvas struct {
	Scene
	rng    *rand.Rand
	colour []Colour
	truth  []Truth
	shaded []bool
}

// Draw draws a scene; the same scene is always drawn alike.
func Draw(s Scene) Picture {
	n := s.Width * s.Height
	c := canvas{
		Scene: s, rng: rand.New(rand.NewPCG(s.Seed, 7)),
		colour: make([]Colour, n), truth: make([]Truth, n), shaded: make([]bool, n),
	}
	c.ground()
	for range s.Straws {
		c.strip(s.Straw, IsStraw, s.StrawWidth*(0.6+0.8*c.rng.Float64()), float64(s.Width)*(0.05+0.25*c.rng.Float64()), 0.15)
	}
	for range s.Leaves {
		c.strip(s.Leaf, IsLeaf, s.LeafWidth*(0.6+0.8*c.rng.Float64()), float64(s.Width)*(0.1+0.2*c.rng.Float64()), 0.12)
	}
	return c.develop()
}

// ground is noise on four scales, from clods to grains.
func (c *canvas) ground() {
	for i := range c.colour {
		c.colour[i] = Colour{1, 1, 1}
	}
	for _, cell := range []int{48, 16, 6, 2} {
		across := c.Width/cell + 2
		grid := make([]float64, across*(c.Height/cell+2))
		for i := range grid {
			grid[i] = c.rng.NormFloat64() * c.Grain / 2
		}
		for y := range c.Height {
			for x := range c.Width {
				u, v := float64(x)/float64(cell), float64(y)/float64(cell)
				i, fu, fv := int(v)*across+int(u), u-math.Floor(u), v-math.Floor(v)
				up := grid[i]*(1-fu) + grid[i+1]*fu
				down := grid[i+across]*(1-fu) + grid[i+across+1]*fu
				c.colour[y*c.Width+x][0] += up*(1-fv) + down*fv
			}
		}
	}
	for i := range c.colour {
		light := max(0.15, c.colour[i][0])
		c.colour[i] = Colour{c.Soil[0] * light, c.Soil[1] * light, c.Soil[2] * light}
	}
}

// strip lays a straw or a leaf: a band that tapers and is bent a little, rounded in its light, with a shadow
// beside it where the sun shines.
func (c *canvas) strip(colour Colour, of Truth, width, length, spread float64) {
	x, y := c.rng.Float64()*float64(c.Width), c.rng.Float64()*float64(c.Height)
	angle, bend := c.rng.Float64()*2*math.Pi, c.rng.NormFloat64()*0.4/length
	if of == IsStraw {
		bend /= 8
	}
	tone := max(0.4, 1+spread*c.rng.NormFloat64())
	type spot struct{ x, y, along, across float64 }
	var spots []spot
	for along := 0.0; along < length; along += 0.5 {
		half := width / 2
		if of == IsLeaf {
			half *= math.Sqrt(1 - along/length)
		}
		for across := -half; across <= half; across += 0.5 {
			spots = append(spots, spot{x - across*math.Sin(angle), y + across*math.Cos(angle), along, across / (half + 0.01)})
		}
		x, y, angle = x+0.5*math.Cos(angle), y+0.5*math.Sin(angle), angle+0.5*bend
	}
	if c.Sun > 0 {
		for _, s := range spots {
			if i, ok := c.at(s.x+width, s.y+0.7*width); ok {
				c.shaded[i] = true
			}
		}
	}
	for _, s := range spots {
		i, ok := c.at(s.x, s.y)
		if !ok {
			continue
		}
		light := tone * (1 - 0.2*s.across*s.across)
		c.colour[i] = Colour{colour[0] * light, colour[1] * light, colour[2] * light}
		c.truth[i], c.shaded[i] = of, false
	}
}

func (c *canvas) at(x, y float64) (int, bool) {
	u, v := int(math.Floor(x)), int(math.Floor(y))
	return v*c.Width + u, u >= 0 && v >= 0 && u < c.Width && v < c.Height
}

// develop casts the shadows, which are a little bluer than the light, and adds the camera's noise.
func (c *canvas) develop() Picture {
	p := Picture{Width: c.Width, Height: c.Height, RGBA: make([]byte, 4*len(c.colour)), Truth: c.truth}
	for i, colour := range c.colour {
		for band, v := range colour {
			if c.shaded[i] {
				v *= 1 - c.Sun*[3]float64{1, 0.97, 0.9}[band]
			}
			v += c.rng.NormFloat64() * c.Noise
			p.RGBA[4*i+band] = byte(min(255, max(0, v+0.5)))
		}
		p.RGBA[4*i+3] = 255
	}
	return p
}

// NoTill is a no-till field in spring under a grey sky, 640 by 480 pixels times the scale.
func NoTill(scale float64) Scene {
	return Scene{
		Width: int(640 * scale), Height: int(480 * scale), Seed: 1, Soil: Soil(), Straw: Straw(), Leaf: Leaf(),
		Grain: 0.12, Straws: 150, Leaves: 60, StrawWidth: 5 * scale, LeafWidth: 8 * scale, Noise: 4,
	}
}
