// Package ground answers what the ground of a field is like on a day: how warm the soil, whether it is frozen,
// under snow, saturated or soft, how wet its surface, how much water ran off and how much went below the roots
// with the nitrate in it.
package ground
