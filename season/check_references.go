package season

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
)

// unknowns counts references that lead nowhere, so that a field that is missing from the list is one problem
// and not one for each of its readings.
type unknowns struct {
	order []unknown
	times map[unknown]int
	first map[unknown]Entry
}

type unknown struct{ file, what, id string }

func (u *unknowns) note(e Entry, what, id string) {
	k := unknown{e.Where.File, what, id}
	if u.times == nil {
		u.times, u.first = map[unknown]int{}, map[unknown]Entry{}
	}
	if u.times[k] == 0 {
		u.order = append(u.order, k)
		u.first[k] = e
	}
	u.times[k]++
}

// strangers reports the references that lead nowhere, each at its first place. Where there are no settings
// and no fields at all, what went wrong is somewhere else.
func (c *checker) strangers() {
	if len(c.season.Fields) == 0 && c.season.Settings.HarvestYear == 0 {
		return
	}
	for _, k := range c.unknown.order {
		message := fmt.Sprintf("there is no %s with this id", k.what)
		if n := c.unknown.times[k]; n > 1 {
			message = fmt.Sprintf("there is no %s with this id, which stands %d times in this file", k.what, n)
		}
		c.say(c.unknown.first[k], wrong(k.what, message, `"`+k.id+`"`, "one of: "+c.ids(k.what)))
	}
}

// ids lists some of the ids that there are.
func (c *checker) ids(what string) string {
	var ids []string
	switch what {
	case "field":
		for _, f := range c.season.Fields {
			ids = append(ids, f.ID)
		}
	case "producer":
		for _, p := range c.season.Producers {
			ids = append(ids, p.ID)
		}
	case "station":
		for _, e := range c.standing {
			if s, ok := e.Body.(*Station); ok {
				ids = append(ids, s.ID)
			}
		}
	}
	return someOf(ids)
}

// someOf writes the first few of a list.
func someOf(list []string) string {
	const few = 8
	switch {
	case len(list) == 0:
		return "none is listed"
	case len(list) > few:
		return strings.Join(list[:few], ", ") + fmt.Sprintf(" and %d more", len(list)-few)
	default:
		return strings.Join(list, ", ")
	}
}

func (c *checker) knownField(e Entry, id string) bool {
	if _, ok := c.fields[id]; ok {
		return true
	}
	c.unknown.note(e, "field", id)
	return false
}

// names finds fields of one name. Of one producer that is a mistake; two producers may each have a "North 80".
func (c *checker) names() {
	byName := map[string]Entry{}
	for _, e := range c.standing {
		f, ok := e.Body.(*Field)
		if !ok {
			continue
		}
		name := strings.ToLower(strings.TrimSpace(f.Name))
		before, twice := byName[name]
		if !twice {
			byName[name] = e
			continue
		}
		other := before.Body.(*Field)
		s := doubt("name", "two producers have a field of this name; say which one is meant when you speak of it", f.Name, "")
		if other.Producer == f.Producer {
			s = wrong("name", "two fields of one producer have the same name, ids "+other.ID+" and "+f.ID, f.Name, "a name of its own for each field")
		}
		c.say(e, s)
	}
}

// bounded doubts fields without a boundary: no map, no zones, and the acres are the producer's word.
func (c *checker) bounded() {
	for _, e := range c.standing {
		if f, ok := e.Body.(*Field); ok && c.season.Boundaries[f.ID] == nil {
			c.say(e, doubt("", "field "+f.ID+" has no boundary, so it has no map and its area is as given", "", "a feature in boundaries.geojson whose property \"field\" is "+f.ID))
		}
	}
}

// field looks at what is fixed about a field.
func (c *checker) field(e Entry, f *Field) {
	c.fileName(e, "field", f.ID)
	if !c.producers[f.Producer] {
		c.unknown.note(e, "producer", f.Producer)
	}
	switch _, known := c.season.Stations[f.Station]; {
	case c.season.StationOf(*f) != "" && f.Station == "":
	case f.Station == "":
		c.say(e, doubt("station", "field "+f.ID+" has no weather station, so nothing can be said about days", "", "the id of a station, or stations-within and a boundary"))
	case !known:
		c.unknown.note(e, "station", f.Station)
	}
	c.furtherStations(e, f)
	c.planted(e, f)
	c.elongationSeen(e, f)
	c.aboveZero(e, f)
	c.herd(e, f)
}

// mostApart is how far a station's weather may be taken from, m. Common practice, no source.
const mostApart = 150_000

// furtherStations looks at the stations whose weather counts with that of the field's own.
func (c *checker) furtherStations(e Entry, f *Field) {
	for _, id := range f.Stations {
		if _, known := c.season.Stations[id]; !known {
			c.unknown.note(e, "station", id)
		}
	}
	if within := float64(f.StationsWithin); within != 0 && !(within > 0 && within <= mostApart) {
		c.say(e, wrong("stations-within", "field "+f.ID+" takes in stations from a distance that cannot be meant", fmt.Sprintf("%.0f km", within/1000), "more than 0 and at most 150 km"))
	}
}

