package advice_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
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

// How far the crop came in fall stands in the ledger, with the caution that belongs to it; without a planting
// date there is nothing to count from.
func TestStageInFall(t *testing.T) {
	fs := named(t, "Mill Quarter")
	stage := func(fs season.FieldSeason) (working.Figure, bool) {
		plan := advisor(t).Advise(fs)
		return plan.Figures.Get("stage.fall")
	}
	figure, known := stage(fs)
	if !known || figure.Amount.Kind != unit.KindDegreeDays || figure.Amount.Base < 200 || len(figure.Notes) != 2 || !strings.Contains(figure.Notes[1], "not through the winter") {
		t.Errorf("%+v", figure)
	}
	canola := named(t, "Cottonwood Forty")
	if figure, known := stage(canola); !known || !strings.HasPrefix(figure.Notes[0], "By the table: ") {
		t.Errorf("canola: %+v", figure)
	}
	fs.Field.Planted = calendar.Day{}
	if _, known := stage(fs); known {
		t.Error("leaves are counted from an unknown day")
	}
}
