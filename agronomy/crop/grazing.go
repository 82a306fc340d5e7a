package crop

import (
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// HollowStemLength is the hollow stem below the head, about the width of a dime, at which cattle leave wheat
// that is to make grain: 1.5 cm (cite.HollowStem), on the largest tillers of plants that were not grazed.
const HollowStemLength = 0.015 * unit.Metre

// LossPerDay is the most that grazing one day past first hollow stem takes from the grain, a share of the
// yield (cite.GrazingLoss: as much as 5 % a day).
const LossPerDay = 5 * unit.Percent

// HollowStem is what was last found of the hollow stem. Known is false when nobody split a stem.
type HollowStem struct {
	Known   bool
	Length  unit.Length
	Day     calendar.Day // when Length was found
	Reached bool
}

// FirstHollowStem tells whether the stem is hollow far enough for cattle to leave: the first walk that found
// it so, else the last walk that looked. Visits are in order of day. Canola has no such rule.
func FirstHollowStem(c season.Crop, visits []*season.Visit) HollowStem {
	var last HollowStem
	if !c.IsWheat() {
		return last
	}
	for _, v := range visits {
		if !v.HollowStem.Known() {
			continue
		}
		last = HollowStem{Known: true, Length: v.HollowStem.Value, Day: v.Day, Reached: v.HollowStem.Value >= HollowStemLength}
		if last.Reached {
			break
		}
	}
	return last
}

// CattleOff says that cattle must leave: the wheat is grazed, is to make grain, and first hollow stem has
// come.
func (h HollowStem) CattleOff(c season.Crop) bool { return h.Reached && c == season.WheatGrazed }

// GrazingLoss is the most grain that grazing some days past first hollow stem may cost: LossPerDay for each
// day, in a straight line, never more than the yield. 45 bushels and 6 days lose up to 13.5 (derived from
// cite.GrazingLoss). Days of zero or fewer cost nothing.
func GrazingLoss(y unit.Yield, late unit.Days) unit.Yield {
	share := min(1, max(0, float64(late)*float64(LossPerDay)))
	return unit.Yield(share) * y
}
