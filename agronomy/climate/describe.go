package climate

import (
	"math"
	"slices"
	"time"

	"culm/agronomy/unit"
	"culm/season"
)

// Description is what a record, measured or simulated, looks like: the numbers by which the two are compared.
// Every number comes from the days themselves and from no fit.
type Description struct {
	Days     int           `json:"days"`     // with rain known
	WetDays  int           `json:"wetDays"`  // of them
	WetShare unit.Fraction `json:"wetShare"` // of days that are wet
	Amount   unit.Water    `json:"amount"`   // mean on a wet day
	// Large is the amount that one wet day in a hundred exceeds, to the nearest day measured.
	Large unit.Water `json:"large"`
	// WetSpell and DrySpell are the mean lengths of runs of wet and of dry days, in days, whose first and last
	// day are both known.
	WetSpell float64 `json:"wetSpell"`
	DrySpell float64 `json:"drySpell"`
	// LongDry is the longest dry spell, in days.
	LongDry int `json:"longDry"`
	// MonthSpread is the standard deviation of whole months' rain about their month's mean over the years, mm.
	MonthSpread unit.Water `json:"monthSpread"`
	// Memory is the correlation of a day's mean temperature with that of the day before, both as departures
	// from what the record's own months have on average.
	Memory float64 `json:"memory"`
	// TemperatureSpread is the standard deviation of those departures, C.
	TemperatureSpread unit.Temperature `json:"temperatureSpread"`
}

// Describe describes the days of a record, in order, that fall into the months; all of them when none are
// named. A day counts as wet from wetFrom on.
func Describe(record []season.WeatherDay, wetFrom unit.Water, in ...time.Month) Description {
	var wanted [13]bool
	for m := range wanted {
		wanted[m] = len(in) == 0 || slices.Contains(in, time.Month(m))
	}
	var d Description
	d.describeRain(record, wetFrom, &wanted)
	d.MonthSpread = monthSpread(record, &wanted)
	d.describeTemperature(record, &wanted)
	return d
}

func (d *Description) describeRain(record []season.WeatherDay, wetFrom unit.Water, wanted *[13]bool) {
	var amounts []float64
	var wetSpells, drySpells spells
	var at months
	for i := range record {
		at.enter(record[i].Day)
		rain, known := rainOf(&record[i])
		known = known && wanted[at.month]
		wet := known && rain >= wetFrom
		follows := i > 0 && record[i].Day.Sub(record[i-1].Day) == 1
		wetSpells.next(wet, known, follows)
		drySpells.next(known && !wet, known, follows)
		if known {
			d.Days++
		}
		if wet {
			amounts = append(amounts, float64(rain))
		}
	}
	d.WetSpell, d.DrySpell, d.LongDry = wetSpells.mean(), drySpells.mean(), drySpells.longest
	d.WetDays = len(amounts)
	if d.WetDays == 0 {
		return
	}
	sum := 0.0
	for _, a := range amounts {
		sum += a
	}
	slices.Sort(amounts)
	d.WetShare = unit.Fraction(d.WetDays) / unit.Fraction(d.Days)
	d.Amount = unit.Water(sum / float64(d.WetDays))
	d.Large = unit.Water(amounts[int(math.Ceil(0.99*float64(d.WetDays)))-1])
}

// spells measures runs of days of one kind.
type spells struct {
	length, count, days, longest int
	open                         bool // the run's first day is known to be its first
	before                       bool // the day before was known
}

func (s *spells) next(of, known, follows bool) {
	if !follows || !known {
		s.length, s.open = 0, false
	}
	switch {
	case of && s.length == 0:
		s.open = follows && s.before && known
		s.length = 1
	case of:
		s.length++
	case known && s.length > 0:
		if s.open {
			s.count++
			s.days += s.length
			s.longest = max(s.longest, s.length)
		}
		s.length = 0
	}
	s.before = known
}

func (s *spells) mean() float64 { return float64(s.days) / float64(max(s.count, 1)) }

// monthSpread pools the spread of the totals of whole months about the mean of the same month of other years.
func monthSpread(record []season.WeatherDay, wanted *[13]bool) unit.Water {
	totals := map[time.Month][]float64{}
	var at months
	var sum float64
	days := 0
	whole := func() {
		if days > 0 && days == at.end.Sub(at.start) && wanted[at.month] {
			totals[at.month] = append(totals[at.month], sum)
		}
		sum, days = 0, 0
	}
	for i := range record {
		before := at
		if at.enter(record[i].Day) {
			now := at
			at = before
			whole()
			at = now
		}
		if rain, known := rainOf(&record[i]); known {
			sum += float64(rain)
			days++
		}
	}
	whole()
	var squares, free float64
	for m := time.January; m <= time.December; m++ {
		if n := float64(len(totals[m])); n > 1 {
			var all moments
			for _, v := range totals[m] {
				all.add(v)
			}
			squares += all.squares - all.sum*all.sum/n
			free += n - 1
		}
	}
	return unit.Water(math.Sqrt(max(0, squares) / max(free, 1)))
}

func (d *Description) describeTemperature(record []season.WeatherDay, wanted *[13]bool) {
	var level [12]moments
	var at months
	for i := range record {
		at.enter(record[i].Day)
		if v, known := variablesOf(&record[i]); known {
			level[at.month-1].add(v[meanOf])
		}
	}
	levels, known := leanLevels(level)
	if !known {
		return
	}
	places := tablePlaces()
	var same, lag float64
	var days, pairs int
	before, last := 0.0, -2
	for i := range record {
		at.enter(record[i].Day)
		v, known := variablesOf(&record[i])
		if !known || !wanted[at.month] {
			continue
		}
		p := places[at.month-1][at.dayOfMonth(record[i].Day)-1]
		off := v[meanOf] - mix(levels[p.before], levels[p.after], p.share)
		same += off * off
		days++
		if last == i-1 && i > 0 && record[i].Day.Sub(record[last].Day) == 1 {
			lag += off * before
			pairs++
		}
		before, last = off, i
	}
	if days > 0 {
		d.TemperatureSpread = temperatureOf(math.Sqrt(same / float64(days)))
	}
	if pairs > 0 && same > 0 {
		d.Memory = lag / float64(pairs) * float64(days) / same
	}
}
