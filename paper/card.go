package paper

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"culm/advice"
	"culm/agronomy/unit"

	"codeberg.org/go-pdf/fpdf"
)

// Card prints the operator's card: one page, the rate at arm's-length size, and room to write down what was really
// spread. The same card gives the same bytes.
func Card(c *advice.Card) ([]byte, error) {
	paperSize := "Letter"
	if c.Units == unit.Metric {
		paperSize = "A4"
	}
	s := &sheet{Fpdf: fpdf.New("P", "mm", paperSize, "")}
	s.open(c.Field+", operator's card, "+c.Made.String(), c.Made.Time())
	s.cardHead(c)
	s.cardColumns(c)
	s.cardRecord(c)
	var out bytes.Buffer
	if err := s.Output(&out); err != nil {
		return nil, fmt.Errorf("printing the card of field %s: %w", c.FieldID, err)
	}
	return out.Bytes(), nil
}

// rateSize is the size of the rate on a card.
const rateSize = 24.0

// cardHead prints whose field it is, the rate, and the sentence.
func (s *sheet) cardHead(c *advice.Card) {
	width := s.width - 2*margin
	who := strings.Join(nonEmpty(c.Field, c.Producer, c.Crop, c.Area), "  ·  ")
	s.para(margin, width, textSize+1, bold, who)
	s.para(margin, width, textSize, regular, strings.Join(nonEmpty(c.Rig, c.Day), "  ·  "))
	if c.Invented {
		s.para(margin, width, smallSize, bold, "INVENTED FOR DEMONSTRATION: place, people and numbers are made up")
	}
	s.Ln(2)
	s.rule(s.GetY(), 0.8)
	s.Ln(3)
	size := rateSize
	s.set(bold, size)
	for size > 13 && len(s.SplitText(plain(c.Head), width)) > 2 {
		size--
		s.set(bold, size)
	}
	s.para(margin, width, size, bold, c.Head)
	s.Ln(1)
	s.para(margin, width, textSize+0.5, regular, c.Sentence)
	if c.Placed != "" {
		s.Ln(0.5)
		s.para(margin, width, textSize, regular, c.Placed)
	}
	s.Ln(2)
	s.rule(s.GetY(), 0.8)
	s.Ln(1)
}

// cardRecordHeight is kept free at the foot, in mm.
const cardRecordHeight = 42.0

// cardColumns prints settings, loads and days on the left, when to stop, where not to go and what harms on the right.
func (s *sheet) cardColumns(c *advice.Card) {
	left := blocksOf(block{"Set", cardLines(c.Set)}, block{"Loads", cardLines(c.Loads)}, block{"Days", cardDays(c.Days)})
	right := blocksOf(block{"Stop when", texts(c.Stops)}, block{"Keep off", texts(c.Keep)}, block{"Safety", texts(c.Safety)}, block{"Doubts", texts(c.Doubts)})
	top, gap := s.GetY(), 7.0
	width := (s.width - 2*margin - gap) / 2
	room := s.height - margin - cardRecordHeight - top
	size := s.largest(room, func(size float64) float64 {
		return math.Max(s.measure(left, width, size), s.measure(right, width, size))
	})
	s.print(left, margin, width, size)
	s.SetY(top)
	s.print(right, margin+width+gap, width, size)
}

// blocksOf leaves the empty ones out.
func blocksOf(all ...block) []block {
	var kept []block
	for _, b := range all {
		if len(b.lines) > 0 {
			kept = append(kept, b)
		}
	}
	return kept
}

func cardLines(list []advice.CardLine) []line {
	var lines []line
	for _, l := range list {
		lines = append(lines, line{style: bold, lead: l.Label, text: l.Value})
	}
	return lines
}

func cardDays(days []advice.HandoutDay) []line {
	var lines []line
	for _, d := range days {
		style := regular
		if d.Best {
			style = bold
		}
		lines = append(lines, line{style: style, lead: d.Day, text: d.Words})
	}
	return lines
}

// cardRecord leaves room to write, four blanks to a row, and says where the card goes.
func (s *sheet) cardRecord(c *advice.Card) {
	s.SetY(s.height - margin - cardRecordHeight + 3)
	s.rule(s.GetY(), 0.4)
	s.label(margin, 120, "What was really spread")
	const across = 4
	width := (s.width - 2*margin) / across
	for i := 0; i < len(c.Record); i += across {
		y := s.GetY() + 9
		for j, blank := range c.Record[i:min(i+across, len(c.Record))] {
			x := margin + float64(j)*width
			s.SetLineWidth(0.2)
			s.Line(x, y, x+width-4, y)
			s.set(regular, smallSize)
			s.Text(x, y+3, plain(blank))
		}
		s.SetY(y + 3)
	}
	s.Ln(2)
	s.para(margin, s.width-2*margin, smallSize, bold, c.Closing)
}
