package page

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"strings"

	"culm/advice"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// CardStyle is the style sheet of the operator's card: large figures for a phone in a cab, light for sun and dark for
// night, and one sheet of paper.
//
//go:embed card.css
var CardStyle string

// Card writes the operator's card as a file that needs nothing else. Figures open to their working where they stand.
func Card(c *advice.Card) ([]byte, error) {
	var text bytes.Buffer
	if err := card(c).Render(context.Background(), &text); err != nil {
		return nil, fmt.Errorf("writing the card of field %s: %w", c.FieldID, err)
	}
	return text.Bytes(), nil
}

// cardWho says whose field it is, and what drives.
func cardWho(c *advice.Card) string {
	var parts []string
	for _, part := range []string{c.Producer, c.Crop, c.Area, c.Rig} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, " · ")
}

func cardPaper(c *advice.Card) string {
	if c.Units == unit.Metric {
		return "a4"
	}
	return "letter"
}

// cardWorking says how a figure of the card came about, a line for each part; none for what has no working.
func cardWorking(c *advice.Card, id working.ID) []string {
	f, ok := c.Figures.Get(id)
	if !ok || f.Expression == "" {
		return nil
	}
	lines := []string{"= " + f.Expression}
	for _, in := range f.Inputs {
		line := in.Label + ": " + in.Show(c.Units)
		if in.Origin.Kind == working.Assumed {
			line += ", ASSUMED: " + in.Origin.Why
		}
		lines = append(lines, line)
	}
	if s, ok := cite.Find(f.Source); ok {
		lines = append(lines, s.Text+" ("+string(f.Status)+")")
	}
	return lines
}
