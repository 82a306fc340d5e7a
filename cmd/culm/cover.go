package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"culm/agronomy/cover"
	"culm/agronomy/unit"
	"culm/exchange/photo"
)

type coverCommand struct {
	Photos  []string `arg:"" optional:"" name:"photo" help:"Photos taken straight down, JPEG or PNG, of places in one field."`
	Outline string   `help:"Draw the photo with its patches here as SVG; for several photos FILE-1.svg, FILE-2.svg and so on." placeholder:"FILE"`
	Told    []string `help:"Correct a patch: F7:residue:soil says that what was taken for residue in patch F7 is soil, F7:soil:soil that it was taken rightly. The outline shows the names. For a single photo; may be given again." placeholder:"PATCH:FROM:TO"`
	Line    []string `help:"Residue counted on a line: 44/100 for 44 hits on 100 marks. May be given again, once for each line." placeholder:"HITS/MARKS"`
	Crop    string   `help:"What the residue is of (wheat, corn, canola and so on): reckons its mass from the cover." placeholder:"CROP"`
	Units   string   `enum:"us,metric" default:"us" help:"Units of the mass: us or metric."`
	JSON    bool     `name:"json" help:"Print what was found as JSON."`
}

// coverJSON is the JSON of culm cover. Shares are of the ground, from 0 to 1.
type coverJSON struct {
	Version  string          `json:"version"` // culm.cover/1
	Photos   []coverPhoto    `json:"photos"`
	Combined *cover.Combined `json:"combined,omitempty"` // of the photos that are fit
	Lines    *coverLines     `json:"lines,omitempty"`
	Masses   []coverMass     `json:"masses,omitempty"`
}

// coverLines is the residue counted on lines.
type coverLines struct {
	Residue       cover.Range   `json:"residue"` // the ends are those of the 95 % interval
	StandardError unit.Fraction `json:"standardError"`
	Lines         int           `json:"lines"`
	Marks         int           `json:"marks"`
}

// coverMass is residue in kg/ha. Low and high come from the range of the cover and from how far coefficients in
// use lie apart.
type coverMass struct {
	Of    string       `json:"of"` // "lines" or "photos"
	Crop  string       `json:"crop"`
	Value unit.Biomass `json:"value"`
	Low   unit.Biomass `json:"low"`
	High  unit.Biomass `json:"high"`
}

// coverPhoto is one photo; a photo that could not be read has only an error.
type coverPhoto struct {
	File     string          `json:"file"`
	Error    string          `json:"error,omitempty"`
	Width    int             `json:"width,omitempty"` // pixels, upright
	Height   int             `json:"height,omitempty"`
	Taken    string          `json:"taken,omitempty"` // with an offset where the camera wrote one
	Position *photo.Position `json:"position,omitempty"`
	Fit      bool            `json:"fit"`
	Cover    *cover.Cover    `json:"cover,omitempty"`
	Ground   cover.Ground    `json:"ground,omitempty"`
	// Published are green covers by published rules.
	Published *coverPublished `json:"published,omitempty"`
	Warnings  []cover.Warning `json:"warnings"`
}

type coverPublished struct {
	ExcessGreenOtsu     float64 `json:"excessGreenOtsu"`
	ExcessGreenMinusRed float64 `json:"excessGreenMinusRed"`
}

// Run looks at each photo and puts those that are fit together, and so with lines.
func (c *coverCommand) Run(d *door) error {
	switch {
	case len(c.Photos) == 0 && len(c.Line) == 0:
		return failWith(exitUsage, "nothing to look at; expected photos, or lines counted as --line 44/100")
	case len(c.Told) > 0 && len(c.Photos) != 1:
		return failWith(exitUsage, "--told corrects a single photo; %d are given", len(c.Photos))
	}
	out := coverJSON{Version: "culm.cover/1", Photos: []coverPhoto{}}
	if err := c.count(&out); err != nil {
		return err
	}
	unread, err := c.lookAtAll(d, &out)
	if err != nil {
		return err
	}
	c.weigh(&out)
	if err := c.print(d.out, out); err != nil {
		return err
	}
	switch {
	case len(c.Photos) > 0 && out.Combined == nil:
		return failWith(exitBadInput, "no photo could be used")
	case unread > 0:
		return failWith(exitBadInput, "%s could not be read", plural(unread, "photo"))
	default:
		return nil
	}
}

