// Package crop tells how far winter wheat or winter canola has come and how long top-dressed nitrogen can
// still make yield: until the stem begins to lengthen. It knows the stages people note on a walk, the
// hollow stem that ends grazing, thin stands, and the leaf number that degree days give in fall.
//
// No published model that may be used here foretells the day of stem elongation; McMaster and Smika 1988
// (cite.McMasterSmika1988) found that the calendar does it best. So an observed stage counts for more than
// anything computed. A day that is not seen is a usual date from a table, with a wide margin, shown as assumed;
// or, where the stage was seen in earlier springs of the field, the day on which this spring has been as warm.
package crop

import (
	"fmt"

	"culm/agronomy/cite"
	"culm/season"
)

// elongation is the stage at which the stem begins to lengthen, on one scale. Scales are not translated into
// each other: publications disagree on the pairing.
type elongation struct {
	// near is the stage from which it is a matter of days; no earlier than begun where no stage tells.
	near float64
	// begun is the stage at which it has begun and the time for top-dressing is over.
	begun  float64
	name   string
	source cite.Key
}

// elongationOf gives the stage for a crop on a scale; false for a scale not made for the crop.
func elongationOf(c season.Crop, s season.StageScale) (elongation, bool) {
	switch {
	case c.IsWheat() && s == season.Feekes:
		return elongation{near: 5, begun: 6, name: "Feekes 6, the first node", source: cite.Feekes1954}, true
	case c.IsWheat() && (s == season.Zadoks || s == season.BBCH):
		return elongation{near: 30, begun: 31, name: "stage 31, the first node", source: cite.CerealStages}, true
	case c == season.Canola && s == season.BBCH:
		return elongation{near: 30, begun: 30, name: "stage 30, bolting", source: cite.CanolaStages}, true
	default:
		return elongation{}, false
	}
}

// sighting is a walk that tells something of the stage.
type sighting struct {
	visit *season.Visit
	elongation
	isNear, past bool
}

// sightings picks the walks that noted a stage of the crop, in the order given, and lists in words the notes
// that could not be read.
func sightings(c season.Crop, visits []*season.Visit) (seen []sighting, unread []string) {
	for _, v := range visits {
		if v.Scale == "" {
			continue
		}
		e, fits := elongationOf(c, v.Scale)
		if !fits {
			unread = append(unread, fmt.Sprintf("the stage noted on %s is on the %s scale, which is not one for %s", v.Day.Spoken(), v.Scale, c))
			continue
		}
		seen = append(seen, sighting{visit: v, elongation: e, isNear: v.Stage >= e.near, past: v.Stage >= e.begun})
	}
	return seen, unread
}
