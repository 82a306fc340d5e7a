package ammonia

import (
	"fmt"

	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
)

// Over reckons the loss over several courses of weather that may come, each as likely as the others: members
// of a forecast, or years simulated from a station's record. Loss is their mean, and the range holds both
// their differences and the doubt about the coefficients. It fails as Course.Expect does, and where there
// is no course.
//
// The rain of the result is empty: which rain carries in differs from course to course. Why says in how many
// it does.
func Over(courses []*Course, day calendar.Day, product *fertilizer.Product, inhibited bool, soil *Soil) (Result, error) {
	if len(courses) == 0 {
		return Result{}, fmt.Errorf("ammonia: no course of weather given; expected one or more")
	}
	var mean Result
	squares, n, onSnow := 0.0, unit.Fraction(len(courses)), true
	for i, c := range courses {
		r, err := c.Expect(day, product, inhibited, soil)
		if err != nil {
			return Result{}, err
		}
		if i == 0 {
			mean = r
			mean.Loss, mean.WithoutRain, mean.Washed, mean.Held, mean.Left, mean.Other, mean.Hydrolysed = 0, 0, 0, 0, 0, 0, 0
			mean.variance, mean.Rain = 0, Rain{}
		}
		if r.reason != becauseSnow {
			onSnow = false
		}
		mean.add(&r, 1/n)
		squares += float64(r.Loss*r.Loss) / float64(n)
	}
	if mean.urea == 0 {
		return mean, nil // the weather plays no part: the range is the product's own
	}
	if !onSnow {
		mean.courses, mean.reason, mean.Source = len(courses), becauseCourses, fittedHere
	}
	mean.variance += max(0, squares-float64(mean.Loss*mean.Loss))
	mean.range80()
	return mean, nil
}

// add adds a share of a result.
func (r *Result) add(o *Result, share unit.Fraction) {
	r.Loss += share * o.Loss
	r.WithoutRain += share * o.WithoutRain
	r.Washed += share * o.Washed
	r.Held += share * o.Held
	r.Left += share * o.Left
	r.Other += share * o.Other
	r.Hydrolysed += share * o.Hydrolysed
	r.variance += float64(share) * o.variance
	r.Assumed |= o.Assumed
	if o.Washed >= o.urea/2 {
		r.carried++
	}
}

// Carried is the share of the courses of weather in which rain carries in half of the urea or more; zero where a
// result is not over several courses, or nothing of the product is urea.
func (r Result) Carried() unit.Fraction {
	if r.courses == 0 {
		return 0
	}
	return unit.Fraction(r.carried) / unit.Fraction(r.courses)
}
