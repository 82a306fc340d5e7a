package paper

import (
	"math"
	"strings"

	"culm/advice"
	"culm/season"

	"codeberg.org/go-pdf/fpdf"
)

// block is a small heading with lines under it.
type block struct {
	label string
	lines []line
}

// line is a paragraph of a block.
type line struct {
	style string
	// lead stands in a narrow column before the text: a day, a label.
	lead string
	text string
}

// head prints who and what the page is for.
func (s *sheet) head(h advice.Handout) {
	who := strings.Join(nonEmpty(h.Field, h.Producer, h.Crop, h.Area), "  ·  ")
	s.para(margin, s.width-2*margin, textSize, bold, who)
	s.para(margin, s.width-2*margin, textSize, regular, h.Day)
	if h.Invented {
		s.para(margin, s.width-2*margin, smallSize, bold, "INVENTED FOR DEMONSTRATION: place, people and numbers are made up")
	}
	s.Ln(2)
	s.rule(s.GetY(), 0.6)
	s.Ln(3)
}

// outlineSize is the side of the square the field's outline is drawn in.
const outlineSize = 34.0

// outline draws the field at the right of the sentence, north up.
func (s *sheet) outline(b *season.Boundary) {
	if b == nil || len(b.Polygons) == 0 {
		return
	}
	west, east, south, north := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, polygon := range b.Polygons {
		for _, p := range polygon[0] {
			west, east = math.Min(west, p.Lon), math.Max(east, p.Lon)
			south, north = math.Min(south, p.Lat), math.Max(north, p.Lat)
		}
	}
	shrink := math.Cos((south + north) / 2 * math.Pi / 180) // a degree of longitude is shorter than one of latitude
	across, up := (east-west)*shrink, north-south
	if across <= 0 || up <= 0 {
		return
	}
	size := outlineSize - 6
	scale := size / math.Max(across, up)
	left := s.width - margin - (outlineSize+across*scale)/2
	bottom := s.GetY() + 3 + (size+up*scale)/2
	s.SetLineWidth(0.4)
	s.SetFillColor(232, 232, 232)
	for _, polygon := range b.Polygons {
		for i, ring := range polygon {
			points := make([]fpdf.PointType, 0, len(ring))
			for _, p := range ring {
				points = append(points, fpdf.PointType{X: left + (p.Lon-west)*shrink*scale, Y: bottom - (p.Lat-south)*scale})
			}
			if i > 0 { // a hole is paper again
				s.SetFillColor(255, 255, 255)
			}
			s.Polygon(points, "FD")
			s.SetFillColor(232, 232, 232)
		}
	}
	s.set(bold, smallSize)
	x, y := s.width-margin-2.5, s.GetY()+3
	s.Text(x-1, y+1, "N")
	s.Line(x, y+2, x, y+7)
	s.Line(x, y+2, x-1, y+4)
	s.Line(x, y+2, x+1, y+4)
}

// decision prints the sentence at arm's-length size.
func (s *sheet) decision(h advice.Handout) {
	top := s.GetY()
	width := s.width - 2*margin - outlineSize - 4
	size := displaySize
	s.set(bold, size)
	for size > 11 && float64(len(s.SplitText(plain(h.Sentence), width)))*size*leading > 44 {
		size--
		s.set(bold, size)
	}
	s.para(margin, width, size, bold, h.Sentence)
	s.SetY(math.Max(s.GetY(), top+outlineSize) + 2)
}

// columns prints what stands behind the sentence: left what to do and why, right the days and the
// evidence. The type shrinks until all of it fits above the record at the foot.
func (s *sheet) columns(h advice.Handout) {
	left, right := leftBlocks(h), rightBlocks(h)
	top, gap := s.GetY(), 7.0
	width := (s.width - 2*margin - gap) / 2
	room := s.height - margin - recordHeight - footHeight - top
	size := s.largest(room, func(size float64) float64 {
		return math.Max(s.measure(left, width, size), s.measure(right, width, size))
	})
	s.print(left, margin, width, size)
	s.SetY(top)
	s.print(right, margin+width+gap, width, size)
}

// largest finds the largest type at which something is no higher than the room, by halving.
func (s *sheet) largest(room float64, height func(size float64) float64) float64 {
	if height(textSize) <= room {
		return textSize
	}
	small, large := smallestSize, textSize
	for large-small > 0.1 {
		if middle := (small + large) / 2; height(middle) <= room {
			small = middle
		} else {
			large = middle
		}
	}
	return small
}

