package main

import (
	"bufio"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"

	"culm/agronomy/calendar"

	"gonum.org/v1/gonum/stat/distuv"
)

// Size of the input.
const (
	stationCount = 1000
	firstYear    = 1995
	endYear      = 2025 // not included
)

// write makes the input: temperatures of a sine with slow and fast noise, a chain of dry and wet days whose
// chance after a dry day has a season, gamma amounts.
func write(path string) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(f, 1<<20)
	if _, err := fmt.Fprintln(out, "station,date,tmax,tmin,precip"); err != nil {
		return err
	}
	for s := range stationCount {
		if err := writeStation(out, s); err != nil {
			return err
		}
	}
	return errors.Join(out.Flush(), f.Close())
}

func writeStation(out *bufio.Writer, number int) error {
	rng := rand.New(rand.NewPCG(6, uint64(number)))
	amount := distuv.Gamma{Alpha: 0.75, Beta: 1. / 8, Src: rng}
	yearMean := 12 + 3*rng.NormFloat64()
	var slow [5]float64
	for i := range slow {
		slow[i] = 3.5 * rng.NormFloat64()
	}
	wet := false
	line := make([]byte, 0, 64)
	first, end := calendar.Date(firstYear, 1, 1), calendar.Date(endYear, 1, 1)
	for day := first; day.Before(end); day = day.Add(1) {
		ofYear := float64(day.Time().YearDay() - 1)
		copy(slow[:], slow[1:])
		slow[4] = 3.5 * rng.NormFloat64()
		mean := yearMean + 13*math.Sin((ofYear-105)*2*math.Pi/365.25) + (slow[0]+slow[1]+slow[2]+slow[3]+slow[4])/2.2
		high, low := mean+3+6*rng.Float64(), mean-3-6*rng.Float64()
		chance := 0.18 + 0.06*math.Sin((ofYear-60)*2*math.Pi/365.25)
		if wet {
			chance = 0.42
		}
		rain := 0.0
		if wet = rng.Float64() < chance; wet {
			rain = amount.Rand() + 0.3
		}
		line = fmt.Appendf(line[:0], "S%04d,%s,", number, day)
		line = strconv.AppendFloat(line, high, 'f', 1, 64)
		line = strconv.AppendFloat(append(line, ','), low, 'f', 1, 64)
		line = strconv.AppendFloat(append(line, ','), rain, 'f', 1, 64)
		if _, err := out.Write(append(line, '\n')); err != nil {
			return err
		}
	}
	return nil
}
