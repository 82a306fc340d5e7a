package ground

import "culm/agronomy/unit"

// What the snow estimate takes for granted. That snow lies ten times as deep as its water is from memory
// [cite.SnowDensity]. The form of the melt is that of a public watershed model whose snow has the temperature of
// the day's mean [cite.WatershedCode]; its figures and the temperature that parts snow from rain are those that
// fitted the snow measured at Augsburg best in every second winter [cite.SnowAugsburg]. docs/snow.md shows how they
// do in the winters between.
const (
	snowToWater = 10
	// snowBelow is the mean of a day below which what falls counts as snow, °C.
	snowBelow = 1.75
	// meltPerDegree is the water that a day melts for each degree above meltAbove of the middle between its mean
	// and its high, mm.
	meltPerDegree = 2
	meltAbove     = 1.25
)

// snowHides is the water in a snow cover that hides the soil: about a centimetre of snow, mm.
const snowHides = 1

// Snow is the water held by the snow lying, mm.
type Snow unit.Water

// SnowOf is the water in snow of a depth.
func SnowOf(depth unit.Water) Snow { return Snow(depth / snowToWater) }

// Lies says that the snow hides the soil.
func (s Snow) Lies() bool { return s >= snowHides }

// RainOrSnow parts what fell on a day by its mean temperature, where nobody said what it was.
func RainOrSnow(fallen unit.Water, mean unit.Temperature) (rain unit.Water, snow Snow) {
	if mean < snowBelow {
		return 0, Snow(fallen)
	}
	return fallen, 0
}

// Next is the snow after a day on which so much rain and snow fell, and the water that reached the ground: the
// rain, which runs through a snow cover, and the melt. What falls and what lies at the start is what lies at the
// end and what reached the ground: nothing is lost to the air.
func (s Snow) Next(rain unit.Water, snow Snow, mean, high unit.Temperature) (Snow, unit.Water) {
	s += snow
	melt := min(s, meltPerDegree*Snow(max(0, (mean+high)/2-meltAbove)))
	return s - melt, rain + unit.Water(melt)
}