// planted doubts a planting that is not in the fall before harvest.
func (c *checker) planted(e Entry, f *Field) {
	year := c.season.Settings.HarvestYear
	if f.Planted.IsZero() || year == 0 {
		return
	}
	if y, m, _ := f.Planted.Time().Date(); y != year-1 && (y != year || m > 4) || y == year-1 && m < 7 {
		c.say(e, doubt("planted", "field "+f.ID+" was not planted in the winter before the harvest of "+fmt.Sprint(year), f.Planted.String(), fmt.Sprintf("a day between July %d and April %d", year-1, year)))
	}
	c.notToCome(e, "planting", f.Planted)
}

// elongationSeen doubts a day that is not in an earlier spring.
func (c *checker) elongationSeen(e Entry, f *Field) {
	year := c.season.Settings.HarvestYear
	for _, day := range f.ElongationSeen {
		if y, m, _ := day.Time().Date(); year != 0 && y >= year || m > time.June {
			c.say(e, doubt("elongation-seen", "the crop of field "+f.ID+" cannot have begun to lengthen then; the day is not used", day.String(), "a day from January to June of an earlier year; note this year's stage in visits.csv"))
		}
	}
}

func (c *checker) aboveZero(e Entry, f *Field) {
	if goal := f.YieldGoal; goal.Known() {
		switch kg := float64(goal.Value); {
		case kg <= 0:
			c.say(e, wrong("yield-goal", "the yield goal of field "+f.ID+" is not above zero", fmt.Sprintf("%g kg/ha", kg), "a yield"))
		case kg > highestYield:
			c.say(e, doubt("yield-goal", "the yield goal of field "+f.ID+" is higher than such crops have yielded", fmt.Sprintf("%.0f kg/ha", kg), fmt.Sprintf("at most %.0f kg/ha", highestYield)))
		}
	}
	if f.AreaGiven.Known() && f.AreaGiven.Value <= 0 {
		c.say(e, wrong("area", "the area of field "+f.ID+" is not above zero", fmt.Sprintf("%g ha", float64(f.AreaGiven.Value)), "an area"))
	}
}

// herd finds cattle on a crop that is not grazed, and herds of nobody.
func (c *checker) herd(e Entry, f *Field) {
	type part struct {
		key   string
		known bool
		value float64
	}
	for _, p := range []part{
		{"heads", f.Heads.Known(), float64(f.Heads.Value)},
		{"head-mass", f.HeadMass.Known(), float64(f.HeadMass.Value)},
		{"grazing-days", f.GrazingDays.Known(), float64(f.GrazingDays.Value)},
	} {
		switch {
		case !p.known:
		case p.value < 0:
			c.say(e, wrong(p.key, "a herd cannot be less than nothing", fmt.Sprint(p.value), "a number from 0 on"))
		case p.value > 0 && f.Crop != "" && !f.Crop.IsGrazed():
			c.say(e, doubt(p.key, "field "+f.ID+" has cattle but its crop is not grazed", f.Crop.String(), "crop wheat-grazed or wheat-graze-out, or no cattle"))
			return
		}
	}
}

// fileName refuses ids that would not do as the name of a file.
func (c *checker) fileName(e Entry, what, id string) {
	unfit := func(r rune) bool { return unicode.IsControl(r) || strings.ContainsRune(`/\:*?"<>|`, r) }
	if strings.ContainsFunc(id, unfit) || strings.HasPrefix(id, ".") || strings.TrimSpace(id) != id || len(id) > 100 {
		c.say(e, wrong("id", "the id of a "+what+" cannot name a file", `"`+id+`"`, "letters, digits and hyphens, such as north-80"))
	}
}

// station looks at where a station stands.
func (c *checker) station(e Entry, s *Station) {
	c.fileName(e, "station", s.ID)
	c.position(e, "station "+s.ID, s.At)
}

// position says whether a place is on Earth, and if not whether latitude and longitude are reversed.
func (c *checker) position(e Entry, what string, at Position) bool {
	found := fmt.Sprintf("latitude %g, longitude %g", at.Lat, at.Lon)
	switch {
	case math.Abs(at.Lat) <= 90 && math.Abs(at.Lon) <= 180 && at != Position{}:
		return true
	case at == Position{}:
		c.say(e, doubt("lat", what+" lies where the equator meets the meridian of Greenwich", found, "its latitude and longitude"))
	case math.Abs(at.Lon) <= 90 && math.Abs(at.Lat) <= 180:
		c.say(e, wrong("lat", "latitude and longitude of "+what+" look reversed", found, "a latitude from -90 to 90; west is a negative longitude"))
	default:
		c.say(e, wrong("lat", what+" is not on Earth", found, "latitude from -90 to 90, longitude from -180 to 180, in degrees"))
	}
	return false
}
