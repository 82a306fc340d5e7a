package picture

import (
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"culm/agronomy/equipment"
	"culm/agronomy/unit"
)

// Pattern draws a spreader's pan test as a picture that stands by itself: what one pass threw, pan by pan, and below it
// the passes side by side with their sum, for either way of driving. Its table is what culm spreader prints, and is
// told in the picture's description. Ink on paper: passes are thin, those driven the other way dashed, the sum is
// thick and the average dotted.
func Pattern(w io.Writer, s *equipment.Spreader, units unit.System) error {
	d := &patternDrawing{units: units}
	d.scaleTo(s)
	d.single(s)
	for i := range s.Ways {
		d.driven(s, &s.Ways[i])
	}
	_, err := io.WriteString(w, d.document(s))
	return err
}

// Measures in pixels.
const (
	patternWidth = 760.0
	patternLeft  = 64.0
	patternRight = 24.0
	panelHeight  = 130.0
	panelHead    = 46.0
	panelFoot    = 34.0
)

type patternDrawing struct {
	units unit.System
	body  strings.Builder
	reach float64 // metres to either side that are drawn
	most  float64 // grams at the top of a panel
	top   float64 // of the panel being drawn
}

func (d *patternDrawing) scaleTo(s *equipment.Spreader) {
	reach := s.Pattern.Reach()
	for i := range s.Ways {
		if at, known := s.Ways[i].At(); known {
			reach = max(reach, at.Swath*1.5)
		}
	}
	d.reach = float64(reach) * 1.04
	for _, p := range s.Pattern.Pans() {
		d.most = max(d.most, float64(p.Caught)*1000)
	}
	for i := range s.Ways {
		at, known := s.Ways[i].At()
		if !known {
			continue
		}
		sums, err := s.Pattern.Sum(at.Swath, s.Ways[i].Driving)
		if err != nil {
			continue // a swath that was tested can be added up
		}
		for _, p := range sums {
			d.most = max(d.most, float64(p.Caught)*1000)
		}
	}
	d.most *= 1.08
}

func (d *patternDrawing) x(metres float64) float64 {
	return patternLeft + (metres+d.reach)/(2*d.reach)*(patternWidth-patternLeft-patternRight)
}

func (d *patternDrawing) y(grams float64) float64 {
	return d.top + panelHead + panelHeight*(1-grams/d.most)
}

func (d *patternDrawing) draw(format string, args ...any) { fmt.Fprintf(&d.body, format+"\n", args...) }

// panel opens a panel with its title, base line and scales.
func (d *patternDrawing) panel(title string) {
	d.draw(`<text class="title" x="%.1f" y="%.1f">%s</text>`, patternLeft, d.top+20, html.EscapeString(title))
	base := d.y(0)
	d.draw(`<path class="base" d="M%.1f %.1fH%.1f"/>`, d.x(-d.reach), base, d.x(d.reach))
	perRead, symbol := 1.0, "m"
	if d.units != unit.Metric {
		perRead, symbol = float64(unit.Foot), "ft"
	}
	step := roundStep(2 * d.reach / perRead / 8)
	for v := -math.Floor(d.reach/perRead/step) * step; v <= d.reach/perRead; v += step {
		label := fmt.Sprintf("%g", math.Abs(math.Round(v*100)/100))
		if math.Abs(v) < step/2 {
			label = "0 " + symbol
		}
		d.draw(`<path class="tick" d="M%.1f %.1fv5"/><text class="small" x="%.1f" y="%.1f" text-anchor="middle">%s</text>`, d.x(v*perRead), base, d.x(v*perRead), base+18, label)
	}
	d.draw(`<text class="small" x="%.1f" y="%.1f">left</text><text class="small" x="%.1f" y="%.1f" text-anchor="end">right</text>`, d.x(-d.reach), base+18, d.x(d.reach), base+18)
	grams := roundStep(d.most / 3)
	for v := 0.0; v <= d.most; v += grams {
		d.draw(`<text class="small" x="%.1f" y="%.1f" text-anchor="end">%g g</text>`, patternLeft-8, d.y(v)+4, math.Round(v*1000)/1000)
	}
}

// single draws one pass: a stroke for each pan, as tall as what it caught.
func (d *patternDrawing) single(s *equipment.Spreader) {
	title := fmt.Sprintf("One pass, %d pans", len(s.Pattern.Pans()))
	if s.HasEffective {
		title += "; the quick rule makes it " + patternLength(s.Effective, d.units) + " wide"
	}
	d.panel(title)
	filled := map[unit.Length]bool{}
	for _, at := range s.Pattern.Filled() {
		filled[at] = true
	}
	for _, p := range s.Pattern.Pans() {
		x, y := d.x(float64(p.At)), d.y(float64(p.Caught)*1000)
		class := "pan"
		if filled[p.At] {
			class = "guess" // nobody stood a pan here
		}
		d.draw(`<path class="%s" d="M%.1f %.1fV%.1f"/><circle class="%s-head" cx="%.1f" cy="%.1f" r="3"/>`, class, x, d.y(0), y, class, x, y)
	}
	d.draw(`<path class="middle" d="M%.1f %.1fV%.1f"/>`, d.x(0), d.y(d.most), d.y(0))
	d.top += panelHead + panelHeight + panelFoot
}

