package picture

import (
	"fmt"
	"strings"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/season"
)

// Response draws the gain over doing nothing against the rate, with the range that the evidence leaves.
type Response struct {
	r    advice.Response
	x, y Axis
	// Advised and At are the labels of the advised rate.
	Advised, At string
	Words       string
}

const (
	responseTop    = 30.0
	responseHeight = 220.0
)

// ResponseOf lays out the response to nitrogen in a reader's units.
func ResponseOf(r advice.Response, s unit.System) Response {
	var rates []float64
	gains := []float64{0}
	for _, p := range r.Points {
		rates = append(rates, float64(p.Rate))
		gains = append(gains, float64(p.Low), float64(p.High))
	}
	picture := Response{r: r, x: AxisOver(unit.KindRate, s, 6, append(rates, 0)...), y: AxisOver(r.GainKind, s, 4, gains...)}
	picture.x.before, picture.x.after = 0.09, 0.05
	picture.Advised = unit.Show(unit.KindRate, float64(r.Advised), s).String()
	if at, ok := nearest(r); ok {
		picture.At = gain(at, r.GainKind, s) + " more"
	}
	picture.Words = fmt.Sprintf("Gain over no top-dress against the rate spread, rising to %s at the advised %s", picture.At, picture.Advised)
	return picture
}

// gain writes a gain with its range, where the evidence leaves one.
func gain(p advice.ResponsePoint, k unit.Kind, s unit.System) string {
	if p.Low == p.High {
		return unit.Show(k, float64(p.Gain), s).String()
	}
	return unit.ShowRange(k, float64(p.Gain), float64(p.Low), float64(p.High), s)
}

// nearest is the point drawn nearest to the advised rate.
func nearest(r advice.Response) (advice.ResponsePoint, bool) {
	best, found := advice.ResponsePoint{}, false
	for _, p := range r.Points {
		if !found || abs(p.Rate-r.Advised) < abs(best.Rate-r.Advised) {
			best, found = p, true
		}
	}
	return best, found
}

func abs(r unit.Rate) unit.Rate {
	if r < 0 {
		return -r
	}
	return r
}

func (p Response) height(base float64) float64 {
	return responseTop + (1-p.y.share(base))*responseHeight
}

func (p Response) tickUp(t tick) string {
	return px(responseTop + (1-p.y.shareRead(t.read))*responseHeight)
}

// line joins the gains in a drawing a hundred wide.
func (p Response) line() string {
	var b strings.Builder
	for i, point := range p.r.Points {
		fmt.Fprintf(&b, "%s%.3f %.1f", pen(i), p.x.hundredths(float64(point.Rate)), p.height(float64(point.Gain)))
	}
	return b.String()
}

// band goes along the low ends and back along the high ends.
func (p Response) band() string {
	var b strings.Builder
	points := p.r.Points
	for i, point := range points {
		fmt.Fprintf(&b, "%s%.3f %.1f", pen(i), p.x.hundredths(float64(point.Rate)), p.height(float64(point.Low)))
	}
	for i := len(points) - 1; i >= 0; i-- {
		fmt.Fprintf(&b, "L%.3f %.1f", p.x.hundredths(float64(points[i].Rate)), p.height(float64(points[i].High)))
	}
	return b.String() + "Z"
}

// gainAt is the height of the curve at the advised rate.
func (p Response) gainAt() string {
	at, _ := nearest(p.r)
	return px(p.height(float64(at.Gain)))
}

// side puts the label of the advised rate where there is room.
func (p Response) side() (anchor, dx string) {
	if p.x.share(float64(p.r.Advised)) > 0.55 {
		return "end", "-12"
	}
	return "start", "12"
}

func (p Response) anchor() string { anchor, _ := p.side(); return anchor }
func (p Response) shift() string  { _, dx := p.side(); return dx }

func pen(i int) string {
	if i == 0 {
		return "M"
	}
	return "L"
}

// Plots draws the harvested plots of trials: yield against all the nitrogen each plot got.
type Plots struct {
	plots []season.Plot
	x, y  Axis
	Words string
}

const (
	plotsTop    = 24.0
	plotsHeight = 150.0
)

// PlotsOf lays out the plots in a reader's units; kind is that of the crop's yield.
func PlotsOf(plots []season.Plot, kind unit.Kind, s unit.System) Plots {
	rates, yields := []float64{0}, []float64{}
	for _, p := range plots {
		rates, yields = append(rates, float64(p.Rate)), append(yields, float64(p.Yield))
	}
	picture := Plots{plots: plots, x: AxisOver(unit.KindRate, s, 6, rates...), y: AxisOver(kind, s, 3, yields...)}
	picture.x.before, picture.x.after = 0.09, 0.05
	picture.Words = fmt.Sprintf("Yield against all nitrogen applied in %d harvested plots", len(plots))
	return picture
}

func (p Plots) up(base float64) string { return px(plotsTop + (1-p.y.share(base))*plotsHeight) }

func (p Plots) tickUp(t tick) string { return px(plotsTop + (1-p.y.shareRead(t.read))*plotsHeight) }
