package ammonia

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Surface is what the ground was like when the product fell on it.
type Surface string

// The surfaces.
const (
	SurfaceUnknown Surface = ""
	Moist          Surface = "moist"
	DryGround      Surface = "dry"
	OnSnow         Surface = "snow"
)

// Coefficients of the surface. A surface is taken to dry in four days, the shorter end of the four to five
// after which loss stopped in Ernst and Massey (1960, abstract), in a warm laboratory; in winter it dries
// more slowly, so "dry" is said too soon rather than too late.
const (
	daysToDry   = 4
	wettingRain = unit.Water(2)  // mm over those days; Black et al. (1987) saw repeated 2 mm keep urea going
	snowCover   = unit.Water(10) // mm; less does not hide the soil. Stations report whole centimetres.
)

// SurfaceOn reads the surface on a day from the weather of that day and the four before: snow lying; moist
// after 2 mm of rain or a melted snow cover; dry where every one of the four days was measured and it fell
// short; otherwise unknown. Snow counts where its depth is in the weather. Dew and thawing of frozen ground are not seen.
func SurfaceOn(day calendar.Day, weather []season.ForecastDay) Surface {
	var rain unit.Water
	measured := 0
	melted := false
	for i := from(weather, day.Add(-daysToDry)); i < len(weather) && !weather[i].Day.After(day); i++ {
		w := &weather[i]
		isDay := w.Day == day
		snow := liesUnderSnow(w)
		if snow && isDay {
			return OnSnow
		}
		melted = melted || snow
		if !isDay && w.Has&season.HasRain != 0 {
			rain += w.Rain
			measured++
		}
	}
	switch {
	case melted || rain >= wettingRain:
		return Moist
	case measured == daysToDry:
		return DryGround
	default:
		return SurfaceUnknown
	}
}

// liesUnderSnow says that snow covered the ground; where its depth is not known, none is taken to lie.
func liesUnderSnow(w *season.ForecastDay) bool {
	return w.Has&season.HasSnow != 0 && w.Snow >= snowCover
}

// Potential is the share of hydrolysed urea nitrogen that goes on to be lost while nothing washes it in.
type Potential struct {
	Expected, Low, High unit.Fraction
	Source              cite.Key
	Status              cite.Status
	// From says in words which published losses it was set to.
	From string
}

// PotentialOf gives the potential on a surface. The publications sort their losses by the surface at
// spreading, and so do we; each is a mean or a middle of whole-trial losses of urea with little rain after:
//
//	moist  0.31 (0.23 to 0.44)  mean of 28.1 and 33.3 % (Black 1987, no water; same, from 48 h on) and 31.0 %
//	                            (mean of trials, Silva 2017); ends: Kansas ">23 %" on moist soil then dry
//	                            (Perin 2020) and the largest Montana trial, 44.1 %
//	dry    0.15 (0.10 to 0.33)  middle and low end of 10-20 % on dry ground with light rain after
//	                            (Engel 2011); high end: 33 % in 30 days on air-dry soil (Black 1987)
//	snow   0.225 (0.20 to 0.25) the two Montana trials on snow
//	unknown                     middle of moist and dry, with the ends of both
//
// Bare ground lowers it: Illinois (Hoeft 2004) puts clean-tilled ground below 5 % and more than 20 % residue
// at 5 to 40 %. Montana's cold-soil trials do not part their losses so. Where there is no residue we take the middle
// between the class and Illinois' 5 %, with 0 as the low end; the weight fades in a straight line to nothing
// at 20 % cover. From there on the class stands and its high end is at least Illinois' 40 %. Residue that is
// not known counts as residue.
func PotentialOf(surface Surface, residue working.Fact[unit.Fraction]) Potential {
	p := classPotential(surface)
	if surface == OnSnow {
		return p
	}
	const enough, bareLoss, residueHigh = 0.20, 0.05, 0.40
	if !residue.Known() || residue.Value >= enough {
		p.High = max(p.High, residueHigh)
		return p
	}
	bare := (1 - residue.Value/enough) / 2
	p.Expected = (1-bare)*p.Expected + bare*bareLoss
	p.Low *= 1 - 2*bare
	p.From += "; lowered towards under 5 % for clean-tilled ground (Illinois 2004)"
	return p
}

func classPotential(surface Surface) Potential {
	moist := Potential{0.31, 0.23, 0.44, cite.Black1987, cite.Derived, "28, 31 and 33 % lost without rain (Black 1987, Silva 2017); 23 to 44 % on moist ground in Kansas and Montana"}
	dry := Potential{0.15, 0.10, 0.33, cite.Engel2011, cite.Derived, "10 to 20 % lost on dry ground with light rain (Engel 2011); 33 % on air-dry soil (Black 1987)"}
	switch surface {
	case Moist:
		return moist
	case DryGround:
		return dry
	case OnSnow:
		return Potential{0.225, 0.20, 0.25, cite.MontanaVolatilization, cite.Derived, "20 to 25 % lost in two trials on snow (Montana)"}
	default:
		return Potential{(moist.Expected + dry.Expected) / 2, dry.Low, moist.High, cite.Engel2011, cite.Derived, "the middle between moist and dry ground"}
	}
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
