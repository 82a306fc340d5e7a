package crop

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/season"
)

// DeadlineRule is the usual date of stem elongation of a crop in a region. It is data: a region's own
// guidance can bring its own.
type DeadlineRule struct {
	Name string `json:"name"` // of the region, as it reads after "in"
	Crop string `json:"crop"` // "wheat" or "canola"
	// West, East, South and North bound the region the rule holds in, degrees.
	West  float64 `json:"west"`
	East  float64 `json:"east"`
	South float64 `json:"south"`
	North float64 `json:"north"`
	// Usual is the month and day, "03-17", at Latitude; DaysPerDegree is how much later it is for each degree
	// towards the pole.
	Latitude      float64 `json:"latitude"`
	Usual         string  `json:"usual"`
	DaysPerDegree float64 `json:"daysPerDegree"`
	// Margin is how many days earlier or later it may be in nine years of ten.
	Margin int `json:"margin"`
	// MostShift bounds how many days a warm or cold spring may move the date.
	MostShift int         `json:"mostShift"`
	Source    cite.Key    `json:"source"`
	Status    cite.Status `json:"status"`
}

//go:embed deadlines.json
var shippedRules string

// ShippedRules are the rules that come with the program. All are from memory and say so; local guidance
// should replace them.
func ShippedRules() []DeadlineRule {
	rules, err := ParseRules(shippedRules)
	if err != nil {
		panic("crop: deadlines.json: " + err.Error()) // cannot happen: a test parses it
	}
	return rules
}

// ParseRules reads a JSON list of rules and refuses one that could not be followed.
func ParseRules(text string) ([]DeadlineRule, error) {
	var rules []DeadlineRule
	decoder := json.NewDecoder(strings.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&rules); err != nil {
		return nil, fmt.Errorf("deadline rules: %w", err)
	}
	for i, r := range rules {
		if err := r.check(); err != nil {
			return nil, fmt.Errorf("deadline rule %d (%s, %s): %w", i+1, r.Name, r.Crop, err)
		}
	}
	return rules, nil
}

func (r DeadlineRule) check() error {
	switch {
	case r.Crop != "wheat" && r.Crop != "canola":
		return fmt.Errorf("crop is %q, expected wheat or canola", r.Crop)
	case !(r.West < r.East) || !(r.South < r.North):
		return fmt.Errorf("region is %g to %g east, %g to %g north; expected west before east and south before north", r.West, r.East, r.South, r.North)
	case r.Margin < 1 || r.Margin > 60:
		return fmt.Errorf("margin is %d days, expected 1 to 60", r.Margin)
	case r.MostShift < 0 || r.MostShift > r.Margin:
		return fmt.Errorf("most shift is %d days, expected 0 to the margin of %d", r.MostShift, r.Margin)
	case math.Abs(r.DaysPerDegree) > 30:
		return fmt.Errorf("%g days per degree of latitude, expected at most 30", r.DaysPerDegree)
	case r.Status == "" || r.Source == "":
		return fmt.Errorf("source or status is missing; expected both, if only %q", cite.FromMemory)
	}
	if _, err := time.Parse("01-02", r.Usual); err != nil {
		return fmt.Errorf("usual date is %q, expected month and day such as 03-17", r.Usual)
	}
	return nil
}

// holds says that the rule is for a crop at a place.
func (r DeadlineRule) holds(c season.Crop, at season.Position) bool {
	rightCrop := r.Crop == "wheat" && c.IsWheat() || r.Crop == "canola" && c == season.Canola
	return rightCrop && at.Lon >= r.West && at.Lon <= r.East && at.Lat >= r.South && at.Lat <= r.North
}

// date is the usual date at a latitude in a year.
func (r DeadlineRule) date(year int, latitude float64) calendar.Day {
	usual, _ := time.Parse("01-02", r.Usual) // check has seen to it
	later := r.DaysPerDegree * (math.Abs(latitude) - math.Abs(r.Latitude))
	return calendar.Date(year, usual.Month(), usual.Day()).Add(int(math.Round(later)))
}
