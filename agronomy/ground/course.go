package ground

import (
	"cmp"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Site is what is fixed about a field's ground. Whatever is not known is assumed, and said: see Course.Assumed.
type Site struct {
	// Latitude is in degrees, north positive; HasLatitude says that it is known. Longitude is in degrees, east
	// positive, and tells when the sun stands highest.
	Latitude     float64
	HasLatitude  bool
	Longitude    float64
	HasLongitude bool
	Texture      season.Texture
	Crop         season.Crop
	Planted      calendar.Day
	Limits       Limits
}

// Limits are where ground begins to keep a machine off. The zero Limits are those of Usual.
type Limits struct {
	// Soft is the share of field capacity above which the top layer is soft.
	Soft unit.Fraction `json:"soft,omitempty"`
	// Saturated is the share of its pores full of water from which it is saturated.
	Saturated unit.Fraction `json:"saturated,omitempty"`
}

// Usual are the limits used where nobody set others. That ground carries no wheel from 90 to 95 % of field capacity
// on is from memory [cite.SoftGround], and the cautious end is taken; the published limits are set for each soil
// [cite.HassanBroughton]. Saturated from nine tenths of the pores is common practice, no source: a tenth of a wet
// soil's pores stays air.
func Usual() Limits { return Limits{Soft: 0.90, Saturated: 0.90} }

func (l Limits) orUsual() Limits {
	u := Usual()
	return Limits{Soft: cmp.Or(l.Soft, u.Soft), Saturated: cmp.Or(l.Saturated, u.Saturated)}
}

// Day is the weather of a day as the ground sees it.
type Day struct {
	Day       calendar.Day
	Low, High unit.Temperature
	Rain      unit.Water
	// Chance is that the rain comes, at that amount or not at all; zero is none given, and the rain counts as certain.
	Chance unit.Fraction
	// Snow is a depth of snow: lying, when SnowLies, as stations measure it; otherwise falling, as forecasts give it.
	Snow     unit.Water
	SnowLies bool
	Has      season.Parts
	// Lead is how many days ahead the forecast that it comes from looked, 1 on the day of issue; zero when it was
	// measured. Usual is the standard deviation of its mean temperature about what is usual for the date, beyond
	// which no forecast is taken to miss; zero stands for UsualSpread.
	Lead  int
	Usual unit.Temperature
}

// Condition is the ground at the end of a day. Chances come from the forecast's rain chance, from its error of
// temperature, and for frost from how often soil so warm was found frozen; the error of the water's own reckoning
// is not in them. A day without any forecast has a chance of none or all for everything but frost.
type Condition struct {
	Day calendar.Day
	// Soil is the expected temperature at 5 and 10 cm. SoilKnown is false when a day of the last eleven lacks a
	// temperature.
	Soil5, Soil10 unit.Temperature
	SoilKnown     bool
	// RainMissing is how many of the last three days lack a rain.
	RainMissing int
	// Frozen, Snow, Saturated and Soft are chances.
	Frozen, Snow, Saturated, Soft unit.Fraction
	// FrostByError is what the error of the forecast's temperature adds to Frozen; zero on a measured day.
	FrostByError unit.Fraction
	// OfCapacity is the top layer's water as a share of field capacity; Evaporable the share it still has of what
	// can evaporate.
	OfCapacity, Evaporable unit.Fraction
	// Liquid is what reached the ground as water that day, Runoff and Drained what of it ran off and went below the
	// roots, expected.
	Liquid, Runoff, Drained unit.Water
	// RunsOff is the chance that more than RunoffWorth runs off that day.
	RunsOff unit.Fraction
	// Melted says that some of it was melting snow; SnowFell when snow last fell or was measured.
	Melted   bool
	SnowFell calendar.Day
	// Freezing says that the air stays at or below zero all day; Thawed that the soil was frozen on one of the
	// three days before; Falling that snow is forecast to fall that day; SnowMeasured that its depth was measured.
	Freezing, Thawed, Falling, SnowMeasured bool
	// Limits are those of the site, zero where the usual ones were taken.
	Limits Limits
}

// RunoffWorth is the runoff of a day from which it is worth a flag. Ours, no source.
const RunoffWorth = 2 * unit.MillimetreOfWater

// Course is a run of days.
type Course struct {
	Conditions []Condition // in order, one for every day asked for
	// Assumed says in words what was assumed.
	Assumed []string
	Soil    Soil
}

// warmUp is how many days the reckoning runs before the first day asked for: snow, soil temperature and the top
// layer then no longer depend on what they began with. The root zone's water does.
const warmUp = 120

// rootsInWinter is how deep the crop draws before it grows tall. From memory.
const rootsInWinter = 1 * unit.Metre

const assumedLatitude = 40

// rainDays is over how many days a missing rain makes the top layer doubtful.
const rainDays = 3

// Run reckons the ground of the days from the first to the last, from weather in order of day. Days that are
// missing change nothing but what a Condition says of missing days.
func Run(site Site, weather []Day, from, to calendar.Day) Course {
	r := newRun(site)
	course := Course{Assumed: r.assumed, Soil: r.bucket.Soil}
	start := from.Add(-warmUp)
	if len(weather) > 0 && weather[0].Day.After(start) {
		start = weather[0].Day
	}
	if start.After(from) {
		start = from
	}
	at, _ := slices.BinarySearchFunc(weather, start, func(d Day, day calendar.Day) int { return d.Day.Sub(day) })
	for day := start; !day.After(to); day = day.Add(1) {
		today := Day{Day: day}
		if at < len(weather) && weather[at].Day == day {
			today = weather[at]
			at++
		}
		c := r.next(today)
		if !day.Before(from) {
			course.Conditions = append(course.Conditions, c)
		}
	}
	return course
}

// run walks through days along all branches.
type run struct {
	site     Site
	limits   Limits
	bucket   Bucket
	crop     CropWater
	assumed  []string
	branches []branch

	reference   unit.Water     // of the last day with a temperature
	warm        bool           // whether warmth has begun
	temperature int            // days in a row with a temperature
	rainless    [rainDays]bool // whether the last days lack a rain
	frozen      [3]bool        // whether the soil was frozen on them
}

func newRun(site Site) *run {
	soil, loam := SoilOf(site.Texture)
	r := &run{site: site, limits: site.Limits.orUsual(), crop: CropOf(site.Crop)}
	r.assume("radiation is not measured: evaporation is reckoned from temperature alone (Hargreaves)", true)
	r.assume("the soil's texture is not known: loam is assumed", loam)
	r.assume("where the field lies is not known: 40 degrees north is assumed for the sun", !site.HasLatitude)
	r.assume("the day of planting is not known: 1 October is assumed for the crop's use of water", site.Planted.IsZero())
	if !site.HasLatitude {
		r.site.Latitude = assumedLatitude
	}
	r.bucket = Bucket{Soil: soil, Roots: rootsInWinter, Depletion: r.crop.Depletion, Curve: soil.SmallGrain()}
	r.branches = []branch{{weight: 1, water: Water{Depleted: r.bucket.Available() / 2, Dried: soil.ReadilyEvaporable / 2}}}
	r.rainless = [rainDays]bool{true, true, true}
	return r
}

func (r *run) assume(what string, holds bool) {
	if holds {
		r.assumed = append(r.assumed, what)
	}
}

// planted is the day of planting, or 1 October before a day.
func (r *run) planted(day calendar.Day) calendar.Day {
	if !r.site.Planted.IsZero() {
		return r.site.Planted
	}
	year := day.Time().Year()
	if first := calendar.Date(year, 10, 1); !first.After(day) {
		return first
	}
	return calendar.Date(year-1, 10, 1)
}

func (r *run) next(d Day) Condition {
	c := Condition{Day: d.Day}
	known := d.Has&season.HasTemperature != 0
	mean := (d.Low + d.High) / 2
	sun := Extraterrestrial(r.site.Latitude, d.Day.Time().YearDay())
	if known {
		r.reference = Hargreaves(mean, d.Low, d.High, sun)
		r.temperature++
	} else {
		r.temperature = 0
	}
	r.rainless = [rainDays]bool{d.Has&season.HasRain == 0, r.rainless[0], r.rainless[1]}
	r.fork(d)
	for i := range r.branches {
		r.step(&r.branches[i], d, known, mean, sun, &c)
	}
	r.warm = r.warm || known
	r.merge()
	r.judge(&c, d)
	return c
}

// fork splits every branch in two where rain may come or not.
func (r *run) fork(d Day) {
	for i := range r.branches {
		r.branches[i].dry = false
	}
	if d.Has&season.HasRain == 0 || d.Rain == 0 || d.Chance <= 0 || d.Chance >= 1 {
		return
	}
	forked := make([]branch, 0, 2*len(r.branches))
	for _, b := range r.branches {
		wet, dry := b, b
		wet.weight, wet.dry = b.weight*float64(d.Chance), false
		dry.weight, dry.dry = b.weight*float64(1-d.Chance), true
		forked = append(forked, wet, dry)
	}
	r.branches = forked
}

func (r *run) step(b *branch, d Day, known bool, mean unit.Temperature, sun float64, c *Condition) {
	liquid, melted := b.fall(d, known, mean)
	frozen := known && r.warm && b.warmth.Shallow < 0
	var f Flow
	b.water, f = r.bucket.Next(b.water, Inflow{
		Liquid: liquid, Reference: r.reference, Basal: r.crop.Basal(d.Day, r.planted(d.Day)), Initial: r.crop.BasalInitial,
		Height: r.crop.Height, Covered: b.snow.Lies(), Frozen: frozen, OnFrozen: r.crop.SingleFrozen,
	})
	switch {
	case known && r.warm:
		b.warmth = b.warmth.Next(mean, sun, b.snow.Lies())
	case known:
		b.warmth = WarmthOf(mean, sun)
	}
	w := unit.Water(b.weight)
	c.Liquid += w * f.In
	c.Runoff += w * f.Runoff
	if f.Runoff >= RunoffWorth {
		c.RunsOff += unit.Fraction(b.weight)
	}
	c.Drained += w * f.Drained
	c.Melted = c.Melted || melted
}

// judge sums the branches up.
func (r *run) judge(c *Condition, d Day) {
	soil := r.bucket.Soil
	spread := ForecastSpread(d.Lead, d.Usual)
	for _, b := range r.branches {
		w := unit.Fraction(b.weight)
		c.Soil5 += unit.Temperature(b.weight) * b.warmth.At(FiveCentimetres)
		c.Soil10 += unit.Temperature(b.weight) * b.warmth.At(TenCentimetres)
		c.Frozen += w * b.warmth.FrostChance(spread)
		c.FrostByError += w * (b.warmth.FrostChance(spread) - b.warmth.FrostChance(0))
		c.OfCapacity += w * b.water.OfCapacity(soil)
		c.Evaporable += w * b.water.Evaporable(soil)
		if b.snow.Lies() {
			c.Snow += w
		}
		if b.water.OfPores(soil) >= r.limits.Saturated {
			c.Saturated += w
		}
		if b.water.OfCapacity(soil) >= r.limits.Soft {
			c.Soft += w
		}
		if b.fell.After(c.SnowFell) {
			c.SnowFell = b.fell
		}
	}
	const needed = 11
	c.SoilKnown = r.temperature >= needed
	c.Freezing = d.Has&season.HasTemperature != 0 && d.High <= 0
	c.Falling = d.Has&season.HasSnow != 0 && !d.SnowLies && d.Snow > 0
	c.SnowMeasured = d.Has&season.HasSnow != 0 && d.SnowLies
	c.Limits = r.site.Limits
	c.Thawed = r.frozen[0] || r.frozen[1] || r.frozen[2]
	r.frozen = [3]bool{r.warm && c.Frozen >= FrostStops, r.frozen[0], r.frozen[1]}
	for _, missing := range r.rainless {
		if missing {
			c.RainMissing++
		}
	}
}
