package ground

import (
	"fmt"
	"math"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Hour is the forecast of one hour of a day.
type Hour struct {
	Hour        int // 0 to 23, on the field's clock, which shows one hour twice when it is put back
	Temperature unit.Temperature
	Humidity    unit.Fraction
	Wind        unit.Speed
	Cloud       unit.Fraction // of the sky
	Rain        unit.Water
	// Has says which parts are known.
	Has HourParts
}

// HourParts is a set of the parts of an hour.
type HourParts = season.HourParts

// The parts.
const (
	HourTemperature = season.HourTemperature
	HourHumidity    = season.HourHumidity
	HourWind        = season.HourWind
	HourCloud       = season.HourCloud
	HourRain        = season.HourRain
)

func (h Hour) has(p HourParts) bool { return h.Has&p == p }

// HoursOf are the hours that a forecast gives for a day, on the field's clock; nil where it gives none.
func HoursOf(f *season.Forecast, day calendar.Day) []Hour {
	if f == nil {
		return nil
	}
	const used = HourTemperature | HourHumidity | HourWind | HourCloud | HourRain
	var hours []Hour
	for _, h := range f.Hours.Day(day) {
		_, shown := h.Clock()
		hours = append(hours, Hour{
			Hour: shown, Temperature: h.Temperature, Humidity: h.Humidity, Wind: h.Wind, Cloud: h.Cloud, Rain: h.Rain, Has: h.Has & used,
		})
	}
	return hours
}

// NoonOf is when the sun stands highest on the field's clock on a day, in hours, to a minute or so: noon of its
// meridian by the clock's distance from UTC, and the seasonal correction for solar time (FAO-56 Eq. 31 to 33). It is
// zero where a forecast gives no hour of the day.
func NoonOf(f *season.Forecast, day calendar.Day, longitude float64) float64 {
	const degreesAnHour, minutesAnHour = 15, 60
	if f == nil {
		return 0
	}
	hours := f.Hours.Day(day)
	if len(hours) == 0 {
		return 0
	}
	ahead := float64(hours[len(hours)/2].Ahead) / minutesAnHour
	return 12 - longitude/degreesAnHour + ahead - seasonalCorrection(day)
}

// seasonalCorrection is how far the sun is ahead of the mean sun, in hours (FAO-56 Eq. 32 and 33).
func seasonalCorrection(day calendar.Day) float64 {
	b := 2 * math.Pi * float64(day.Time().YearDay()-81) / 364
	return 0.1645*math.Sin(2*b) - 0.1255*math.Cos(b) - 0.025*math.Sin(b)
}

// Span is a run of hours, from the beginning of the first to the end of the last: 22 to 6 is a night.
type Span struct {
	From int `json:"from"`
	To   int `json:"to"`
}

// SpokenSpans says hours as a person does: "until 9 and from 16 o'clock".
func SpokenSpans(spans []Span) string {
	var words []string
	for _, s := range spans {
		switch {
		case s.From <= 0 && s.To >= 24:
			return "all day"
		case s.From <= 0:
			words = append(words, fmt.Sprintf("until %d", s.To))
		case s.To >= 24:
			words = append(words, fmt.Sprintf("from %d", s.From))
		default:
			words = append(words, fmt.Sprintf("%d to %d", s.From, s.To))
		}
	}
	if len(words) == 0 {
		return ""
	}
	last := len(words) - 1
	if last == 0 {
		return words[0] + " o'clock"
	}
	return strings.Join(words[:last], ", ") + " and " + words[last] + " o'clock"
}

// spansOf joins clock hours that follow each other.
func spansOf(hours []int) []Span {
	var spans []Span
	for _, h := range hours {
		if last := len(spans) - 1; last >= 0 && spans[last].To >= h {
			spans[last].To = h + 1
			continue
		}
		spans = append(spans, Span{h, h + 1})
	}
	return spans
}

// spansThat joins the hours of which something is true. Where clocks are put forward, the hours before and after
// follow each other though the clock skips one.
func spansThat(hours []Hour, is func(Hour) bool) []Span {
	const skipped = 1
	var spans []Span
	was := false
	for _, h := range hours {
		now := is(h)
		switch last := len(spans) - 1; {
		case now && was && h.Hour <= spans[last].To+skipped:
			spans[last].To = max(spans[last].To, h.Hour+1)
		case now:
			spans = append(spans, Span{h.Hour, h.Hour + 1})
		}
		was = now
	}
	return spans
}

// standardNoon is when the sun stands highest on the clock, where nobody said: half past twelve.
const standardNoon = 12.5

// sunHours are sunrise and sunset on the field's clock. noon is when the sun stands highest on it, in hours; zero
// is half past twelve, which is off by half an hour or more in parts of every zone. Twilight is not in it.
func sunHours(day calendar.Day, latitude, noon float64) (rise, set float64) {
	if noon == 0 {
		noon = standardNoon
	}
	half := Daylight(latitude, day.Time().YearDay()) / 2
	return noon - half, noon + half
}

// Limits of hours for liquids.
const (
	// calmWind: the slower air is, the less it mixes; below it a label rule keeps sprayers at home
	// [cite.SprayInversion].
	calmWind = 3 * unit.MilePerHour
	// The same rule keeps them at home until an hour after sunrise and from two hours before sunset.
	afterSunrise, beforeSunset = 1.0, 2.0
	// solidCloud is our reading of a sky that lets no inversion form: nine tenths.
	solidCloud = 0.9
	// sprayWind and coarseWind are from memory [cite.SprayWindLimits]; labels rule.
	sprayWind  = 10 * unit.MilePerHour
	coarseWind = 15 * unit.MilePerHour
	// dampAir is when leaves are taken to be wet with dew. Ours, no source: nobody forecasts dew.
	dampAir = 0.95
	// burningHeat is 90 °F [cite.NorthDakotaBurn], written for wheat at the watery ripe stage.
	burningHeat = unit.Temperature(32.2)
)

// inverted says that an inversion is to be assumed in an hour: by night, until well after sunrise and from well
// before sunset, unless a steady wind blows under solid cloud [cite.SprayInversion].
func (h Hour) inverted(rise, set float64) bool {
	begins, ends := float64(h.Hour), float64(h.Hour+1)
	if begins >= rise+afterSunrise && ends <= set-beforeSunset {
		return false
	}
	return !(h.has(HourWind|HourCloud) && h.Wind >= calmWind && h.Cloud >= solidCloud)
}

func (h Hour) calm() bool   { return h.has(HourWind) && h.Wind < calmWind }
func (h Hour) frosty() bool { return h.has(HourTemperature) && h.Temperature <= 0 }
func (h Hour) hot() bool    { return h.has(HourTemperature) && h.Temperature >= burningHeat }
func (h Hour) raining() bool {
	return h.has(HourRain) && h.Rain > 0
}

// dewy says that leaves are likely wet without rain.
func (h Hour) dewy() bool {
	return h.has(HourHumidity) && h.Humidity >= dampAir && !h.raining() && !h.frosty()
}

// droplets is how far the air is from what fine droplets like [cite.DeltaTGuideline]: false where it cannot be told.
func (h Hour) droplets() (bad bool) {
	const ideal, caution = 2, 10
	if !h.has(HourTemperature | HourHumidity) {
		return false
	}
	delta, err := DeltaT(h.Temperature, h.Humidity)
	return err == nil && !math.IsNaN(float64(delta)) && (delta < ideal || delta > caution)
}
