package photo

import (
	"bufio"
	"encoding/base64"
	"fmt"
	"html"
	"image"
	"image/jpeg"
	"io"
	"slices"
	"strings"

	"culm/agronomy/cover"
)

// look is how a class is drawn: its letter, its line and its hatching differ, so that nobody needs to tell
// colours apart.
type look struct {
	class             cover.Class
	letter, colour    string
	dash, hatch, name string
}

func looks() []look {
	return []look{
		{cover.Green, "G", "#0c6b2d", "", `<path d="M0 12L12 0" stroke="#0c6b2d" stroke-width="2"/>`, "green leaves"},
		{cover.Residue, "R", "#9a5b00", "10 4", `<path d="M0 6H12M6 0V12" stroke="#9a5b00" stroke-width="1.5"/>`, "residue"},
		{cover.Soil, "S", "#4a3426", "2 5", `<circle cx="6" cy="6" r="1.3" fill="#4a3426"/>`, "bare soil"},
		{cover.Unseen, "?", "#3b4252", "14 4 2 4", `<path d="M3 0V12M9 0V12" stroke="#3b4252" stroke-width="1.5"/>`, "not to be seen"},
	}
}

// Sizes in the drawing.
const (
	rim      = 34   // around the photo, for the names of columns and rows
	lineStep = 30   // between lines of text
	least    = 1100 // of the longer side of the photo as drawn, so that letters fit into patches
	textWide = 1000 // what a line of text takes at most
)

// drawing is a photo being drawn.
type drawing struct {
	*bufio.Writer
	seen                cover.Photo
	side, width, height int // of a patch and of the photo, as drawn
}

// WriteOutlines draws the photo as SVG with its patches: areas of one class outlined, hatched and lettered, a
// grid with the names of columns and rows, what was found, and the warnings.
func WriteOutlines(w io.Writer, p *Photo, seen cover.Photo) error {
	times := max(1, (least-1)/max(seen.Width, seen.Height)+1)
	d := drawing{bufio.NewWriter(w), seen, times * seen.Grid.Side, times * seen.Width, times * seen.Height}
	lines := 5 + len(seen.Warnings)
	d.printf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" font-family="sans-serif" font-size="18" role="img">`+"\n", max(d.width, textWide)+2*rim, d.height+2*rim+lineStep*lines)
	d.printf("<title>%s</title>\n", html.EscapeString(p.Name+": "+Sentence(seen.Cover)))
	d.printf(`<rect width="100%%" height="100%%" fill="#f6f5f1"/>` + "\n<defs>\n")
	for _, l := range looks() {
		d.printf(`<pattern id="%s" width="12" height="12" patternUnits="userSpaceOnUse">%s</pattern>`+"\n", l.class, l.hatch)
	}
	d.printf("</defs>\n<g transform=\"translate(%d %d)\">\n", rim, rim)
	if err := d.picture(p.Pixels); err != nil {
		return err
	}
	d.grid()
	// Sides that two areas share get the line of the one drawn last: green over residue over soil.
	all := seen.Grid.Outlines()
	for _, l := range slices.Backward(looks()) {
		for _, o := range all {
			if o.Class == l.class {
				d.outline(l, o)
			}
		}
	}
	d.printf("</g>\n")
	d.legend()
	d.printf("</svg>\n")
	return d.Flush()
}

// Sentence says a cover in one line.
func Sentence(c cover.Cover) string {
	say := func(name string, r cover.Range) string {
		return fmt.Sprintf("%s %.0f %% (%.0f to %.0f)", name, 100*r.Value, 100*r.Low, 100*r.High)
	}
	return say("green", c.Green) + ", " + say("residue", c.Residue) + ", " + say("bare soil", c.Soil)
}

// printf writes; errors stay with the writer until it is flushed.
func (d *drawing) printf(format string, args ...any) { fmt.Fprintf(d.Writer, format, args...) }

func (d *drawing) picture(p cover.Pixels) error {
	d.printf(`<image width="%d" height="%d" preserveAspectRatio="none" href="data:image/jpeg;base64,`, d.width, d.height)
	encoder := base64.NewEncoder(base64.StdEncoding, d)
	m := &image.RGBA{Pix: p.RGBA, Stride: 4 * p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}
	if err := jpeg.Encode(encoder, m, &jpeg.Options{Quality: 80}); err != nil {
		return err
	}
	if err := encoder.Close(); err != nil {
		return err
	}
	d.printf("\"/>\n")
	return nil
}

