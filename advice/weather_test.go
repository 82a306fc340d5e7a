package advice_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/working"
	"culm/season"
)

// A field with further stations is advised from their blended weather, and says where it comes from: which
// stations, what was filled in, and which one stopped.
func TestFurtherStations(t *testing.T) {
	fs := named(t, "Mill Quarter")
	alone := advisor(t).Advise(fs)
	if _, known := alone.Figures.Get("weather"); known {
		t.Error("a field with one station speaks of several")
	}
	half := len(fs.Weather) / 2
	other := season.Log{Station: season.Station{ID: "elm", At: fs.Station.At}, Days: slices.Clone(fs.Weather)}
	other.Station.At.Lon += 0.1
	fs.Further = []season.Log{other}
	fs.Weather = fs.Weather[:half]
	plan := advisor(t).Advise(fs)
	figure, known := plan.Figures.Get("weather")
	if !known || figure.Origin.Kind != working.Observed || !strings.Contains(figure.Text, "elm (") || figure.Source == "" {
		t.Fatalf("%+v", figure)
	}
	notes := strings.Join(figure.Notes, " ")
	if !strings.Contains(notes, "ends on "+fs.Weather[half-1].Day.String()) || !strings.Contains(notes, "is that of elm") {
		t.Errorf("notes %v", figure.Notes)
	}
	if !slices.ContainsFunc(plan.Warnings, func(n advice.Note) bool { return n.Figure == "weather" }) {
		t.Error("nobody is warned of the station that stopped")
	}

	frozen, err := advisor(t).Freeze(fs, "test", time.Unix(0, 0), "")
	if err != nil {
		t.Fatal(err)
	}
	replay, err := advisor(t).Replay(frozen)
	if err != nil || !replay.Identical {
		t.Errorf("%+v, %v", replay.Differences, err)
	}
}
