package weather_test

import (
	"strings"
	"testing"
	"time"

	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"

	"pgregory.net/rapid"
)

// eleven is a record of eleven dry days at one temperature, ending on 11 January.
func eleven(low, high unit.Temperature) []season.WeatherDay {
	var days []season.WeatherDay
	for i := range 11 {
		days = append(days, day(1+i, low, high))
	}
	return days
}

// longer puts a week at one temperature before a record that starts on 1 January.
func longer(low, high unit.Temperature, days []season.WeatherDay) []season.WeatherDay {
	var week []season.WeatherDay
	for d := -6; d <= 0; d++ {
		week = append(week, day(d, low, high))
	}
	return append(week, days...)
}

func change(days []season.WeatherDay, d int, with func(*season.WeatherDay)) []season.WeatherDay {
	with(&days[d-1])
	return days
}

func TestGround(t *testing.T) {
	yes, no := true, false
	rain := func(mm unit.Water) func(*season.WeatherDay) {
		return func(d *season.WeatherDay) { d.Rain = mm }
	}
	snow := func(mm unit.Water) func(*season.WeatherDay) {
		return func(d *season.WeatherDay) { d.Snow, d.Has = mm, d.Has|season.HasSnow }
	}
	warm := func(d *season.WeatherDay) { d.Low, d.High = 0, 9 }
	drop := func(part season.Parts) func(*season.WeatherDay) {
		return func(d *season.WeatherDay) { d.Has &^= part }
	}
	forecast := func(d season.WeatherDay) *season.Forecast {
		return &season.Forecast{Days: []season.ForecastDay{{WeatherDay: d}}}
	}
	for _, row := range []struct {
		name     string
		outlook  weather.Outlook
		on       int // January; 0 means the 11th
		state    weather.State
		observed bool
		says     string
		doubt    string
	}{
		{"mild and dry", weather.Outlook{Record: eleven(4, 12)}, 0, weather.Open, false, "neither", ""},
		{"cool and dry", weather.Outlook{Record: eleven(-3, 5)}, 0, weather.Open, false, "neither", ""},
		{"cold and dry", weather.Outlook{Record: eleven(-6, 3)}, 0, weather.Open, false, "neither", "spade"},
		{"hard frost", weather.Outlook{Record: eleven(-12, -2)}, 0, weather.Frozen, false, "too often", ""},
		{"cold, then a day below freezing", weather.Outlook{Record: change(eleven(-6, 3), 11, func(d *season.WeatherDay) { d.High = -1 })}, 0, weather.Frozen, false, "all day", ""},
		{"mild, then a day below freezing", weather.Outlook{Record: change(eleven(6, 14), 11, func(d *season.WeatherDay) { d.Low, d.High = -6, -1 })}, 0, weather.Open, false, "neither", ""},
		{"found frozen though mild", weather.Outlook{Record: eleven(4, 12), Visits: []*season.Visit{{Day: january(11), Frozen: &yes}}}, 0, weather.Frozen, true, "found frozen", ""},
		{"found open though cold", weather.Outlook{Record: eleven(-12, -2), Visits: []*season.Visit{{Day: january(11), Frozen: &no, Snow: &no}}}, 0, weather.Open, true, "neither", ""},
		{"found open yesterday, cold", weather.Outlook{Record: eleven(-12, -2), Visits: []*season.Visit{{Day: january(10), Frozen: &no}}}, 0, weather.Frozen, false, "too often", ""},
		{"snow seen", weather.Outlook{Record: eleven(4, 12), Visits: []*season.Visit{{Day: january(11), Snow: &yes}}}, 0, weather.SnowCovered, true, "seen", ""},
		{"snow measured", weather.Outlook{Record: change(eleven(-2, 4), 11, snow(20))}, 0, weather.SnowCovered, true, "measured", ""},
		{"snow measured gone", weather.Outlook{Record: change(change(eleven(-2, 6), 10, snow(200)), 11, snow(0))}, 0, weather.SoftWet, false, "melting", ""},
		{"rain below freezing counts as snow", weather.Outlook{Record: change(eleven(-8, 2), 9, rain(5))}, 0, weather.SnowCovered, false, "counted from what fell", ""},
		{"and melts", weather.Outlook{Record: change(eleven(1, 9), 9, func(d *season.WeatherDay) { d.Low, d.High, d.Rain = -4, 2, 5 })}, 0, weather.Open, false, "neither", ""},
		{"rain above freezing does not", weather.Outlook{Record: change(eleven(2, 9), 9, rain(5))}, 0, weather.Open, false, "neither", ""},
		{"snow estimated, but seen bare", weather.Outlook{Record: change(eleven(-8, 2), 9, rain(5)), Visits: []*season.Visit{{Day: january(11), Snow: &no}}}, 0, weather.Frozen, false, "too often", ""},
		{"an inch in two days", weather.Outlook{Record: change(change(eleven(4, 12), 10, rain(15)), 11, rain(10))}, 0, weather.SoftWet, false, "rain", ""},
		{"an inch four days ago", weather.Outlook{Record: change(eleven(4, 12), 7, rain(25.4))}, 0, weather.Open, false, "neither", ""},
		{"thaw", weather.Outlook{Record: longer(-6, 1, change(change(change(eleven(-6, 1), 9, warm), 10, warm), 11, warm))}, 0, weather.SoftWet, false, "thawing", "spade"},
		{"no temperature", weather.Outlook{Record: change(eleven(4, 12), 5, drop(season.HasTemperature))}, 0, weather.Unknown, false, "temperature", ""},
		{"no rain gauge", weather.Outlook{Record: change(change(change(eleven(4, 12), 9, drop(season.HasRain)), 10, drop(season.HasRain)), 11, drop(season.HasRain))}, 0, weather.Unknown, false, "rain", ""},
		{"rain of one day missing", weather.Outlook{Record: change(eleven(4, 12), 9, drop(season.HasRain))}, 0, weather.Open, false, "neither", "rain is not known"},
		{"nothing known", weather.Outlook{}, 0, weather.Unknown, false, "neither rain nor temperature", ""},
		{"snow forecast", weather.Outlook{Record: eleven(-3, 4), Forecast: forecast(season.WeatherDay{Day: january(12), Low: -6, High: 1, Snow: 40, Rain: 4, Has: season.HasTemperature | season.HasRain | season.HasSnow})}, 12, weather.SnowCovered, false, "forecast to fall", ""},
		{"open in the forecast", weather.Outlook{Record: eleven(4, 12), Forecast: forecast(day(12, 4, 12))}, 12, weather.Open, false, "neither", ""},
	} {
		on := row.on
		if on == 0 {
			on = 11
		}
		g := row.outlook.Ground(january(on))
		if g.State != row.state || g.Observed != row.observed || !strings.Contains(g.Reason, row.says) || !strings.Contains(g.Doubt, row.doubt) || (row.doubt == "") != (g.Doubt == "") {
			t.Errorf("%s: %+v, want %s saying %q, doubt %q", row.name, g, row.state, row.says, row.doubt)
		}
		if g.Stops() != (g.State == weather.Frozen || g.State == weather.SnowCovered) {
			t.Errorf("%s: stops %v", row.name, g.Stops())
		}
	}
}

