package ammonia

import (
	"fmt"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
)

// Losses are those of every product on every day of a table of days, on one soil, over several courses of weather
// that may come: what Over gives one by one, at a small part of the work.
//
// One thing differs from Over. All days are reckoned to the same end, the last day of the courses, where Over looks
// DefaultHorizon days ahead of each: days are compared with each other here, and by a common end they differ by
// what they are and not by how long is looked after them. Let the courses go on for DefaultHorizon days after the
// last day of spreading.
type Losses struct {
	first   calendar.Day
	end     calendar.Day // the last day reckoned
	weather int          // how many courses
	days    []lossesOn
	soil    Soil
}

// The ways in which urea begins: granules or solution, guarded by an inhibitor or not.
const (
	granules = iota
	solution
	guardedGranules
	guardedSolution
	beginnings
)

// lossesOn is what a day does.
type lossesOn struct {
	begun       [beginnings]tally
	surface     Surface
	onSnow      int // courses in which snow lies
	assumed     Assumptions
	assumedFrom calendar.Day
}

// tally sums what becomes of unit urea over the courses.
type tally struct {
	lost, squares, washed, held, hydrolysed float64
	carried                                 int // courses in which rain carries in half or more
	// doubt is the variance from the coefficients and dry the loss without rain, summed over looked courses.
	doubt, dry float64
	looked     int
}

// lookedEvery is the spacing of the courses in which the doubt about the coefficients, and the loss without rain,
// are reckoned: they hardly differ from course to course.
const lookedEvery = 5

// Reckon goes through the courses for the first n days of spreading. It fails where there is no course, where they
// are not of the same days or fewer than n, and where a soil figure is impossible.
func Reckon(courses []*Course, n int, soil *Soil) (*Losses, error) {
	if err := soil.check(); err != nil {
		return nil, err
	}
	if len(courses) == 0 {
		return nil, fmt.Errorf("ammonia: no course of weather given; expected one or more")
	}
	first, length := courses[0].first, len(courses[0].days)
	if n < 1 || length < n {
		return nil, fmt.Errorf("ammonia: %d days of spreading asked of courses of %d days", n, length)
	}
	for _, c := range courses {
		if c.first != first || len(c.days) != length {
			return nil, fmt.Errorf("ammonia: courses of weather from %s for %d days and from %s for %d; expected the same days", first, length, c.first, len(c.days))
		}
	}
	l := &Losses{first: first, end: first.Add(length - 1), weather: len(courses), days: make([]lossesOn, n), soil: *soil}
	b := backwards{rates: ratesOf(soil, fitted()), days: l.days}
	for i, c := range courses {
		b.run(c.days, i%lookedEvery == 0)
	}
	l.note(courses[0].days)
	return l, nil
}

// note keeps what of the days was assumed, and the surface.
func (l *Losses) note(days []dayOn) {
	var assumed Assumptions
	var beyond calendar.Day
	for i := len(days) - 1; i >= 0; i-- {
		if days[i].beyond {
			beyond = l.first.Add(i)
		} else {
			assumed |= days[i].assumed
		}
		if i < len(l.days) {
			l.days[i].assumed, l.days[i].assumedFrom, l.days[i].surface = assumed, beyond, days[i].surface
		}
	}
}

// On gives the loss of a product spread on a day. It fails where the day is not among those reckoned.
func (l *Losses) On(day calendar.Day, product *fertilizer.Product, inhibited bool) (Result, error) {
	i := day.Sub(l.first)
	if i < 0 || i >= len(l.days) {
		return Result{}, fmt.Errorf("ammonia: %s is not among the %d days reckoned from %s on", day, len(l.days), l.first)
	}
	d := &l.days[i]
	inhibited = inhibited || product.Inhibited
	r := Result{spread: day, urea: product.Urea.Value, inhibited: inhibited, End: l.end, Surface: d.surface}
	if !r.withoutUrea(product, &l.soil) {
		l.take(&r, d, beginning(product.Form, inhibited))
	}
	return r, nil
}

// withoutUrea answers for a product that holds none.
func (r *Result) withoutUrea(product *fertilizer.Product, soil *Soil) bool {
	switch {
	case product.Key == fertilizer.AmmoniumSulfateKey:
		r.sulfate(soil.PH)
	case r.urea == 0 && product.Nitrate.Value > 0:
		r.nitrate()
	case r.urea == 0:
		r.notUrea()
	default:
		return false
	}
	return true
}

func beginning(form fertilizer.Form, isGuarded bool) int {
	begin := granules
	if form == fertilizer.Liquid {
		begin = solution
	}
	if isGuarded {
		begin += guardedGranules
	}
	return begin
}

// take turns a tally into a result.
func (l *Losses) take(r *Result, d *lossesOn, begin int) {
	if d.onSnow == l.weather {
		r.onSnow(r.inhibited)
		return
	}
	t, n := &d.begun[begin], float64(l.weather)
	u := float64(r.urea)
	mean := t.lost / n
	o := outcome{best: -1}
	o.pools[expected] = pools{lost: mean, washed: t.washed / n, held: t.held / n, hydrolysed: t.hydrolysed / n}
	o.pools[expected].solid = max(0, 1-mean-t.washed/n-t.held/n)
	o.pools[withoutRain] = pools{lost: t.dry / float64(t.looked)}
	r.take(&o)
	r.variance = u * u * (t.doubt/float64(t.looked) + max(0, t.squares/n-mean*mean))
	r.range80()
	r.Assumed, r.AssumedFrom = d.assumed|l.soil.assumptions(d.surface), d.assumedFrom
	r.courses, r.carried, r.reason, r.Source, r.Status = l.weather, t.carried, becauseCourses, fittedHere, cite.Derived
}
