package season_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

// Soil had no mass in its first shape. What was written then is read as it was meant.
func TestSoilOfTheFirstShapeReads(t *testing.T) {
	var e season.Entry
	if err := json.Unmarshal([]byte(around("soil", 1, soilBody)), &e); err != nil {
		t.Fatal(err)
	}
	s, ok := e.Body.(*season.Soil)
	if !ok || s.SoilMass != 0 || len(s.Results) != 1 {
		t.Fatalf("%+v", e.Body)
	}
	s.SoilMass = 0.3
	again, err := json.Marshal(e)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(again), `"version":2`) || !strings.Contains(string(again), `"soilMass":0.3`) {
		t.Errorf("written as %s", again)
	}
}

// Every analyte has a unit and methods spelled in the form that results use.
func TestAnalytesAndMethodsAreSpelledOneWay(t *testing.T) {
	for _, a := range season.Analytes() {
		if len(a.Methods()) == 0 && a.NeedsMethod() {
			t.Errorf("%s needs a method and none is known", a)
		}
		for _, m := range a.Methods() {
			if season.MethodName(m) != m {
				t.Errorf("%s: method %q is not in the form %q", a, m, season.MethodName(m))
			}
		}
	}
	if season.MethodName(" Mehlich 3_ICP ") != season.Mehlich3ICP || season.Extractant("Mehlich 3 ICP") != season.Mehlich3 || season.Extractant(season.Bray1) != season.Bray1 {
		t.Error("names of methods are not brought to one form")
	}
	if season.Analyte("gold").Known() || !season.CEC.Known() {
		t.Error("known analytes")
	}
}

// Limits of what a soil can hold are those of the analyte's own unit.
func TestResultsOutsideOfWhatCanBe(t *testing.T) {
	for _, row := range []struct {
		name   string
		soil   season.Soil
		says   string
		severe season.Severity
	}{
		{"CEC in the thousands", soilWith(season.Result{Analyte: season.CEC, Value: 2000, Method: "sum-of-cations"}), "cannot be", season.Fatal},
		{"free lime as a percentage", soilWith(season.Result{Analyte: season.Carbonate, Value: 12}), "cannot be", season.Fatal},
		{"a method of nobody's", soilWith(season.Result{Analyte: season.Phosphorus, Value: 12, Method: "spoon"}), "method", season.Doubtful},
		{"a soil as heavy as lead", season.Soil{Sample: "1", Field: "north", Day: calendar.Date(2026, time.August, 20), Bottom: 0.15, SoilMass: 3}, "reckoned with a soil that cannot be", season.Fatal},
	} {
		t.Run(row.name, func(t *testing.T) {
			problems := season.Check([]season.Entry{{ID: "1", Writer: "w", Recorded: time.Unix(0, 0), Body: &row.soil}}, calendar.Date(2027, time.January, 1))
			if !slices.ContainsFunc(problems, func(p season.Problem) bool {
				return p.Severity == row.severe && strings.Contains(p.Message, row.says)
			}) {
				t.Errorf("%+v", problems)
			}
		})
	}
}

func soilWith(r season.Result) season.Soil {
	return season.Soil{Sample: "1", Field: "north", Day: calendar.Date(2026, time.August, 20), Bottom: 0.15, Results: []season.Result{r}}
}
