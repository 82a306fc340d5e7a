package demo

import (
	"fmt"
	"math/rand/v2"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

// plan of a rate trial: yield rises along a quadratic to a plateau, and plots scatter around it.
type rateTrial struct {
	name          string
	crop          season.Crop
	year          int
	rates         []float64 // lb/ac of N
	repeats       int
	check         float64 // bu/ac without N
	plateau       float64 // bu/ac
	enough        float64 // lb/ac of N at which the plateau begins
	blocks, plots float64 // bu/ac, standard deviations
}

// rateTrials are the trials of the district: wheat in a good and in a dry year, canola in one.
func rateTrials() []rateTrial {
	wheat := []float64{0, 30, 60, 90, 120, 150}
	canola := []float64{0, 40, 80, 120, 160}
	return []rateTrial{
		{"Divide wheat rates", season.WheatGrain, 2025, wheat, 4, 34, 61, 108, 2.0, 2.6},
		{"Divide wheat rates", season.WheatGrain, 2026, wheat, 4, 33, 50, 82, 1.8, 2.4},
		{"Divide canola rates", season.Canola, 2026, canola, 4, 23, 44, 128, 1.5, 2.2},
	}
}

func writeTrials(n *notebook) {
	for _, t := range rateTrials() {
		harvested := calendar.Date(t.year, time.June, 24)
		n.write(advisor, harvested, &season.Trial{
			Name: t.name, Crop: t.crop, Year: t.year, By: "advisors of Harrow Divide (invented)",
			Plots: t.grow(chance(n.seed, fmt.Sprint(t.name, t.year))),
		})
	}
}

func (t rateTrial) grow(r *rand.Rand) []season.Plot {
	blocks := scatter(r, t.repeats, t.blocks)
	noise := scatter(r, t.repeats*len(t.rates), t.plots)
	var plots []season.Plot
	for b, block := range blocks {
		for i, rate := range t.rates {
			yield := t.mean(rate) + block + noise[b*len(t.rates)+i]
			plots = append(plots, season.Plot{Rate: poundsPerAcre(rate), Yield: bushelsPerAcre(round(yield, 0.1), t.crop)})
		}
	}
	return plots
}

// mean is the yield, bu/ac, that the trial's soil gives at a rate, lb/ac.
func (t rateTrial) mean(rate float64) float64 {
	short := max(0, 1-rate/t.enough)
	return t.plateau - (t.plateau-t.check)*short*short
}
