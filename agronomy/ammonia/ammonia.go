// Package ammonia answers how much of the nitrogen spread on a standing crop is lost to the air as ammonia,
// for a product, a day, and the weather after it.
//
// The reckoning is a simple one, in three steps a day:
//
//	urea on the surface --rain of 5 mm or more in a day--> washed in, out of reach
//	                    --hydrolysis (temperature, moisture)--> ammonium at the surface --> a share lost
//
// Hydrolysis follows Godwin and Jones (1991) and goes on in the cold: there is no temperature below which
// loss is taken to stop, because the largest losses of Engel et al. (2011) were measured with the surface
// between -2 and 5 °C. The share of hydrolysed nitrogen that is lost is set from published losses where
// little rain followed (see PotentialOf). Rain works by one curve, from Holcomb (2011), and only on what is
// not yet hydrolysed: 16 mm two days after spreading still left 93 % of the loss in Black et al. (1987).
//
// A loss is booked on the day its urea is hydrolysed, from when on it cannot be called back. The gas itself
// leaves later and for longer; Engel et al. followed it for more than 42 days.
//
// Beside measured losses (TestAgainstPublishedLosses, TestAgainstPublishedRain) it agrees within a third
// with the mean of Montana's 17 trials, with Kansas, with moist ground and with heavy rain. It misses
//
//   - air-dry soil: Black et al. lost 33 %, and 39 % with 2 mm again and again, where it expects 15 %;
//   - dry ground with one rain of 7 mm: 10 to 20 % in Montana, where it expects 8 %;
//   - clean-tilled ground: under 5 % in Illinois, where it expects 19 %;
//   - 4 mm within three hours: two thirds less loss in Black et al., where it credits nothing below 5 mm;
//   - rain two days after, on a warm and rich soil: it credits more than the 7 % that Black et al. saw.
//
// It knows days, not hours, and one surface. It leaves out urease inhibitors; soil pH other than in the rate of
// hydrolysis and for ammonium sulfate; wind, dew and canopy; how deep stream or band puts the product; and
// the rate (Illinois found little loss below 100 lb N/ac, Montana up to 44 % at 90 lb).
//
// Perin et al. (2020) saw no yield lost to losses below 17 %: a loss of nitrogen is not yet a loss of grain.
package ammonia

