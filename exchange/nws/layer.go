package nws

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"culm/exchange/hourly"
	"culm/season"
)

// Limits on what is read.
const (
	mostValues = 5000                // of one layer; a real one has under 250
	reach      = 40 * 24 * time.Hour // from the time of issue, either way
)

// layerJSON is one layer as the service writes it. Older replies name the unit unitCode.
type layerJSON struct {
	UOM      string `json:"uom"`
	UnitCode string `json:"unitCode"`
	Values   []struct {
		ValidTime string          `json:"validTime"`
		Value     json.RawMessage `json:"value"`
	} `json:"values"`
}

// kind is a sort of layer: how its unit is read and how a value over several hours is spread over them.
type kind struct {
	name  string
	units map[string]linear
	// adds is true for what accumulates over the interval, such as rain, and is split between its hours;
	// false for what holds throughout, such as temperature, and is repeated.
	adds     bool
	low, top float64 // what can be, in the base unit
	// longest is the longest interval over which one value still tells something; 0 for any.
	longest time.Duration
}

// linear turns a number into the base unit: number * factor + offset.
type linear struct{ factor, offset float64 }

func temperature(name string) kind {
	return kind{name: name, low: -90, top: 60, longest: 12 * time.Hour, units: map[string]linear{
		"degC": {1, 0}, "Cel": {1, 0}, "degF": {1 / 1.8, -32 / 1.8}, "[degF]": {1 / 1.8, -32 / 1.8}, "K": {1, -273.15},
	}}
}

// dewPoint may hold for long: it changes with the air that comes and not with the sun.
func dewPoint(name string) kind {
	k := temperature(name)
	k.longest = 0
	return k
}

// depth is of rain in mm; the most ever measured in a day is under 2000.
func depth(name string) kind {
	return kind{name: name, adds: true, low: 0, top: 3000, units: map[string]linear{
		"mm": {1, 0}, "cm": {10, 0}, "m": {1000, 0}, "in": {25.4, 0}, "[in_i]": {25.4, 0}, "kg_m-2": {1, 0},
	}}
}

func speed(name string) kind {
	return kind{name: name, low: 0, top: 120, units: map[string]linear{
		"m_s-1": {1, 0}, "m/s": {1, 0}, "km_h-1": {1 / 3.6, 0}, "km/h": {1 / 3.6, 0}, "kt": {1852. / 3600, 0}, "[kn_i]": {1852. / 3600, 0},
		"mi_h-1": {0.44704, 0}, "[mi_i]/h": {0.44704, 0},
	}}
}

// share is of one.
func share(name string) kind {
	return kind{name: name, low: 0, top: 1, units: map[string]linear{"percent": {0.01, 0}, "%": {0.01, 0}, "1": {1, 0}}}
}

// reader gathers what is wrong while layers are read.
type reader struct {
	issued   time.Time
	problems []season.Problem
}

func (r *reader) doubt(field, message, found, expected string) {
	r.problems = append(r.problems, season.Problem{Severity: season.Doubtful, Field: field, Message: message, Found: clip(found), Expected: expected})
}

// layer expands a layer by the hour. What cannot be read is left out and reported with its index.
func (r *reader) layer(k kind, raw json.RawMessage) hourly.Hours {
	expanded := hourly.Hours{}
	if len(raw) == 0 || string(raw) == "null" {
		return expanded
	}
	var l layerJSON
	if err := json.Unmarshal(raw, &l); err != nil {
		r.doubt(k.name, "the layer cannot be read and is left out", err.Error(), `an object with "uom" and "values"`)
		return expanded
	}
	if len(l.Values) == 0 {
		return expanded
	}
	if len(l.Values) > mostValues {
		r.doubt(k.name, "the layer has too many values and is left out", fmt.Sprint(len(l.Values)), fmt.Sprintf("at most %d", mostValues))
		return expanded
	}
	toBase, known := k.units[bareUnit(l.UOM, l.UnitCode)]
	if !known {
		r.doubt(k.name, "the layer's unit is not known and the layer is left out", fmt.Sprintf("%q", l.UOM+l.UnitCode), "one of "+strings.Join(slices.Sorted(maps.Keys(k.units)), ", "))
		return expanded
	}
	var last time.Time
	for i, v := range l.Values {
		at := fmt.Sprintf("%s.values[%d]", k.name, i)
		value, ok := r.value(at, k, toBase, v.Value)
		if !ok {
			continue
		}
		iv, ok := r.interval(at, k, v.ValidTime)
		if !ok {
			continue
		}
		if iv.start.Before(last) {
			r.doubt(at, "the value overlaps the one before it; what overlaps is left out", v.ValidTime, "a start at or after "+last.Format(time.RFC3339))
			if iv, value = trim(iv, last, value, k.adds); !iv.end.After(iv.start) {
				continue
			}
		}
		expanded.Add(iv.start, iv.end, value, k.adds)
		last = iv.end
	}
	return expanded
}

// trim cuts off what lies before a time, and with it the share of what adds up.
func trim(iv interval, from time.Time, value float64, adds bool) (interval, float64) {
	kept := interval{from, iv.end}
	if adds {
		value *= kept.end.Sub(kept.start).Seconds() / iv.end.Sub(iv.start).Seconds()
	}
	return kept, value
}

// interval reads the time of a value; false for one that cannot be used.
func (r *reader) interval(at string, k kind, text string) (interval, bool) {
	iv, err := parseInterval(text, r.issued)
	switch {
	case err != nil:
		r.doubt(at, "the value has no readable time and is left out", err.Error(), "a time and a duration")
	case iv.start.Before(r.issued.Add(-reach)) || iv.end.After(r.issued.Add(reach)):
		r.doubt(at, "the value lies too far from the time of issue and is left out", text, "within 40 days of "+r.issued.Format(time.RFC3339))
	case k.longest > 0 && iv.end.Sub(iv.start) > k.longest:
		r.doubt(at, "one value for so long tells no low and high and is left out", text, fmt.Sprintf("at most %.0f hours", k.longest.Hours()))
	default:
		return iv, true
	}
	return iv, false
}

// value reads one number in its base unit; false for null, which is missing and no fault, and for what is
// not a possible number.
func (r *reader) value(at string, k kind, toBase linear, raw json.RawMessage) (float64, bool) {
	if len(raw) == 0 || string(raw) == "null" {
		return 0, false
	}
	var number float64
	if err := json.Unmarshal(raw, &number); err != nil {
		r.doubt(at, "the value is not a number and is left out", string(raw), "a number or null")
		return 0, false
	}
	base := number*toBase.factor + toBase.offset
	if base < k.low || base > k.top {
		r.doubt(at, "the value cannot be and is left out", string(raw), "a number that the weather can reach")
		return 0, false
	}
	return base, true
}

// bareUnit takes the prefix off: wmoUnit:degC, unit:degC, nwsUnit:s.
func bareUnit(uom, unitCode string) string {
	if uom == "" {
		uom = unitCode
	}
	return uom[strings.LastIndexByte(uom, ':')+1:]
}
