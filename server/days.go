package server

import (
	"strings"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/season"
)

// stretch is a run of days with the same reason.
type stretch struct {
	Days  []advice.DayOutlook
	Words string
}

// stretches joins neighbouring days that say the same.
func stretches(days []advice.DayOutlook) []stretch {
	var all []stretch
	for _, d := range days {
		words := reasonOf(d)
		if n := len(all); n > 0 && all[n-1].Words == words && all[n-1].first().Best == d.Best {
			all[n-1].Days = append(all[n-1].Days, d)
			continue
		}
		all = append(all, stretch{Days: []advice.DayOutlook{d}, Words: words})
	}
	return all
}

func (s stretch) first() advice.DayOutlook { return s.Days[0] }

// when names the days: "Thu 11 Feb", "Mon 15 to Wed 17 Feb".
func (s stretch) when() string {
	first, last := s.first().Day, s.Days[len(s.Days)-1].Day
	if first == last {
		return first.Short()
	}
	if first.Time().Month() == last.Time().Month() {
		return first.Time().Format("Mon 2") + " to " + last.Short()
	}
	return first.Short() + " to " + last.Short()
}

func reasonOf(d advice.DayOutlook) string {
	words := d.Why
	if d.Stop != "" {
		words = d.Stop
	}
	if len(d.Flags) > 0 {
		words += "; " + strings.Join(d.Flags, "; ")
	}
	return sentenceCase(words) + "."
}

// dayState is how a day stands: each state has a sign and a word.
type dayState string

const (
	dayBest   dayState = "best"
	dayOpen   dayState = "open"
	dayDoubt  dayState = "doubt"
	dayClosed dayState = "closed"
)

func stateOf(d advice.DayOutlook) dayState {
	switch {
	case d.Stop != "":
		return dayClosed
	case d.Best:
		return dayBest
	case len(d.Flags) > 0:
		return dayDoubt
	default:
		return dayOpen
	}
}

func (s dayState) word() string {
	switch s {
	case dayBest:
		return "the day"
	case dayOpen:
		return "open"
	case dayDoubt:
		return "open, with a doubt"
	default:
		return "closed"
	}
}

// daysTitle answers which day.
func (f fieldView) daysTitle() string {
	open := 0
	for _, d := range f.Plan.Days {
		if d.Best {
			return d.Day.Spoken() + " is the day"
		}
		if d.Stop == "" {
			open++
		}
	}
	if open == 0 {
		return "No day in sight is open"
	}
	return plural(open, "day") + " in sight would be open"
}

// sky writes a day's weather in a reader's units; parts that are not known are left out.
func sky(w season.ForecastDay, s unit.System) string {
	var parts []string
	if w.Has&season.HasTemperature != 0 {
		parts = append(parts, span(unit.KindTemperature, float64(w.Low), float64(w.High), s))
	}
	if w.Has&season.HasRain != 0 {
		rain := unit.Show(unit.KindWater, float64(w.Rain), s).String() + " rain"
		if w.Rain == 0 {
			rain = "dry"
		} else if w.RainChance > 0 {
			rain += " (" + unit.Show(unit.KindFraction, float64(w.RainChance), s).String() + ")"
		}
		parts = append(parts, rain)
	}
	if w.Has&season.HasWind != 0 {
		parts = append(parts, "wind "+unit.Show(unit.KindSpeed, float64(w.Wind), s).String())
	}
	return strings.Join(parts, ", ")
}

// sentenceCase gives a text a capital at the start.
func sentenceCase(s string) string {
	if s == "" || strings.HasPrefix(s, "pH") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// lost writes the share of nitrogen that a day would lose.
func (f fieldView) lost(d advice.DayOutlook) string {
	return unit.Show(unit.KindFraction, float64(d.Loss), f.Plan.Units).String()
}

// dayNet writes what a day would net; nothing where no pass is advised.
func (f fieldView) dayNet(d advice.DayOutlook) string {
	if f.Plan.Decision.Action != advice.Spread || d.Stop != "" {
		return "–"
	}
	return unit.Show(unit.KindMoneyPerArea, float64(d.Net), f.Plan.Units).String()
}