// Whatever is known, Ground answers with a state and a reason.
func TestGroundAnswersAlways(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var days []season.WeatherDay
		for i := range 14 {
			low := unit.Temperature(rapid.Float64Range(-25, 15).Draw(t, "low"))
			days = append(days, season.WeatherDay{
				Day: january(1 + i), Low: low, High: low + unit.Temperature(rapid.Float64Range(0, 20).Draw(t, "range")),
				Rain: unit.Water(rapid.Float64Range(0, 30).Draw(t, "rain")), Snow: unit.Water(rapid.IntRange(0, 3).Draw(t, "snow")),
				Has: season.Parts(rapid.IntRange(0, 7).Draw(t, "has")),
			})
		}
		g := weather.Outlook{Record: days}.Ground(january(14))
		if g.State == "" || g.Reason == "" {
			t.Fatalf("%+v", g)
		}
	})
}

// The hours of a forecast come along with the day they belong to on the field's clock, with noon by the sun,
// which is some 8 minutes late in the middle of January (from memory).
func TestProspectHasHours(t *testing.T) {
	sky := season.ForecastDay{WeatherDay: day(12, -2, 9)}
	f := &season.Forecast{Days: []season.ForecastDay{sky}}
	for i := range 48 {
		f.Hours = append(f.Hours, season.Hour{
			At: day(12, 0, 0).Day.Time().Add(time.Duration(i) * time.Hour), Ahead: -360, Wind: unit.Speed(i), Has: season.HourWind | season.HourGust,
		})
	}
	o := weather.Outlook{Record: eleven(0, 9), Forecast: f, Site: ground.Site{Longitude: -99, HasLongitude: true}}.Ready()
	p := o.Prospect(sky)
	if len(p.Hours) != 24 || p.Hours[0].Hour != 0 || p.Hours[0].Wind != 6 || p.Hours[0].Has != ground.HourWind || p.Noon < 12.72 || p.Noon > 12.76 {
		t.Errorf("%d hours, the first %+v, noon %v", len(p.Hours), p.Hours[0], p.Noon)
	}
	f.Hours = nil
	if p := o.Prospect(sky); p.Hours != nil || p.Noon != 0 {
		t.Errorf("without hours: %+v", p)
	}
}

// A station that stopped a month ago does not make a warm forecast of today's uncertain by a month.
func TestLeadCountsFromTheDayOfIssue(t *testing.T) {
	f := &season.Forecast{Issued: time.Date(2015, 2, 10, 6, 0, 0, 0, time.UTC)}
	for i := range 21 {
		f.Days = append(f.Days, season.ForecastDay{WeatherDay: day(41+i, 1, 14)})
	}
	o := weather.Outlook{Record: eleven(1, 14), Forecast: f}.Ready()
	days := weather.GroundDays(o.Record, f)
	if first := days[len(days)-21]; first.Lead != 1 || days[len(days)-1].Lead != 21 {
		t.Errorf("leads of %d to %d days, want 1 to 21", first.Lead, days[len(days)-1].Lead)
	}
	for _, d := range f.Days[11:] {
		if g := o.Ground(d.Day); g.State == weather.Frozen {
			t.Errorf("%s: %s, %s", d.Day, g.State, g.Reason)
		}
	}
}
