package equipment

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// Spray is what a boom is to deliver.
type Spray struct {
	Rate    unit.VolumePerArea // of the liquid itself
	Speed   unit.Speed
	Spacing unit.Length // between nozzles, or between drops that feed several streams
	Density unit.Density
	// Streams is set where the nozzles make streams, not fans.
	Streams bool
}

// Check refuses a spray that cannot be driven.
func (s Spray) Check() error {
	return errors.Join(
		positive("rate", s.Rate, "a rate above zero"),
		s.checkSpeed(),
		positive("nozzle spacing", s.Spacing, "a spacing above zero, such as 20 in"),
		CheckDensity(s.Density),
	)
}

// fastest is above what any boom is driven at; a higher speed is one in other units.
const fastest = 60 * unit.KilometrePerHour

func (s Spray) checkSpeed() error {
	if s.Speed > fastest {
		return fmt.Errorf("the speed is %s (%s); no boom is driven that fast",
			unit.Show(unit.KindSpeed, float64(s.Speed), unit.US), unit.Show(unit.KindSpeed, float64(s.Speed), unit.Metric))
	}
	return positive("speed", s.Speed, "a speed above zero: a rig that stands still has no rate")
}

// Flow is what each nozzle must let out of the liquid, from the area that it covers in a minute; the same law as
// GPM = GPA × mph × inches ÷ 5940 and L/min = L/ha × km/h × m ÷ 600 [cite.MontanaSprayer].
func (s Spray) Flow() unit.Flow {
	const perHectare = 10_000 // m2
	return unit.Flow(float64(s.Rate) * float64(s.Speed) * float64(s.Spacing) * 60 / perHectare)
}

// RateOf is the rate that a flow of liquid from each nozzle makes at a speed and a spacing, or the flow of the whole
// boom over its width.
func RateOf(flow unit.Flow, speed unit.Speed, spacing unit.Length) unit.VolumePerArea {
	return unit.VolumePerArea(float64(flow) * 10_000 / (60 * float64(speed) * float64(spacing)))
}

// SpeedFor is the speed at which a flow of liquid makes a rate.
func SpeedFor(flow unit.Flow, rate unit.VolumePerArea, spacing unit.Length) unit.Speed {
	return unit.Speed(float64(flow) * 10_000 / (60 * float64(rate) * float64(spacing)))
}

// WaterFlow is the flow of water that the same nozzle lets out at the same pressure: what to look up in a table of
// nozzles, which are made for water [cite.NebraskaNozzle].
func (s Spray) WaterFlow() unit.Flow { return s.Flow() / flowFactor(s.Density) }

// Nozzle is one nozzle by its flow of water at a pressure.
type Nozzle struct {
	Name string
	Flow unit.Flow // of water
	At   unit.Pressure
	// Low and High bound the pressures that it works at; both zero when they are not known.
	Low, High unit.Pressure
	// Streams is set where it makes streams.
	Streams bool
	// Standard is set for a size of ISO 10625, which is no nozzle of anybody's.
	Standard bool
}

// Check refuses a nozzle that lets nothing out.
func (n Nozzle) Check() error {
	name := "nozzle " + n.Name
	err := errors.Join(
		positive("flow of "+name, n.Flow, "a flow above zero at its rated pressure"),
		positive("rated pressure of "+name, n.At, "a pressure above zero, such as 40 psi"),
	)
	if err == nil && n.hasRange() && !(n.Low > 0 && n.Low < n.High) {
		err = fmt.Errorf("%s works from %s to %s; expected the lower pressure first", name, psi(n.Low), psi(n.High))
	}
	return err
}

func (n Nozzle) hasRange() bool { return n.Low != 0 || n.High != 0 }

// WaterAt is the nozzle's flow of water at a pressure: it grows with the square root [cite.PressureLaw].
func (n Nozzle) WaterAt(p unit.Pressure) unit.Flow {
	return n.Flow * unit.Flow(math.Sqrt(float64(p/n.At)))
}

