package climate

import (
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// Chain is the two-state Markov chain of dry and wet days.
type Chain struct {
	AfterDry unit.Fraction `json:"afterDry"` // chance of a wet day after a dry one
	AfterWet unit.Fraction `json:"afterWet"` // chance of a wet day after a wet one
}

// WetShare is the share of days that are wet in the long run, when the chain does not change:
// AfterDry / (1 + AfterDry - AfterWet). A chain that never leaves its state has no such share; half is given.
func (c Chain) WetShare() unit.Fraction {
	if c.AfterDry == 0 && c.AfterWet == 1 {
		return 0.5
	}
	return c.AfterDry / (1 + c.AfterDry - c.AfterWet)
}

// wet is the chance of a wet day when the day before was wet with a chance.
func (c Chain) wet(before unit.Fraction) unit.Fraction {
	return before*c.AfterWet + (1-before)*c.AfterDry
}

// Steady is the same law for n days.
func Steady(r Rain, n int) []Rain {
	days := make([]Rain, n)
	for i := range days {
		days[i] = r
	}
	return days
}

// AtLeastOnce is the chance that on at least one of the days more than an amount falls, when the day before
// the first was wet with the chance wetBefore (0 or 1 where that is known).
//
// It is exact for the chain: the chances of having come so far without such a day, in the dry and in the
// wet state, are carried from day to day,
//
//	W' = (D pDW + W pWW) (1 - q)     q = P(R > over | wet)
//	D' = D (1 - pDW) + W (1 - pWW)
//
// and the answer is 1 - D - W. An amount below what makes a day wet counts every wet day.
func AtLeastOnce(days []Rain, wetBefore unit.Fraction, over unit.Water) unit.Fraction {
	dry, wet := 1-wetBefore, wetBefore
	for i := range days {
		r := &days[i]
		q := r.Over(over)
		dry, wet = dry*(1-r.AfterDry)+wet*(1-r.AfterWet), (dry*r.AfterDry+wet*r.AfterWet)*(1-q)
	}
	return 1 - dry - wet
}

// WetDays is the distribution of how many of the days are wet: element n is the chance of exactly n.
func WetDays(days []Rain, wetBefore unit.Fraction) []unit.Fraction {
	dry := make([]unit.Fraction, len(days)+1)
	wet := make([]unit.Fraction, len(days)+1)
	dry[0], wet[0] = 1-wetBefore, wetBefore
	for i := range days {
		c := days[i].Chain
		for n := i + 1; n >= 0; n-- {
			var fewerDry, fewerWet unit.Fraction // with one wet day less, the day before
			if n > 0 {
				fewerDry, fewerWet = dry[n-1], wet[n-1]
			}
			dry[n], wet[n] = dry[n]*(1-c.AfterDry)+wet[n]*(1-c.AfterWet), fewerDry*c.AfterDry+fewerWet*c.AfterWet
		}
	}
	for n := range dry {
		dry[n] += wet[n]
	}
	return dry
}

// WashIn is the chance of a rain that carries in what was spread, for one day of spreading.
type WashIn struct {
	Day calendar.Day `json:"day"`
	// OnDay is the chance of such a rain on this very day.
	OnDay unit.Fraction `json:"onDay"`
	// Within is the chance of at least one on this day or the days after it, up to as many as were asked
	// for. As for ammonia losses, rain dated the day of spreading is taken to fall after it.
	Within unit.Fraction `json:"within"`
}

// WashIns gives, for each of n days of spreading from the first on, the chance of more than an amount of
// rain in one day, on that day and within k days. Only the climate and whether it rained on the day before
// the first are used: where there is a forecast, see Members.
func (c *Climate) WashIns(first calendar.Day, n, k int, wetBefore unit.Fraction, over unit.Water) []WashIn {
	days := c.Coming(first, n+k-1)
	chances := make([]WashIn, n)
	for i := range chances {
		chances[i] = WashIn{
			Day:    first.Add(i),
			OnDay:  days[i].wet(wetBefore) * days[i].Over(over),
			Within: AtLeastOnce(days[i:i+k], wetBefore, over),
		}
		wetBefore = days[i].wet(wetBefore)
	}
	return chances
}
