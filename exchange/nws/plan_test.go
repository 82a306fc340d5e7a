package nws_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/weather"
	"culm/season"
)

// tallahassee is where the recorded reply is of.
func tallahassee(t *testing.T) (*season.Station, *season.Forecast) {
	t.Helper()
	eastern, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	f, _ := read(t, "fc_nws_library_fixtures/detailed_forecast.json", eastern)
	return &season.Station{ID: "s", At: season.Position{Lon: -84.28, Lat: 30.44}, Zone: "America/New_York"}, f
}

// From the recorded reply to what it means for a sprayer. On 5 February 2022 its rain ends at 12 UTC, 7 o'clock; wind
// is 9 kt in the hours of 13 and 17 UTC and 10 kt between them, above 10 mph (8.7 kt), and 8 kt from 18 UTC on. The
// sun sets at 18:12 (FAO-56 Eq. 25 and 31 to 34). A flat fan's hours are those from 13 o'clock to two hours before.
func TestHoursOfTheRecordedReply(t *testing.T) {
	station, f := tallahassee(t)
	site := ground.Site{Latitude: station.At.Lat, HasLatitude: true, Longitude: station.At.Lon, HasLongitude: true}
	o := weather.Outlook{Forecast: f, Site: site}.Ready()
	p := o.Prospect(f.Days[1])
	if len(p.Hours) != 24 || f.Days[1].Day != calendar.Date(2022, time.February, 5) {
		t.Fatalf("%s has %d hours", f.Days[1].Day, len(p.Hours))
	}
	flags := ground.Flags(p)
	at := slices.IndexFunc(flags, func(f ground.Flag) bool { return f.Risk == ground.WindyHours })
	if at < 0 || !slices.Equal(flags[at].Spans, []ground.Span{{From: 8, To: 13}}) {
		t.Errorf("%+v; want wind from 8 to 13 o'clock", flags)
	}
	for _, row := range []struct {
		way  placement.Way
		want []ground.Span
	}{
		{placement.FlatFan, []ground.Span{{From: 13, To: 16}}},
		{placement.Broadcast, []ground.Span{{From: 7, To: 24}}},
	} {
		if fit := ground.FitHours(p, row.way); !slices.Equal(fit, row.want) {
			t.Errorf("%s: fit %v, want %v", row.way, fit, row.want)
		}
	}
}

// And on to the plan of a field. On 4 February it rains from 6 UTC, 1 o'clock, until after midnight.
func TestHoursOfTheRecordedReplyInAPlan(t *testing.T) {
	station, f := tallahassee(t)
	a, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	p := a.Advise(season.FieldSeason{
		Today: f.Days[0].Day, Settings: season.Settings{HarvestYear: 2022},
		Field:   season.Field{ID: "f", Crop: season.WheatGrain, Planted: calendar.Date(2021, time.November, 1), Station: station.ID},
		Station: station, Forecast: f,
	})
	if len(p.Days) < 2 {
		t.Fatalf("%d days in the plan", len(p.Days))
	}
	wet, after := p.Days[0], p.Days[1]
	if !slices.Equal(wet.FitHours, []ground.Span{{From: 0, To: 1}}) || !strings.Contains(strings.Join(wet.Flags, "; "), "hardly an hour of the day is fit") {
		t.Errorf("4 February: fit %v, flags %q", wet.FitHours, wet.Flags)
	}
	if !slices.Equal(after.FitHours, []ground.Span{{From: 7, To: 24}}) || len(after.Notes) == 0 || after.Notes[0] != "fit for it from 7 o'clock" {
		t.Errorf("5 February: fit %v, notes %q", after.FitHours, after.Notes)
	}
}
