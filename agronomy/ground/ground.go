// Package ground answers what the ground of a field is like on a day: how warm the soil, whether it is frozen,
// under snow, saturated or soft, how wet its surface, how much water ran off and how much went below the roots with
// the nitrate in it; and what a day's hours bring against spreading or spraying.
//
//	evapotranspiration.go   what the air takes: FAO-56, Hargreaves and Penman-Monteith
//	water.go, runoff.go     the bucket of the root zone and the layer that dries; curve numbers
//	snow.go, temperature.go snow and soil temperature from the air
//	leach.go                nitrate below the roots
//	course.go, verdict.go   a run of days, and the state of the ground with its chance and its reason
//	flag.go                 what speaks against a day: drift, inversion, burn, runoff, leaching
//
// What it leaves out: slope and where water gathers, compaction, tile drainage, residue on the surface, dew, and what
// a machine weighs. The limits from which ground is soft are settings, because publications agree only that they differ
// from soil to soil. It knows no rule of a state or a county: local rules and labels come first, whatever it says.
//
// docs/soil-temperature.md and docs/soil-water.md hold it against a station that measures its soil, failures included.
package ground
