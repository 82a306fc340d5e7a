package trials

import (
	"fmt"
	"time"

	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/season"
)

// sort is how Montana's publications sort the trials.
type sort int

const (
	moistGround sort = iota // lost more than 30 % (four trials)
	onSnow                  // 20 to 25 % (two trials)
	dryLight                // 10 to 20 %
	dryHeavy                // under 10 %
)

// montanaTrial is a row of the published table: percent of 90 lb N/ac lost from urea, and from urea with an
// inhibitor.
type montanaTrial struct {
	number          int
	day             calendar.Day
	urea, inhibited float64
	sort            sort
	mean            float64 // °C, assumed: normal of the place and month, from memory; for moist ground, published
}

// montanaTable is Montana's Table 1 (cite.MontanaVolatilization), fall, winter, spring.
func montanaTable() []montanaTrial {
	on := calendar.Date
	return []montanaTrial{
		{2, on(2008, time.October, 8), 3.1, 1.4, dryHeavy, 7},
		{3, on(2008, time.November, 14), 31.3, 3.8, moistGround, 1.5},
		{6, on(2009, time.October, 6), 11.6, 4.3, dryLight, 7},
		{7, on(2009, time.October, 13), 10.4, 4.8, dryLight, 7},
		{8, on(2009, time.October, 19), 15.7, 3.4, dryLight, 5},
		{18, on(2011, time.November, 29), 13.4, 5.9, dryLight, 1},
		{9, on(2010, time.January, 27), 24.3, 9.3, onSnow, 0},
		{10, on(2010, time.February, 26), 44.1, 11.9, moistGround, 1.5},
		{16, on(2011, time.March, 5), 20.7, 10.1, onSnow, 0},
		{19, on(2011, time.December, 30), 14.9, 8.2, dryLight, 1},
		{20, on(2012, time.February, 28), 13.0, 4.1, dryLight, 1},
		{1, on(2008, time.April, 3), 8.4, 4.4, dryHeavy, 5},
		{4, on(2009, time.March, 25), 35.6, 18.0, moistGround, 1.5},
		{5, on(2009, time.March, 26), 39.9, 18.1, moistGround, 1.5},
		{11, on(2010, time.March, 29), 6.1, 1.7, dryHeavy, 5},
		{12, on(2010, time.April, 20), 14.7, 1.8, dryLight, 8},
		{21, on(2012, time.April, 24), 1.1, 0.0, dryHeavy, 8},
	}
}

// montana is every treatment of the 17 trials. Even-numbered trials calibrate, odd-numbered are held out; the
// two on snow give the constant for snow.
func montana() []Trial {
	var all []Trial
	for _, inhibited := range []bool{false, true} {
		for _, m := range montanaTable() {
			all = append(all, m.trial(inhibited))
		}
	}
	return all
}

func (m montanaTrial) trial(inhibited bool) Trial {
	t := Trial{
		Key: fmt.Sprintf("montana-%d", m.number), Study: "Montana", Source: cite.MontanaVolatilization, Status: cite.Confirmed,
		Day: m.day, DayGiven: true, Inhibited: inhibited, Measure: Lost, Measured: m.urea / 100, Role: Held,
	}
	t.Sky = Sky{Mean: m.mean, Days: ammonia.DefaultHorizon, At: season.Position{Lon: -109.7, Lat: 48.5}}
	if inhibited {
		t.Key += "-inhibitor"
		t.Measured = m.inhibited / 100
	}
	if m.number%2 == 0 {
		t.Role = Calibration
	}
	name := ""
	switch m.sort {
	case moistGround:
		name = "moist ground, slow drying"
		t.Sky.Surface, t.Sky.Falls = ammonia.Moist, every(6, 8, 3)
		t.Given = "moist cold ground; rains under 0.20 in, scattered over 30 days; soil 28 to 41 °F"
		t.Assumed = "3 mm every 8 days, 1.5 °C throughout"
	case onSnow:
		name = "on snow"
		t.Sky.Surface, t.Role = ammonia.OnSnow, Given
		t.Given, t.Assumed = "on snow (of the two trials that lost 20 to 25 %)", "that this trial was one of these; its weather plays no part"
	case dryLight:
		name = "dry ground, light rains"
		t.Sky.Surface, t.Sky.Falls = ammonia.DryGround, every(4, 8, 5)
		t.Given = "dry ground, then rains of less than 8 mm (of trials that lost 10 to 20 %)"
		t.Assumed = "that this trial was one of these; 5 mm every 8 days; temperature"
	case dryHeavy:
		name = "dry ground, heavy rain"
		t.Sky.Surface, t.Sky.Falls = ammonia.DryGround, []Shower{{3, 20}}
		t.Given = "dry ground, then a rain of more than 18 mm (of trials that lost less than 10 %)"
		t.Assumed = "that this trial was one of these; 20 mm on the third day; temperature"
	}
	t.Name = fmt.Sprintf("trial %d, %s", m.number, name)
	return t
}

// every is the same rain every so many days from the first on.
func every(first, days int, mm float64) []Shower {
	var falls []Shower
	for i := first; i < ammonia.DefaultHorizon; i += days {
		falls = append(falls, Shower{i, mm})
	}
	return falls
}
