package ground

import (
	"cmp"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Risk is what a flag warns of.
type Risk string

// The risks.
const (
	GroundState Risk = "ground"    // frozen, under snow, saturated, soft or not known
	Drift       Risk = "drift"     // wind carries spray off, throws dry product unevenly
	Inversion   Risk = "inversion" // cold air lies still and carries fine droplets far
	Droplets    Risk = "droplets"  // fine droplets dry too fast or not at all
	BurnFrost   Risk = "burn-frost"
	BurnDew     Risk = "burn-dew"
	BurnHeat    Risk = "burn-heat"
	BurnWeeds   Risk = "burn-herbicide"
	RainOn      Risk = "rain"        // rain while spreading
	RunsOff     Risk = "runoff"      // rain of the day or the two after carries product off
	Leaches     Risk = "leaching"    // nitrate goes below the roots
	WindyHours  Risk = "windy-hours" // what Drift is, in some hours of a day that has others
	FewHours    Risk = "few-hours"   // hardly an hour of the day is fit
)

// Level is how much a flag weighs.
type Level int

// The levels. Only the state of the ground stops; local rules and labels may stop more.
const (
	Note Level = iota
	Caution
	Stop
)

// Flag is one thing that speaks against a day, or against hours of it, for some ways of placing.
type Flag struct {
	Risk  Risk
	Level Level
	// Spans are the hours it holds in; none means the whole day. What holds in some hours only is a note: whether the
	// others are enough is said by FewHours.
	Spans []Span
	// Ways are the ways of placing it concerns; none means all of them.
	Ways []placement.Way
	// Chance is given where the forecast is uncertain; zero where nothing tells it.
	Chance unit.Fraction
	// Reason says why, in words without numbers; Amount is the number behind it, or the zero Amount.
	Reason string
	Amount working.Amount
	Source cite.Key
	// Status is that of the limit it goes by, which may be weaker than its source's.
	Status cite.Status
}

// Concerns says that the flag holds for a way of placing.
func (f Flag) Concerns(way placement.Way) bool {
	return len(f.Ways) == 0 || slices.Contains(f.Ways, way)
}

// Prospect is what is known of a day when someone may spread on it.
type Prospect struct {
	Site Site
	// Soil is that of the site; the zero Soil means to look it up.
	Soil Soil
	// Daily is the day's forecast or record; Hours are its hours, where there are any, in order and without gaps: an
	// hour of which nothing is known has no parts.
	Daily season.ForecastDay
	Hours []Hour
	// Noon is when the sun stands highest on the field's clock, in hours; zero is half past twelve.
	Noon float64
	// Ground is the verdict on the day; Coming are the conditions of the day and of those after it, as far as they
	// are known.
	Ground Verdict
	Coming []Condition
	// Herbicide says that one goes along with the liquid; Tillered that the crop is past the end of tillering
	// (Zadoks 29).
	Herbicide, Tillered bool
}

// Flags lists what speaks against a day, the weightiest first. What hangs on a part that no hour gives is told from
// the day's low, high, wind and humidity, and for the whole day. A part that is not known raises no flag: that
// nothing is flagged is not a promise.
func Flags(p Prospect) []Flag {
	all := p.speaks()
	all = append(all, p.fewHours(all)...)
	slices.SortStableFunc(all, func(a, b Flag) int { return cmp.Compare(b.Level, a.Level) })
	return all
}

// speaks lists everything but whether enough hours are left.
func (p Prospect) speaks() []Flag {
	var all []Flag
	for _, ask := range []func() []Flag{p.state, p.wind, p.inversion, p.burn, p.rain, p.runoff, p.leaching} {
		all = append(all, ask()...)
	}
	return all
}

func liquids() []placement.Way { return []placement.Way{placement.FlatFan, placement.Stream} }
func fans() []placement.Way    { return []placement.Way{placement.FlatFan} }

func (p Prospect) day() calendar.Day { return p.Daily.Day }

// state passes the verdict on the ground on.
func (p Prospect) state() []Flag {
	v := p.Ground
	f := Flag{Risk: GroundState, Chance: v.Chance, Reason: v.Reason, Source: v.Source}
	switch {
	case v.State.Stops():
		f.Level = Stop
	case v.State == Soft || v.State == Unknown:
		f.Level = Caution
	case v.Doubt != "":
		f.Reason, f.Chance = v.Doubt, 0
	default:
		return nil
	}
	f.Status = statusOf(v.Source)
	return []Flag{f}
}

func statusOf(k cite.Key) cite.Status {
	s, _ := cite.Find(k)
	return s.Status
}

// hoursThat are the hours of which something is true.
func (p Prospect) hoursThat(is func(Hour) bool) []Span { return spansThat(p.Hours, is) }

// byHour says that the hours tell a part and not the day: where they cover its time, but for one hour that a clock
// may skip, or where the day does not tell it.
func (p Prospect) byHour(part HourParts, daily season.Parts, from, to int) bool {
	known := 0
	for _, h := range p.Hours {
		if h.Hour >= from && h.Hour < to && h.has(part) {
			known++
		}
	}
	return known >= to-from-1 || known > 0 && p.Daily.Has&daily == 0
}

// A working day of winter, as a forecast's wind and humidity of a day are those of its daylight.
const (
	worksFrom = 8
	worksTo   = 18
)

// levelOf is that of a caution: less where it concerns hours and not the day.
func levelOf(spans []Span) Level {
	if len(spans) > 0 {
		return Note
	}
	return Caution
}

// WindLimit is the wind above which a way of placing is cautioned against [cite.SprayWindLimits], from memory.
func WindLimit(way placement.Way) unit.Speed {
	if way == placement.FlatFan {
		return sprayWind
	}
	return coarseWind
}

// wind: above its limit spray from flat fans drifts, and dry product and streams fall unevenly. Where hours are known
// it speaks against the day only if it leaves too few of the working day, and against those hours otherwise.
func (p Prospect) wind() []Flag {
	var flags []Flag
	for _, of := range []struct {
		ways  []placement.Way
		limit unit.Speed
		harm  string
	}{
		{fans(), sprayWind, "the wind carries spray off the field"},
		{[]placement.Way{placement.Broadcast, placement.Stream}, coarseWind, "the wind throws dry product and streams unevenly"},
	} {
		f := Flag{
			Risk: Drift, Level: Caution, Ways: of.ways, Reason: of.harm,
			Amount: working.Of(p.Daily.Wind), Source: cite.SprayWindLimits, Status: cite.FromMemory,
		}
		if !p.byHour(HourWind, season.HasWind, worksFrom, worksTo) {
			if p.Daily.Has&season.HasWind != 0 && p.Daily.Wind > of.limit {
				flags = append(flags, f)
			}
			continue
		}
		windy := func(h Hour) bool { return h.has(HourWind) && h.Wind > of.limit }
		if f.Spans = p.hoursThat(windy); f.Spans == nil {
			continue
		}
		if enough(p.hoursThat(func(h Hour) bool { return h.Hour >= worksFrom && h.Hour < worksTo && !windy(h) })) {
			f.Risk, f.Level = WindyHours, Note
		}
		most := unit.Speed(0)
		for _, h := range p.Hours {
			most = max(most, h.Wind)
		}
		f.Amount = working.Of(most)
		flags = append(flags, f)
	}
	return flags
}

// inversion: in the hours around the night, and in calm ones by day.
func (p Prospect) inversion() []Flag {
	reason := "cold air may lie still over the ground and carry fine droplets far"
	if len(p.Hours) == 0 {
		reason += ": in the evening, by night and until well after sunrise, unless a steady wind blows under solid cloud"
	}
	f := Flag{Risk: Inversion, Level: Note, Ways: fans(), Reason: reason, Source: cite.SprayInversion, Status: cite.Confirmed}
	latitude := p.Site.Latitude
	if !p.Site.HasLatitude {
		latitude = assumedLatitude
	}
	rise, set := sunHours(p.day(), latitude, p.Noon)
	var known, assumed [24]bool
	for _, h := range p.Hours {
		known[h.Hour] = true
		assumed[h.Hour] = assumed[h.Hour] || h.inverted(rise, set) || h.calm()
	}
	var hours []int
	for clock := range 24 {
		if assumed[clock] || !known[clock] && (Hour{Hour: clock}).inverted(rise, set) {
			hours = append(hours, clock)
		}
	}
	if len(hours) == 0 {
		return nil
	}
	f.Spans = spansOf(hours)
	return []Flag{f}
}

// burn: liquid nitrogen on leaves. Frost and dew keep it on the leaf and the leaf open to it [cite.OntarioBurn];
// heat dries it to crystals [cite.NorthDakotaBurn]; a herbicide along with it opens the leaf, and cost yield in
// about two cases of five, chiefly on wheat past tillering [cite.NebraskaLeafBurn]. Streams burn less, as they wet
// less leaf. A cold cloudy spell that leaves leaves without wax is not seen.
func (p Prospect) burn() []Flag {
	var frost, dew, heat []Span
	isFrost := p.Daily.Has&season.HasTemperature != 0 && p.Daily.Low <= 0
	isHeat := p.Daily.Has&season.HasTemperature != 0 && p.Daily.High >= burningHeat
	isDew := p.Daily.Has&season.HasHumidity != 0 && p.Daily.Humidity >= dampAir
	if p.byHour(HourTemperature, season.HasTemperature, 0, 24) {
		frost, heat = p.hoursThat(Hour.frosty), p.hoursThat(Hour.hot)
		isFrost, isHeat = len(frost) > 0, len(heat) > 0
	}
	if p.byHour(HourHumidity, season.HasHumidity, worksFrom, worksTo) {
		dew = p.hoursThat(Hour.dewy)
		isDew = len(dew) > 0
	}
	var flags []Flag
	add := func(is bool, f Flag) {
		if is {
			f.Ways = liquids()
			flags = append(flags, f)
		}
	}
	add(isFrost, Flag{Risk: BurnFrost, Level: levelOf(frost), Spans: frost, Reason: "liquid on frosted leaves burns them; wait until they are thawed and dry", Source: cite.OntarioBurn, Status: cite.Confirmed})
	add(isDew, Flag{Risk: BurnDew, Level: Note, Spans: dew, Reason: "liquid on leaves wet with dew burns more; wait until they are dry", Source: cite.OntarioBurn, Status: cite.CommonPractice})
	add(isHeat, Flag{Risk: BurnHeat, Level: levelOf(heat), Spans: heat, Reason: "in such heat liquid dries to crystals on the leaf and burns it; evening to early morning is better", Source: cite.NorthDakotaBurn, Status: cite.Confirmed})
	add(p.Herbicide, Flag{Risk: BurnWeeds, Level: burnLevel(p.Tillered), Reason: "a herbicide in liquid nitrogen burns more, most on stressed wheat past tillering", Source: cite.NebraskaLeafBurn, Status: cite.Confirmed})
	if spans := p.hoursThat(Hour.droplets); len(spans) > 0 && p.Herbicide {
		flags = append(flags, Flag{Risk: Droplets, Level: Note, Spans: spans, Ways: fans(), Reason: "fine droplets dry too fast, or hardly at all, in such air", Source: cite.DeltaTGuideline, Status: cite.Confirmed})
	}
	return flags
}

func burnLevel(tillered bool) Level {
	if tillered {
		return Caution
	}
	return Note
}

// rain on the day itself makes it hard to be done in time. Common practice, no source.
func (p Prospect) rain() []Flag {
	const wet, likely = 2 * unit.MillimetreOfWater, unit.Fraction(0.4)
	d := p.Daily
	if d.Has&season.HasRain == 0 || d.Rain < wet || d.RainChance > 0 && d.RainChance < likely {
		return nil
	}
	return []Flag{{
		Risk: RainOn, Level: Note, Spans: p.hoursThat(Hour.raining), Chance: d.RainChance, Reason: "rain that day: hard to be done before it starts",
		Amount: working.Of(d.Rain), Source: cite.Practice, Status: cite.CommonPractice,
	}}
}

// runoffDays is over how many days runoff carries product off: the day and the two after it.
const runoffDays = 3

// runoff looks for a day of those three on which enough runs off, with a chance worth naming (one in five; ours, no
// source).
func (p Prospect) runoff() []Flag {
	const worthNaming = unit.Fraction(0.2)
	var worst Condition
	for _, c := range p.Coming[:min(runoffDays, len(p.Coming))] {
		if c.RunsOff > worst.RunsOff {
			worst = c
		}
	}
	if worst.RunsOff < worthNaming {
		return nil
	}
	f := Flag{
		Risk: RunsOff, Level: Caution, Chance: worst.RunsOff, Reason: "rain on " + worst.Day.Short() + " may run off and take product along",
		Amount: working.Of(worst.Runoff), Source: cite.TR55, Status: cite.Derived,
	}
	if worst.Frozen >= FrostStops {
		f.Reason = "rain or melt on " + worst.Day.Short() + " meets ground that may be frozen, runs off and takes product along"
		f.Source, f.Status = cite.FrozenCurveNumber, cite.FromMemory
	}
	return []Flag{f}
}

// leaching reckons what share of nitrate that lay at the surface goes below the crop's roots over the days known.
// From which share on it is worth a flag is ours, no source. Urea and ammonium stay until they have turned to
// nitrate.
func (p Prospect) leaching() []Flag {
	const worth = unit.Fraction(0.05)
	var drained unit.Water
	for _, c := range p.Coming {
		drained += c.Drained
	}
	soil := p.Soil
	if soil == (Soil{}) {
		soil, _ = SoilOf(p.Site.Texture)
	}
	share, err := Leached(drained, rootsInWinter, soil.FieldCapacity)
	if err != nil || share < worth {
		return nil
	}
	return []Flag{{
		Risk: Leaches, Level: Caution, Reason: "rain of the coming days takes part of the nitrate below the roots", Amount: working.Of(share),
		Source: cite.Scotter1993, Status: cite.Derived,
	}}
}

// FitHours are the hours of a day in which nothing of the hour keeps a way of placing off: no inversion, drift,
// frost, dew or heat, no rain. It is nil where hours are not known. The state of the ground is not in it.
func FitHours(p Prospect, way placement.Way) []Span { return FitAmong(p.Hours, p.speaks(), way) }

// RainHours are the hours in which rain is forecast.
func RainHours(hours []Hour) []Span { return spansThat(hours, Hour.raining) }

// FitAmong is FitHours for whoever has a day's hours and flags already.
func FitAmong(hours []Hour, flags []Flag, way placement.Way) []Span {
	blocked := [24]bool{}
	for _, f := range flags {
		if !f.Concerns(way) || f.Risk == Droplets {
			continue
		}
		for _, s := range f.Spans {
			for h := s.From; h < s.To; h++ {
				blocked[h] = true
			}
		}
	}
	for _, h := range hours {
		if h.raining() || h.Has == 0 {
			blocked[h.Hour] = true
		}
	}
	return spansThat(hours, func(h Hour) bool { return !blocked[h.Hour] })
}

// enoughHours is how many hours in a row make a day's work worth beginning. Ours, no source.
const enoughHours = 3

func enough(spans []Span) bool {
	return slices.ContainsFunc(spans, func(s Span) bool { return s.To-s.From >= enoughHours })
}

// fewHours finds the ways of placing for which the hours of the working day are known and too few of the day's hours
// in a row are fit, where neither wind nor the ground says so already.
func (p Prospect) fewHours(flags []Flag) []Flag {
	known := 0
	for _, h := range p.Hours {
		if h.Hour >= worksFrom && h.Hour < worksTo && h.has(HourWind|HourTemperature) {
			known++
		}
	}
	if known < worksTo-worksFrom || p.Ground.State.Stops() {
		return nil
	}
	var ways []placement.Way
	for _, way := range []placement.Way{placement.Broadcast, placement.FlatFan, placement.Stream} {
		told := slices.ContainsFunc(flags, func(f Flag) bool { return f.Risk == Drift && f.Concerns(way) })
		if !told && !enough(FitAmong(p.Hours, flags, way)) {
			ways = append(ways, way)
		}
	}
	if ways == nil {
		return nil
	}
	return []Flag{{
		Risk: FewHours, Level: Caution, Ways: ways, Source: cite.Practice, Status: cite.CommonPractice,
		Reason: "hardly an hour of the day is fit: wind, still air, frost, dew, heat or rain are always in the way",
	}}
}