// count puts the lines of the command line together.
func (c *coverCommand) count(out *coverJSON) error {
	if len(c.Line) == 0 {
		return nil
	}
	var lines []cover.Transect
	for _, text := range c.Line {
		hits, marks, ok := strings.Cut(text, "/")
		h, err := strconv.Atoi(hits)
		m, err2 := strconv.Atoi(marks)
		if !ok || err != nil || err2 != nil {
			return failWith(exitUsage, "--line is %q; expected hits and marks, as 44/100", text)
		}
		lines = append(lines, cover.Transect{Hits: h, Marks: m})
	}
	n, err := cover.CountResidue(lines)
	if err != nil {
		return exitError{exitUsage, err}
	}
	out.Lines = &coverLines{cover.Range{Value: n.Cover, Low: n.Low, High: n.High}, n.StandardError, n.Lines, n.Marks}
	return nil
}

// lookAtAll looks at each photo; those that are none are told of and counted.
func (c *coverCommand) lookAtAll(d *door, out *coverJSON) (unread int, err error) {
	var fit []cover.Cover
	for i, path := range c.Photos {
		found, err := c.look(path, i)
		if errors.Is(err, photo.ErrNotRead) {
			unread++
			found = coverPhoto{File: path, Error: err.Error(), Warnings: []cover.Warning{}}
			fmt.Fprintln(d.err, "culm:", err)
		} else if err != nil {
			return 0, err
		}
		if found.Fit {
			fit = append(fit, *found.Cover)
		}
		out.Photos = append(out.Photos, found)
	}
	if len(fit) == 0 {
		return unread, nil
	}
	combined, err := cover.Combine(fit)
	out.Combined = &combined
	return unread, err
}

// weigh reckons the mass of the residue, of what was counted and of what was seen.
func (c *coverCommand) weigh(out *coverJSON) {
	if c.Crop == "" {
		return
	}
	least, most := cover.CoefficientRange(c.Crop)
	add := func(of string, r cover.Range) {
		out.Masses = append(out.Masses, coverMass{
			of, c.Crop, cover.ToMass(r.Value, cover.Coefficient(c.Crop)), cover.ToMass(r.Low, most), cover.ToMass(r.High, least),
		})
	}
	if out.Lines != nil {
		add("lines", out.Lines.Residue)
	}
	if out.Combined != nil {
		add("photos", out.Combined.Cover.Residue)
	}
}

// look reads one photo, looks at it, and draws it when that is asked for.
func (c *coverCommand) look(path string, place int) (coverPhoto, error) {
	f, err := os.Open(path)
	if err != nil {
		return coverPhoto{}, err
	}
	defer f.Close()
	p, err := photo.Read(filepath.Base(path), f)
	if err != nil {
		return coverPhoto{}, err
	}
	seen, err := cover.Look(p.Pixels)
	if err != nil {
		return coverPhoto{}, fmt.Errorf("%s: %w", path, err)
	}
	if seen, err = c.correct(seen); err != nil {
		return coverPhoto{}, err
	}
	err = writeIf(c.outline(place), func(w io.Writer) error { return photo.WriteOutlines(w, p, seen) })
	return coverPhoto{
		File: path, Width: p.Width, Height: p.Height, Taken: takenAt(p), Position: p.Position,
		Fit: seen.Fit, Cover: &seen.Cover, Ground: seen.Ground, Warnings: append([]cover.Warning{}, seen.Warnings...),
		Published: &coverPublished{float64(seen.Published.ExcessGreenOtsu), float64(seen.Published.ExcessGreenMinusRed)},
	}, err
}

