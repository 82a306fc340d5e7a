package ground_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

const allParts = ground.HourTemperature | ground.HourHumidity | ground.HourWind | ground.HourCloud | ground.HourRain

// hourly makes a day of 24 hours alike, then changes some.
func hourly(change func(h *ground.Hour)) []ground.Hour {
	hours := make([]ground.Hour, 24)
	for i := range hours {
		hours[i] = ground.Hour{Hour: i, Temperature: 8, Humidity: 0.6, Wind: 6 * unit.MilePerHour, Cloud: 0.3, Has: allParts}
		change(&hours[i])
	}
	return hours
}

var (
	february = calendar.Date(2026, time.February, 12)
	open     = ground.Verdict{State: ground.Open}
)

// A clear winter day with frost until eight and wind in the afternoon.
func ExampleFlags() {
	p := ground.Prospect{
		Site: plains, Daily: season.ForecastDay{WeatherDay: season.WeatherDay{Day: february}}, Ground: open,
		Hours: hourly(func(h *ground.Hour) {
			if h.Hour < 8 {
				h.Temperature = -3
			}
			if h.Hour >= 14 && h.Hour < 17 {
				h.Wind = 12 * unit.MilePerHour
			}
		}),
	}
	for _, f := range ground.Flags(p) {
		fmt.Println(f.Risk, f.Ways, f.Spans)
	}
	fmt.Println("flat fans:", ground.FitHours(p, placement.FlatFan), " streams:", ground.FitHours(p, placement.Stream))
	// Output:
	// windy-hours [flat-fan] [{14 17}]
	// inversion [flat-fan] [{0 9} {15 24}]
	// burn-frost [flat-fan stream] [{0 8}]
	// flat fans: [{9 14}]  streams: [{8 24}]
}

func find(flags []ground.Flag, r ground.Risk) (ground.Flag, bool) {
	if i := slices.IndexFunc(flags, func(f ground.Flag) bool { return f.Risk == r }); i >= 0 {
		return flags[i], true
	}
	return ground.Flag{}, false
}

func daily(change func(*season.ForecastDay)) season.ForecastDay {
	d := season.ForecastDay{WeatherDay: season.WeatherDay{Day: february, Low: 2, High: 12, Has: season.HasTemperature | season.HasRain | season.HasWind | season.HasHumidity}, Wind: 3, Humidity: 0.6}
	change(&d)
	return d
}

func TestFlagsOfADay(t *testing.T) {
	same := func(*season.ForecastDay) {}
	for _, row := range []struct {
		name     string
		p        ground.Prospect
		risk     ground.Risk
		level    ground.Level
		concerns []placement.Way
		spared   []placement.Way
	}{
		{"frozen ground stops everything", ground.Prospect{Daily: daily(same), Ground: ground.Verdict{State: ground.Frozen, Reason: "cold"}}, ground.GroundState, ground.Stop, []placement.Way{placement.Broadcast, placement.FlatFan, placement.Stream}, nil},
		{"saturated ground too", ground.Prospect{Daily: daily(same), Ground: ground.Verdict{State: ground.Saturated}}, ground.GroundState, ground.Stop, []placement.Way{placement.Broadcast}, nil},
		{"soft ground warns", ground.Prospect{Daily: daily(same), Ground: ground.Verdict{State: ground.Soft}}, ground.GroundState, ground.Caution, []placement.Way{placement.Broadcast}, nil},
		{"a doubt is a note", ground.Prospect{Daily: daily(same), Ground: ground.Verdict{State: ground.Open, Doubt: "spade"}}, ground.GroundState, ground.Note, nil, nil},
		{"wind above 10 mph drifts spray only", ground.Prospect{Daily: daily(func(d *season.ForecastDay) { d.Wind = 11 * unit.MilePerHour }), Ground: open}, ground.Drift, ground.Caution, []placement.Way{placement.FlatFan}, []placement.Way{placement.Broadcast, placement.Stream}},
		{"frost burns under liquids only", ground.Prospect{Daily: daily(func(d *season.ForecastDay) { d.Low = -1 }), Ground: open}, ground.BurnFrost, ground.Caution, []placement.Way{placement.FlatFan, placement.Stream}, []placement.Way{placement.Broadcast}},
		{"90 F burns", ground.Prospect{Daily: daily(func(d *season.ForecastDay) { d.High = unit.Fahrenheit(90) }), Ground: open}, ground.BurnHeat, ground.Caution, []placement.Way{placement.Stream}, []placement.Way{placement.Broadcast}},
		{"a damp day may be dewy", ground.Prospect{Daily: daily(func(d *season.ForecastDay) { d.Humidity = 0.97 }), Ground: open}, ground.BurnDew, ground.Note, []placement.Way{placement.Stream}, []placement.Way{placement.Broadcast}},
		{"a herbicide past tillering", ground.Prospect{Daily: daily(same), Ground: open, Herbicide: true, Tillered: true}, ground.BurnWeeds, ground.Caution, []placement.Way{placement.FlatFan}, []placement.Way{placement.Broadcast}},
		{"an inversion every night", ground.Prospect{Daily: daily(same), Ground: open}, ground.Inversion, ground.Note, []placement.Way{placement.FlatFan}, []placement.Way{placement.Broadcast, placement.Stream}},
		{"rain that day", ground.Prospect{Daily: daily(func(d *season.ForecastDay) { d.Rain, d.RainChance = 5, 0.6 }), Ground: open}, ground.RainOn, ground.Note, []placement.Way{placement.Broadcast}, nil},
		{"runoff on the day after", ground.Prospect{Daily: daily(same), Ground: open, Coming: []ground.Condition{{}, {Runoff: 3, RunsOff: 0.5}}}, ground.RunsOff, ground.Caution, []placement.Way{placement.Broadcast}, nil},
		{"100 mm through loam", ground.Prospect{Daily: daily(same), Ground: open, Coming: []ground.Condition{{Drained: 60}, {Drained: 40}}}, ground.Leaches, ground.Caution, nil, nil},
	} {
		f, flagged := find(ground.Flags(row.p), row.risk)
		if !flagged || f.Level != row.level {
			t.Errorf("%s: %+v, flagged %v", row.name, f, flagged)
			continue
		}
		for _, way := range row.concerns {
			if !f.Concerns(way) {
				t.Errorf("%s: does not concern %s", row.name, way)
			}
		}
		for _, way := range row.spared {
			if f.Concerns(way) {
				t.Errorf("%s: concerns %s", row.name, way)
			}
		}
	}
}

