package climate

import (
	"math"
	"time"

	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"
)

func monthAt(index int) time.Month { return time.Month(index + 1) }

// Two variables describe a day's temperature: its mean, and the root of its range from low to high.
const (
	meanOf = iota
	rootOf
	variables
)

// States of a day.
const (
	dryDay = iota
	wetDay
	states
)

// moments of one variable.
type moments struct{ n, sum, squares float64 }

func (m *moments) add(v float64) { m.n++; m.sum += v; m.squares += v * v }

func (m moments) mean() float64 { return m.sum / max(m.n, 1) }

// usualSums are the moments of each month, state and variable.
type usualSums [12][states][variables]moments

// fitTemperature fits what is usual on dry and wet days, month by month, and how much of a departure from it
// stays to the next day. Days whose rain or temperature is not known take no part. Without any the climate
// knows no temperature.
func (c *Climate) fitTemperature(record []season.WeatherDay) {
	var sums usualSums
	c.eachTemperature(record, func(_, month, _, state int, v [variables]float64) {
		for k := range v {
			sums[month][state][k].add(v[k])
		}
	})
	if !c.usualMeans(&sums) {
		return
	}
	places := tablePlaces()
	var about usualSums // what is usual on the very day, which moves within the month
	c.eachTemperature(record, func(_, month, day, state int, v [variables]float64) {
		u := c.usualAt(places[month][day], state)
		about[month][state][meanOf].add(v[meanOf] - float64(u.Mean))
		about[month][state][rootOf].add(v[rootOf] - u.RootRange)
	})
	c.usualSpreads(&about)
	c.remember(record, places)
}

// eachTemperature calls for every day of the record whose temperature and rain are known, with its index,
// its month and day of month from 0, its state and its two variables.
func (c *Climate) eachTemperature(record []season.WeatherDay, each func(i, month, day, state int, v [variables]float64)) {
	var in months
	for i := range record {
		d := &record[i]
		rain, known := rainOf(d)
		v, measured := variablesOf(d)
		if !known || !measured {
			continue
		}
		in.enter(d.Day)
		state := dryDay
		if rain >= c.WetFrom {
			state = wetDay
		}
		each(i, int(in.month)-1, in.dayOfMonth(d.Day)-1, state, v)
	}
}

func variablesOf(d *season.WeatherDay) (v [variables]float64, known bool) {
	mean, known := weather.Mean(*d)
	if !known || d.High < d.Low {
		return v, false
	}
	return [variables]float64{float64(mean), math.Sqrt(float64(d.High - d.Low))}, true
}

// usualMeans sets the means of every month and state. A month leans on its neighbours for its level, and
// on the year for how much wet days differ from dry ones. It returns false when there is no day at all.
func (c *Climate) usualMeans(sums *usualSums) bool {
	var level [variables][12]moments // of dry and wet days together
	var usual [12][states][variables]float64
	for k := range variables {
		for m := range sums {
			a, b := sums[m][dryDay][k], sums[m][wetDay][k]
			level[k][m] = moments{n: a.n + b.n, sum: a.sum + b.sum}
		}
		levels, known := leanLevels(level[k])
		if !known {
			return false
		}
		differs := leanDifferences(sums, k)
		for m := range sums {
			a, b := sums[m][dryDay][k].n, sums[m][wetDay][k].n
			wetShare := (b + 1) / (a + b + 2)
			usual[m][dryDay][k] = levels[m] - wetShare*differs[m]
			usual[m][wetDay][k] = levels[m] + (1-wetShare)*differs[m]
		}
	}
	for m := range c.Months {
		c.Months[m].Days.Temperature = int(level[meanOf][m].n)
		for state := range states {
			u := c.Months[m].usual(state)
			u.Mean, u.RootRange = temperatureOf(usual[m][state][meanOf]), max(0, usual[m][state][rootOf])
		}
	}
	return true
}

func (m *Month) usual(state int) *Usual {
	if state == wetDay {
		return &m.Wet
	}
	return &m.Dry
}

// leanLevels gives each month's level, leaning on a straight line between the nearest months before and
// after that have any days.
func leanLevels(own [12]moments) (levels [12]float64, known bool) {
	for m := range own {
		before, after := nearest(own, m, -1), nearest(own, m, +1)
		if before == 0 || after == 0 { // no other month has days
			if own[m].n == 0 {
				return levels, false
			}
			for i := range levels {
				levels[i] = own[m].mean()
			}
			return levels, true
		}
		a, b := own[(m-before+12)%12].mean(), own[(m+after)%12].mean()
		near := a + (b-a)*float64(before)/float64(before+after)
		levels[m] = (own[m].sum + temperatureBelief*near) / (own[m].n + temperatureBelief)
	}
	return levels, true
}

// nearest counts the months from m to the nearest one with days, 0 when there is none.
func nearest(own [12]moments, m, direction int) int {
	for step := 1; step < 12; step++ {
		if own[(m+direction*step+24)%12].n > 0 {
			return step
		}
	}
	return 0
}

