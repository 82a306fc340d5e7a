package demo

import (
	"math"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"

	"gonum.org/v1/gonum/stat/distuv"
)

// site is an invented weather station and how its weather differs from the district's.
type site struct {
	id, name string
	at       point
	warmer   float64 // degrees C
	wetter   float64 // times the district's rain
	hasStake bool    // a stake to read the depth of snow from
}

func sites() []site {
	return []site{
		{"sallow-head", "Sallow Head", point{2.2 * mile, 4.6 * mile}, -0.4, 1.00, true},
		{"divide-east", "Divide East", point{5.6 * mile, 3.3 * mile}, 0, 1.10, true},
		{"south-ford", "South Ford", point{3.1 * mile, 0.9 * mile}, 0.6, 0.85, false},
	}
}

// nearest is the station that stands for a place.
func nearest(p point) site {
	all := sites()
	best := all[0]
	for _, s := range all[1:] {
		if math.Hypot(s.at.x-p.x, s.at.y-p.y) < math.Hypot(best.at.x-p.x, best.at.y-p.y) {
			best = s
		}
	}
	return best
}

func firstDay() calendar.Day { return calendar.Date(2026, time.September, 1) }

// sky is the district's weather on one day, before the stations see it each in its own way.
type sky struct {
	mean, swing float64 // degrees C: the day's middle, and from there up to the high and down to the low
	rain        float64 // mm
}

// climate is what the season would be without weather: a warm fall and a mild winter of the southern
// plains.
func climate(day calendar.Day) float64 {
	anchors := []struct {
		day  calendar.Day
		mean float64 // degrees C
	}{
		{calendar.Date(2026, time.September, 1), 24.5},
		{calendar.Date(2026, time.September, 15), 22.5},
		{calendar.Date(2026, time.October, 15), 16.2},
		{calendar.Date(2026, time.November, 15), 9.6},
		{calendar.Date(2026, time.December, 15), 4.0},
		{calendar.Date(2027, time.January, 15), 3.0},
		{calendar.Date(2027, time.February, 15), 4.5},
	}
	for i := 1; i < len(anchors); i++ {
		a, b := anchors[i-1], anchors[i]
		if !day.After(b.day) {
			return a.mean + (b.mean-a.mean)*float64(day.Sub(a.day))/float64(b.day.Sub(a.day))
		}
	}
	return anchors[len(anchors)-1].mean
}

// snaps are the winter's spells of cold, which come in every seed.
func snap(day calendar.Day) float64 {
	cold := 0.0
	for _, s := range []struct {
		middle calendar.Day
		days   int     // from the middle to where it is over
		depth  float64 // degrees C
	}{
		{calendar.Date(2026, time.October, 27), 3, 6},
		{calendar.Date(2026, time.November, 14), 4, 8},
		{calendar.Date(2026, time.December, 20), 5, 11},
		{calendar.Date(2027, time.January, 10), 6, 10},
		{calendar.Date(2027, time.January, 26), 3, 7},
	} {
		away := day.Sub(s.middle)
		if away < 0 {
			away = -away
		}
		cold += s.depth * max(0, 1-float64(away)/float64(s.days))
	}
	return -cold
}

// lastDays are the days before today. They are fixed, so that the state of the ground is the same in every
// seed: a little snow on the fifth, gone by the eighth.
func lastDays(day calendar.Day) (sky, bool) {
	fixed := []sky{{-2.5, 3, 2.4}, {-2.5, 5, 0}, {1, 6, 0}, {3.5, 6.5, 0}, {5, 7, 0}}
	i := len(fixed) - Today().Sub(day)
	if i < 0 {
		return sky{}, false
	}
	return fixed[i], true
}

