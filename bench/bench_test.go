// Package bench measures whole jobs from end to end. Benchmarks of single formulas stand beside them.
package bench

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/exchange/folder"
	"culm/season"

	"golang.org/x/sync/errgroup"
)

// fields is how many fields the season of the benchmarks has, each with a weather station of its own.
const fields = 1000

// writeSeason writes the invented district with a station of its own for each field, so that the weather is
// as much as it can be.
func writeSeason(tb testing.TB, dir string) {
	tb.Helper()
	entries := demo.Season(fields, 1)
	stations := map[string][]season.Entry{}
	for _, e := range entries {
		switch b := e.Body.(type) {
		case *season.Station:
			stations[b.ID] = append(stations[b.ID], e)
		case *season.Weather:
			stations[b.Station] = append(stations[b.Station], e)
		case *season.Forecast:
			stations[b.Station] = append(stations[b.Station], e)
		}
	}
	var all []season.Entry
	for _, e := range entries {
		f, ok := e.Body.(*season.Field)
		if !ok {
			all = append(all, e)
			continue
		}
		own := *f
		own.Station = "at-" + f.ID
		e.Body = &own
		all = append(all, e)
		for _, s := range stations[f.Station] {
			all = append(all, ofStation(s, own.Station))
		}
	}
	if err := folder.Write(dir, season.Standing(all), unit.US); err != nil {
		tb.Fatal(err)
	}
}

// ofStation copies an entry for another station.
func ofStation(e season.Entry, station string) season.Entry {
	e.ID = fmt.Sprintf("%s-%s", e.ID, station)
	switch b := e.Body.(type) {
	case *season.Station:
		own := *b
		own.ID, own.Name = station, station
		e.Body = &own
	case *season.Weather:
		own := *b
		own.Station = station
		e.Body = &own
	case *season.Forecast:
		own := *b
		own.Station = station
		e.Body = &own
	}
	return e
}

// BenchmarkAdviseFolder is culm advise without the printing: a folder of 1,000 fields read, checked and
// advised on every processor.
func BenchmarkAdviseFolder(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "season")
	writeSeason(b, dir)
	advisor, err := advice.NewAdvisor()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		content, problems := folder.Open(dir)
		problems = append(problems, content.Check(demo.Today())...)
		for _, p := range problems {
			if p.Severity == season.Fatal {
				b.Fatal(p)
			}
		}
		s := season.Assemble(content.Entries)
		plans := make([]advice.Plan, len(s.Fields))
		var group errgroup.Group
		group.SetLimit(runtime.GOMAXPROCS(0))
		for i, f := range s.Fields {
			group.Go(func() error {
				fs, _ := s.Of(f.ID, demo.Today())
				plans[i] = advisor.Advise(fs)
				return nil
			})
		}
		if err := group.Wait(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(fields)*float64(b.N)/b.Elapsed().Seconds(), "fields/s")
}

// TestWriteSeason writes the season of the benchmarks where CULM_BENCH_SEASON says, for timing the program as
// a whole process.
func TestWriteSeason(t *testing.T) {
	dir := os.Getenv("CULM_BENCH_SEASON")
	if dir == "" {
		t.Skip("set CULM_BENCH_SEASON to a folder to be written")
	}
	writeSeason(t, dir)
}