// leanDifferences gives by how much wet days lie above dry ones, each month leaning on the year.
func leanDifferences(sums *usualSums, k int) [12]float64 {
	var differs, weight [12]float64
	var sum, all float64
	for m := range sums {
		dry, wet := sums[m][dryDay][k], sums[m][wetDay][k]
		if dry.n == 0 || wet.n == 0 {
			continue
		}
		differs[m], weight[m] = wet.mean()-dry.mean(), dry.n*wet.n/(dry.n+wet.n)
		sum, all = sum+weight[m]*differs[m], all+weight[m]
	}
	year := sum / max(all, 1)
	for m := range differs {
		differs[m] = (weight[m]*differs[m] + Belief/4*year) / (weight[m] + Belief/4)
	}
	return differs
}

// usualSpreads sets the standard deviations about the usual, each month leaning on the year's of its state.
func (c *Climate) usualSpreads(about *usualSums) {
	for state := range states {
		for k := range variables {
			var year moments
			for m := range about {
				year.n += about[m][state][k].n
				year.squares += about[m][state][k].squares
			}
			variance := (year.squares + 1) / (year.n + 1)
			for m := range about {
				own := about[m][state][k]
				spread := math.Sqrt((own.squares + Belief/4*variance) / (own.n + Belief/4))
				u := c.Months[m].usual(state)
				if k == meanOf {
					u.Spread = temperatureOf(spread)
				} else {
					u.RootSpread = spread
				}
			}
		}
	}
}

// remember sets the correlations of the departures from the usual, on the same day and with the day before,
// each month leaning on its neighbours and on the year.
func (c *Climate) remember(record []season.WeatherDay, places *[12][31]place) {
	var sums [12]products
	var before [variables]float64
	last := -2
	c.eachTemperature(record, func(i, month, day, state int, v [variables]float64) {
		z := c.usualAt(places[month][day], state).departure(v)
		sums[month].days++
		addProducts(&sums[month].same, z, z)
		if last == i-1 && i > 0 && record[i].Day.Sub(record[last].Day) == 1 {
			sums[month].pairs++
			addProducts(&sums[month].lag, z, before)
		}
		before, last = z, i
	})
	for m, leaning := range lean(sums, Belief) {
		c.Months[m].Memory = leaning.memory()
		c.Months[m].Days.Pairs = int(sums[m].pairs)
	}
}

// products are sums of products of departures, on the same day and with the day before.
type products struct {
	days, pairs float64
	same, lag   [variables][variables]float64
}

func addProducts(to *[variables][variables]float64, z, before [variables]float64) {
	for a := range z {
		for b := range before {
			to[a][b] += z[a] * before[b]
		}
	}
}

func (p products) plus(o products) products {
	p.days, p.pairs = p.days+o.days, p.pairs+o.pairs
	for a := range p.same {
		for b := range p.same[a] {
			p.same[a][b] += o.same[a][b]
			p.lag[a][b] += o.lag[a][b]
		}
	}
	return p
}

func (p products) times(n float64) products {
	if p.days == 0 {
		return p
	}
	f := n / p.days
	p.days, p.pairs = n, p.pairs*f
	for a := range p.same {
		for b := range p.same[a] {
			p.same[a][b] *= f
			p.lag[a][b] *= f
		}
	}
	return p
}

// memory turns the sums into correlations.
func (p products) memory() (m Memory) {
	for a := range p.same {
		for b := range p.same[a] {
			scale := math.Sqrt(p.same[a][a] * p.same[b][b])
			if scale == 0 || p.pairs == 0 {
				continue
			}
			m.Same[a][b] = p.same[a][b] / scale
			m.Lag[a][b] = p.lag[a][b] / p.pairs * p.days / scale
		}
	}
	return m
}

// departure is how far the variables lie from the usual, in units of its spread.
func (u Usual) departure(v [variables]float64) [variables]float64 {
	var z [variables]float64
	if u.Spread > 0 {
		z[meanOf] = (v[meanOf] - float64(u.Mean)) / float64(u.Spread)
	}
	if u.RootSpread > 0 {
		z[rootOf] = (v[rootOf] - u.RootRange) / u.RootSpread
	}
	return z
}

func (c *Climate) usualAt(at place, state int) Usual {
	a, b := c.Months[at.before].usual(state), c.Months[at.after].usual(state)
	return Usual{
		mix(a.Mean, b.Mean, at.share), mix(a.Spread, b.Spread, at.share),
		mix(a.RootRange, b.RootRange, at.share), mix(a.RootSpread, b.RootSpread, at.share),
	}
}

// tablePlaces holds where each day of a year lies between the middles of two months.
func tablePlaces() *[12][31]place {
	var table [12][31]place
	for m := range table {
		for d := range table[m] {
			table[m][d] = placeOf(monthAt(m), d+1)
		}
	}
	return &table
}

func temperatureOf(celsius float64) unit.Temperature { return unit.Temperature(celsius) }
