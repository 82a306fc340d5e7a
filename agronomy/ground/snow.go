package ground

import "culm/agronomy/unit"

// What the snow estimate takes for granted [cite.SnowMelt]; both from memory, neither confirmed.
const (
	// snowToWater is how deep snow lies for each depth of water in it.
	snowToWater = 10
	// meltPerDegree is the snow that a day melts for each degree of its mean above freezing, mm of water.
	meltPerDegree = 3
)

// snowHides is the water in a snow cover that hides the soil: about a centimetre of snow, mm.
const snowHides = 1

// Snow is the water held by the snow lying, mm.
type Snow unit.Water

// SnowOf is the water in snow of a depth.
func SnowOf(depth unit.Water) Snow { return Snow(depth / snowToWater) }

// Lies says that the snow hides the soil.
func (s Snow) Lies() bool { return s >= snowHides }

// Next is the snow after a day on which fell so much water, and the water that reached the ground: rain that the
// snow did not hold, and melt. Rain of a day whose mean is below freezing counts as snow. What falls and what lies
// at the start is what lies at the end and what reached the ground: nothing is lost to the air.
//
// Rain that falls on a snow cover runs through it. At Augsburg, winters 2009 to 2018, without any measured depth,
// the estimate covered three quarters of the days on which snow lay (see TestSnowAgainstMeasured).
func (s Snow) Next(fallen unit.Water, mean unit.Temperature, fellAsSnow bool) (Snow, unit.Water) {
	liquid := fallen
	if fellAsSnow || mean < 0 {
		s += Snow(fallen)
		liquid = 0
	}
	melt := min(s, meltPerDegree*Snow(max(0, mean)))
	return s - melt, liquid + unit.Water(melt)
}