// grid draws thin lines between the patches, and the names of columns and rows around them.
func (d *drawing) grid() {
	var path strings.Builder
	for x := d.side; x < d.width; x += d.side {
		fmt.Fprintf(&path, "M%d 0V%d", x, d.height)
	}
	for y := d.side; y < d.height; y += d.side {
		fmt.Fprintf(&path, "M0 %dH%d", y, d.width)
	}
	d.printf(`<path d="%s" stroke="#fff" stroke-opacity="0.35" stroke-width="1" fill="none"/>`+"\n", path.String())
	d.printf(`<g font-size="15" fill="#222" text-anchor="middle">` + "\n")
	for c := range d.seen.Grid.Columns {
		d.printf(`<text x="%d" y="-10">%s</text>`, c*d.side+d.side/2, cover.ColumnName(c))
	}
	for r := range d.seen.Grid.Rows {
		d.printf(`<text x="-17" y="%d">%d</text>`, r*d.side+d.side/2+6, r+1)
	}
	d.printf("\n</g>\n")
}

// outline draws one area: a light line under its own, hatching that lets the photo through, and its letter
// in its middle patch.
func (d *drawing) outline(l look, o cover.Outline) {
	var path strings.Builder
	for _, ring := range o.Rings {
		for i, p := range ring {
			command := 'L'
			if i == 0 {
				command = 'M'
			}
			fmt.Fprintf(&path, "%c%d %d", command, min(p.X*d.side, d.width), min(p.Y*d.side, d.height))
		}
		path.WriteString("Z")
	}
	d.printf(`<path d="%s" fill="url(#%s)" fill-opacity="0.45" fill-rule="evenodd" stroke="#fff" stroke-width="5" stroke-opacity="0.8"/>`+"\n", path.String(), l.class)
	d.printf(`<path d="%s" fill="none" stroke="%s" stroke-width="2.5" stroke-dasharray="%s"/>`+"\n", path.String(), l.colour, l.dash)
	middle, columns := o.Patches[len(o.Patches)/2], d.seen.Grid.Columns
	d.letter(l, middle%columns*d.side+d.side/2, middle/columns*d.side+d.side/2, 0.36*float64(d.side))
}

func (d *drawing) letter(l look, x, y int, radius float64) {
	d.printf(`<circle cx="%d" cy="%d" r="%.1f" fill="#fff" fill-opacity="0.9" stroke="%s"/>`, x, y, radius, l.colour)
	d.printf(`<text x="%d" y="%.1f" font-size="%.1f" font-weight="bold" text-anchor="middle" fill="%s">%s</text>`+"\n", x, float64(y)+0.4*radius, 1.2*radius, l.colour, l.letter)
}

// legend says what the hatchings mean, how much of each there is, and what is wrong with the photo.
func (d *drawing) legend() {
	c := d.seen.Cover
	shares := [3]cover.Range{c.Green, c.Residue, c.Soil}
	y := d.height + 2*rim + lineStep/2
	for i, l := range looks() {
		d.printf(`<rect x="%d" y="%d" width="44" height="22" fill="url(#%s)" stroke="%s" stroke-width="2" stroke-dasharray="%s"/>`, rim, y-17, l.class, l.colour, l.dash)
		d.letter(l, rim+62, y-6, 10)
		text := fmt.Sprintf("%s: %.1f %% of the ground", l.name, 100*float64(c.Unseen))
		if i < len(shares) {
			r := shares[i]
			text = fmt.Sprintf("%s: %.0f %% of the ground, %.0f to %.0f %%", l.name, 100*r.Value, 100*r.Low, 100*r.High)
		}
		d.printf(`<text x="%d" y="%d">%s</text>`+"\n", rim+84, y, text)
		y += lineStep
	}
	for _, warning := range d.seen.Warnings {
		d.printf(`<text x="%d" y="%d" font-size="15">! %s</text>`+"\n", rim, y, html.EscapeString(warning.Text))
		y += lineStep
	}
}
