// Package trials holds published trials of ammonia loss from urea spread on the surface, and sets beside each
// what culm/agronomy/ammonia reckons for it.
//
// No weather record of any trial was at hand. The weather of a trial is made up from what its publication
// says of it; what was made up is named in Assumed. Montana's publications sort the trials by surface and
// rain and give the loss of each sort; which trial belongs to which sort we took from its loss. So the
// trials show whether the reckoning gets the sorts right, and the scatter within a sort; they cannot show
// that it would tell a trial's sort from real weather.
package trials

import (
	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Measure is what a trial measured.
type Measure string

// The measures.
const (
	// Lost is the share of the nitrogen applied that was lost.
	Lost Measure = "lost"
	// LeftByRain is the loss as a share of that without the rain.
	LeftByRain Measure = "left by rain"
	// LeftByInhibitor is the loss as a share of that without the inhibitor.
	LeftByInhibitor Measure = "left by inhibitor"
	// HalfLoss is the days until half of the loss had gone.
	HalfLoss Measure = "days to half the loss"
)

// Role is the part that a trial plays.
type Role string

// The roles.
const (
	Calibration Role = "calibration" // the coefficients are fitted to it
	Held        Role = "held out"    // it took no part
	Given       Role = "given"       // a constant of the reckoning is taken from it straight
	Bound       Role = "bound"       // a regional mean, as a sanity bound
)

// Trial is one treatment of one published trial.
type Trial struct {
	Key    string
	Study  string
	Name   string
	Source cite.Key
	Status cite.Status // of the measured value
	// Day of spreading; published only where DayGiven.
	Day       calendar.Day
	DayGiven  bool
	Inhibited bool
	Measure   Measure
	Measured  float64 // a share, or days
	Role      Role
	Sky       Sky
	// Given is what the publication says of ground and weather, Assumed what was made up.
	Given, Assumed string
}

// Sky is the ground and weather of a trial.
type Sky struct {
	Surface ammonia.Surface
	Mean    float64 // °C, every day
	Falls   []Shower
	Days    int // how long it was measured
	At      season.Position
	Soil    ammonia.Soil
}

// Shower is rain on a day after spreading.
type Shower struct {
	After int
	Rain  float64 // mm
}

// swing from low to high of every day, °C: a guess.
const swing = 10

// Spreading is the trial as the reckoning takes it.
func (t Trial) Spreading() ammonia.Spreading {
	urea, _ := fertilizer.Find(fertilizer.UreaKey)
	s := ammonia.Spreading{
		Product: urea, Inhibited: t.Inhibited, Day: t.Day, Surface: t.Sky.Surface, Soil: t.Sky.Soil,
		At: &t.Sky.At, Horizon: t.Sky.Days, Weather: make([]season.ForecastDay, t.Sky.Days),
	}
	for i := range s.Weather {
		s.Weather[i].WeatherDay = season.WeatherDay{
			Day: t.Day.Add(i), Low: unit.Temperature(t.Sky.Mean - swing/2), High: unit.Temperature(t.Sky.Mean + swing/2),
			Has: season.HasTemperature | season.HasRain,
		}
	}
	for _, f := range t.Sky.Falls {
		s.Weather[f.After].Rain += unit.Water(f.Rain)
	}
	return s
}

// Outcome is a trial with what is reckoned for it, in the unit of Measured. Low and High hold 80 of 100; they
// are equal to Reckoned where the measure has no range.
type Outcome struct {
	Trial
	Reckoned, Low, High float64
}

// Run reckons every trial.
func Run() ([]Outcome, error) {
	var outcomes []Outcome
	for _, t := range All() {
		o, err := t.Reckon()
		if err != nil {
			return nil, err
		}
		outcomes = append(outcomes, o)
	}
	return outcomes, nil
}

// Reckon reckons the trial.
func (t Trial) Reckon() (Outcome, error) {
	r, err := ammonia.Expect(t.Spreading())
	if err != nil {
		return Outcome{}, err
	}
	o := Outcome{Trial: t}
	switch t.Measure {
	case LeftByRain:
		o.Reckoned = float64(r.Loss / r.WithoutRain)
	case LeftByInhibitor:
		bare := t
		bare.Inhibited = false
		without, err := ammonia.Expect(bare.Spreading())
		if err != nil {
			return Outcome{}, err
		}
		o.Reckoned = float64(r.Loss / without.Loss)
	case HalfLoss:
		terms, err := ammonia.Trace(t.Spreading())
		if err != nil {
			return Outcome{}, err
		}
		o.Reckoned = halfLoss(terms)
	default:
		o.Reckoned, o.Low, o.High = float64(r.Loss), float64(r.Low), float64(r.High)
		return o, nil
	}
	o.Low, o.High = o.Reckoned, o.Reckoned
	return o, nil
}

// halfLoss is the days until half of the loss had gone; within a day it goes evenly.
func halfLoss(terms []ammonia.Term) float64 {
	total := 0.0
	for _, d := range terms {
		total += float64(d.Lost)
	}
	sofar := 0.0
	for i, d := range terms {
		if lost := float64(d.Lost); sofar+lost >= total/2 && lost > 0 {
			return float64(i) + (total/2-sofar)/lost
		}
		sofar += float64(d.Lost)
	}
	return float64(len(terms))
}

func told[T unit.Quantity](v T) working.Fact[T] {
	return working.Fact[T]{Value: v, Origin: working.Origin{Kind: working.Assumed, Why: "not given for the trial"}}
}
