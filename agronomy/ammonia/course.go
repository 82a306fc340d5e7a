package ammonia

import (
	"math"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"
)

// standInTemperature and standInSwing are used where no day of the weather has a temperature, °C.
const (
	standInTemperature = 5
	standInSwing       = 10
)

// Course is what the days do to urea on the surface, walked once for a station and used for every product,
// soil and day of spreading there. It holds nothing of the product.
type Course struct {
	first calendar.Day // the first day on which something may be spread
	days  []dayOn      // from first on
	end   calendar.Day // the last day of the weather
}

// dayOn is what a day does to urea on the surface.
type dayOn struct {
	temperature float64 // °C
	pace        float64 // of everything chemical, 0 to 1, by temperature
	wet         float64 // water of the surface layer at midday, 0 to 1
	dissolves   float64 // share of solid granules that dissolve
	blown       float64 // what wind makes of the release, 1 in ordinary wind
	rain        float64 // mm of an event that carry in today; 0 when too little, or snow
	chance      float64
	left        float64 // share of urea that rain leaves, its chance counted, expected
	leftPoor    float64 // the same with the slope one standard deviation poorer
	surface     Surface // in the morning
	assumed     Assumptions
	beyond      bool // past the end of the weather
}

// Walk goes through the weather, in order of day and with days possibly missing, and keeps n days from first
// on. The days before first tell how wet the surface is. at is where the field lies; nil stands for 40° N.
func Walk(weather []season.ForecastDay, first calendar.Day, n int, at *season.Position) *Course {
	return walk(weather, first, n, at, SurfaceUnknown)
}

// walk may be told the surface on the morning of the first day.
func walk(weather []season.ForecastDay, first calendar.Day, n int, at *season.Position, surface Surface) *Course {
	c := &Course{first: first, days: make([]dayOn, 0, n)}
	if len(weather) > 0 {
		c.end = weather[len(weather)-1].Day
	}
	w := startWalk(weather, first, at)
	day := first
	if w.at < len(weather) && weather[w.at].Day.Before(first) {
		day = weather[w.at].Day
	}
	var d dayOn
	for ; day.Before(first); day = day.Add(1) {
		w.next(day, &d)
	}
	w.stand(surface)
	for ; len(c.days) < n; day = day.Add(1) {
		w.next(day, &d)
		c.days = append(c.days, d)
	}
	if surface != SurfaceUnknown && n > 0 {
		c.days[0].surface = surface
	}
	return c
}

// WalkMembers walks several members of the weather from first on, each with a day for every day from then, after
// the same days before: what Walk does with each, at less work.
func WalkMembers(before []season.ForecastDay, members [][]season.ForecastDay, first calendar.Day, at *season.Position) []*Course {
	w := startWalk(before, first, at)
	day := first
	if w.at < len(before) {
		day = before[w.at].Day
	}
	var d dayOn
	for ; day.Before(first); day = day.Add(1) {
		w.next(day, &d)
	}
	courses := make([]*Course, len(members))
	for i, m := range members {
		if i == 0 {
			w.sun = w.sun.along(first, len(m))
		}
		one := w
		one.weather, one.at = m, 0
		c := &Course{first: first, days: make([]dayOn, len(m)), end: first.Add(len(m) - 1)}
		for k := range c.days {
			one.next(first.Add(k), &c.days[k])
		}
		courses[i] = c
	}
	return courses
}

// sun gives the radiation above the air where the field lies, in the unit of ground.Extraterrestrial.
type sun struct {
	latitude float64
	first    calendar.Day
	days     []float64 // from first on, reckoned beforehand
}

func (s sun) along(first calendar.Day, n int) sun {
	s.first, s.days = first, make([]float64, n)
	for i := range s.days {
		s.days[i] = ground.Extraterrestrial(s.latitude, first.Add(i).Time().YearDay())
	}
	return s
}

func (s *sun) on(day calendar.Day) float64 {
	if i := day.Sub(s.first); i >= 0 && i < len(s.days) {
		return s.days[i]
	}
	return ground.Extraterrestrial(s.latitude, day.Time().YearDay())
}

// on gives a day of the course and whether the course reaches it.
func (c *Course) on(day calendar.Day) (*dayOn, bool) {
	i := day.Sub(c.first)
	if i < 0 || i >= len(c.days) {
		return nil, false
	}
	return &c.days[i], true
}

// SurfaceOn is the surface on the morning of a day; unknown outside of the course.
func (c *Course) SurfaceOn(day calendar.Day) Surface {
	d, ok := c.on(day)
	if !ok {
		return SurfaceUnknown
	}
	return d.surface
}

// walker walks through the weather.
type walker struct {
	weather     []season.ForecastDay
	at          int
	temperature float64 // mean of the last day with one, °C
	swing       float64 // and from low to high
	sun         sun
	layer       layer
	event       event
}

// lookBack is how many days before the first are walked to know the surface.
const lookBack = 21

