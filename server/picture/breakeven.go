package picture

import (
	"fmt"
	"html"
	"io"
	"strings"

	"culm/agronomy/placement"
	"culm/agronomy/unit"
)

// BreakEven draws the line between fans and streams as a picture that stands by itself: across the price of nitrogen, up
// the residue from which streams pay, the field as a cross and common practice as a band.
func BreakEven(w io.Writer, title string, curve []placement.Point, price unit.PricePerMass, residue unit.Fraction, units unit.System) error {
	if len(curve) < 2 {
		return fmt.Errorf("%d points make no line", len(curve))
	}
	d := &breakEvenDrawing{low: curve[0].Price, high: curve[len(curve)-1].Price}
	d.draw(`<text class="title" x="20" y="24">%s</text>`, html.EscapeString(title))
	d.axes(units)
	d.practice()
	d.line(curve)
	labelAt, anchor := -12.0, "end"
	x, y := d.x(min(max(price, d.low), d.high)), d.y(residue)
	if x < breakEvenLeft+90 { // no room on the left
		labelAt, anchor = 12, "start"
	}
	labelAt += x
	d.draw(`<path class="here" d="M%.1f %.1fl14 14m0 -14l-14 14"/><text class="small over" x="%.1f" y="%.1f" text-anchor="%s">this field</text>`, x-7, y-7, labelAt, y+4, anchor)
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="t d" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f">`+"\n", breakEvenWidth, breakEvenHeight, breakEvenWidth, breakEvenHeight)
	fmt.Fprintf(&out, "<title id=\"t\">%s</title>\n<desc id=\"d\">%s</desc>\n<style>%s</style>\n", html.EscapeString(title), html.EscapeString(breakEvenTable(curve, units)), breakEvenStyle)
	out.WriteString(d.body.String() + "</svg>\n")
	_, err := io.WriteString(w, out.String())
	return err
}

// Measures in pixels.
const (
	breakEvenWidth  = 640.0
	breakEvenHeight = 380.0
	breakEvenLeft   = 64.0
	breakEvenTop    = 44.0
	breakEvenRight  = 604.0
	breakEvenFoot   = 324.0
)

type breakEvenDrawing struct {
	low, high unit.PricePerMass
	body      strings.Builder
}

func (d *breakEvenDrawing) draw(format string, args ...any) {
	fmt.Fprintf(&d.body, format+"\n", args...)
}

func (d *breakEvenDrawing) x(p unit.PricePerMass) float64 {
	return breakEvenLeft + float64((p-d.low)/(d.high-d.low))*(breakEvenRight-breakEvenLeft)
}

func (d *breakEvenDrawing) y(r unit.Fraction) float64 {
	return breakEvenFoot - float64(r)*(breakEvenFoot-breakEvenTop)
}

func (d *breakEvenDrawing) axes(units unit.System) {
	d.draw(`<path class="base" d="M%.1f %.1fV%.1fH%.1f"/>`, breakEvenLeft, breakEvenTop, breakEvenFoot, breakEvenRight)
	for r := 0; r <= 100; r += 20 {
		d.draw(`<text class="small" x="%.1f" y="%.1f" text-anchor="end">%d %%</text>`, breakEvenLeft-8, d.y(unit.Fraction(r)/100)+4, r)
	}
	a := AxisOver(unit.KindNutrientPrice, units, 6, float64(d.low), float64(d.high))
	for v := a.low; v <= a.high+a.step/2; v += a.step {
		base := unit.PricePerMass(v / unit.Convert(unit.KindNutrientPrice, 1, units))
		if base < d.low*(1-1e-9) || base > d.high*(1+1e-9) {
			continue
		}
		d.draw(`<path class="tick" d="M%.1f %.1fv5"/><text class="small" x="%.1f" y="%.1f" text-anchor="middle">%s</text>`, d.x(base), breakEvenFoot, d.x(base), breakEvenFoot+20, unit.Show(unit.KindNutrientPrice, float64(base), units))
	}
	d.draw(`<text class="small" x="%.1f" y="%.1f" text-anchor="end">price of nitrogen</text>`, breakEvenRight, breakEvenFoot+42)
	d.draw(`<text class="small" x="%.1f" y="%.1f">residue showing</text>`, breakEvenLeft+8, breakEvenTop+2)
}

// practice marks where common practice changes from fans to streams, whatever nitrogen costs.
func (d *breakEvenDrawing) practice() {
	low, high := placement.PracticeBand()
	d.draw(`<rect class="band" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`, breakEvenLeft, d.y(high), breakEvenRight-breakEvenLeft, d.y(low)-d.y(high))
	d.draw(`<text class="small over" x="%.1f" y="%.1f" text-anchor="end">common practice: streams from %.0f to %.0f %%</text>`, breakEvenRight-6, d.y(high)-6, 100*float64(low), 100*float64(high))
}

func (d *breakEvenDrawing) line(curve []placement.Point) {
	var line []string
	for _, p := range curve {
		if !p.Never {
			line = append(line, fmt.Sprintf("%.1f %.1f", d.x(p.Price), d.y(p.Residue)))
		}
	}
	switch {
	case len(line) < 2:
		d.draw(`<text x="%.1f" y="%.1f" text-anchor="middle">fans at any residue</text>`, (breakEvenLeft+breakEvenRight)/2, (breakEvenTop+breakEvenFoot)/2)
	default:
		d.draw(`<path class="sum" d="M%s"/>`, strings.Join(line, "L"))
		d.draw(`<text class="over" x="%.1f" y="%.1f" text-anchor="end">streams pay</text><text class="over" x="%.1f" y="%.1f">fans pay</text>`, breakEvenRight-10, breakEvenTop+24, breakEvenLeft+14, breakEvenFoot-16)
	}
}

const breakEvenStyle = `svg{background:#fff;color:#161616;font:14px system-ui,sans-serif}text{fill:currentColor}` +
	`.title{font-weight:600}.small{font-size:12px;font-variant-numeric:tabular-nums}path{fill:none;stroke:currentColor}` +
	`.base{stroke-width:1.5}.sum{stroke-width:3}.here{stroke-width:3}.band{fill:currentColor;opacity:.14}.over{paint-order:stroke;stroke:#fff;stroke-width:4px}` +
	`@media(prefers-color-scheme:dark){svg{background:#14171a;color:#e8e6e1}.over{stroke:#14171a}}`

// told is how many points of the line stand for one that is told in words.
const told = 6

// breakEvenTable tells the line for who cannot see it.
func breakEvenTable(curve []placement.Point, units unit.System) string {
	var rows []string
	for i, p := range curve {
		if i%told > 0 {
			continue
		}
		from := fmt.Sprintf("from %.0f %% residue", 100*float64(p.Residue))
		if p.Never {
			from = "never"
		}
		rows = append(rows, unit.Show(unit.KindNutrientPrice, float64(p.Price), units).String()+": "+from)
	}
	return "Streams pay, by the price of nitrogen: " + strings.Join(rows, "; ") + "."
}
