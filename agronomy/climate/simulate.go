package climate

import (
	"math"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Simulator draws weather. It keeps tables and the source of chance, so one serves one caller at a time.
type Simulator struct {
	climate *Climate
	laws    [12][31]law
	draws   *draws
	warm    bool // temperatures are drawn
}

// law is all that is usual on a day of the year.
type law struct {
	rain   Rain
	usual  [states]Usual
	memory *carry // of the month
}

// NewSimulator makes a simulator; the same seed draws the same weather.
func NewSimulator(c *Climate, seed uint64) *Simulator {
	s := &Simulator{climate: c, draws: newDraws(seed), warm: c.KnowsTemperature()}
	places := tablePlaces()
	for m := range s.laws {
		memory := c.Months[m].Memory.carry()
		for d := range s.laws[m] {
			at := places[m][d]
			s.laws[m][d] = law{c.rainAt(at), [states]Usual{c.usualAt(at, dryDay), c.usualAt(at, wetDay)}, &memory}
		}
	}
	return s
}

// State is what a day leaves to the next: whether it was wet, and how far its temperature lay from the usual
// (mean and root of the range, in spreads). Parts that are not known are drawn.
type State struct {
	Wet              bool
	Departure        [2]float64
	KnowsWet         bool
	KnowsTemperature bool
}

// After is the state that a measured or forecast day leaves.
func (c *Climate) After(d *season.WeatherDay) State {
	var s State
	rain, known := rainOf(d)
	if !known {
		return s
	}
	s.Wet, s.KnowsWet = rain >= c.WetFrom, true
	if v, measured := variablesOf(d); measured && c.KnowsTemperature() {
		s.Departure, s.KnowsTemperature = c.UsualOn(d.Day, s.Wet).departure(v), true
	}
	return s
}

// Run fills days with simulated weather from the first on, for one member, and gives the state in which the
// last day ends. It allocates nothing.
func (s *Simulator) Run(days []season.WeatherDay, first calendar.Day, from State, member int) State {
	var in months
	for i := range days {
		day := first.Add(i)
		in.enter(day)
		l := &s.laws[in.month-1][in.dayOfMonth(day)-1]
		s.draws.at(member, day)
		s.settle(&from, l)
		days[i], from = s.day(day, l, from)
	}
	return from
}

// settle draws what is not known of the day before.
func (s *Simulator) settle(from *State, l *law) {
	if !from.KnowsWet {
		from.Wet, from.KnowsWet = s.draws.uniform() < float64(l.rain.WetShare()), true
	}
	if !from.KnowsTemperature && s.warm {
		from.Departure, from.KnowsTemperature = l.memory.fresh(s.draws), true
	}
}

// day draws one day after another.
func (s *Simulator) day(day calendar.Day, l *law, from State) (season.WeatherDay, State) {
	d := season.WeatherDay{Day: day}
	wet := s.draws.uniform() < float64(l.rain.wetAfter(from.Wet))
	if s.warm {
		from.Departure = l.memory.next(from.Departure, s.draws)
		setTemperature(&d, l.usualWhen(wet), from.Departure)
	}
	d.Has |= season.HasRain
	if wet {
		d.Rain = unit.Water(s.draws.amount(l.rain.Amounts))
	}
	from.Wet = wet
	return d, from
}

func (l *law) usualWhen(wet bool) *Usual {
	if wet {
		return &l.usual[wetDay]
	}
	return &l.usual[dryDay]
}

func (c Chain) wetAfter(wet bool) unit.Fraction {
	if wet {
		return c.AfterWet
	}
	return c.AfterDry
}

// setTemperature writes low and high from the departures from the usual. A range cannot be below zero.
func setTemperature(d *season.WeatherDay, u *Usual, z [variables]float64) {
	mean := u.Mean + temperatureOf(z[meanOf])*u.Spread
	root := max(0, u.RootRange+z[rootOf]*u.RootSpread)
	half := temperatureOf(root * root / 2)
	d.Low, d.High = mean-half, mean+half
	d.Has |= season.HasTemperature
}

// carry is the first-order autoregression z' = A z + B e that keeps the correlations of a Memory, with e
// independent and normal (Matalas 1967, Richardson 1981; from memory): A = Lag Same^-1, B B' = Same - A Lag'.
type carry struct {
	a    [2][2]float64
	b    [2][2]float64 // lower triangle
	same [2][2]float64 // lower triangle of the root of Same
}

func (m Memory) carry() carry {
	r := min(max(m.Same[0][1], -0.99), 0.99)
	det := 1 - r*r
	var c carry
	for i := range c.a {
		p, q := m.Lag[i][0], m.Lag[i][1]
		c.a[i] = [2]float64{(p - r*q) / det, (q - r*p) / det}
	}
	rest := func(i, j int) float64 {
		same := [2][2]float64{{1, r}, {r, 1}}
		return same[i][j] - c.a[i][0]*m.Lag[j][0] - c.a[i][1]*m.Lag[j][1]
	}
	c.b = rootOfSymmetric(rest(0, 0), rest(1, 0), rest(1, 1))
	c.same = rootOfSymmetric(1, r, 1)
	return c
}

// rootOfSymmetric is the lower triangle L with L L' = [[a, b], [b, d]]; what a short record makes negative
// is cut at zero.
func rootOfSymmetric(a, b, d float64) [2][2]float64 {
	first := math.Sqrt(max(a, 0))
	if first == 0 {
		return [2][2]float64{{0, 0}, {0, math.Sqrt(max(d, 0))}}
	}
	return [2][2]float64{{first, 0}, {b / first, math.Sqrt(max(d-b*b/a, 0))}}
}

func times(l *[2][2]float64, x, y float64) [2]float64 {
	return [2]float64{l[0][0]*x + l[0][1]*y, l[1][0]*x + l[1][1]*y}
}

func (c *carry) next(z [2]float64, d *draws) [2]float64 {
	kept, fresh := times(&c.a, z[0], z[1]), times(&c.b, d.normal(), d.normal())
	return [2]float64{kept[0] + fresh[0], kept[1] + fresh[1]}
}

// fresh draws departures of which nothing is known.
func (c *carry) fresh(d *draws) [2]float64 { return times(&c.same, d.normal(), d.normal()) }
