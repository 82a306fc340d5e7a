package server_test

import (
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"culm/agronomy/unit"
	"culm/demo"
	"culm/season"
)

// rigged is the invented season with a boom.
func rigged() []season.Entry {
	return append(demo.Season(demo.Cast, 1), season.Entry{ID: "rig-boom", Recorded: time.Date(2027, 1, 5, 12, 0, 0, 0, time.UTC), Writer: "advisor", Body: &season.Rig{
		ID: "boom", Name: "90 ft <b>boom</b>", Machine: season.Sprayer, Width: 90 * unit.Foot, Nozzles: 54, Spacing: 20 * unit.Inch,
		Tank: 1000 * unit.Gallon, Speed: 8 * unit.MilePerHour, Monitor: season.GallonsAnAcre,
	}})
}

func TestEveryFieldHasAnOperatorsCard(t *testing.T) {
	s := serve(t, rigged())
	for _, f := range season.Assemble(rigged()).Fields {
		for _, rig := range []string{"", "?rig=boom"} {
			path := "/fields/" + f.ID + "/card" + rig
			a := s.get(path)
			checkPage(t, path, a, http.StatusOK)
			for _, want := range []string{"Stop when", "Really spread", "Safety"} {
				if !strings.Contains(a.text, want) {
					t.Errorf("%s does not say %q", path, want)
				}
			}
			if strings.Contains(a.text, "<b>boom") {
				t.Errorf("%s: a name got into the page as it came", path)
			}
		}
		if a := s.get("/fields/" + f.ID + "/card.pdf"); a.Header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(a.text, "%PDF-") {
			t.Errorf("%s: no card on paper", f.ID)
		}
	}
	checkPage(t, "no rig", s.get("/fields/mill-quarter/card?rig=plough"), http.StatusBadRequest)
	checkPage(t, "no field", s.get("/fields/nowhere/card"), http.StatusNotFound)
}

// 28 % solution weighs 10.66 lb/gal and so holds 2.98 lb N a gallon (the product table's own source); urea is 46 % N.
func TestWhatWasSpreadIsCountedAsNitrogen(t *testing.T) {
	s, book := serveBook(t, rigged())
	for name, c := range map[string]struct {
		product, rate, unit string
		pounds, within      float64
	}{
		"solution by the gallon":  {"uan-28", "20", "gal/ac", 59.7, 0.1},
		"urea by the pound":       {"urea", "100", "lb/ac", 46, 1e-9},
		"nitrogen by the pound":   {"urea", "62.5", "lb N/ac", 62.5, 1e-9},
		"nitrogen by the hectare": {"urea", "112.085", "kg N/ha", 100, 1e-3},
	} {
		t.Run(name, func(t *testing.T) {
			a := s.post("/fields/mill-quarter/spread", url.Values{"by": {"R. Oake"}, "day": {"2027-02-10"}, "product": {c.product}, "rate": {c.rate}, "unit": {c.unit}, "placed": {"stream"}, "loads": {"3"}})
			checkPage(t, name, a, http.StatusOK)
			if !strings.Contains(a.text, "Written down.") {
				t.Error("the page does not say that it was written down")
			}
			got, ok := book.last.Body.(*season.Applied)
			if !ok {
				t.Fatalf("written: %T", book.last.Body)
			}
			if n := float64(got.Rate / unit.PoundPerAcre); math.Abs(n-c.pounds) > c.within {
				t.Errorf("%.3f lb/ac of N, want %g", n, c.pounds)
			}
			if got.Field != "mill-quarter" || got.By != "R. Oake" || got.Placement != "stream" || got.Note != "Read as "+c.rate+" "+c.unit+"; loads: 3." {
				t.Errorf("written: %+v", got)
			}
		})
	}
}

func TestWhatWasSpreadIsLookedAt(t *testing.T) {
	s, book := serveBook(t, rigged())
	before := book.last.ID
	good := url.Values{"by": {"R. Oake"}, "day": {"2027-02-10"}, "product": {"uan-28"}, "rate": {"20"}, "unit": {"gal/ac"}}
	for name, change := range map[string][2]string{
		"nobody":                {"by", " "},
		"a day to come":         {"day", "2027-02-11"},
		"no day":                {"day", ""},
		"no such product":       {"product", "gravel"},
		"no rate":               {"rate", ""},
		"nothing":               {"rate", "0"},
		"less than nothing":     {"rate", "-5"},
		"no number":             {"rate", "a lot"},
		"more than is believed": {"rate", "900"},
		"no such unit":          {"unit", "buckets"},
		"a dry one by volume":   {"product", "urea"},
	} {
		t.Run(name, func(t *testing.T) {
			form := url.Values{}
			for k, v := range good {
				form[k] = v
			}
			form.Set(change[0], change[1])
			checkPage(t, name, s.post("/fields/mill-quarter/spread", form), http.StatusBadRequest)
		})
	}
	if book.last.ID != before {
		t.Error("something was written down")
	}
}
