package ammonia

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// notUrea: of ammonium thiosulfate no loss was found published.
func (r *Result) notUrea() {
	r.Other = 1
	r.reason, r.Source, r.Status = becauseNotUrea, cite.IllinoisUAN, cite.Derived
}

// nitrate: ammonium nitrate loses little: 1.91 % of its nitrogen in the US inventory (Goebes 2003, quoted: 2.32
// kg of ammonia for 100 kg of nitrogen, times 14/17). The ends are from memory: 1.2 % (EMEP/EEA 2019, normal
// pH) and 2.6 % (high pH).
func (r *Result) nitrate() {
	const inventory, low, high = 2.32 / 100 * 14 / 17, 0.015 * 14 / 17, 0.032 * 14 / 17
	r.Loss, r.Low, r.High = inventory, low, high
	r.WithoutRain, r.Other = r.Loss, 1-r.Loss
	r.reason, r.Source, r.Status = becauseNitrate, cite.Goebes2003, cite.Quoted
}

// sulfate: ammonium sulfate loses nothing worth counting up to soil pH 7.5 (Cornell; Penn State calls it
// non-volatile). Above that the amount is from memory: 13.6 % (EMEP/EEA 2019, high pH), range 2 to 30 %
// (IPCC 2019, ammonium-based). The quoted US inventory factor of 9.55 % at any pH (Goebes 2003) stands
// against Cornell and is the high end below 7.5. Rain is not credited: none of the sources parts its
// figures by rain.
func (r *Result) sulfate(ph working.Fact[unit.Ratio]) {
	const alkaline = 7.5
	r.reason, r.Source, r.Status = becauseSulfate, cite.CornellSulfate, cite.Confirmed
	switch {
	case !ph.Known():
		r.High = 0.30
		r.Assumed |= AssumedPH
		r.Status = cite.FromMemory
	case ph.Value <= alkaline:
		r.High = 0.0955
	default:
		r.Loss, r.Low, r.High = 0.136, 0.02, 0.30
		r.reason, r.Source, r.Status = becauseAlkaline, cite.EMEP2019, cite.FromMemory
	}
	if ph.Known() && !isObserved(ph) {
		r.Assumed |= AssumedPH
	}
	r.WithoutRain, r.Other = r.Loss, 1-r.Loss
}

// onSnow: the two published trials on snow lost 24.3 and 20.7 % of urea, and 9.3 and 10.1 % with an inhibitor,
// through whatever thaw and rain followed, so no rain is credited again. Two trials say little of how such
// trials scatter; the range takes that of the calibration rows. UAN loses so only of its urea half.
func (r *Result) onSnow(inhibited bool) {
	const bare, guarded = (0.243 + 0.207) / 2, (0.093 + 0.101) / 2
	share := bare
	if inhibited {
		share = guarded
	}
	by := volatileSpread * share * (1 - share)
	r.Loss, r.variance = r.urea*unit.Fraction(share), float64(r.urea*r.urea)*by*by
	r.range80()
	r.WithoutRain, r.Hydrolysed = r.Loss, r.urea
	r.Held, r.Other = r.urea-r.Loss, 1-r.urea
	r.reason, r.Source, r.Status = becauseSnow, cite.MontanaVolatilization, cite.Derived
}
