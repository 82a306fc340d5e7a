package ammonia

import (
	"slices"
	"sort"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// standInTemperature is used where no day of the weather has a temperature, °C.
const standInTemperature = 5

// Term is one day of the reckoning. Fractions are of the nitrogen applied.
type Term struct {
	Day calendar.Day
	// Temperature is the mean of the day's low and high air temperature, which stands for the surface's.
	Temperature unit.Temperature
	Moist       bool
	Rain        unit.Water    // credited with carrying in; 0 when none was
	Chance      unit.Fraction // of that rain
	Washed      unit.Fraction
	Hydrolysed  unit.Fraction
	Lost        unit.Fraction // of what was hydrolysed
	AtRisk      unit.Fraction // urea still on the surface in the evening
	Assumed     bool          // temperature or rain of the day is assumed
}

// Trace gives the expected course day by day, for a product with urea on bare or residue-covered ground; it
// is empty where Expect does not run days (on snow, or without urea).
func Trace(s Spreading) ([]Term, error) {
	r, err := Expect(s)
	if err != nil || r.reason != becauseDry && r.reason != becauseRain {
		return nil, err
	}
	capacity := capacityOf(s.SoilPH, s.OrganicMatter)
	urea, potential := float64(r.urea), float64(r.Potential.Expected)
	c := startCourse(s.Weather, s.Day, r.Surface)
	terms := make([]Term, s.horizon())
	for i := range terms {
		d := c.next(s.Day.Add(i))
		washed := urea * d.chance * (1 - remaining(d.rain, washIn))
		urea -= washed
		hydrolysed := urea * d.hydrolysed(capacity)
		urea -= hydrolysed
		terms[i] = Term{
			Day: s.Day.Add(i), Temperature: unit.Temperature(d.temperature), Moist: d.moist,
			Rain: unit.Water(d.rain), Chance: unit.Fraction(d.chance),
			Washed: unit.Fraction(washed), Hydrolysed: unit.Fraction(hydrolysed),
			Lost: unit.Fraction(potential * hydrolysed), AtRisk: unit.Fraction(urea), Assumed: d.assumed != 0,
		}
	}
	return terms, nil
}

// The reckoning runs in four lanes beside one another: as expected, with the coefficients at either end,
// and as expected but without rain. The chance of a rain can be multiplied in day by day, because every
// step takes a share of what is there: the expectation over independent rains is exact.
const (
	expected = iota
	low
	high
	withoutRain
	lanes
)

func (r *Result) run(s Spreading) {
	capacity := capacityOf(s.SoilPH, s.OrganicMatter)
	slopes := [lanes]float64{expected: washIn, low: washInBest, high: washInPoorest}
	u := float64(r.urea)
	urea := [lanes]float64{u, u, u, u}
	var hydrolysed [lanes]float64
	c := startCourse(s.Weather, s.Day, r.Surface)
	for i := range s.horizon() {
		d := c.next(s.Day.Add(i))
		r.note(s.Day.Add(i), d)
		if d.rain > 0 {
			before := urea[expected]
			for l, k := range slopes {
				urea[l] -= urea[l] * d.chance * (1 - remaining(d.rain, k))
			}
			r.credit(s.Day.Add(i), d, before-urea[expected])
		}
		share := d.hydrolysed(capacity)
		for l := range urea {
			hydrolysed[l] += urea[l] * share
			urea[l] -= urea[l] * share
		}
	}
	p := r.Potential
	r.Loss = p.Expected * unit.Fraction(hydrolysed[expected])
	r.Low = p.Low * unit.Fraction(hydrolysed[low])
	r.High = p.High * unit.Fraction(hydrolysed[high])
	r.WithoutRain = p.Expected * unit.Fraction(hydrolysed[withoutRain])
	r.Held = unit.Fraction(hydrolysed[expected]) - r.Loss
	r.Left = unit.Fraction(urea[expected])
}

// credit notes what a rain carried in, and keeps the rain that carried in the most.
func (r *Result) credit(day calendar.Day, d dayOn, washed float64) {
	r.Washed += unit.Fraction(washed)
	if unit.Fraction(washed) > r.Rain.Washed {
		r.Rain = Rain{day, unit.Water(d.rain), unit.Fraction(d.chance), day.Sub(r.spread), unit.Fraction(washed)}
	}
}

// note keeps what of a day was assumed.
func (r *Result) note(day calendar.Day, d dayOn) {
	if d.beyond {
		if r.AssumedFrom.IsZero() {
			r.AssumedFrom = day
		}
		return
	}
	r.Assumed |= d.assumed
}

// dayOn is what a day does to urea on the surface.
type dayOn struct {
	temperature float64 // °C
	rain        float64 // mm that carries in; 0 when too little, or snow
	chance      float64
	moist       bool
	assumed     Assumptions
	beyond      bool // past the end of the weather
}

func (d dayOn) hydrolysed(capacity float64) float64 {
	var soilWater unit.Fraction
	if d.moist {
		soilWater = 1
	}
	return Hydrolysed(capacity, unit.Temperature(d.temperature), soilWater)
}

// course walks through the weather.
type course struct {
	weather     []season.ForecastDay
	at          int
	temperature float64
	drying      int // days since the surface was last wetted
}

// startCourse stands before the day of spreading, with the last temperature known there, or else the first
// known later. Ground of unknown moisture starts moist, the worse case.
func startCourse(weather []season.ForecastDay, day calendar.Day, surface Surface) course {
	c := course{weather: weather, at: from(weather, day), temperature: standInTemperature}
	if surface == DryGround {
		c.drying = daysToDry
	}
	hasTemperature := func(w season.ForecastDay) bool { return w.Has&season.HasTemperature != 0 }
	for i := c.at - 1; i >= 0; i-- {
		if hasTemperature(weather[i]) {
			c.temperature = meanTemperature(&weather[i])
			return c
		}
	}
	if i := slices.IndexFunc(weather[c.at:], hasTemperature); i >= 0 {
		c.temperature = meanTemperature(&weather[c.at+i])
	}
	return c
}

// from is the place in the weather of a day, or of the first day after it.
func from(weather []season.ForecastDay, day calendar.Day) int {
	return sort.Search(len(weather), func(i int) bool { return !weather[i].Day.Before(day) })
}

func meanTemperature(w *season.ForecastDay) float64 { return float64(w.Low+w.High) / 2 }

// next takes the next day. Where the weather has ended or skips the day, the last temperature goes on and
// no rain comes. Precipitation at a mean of freezing or below, or with snow on the ground, wets the surface
// but is not credited with carrying urea in: it lies, and melts by and by.
func (c *course) next(day calendar.Day) dayOn {
	for c.at < len(c.weather) && c.weather[c.at].Day.Before(day) {
		c.at++
	}
	d := dayOn{chance: 1}
	if c.at == len(c.weather) {
		d.beyond, d.assumed = true, AssumedTemperature|AssumedNoRain
	} else if w := &c.weather[c.at]; w.Day != day {
		d.assumed = AssumedTemperature | AssumedNoRain
	} else {
		c.take(w, &d)
	}
	d.temperature = c.temperature
	d.moist = c.drying < daysToDry
	c.drying++
	return d
}

func (c *course) take(w *season.ForecastDay, d *dayOn) {
	if w.Has&season.HasTemperature != 0 {
		c.temperature = meanTemperature(w)
	} else {
		d.assumed |= AssumedTemperature
	}
	snow := liesUnderSnow(w)
	if snow {
		c.drying = 0
	}
	if w.Has&season.HasRain == 0 {
		d.assumed |= AssumedNoRain
		return
	}
	if w.Rain >= wettingRain {
		c.drying = 0
	}
	if w.Rain >= LeastRain && c.temperature > 0 && !snow {
		d.rain = float64(w.Rain)
		if w.RainChance > 0 {
			d.chance = float64(min(w.RainChance, 1))
		}
	}
}
