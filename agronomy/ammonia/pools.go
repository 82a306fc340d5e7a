package ammonia

import (
	"math"

	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// coefficients of the pools, shares of what is there that move in a day at full pace (32 °C) on a moist surface.
// They were set to the calibration rows of docs/ammonia.md (TestCoefficientsFit) and have no other source.
type coefficients struct {
	volatile float64 // of ammonium at the surface, leaving as ammonia
	holding  float64 // of ammonium at the surface, taken out of reach by the soil: sorbed deeper, nitrified
	guarded  float64 // of urea guarded by an inhibitor, hydrolysed, up to pH 6.5
	// gentle is times volatile for ammonium that came of guarded urea: what comes slowly raises the pH around
	// the granule less.
	gentle float64
}

func fitted() coefficients {
	return coefficients{volatile: 0.122, holding: 0.198, guarded: 0.353, gentle: 0.337}
}

// Coefficients with sources of their own.
const (
	// dissolvesDry is the share of granules that dissolve in a day on air-dry soil: 73 % was still urea
	// after 30 days in Black et al. (1987), -ln 0.73 / 30.
	dissolvesDry = 0.0105
	// moistEnough is the wetness of the surface layer at which granules dissolve; a guess.
	moistEnough = 0.25
)

// What spreads the results: standard deviations of the logarithm of the coefficients. That of the rain curve
// is washInSpread.
const (
	// volatileSpread is the scatter of the calibration rows about the expected loss; fitted.
	volatileSpread = 0.58
	// hydrolysisSpread is from memory: published rates of hydrolysis differ by about a third between soils.
	hydrolysisSpread = 0.30
)

// inhibitorLasts slows the release with soil pH: in Montana's cold soils an inhibitor guarded urea for two to
// three weeks on acid soil and for more than seven on alkaline soil, so above pH 7.5 a third is let go in a
// day. Between 6.5 and 7.5 it is drawn straight.
func inhibitorLasts(ph float64) float64 {
	return 1 - min(1, max(0, ph-6.5))*2/3
}

// phFactor raises the release with soil pH, which the pH around a dissolving granule starts from. The granule's
// own rise, to near 9, is in the fitted coefficient and outweighs it: the slope, exp(0.16) per unit of pH, is
// that between the pH classes of Bouwman et al. (2002), from memory.
func phFactor(ph float64) float64 { return math.Exp(0.16 * (ph - assumedPH)) }

// windFactor raises the release with wind, m/s: from memory, no published slope was found; 1 at 3 m/s and kept
// between 0.7 and 1.4.
func windFactor(wind float64) float64 { return min(1.4, max(0.7, 0.7+0.1*wind)) }

// residueFactor lowers the release on ground without residue. Illinois (Hoeft 2004) puts clean-tilled ground
// below 5 % and more than 20 % residue at 5 to 40 %; all of Montana's trials were on ground long untilled. At no
// cover the release is a third, at 20 % and more, or where nobody looked, the whole; between, a straight line. A third
// is ours: it lowers the loss of moist ground to a half of what it would be, not to 5 %, which one sentence says.
func residueFactor(residue working.Fact[unit.Fraction]) float64 {
	const enough, bare = 0.20, 1.0 / 3
	if !residue.Known() || residue.Value >= enough {
		return 1
	}
	return bare + (1-bare)*float64(residue.Value)/enough
}

// rates are what soil and coefficients make of a day at full pace.
type rates struct {
	coefficients
	capacity float64 // of hydrolysis
}

func ratesOf(s *Soil, c coefficients) rates {
	ph := assumedPH
	if s.PH.Known() {
		ph = float64(s.PH.Value)
	}
	c.volatile *= phFactor(ph) * residueFactor(s.Residue)
	c.guarded *= inhibitorLasts(ph)
	return rates{c, capacityOf(s.PH, s.OrganicMatter)}
}

// pools hold shares of the urea spread: on the surface as granules, guarded by an inhibitor, as urea in
// solution and as ammonium; and where the rest has gone.
type pools struct {
	solid, guarded, urea, ammonium, gentle float64 // gentle is ammonium that came of guarded urea
	washed, held, lost                     float64
	hydrolysed                             float64
}

func (p *pools) onSurface() float64 { return p.solid + p.guarded + p.urea + p.ammonium + p.gentle }

// step takes the pools through a day in which rain leaves a share of the urea.
func (p *pools) step(d *dayOn, r *rates, left float64, isGuarded bool) {
	if p.solid > 0 {
		dissolved := p.solid * d.dissolves
		p.solid -= dissolved
		if isGuarded {
			p.guarded += dissolved
		} else {
			p.urea += dissolved
		}
	}
	if left < 1 {
		washed := (p.urea + p.guarded) * (1 - left)
		p.washed += washed
		p.urea *= left
		p.guarded *= left
	}
	water := min(1, d.wet+0.20)
	hydrolysed := p.urea * min(1, r.capacity*min(water, d.pace))
	p.urea -= hydrolysed
	p.ammonium += hydrolysed
	h := r.holding * d.pace
	v := min(r.volatile*d.pace*d.blown, 1-h)
	p.ammonium = p.leave(p.ammonium, v, h)
	if isGuarded {
		slowly := p.guarded * min(1, r.guarded*min(water, d.pace))
		p.guarded -= slowly
		p.gentle = p.leave(p.gentle+slowly, v*r.gentle, h)
		hydrolysed += slowly
	}
	p.hydrolysed += hydrolysed
}

// leave lets ammonium go into the air and into the soil, and gives what stays.
func (p *pools) leave(ammonium, v, h float64) float64 {
	lost, held := ammonium*v, ammonium*h
	p.lost += lost
	p.held += held
	return ammonium - lost - held
}

// The reckoning runs in lanes beside one another: as expected; with each of three coefficients one standard
// deviation worse; and as expected but without rain carrying in. The chance of a rain can be multiplied in day
// by day, because every step takes a share of what is there: the expectation over independent rains is exact.
const (
	expected = iota
	moreVolatile
	poorerRain
	quicker
	withoutRain
	lanes
)

// outcome is what became of unit urea.
type outcome struct {
	pools [lanes]pools
	// best is the day, counted from spreading, whose rain carried in the most, and bestWashed how much; -1
	// when none did.
	best       int
	bestWashed float64
}

// startPools is unit urea as it falls on the ground.
func startPools(form fertilizer.Form, isGuarded bool) pools {
	switch {
	case form != fertilizer.Liquid:
		return pools{solid: 1}
	case isGuarded:
		return pools{guarded: 1}
	default:
		return pools{urea: 1}
	}
}

// run takes unit urea through days.
func run(days []dayOn, r rates, form fertilizer.Form, isGuarded bool) outcome {
	o := outcome{best: -1}
	rs := [lanes]rates{r, r, r, r, r}
	rs[moreVolatile].volatile *= moreVolatileBy()
	rs[quicker].capacity *= quickerBy()
	for l := range o.pools {
		o.pools[l] = startPools(form, isGuarded)
	}
	for i := range days {
		d, before := &days[i], o.pools[expected].washed
		o.pools[expected].step(d, &rs[expected], d.left, isGuarded)
		o.pools[moreVolatile].step(d, &rs[moreVolatile], d.left, isGuarded)
		o.pools[poorerRain].step(d, &rs[poorerRain], d.leftPoor, isGuarded)
		o.pools[quicker].step(d, &rs[quicker], d.left, isGuarded)
		o.pools[withoutRain].step(d, &rs[withoutRain], 1, isGuarded)
		if washed := o.pools[expected].washed - before; washed > o.bestWashed {
			o.best, o.bestWashed = i, washed
		}
	}
	return o
}

func moreVolatileBy() float64 { return math.Exp(volatileSpread) }
func quickerBy() float64      { return math.Exp(hydrolysisSpread) }

// variance is that of the loss, from its change with each coefficient.
func variance(p *[lanes]pools) float64 {
	sum := 0.0
	for _, l := range [...]int{moreVolatile, poorerRain, quicker} {
		by := p[l].lost - p[expected].lost
		sum += by * by
	}
	return sum
}

// between90 is the distance from the middle of a normal distribution to its 90th percentile.
const between90 = 1.2816

// interval is the range that holds 80 of 100: symmetric in the logit of the share, so that it stays between
// nothing and everything.
func interval(share, variance float64) (low, high float64) {
	if share <= 0 || share >= 1 || variance <= 0 {
		return share, share
	}
	by := math.Exp(between90 * math.Sqrt(variance) / (share * (1 - share)))
	odds := share / (1 - share)
	return odds / by / (1 + odds/by), odds * by / (1 + odds*by)
}

// fittedHere is the source of coefficients that were fitted to published trials.
const fittedHere = cite.AmmoniaTrials
