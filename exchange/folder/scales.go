package folder

import (
	"math"

	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/season"
)

// The units in which a column may be written, each an exact fraction of the base unit: pound 0.45359237 kg,
// acre 0.40468564224 ha, inch 25.4 mm, foot 0.3048 m, mile per hour 0.44704 m/s. The first unit for a
// reader's system is the one that Write uses.

const (
	us     = unit.US
	metric = unit.Metric
)

// One pound per acre is 45359237000 ÷ 40468564224 kg/ha.
const (
	poundPerAcreNum = 45359237000
	poundPerAcreDen = 40468564224
)

// poundNum ÷ poundDen is a pound in kilograms.
const (
	poundNum = 45359237
	poundDen = 100000000
)

func plainNumber() []scale { return []scale{newScale("", "", "", 1, 1)} }

func rates() []scale {
	return []scale{
		newScale("lb_ac", "lb/ac", us, poundPerAcreNum, poundPerAcreDen),
		newScale("kg_ha", "kg/ha", metric, 1, 1),
	}
}

func areas() []scale {
	return []scale{
		newScale("ac", "ac", us, 40468564224, 100000000000),
		newScale("ha", "ha", metric, 1, 1),
	}
}

func masses() []scale {
	return []scale{
		newScale("lb", "lb", us, poundNum, poundDen),
		newScale("kg", "kg", metric, 1, 1),
		newScale("t", "t", metric, 1000, 1),
	}
}

func days() []scale { return []scale{newScale("d", "days", "", 1, 1), newScale("", "d", "", 1, 1)} }

func distances() []scale {
	return []scale{newScale("ft", "ft", us, 3048, 10000), newScale("m", "m", metric, 1, 1)}
}

func roads() []scale {
	return []scale{newScale("mi", "mi", us, 1609344, 1000), newScale("km", "km", metric, 1000, 1), newScale("m", "m", metric, 1, 1)}
}

func depths() []scale {
	return []scale{newScale("in", "in", us, 254, 10000), newScale("cm", "cm", metric, 1, 100)}
}

func stems() []scale {
	return []scale{newScale("cm", "cm", "", 1, 100), newScale("in", "in", us, 254, 10000), newScale("mm", "mm", metric, 1, 1000)}
}

func percents() []scale { return []scale{newScale("pct", "%", "", 1, 100)} }

func freshMasses() []scale {
	return []scale{
		newScale("kg_m2", "kg/m2", "", 10000, 1),
		newScale("lb_ac", "lb/ac", us, poundPerAcreNum, poundPerAcreDen),
	}
}

func temperatures() []scale {
	fahrenheit := newScale("f", "°F", us, 5, 9)
	fahrenheit.shift = -32
	return []scale{fahrenheit, newScale("c", "°C", metric, 1, 1)}
}

func rains() []scale {
	return []scale{newScale("in", "in", us, 254, 10), newScale("mm", "mm", metric, 1, 1)}
}

func snows() []scale {
	return []scale{newScale("in", "in", us, 254, 10), newScale("cm", "cm", metric, 10, 1), newScale("mm", "mm", metric, 1, 1)}
}

func winds() []scale {
	return []scale{
		newScale("mph", "mph", us, 44704, 100000),
		newScale("km_h", "km/h", metric, 10, 36),
		newScale("m_s", "m/s", metric, 1, 1),
	}
}

// bushelPounds is the weight of a bushel; 0 for a crop that is not known.
func bushelPounds(c season.Crop) uint64 {
	switch {
	case c.IsWheat():
		return 60
	case c == season.Canola:
		return 50
	default:
		return 0
	}
}

// yields are the units of a crop's yield. Without a known crop there are no bushels.
func yields(c season.Crop) []scale {
	mass := []scale{
		newScale("lb_ac", "lb/ac", us, poundPerAcreNum, poundPerAcreDen),
		newScale("t_ha", "t/ha", metric, 1000, 1),
		newScale("kg_ha", "kg/ha", metric, 1, 1),
	}
	if pounds := bushelPounds(c); pounds != 0 {
		return append([]scale{newScale("bu_ac", "bu/ac", us, pounds*poundPerAcreNum, poundPerAcreDen)}, mass...)
	}
	return mass
}

// prices are the units in which an item is priced; see season.Price for what an item is.
func prices(item string) []scale {
	per := func(symbol string, system unit.System, pounds uint64) scale {
		return newScale("", symbol, system, poundDen, pounds*poundNum)
	}
	pound, kilogram := per("$/lb", us, 1), newScale("", "$/kg", metric, 1, 1)
	ton, tonne := per("$/ton", us, 2000), newScale("", "$/t", metric, 1, 1000)
	switch {
	case isPass(item):
		return []scale{newScale("", "$/ac", us, 100000000000, 40468564224), newScale("", "$/ha", metric, 1, 1)}
	case item == "wheat":
		return []scale{per("$/bu", us, 60), tonne, kilogram, pound, ton}
	case item == "canola":
		return []scale{per("$/bu", us, 50), tonne, kilogram, pound, per("$/cwt", us, 100), ton}
	case item == "gain":
		return []scale{pound, kilogram, per("$/cwt", us, 100)}
	default:
		return append([]scale{ton, tonne, pound, kilogram}, byVolume(item)...)
	}
}

// byVolume are the units of volume in which a liquid product is priced, at its density at 60 °F as the catalogue of
// products has it, to a hundredth of a pound per gallon.
func byVolume(item string) []scale {
	p, ok := fertilizer.Find(item)
	if !ok || p.Form != fertilizer.Liquid {
		return nil
	}
	hundredths := uint64(math.Round(float64(p.Density.Value/unit.PoundPerGallon) * 100))
	return []scale{newScale("", "$/gal", us, 100*poundDen, hundredths*poundNum)}
}

// forSystem is the first of the units that a reader of the system uses.
func forSystem(scales []scale, system unit.System) int {
	for i, s := range scales {
		if s.system == system || s.system == "" {
			return i
		}
	}
	return 0
}
