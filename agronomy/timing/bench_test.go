//go:build unix

package timing_test

import (
	"syscall"
	"testing"
	"time"

	"culm/agronomy/climate"
	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/timing"
)

// processor is the time that the process has had of all processors, which other programs do not stretch.
func processor() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// A thousand fields' tables, every product on every day. The weather is loaded and the climate fitted, as it is once a
// station and season.
func BenchmarkThousandTables(b *testing.B) {
	s := sky(30, 10)
	usual, err := climate.Fit(s.Record, climate.Options{})
	if err != nil {
		b.Fatal(err)
	}
	s.Climate = usual
	for _, c := range []struct {
		name     string
		stations int
		fits     bool
	}{{"30 stations", 30, false}, {"a station each", 1000, false}, {"a station each, its climate fitted too", 1000, true}} {
		b.Run(c.name, func(b *testing.B) {
			from := s
			if c.fits {
				from.Climate = nil
			}
			begun := processor()
			for b.Loop() {
				tables(b, from, c.stations)
			}
			b.ReportMetric((processor()-begun).Seconds()/float64(b.N), "cpu-s/1000-fields")
		})
	}
}

func tables(b *testing.B, s timing.Sky, stations int) {
	products := fertilizer.All()
	outlooks := make([]*timing.Outlook, stations)
	for i := range 1000 {
		at := i % stations
		if outlooks[at] == nil {
			s.Seed = uint64(at)
			outlooks[at] = timing.Look(s)
		}
		f := field()
		f.Site.Planted = f.Site.Planted.Add(i % 40)
		table := over(b, outlooks[at], f)
		for d := range table.Days {
			for p := range products {
				if _, err := table.Loss(table.Days[d].Day, &products[p]); err != nil {
					b.Fatal(err)
				}
				for _, way := range placement.Ways() {
					table.Flags(&table.Days[d], &products[p], way)
				}
			}
		}
	}
}
