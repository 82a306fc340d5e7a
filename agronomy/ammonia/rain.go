package ammonia

import (
	"math"

	"culm/agronomy/unit"
)

// LeastRain is the least rain in one day that is credited with carrying urea in. Sources differ: 5 mm
// within two days gave good urea yields (Van Burg, Dilz and Prins 1982, quoted), a quarter inch is told in
// extension texts, Montana asks for half an inch, and Black et al. (1987) saw 2 mm again and again make the
// loss worse. Days are not added up: two showers of 4 mm count for nothing.
const LeastRain = unit.Water(5)

// Slopes of the rain curve, per mm.
const (
	// washIn is fitted to 90 % less loss at 15 mm (Holcomb 2011): ln 10 / 15.
	washIn = math.Ln10 / 15
	// washInBest is what 4 mm within three hours did (Black et al. 1987): -ln(0.92/2.81) / 4.
	washInBest = 0.279
	// washInPoorest is the least that agrees with losses under 10 % after more than 18 mm, where 37 % (the
	// middle of 30 to 44) were lost with little rain (Engel et al. 2011): ln 3.7 / 18.
	washInPoorest = 0.0727
)

// Remaining is the share of the urea on the surface that a day's rain leaves there: exp(-k R), with
// k = ln 10 / 15 per mm from Holcomb (2011), whose 8 mm left 28 % of the loss (19 of 67 kg N/ha). Rain below
// LeastRain leaves all.
func Remaining(rain unit.Water) unit.Fraction {
	return unit.Fraction(remaining(float64(rain), washIn))
}

func remaining(rain, perMillimetre float64) float64 {
	if rain < float64(LeastRain) {
		return 1
	}
	return math.Exp(-perMillimetre * rain)
}
