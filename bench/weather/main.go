// Command weather is the weather job of the benchmarks as a whole process, so that it can be timed beside
// other programs that do the same: a region's daily weather read from one file, degree days, and the Markov
// chain of every station; then, when asked, wet days simulated for every station.
//
//	weather make FILE            write the input: 1,000 stations x 30 years, 335 MB, seeded
//	weather fit FILE [N]         read, sum, fit; with N also simulate N sequences of 14 days for each station
//	weather full FILE            read, and fit everything: rain amounts and temperatures too
//	weather simulate N           simulate N sequences of 14 days for each of 1,000 stations of one law
package main

import (
	"fmt"
	"os"
	"strconv"
	"time"

	"culm/agronomy/climate"
	"culm/agronomy/unit"
	"culm/exchange/daily"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "weather:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 2 && args[0] == "make":
		return write(args[1])
	case len(args) == 2 && args[0] == "fit":
		return fit(args[1], 0)
	case len(args) == 3 && args[0] == "fit":
		n, err := strconv.Atoi(args[2])
		if err != nil {
			return err
		}
		return fit(args[1], n)
	case len(args) == 2 && args[0] == "full":
		return full(args[1])
	case len(args) == 2 && args[0] == "simulate":
		n, err := strconv.Atoi(args[1])
		if err != nil {
			return err
		}
		simulate(n)
		return nil
	default:
		return fmt.Errorf("expected make FILE, fit FILE [N], full FILE or simulate N")
	}
}

// stations calls for each station of the file.
func stations(path string, each func(*daily.Reader) error) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	r, err := daily.NewReader(f, daily.Layout{Columns: map[string]string{"tmax": "high_c", "tmin": "low_c", "precip": "rain_mm"}})
	if err != nil {
		return err
	}
	for r.Next() {
		if err := each(r); err != nil {
			return err
		}
	}
	return r.Err()
}

// The job as the programs beside it have it: a wet day has 1 mm, March's chain simulates 14 days, three in
// ten begin wet.
const (
	wetFrom    = unit.Water(1)
	march      = time.March - 1
	sequence   = 14
	wetAtFirst = 0.3
	many       = 6 // wet days of the 14
)

func fit(path string, sequences int) error {
	var sum totals
	var all, simulating int
	err := stations(path, func(r *daily.Reader) error {
		days := r.Days()
		for i := range days {
			sum.degreeDays += max(0, float64(days[i].High+days[i].Low)/2)
		}
		t := climate.Count(days, wetFrom)
		sum.add(&t)
		all++
		if sequences > 0 {
			simulating++
			law := climate.Steady(climate.Rain{Chain: t.Months[march].Chain()}, sequence)
			sum.compare(climate.CountWetDays(law, wetAtFirst, sequences, uint64(all)), climate.WetDays(law, wetAtFirst), sequences)
		}
		return nil
	})
	if err != nil {
		return err
	}
	fmt.Printf("%d stations, degree days %.3f, wet after wet %d, wet after dry %d\n", all, sum.degreeDays, sum.wetAfterWet, sum.wetAfterDry)
	if simulating > 0 {
		sum.print(simulating, sequences)
	}
	return nil
}

func full(path string) error {
	var fitted int
	var rain unit.Water
	err := stations(path, func(r *daily.Reader) error {
		c, err := climate.Fit(r.Days(), climate.Options{WetFrom: wetFrom})
		if err != nil {
			return err
		}
		fitted++
		rain += c.Months[march].Rain.Mean()
		return nil
	})
	fmt.Printf("%d stations, %.4f mm on a wet day in March\n", fitted, float64(rain)/float64(fitted))
	return err
}

func simulate(sequences int) {
	var sum totals
	law := climate.Steady(climate.Rain{Chain: climate.Chain{AfterDry: 0.20, AfterWet: 0.42}}, sequence)
	for s := range stationCount {
		sum.compare(climate.CountWetDays(law, wetAtFirst, sequences, uint64(s)), climate.WetDays(law, wetAtFirst), sequences)
	}
	sum.print(stationCount, sequences)
}
