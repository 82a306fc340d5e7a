package climate

import (
	"math"

	"culm/agronomy/unit"
	"culm/season"
)

// How far a forecast misses, by its lead in days (1 is the day of issue).
//
// Temperature. The mean error of an office of the US National Weather Service in southern Wisconsin, in
// November 2011, was about 2 °F for the high and 3 °F for the low on day 1 and grew to about 5 and 6 °F on day 7
// (cite.MilwaukeeVerification). Between them a straight line; beyond day 7 it goes on, but no further than
// the spread of the climate itself, with which a forecast of the usual would miss. One office, one month:
// elsewhere it will differ. A mean error is sqrt(2/pi) of a standard deviation when errors are normal. That
// the errors of high and low go together is an assumption.
//
// Rain. A forecast's chance of rain is taken as it is given, since these are made to be true to the letter at
// every lead. A forecast of rain or of none without a chance keeps a part of what it says that shrinks with
// the lead, and takes the rest from the climate. The amount, where the forecast names one, is drawn about
// it, less and less closely. The figures for both are from memory; nothing was found to confirm them.
const (
	errorFirst = 2.5 / 1.8 // mean error of the day's mean on day 1, C
	errorLast  = 5.5 / 1.8 // and on day 7

	keptLoss   = 0.1 // of what a forecast without a chance says, lost with each day of lead
	shapeFirst = 3.0 // gamma shape of the amount about the forecast's on day 1; its variation is 58 %
	shapeLoss  = 1. / 3
	shapeLeast = 1.0 // from day 7 on: as wide as its own mean
)

// temperatureMiss is the standard deviation of a forecast's error, in C.
func temperatureMiss(lead int) float64 {
	perDay := (errorLast - errorFirst) / 6
	return math.Sqrt(math.Pi/2) * (errorFirst + perDay*float64(max(lead, 1)-1))
}

// rainKept is the share of what a forecast without a chance says that is kept.
func rainKept(lead int) float64 { return max(0, 1-keptLoss*float64(max(lead, 1))) }

// amountShape is the gamma shape of the amount about the forecast's.
func amountShape(lead int) float64 {
	return max(shapeLeast, shapeFirst-shapeLoss*float64(max(lead, 1)-1))
}

// missing is how far a member's weather lies from the forecast, in units of the forecast's error; it stays from
// day to day as the weather's own departures do.
type missing struct {
	off   [variables]float64
	begun bool
}

// missed draws a day about what a forecast says.
func (s *Simulator) missed(f *season.ForecastDay, lead int, l *law, from State, m *missing) (season.ForecastDay, State) {
	d := season.ForecastDay{Wind: f.Wind, Humidity: f.Humidity}
	d.Day, d.Has = f.Day, f.Has&(season.HasWind|season.HasHumidity)
	wet := s.draws.uniform() < s.rainChance(f, lead, l, from.Wet)
	if s.warm {
		s.missTemperature(&d, f, lead, l, wet, &from, m)
	} else if f.Has&season.HasTemperature != 0 {
		d.Low, d.High, d.Has = f.Low, f.High, d.Has|season.HasTemperature
	}
	d.Has |= season.HasRain
	if wet {
		d.Rain = s.missAmount(f, lead, l)
	}
	from.Wet = wet
	return d, from
}

// rainChance is that of a wet day.
func (s *Simulator) rainChance(f *season.ForecastDay, lead int, l *law, wetBefore bool) float64 {
	climate := float64(l.rain.wetAfter(wetBefore))
	switch {
	case f.RainChance > 0:
		return float64(f.RainChance)
	case f.Has&season.HasRain == 0:
		return climate
	}
	said := 0.0
	if f.Rain >= s.climate.WetFrom {
		said = 1
	}
	return climate + rainKept(lead)*(said-climate)
}

// missAmount draws what falls when it rains: about the amount that the forecast names; from the climate's law where
// it names none, or none falls by it and it gave no chance either. A chance with an amount of nothing means a
// little, as far as the forecast is kept to.
func (s *Simulator) missAmount(f *season.ForecastDay, lead int, l *law) unit.Water {
	names := f.Has&season.HasRain != 0
	little := names && f.Rain < s.climate.WetFrom
	if !names || little && (f.RainChance == 0 || s.draws.uniform() >= rainKept(lead)) {
		return unit.Water(s.draws.amount(l.rain.Amounts))
	}
	shape := amountShape(lead)
	about := max(f.Rain, s.climate.WetFrom)
	return max(s.climate.WetFrom, about*unit.Water(s.draws.gamma(shape)/shape))
}

// missTemperature draws the temperature, and leaves in the state how far it lies from the usual, from where
// the weather beyond the forecast goes on.
func (s *Simulator) missTemperature(d *season.ForecastDay, f *season.ForecastDay, lead int, l *law, wet bool, state *State, m *missing) {
	u := l.usualWhen(wet)
	said, known := variablesOf(&f.WeatherDay)
	if !known {
		state.Departure = l.memory.next(state.Departure, s.draws)
		setTemperature(&d.WeatherDay, u, state.Departure)
		return
	}
	if m.begun {
		m.off = l.memory.next(m.off, s.draws)
	} else {
		m.off, m.begun = l.memory.fresh(s.draws), true
	}
	share := min(1, temperatureMiss(lead)/float64(u.Spread)) // of the climate's own spread
	z := u.departure(said)
	for k := range z {
		z[k] += share * m.off[k]
	}
	state.Departure = z
	setTemperature(&d.WeatherDay, u, z)
}
