package ground

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
)

// Leached is the share of nitrate lying at the surface that so much drainage carries below a depth, in soil of that
// field capacity: exp(-depth × capacity / drainage), Burns's equation as Scotter, White and Dyson write it
// [cite.Scotter1993]. It holds for nitrate alone; urea and ammonium must first turn to it. It refuses a negative
// drainage, and a depth or capacity that is none.
func Leached(drainage unit.Water, below unit.Length, capacity unit.Fraction) (unit.Fraction, error) {
	if !(drainage >= 0) || !(below > 0) || !(capacity > 0 && capacity < 1) {
		return 0, fmt.Errorf("ground: leaching of %v mm below %v m at a field capacity of %v; expected no negative drainage, a depth above 0 and a capacity between 0 and 1", drainage, below, capacity)
	}
	if drainage == 0 {
		return 0, nil
	}
	return unit.Fraction(math.Exp(-1000 * float64(below) * float64(capacity) / float64(drainage))), nil
}

// LeachedInLayers is Burns's own form [cite.Burns1975], the depth taken in layers of 1 cm: (I / (I +
// capacity))^depth, with drainage I and depth in cm. The exponent is from memory. The two forms agree within a
// hundredth or so.
func LeachedInLayers(drainage unit.Water, below unit.Length, capacity unit.Fraction) (unit.Fraction, error) {
	if _, err := Leached(drainage, below, capacity); err != nil {
		return 0, err
	}
	percolated := float64(drainage) / 10 // cm
	return unit.Fraction(math.Pow(percolated/(percolated+float64(capacity)), 100*float64(below))), nil
}

// LeachedFromLayer is the nitrate that so much water moving out of a layer takes along, as a public watershed model
// reckons it [cite.WatershedCode]: held × (1 - exp(-water / ((1 - excluded) × pores))), pores being the layer's
// water when saturated and excluded the share of them that nitrate keeps out of. It is the alternative to Leached
// for one layer with its own nitrate.
func LeachedFromLayer(held unit.Rate, moving, pores unit.Water, excluded unit.Fraction) (unit.Rate, error) {
	if !(held >= 0) || !(moving >= 0) || !(pores > 0) || !(excluded >= 0 && excluded < 1) {
		return 0, fmt.Errorf("ground: leaching of %v kg/ha by %v of %v mm, %v excluded; expected no negative amount, pores above 0 and less than all of them excluded", held, moving, pores, excluded)
	}
	return held * unit.Rate(1-math.Exp(-float64(moving)/((1-float64(excluded))*float64(pores)))), nil
}

// ScreeningIndex is Williams and Kissel's leaching index [cite.WilliamsKissel] of a hydrologic soil group, from a
// year's precipitation and that of October to March: inches of water expected to pass the root zone in a year,
// weighed by the season. Its constants are from memory. It screens places; it does not tell what becomes of a
// top-dressing, and no advice here follows from it.
func ScreeningIndex(group string, annual, winter unit.Water) (index float64, rating string, err error) {
	first := map[string]float64{"A": 10.28, "B": 15.05, "C": 19.53, "D": 22.67}
	second := map[string]float64{"A": 15.43, "B": 22.57, "C": 29.29, "D": 34.00}
	p, w := float64(annual/unit.InchOfWater), float64(winter/unit.InchOfWater)
	a, known := first[group]
	if !known || !(p > 0) || !(w >= 0 && w <= p) {
		return 0, "", fmt.Errorf("ground: leaching index of group %q with %.1f in a year, %.1f in of it from October to March; expected A to D, and no more in the half year than in the year", group, p, w)
	}
	if p > a {
		index = (p - a) * (p - a) / (p + second[group]) * math.Cbrt(2*w/p)
	}
	return index, rate(index), nil
}

// rate is the rating of Cornell's guide [cite.CornellLeaching].
func rate(index float64) string {
	switch {
	case index < 2:
		return "low"
	case index <= 10:
		return "intermediate"
	default:
		return "high"
	}
}
