// Package page writes the producer's page as HTML: one page in plain words and in the units they use, for a
// screen, a phone, a black-and-white printer and a shirt pocket. What it says is advice.Handout; here is only
// how it looks.
package page

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/season"
	"culm/server/picture"

	"github.com/a-h/templ"
)

// Style is the page's style sheet.
//
//go:embed page.css
var Style string

// Served says what a page on a server has around it.
type Served struct {
	// Stylesheets are addresses of style sheets, Style's among them.
	Stylesheets []string
	// Back, PDF and Icon are addresses of the field's page, of this page as a PDF, and of the server's mark.
	Back, PDF, Icon string
}

// Document is the producer's page of a plan as a server shows it, with the field's outline when it is known.
func Document(p *advice.Plan, boundary *season.Boundary, s Served) templ.Component {
	return document(viewOf(p, boundary), s)
}

// Standalone writes the producer's page of a plan as a file that needs nothing else: its style is inside.
func Standalone(p *advice.Plan, boundary *season.Boundary) ([]byte, error) {
	var text bytes.Buffer
	if err := document(viewOf(p, boundary), Served{}).Render(context.Background(), &text); err != nil {
		return nil, fmt.Errorf("writing the page of field %s: %w", p.Field.ID, err)
	}
	return text.Bytes(), nil
}

// view is what the page shows.
type view struct {
	advice.Handout
	action   advice.Action
	paper    string // class that chooses the size of paper
	density  string // class that chooses the size of type in print, so that the page stays one
	days     []advice.HandoutDay
	outline  picture.Field
	hasPlace bool
}

func viewOf(p *advice.Plan, boundary *season.Boundary) view {
	v := view{Handout: advice.HandoutOf(p, p.Units), action: p.Decision.Action, paper: "letter"}
	if p.Units == unit.Metric {
		v.paper = "a4"
	}
	v.days = joined(v.Days)
	v.density = fit(v)
	v.outline, v.hasPlace = picture.FieldOf(p.Field, boundary, nil)
	return v
}

// joined makes one line of neighbouring days that say the same.
func joined(days []advice.HandoutDay) []advice.HandoutDay {
	var lines []advice.HandoutDay
	first := ""
	for _, d := range days {
		if n := len(lines); n > 0 && lines[n-1].Words == d.Words && lines[n-1].Best == d.Best {
			lines[n-1].Day = first + " to " + d.Day
			continue
		}
		lines, first = append(lines, d), d.Day
	}
	return lines
}
