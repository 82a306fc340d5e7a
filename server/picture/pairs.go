package picture

import (
	"fmt"

	"culm/advice"
	"culm/agronomy/unit"
)

// Pairs draws paired readings: at each place along the strip the reading on the reference, the one beside
// it, and a stem between them.
type Pairs struct {
	points []advice.PairPoint
	x, y   Axis
	// Words say what a reader of the screen's text would miss.
	Words string
}

const (
	pairsTop    = 24.0
	pairsHeight = 190.0
)

// PairsOf lays out paired readings. The values are shown as they were read.
func PairsOf(points []advice.PairPoint, reference string) Pairs {
	var at, values []float64
	greener := 0
	for _, p := range points {
		at = append(at, p.At)
		values = append(values, p.Reference, p.Beside)
		if p.Reference > p.Beside {
			greener++
		}
	}
	p := Pairs{points: points, x: AxisOver("", unit.US, 6, at...), y: AxisOver("", unit.US, 4, values...)}
	p.x.before, p.x.after = 0.09, 0.03
	if n := len(points); n > 0 { // the readings fill the width, whatever round numbers lie beyond
		p.x.low, p.x.high = at[0], at[n-1]
		if n == 1 {
			p.x.low, p.x.high = at[0]-1, at[0]+1
		}
	}
	p.Words = fmt.Sprintf("%d of %d readings on the %s are higher than the reading beside it", greener, len(points), reference)
	return p
}

func (p Pairs) up(v float64) string { return px(p.height(p.y.shareRead(v))) }

func (p Pairs) height(share float64) float64 { return pairsTop + (1-share)*pairsHeight }

func (p Pairs) tickUp(t tick) string { return px(p.height(p.y.shareRead(t.read))) }

// labelled says that the stems stand far enough apart for the marks to be seen apart.
func (p Pairs) radius() string {
	if len(p.points) > 40 {
		return "3"
	}
	return "5"
}