// FlowAt is its flow of a liquid at a pressure.
func (n Nozzle) FlowAt(p unit.Pressure, d unit.Density) unit.Flow {
	return n.WaterAt(p) * flowFactor(d)
}

// PressureFor is the pressure at which it lets out a flow of water.
func (n Nozzle) PressureFor(water unit.Flow) unit.Pressure {
	share := water / n.Flow
	return n.At * unit.Pressure(share*share)
}

// Pressures that a nozzle is taken to work at where its range is not known: fans from memory, streams by the habit
// of keeping them low so that they stay whole.
const (
	usualLow        = 15 * unit.PoundPerSquareInch
	usualHigh       = 60 * unit.PoundPerSquareInch
	usualStreamHigh = 40 * unit.PoundPerSquareInch
)

// Range is the pressures that the nozzle works at; known is false where they are assumed, from memory: 15 to 60 psi
// for fans, 15 to 40 psi for streams.
func (n Nozzle) Range() (low, high unit.Pressure, known bool) {
	switch {
	case n.hasRange():
		return n.Low, n.High, true
	case n.Streams:
		return usualLow, usualStreamHigh, false
	default:
		return usualLow, usualHigh, false
	}
}

// StandardSizes are the sizes of ISO 10625 with their flow of water at 3 bar [cite.ISO10625]; the number is tenths
// of a gallon a minute at 40 psi. They stand for fans of crop protection and not for streams.
func StandardSizes() []Nozzle {
	sizes := []struct {
		name string
		flow unit.Flow
	}{
		{"01 orange", 0.4},
		{"015 green", 0.6},
		{"02 yellow", 0.8},
		{"025 lilac", 1.0},
		{"03 blue", 1.2},
		{"04 red", 1.6},
		{"05 brown", 2.0},
		{"06 grey", 2.4},
		{"08 white", 3.2},
		{"10 light blue", 4.0},
	}
	nozzles := make([]Nozzle, len(sizes))
	for i, s := range sizes {
		nozzles[i] = Nozzle{Name: "size " + s.name, Flow: s.flow, At: 3 * unit.Bar, Standard: true}
	}
	return nozzles
}

// Note is a remark with its source.
type Note struct {
	Text   string
	Source cite.Key
	Status cite.Status
}

// Setting is one nozzle set for a spray.
type Setting struct {
	Nozzle Nozzle
	// Pressure is what makes the rate at the speed. Low and High are the nozzle's range, assumed unless RangeKnown.
	Pressure, Low, High unit.Pressure
	RangeKnown          bool
	// Fits says that Pressure lies in the range; Why says why not, with the speed that would do.
	Fits bool
	Why  string
	// Slowest and Fastest are the speeds at which the rate can be held within the range.
	Slowest, Fastest unit.Speed
	// Least and Most are the rates within the range at the speed.
	Least, Most unit.VolumePerArea
	Notes       []Note
}

// Set sets one nozzle. It fails for a spray or a nozzle that cannot be.
func (s Spray) Set(n Nozzle) (Setting, error) {
	if err := errors.Join(s.Check(), n.Check()); err != nil {
		return Setting{}, err
	}
	set := Setting{Nozzle: n, Pressure: n.PressureFor(s.WaterFlow())}
	set.Low, set.High, set.RangeKnown = n.Range()
	least, most := n.FlowAt(set.Low, s.Density), n.FlowAt(set.High, s.Density)
	set.Slowest, set.Fastest = SpeedFor(least, s.Rate, s.Spacing), SpeedFor(most, s.Rate, s.Spacing)
	set.Least, set.Most = RateOf(least, s.Speed, s.Spacing), RateOf(most, s.Speed, s.Spacing)
	set.judge(s)
	return set, nil
}

