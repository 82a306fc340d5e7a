package picture_test

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/season"
	"culm/server/picture"

	"github.com/a-h/templ"
)

func drawn(t *testing.T, c templ.Component) string {
	t.Helper()
	var b strings.Builder
	if err := c.Render(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	wellFormed(t, b.String())
	return b.String()
}

// wellFormed reads a picture as XML and looks for places that are no place.
func wellFormed(t *testing.T, text string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader("<root>" + text + "</root>"))
	d.Strict = false // an attribute such as data-map needs no value in HTML
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%.300s", err, text)
		}
		if start, ok := token.(xml.StartElement); ok {
			for _, a := range start.Attr {
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
					t.Errorf("<%s %s=%q>", start.Name.Local, a.Name.Local, a.Value)
				}
			}
		}
	}
}

func TestTheMapHasEveryFieldOnce(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	district := picture.LayDistrict(s.Fields, s.Boundaries)
	marks := map[string]picture.Mark{}
	for i, f := range s.Fields {
		if i%2 == 0 {
			marks[f.ID] = picture.Mark{Action: advice.Hold, Rank: i + 1, Words: f.Name + ": hold"}
		}
	}
	text := drawn(t, district.With(marks, unit.US).Draw(func(field string) templ.SafeURL { return templ.SafeURL("/fields/" + field) }))
	for i, f := range s.Fields {
		want := i%2 == 0
		if got := strings.Count(text, fmt.Sprintf(`data-field="%s"`, f.ID)); got == 1 != want {
			t.Errorf("%s stands on the map %d times; listed: %v", f.ID, got, want)
		}
	}
	if got := strings.Count(text, `class="elsewhere"`); got != len(s.Fields)/2 {
		t.Errorf("%d fields drawn as outlines only, want %d", got, len(s.Fields)/2)
	}
	if !strings.Contains(text, "1 mi") {
		t.Error("the scale bar is not of a mile")
	}
	if metric := drawn(t, district.With(marks, unit.Metric).Draw(func(string) templ.SafeURL { return "/" })); !strings.Contains(metric, " km") {
		t.Error("the scale bar of a metric reader is not in kilometres")
	}
}

func TestADistrictWithoutBoundaries(t *testing.T) {
	d := picture.LayDistrict([]season.Field{{ID: "a"}}, nil)
	if !d.Empty() {
		t.Error("a field without a boundary was drawn")
	}
	drawn(t, d.With(nil, unit.US).Draw(func(string) templ.SafeURL { return "/" }))
	if _, ok := picture.FieldOf(season.Field{ID: "a"}, nil, nil); ok {
		t.Error("a field without a boundary has an outline")
	}
}

func TestPairsSayHowManyAreHigher(t *testing.T) {
	points := []advice.PairPoint{{At: 1, Reference: 0.6, Beside: 0.5}, {At: 2, Reference: 0.5, Beside: 0.5}, {At: 3, Reference: 0.7, Beside: 0.5}}
	p := picture.PairsOf(points, "strip")
	if want := "2 of 3 readings on the strip are higher than the reading beside it"; p.Words != want {
		t.Errorf("the picture says %q, want %q", p.Words, want)
	}
	if got := strings.Count(drawn(t, p.Draw()), `class="tie"`); got != len(points) {
		t.Errorf("%d stems, want %d", got, len(points))
	}
	drawn(t, picture.PairsOf(points[:1], "strip").Draw())
	drawn(t, picture.PairsOf(nil, "strip").Draw())
}

func TestTheResponseIsLabelledAtTheAdvisedRate(t *testing.T) {
	r := advice.Response{GainKind: unit.KindWheatYield, Advised: 40 * unit.PoundPerAcre}
	for i := range 9 {
		gain := unit.Yield(i) * unit.WheatBushelPerAcre
		r.Points = append(r.Points, advice.ResponsePoint{Rate: unit.Rate(10*i) * unit.PoundPerAcre, Gain: gain, Low: gain / 2, High: 2 * gain})
	}
	text := drawn(t, picture.ResponseOf(r, unit.US).Draw())
	for _, want := range []string{"40\u202flb/ac advised", "4.0 (2.0 to 8.0)\u202fbu/ac more"} {
		if !strings.Contains(text, want) {
			t.Errorf("the picture does not say %q", want)
		}
	}
	if metric := drawn(t, picture.ResponseOf(r, unit.Metric).Draw()); !strings.Contains(metric, "45\u202fkg/ha advised") {
		t.Error("the picture is not in a metric reader's units")
	}
}

func TestEveryPictureOfTheDistrictIsWhole(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	advisor, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		plan := advisor.Advise(fs)
		for _, e := range plan.Need.Evidence {
			drawn(t, picture.PairsOf(e.Series, "strip").Draw())
		}
		drawn(t, picture.ResponseOf(plan.Response, unit.US).Draw())
		drawn(t, picture.PlotsOf(plan.Response.Observed, f.Crop.YieldKind(), unit.US).Draw())
		field, ok := picture.FieldOf(f, fs.Boundary, fs.Spots)
		if !ok {
			t.Errorf("%s has no outline", f.ID)
		}
		text := drawn(t, field.Draw())
		if got := strings.Count(text, `class="poor"`) + strings.Count(text, `class="good"`); got != len(fs.Spots) {
			t.Errorf("%s: %d spots drawn, want %d", f.ID, got, len(fs.Spots))
		}
	}
}
