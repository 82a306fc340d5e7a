package ammonia

import (
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// Term is one day of the reckoning. Fractions are of the nitrogen applied.
type Term struct {
	Day calendar.Day
	// Temperature is the mean of the day's low and high air temperature, which stands for the surface's: at
	// Manhattan, Kansas, from October to April, within 1.6 °C (root mean square) of what infrared measured.
	Temperature unit.Temperature
	Wet         unit.Fraction // water of the surface layer, 0 dry to 1
	Rain        unit.Water    // credited with carrying in; 0 when none was
	Chance      unit.Fraction // of that rain
	Washed      unit.Fraction
	Hydrolysed  unit.Fraction
	Lost        unit.Fraction
	AtRisk      unit.Fraction // urea and ammonium still on the surface in the evening
	Assumed     bool          // temperature or rain of the day is assumed
}

// Trace gives the expected course day by day, for a product with urea on bare or residue-covered ground; it
// is empty where Expect does not run days (on snow, or without urea).
func Trace(s Spreading) ([]Term, error) {
	r, err := Expect(s)
	if err != nil || r.reason != becauseDry && r.reason != becauseRain {
		return nil, err
	}
	days := walk(s.Weather, s.Day, s.horizon(), s.At, s.Surface).days
	rates, u := ratesOf(&s.Soil, fitted()), r.urea
	inhibited := s.Inhibited || s.Product.Inhibited
	p := startPools(s.Product.Form, inhibited)
	terms := make([]Term, len(days))
	for i := range terms {
		d, before := &days[i], p
		p.step(d, &rates, d.left, inhibited)
		terms[i] = Term{
			Day: s.Day.Add(i), Temperature: unit.Temperature(d.temperature), Wet: unit.Fraction(d.wet),
			Rain: unit.Water(d.rain), Chance: unit.Fraction(d.chance), Washed: u * unit.Fraction(p.washed-before.washed),
			Hydrolysed: u * unit.Fraction(p.hydrolysed-before.hydrolysed), Lost: u * unit.Fraction(p.lost-before.lost),
			AtRisk: u * unit.Fraction(p.onSurface()), Assumed: d.assumed != 0,
		}
	}
	return terms, nil
}
