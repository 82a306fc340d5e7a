package ground

import "culm/agronomy/unit"

// ElevenDayMean is the published estimate that ours is held against: soil at 10 cm as the weighted mean of the
// air's daily means of eleven days, the last weighing 11 and the first 1, as in the BIOME-BGC model
// [cite.BiomeBGC]. That the last day weighs most is our reading of it. See docs/soil-temperature.md for how far
// either is off.
func ElevenDayMean(means [11]unit.Temperature) unit.Temperature {
	total, weights := unit.Temperature(0), unit.Temperature(0)
	for i, mean := range means {
		total += mean * unit.Temperature(i+1)
		weights += unit.Temperature(i + 1)
	}
	return total / weights
}

// DrawnToYear is the second step of the BIOME-BGC model, for a place whose annual mean air temperature is known: it
// draws the estimate towards that mean, by a fifth on bare ground and by five sixths under snow.
func DrawnToYear(estimate, annual unit.Temperature, snow bool) unit.Temperature {
	share := unit.Temperature(0.20)
	if snow {
		share = 0.83
	}
	return estimate + share*(annual-estimate)
}
