package season

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// Log is the weather of one further station of a field.
type Log struct {
	Station Station      `json:"station"`
	Days    []WeatherDay `json:"days,omitempty"`
}

// earthRadius is the mean radius of the Earth, m.
const earthRadius = 6371009

// Distance is how far two places lie apart on a sphere, within half a percent of the ellipsoid: enough to
// weigh stations, not to measure fields.
func (p Position) Distance(q Position) unit.Length {
	radians := math.Pi / 180
	dLat, dLon := (q.Lat-p.Lat)*radians, (q.Lon-p.Lon)*radians
	sinLat, sinLon := math.Sin(dLat/2), math.Sin(dLon/2)
	h := sinLat*sinLat + math.Cos(p.Lat*radians)*math.Cos(q.Lat*radians)*sinLon*sinLon
	return unit.Length(2 * earthRadius * math.Asin(min(1, math.Sqrt(h))))
}

// StationOf is the id of the station that stands for a field: the one it names, or else the nearest one to its
// boundary within the distance it gives. It is empty where there is none.
func (s *Season) StationOf(f Field) string {
	b := s.Boundaries[f.ID]
	if f.Station != "" || f.StationsWithin <= 0 || b == nil || len(b.Polygons) == 0 || len(b.Polygons[0]) == 0 {
		return f.Station
	}
	at := corner(b.Polygons[0][0])
	nearest, away := "", f.StationsWithin
	for _, id := range slices.Sorted(maps.Keys(s.Stations)) {
		if d := at.Distance(s.Stations[id].At); d < away || d == away && nearest == "" {
			nearest, away = id, d
		}
	}
	return nearest
}

// corner is the mean of a ring's corners: near enough to the middle of a field to choose a station by.
func corner(ring []Position) Position {
	var sum Position
	for _, p := range ring {
		sum.Lon += p.Lon
		sum.Lat += p.Lat
	}
	n := float64(max(1, len(ring)))
	return Position{Lon: sum.Lon / n, Lat: sum.Lat / n}
}

// further gives the logs of a field's further stations up to a day, nearest to its own station first: those
// it names, or else those within the distance it gives. Its own station is not among them.
func (s *Season) further(f Field, today calendar.Day) []Log {
	own := s.Stations[f.Station]
	if own == nil {
		return nil
	}
	var chosen []*Station
	for _, station := range s.Stations {
		named := slices.Contains(f.Stations, station.ID)
		near := len(f.Stations) == 0 && f.StationsWithin > 0 && own.At.Distance(station.At) <= f.StationsWithin
		if station.ID != own.ID && (named || near) {
			chosen = append(chosen, station)
		}
	}
	slices.SortFunc(chosen, func(a, b *Station) int {
		return cmp.Or(cmp.Compare(own.At.Distance(a.At), own.At.Distance(b.At)), cmp.Compare(a.ID, b.ID))
	})
	var logs []Log
	for _, station := range chosen {
		days := until(s.Weather[station.ID], today, func(w WeatherDay) calendar.Day { return w.Day })
		logs = append(logs, Log{Station: *station, Days: days})
	}
	return logs
}
