package ammonia

import (
	"math"

	"culm/agronomy/unit"
)

// LeastRain is the least rain in one event that is credited with carrying urea in: the least
// that was seen to do so, 4 mm within three hours at field capacity (Black et al. 1987). Other sources ask
// for more: 5 mm within two days gave good urea yields (Van Burg, Dilz and Prins 1982, quoted), a quarter
// inch is told in extension texts, half an inch in Montana; and scattered rains of less than 5 mm went with
// the largest losses there. An event is rain on days in a row; showers with dry days between are not added up.
const LeastRain = unit.Water(4)

// Slopes of the rain curve, per mm.
const (
	// washIn is fitted to 90 % less loss at 15 mm (Holcomb 2011): ln 10 / 15.
	washIn = math.Ln10 / 15
	// The published slopes run from 0.0727 (losses under 10 % after more than 18 mm where 37 % were lost
	// with little rain, Engel et al. 2011: ln 3.7 / 18) to 0.279 (4 mm within three hours, Black et al.
	// 1987: -ln(0.92/2.81) / 4). They are taken as the ends of an 80 % range: ln(0.279/0.0727) / 2.56.
	washInSpread = 0.525 // standard deviation of the logarithm
)

// Remaining is the share of the urea on the surface that one rain leaves there: exp(-k R), with k = ln 10 / 15
// per mm from Holcomb (2011), whose 8 mm left 28 % of the loss (19 of 67 kg N/ha). Rain below LeastRain
// leaves all.
func Remaining(rain unit.Water) unit.Fraction {
	var e event
	return unit.Fraction(math.Exp(-washIn * e.take(float64(rain))))
}

// event is the rain, mm, that has fallen on days in a row.
type event float64

// take adds a day's rain, mm, and gives how much more of the event now carries urea in, mm.
func (e *event) take(rain float64) float64 {
	before := e.carrying()
	*e += event(rain)
	return e.carrying() - before
}

func (e event) carrying() float64 {
	if e < event(LeastRain) {
		return 0
	}
	return float64(e)
}
