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
	var counted [12]counts
	for m := range t.Months {
		counted[m] = t.Months[m].counts()
	}
	for m, leaning := range lean(counted, belief) {
		from := &t.Months[m]
		c.Months[m] = Month{
			Month: monthAt(m),
			Rain:  Rain{leaning.chain(), amountsOf(leaning.rains(), float64(t.WetFrom))},
			Days:  Days{Rain: from.Days, AfterDry: from.AfterDry, AfterWet: from.AfterWet, Wet: from.Wet},
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

// counts are what the rain of a month is fitted to: its days, those after dry and after wet days and the wet
// ones among them, and its wet days with the sums of their amounts and of the logarithms.
type counts struct {
	days                  float64
	afterDry, wetAfterDry float64
	afterWet, wetAfterWet float64
	wet, amount, logSum   float64
}

func (m *MonthTally) counts() counts {
	return counts{
		float64(m.Days),
		float64(m.AfterDry), float64(m.WetAfterDry),
		float64(m.AfterWet), float64(m.WetAfterWet),
		float64(m.Wet), m.amount, m.logSum,
	}
}

func (c counts) plus(o counts) counts {
	return counts{
		c.days + o.days,
		c.afterDry + o.afterDry, c.wetAfterDry + o.wetAfterDry,
		c.afterWet + o.afterWet, c.wetAfterWet + o.wetAfterWet,
		c.wet + o.wet, c.amount + o.amount, c.logSum + o.logSum,
	}
}

// times makes it as if so many days had been counted.
func (c counts) times(days float64) counts {
	if c.days == 0 {
		return c
	}
	f := days / c.days
	return counts{
		days,
		f * c.afterDry, f * c.wetAfterDry,
		f * c.afterWet, f * c.wetAfterWet,
		f * c.wet, f * c.amount, f * c.logSum,
	}
}

func (c counts) chain() Chain {
	return Chain{share(c.wetAfterDry, c.afterDry), share(c.wetAfterWet, c.afterWet)}
}

// share counts half a day more on either side, so that what was never seen in a short record is unlikely and
// not impossible (Jeffreys' rule).
func share(hits, n float64) unit.Fraction { return unit.Fraction((hits + 0.5) / (n + 1)) }

func (c counts) rains() rains {
	return rains{c.wet, c.amount / max(c.wet, 1e-9), c.logSum / max(c.wet, 1e-9)}
}
