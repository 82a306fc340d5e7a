package ghcn

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"culm/agronomy/unit"
	"culm/season"
)

// Station is a line of the network's list of stations, ghcnd-stations.txt.
type Station struct {
	ID string
	At season.Position
	// Elevation is above the sea; HasElevation says that it is known, which -999.9 in the list is not.
	Elevation    unit.Length
	HasElevation bool
	State        string // of the United States and Canada
	Name         string
	GSN          bool   // of the global surface network
	Network      string // HCN, CRN or empty
	WMO          string // number of the World Meteorological Organization, or empty
}

// ParseStation reads a line of the list: identifier in columns 1-11, latitude 13-20, longitude 22-30,
// elevation in metres 32-37, state 39-40, name 42-71, GSN 73-75, HCN or CRN 77-79, WMO number 81-85.
func ParseStation(line string) (Station, error) {
	column := func(from, to int) string {
		from, to = min(from-1, len(line)), min(to, len(line))
		return strings.TrimSpace(line[from:to])
	}
	s := Station{ID: column(1, 11), State: column(39, 40), Name: column(42, 71), GSN: column(73, 75) == "GSN", Network: column(77, 79), WMO: column(81, 85)}
	if !isStation(s.ID) {
		return Station{}, fmt.Errorf("%q is no station's identifier; expected 11 letters and digits such as USC00141767", clip(s.ID))
	}
	lat, errLat := strconv.ParseFloat(column(13, 20), 64)
	lon, errLon := strconv.ParseFloat(column(22, 30), 64)
	if errLat != nil || errLon != nil || !(lat >= -90 && lat <= 90 && lon >= -180 && lon <= 180) {
		return Station{}, fmt.Errorf("station %s has latitude %q and longitude %q; expected degrees in columns 13-20 and 22-30", s.ID, column(13, 20), column(22, 30))
	}
	s.At = season.Position{Lon: lon, Lat: lat}
	if m, err := strconv.ParseFloat(column(32, 37), 64); err == nil && m > -999 {
		s.Elevation, s.HasElevation = unit.Length(m)*unit.Metre, true
	}
	return s, nil
}

// Stations reads the list, which has one line for each of some 130,000 stations. Lines that cannot be read
// are reported and left out.
func Stations(in io.Reader, file string) ([]Station, []season.Problem, error) {
	r := &reader{o: Options{File: file}, tallies: map[tally]*count{}}
	var stations []Station
	lines := bufio.NewScanner(in)
	lines.Buffer(make([]byte, 0, longestLine), longestLine)
	for lines.Scan() {
		r.line++
		if strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		s, err := ParseStation(lines.Text())
		if err != nil {
			r.doubt("", "the station cannot be read and is left out: "+err.Error(), "", "")
			continue
		}
		stations = append(stations, s)
	}
	if err := lines.Err(); err != nil {
		return nil, r.all(), fmt.Errorf("reading the list of stations after line %d: %w", r.line, err)
	}
	return stations, r.all(), nil
}