// Choose sets every nozzle and puts first those that fit, each time the one nearest the middle of its range.
func (s Spray) Choose(nozzles []Nozzle) ([]Setting, error) {
	if len(nozzles) == 0 {
		return nil, errors.New("no nozzle to choose from; name those of the rig, or take the standard sizes")
	}
	settings := make([]Setting, len(nozzles))
	for i, n := range nozzles {
		var err error
		if settings[i], err = s.Set(n); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(settings, func(a, b Setting) int { return cmp.Compare(a.misfit(), b.misfit()) })
	return settings, nil
}

// misfit is how far, in powers of e, the pressure lies from the middle of the range; more for a nozzle outside it.
func (t *Setting) misfit() float64 {
	middle := math.Sqrt(float64(t.Low) * float64(t.High))
	off := math.Abs(math.Log(float64(t.Pressure) / middle))
	if !t.Fits {
		off += 100
	}
	return off
}

// nearly lets a pressure on the edge of a range be in it whatever the last digit.
const nearly = 1 + 1e-9

func (t *Setting) judge(s Spray) {
	switch {
	case t.Nozzle.Streams != s.Streams:
		t.Why = "it makes " + shape(t.Nozzle.Streams) + ", and the plan asks for " + shape(s.Streams)
	case t.Pressure > t.High*nearly:
		t.Why = fmt.Sprintf("it would take %s, above its %s; drive no faster than %s, or take a larger one", psi(t.Pressure), psi(t.High), mph(t.Fastest))
	case t.Pressure*nearly < t.Low:
		t.Why = fmt.Sprintf("it would run at %s, below its %s; drive no slower than %s, or take a smaller one", psi(t.Pressure), psi(t.Low), mph(t.Slowest))
	default:
		t.Fits = true
	}
	t.note(s)
}

func (t *Setting) note(s Spray) {
	say := func(text string, source cite.Key, status cite.Status) {
		t.Notes = append(t.Notes, Note{text, source, status})
	}
	if !t.RangeKnown {
		say(fmt.Sprintf("the pressures it works at are not known; %s to %s is assumed, from memory", psi(t.Low), psi(t.High)), cite.PressureLaw, cite.FromMemory)
	}
	if t.Nozzle.Standard {
		say("sizes and colours are those of ISO 10625 for crop protection and might not be applicable to liquid fertilizer: look the flow up at the nozzle's maker, or catch it", cite.ISO10625, cite.Confirmed)
	}
	if t.Nozzle.Standard && s.Streams {
		say("the colour of a stream nozzle says nothing sure of its flow", cite.ISO10625, cite.Confirmed)
	}
	high := float64(t.Pressure) > math.Sqrt(float64(t.Low)*float64(t.High))*1.3
	switch {
	case s.Streams && (high || t.Pressure > usualStreamHigh):
		say("streams break into drops at high pressure, and drops burn leaves: take larger orifices or drive slower", cite.OntarioBurn, cite.FromMemory)
	case s.Streams:
		say("keep the boom at its height: the spacing of the streams changes with it and can stripe the crop", cite.OntarioBurn, cite.Confirmed)
	case high:
		say("high in its range: finer drops, which drift and cover more leaf; a larger nozzle makes coarser ones", cite.Practice, cite.CommonPractice)
	}
	if s.Density > fertilizerFrom && !s.Streams {
		say("fertilizer through fans burns leaves; coarse drops, a dry crop and cool hours burn less", cite.OntarioBurn, cite.Confirmed)
	}
}

// fertilizerFrom is the density above which a liquid is taken for a fertilizer and not for water with a herbicide.
const fertilizerFrom = 1.1 * unit.KilogramPerLitre

func shape(streams bool) string {
	if streams {
		return "streams"
	}
	return "fans"
}

func psi(p unit.Pressure) string {
	return fmt.Sprintf("%s (%s)", unit.Show(unit.KindPressure, float64(p), unit.US), unit.Show(unit.KindPressure, float64(p), unit.Metric))
}

func mph(v unit.Speed) string {
	return fmt.Sprintf("%.1f mph (%.1f km/h)", float64(v/unit.MilePerHour), float64(v/unit.KilometrePerHour))
}
