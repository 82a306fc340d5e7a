package crop

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/season"
)

// ThinStand is the share of a full stand below which a person should look before nitrogen is bought for it.
// Common practice, no source.
const ThinStand unit.Fraction = 0.5

// Stand is what walks found of the stand. Known is false when nobody noted one.
type Stand struct {
	Known bool
	Share unit.Fraction // of a full stand, as last noted
	Day   calendar.Day
	// Thin: below ThinStand.
	Thin bool
	// Thinning: at least a tenth of a full stand was lost since an earlier walk.
	Thinning bool
	// Wait: canola that is thinning or thin. Nitrogen waits until it is clear that the stand will carry to
	// harvest (cite.CanolaPlains).
	Wait   bool
	Why    string
	Source cite.Key
	Status cite.Status
}

// StandOf tells the state of the stand from walks in order of day.
func StandOf(c season.Crop, visits []*season.Visit) Stand {
	var s Stand
	best := unit.Fraction(0)
	for _, v := range visits {
		if !v.Stand.Known() {
			continue
		}
		s = Stand{Known: true, Share: v.Stand.Value, Day: v.Day}
		best = max(best, s.Share)
	}
	if !s.Known {
		return s
	}
	s.Thin = s.Share < ThinStand
	s.Thinning = best-s.Share >= 0.1-1e-9 // a tenth, whatever the rounding
	s.Wait = c == season.Canola && (s.Thin || s.Thinning)
	switch {
	case s.Wait:
		s.Why = "the stand is thin or thinning; wait until it is clear that it will carry to harvest"
		s.Source, s.Status = cite.CanolaPlains, cite.Confirmed
	case s.Thin:
		s.Why = "less than half a stand; look whether it is worth the nitrogen"
		s.Source, s.Status = cite.Practice, cite.CommonPractice
	}
	return s
}
