package main

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"culm/exchange/folder"
	"culm/internal/opendata"
	"culm/season"
)

// The replies recorded for a place in Florida, served on this machine, end up in the folder as a forecast that
// reads back.
func TestWeatherFetch(t *testing.T) {
	points, err := os.ReadFile(opendata.Path(t, "fc_nws_library_fixtures/points.json"))
	if err != nil {
		t.Fatal(err)
	}
	grid, err := os.ReadFile(opendata.Path(t, "fc_nws_library_fixtures/detailed_forecast.json"))
	if err != nil {
		t.Fatal(err)
	}
	service := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch r.URL.Path {
		case "/points/30,-85":
			_, _ = w.Write(points)
		case "/gridpoints/TAE/58,65":
			_, _ = w.Write(grid)
		default:
			http.NotFound(w, r)
		}
	}))
	defer service.Close()
	dir := t.TempDir()
	settings := "season: {name: x, harvest-year: 2022, units: us}\nstations:\n  - {id: oak, lat: 30, lon: -85, zone: America/New_York}\n  - {id: sea, lat: 0, lon: -30}\n"
	if err := os.WriteFile(filepath.Join(dir, "season.yaml"), []byte(settings), 0o644); err != nil {
		t.Fatal(err)
	}
	fetch := func(now time.Time, more ...string) (code int, out, said string) {
		var stdout, stderr bytes.Buffer
		d := &door{out: &stdout, err: &stderr, now: func() time.Time { return now }}
		args := append([]string{"weather", "fetch", dir, "--contact", "a@example.org", "--cache", filepath.Join(dir, "kept"), "--base-url", service.URL}, more...)
		return run(t.Context(), d, args), stdout.String(), stderr.String()
	}
	now := time.Date(2022, 2, 4, 9, 0, 0, 0, time.UTC)

	code, out, said := fetch(now, "--station", "oak")
	if code != exitDone || !strings.Contains(out, "oak: issued 2022-02-04 03:15 UTC by National Weather Service, grid TAE 58,65") {
		t.Fatal(code, out, said)
	}
	content, problems := folder.Open(dir)
	forecasts := season.Assemble(content.Entries).Forecasts["oak"]
	if len(problems) > 0 || len(forecasts) != 1 || len(forecasts[0].Days) < 6 {
		t.Fatalf("%+v, %+v", problems, forecasts)
	}

	code, out, said = fetch(now, "--json")
	var report fetchReport
	if err := json.Unmarshal([]byte(out), &report); err != nil || code != exitFailed || len(report.Stations) != 2 || report.Stations[0].Error != "" || !strings.Contains(report.Stations[1].Error, "404") {
		t.Error(code, out, said, err)
	}

	code, out, _ = fetch(now.Add(3*time.Hour), "--offline", "--station", "oak")
	if code != exitDone || !strings.Contains(out, "a copy 3 hours old is used") {
		t.Error(code, out)
	}
	code, out, _ = fetch(now.Add(90*time.Hour), "--offline", "--station", "oak")
	if code != exitFailed || !strings.Contains(out, "the forecast has expired") {
		t.Error(code, out)
	}
	if code, _, said = fetch(now, "--station", "elm"); code != exitUsage || !strings.Contains(said, "elm") {
		t.Error(code, said)
	}
	if code, _, said = fetch(now, "--contact", " "); code != exitUsage || !strings.Contains(said, "contact") {
		t.Error(code, said)
	}
}