// driven draws the passes side by side and their sum.
func (d *patternDrawing) driven(s *equipment.Spreader, w *equipment.Driven) {
	at, known := w.At()
	way := "Round and round"
	if w.Driving == equipment.BackAndForth {
		way = "Back and forth"
	}
	if !known {
		d.panel(fmt.Sprintf("%s: no swath keeps within %.0f %%", way, 100*float64(s.Limit)))
		d.top += panelHead + panelHeight + panelFoot
		return
	}
	d.panel(fmt.Sprintf("%s at %s: %.1f %% variation, %s", way, patternLength(at.Swath, d.units), 100*float64(at.CV), equipment.Verdict(at.CV)))
	swath := float64(at.Swath)
	first := int(math.Ceil((-d.reach - float64(s.Pattern.Reach())) / swath))
	for k := first; float64(k)*swath <= d.reach+float64(s.Pattern.Reach()); k++ {
		turned := w.Driving == equipment.BackAndForth && k&1 != 0
		d.pass(s.Pattern, float64(k)*swath, turned)
	}
	d.sum(s.Pattern, w.Driving, at)
	d.top += panelHead + panelHeight + panelFoot
}

// pass draws one pass about its middle, as far as the picture goes.
func (d *patternDrawing) pass(p *equipment.Pattern, middle float64, turned bool) {
	var line []string
	for _, pan := range p.Pans() {
		x := float64(pan.At)
		if turned {
			x = -x
		}
		if x += middle; math.Abs(x) <= d.reach {
			line = append(line, fmt.Sprintf("%.1f %.1f", d.x(x), d.y(float64(pan.Caught)*1000)))
		}
	}
	class := "pass"
	if turned {
		class = "pass turned"
	}
	if len(line) > 1 {
		d.draw(`<path class="%s" d="M%s"/>`, class, strings.Join(line, "L"))
	}
	if math.Abs(middle) <= d.reach {
		d.draw(`<path class="wheel" d="M%.1f %.1fl4 7h-8z"/>`, d.x(middle), d.y(0)+1)
	}
}

// sum draws what falls in all, and the average.
func (d *patternDrawing) sum(p *equipment.Pattern, way equipment.Driving, at equipment.Evenness) {
	sums, err := p.Sum(at.Swath, way)
	if err != nil || len(sums) < 2 {
		return
	}
	step := float64(sums[1].At)
	var line []string
	for i := int(math.Ceil(-d.reach / step)); float64(i)*step <= d.reach; i++ {
		k := ((i % len(sums)) + len(sums)) % len(sums)
		line = append(line, fmt.Sprintf("%.1f %.1f", d.x(float64(i)*step), d.y(float64(sums[k].Caught)*1000)))
	}
	d.draw(`<path class="sum" d="M%s"/>`, strings.Join(line, "L"))
	mean := d.y(float64(at.Mean) * 1000)
	d.draw(`<path class="mean" d="M%.1f %.1fH%.1f"/>`, d.x(-d.reach), mean, d.x(d.reach))
	d.draw(`<text class="small over" x="%.1f" y="%.1f" text-anchor="end">average %.3g g</text>`, d.x(d.reach), mean+17, float64(at.Mean)*1000)
}

// patternStyle is ink on paper, and light on dusk where the reader has chosen that.
const patternStyle = `svg{background:#fff;color:#161616;font:14px system-ui,sans-serif}` +
	`.title{font-weight:600;fill:currentColor}.small{font-size:12px;fill:currentColor;font-variant-numeric:tabular-nums}` +
	`path{fill:none;stroke:currentColor}.base{stroke-width:1.5}.tick,.pass{stroke-width:1}.pass{opacity:.75}.turned{stroke-dasharray:6 4}` +
	`.pan{stroke-width:3}.pan-head{fill:currentColor}.guess{stroke-width:1.5;stroke-dasharray:2 3}.guess-head{fill:#fff;stroke:currentColor}` +
	`.over{paint-order:stroke;stroke:#fff;stroke-width:4px}.middle{stroke-width:1;stroke-dasharray:1 5}.sum{stroke-width:3}.mean{stroke-width:1.5;stroke-dasharray:2 4}.wheel{fill:currentColor;stroke:none}` +
	`@media(prefers-color-scheme:dark){svg{background:#14171a;color:#e8e6e1}.guess-head{fill:#14171a}.over{stroke:#14171a}}`

func (d *patternDrawing) document(s *equipment.Spreader) string {
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="t d" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f">`+"\n", patternWidth, d.top, patternWidth, d.top)
	fmt.Fprintf(&out, "<title id=\"t\">A spreader's pattern: one pass, and the passes added up</title>\n<desc id=\"d\">%s</desc>\n<style>%s</style>\n", html.EscapeString(d.table(s)), patternStyle)
	out.WriteString(d.body.String())
	out.WriteString("</svg>\n")
	return out.String()
}

// table tells the swaths and how even they are, for who cannot see the picture.
func (d *patternDrawing) table(s *equipment.Spreader) string {
	var rows []string
	for i, a := range s.Ways[0].Curve {
		rows = append(rows, fmt.Sprintf("%s: %.1f %% round and round, %.1f %% back and forth", patternLength(a.Swath, d.units), 100*float64(a.CV), 100*float64(s.Ways[1].Curve[i].CV)))
	}
	return "Variation by swath. " + strings.Join(rows, "; ") + "."
}

func patternLength(x unit.Length, s unit.System) string {
	if s == unit.Metric {
		return fmt.Sprintf("%.3g m", float64(x))
	}
	return fmt.Sprintf("%.3g ft", float64(x/unit.Foot))
}
