package ground

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
)

// WetBulb is the wet-bulb temperature from the temperature and relative humidity of the air, for sea level
// (Stull 2011 [cite.Stull2011]). Its error is -1 to +0.65 C. It refuses what the fit does not cover: humidity
// below 5 or above 99 %, temperature below -20 or above 50 C. In dry cold (below about 5 % of humidity per ten
// degrees of frost) it is off by more.
func WetBulb(air unit.Temperature, humidity unit.Fraction) (unit.Temperature, error) {
	t, rh := float64(air), 100*float64(humidity)
	if !(t >= -20 && t <= 50) || !(rh >= 5 && rh <= 99) {
		return 0, fmt.Errorf("ground: no wet bulb for %.1f °C and %.0f %% humidity; expected -20 to 50 °C and 5 to 99 %%", t, rh)
	}
	w := t*math.Atan(0.151977*math.Sqrt(rh+8.313659)) +
		math.Atan(t+rh) - math.Atan(rh-1.676331) +
		0.00391838*math.Pow(rh, 1.5)*math.Atan(0.023101*rh) - 4.686035
	return unit.Temperature(w), nil
}

// DeltaT is how far the wet bulb lies below the dry one: how fast a fine droplet dries. The guideline
// [cite.DeltaTGuideline] calls 2 to 8 C ideal and below 2 or above 10 a caution. It is about the life of fine
// droplets; streams of nitrogen solution are coarse.
func DeltaT(air unit.Temperature, humidity unit.Fraction) (unit.Temperature, error) {
	wet, err := WetBulb(air, humidity)
	return air - wet, err
}
