package season_test

import (
	"math"
	"slices"
	"testing"

	"culm/agronomy/calendar"
	"culm/season"
)

// A degree of latitude is 111.2 km on the mean sphere (2 pi 6371.009 km / 360).
func TestDistance(t *testing.T) {
	a := season.Position{Lon: -97, Lat: 36}
	for _, row := range []struct {
		name string
		to   season.Position
		km   float64
	}{
		{"nowhere", a, 0},
		{"a degree north", season.Position{Lon: -97, Lat: 37}, 111.195},
		{"a degree east, at 36 degrees", season.Position{Lon: -96, Lat: 36}, 89.96},
	} {
		if got := float64(a.Distance(row.to)) / 1000; math.Abs(got-row.km) > 0.005 {
			t.Errorf("%s: %.3f km, want %.3f", row.name, got, row.km)
		}
	}
}

func TestFurtherStations(t *testing.T) {
	s := season.Assemble([]season.Entry{
		stationAt("own", 36), stationAt("near", 36.1), stationAt("far", 38), stationAt("between", 36.2),
	})
	for _, row := range []struct {
		name  string
		field season.Field
		want  []string
	}{
		{"none asked for", season.Field{Station: "own"}, nil},
		{"named, nearest first", season.Field{Station: "own", Stations: []string{"far", "own", "near"}}, []string{"near", "far"}},
		{"within 25 km", season.Field{Station: "own", StationsWithin: 25_000}, []string{"near", "between"}},
		{"names count before the distance", season.Field{Station: "own", Stations: []string{"far"}, StationsWithin: 25_000}, []string{"far"}},
		{"own station not known", season.Field{Station: "lost", Stations: []string{"far"}}, nil},
	} {
		row.field.ID = "f"
		s.Fields = []season.Field{row.field}
		fs, _ := s.Of("f", calendar.Date(2027, 2, 10))
		var got []string
		for _, log := range fs.Further {
			got = append(got, log.Station.ID)
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: %v, want %v", row.name, got, row.want)
		}
	}
}

func TestTheNearestStationStandsForAField(t *testing.T) {
	s := season.Assemble([]season.Entry{stationAt("a", 36), stationAt("b", 36.1), stationAt("c", 38)})
	s.Boundaries["f"] = &season.Boundary{Field: "f", Polygons: [][][]season.Position{{{{Lon: -97, Lat: 36.08}, {Lon: -97, Lat: 36.09}, {Lon: -97, Lat: 36.08}}}}}
	for _, row := range []struct {
		name  string
		field season.Field
		want  string
	}{
		{"the one it names", season.Field{ID: "f", Station: "c", StationsWithin: 50_000}, "c"},
		{"the nearest", season.Field{ID: "f", StationsWithin: 50_000}, "b"},
		{"none so near", season.Field{ID: "f", StationsWithin: 1000}, ""},
		{"no distance", season.Field{ID: "f"}, ""},
		{"no boundary", season.Field{ID: "g", StationsWithin: 50_000}, ""},
	} {
		if got := s.StationOf(row.field); got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
	s.Fields = []season.Field{{ID: "f", StationsWithin: 50_000}}
	fs, _ := s.Of("f", calendar.Date(2027, 2, 10))
	if fs.Station == nil || fs.Field.Station != "b" || len(fs.Further) != 1 || fs.Further[0].Station.ID != "a" {
		t.Errorf("%+v, %+v", fs.Station, fs.Further)
	}
}

func stationAt(id string, lat float64) season.Entry {
	return season.Entry{ID: id, Writer: "w", Recorded: at(1), Body: &season.Station{ID: id, At: season.Position{Lon: -97, Lat: lat}}}
}
