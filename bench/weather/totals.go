package main

import (
	"fmt"
	"math"

	"culm/agronomy/climate"
	"culm/agronomy/unit"
)

// totals are the numbers by which programs are compared before their times are.
type totals struct {
	degreeDays               float64
	wetAfterWet, wetAfterDry int

	// over all stations: of the mean count of wet days, and of the chance of many
	mean, exactMean, varianceMean float64
	much, exactMuch, varianceMuch float64
}

func (s *totals) add(t *climate.Tally) {
	for m := range t.Months {
		s.wetAfterWet += t.Months[m].WetAfterWet
		s.wetAfterDry += t.Months[m].WetAfterDry
	}
}

// compare adds a station's simulated counts and their exact law.
func (s *totals) compare(counts []int, law []unit.Fraction, sequences int) {
	n := float64(sequences)
	var mean, square, much float64
	for k, p := range law {
		mean += float64(k) * float64(p)
		square += float64(k*k) * float64(p)
		if k >= many {
			much += float64(p)
			s.much += float64(counts[k]) / n
		}
		s.mean += float64(k*counts[k]) / n
	}
	s.exactMean += mean
	s.varianceMean += (square - mean*mean) / n
	s.exactMuch += much
	s.varianceMuch += much * (1 - much) / n
}

func (s *totals) print(stations, sequences int) {
	n := float64(stations)
	fmt.Printf("simulated %d sequences each: mean wet days %.5f, exact %.5f (%.2f standard errors off); %d or more %.5f, exact %.5f (%.2f)\n",
		sequences, s.mean/n, s.exactMean/n, (s.mean-s.exactMean)/math.Sqrt(s.varianceMean),
		many, s.much/n, s.exactMuch/n, (s.much-s.exactMuch)/math.Sqrt(s.varianceMuch))
}