func leftBlocks(h advice.Handout) []block {
	var blocks []block
	add := func(label string, lines []line) {
		if len(lines) > 0 {
			blocks = append(blocks, block{label, lines})
		}
	}
	add("What to do", labelled(h.Do))
	add("Why", texts(h.Reasons))
	add("Lime and nutrients", texts(h.Ground))
	add("Seen", texts(h.Seen))
	add("Set", texts(h.Set))
	add("Assumed, not seen", texts(h.Assumed))
	add("Not known", texts(h.Missing))
	return blocks
}

func rightBlocks(h advice.Handout) []block {
	var blocks []block
	add := func(label string, lines []line) {
		if len(lines) > 0 {
			blocks = append(blocks, block{label, lines})
		}
	}
	var days []line
	for _, d := range h.Days {
		style := regular
		if d.Best {
			style = bold
		}
		days = append(days, line{style: style, lead: d.Day, text: d.Words})
	}
	add("The coming days", days)
	add("Published ways of finding the rate", labelled(h.Ways))
	add("Doubts", texts(h.Doubts))
	add("Cautions", texts(h.Cautions))
	return blocks
}

func texts(list []string) []line {
	var lines []line
	for _, t := range list {
		lines = append(lines, line{lead: "–", text: t})
	}
	return lines
}

func labelled(list []advice.Line) []line {
	var lines []line
	for _, l := range list {
		style := regular
		if l.Lead {
			style = bold
		}
		lines = append(lines, line{style: style, lead: l.Label, text: l.Value})
	}
	return lines
}

// leadWidth is the width of the narrow column of a block: that of its longest lead, at most 45 % of the
// column.
func (s *sheet) leadWidth(b block, width, size float64) float64 {
	s.set(bold, size)
	widest := 0.0
	for _, l := range b.lines {
		if w := s.GetStringWidth(plain(l.lead)); l.lead != "" {
			widest = math.Max(widest, w+3)
		}
	}
	return math.Min(widest, 0.45*width)
}

func (s *sheet) measure(blocks []block, width, size float64) float64 {
	height := 0.0
	for _, b := range blocks {
		height += 2 + smallSize*leading
		lead := s.leadWidth(b, width, size)
		for _, l := range b.lines {
			height += float64(s.lineCount(l, lead, width, size)) * size * leading
		}
	}
	return height
}

func (s *sheet) lineCount(l line, lead, width, size float64) int {
	s.set(l.style, size)
	n := len(s.SplitText(plain(l.text), width-lead-2))
	if l.lead != "" && lead > 0 {
		n = max(n, len(s.SplitText(plain(l.lead), lead)))
	}
	return max(n, 1)
}

func (s *sheet) print(blocks []block, x, width, size float64) {
	for _, b := range blocks {
		s.label(x, width, b.label)
		lead := s.leadWidth(b, width, size)
		for _, l := range b.lines {
			top := s.GetY()
			if l.lead != "" {
				s.para(x, lead, size, l.style, l.lead)
			}
			s.SetY(top)
			s.para(x+lead, width-lead, size, l.style, l.text)
			s.SetY(top + float64(s.lineCount(l, lead, width, size))*size*leading)
		}
	}
}

// Heights kept free at the foot of the page, in mm.
const (
	recordHeight = 26.0
	footHeight   = 17.0
)

// record leaves room to note what was really spread.
func (s *sheet) record(p *advice.Plan) {
	s.SetY(s.height - margin - recordHeight - footHeight + 4)
	s.rule(s.GetY(), 0.2)
	s.label(margin, 120, "What was really spread")
	for _, blanks := range [][]string{{"Date", "Product", "Rate"}, {"By", "Weather", "Left out"}} {
		y := s.GetY() + 5.5
		width := (s.width - 2*margin) / float64(len(blanks))
		for i, b := range blanks {
			x := margin + float64(i)*width
			s.set(regular, textSize)
			s.Text(x, y, b)
			s.SetLineWidth(0.2)
			s.Line(x+s.GetStringWidth(b)+2, y+0.5, x+width-4, y+0.5)
		}
		s.SetY(y + 2)
	}
}

// foot prints sources and who decides.
func (s *sheet) foot(h advice.Handout) {
	y := s.height - margin - footHeight + 3
	s.rule(y, 0.6)
	s.SetY(y + 1.5)
	width := s.width - 2*margin
	s.para(margin, width, textSize-1, bold, h.Closing)
	text := "Sources: " + strings.Join(h.Sources, " · ")
	size := smallSize
	s.set(regular, size)
	for size > 4.5 && float64(len(s.SplitText(plain(text), width)))*size*leading > footHeight-6 {
		size -= 0.25
		s.set(regular, size)
	}
	if len(h.Sources) > 0 {
		s.para(margin, width, size, regular, text)
	}
}

func nonEmpty(list ...string) []string {
	var kept []string
	for _, s := range list {
		if s != "" {
			kept = append(kept, s)
		}
	}
	return kept
}