// correct makes the corrections of the command line.
func (c *coverCommand) correct(seen cover.Photo) (cover.Photo, error) {
	var all []cover.Correction
	for _, told := range c.Told {
		part := strings.Split(told, ":")
		if len(part) != 3 {
			return seen, failWith(exitUsage, "--told is %q; expected a patch and two classes, as F7:residue:soil", told)
		}
		patch, ok := seen.Grid.Find(part[0])
		if !ok {
			return seen, failWith(exitUsage, "--told: there is no patch %q; the photo has A1 to %s", part[0], seen.Grid.Name(len(seen.Grid.Patches)-1))
		}
		all = append(all, cover.Correction{Patch: patch, From: cover.Class(part[1]), To: cover.Class(part[2])})
	}
	corrected, err := seen.Correct(all)
	if err != nil {
		return seen, exitError{exitUsage, err}
	}
	return corrected, nil
}

// outline is the file that a photo is drawn to.
func (c *coverCommand) outline(place int) string {
	if c.Outline == "" || len(c.Photos) == 1 {
		return c.Outline
	}
	extension := filepath.Ext(c.Outline)
	return fmt.Sprintf("%s-%d%s", strings.TrimSuffix(c.Outline, extension), place+1, extension)
}

func takenAt(p *photo.Photo) string {
	switch {
	case p.Taken.IsZero():
		return ""
	case p.Zoned:
		return p.Taken.Format(time.RFC3339)
	default:
		return p.Taken.Format("2006-01-02T15:04:05")
	}
}

func (c *coverCommand) print(w io.Writer, out coverJSON) error {
	if c.JSON {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		return enc.Encode(out)
	}
	t := terminal{w: w, units: unit.System(c.Units)}
	for _, p := range out.Photos {
		t.coverPhoto(p)
	}
	if out.Combined != nil && len(out.Photos) > 1 {
		t.coverCombined(*out.Combined)
	}
	if out.Lines != nil {
		t.coverLines(*out.Lines)
	}
	for _, m := range out.Masses {
		t.wrap("  ", "  ", fmt.Sprintf("%s residue by the %s: %s", m.Crop, m.Of, unit.ShowRange(unit.KindBiomass, float64(m.Value), float64(m.Low), float64(m.High), t.units)))
	}
	return nil
}

// coverLines prints residue counted on lines.
func (t terminal) coverLines(l coverLines) {
	t.wrap("", "  ", fmt.Sprintf("%s counted: residue %.0f %% (%.0f to %.0f), standard error %.2f points", plural(l.Lines, "line"), 100*l.Residue.Value, 100*l.Residue.Low, 100*l.Residue.High, 100*l.StandardError))
	if l.Lines == 1 {
		t.wrap("  ", "  ", "The error of a single line takes its marks for random points, which flatters it; count three lines or more, at 45 degrees to the rows.")
	}
}

func (t terminal) coverPhoto(p coverPhoto) {
	if p.Error != "" {
		return // said already
	}
	fmt.Fprintf(t.w, "%s, %d by %d pixels", p.File, p.Width, p.Height)
	if p.Taken != "" {
		fmt.Fprintf(t.w, ", taken %s", strings.Replace(p.Taken, "T", " ", 1))
	}
	if p.Position != nil {
		fmt.Fprintf(t.w, " at %.5f, %.5f", p.Position.Latitude, p.Position.Longitude)
	}
	fmt.Fprintln(t.w)
	if p.Fit {
		t.wrap("  ", "  ", photo.Sentence(*p.Cover))
	}
	for _, warning := range p.Warnings {
		if warning.Grave {
			t.wrap("  not used ", "           ", warning.Text)
		} else {
			t.wrap("  doubt    ", "           ", warning.Text)
		}
	}
}

// coverCombined prints photos together, with how they differ.
func (t terminal) coverCombined(c cover.Combined) {
	fmt.Fprintln(t.w)
	t.wrap("", "  ", fmt.Sprintf("%s together: %s", plural(c.Photos, "photo"), photo.Sentence(c.Cover)))
	if c.Photos == 1 {
		t.wrap("  ", "  ", "One photo says nothing about how the field differs from place to place; take three or more.")
		return
	}
	t.wrap("  ", "  ", fmt.Sprintf("Standard errors from how the photos differ: green %.1f, residue %.1f, bare soil %.1f points. The ranges are of 95 %% for this, with what the rules may be off besides.", 100*c.Between.Green, 100*c.Between.Residue, 100*c.Between.Soil))
}
