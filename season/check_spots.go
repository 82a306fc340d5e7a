package season

import (
	"fmt"
	"math"
)

// spot looks at a marked place: on Earth, and near the field it is said to lie in.
func (c *checker) spot(e Entry, s *Spot) {
	if c.knownField(e, s.Field) {
		c.day(e, "spot "+s.ID, s.Field, s.Day)
	}
	what := "spot " + s.ID + " of field " + s.Field
	if !c.position(e, what, s.At) {
		return
	}
	away, known := c.fromField(s.Field, s.At)
	if !known || away <= farFromField {
		return
	}
	found := fmt.Sprintf("%.0f km away", away)
	if reversed, _ := c.fromField(s.Field, Position{Lon: s.At.Lat, Lat: s.At.Lon}); reversed <= farFromField {
		c.say(e, wrong("lat", "latitude and longitude of "+what+" look reversed", found, "a place in the field"))
		return
	}
	c.say(e, doubt("lat", what+" lies far from its field", found, "a place in the field"))
}

// fromField is the distance to the nearest corner of a field's outline, km: near enough to tell a place in
// the field from one in another county.
func (c *checker) fromField(field string, at Position) (km float64, known bool) {
	b := c.season.Boundaries[field]
	if b == nil {
		return 0, false
	}
	km = math.Inf(1)
	for _, polygon := range b.Polygons {
		for _, ring := range polygon {
			for _, p := range ring {
				north := (p.Lat - at.Lat) * kmPerDegree
				east := (p.Lon - at.Lon) * kmPerDegree * math.Cos(at.Lat*math.Pi/180)
				km = min(km, math.Hypot(north, east))
			}
		}
	}
	return km, !math.IsInf(km, 1)
}

// pairs doubts spots that have no counterpart: a poor spot tells little without the good ground beside it.
func (c *checker) pairs() {
	type pair struct{ field, name string }
	has := map[pair]map[SpotKind]bool{}
	for _, e := range c.standing {
		if s, ok := e.Body.(*Spot); ok {
			k := pair{s.Field, s.Pair}
			if has[k] == nil {
				has[k] = map[SpotKind]bool{}
			}
			has[k][s.Spot] = true
		}
	}
	for _, e := range c.standing {
		s, ok := e.Body.(*Spot)
		switch {
		case !ok:
		case s.Pair == "":
			c.say(e, doubt("pair", "spot "+s.ID+" of field "+s.Field+" belongs to no pair, so it is compared with nothing", "", "the name of its pair"))
		case !has[pair{s.Field, s.Pair}][counterpart(s.Spot)]:
			c.say(e, doubt("pair", "pair "+s.Pair+" of field "+s.Field+" has no "+string(counterpart(s.Spot))+" spot", string(s.Spot)+" only", "a poor and a good spot"))
		}
	}
}

func counterpart(k SpotKind) SpotKind {
	if k == PoorSpot {
		return GoodSpot
	}
	return PoorSpot
}
