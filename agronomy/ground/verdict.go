package ground

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// State is what the ground is like for a machine and for what it spreads.
type State string

// The states. On the first three nothing is to be spread ([cite.FrozenGround590], [cite.KentuckyFrozen],
// [cite.KansasFrozen]); soft ground is a warning. A local rule or a label that says more comes first, whatever the
// state.
const (
	SnowCovered State = "snow-covered"
	Frozen      State = "frozen"
	Saturated   State = "saturated"
	Soft        State = "soft and wet"
	Open        State = "open"
	Unknown     State = "unknown"
)

// Stops says that nothing may be spread.
func (s State) Stops() bool { return s == Frozen || s == SnowCovered || s == Saturated }

// Chances from which a state is called. Frost is called early because spreading on frozen ground is the worse
// mistake of the two: at Manhattan, where soil at 5 cm was frozen on one winter day in eighteen, it is called at
// one chance in five and doubted from one in thirty. The figures are ours; see docs/soil-temperature.md for the
// hits and misses they bring.
const (
	FrostStops  = unit.Fraction(0.20)
	FrostDoubts = unit.Fraction(0.03)
	called      = unit.Fraction(0.5)
	doubted     = unit.Fraction(0.1)
)

// Seen is what someone noted on the field that day; nil where nobody did. What was seen stands over what is reckoned.
type Seen struct{ Snow, Frozen *bool }

// Verdict is the state of the ground on a day, with the reason in words.
type Verdict struct {
	State State
	// Chance is that of the state; 1 where it was seen or measured.
	Chance unit.Fraction
	// Reason says why, without numbers; a reader's units do not matter to it.
	Reason string
	// Observed is true when someone noted it that day or a station measured it.
	Observed bool
	// Doubt says what to look at before relying on the state; empty when nothing speaks against it.
	Doubt string
	// Source is where an estimate's rule comes from; empty for what was observed, and for what goes by a limit that
	// the advisor set.
	Source cite.Key
}

// Verdict judges the day. In order: what was seen; snow; frost; a saturated top layer; a soft one; otherwise open.
// It is unknown where rain or temperature of the days before is.
func (c Condition) Verdict(seen Seen) Verdict {
	for _, look := range []func(Seen) (Verdict, bool){c.seen, c.snow, c.frost, c.water} {
		if v, decided := look(seen); decided {
			return c.doubted(v, seen)
		}
	}
	return c.doubted(c.open(seen), seen)
}

func (c Condition) seen(s Seen) (Verdict, bool) {
	switch {
	case s.Snow != nil && *s.Snow:
		return Verdict{State: SnowCovered, Chance: 1, Reason: "snow was seen on the field that day", Observed: true}, true
	case s.Frozen != nil && *s.Frozen:
		return Verdict{State: Frozen, Chance: 1, Reason: "the ground was found frozen that day", Observed: true}, true
	}
	return Verdict{}, false
}

func (c Condition) snow(s Seen) (Verdict, bool) {
	switch {
	case s.Snow != nil || c.Snow < called:
		return Verdict{}, false
	case c.SnowMeasured:
		return Verdict{State: SnowCovered, Chance: 1, Reason: "the station measured snow lying", Observed: true}, true
	case c.Falling && c.SnowFell == c.Day:
		return Verdict{State: SnowCovered, Chance: c.Snow, Reason: "snow is forecast to fall that day", Source: cite.SnowAugsburg}, true
	}
	reason := "snow depth was not measured; snow that lay, is forecast, or is counted from what fell on cold days has not melted since " + c.SnowFell.Spoken()
	return Verdict{State: SnowCovered, Chance: c.Snow, Reason: reason, Source: cite.SnowAugsburg}, true
}

func (c Condition) frost(s Seen) (Verdict, bool) {
	if s.Frozen != nil || !c.SoilKnown {
		return Verdict{}, false // found open, or nothing to go by
	}
	v := Verdict{State: Frozen, Chance: c.Frozen, Source: cite.SoilRelaxation}
	switch {
	case c.Frozen >= FrostStops && c.tooFarAhead(FrostStops):
		v.Reason = "the soil is not expected to freeze, but nobody can know so far ahead: temperature may miss the forecast by enough to freeze it"
	case c.Frozen >= FrostStops:
		v.Reason = "from the air of the weeks before the soil is estimated near freezing or below, and soil so cold was found frozen too often to spread on"
	case c.Frozen >= FrostDoubts && c.Freezing:
		v.Reason = "the air stays below freezing all day and from the air of the weeks before the soil may be frozen"
	default:
		return Verdict{}, false
	}
	return v, true
}

