// Package ammonia answers how much of the nitrogen spread on a standing crop is lost to the air as ammonia,
// for a product, a day, and the weather after it.
//
// Urea goes through pools by the day; what leaves a pool is a share of what is there:
//
//	granules --moist surface, rain--> urea in solution --hydrolysis--> ammonium at the surface --> ammonia, lost
//	                  | one rain of 4 mm or more: washed in                       +--> held by the soil
//
// Temperature sets the pace of everything chemical, by the factor of Godwin and Jones (1991) for hydrolysis: 0
// at -8 °C, a fifth at freezing. There is no temperature of spreading below which loss is taken to stop, because the
// largest losses of Engel et al. (2011) were measured with the surface between -2 and 5 °C, over more than 42
// days. Wetness of the surface layer decides when: a granule on dry ground waits, light rain wakes it. Rain works
// by one curve, from Holcomb (2011), event by event, and only on urea: 16 mm two days after spreading still left 93 %
// of the loss in Black et al. (1987). Of what is hydrolysed a share is lost that soil pH, residue and wind move
// and temperature and wetness do not: a share that rose on drying ground was tried, and foretold the trials held
// out worse (root mean square error 14 points instead of 9).
//
// Four coefficients are fitted to a part of the published trials; docs/ammonia.md sets what is reckoned beside
// what was measured, for that part and for the part that was held out, and names what is missed. Package
// culm/agronomy/ammonia/trials holds the trials.
//
// It knows days, not hours. It leaves out dew and canopy, how deep stream or band puts the product, the rate
// (Illinois found little loss below 100 lb N/ac, Montana up to 44 % at 90 lb), and the way of placing: no
// published trial was found that sets the ammonia lost from streams beside that from flat fans.
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

// DefaultHorizon is how many days from spreading on losses are reckoned: Engel et al. (2011) measured for
// about so long, and in their cold soils loss often still went on.
const DefaultHorizon = 42

// maxHorizon keeps a slip of the pen from running for years.
const maxHorizon = 366

// Spreading is a product lying on a field from a day on.
type Spreading struct {
	Product fertilizer.Product
	// Inhibited says that a urease inhibitor was added, to a product that does not carry one.
	Inhibited bool
	Day       calendar.Day
	// Weather is in order of day, measured and then forecast. Days before Day tell whether the ground was
	// moist; Day itself and the days after it work on the product. Days may be missing. See Days.
	//
	// Rain dated Day is taken to fall after spreading. A forecast's Rain is taken to come with its
	// RainChance or not at all; a chance of zero is none given, and the rain counts as certain. This is
	// rough: the chance is that of any rain, not of that much, and a mean amount hides its spread.
	Weather []season.ForecastDay
	// Surface is what the ground was like; SurfaceUnknown, the zero value, means to read it from Weather.
	Surface Surface
	Soil    Soil
	// At is where the field lies, for how fast it dries; nil stands for 40° N.
	At *season.Position
	// Horizon is how many days to reckon; zero means DefaultHorizon.
	Horizon int
}

// Soil is what of a field matters. Each may be missing.
type Soil struct {
	PH            working.Fact[unit.Ratio]    // 3 to 11
	OrganicMatter working.Fact[unit.Fraction] // share of soil, up to 0.3
	Residue       working.Fact[unit.Fraction] // share of ground showing residue
}

// Result is the expected loss. All fractions are of the nitrogen applied.
type Result struct {
	// Loss is expected. Low and High hold 80 of 100: the doubt about the coefficients, and the weather's
	// where several courses of it were reckoned; else not that of the rain failing: that is WithoutRain.
	Loss, Low, High unit.Fraction
	// WithoutRain is the expected loss if no rain carried anything in.
	WithoutRain unit.Fraction

	// Where the rest is at the end: Washed in by rain as urea; Held by the soil after hydrolysis; Left on the surface; and Other, which never was urea. With Loss they add up to 1.
	Washed, Held, Left, Other unit.Fraction
	// Hydrolysed is what turned to ammonium at the surface.
	Hydrolysed unit.Fraction

	Surface Surface
	// Rain is the day of rain that carries in the most; its Day is zero when none does.
	Rain Rain
	// End is the last day reckoned. From AssumedFrom on there was no weather: the last temperature goes on
	// and no rain comes. It is zero when the weather reaches to the end.
	End, AssumedFrom calendar.Day
	Assumed          Assumptions

	// Source is that of the figure that matters most; Sources lists all. Status is of the whole reckoning.
	Source cite.Key
	Status cite.Status

	spread    calendar.Day
	urea      unit.Fraction // share of N that is urea
	inhibited bool
	variance  float64 // of Loss
	courses   int     // of weather, where several were reckoned
	carried   int     // of them, those in which rain carries in half of the urea or more
	reason    reason
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

// LostOfHydrolysed is the share of what turned to ammonium at the surface that is lost.
func (r Result) LostOfHydrolysed() unit.Fraction {
	if r.Hydrolysed <= 0 {
		return 0
	}
	return r.Loss / r.Hydrolysed
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
	case becauseNitrate:
		return []cite.Key{cite.Goebes2003, cite.EMEP2019}
	case becauseSulfate, becauseAlkaline:
		return []cite.Key{cite.CornellSulfate, cite.EMEP2019, cite.Goebes2003}
	case becauseSnow:
		return []cite.Key{cite.MontanaVolatilization, cite.IllinoisUAN}
	default:
		return []cite.Key{cite.AmmoniaTrials, cite.GodwinJones1991, cite.Holcomb2011, cite.Black1987, cite.MontanaVolatilization, cite.IllinoisUAN, cite.IllinoisResidue}
	}
}

