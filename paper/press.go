// Package paper prints the producer's page as a PDF: one page that survives a black-and-white printer and a
// fold in a shirt pocket. What it says is advice.Handout; here is only how it looks.
package paper

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/season"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// The type is the Go family, drawn after the legibility standard DIN 1450, with figures of one width.
const (
	family  = "go"
	regular = ""
	bold    = "B"
)

// Sizes in mm; type in points.
const (
	margin      = 16.0
	displaySize = 17.0
	textSize    = 9.5
	smallSize   = 7.5
	// smallestSize is where print stops being readable: below it the page would no longer be one.
	smallestSize = 5.5
	leading      = 0.47 // mm of line height a point of type
)

// Page prints the producer's page of a plan, with the field's outline when it is known. The same plan gives
// the same bytes: the dates in the file are those of the plan.
func Page(p *advice.Plan, boundary *season.Boundary) ([]byte, error) {
	paperSize := "Letter"
	if p.Units == unit.Metric {
		paperSize = "A4"
	}
	s := &sheet{Fpdf: fpdf.New("P", "mm", paperSize, "")}
	s.begin(p)
	h := advice.HandoutOf(p, p.Units)
	s.head(h)
	s.outline(boundary)
	s.decision(h)
	s.columns(h)
	s.record(p)
	s.foot(h)
	var out bytes.Buffer
	if err := s.Output(&out); err != nil {
		return nil, fmt.Errorf("printing the page of field %s: %w", p.Field.ID, err)
	}
	return out.Bytes(), nil
}

// sheet is a page being printed.
type sheet struct {
	*fpdf.Fpdf
	width, height float64
}

func (s *sheet) begin(p *advice.Plan) { s.open(p.Field.Name+", "+p.Today.String(), p.Today.Time()) }

// open starts the page of a document made at a moment.
func (s *sheet) open(title string, made time.Time) {
	s.SetCreationDate(made)
	s.SetModificationDate(made)
	s.SetCatalogSort(true)
	s.SetProducer("Culm", true)
	s.SetTitle(title, true)
	s.SetAuthor("Culm", true)
	s.SetLang("en")
	s.SetMargins(margin, margin, margin)
	s.SetAutoPageBreak(false, margin)
	s.AddUTF8FontFromBytes(family, regular, goregular.TTF)
	s.AddUTF8FontFromBytes(family, bold, gobold.TTF)
	s.width, s.height = s.GetPageSize()
	s.AddPage()
}

// set chooses the type for what follows.
func (s *sheet) set(style string, points float64) { s.SetFont(family, style, points) }

// para prints text within a width from the current position and moves below it.
func (s *sheet) para(x, width, points float64, style, text string) {
	s.set(style, points)
	s.SetX(x)
	s.MultiCell(width, points*leading, plain(text), "", "L", false)
}

// label prints the small heading of a block.
func (s *sheet) label(x, width float64, text string) {
	s.Ln(2)
	s.para(x, width, smallSize, bold, strings.ToUpper(text))
}

// rule draws a line across the page.
func (s *sheet) rule(y, thickness float64) {
	s.SetLineWidth(thickness)
	s.Line(margin, y, s.width-margin, y)
}

// plain replaces what the type has no sign for.
func plain(text string) string {
	return strings.ReplaceAll(text, "\u202f", "\u00a0")
}