// tooFarAhead says that it is the forecast's error alone that lifts the chance of frost to a limit.
func (c Condition) tooFarAhead(limit unit.Fraction) bool {
	return c.Frozen-c.FrostByError < limit && limit <= c.Frozen
}

func (c Condition) water(Seen) (Verdict, bool) {
	because := "much rain"
	if c.Melted {
		because = "melting snow"
	}
	switch {
	case c.RainMissing == rainDays:
		return Verdict{}, false
	case c.Saturated >= called:
		v := Verdict{State: Saturated, Chance: c.Saturated, Reason: "after " + because + " the pores of the top layer are full of water", Source: cite.FrozenGround590}
		return v.by(c.Limits.Saturated), true
	case c.Soft >= called:
		if !c.Melted {
			because = "rain"
		}
		v := Verdict{State: Soft, Chance: c.Soft, Reason: "after " + because + " the top layer has not dried enough to carry a machine", Source: cite.SoftGround}
		return v.by(c.Limits.Soft), true
	case c.Thawed && c.Frozen < FrostStops:
		return Verdict{State: Soft, Chance: 1, Reason: "the soil is thawing after frost", Source: cite.Practice}, true
	}
	return Verdict{}, false
}

// by says that a verdict goes by a limit of the advisor's, where there is one.
func (v Verdict) by(limit unit.Fraction) Verdict {
	if limit != 0 {
		v.Reason += ", by the advisor's limit"
		v.Source = ""
	}
	return v
}

func (c Condition) open(s Seen) Verdict {
	noRain, noSoil := c.RainMissing == rainDays, !c.SoilKnown && s.Frozen == nil
	switch {
	case noRain && noSoil:
		return Verdict{State: Unknown, Reason: "neither rain nor temperature of the days before is known"}
	case noRain:
		return Verdict{State: Unknown, Reason: "rain of the days before is not known"}
	case noSoil:
		return Verdict{State: Unknown, Reason: "temperature of the eleven days before is not known throughout"}
	}
	v := Verdict{State: Open, Reason: "neither frost, snow nor much water", Source: cite.SoilRelaxation}
	v.Chance = (1 - c.Frozen) * (1 - c.Snow) * (1 - max(c.Soft, c.Saturated))
	if s.Frozen != nil && s.Snow != nil {
		v.Observed, v.Source = true, ""
	}
	return v
}

// doubted adds what speaks against a state that does not stop.
func (c Condition) doubted(v Verdict, s Seen) Verdict {
	switch {
	case v.State.Stops() || v.State == Unknown:
	case s.Frozen == nil && c.SoilKnown && c.tooFarAhead(FrostDoubts):
		v.Doubt = "the soil may be frozen by then: it is not expected to be, but nobody can know so far ahead"
	case s.Frozen == nil && c.SoilKnown && c.Frozen >= FrostDoubts:
		v.Doubt = "the soil may be frozen: its estimate from the air is close to freezing; try it with a spade"
	case s.Snow == nil && c.Snow >= doubted && c.Snow < called:
		v.Doubt = "snow may lie by then: the forecast has a chance of it"
	case v.State == Open && c.Soft >= doubted:
		v.Doubt = "the ground may be soft by then: it hangs on rain that may or may not come"
	case c.RainMissing > 0:
		v.Doubt = "rain is not known for every one of the last three days"
	}
	return v
}

// Surface is how wet the ground's surface is.
type Surface string

// The surfaces, from dry to wet.
const (
	DrySurface  Surface = "dry"
	DampSurface Surface = "damp"
	WetSurface  Surface = "wet"
)

// SurfaceOf tells the surface from the share of its evaporable water that the top layer still has
// (Condition.Evaporable): wet while it gives off water as fast as the air takes it, which is until the readily
// evaporable part is gone; from there on drying, and dry once it gives off less than a fifth of that (FAO-56 Eq.
// 74; that a fifth counts as dry is ours, no source).
func SurfaceOf(evaporable unit.Fraction, s Soil) Surface {
	const barely = 0.2
	gone := (1 - evaporable) * unit.Fraction(s.TotalEvaporable())
	switch given := Drying(unit.Water(gone), s.ReadilyEvaporable, s.TotalEvaporable()); {
	case given >= 1:
		return WetSurface
	case given >= barely:
		return DampSurface
	default:
		return DrySurface
	}
}
