package ghcn

import (
	"cmp"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// SoilReading is the lowest or highest temperature of the soil on a day at one depth under one cover.
type SoilReading struct {
	Day   calendar.Day
	Depth unit.Length
	// Cover is the network's digit for what grows or lies over the thermometer: 1 is grass, 3 is bare ground.
	Cover int
	// Highest is true for the day's highest (SX), false for its lowest (SN).
	Highest     bool
	Temperature unit.Temperature
}

// isSoil says that an element is a soil temperature: SN or SX, a digit for the cover and one for the depth.
func isSoil(element string) bool {
	return len(element) == 4 && element[0] == 'S' && (element[1] == 'N' || element[1] == 'X') &&
		element[2] >= '0' && element[2] <= '9' && element[3] >= '0' && element[3] <= '9'
}

// soilDepth is the depth of an element's last digit; the network has depths without a digit known here.
func soilDepth(digit byte) (unit.Length, bool) {
	switch digit {
	case '1':
		return 0.05 * unit.Metre, true
	case '2':
		return 0.10 * unit.Metre, true
	case '3':
		return 0.20 * unit.Metre, true
	case '4':
		return 0.50 * unit.Metre, true
	case '5':
		return 1.00 * unit.Metre, true
	default:
		return 0, false
	}
}

func (r *reader) putSoil(v value) {
	depth, known := soilDepth(v.element[3])
	switch {
	case !known:
		r.count(tally{v.element, "the depth of the soil temperature is not known here; it is left out", "a last digit from 1 to 5"}, v.line, v.day.String())
	case v.number < coldest || v.number > 900:
		r.count(tally{v.element, "a value cannot be and is left out", "what soil can reach"}, v.line, v.day.String()+": "+itoa(v.number))
	default:
		r.soil = append(r.soil, SoilReading{
			Day: v.day, Depth: depth, Cover: int(v.element[2] - '0'), Highest: v.element[1] == 'X',
			Temperature: unit.Temperature(v.number) / 10,
		})
	}
}

func sortedSoil(soil []SoilReading) []SoilReading {
	slices.SortStableFunc(soil, func(a, b SoilReading) int {
		return cmp.Or(a.Day.Sub(b.Day), cmp.Compare(a.Cover, b.Cover), cmp.Compare(a.Depth, b.Depth))
	})
	return soil
}
