package climate

import (
	"fmt"

	"culm/agronomy/unit"
	"culm/season"
)

// Belief is how many days what is believed beforehand about a month weighs, against the month's own days:
// with 60 days of its own a month stands for one half of its number, with ten years' 300 for five sixths.
// What is believed are the two months beside it, and of these, where they too are few, the whole year with
// the same weight. docs/weather-simulation.md holds it against beliefs from none to 1000 days on short records
// of two stations, judged on the years left out.
const Belief = 60

// temperatureBelief is the same for a month's usual temperature. Neighbouring months differ much more in
// warmth than in rain, so it leans on them only where there is next to nothing. Common practice, no source.
const temperatureBelief = 5

// FewestDays is the shortest record that is fitted at all: days whose rain is known and that follow on a day
// whose rain is known. Common practice, no source; a season of it still leaves most months to belief.
const FewestDays = 90

// Options say how to fit; the zero value means WetFrom and Belief.
type Options struct {
	WetFrom unit.Water
	// Belief in days; negative means none, the plain shares of each month.
	Belief float64
}

// Fit finds the parameters of a station from its record, in order of day, with any gaps. It fails when the
// record is too short to tell anything: see FewestDays.
func Fit(record []season.WeatherDay, o Options) (*Climate, error) {
	if o.WetFrom == 0 {
		o.WetFrom = WetFrom
	}
	switch {
	case o.Belief == 0:
		o.Belief = Belief
	case o.Belief < 0:
		o.Belief = 0
	}
	for i := 1; i < len(record); i++ {
		if !record[i-1].Day.Before(record[i].Day) {
			return nil, fmt.Errorf("climate: the record is not in order: %s stands before %s", record[i-1].Day, record[i].Day)
		}
	}
	t := Count(record, o.WetFrom)
	if n := t.pairs(); n < FewestDays {
		return nil, fmt.Errorf("climate: %d days whose rain and that of the day before are known; at least %d are needed", n, FewestDays)
	}
	c := t.Climate(o.Belief)
	c.fitTemperature(record)
	return c, nil
}

func (t *Tally) pairs() int {
	n := 0
	for m := range t.Months {
		n += t.Months[m].AfterDry + t.Months[m].AfterWet
	}
	return n
}

// Climate fits the rain to what was counted, each month leaning on its neighbours and the year with the
// weight of belief in days. Temperatures are not fitted.
func (t *Tally) Climate(belief float64) *Climate {
	c := &Climate{WetFrom: t.WetFrom, First: t.First, Last: t.Last}
	var afterDry, afterWet [12]share
	var amounts [12]rains
	for m := range t.Months {
		of := &t.Months[m]
		n := float64(of.Wet)
		afterDry[m] = share{float64(of.AfterDry), float64(of.WetAfterDry)}
		afterWet[m] = share{float64(of.AfterWet), float64(of.WetAfterWet)}
		amounts[m] = rains{n, of.amount / max(n, 1), of.logSum / max(n, 1)}
	}
	afterDry, afterWet, amounts = lean(afterDry, belief), lean(afterWet, belief), lean(amounts, belief)
	for m := range c.Months {
		from := &t.Months[m]
		c.Months[m] = Month{
			Month: monthAt(m),
			Rain: Rain{
				Chain{afterDry[m].fraction(), afterWet[m].fraction()},
				amountsOf(amounts[m], float64(t.WetFrom)),
			},
			Days: Days{Rain: from.Days, AfterDry: from.AfterDry, AfterWet: from.AfterWet, Wet: from.Wet},
		}
	}
	return c
}

// sample is something counted that can be joined with another and given another weight.
type sample[S any] interface {
	plus(S) S
	times(n float64) S
}

// lean makes each month's sample lean on its neighbours, and these on the year:
//
//	near  = (month before + month after + belief x year) / their days
//	month = own + belief x near
func lean[S sample[S]](own [12]S, belief float64) [12]S {
	var year S
	for m := range own {
		year = year.plus(own[m])
	}
	var leaning [12]S
	for m := range own {
		near := own[(m+11)%12].plus(own[(m+1)%12]).plus(year.times(belief))
		leaning[m] = own[m].plus(near.times(belief))
	}
	return leaning
}

// share is a count of days and of those among them that were wet.
type share struct{ n, hits float64 }

func (s share) plus(o share) share { return share{s.n + o.n, s.hits + o.hits} }

func (s share) times(n float64) share { return share{n, n * float64(s.fraction())} }

// fraction counts half a day more on either side, so that what was never seen in a short record is unlikely
// and not impossible (Jeffreys' rule).
func (s share) fraction() unit.Fraction { return unit.Fraction((s.hits + 0.5) / (s.n + 1)) }