import (
	"fmt"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// DefaultHorizon is how many days from spreading on losses are reckoned: at 0 °C on moist ground 95 % of
// the urea is hydrolysed by then.
const DefaultHorizon = 21

// maxHorizon keeps a slip of the pen from running for years.
const maxHorizon = 366

// Spreading is a product lying on a field from a day on.
type Spreading struct {
	Product fertilizer.Product
	Day     calendar.Day
	// Weather is in order of day, measured and then forecast. Days before Day tell whether the ground was
	// moist; Day itself and the days after it work on the product. Days may be missing. See Days.
	//
	// Rain dated Day is taken to fall after spreading. A forecast's Rain is taken to come with its
	// RainChance or not at all; a chance of zero is none given, and the rain counts as certain. This is
	// rough: the chance is that of any rain, not of that much, and a mean amount hides its spread.
	Weather []season.ForecastDay
	// Surface is what the ground was like; SurfaceUnknown, the zero value, means to read it from Weather.
	Surface Surface
	// SoilPH (3 to 11), OrganicMatter (share of soil, up to 0.3) and Residue (share of ground showing
	// residue) may be missing.
	SoilPH        working.Fact[unit.Ratio]
	OrganicMatter working.Fact[unit.Fraction]
	Residue       working.Fact[unit.Fraction]
	// Horizon is how many days to reckon; zero means DefaultHorizon.
	Horizon int
}

// Result is the expected loss. All fractions are of the nitrogen applied.
type Result struct {
	// Loss is expected; Low and High are the same reckoning with the coefficients at the ends of their
	// published ranges. They do not hold the chance of the rain failing: that is WithoutRain.
	Loss, Low, High unit.Fraction
	// WithoutRain is the expected loss if no rain carried anything in.
	WithoutRain unit.Fraction

	// Where the rest is at the end: Washed in by rain, Held by the soil after hydrolysis, Left as urea on
	// the surface, and Other, which never was urea. With Loss they add up to 1.
	Washed, Held, Left, Other unit.Fraction

	Surface   Surface
	Potential Potential
	// Rain is the day of rain that carries in the most; its Day is zero when none does.
	Rain Rain
	// End is the last day reckoned. From AssumedFrom on there was no weather: the last temperature goes on
	// and no rain comes. It is zero when the weather reaches to the end.
	End, AssumedFrom calendar.Day
	Assumed          Assumptions

	// Source is that of the figure that matters most; Sources lists all. Status is of the whole reckoning.
	Source cite.Key
	Status cite.Status

	spread calendar.Day
	urea   unit.Fraction // share of N that is urea
	reason reason
}

// Rain is a day of rain that carries urea in.
type Rain struct {
	Day    calendar.Day
	Amount unit.Water
	Chance unit.Fraction // 1 when certain
	After  int           // days after spreading
	// Washed is what it is expected to carry in, its chance counted.
	Washed unit.Fraction
}

// Assumptions is a set of things nobody observed. Days past the end of the weather are not in it: see
// AssumedFrom.
type Assumptions uint8

// The assumptions.
const (
	AssumedPH            Assumptions = 1 << iota // soil pH
	AssumedOrganicMatter                         // organic matter
	AssumedResidue                               // residue cover
	AssumedSurface                               // whether the ground was moist
	AssumedTemperature                           // temperature of one or more days
	AssumedNoRain                                // no rain on a day whose rain is not known
)

// Words says what was assumed and in whose place.
func (a Assumptions) Words() []string {
	all := [...]string{
		"soil pH (6.5 unless given)",
		"organic matter (2.6 % unless given)",
		"residue (enough to raise the loss unless given)",
		"whether the ground is moist (between moist and dry)",
		"temperature of days without one (that of the day before, or else 5 °C)",
		"no rain on days whose rain is not known",
	}
	var words []string
	for i, w := range all {
		if a&(1<<i) != 0 {
			words = append(words, w)
		}
	}
	return words
}

// Sources lists the publications behind the result.
func (r Result) Sources() []cite.Key {
	switch r.reason {
	case becauseNotUrea:
		return []cite.Key{cite.IllinoisUAN}
	case becauseSulfate, becauseAlkaline:
		return []cite.Key{cite.CornellSulfate, cite.EMEP2019, cite.Goebes2003}
	case becauseSnow:
		return []cite.Key{cite.MontanaVolatilization, cite.IllinoisUAN}
	default:
		return []cite.Key{r.Potential.Source, cite.GodwinJones1991, cite.Holcomb2011, cite.Black1987, cite.MontanaVolatilization, cite.IllinoisUAN, cite.IllinoisResidue}
	}
}

// Expect reckons the loss. It fails where the day is missing or a soil figure is impossible; missing
// figures and missing weather are assumed, and the result says so.
func Expect(s Spreading) (Result, error) {
	if err := s.check(); err != nil {
		return Result{}, err
	}
	r := Result{spread: s.Day, urea: s.Product.Urea.Value, End: s.Day.Add(s.horizon() - 1)}
	r.Surface = s.Surface
	if r.Surface == SurfaceUnknown {
		r.Surface = SurfaceOn(s.Day, s.Weather)
	}
	switch {
	case s.Product.Key == fertilizer.AmmoniumSulfateKey:
		r.sulfate(s.SoilPH)
	case r.urea == 0:
		r.notUrea()
	case r.Surface == OnSnow:
		r.onSnow()
	default:
		r.onGround(s)
	}
	return r, nil
}

func (s *Spreading) horizon() int {
	if s.Horizon == 0 {
		return DefaultHorizon
	}
	return s.Horizon
}

func (s *Spreading) check() error {
	if s.Day.IsZero() {
		return fmt.Errorf("ammonia: no day of spreading given")
	}
	if s.Horizon < 0 || s.Horizon > maxHorizon {
		return fmt.Errorf("ammonia: horizon of %d days; expected 1 to %d, or 0 for the usual %d", s.Horizon, maxHorizon, DefaultHorizon)
	}
	for _, in := range [...]struct {
		what           string
		known          bool
		value, low, up float64
	}{
		{"soil pH", s.SoilPH.Known(), float64(s.SoilPH.Value), 3, 11},
		{"organic matter as a share of soil", s.OrganicMatter.Known(), float64(s.OrganicMatter.Value), 0, 0.3},
		{"residue as a share of ground", s.Residue.Known(), float64(s.Residue.Value), 0, 1},
	} {
		if in.known && !(in.value >= in.low && in.value <= in.up) {
			return fmt.Errorf("ammonia: %s is %v; expected %v to %v", in.what, in.value, in.low, in.up)
		}
	}
	return nil
}

// notUrea: nitrate does not volatilize, and of ammonium thiosulfate no loss was found published.
func (r *Result) notUrea() {
	r.Other = 1
	r.reason, r.Source, r.Status = becauseNotUrea, cite.IllinoisUAN, cite.Derived
}

// onSnow: the two published trials on snow lost 20 to 25 % through whatever thaw and rain followed, so no
// rain is credited again. UAN loses so only of its urea half.
func (r *Result) onSnow() {
	r.Potential = PotentialOf(OnSnow, working.Fact[unit.Fraction]{})
	r.Loss, r.Low, r.High = r.urea*r.Potential.Expected, r.urea*r.Potential.Low, r.urea*r.Potential.High
	r.WithoutRain = r.Loss
	r.Held, r.Other = r.urea-r.Loss, 1-r.urea
	r.reason, r.Source, r.Status = becauseSnow, r.Potential.Source, cite.Derived
}

// onGround runs the days.
func (r *Result) onGround(s Spreading) {
	r.Potential = PotentialOf(r.Surface, s.Residue)
	r.Assumed = s.assumptions(r.Surface)
	r.run(s)
	r.Other = 1 - r.urea
	r.reason, r.Source, r.Status = becauseDry, r.Potential.Source, cite.Derived
	if !r.Rain.Day.IsZero() {
		r.reason = becauseRain
	}
}

func (s *Spreading) assumptions(surface Surface) Assumptions {
	var a Assumptions
	if !isObserved(s.SoilPH) {
		a |= AssumedPH
	}
	if !isObserved(s.OrganicMatter) {
		a |= AssumedOrganicMatter
	}
	if !isObserved(s.Residue) {
		a |= AssumedResidue
	}
	if surface == SurfaceUnknown {
		a |= AssumedSurface
	}
	return a
}

func isObserved[T unit.Quantity](f working.Fact[T]) bool {
	return f.Known() && f.Origin.Kind != working.Assumed
}