func TestNoFlagWithoutCause(t *testing.T) {
	quiet := ground.Prospect{Daily: daily(func(*season.ForecastDay) {}), Ground: open, Coming: []ground.Condition{{Runoff: 1, RunsOff: 0.1}, {Drained: 20}, {}, {Runoff: 50, RunsOff: 1}}}
	flags := ground.Flags(quiet)
	if len(flags) != 1 || flags[0].Risk != ground.Inversion {
		t.Errorf("%+v; only the night's inversion was expected, and runoff after the third day not counted", flags)
	}
	unlikely := quiet
	unlikely.Daily.Rain, unlikely.Daily.RainChance = 5, 0.2
	if f, flagged := find(ground.Flags(unlikely), ground.RainOn); flagged {
		t.Errorf("%+v", f)
	}
}

// Steady wind under solid cloud lets no inversion form (North Dakota AE1705); calm air at noon counts as one by the
// label's 3 mph.
func TestInversionHours(t *testing.T) {
	prospect := func(change func(*ground.Hour)) ground.Prospect {
		return ground.Prospect{Site: plains, Daily: season.ForecastDay{WeatherDay: season.WeatherDay{Day: february}}, Ground: open, Hours: hourly(change)}
	}
	if f, flagged := find(ground.Flags(prospect(func(h *ground.Hour) { h.Cloud = 1 })), ground.Inversion); flagged {
		t.Errorf("windy and overcast: %+v", f)
	}
	f, _ := find(ground.Flags(prospect(func(h *ground.Hour) {
		if h.Hour == 12 {
			h.Wind = 2 * unit.MilePerHour
		}
	})), ground.Inversion)
	if !slices.Contains(f.Spans, ground.Span{From: 12, To: 13}) {
		t.Errorf("calm at noon: %+v", f.Spans)
	}
}

func TestFlagSourcesAreInTheCatalogue(t *testing.T) {
	p := ground.Prospect{
		Daily: daily(func(d *season.ForecastDay) { d.Low, d.High, d.Wind, d.Humidity, d.Rain = -5, 40, 20, 1, 9 }), Herbicide: true,
		Ground: ground.Verdict{State: ground.Frozen, Reason: "cold", Source: cite.SoilRelaxation}, Coming: []ground.Condition{{Runoff: 9, RunsOff: 1, Drained: 300, Frozen: 1}},
	}
	flags := ground.Flags(p)
	if len(flags) != 11 {
		t.Errorf("%d flags", len(flags))
	}
	for _, f := range flags {
		if _, known := cite.Find(f.Source); !known || f.Status == "" || f.Reason == "" {
			t.Errorf("%+v", f)
		}
	}
}

// Stops come first, spans lie within the day, and hours that are fit are not flagged.
func TestFlagsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := ground.Prospect{
			Site: plains, Ground: ground.Verdict{State: rapid.SampledFrom([]ground.State{ground.Open, ground.Frozen, ground.Soft, ground.Unknown}).Draw(t, "state")},
			Daily:     season.ForecastDay{WeatherDay: season.WeatherDay{Day: february.Add(rapid.IntRange(0, 300).Draw(t, "day"))}},
			Herbicide: rapid.Bool().Draw(t, "herbicide"),
			Hours: hourly(func(h *ground.Hour) {
				h.Temperature = unit.Temperature(rapid.Float64Range(-25, 45).Draw(t, "temperature"))
				h.Humidity = unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "humidity"))
				h.Wind = unit.Speed(rapid.Float64Range(0, 15).Draw(t, "wind"))
				h.Cloud = unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "cloud"))
				h.Has = ground.HourParts(rapid.IntRange(0, int(allParts)).Draw(t, "has"))
			}),
		}
		flags := ground.Flags(p)
		for i, f := range flags {
			if i > 0 && f.Level > flags[i-1].Level {
				t.Fatalf("%v after %v", f, flags[i-1])
			}
			for _, s := range f.Spans {
				if s.From < 0 || s.To > 24 || s.From >= s.To {
					t.Fatalf("%+v", f)
				}
			}
		}
		for _, way := range []placement.Way{placement.Broadcast, placement.FlatFan, placement.Stream} {
			for _, fit := range ground.FitHours(p, way) {
				for _, f := range flags {
					if f.Concerns(way) && f.Risk != ground.Droplets && slices.ContainsFunc(f.Spans, func(s ground.Span) bool { return s.From < fit.To && fit.From < s.To }) {
						t.Fatalf("%v is fit for %s and flagged %+v", fit, way, f)
					}
				}
			}
		}
	})
}
