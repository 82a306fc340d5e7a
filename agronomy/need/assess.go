package need

import (
	"fmt"
	"math"

	"culm/season"
)

// Assess compares the readings on a reference with those beside it.
//
// Readings with pair numbers are paired by them, those of a log by their distance along the strip; sensor
// readings with neither are compared as two independent samples, which the finding says. Where one of the
// two places was not read at all the verdict is NoReference, not an error.
//
// It refuses, naming the reading, an index outside 0 to 1, a score outside 0 to 10, an unknown place or
// means, and scores by eye that are not paired.
func Assess(r *season.Readings, crop season.Crop, o Options) (Finding, error) {
	o, err := o.complete()
	if err != nil {
		return Finding{}, err
	}
	if r == nil {
		return Finding{Verdict: NoReference, Why: "no reference was read", Level: o.Level}, nil
	}
	if err := check(r); err != nil {
		return Finding{}, err
	}
	f := Finding{
		Strip: r.Strip, Day: r.Day, Observer: r.Observer, Instrument: r.Instrument,
		Against: r.Reference, Means: r.Means, Level: o.Level,
	}
	readings, zeros := usable(r)
	if place, missing := unread(readings); missing {
		f.Verdict = NoReference
		f.Why = fmt.Sprintf("nothing was read %s", place)
		return f, nil
	}
	f.take(match(readings))
	switch {
	case r.Means == season.Sensor:
		f.weighIndex(readings, o)
	case f.Pairs == 0:
		return Finding{}, fmt.Errorf("%s: scores by eye are not paired; expected the same pair number on a score on the reference and the one beside it", name(r))
	default:
		f.weighSigns()
	}
	f.weigh(readings)
	f.remark(crop, zeros)
	return f, nil
}

// usable leaves out readings of exactly zero by a sensor: no ground and no crop reads so, an instrument that
// saw nothing does. A score of zero by eye is a score.
func usable(r *season.Readings) (readings []season.Reading, zeros int) {
	if r.Means != season.Sensor {
		return r.Readings, 0
	}
	readings = make([]season.Reading, 0, len(r.Readings))
	for _, x := range r.Readings {
		if x.Value > 0 {
			readings = append(readings, x)
		}
	}
	return readings, len(r.Readings) - len(readings)
}

// complete fills in the defaults and refuses what makes no interval.
func (o Options) complete() (Options, error) {
	if o.Resamples == 0 {
		o.Resamples = 2000
	}
	if o.Level == 0 {
		o.Level = 0.90
	}
	if o.Resamples < 200 {
		return o, fmt.Errorf("%d resamples are too few for an interval; expected 200 or more", o.Resamples)
	}
	if !(o.Level > 0.5 && o.Level < 1) {
		return o, fmt.Errorf("a confidence level of %v makes no interval; expected more than 0.5 and less than 1", float64(o.Level))
	}
	return o, nil
}

// name says which readings an error is about.
func name(r *season.Readings) string {
	return fmt.Sprintf("readings on %s %s of field %s, %s", r.Reference, r.Strip, r.Field, r.Day)
}

// check refuses readings that cannot be what they say they are.
func check(r *season.Readings) error {
	top := 0.0
	switch r.Means {
	case season.Sensor:
		top = 1
	case season.Eye:
		top = 10
	default:
		return fmt.Errorf("%s: taken by %q; expected %q or %q", name(r), r.Means, season.Sensor, season.Eye)
	}
	for i, x := range r.Readings {
		switch {
		case !(x.Value >= 0 && x.Value <= top):
			return fmt.Errorf("%s: reading %s is %v; expected 0 to %v", name(r), which(i, x), x.Value, top)
		case x.Place != season.OnReference && x.Place != season.Beside:
			return fmt.Errorf("%s: reading %s was taken at %q; expected %q or %q", name(r), which(i, x), x.Place, season.OnReference, season.Beside)
		case x.Pair < 0:
			return fmt.Errorf("%s: reading %s has pair number %d; expected 1 or more, or none", name(r), which(i, x), x.Pair)
		case x.HasAlong && (math.IsNaN(float64(x.Along)) || math.IsInf(float64(x.Along), 0)):
			return fmt.Errorf("%s: reading %s has no usable distance along the strip (%v)", name(r), which(i, x), float64(x.Along))
		}
	}
	return nil
}

// which names a reading by its place in the list, and by its pair where it has one.
func which(i int, x season.Reading) string {
	if x.Pair > 0 {
		return fmt.Sprintf("%d (%s, pair %d)", i+1, x.Place, x.Pair)
	}
	return fmt.Sprintf("%d (%s)", i+1, x.Place)
}

// places counts the readings at the two places.
func places(readings []season.Reading) (on, beside int) {
	for _, x := range readings {
		if x.Place == season.OnReference {
			on++
		} else {
			beside++
		}
	}
	return on, beside
}

// unread says which of the two places has no reading.
func unread(readings []season.Reading) (place string, missing bool) {
	on, beside := places(readings)
	switch {
	case on == 0:
		return "on the reference", true
	case beside == 0:
		return "beside the reference", true
	default:
		return "", false
	}
}

// take puts the pairs into the finding.
func (f *Finding) take(m matched) {
	f.Points, f.Pairs = m.points, len(m.points)
	f.Pairing, f.LeftOut = m.how, m.leftOut
}