// startWalk stands before the first day worth walking, with the first temperature known.
func startWalk(weather []season.ForecastDay, first calendar.Day, at *season.Position) walker {
	w := walker{
		weather: weather, at: from(weather, first.Add(-lookBack)), temperature: standInTemperature, swing: standInSwing,
		sun: sun{latitude: standInLatitude}, layer: unknownLayer(),
	}
	if at != nil {
		w.sun.latitude = at.Lat
	}
	known := slices.IndexFunc(weather[w.at:], func(d season.ForecastDay) bool { return d.Has&season.HasTemperature != 0 })
	if known >= 0 {
		w.warm(&weather[w.at+known])
	}
	return w
}

func (w *walker) warm(d *season.ForecastDay) {
	w.temperature, w.swing = float64(d.Low+d.High)/2, max(0, float64(d.High-d.Low))
}

// stand sets the layer to a surface that someone told.
func (w *walker) stand(surface Surface) {
	switch surface {
	case Moist, OnSnow:
		w.layer = layer{water: layerWater, soaked: true}
	case DryGround:
		w.layer = layer{soaked: true}
	}
}

// next takes the next day. Where the weather has ended or skips the day, the last temperature goes on and no
// rain comes. Precipitation at a mean of freezing or below, or with snow on the ground, wets the surface but
// is not credited with carrying urea in: it lies, and melts by and by.
func (w *walker) next(day calendar.Day, d *dayOn) {
	for w.at < len(w.weather) && w.weather[w.at].Day.Before(day) {
		w.at++
	}
	*d = dayOn{chance: 1, blown: 1, surface: w.surface()}
	rain, snow := 0.0, false
	switch {
	case w.at == len(w.weather):
		d.beyond, d.assumed = true, AssumedTemperature|AssumedNoRain
	case w.weather[w.at].Day != day:
		d.assumed = AssumedTemperature | AssumedNoRain
	default:
		rain, snow = w.take(&w.weather[w.at], d)
	}
	w.layer.count(d.assumed&AssumedNoRain == 0)
	d.temperature = w.temperature
	d.pace = TemperatureFactor(unit.Temperature(w.temperature))
	w.credit(rain, snow, d)
	w.wet(day, rain, snow, d)
}

// wet takes the surface layer through a day. A rain that may fail wets only where it is likely.
func (w *walker) wet(day calendar.Day, rain float64, snow bool, d *dayOn) {
	water := 0.0
	switch {
	case snow:
		d.surface, water = OnSnow, layerWater
	case d.chance >= likely:
		water = rain
	}
	gives := 0.0
	if w.began(day) {
		gives = drying(w.temperature, w.swing, w.sun.on(day))
	}
	d.wet = w.layer.pass(water, gives)
	d.dissolves = dissolving(d.wet, water)
}

// likely is the chance from which a rain is taken to wet the surface.
const likely = 0.5

// began says that the weather has begun: before, the layer keeps what it is taken to hold.
func (w *walker) began(day calendar.Day) bool {
	return len(w.weather) > 0 && !day.Before(w.weather[0].Day)
}

// surface is in words what the layer is like; unknown where it is not known.
func (w *walker) surface() Surface {
	switch {
	case !w.layer.known():
		return SurfaceUnknown
	case w.layer.water >= halfWet*layerWater:
		return Moist
	default:
		return DryGround
	}
}

// take reads a day's weather: its rain, mm, and whether snow lies.
func (w *walker) take(day *season.ForecastDay, d *dayOn) (rain float64, snow bool) {
	if day.Has&season.HasTemperature != 0 {
		w.warm(day)
	} else {
		d.assumed |= AssumedTemperature
	}
	if day.Has&season.HasWind != 0 {
		d.blown = windFactor(float64(day.Wind))
	}
	if day.Has&season.HasRain == 0 {
		d.assumed |= AssumedNoRain
	} else {
		rain = float64(day.Rain)
		if day.RainChance > 0 {
			d.chance = float64(min(day.RainChance, 1))
		}
	}
	return rain, liesUnderSnow(day)
}

// credit says what a day's rain carries in.
func (w *walker) credit(rain float64, snow bool, d *dayOn) {
	d.left, d.leftPoor = 1, 1
	if rain < wetsGranule || snow || w.temperature <= 0 {
		w.event = 0
		return
	}
	carrying := w.event.take(rain)
	if carrying <= 0 {
		return
	}
	d.rain = rain
	d.left = 1 - d.chance*(1-math.Exp(-washIn*carrying))
	d.leftPoor = 1 - d.chance*(1-math.Exp(-washIn*math.Exp(-washInSpread)*carrying))
}

// dissolving is the share of granules that dissolve in a day: all where the layer is moist or water comes.
func dissolving(wet, water float64) float64 {
	if wet >= moistEnough || water >= wetsGranule {
		return 1
	}
	return dissolvesDry
}
