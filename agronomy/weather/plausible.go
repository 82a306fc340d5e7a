package weather

import (
	"fmt"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Doubt is a problem with the weather of a day. Whoever reads a file adds the file and the line.
type Doubt struct {
	Day calendar.Day
	season.Problem
}

// What a station in wheat country may measure. Common practice, no source; tried on the records of
// Augsburg, Klein-Altendorf and Manhattan (Kansas), 33 years in all, without a false alarm.
const (
	coldest   = -60  // C; colder than any farmed place
	hottest   = 60   // C; hotter than any place on Earth, which in Fahrenheit stays below 140
	wettest   = 400  // mm in a day
	deepest   = 5000 // mm of snow
	widestDay = 40   // C from low to high
	widestGap = 30   // C between the means of two days in a row
)

// CheckDay looks at one day by itself: numbers no station can measure, low above high, rain below zero.
func CheckDay(d season.WeatherDay) []Doubt {
	var doubts []Doubt
	say := func(severity season.Severity, field, message, found, expected string) {
		doubts = append(doubts, Doubt{d.Day, season.Problem{Severity: severity, Field: field, Message: message, Found: found, Expected: expected}})
	}
	if d.Has&season.HasTemperature != 0 {
		for _, t := range []struct {
			name  string
			value unit.Temperature
		}{{"low", d.Low}, {"high", d.High}} {
			if !(t.value >= coldest && t.value <= hottest) {
				say(season.Fatal, t.name, "no station measures such a temperature; it may be a code for missing or the wrong unit",
					celsius(t.value), fmt.Sprintf("%s to %s, or nothing", celsius(coldest), celsius(hottest)))
				return doubts
			}
		}
		switch {
		case d.Low > d.High:
			say(season.Fatal, "low", "the low of the day is above its high", celsius(d.Low)+" above "+celsius(d.High), "low, then high")
		case d.High-d.Low > widestDay:
			say(season.Doubtful, "high", "low and high of the day lie far apart", celsius(d.Low)+" to "+celsius(d.High),
				fmt.Sprintf("at most %d °C apart", widestDay))
		}
	}
	if d.Has&season.HasRain != 0 {
		switch {
		case !(d.Rain >= 0):
			say(season.Fatal, "rain", "rain cannot be less than none; it may be a code for missing", millimetres(d.Rain), "0 or more, or nothing")
		case d.Rain > wettest:
			say(season.Doubtful, "rain", "that is more rain than falls in a day; it may be in another unit", millimetres(d.Rain),
				fmt.Sprintf("at most %d mm", wettest))
		}
	}
	if d.Has&season.HasSnow != 0 && !(d.Snow >= 0 && d.Snow <= deepest) {
		say(season.Doubtful, "snow", "that is no depth of snow on a field", millimetres(d.Snow), fmt.Sprintf("0 to %d mm", deepest))
	}
	return doubts
}

// Check looks at a whole record: each day by itself, jumps from day to day, and temperatures in Fahrenheit
// where Celsius is meant.
func Check(days []season.WeatherDay) []Doubt {
	if fahrenheit, found := LooksFahrenheit(days); fahrenheit {
		return []Doubt{{days[0].Day, season.Problem{
			Severity: season.Fatal, Field: "high", Message: "the temperatures look like Fahrenheit in a Celsius column",
			Found: found, Expected: "Celsius, or a column marked as Fahrenheit",
		}}}
	}
	var doubts []Doubt
	for i, d := range days {
		doubts = append(doubts, CheckDay(d)...)
		if i > 0 {
			doubts = append(doubts, checkJump(days[i-1], d)...)
		}
	}
	return doubts
}

func checkJump(before, d season.WeatherDay) []Doubt {
	was, known := Mean(before)
	is, alsoKnown := Mean(d)
	step := max(is-was, was-is)
	if !known || !alsoKnown || d.Day.Sub(before.Day) != 1 || step <= widestGap {
		return nil
	}
	return []Doubt{{d.Day, season.Problem{
		Severity: season.Doubtful, Field: "high", Message: "the temperature jumps from one day to the next",
		Found: celsius(was) + " then " + celsius(is), Expected: fmt.Sprintf("means at most %d °C apart", widestGap),
	}}}
}

// LooksFahrenheit says that a record meant to be in Celsius holds Fahrenheit, and what shows it. The rule,
// of ours: from November to March no place where winter wheat grows reaches 45 C, north or south of the
// equator, on one day in ten; read as Celsius, a Fahrenheit winter of the Plains passes that on half its
// days. And three days above 60 C, hotter than any place on Earth, show it in any season. A short record of
// deep cold can hide from the rule: below 45 F the two cannot be told apart this way.
func LooksFahrenheit(days []season.WeatherDay) (bool, string) {
	winter, warm, impossible := 0, 0, 0
	for _, d := range days {
		if d.Has&season.HasTemperature == 0 {
			continue
		}
		if d.High > hottest && d.High < 140 {
			impossible++
		}
		if month := d.Day.Time().Month(); month >= 11 || month <= 3 {
			winter++
			if d.High > 45 && d.High < 140 {
				warm++
			}
		}
	}
	switch {
	case impossible >= 3:
		return true, fmt.Sprintf("%d days above %s", impossible, celsius(hottest))
	case winter >= 10 && warm*10 >= winter:
		return true, fmt.Sprintf("%d of %d days from November to March above %s", warm, winter, celsius(45))
	default:
		return false, ""
	}
}

func celsius(t unit.Temperature) string { return fmt.Sprintf("%.1f °C", float64(t)) }

func millimetres(w unit.Water) string { return fmt.Sprintf("%.1f mm", float64(w)) }
