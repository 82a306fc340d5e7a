package fertilizer

import "culm/agronomy/unit"

// densityPoint is a line of the printed table of density against temperature.
type densityPoint struct {
	fahrenheit, poundPerGallon float64
}

// uan28Densities is 28 % solution by temperature [cite.UANDensity]. Read between its points it gives
// 10.67 lb/gal at 60 °F, which is the materials sheet's figure and not Nebraska's 10.65.
func uan28Densities() [4]densityPoint {
	return [4]densityPoint{{20, 10.78}, {30, 10.76}, {40, 10.74}, {80, 10.60}}
}

// DensityAt is a liquid's density at a temperature, between the lines of a printed table. It is false, with
// the density at 60 °F, where no table was found for the product or the temperature lies outside it: the
// table is of 28 % UAN from 20 to 80 °F.
func (p Product) DensityAt(t unit.Temperature) (unit.Density, bool) {
	if p.Key != UAN28Key {
		return p.Density.Value, false
	}
	f := t.Fahrenheit()
	points := uan28Densities()
	for i := 1; i < len(points); i++ {
		cold, warm := points[i-1], points[i]
		if f < cold.fahrenheit || f > warm.fahrenheit {
			continue
		}
		along := (f - cold.fahrenheit) / (warm.fahrenheit - cold.fahrenheit)
		lb := cold.poundPerGallon + along*(warm.poundPerGallon-cold.poundPerGallon)
		return unit.Density(lb) * unit.PoundPerGallon, true
	}
	return p.Density.Value, false
}