// Expect reckons the loss. It fails where the day is missing or a soil figure is impossible; missing
// figures and missing weather are assumed, and the result says so. To reckon many products and days of one
// station, Walk the weather once and ask the Course.
func Expect(s Spreading) (Result, error) {
	if err := s.check(); err != nil {
		return Result{}, err
	}
	return s.expect(fitted()), nil
}

func (s *Spreading) expect(k coefficients) Result {
	c := walk(s.Weather, s.Day, s.horizon(), s.At, s.Surface)
	return c.expect(s.Day, s.horizon(), &s.Product, s.Inhibited, &s.Soil, k)
}

// Expect reckons the loss of a product spread on a day of the course. It looks DefaultHorizon days ahead, or
// as far as the course goes. It fails where the day is not in the course or a soil figure is impossible, and
// allocates nothing otherwise.
func (c *Course) Expect(day calendar.Day, product *fertilizer.Product, inhibited bool, soil *Soil) (Result, error) {
	if err := soil.check(); err != nil {
		return Result{}, err
	}
	if _, ok := c.on(day); !ok {
		return Result{}, fmt.Errorf("ammonia: %s is not among the %d days walked from %s on", day, len(c.days), c.first)
	}
	return c.expect(day, min(DefaultHorizon, len(c.days)-day.Sub(c.first)), product, inhibited, soil, fitted()), nil
}

func (c *Course) expect(day calendar.Day, horizon int, product *fertilizer.Product, inhibited bool, soil *Soil, k coefficients) Result {
	inhibited = inhibited || product.Inhibited
	at := day.Sub(c.first)
	days := c.days[at : at+horizon]
	r := Result{spread: day, urea: product.Urea.Value, inhibited: inhibited, End: day.Add(horizon - 1), Surface: days[0].surface}
	switch {
	case product.Key == fertilizer.AmmoniumSulfateKey:
		r.sulfate(soil.PH)
	case r.urea == 0 && product.Nitrate.Value > 0:
		r.nitrate()
	case r.urea == 0:
		r.notUrea()
	case r.Surface == OnSnow:
		r.onSnow(inhibited)
	default:
		r.onGround(days, ratesOf(soil, k), product.Form, inhibited)
		r.Assumed |= soil.assumptions(r.Surface)
	}
	return r
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
	return s.Soil.check()
}

func (s *Soil) check() error {
	if s.PH.Known() && !within(float64(s.PH.Value), 3, 11) {
		return fmt.Errorf("ammonia: soil pH is %v; expected 3 to 11", s.PH.Value)
	}
	if s.OrganicMatter.Known() && !within(float64(s.OrganicMatter.Value), 0, 0.3) {
		return fmt.Errorf("ammonia: organic matter as a share of soil is %v; expected 0 to 0.3", s.OrganicMatter.Value)
	}
	if s.Residue.Known() && !within(float64(s.Residue.Value), 0, 1) {
		return fmt.Errorf("ammonia: residue as a share of ground is %v; expected 0 to 1", s.Residue.Value)
	}
	return nil
}

// within is false for what is no number.
func within(v, low, high float64) bool { return v >= low && v <= high }

// onGround runs the days. UAN goes through the pools with its urea only: at most that half can volatilize
// (Illinois 2007).
func (r *Result) onGround(days []dayOn, rates rates, form fertilizer.Form, isGuarded bool) {
	r.note(days)
	o := run(days, rates, form, isGuarded)
	r.take(&o)
	if o.best >= 0 {
		d := &days[o.best]
		r.Rain = Rain{r.spread.Add(o.best), unit.Water(d.rain), unit.Fraction(d.chance), o.best, r.urea * unit.Fraction(o.bestWashed)}
	}
	r.reason, r.Source, r.Status = becauseDry, fittedHere, cite.Derived
	if !r.Rain.Day.IsZero() {
		r.reason = becauseRain
	}
}

// take scales what became of unit urea to the product.
func (r *Result) take(o *outcome) {
	u, p := r.urea, &o.pools[expected]
	r.Loss, r.WithoutRain = u*unit.Fraction(p.lost), u*unit.Fraction(o.pools[withoutRain].lost)
	r.Washed, r.Held = u*unit.Fraction(p.washed), u*unit.Fraction(p.held)
	r.Hydrolysed = u * unit.Fraction(p.hydrolysed)
	r.Left = u * unit.Fraction(p.onSurface())
	r.Other = 1 - u
	r.variance = float64(u*u) * variance(&o.pools)
	r.range80()
}

// range80 sets Low and High from the variance, within the urea there is.
func (r *Result) range80() {
	u := float64(r.urea)
	low, high := interval(float64(r.Loss)/u, r.variance/(u*u))
	r.Low, r.High = r.urea*unit.Fraction(low), r.urea*unit.Fraction(high)
}

// note keeps what of the days was assumed.
func (r *Result) note(days []dayOn) {
	for i := range days {
		if days[i].beyond {
			r.AssumedFrom = r.spread.Add(i)
			return
		}
		r.Assumed |= days[i].assumed
	}
}

func (s *Soil) assumptions(surface Surface) Assumptions {
	var a Assumptions
	if !isObserved(s.PH) {
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