// skies is the district's weather from the first day to the day before today. Temperatures hang together
// from day to day; wet days follow a chain of two states and their amounts a gamma distribution.
func skies(seed uint64) []sky {
	r := chance(seed, "skies")
	n := Today().Sub(firstDay())
	anomaly := levelled(drift(r, n, 3.9, 0.7), 30)
	wet := false
	out := make([]sky, n)
	for i := range out {
		day := firstDay().Add(i)
		thin := climate(day) / 24 // 1 in September, near 0 in January
		odds := 0.11 + 0.06*thin
		if wet {
			odds = 0.38
		}
		wet = r.Float64() < odds
		s := sky{mean: climate(day) + snap(day) + anomaly[i], swing: max(2.5, 6.8+1.8*r.NormFloat64())}
		amount := distuv.Gamma{Alpha: 0.75, Beta: 0.75 / (4.5 + 4.5*thin), Src: r}.Rand()
		if wet {
			s.rain, s.swing = amount, s.swing*0.6
		}
		if fixed, ok := lastDays(day); ok {
			s = fixed
		}
		out[i] = s
	}
	return out
}

// writeWeather enters the stations and their logs, month by month.
func writeWeather(n *notebook) {
	district := skies(n.seed)
	for _, s := range sites() {
		n.write(advisor, firstDay(), &season.Station{ID: s.id, Name: s.name, At: s.at.position()})
		var month *season.Weather
		for _, d := range s.log(n.seed, district) {
			year, m, _ := d.Day.Time().Date()
			if month == nil || month.Month != m {
				n.keepMonth(s, month)
				month = &season.Weather{Station: s.id, Year: year, Month: m}
			}
			month.Days = append(month.Days, d)
		}
		n.keepMonth(s, month)
	}
}

// keepMonth enters a month's log on the morning after its last day.
func (n *notebook) keepMonth(s site, month *season.Weather) {
	if month == nil {
		return
	}
	last := month.Days[len(month.Days)-1].Day
	n.writeAt("station "+s.name, last, last.Add(1).Time().Add(11*time.Hour), month)
}

// log is what a station wrote down, in whole degrees Fahrenheit, hundredths of an inch of rain and whole
// inches of snow. South Ford has no snow stake, and lost its thermometer for three days in December.
func (s site) log(seed uint64, district []sky) []season.WeatherDay {
	r := chance(seed, "station "+s.id)
	lying := 0.0 // mm of snow
	out := make([]season.WeatherDay, len(district))
	for i, d := range district {
		day := firstDay().Add(i)
		_, fixed := lastDays(day)
		mean, swing, rain := d.mean+s.warmer, d.swing, s.rain(d.rain, r.Float64(), r.NormFloat64())
		if a, b := r.NormFloat64(), r.NormFloat64(); !fixed {
			mean, swing = mean+0.5*a, max(1.5, swing+0.7*b)
		} else {
			rain = d.rain
		}
		lying = max(0, lying-7*max(0, mean+swing))
		if mean < 0.5 {
			lying += 10 * rain
		}
		w := season.WeatherDay{Day: day, Rain: inches(rain), Has: season.HasRain}
		if broken := calendar.Date(2026, time.December, 3); s.hasStake || day.Before(broken) || day.After(broken.Add(2)) {
			w.Low, w.High, w.Has = wholeFahrenheit(mean-swing), wholeFahrenheit(mean+swing), w.Has|season.HasTemperature
		}
		if s.hasStake {
			w.Snow, w.Has = wholeInches(lying), w.Has|season.HasSnow
		}
		out[i] = w
	}
	return out
}

// rain is the district's rain as one gauge catches it: more or less of a storm, and of a shower perhaps
// nothing.
func (s site) rain(district, miss, spread float64) float64 {
	if district < 2 && miss < 0.35 {
		return 0
	}
	return district * s.wetter * math.Exp(0.3*spread)
}

func inches(mm float64) unit.Water      { return inchesOfWater(round(mm/25.4, 0.01)) }
func wholeInches(mm float64) unit.Water { return inchesOfWater(math.Round(mm / 25.4)) }

func wholeFahrenheit(celsius float64) unit.Temperature {
	return fahrenheit(math.Round(unit.Temperature(celsius).Fahrenheit()))
}
