package demo

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// writeField enters all that is known of one field. Its ordinal numbers the samples it sends away.
func writeField(n *notebook, ordinal int, s story) {
	id := slug(s.name)
	n.write(advisor, s.enrolled(), s.field(id))
	n.write(advisor, s.enrolled(), s.block.boundary(id))
	for _, a := range s.fall {
		n.write(advisor, a.day, a.applied(id, s.producer))
	}
	writeSoil(n, ordinal, id, s.soil)
	for _, c := range s.strips {
		n.write(phoneOf(c.observer), c.day, c.readings(id, n.seed))
	}
	if s.ramp != nil {
		n.write(scoutsPhone, s.ramp.day, s.ramp.body(id))
	}
	for i, w := range s.walks {
		if s.mistake != nil && i == len(s.walks)-1 {
			wrong := w.visit(id, s.crop)
			s.mistake(wrong)
			first := n.write(phoneOf(w.observer), w.day, wrong)
			n.correct(advisor, first, w.visit(id, s.crop))
			continue
		}
		writeVisit(n, w, w.visit(id, s.crop))
	}
	writeSpots(n, ordinal, id, s)
}

// enrolled is the day on which the field was taken on for the season.
func (s story) enrolled() calendar.Day {
	if s.planted.IsZero() {
		return calendar.Date(2026, time.October, 20)
	}
	return s.planted.Add(6)
}

func (s story) field(id string) *season.Field {
	f := &season.Field{
		ID: id, Name: s.name, Producer: slug(s.producer), Crop: s.crop, Station: nearest(s.block.middle()).id,
		Planted: s.planted, Tillage: s.tillage, Texture: s.texture, PreviousCrop: s.previous, Note: s.note,
	}
	told := working.Origin{Kind: working.Observed, By: s.producer, On: s.enrolled()}
	if s.goal > 0 {
		f.YieldGoal = working.Fact[unit.Yield]{Value: bushelsPerAcre(s.goal, s.crop), Origin: working.Origin{
			Kind: working.Setting, By: s.producer, On: s.enrolled(), With: "the field's own yields of past years",
		}}
	}
	if s.acres > 0 {
		f.AreaGiven = working.Fact[unit.Area]{Value: acresOf(s.acres), Origin: told}
	}
	if s.herd != nil {
		f.Heads = working.Fact[unit.Ratio]{Value: unit.Ratio(s.herd.heads), Origin: told}
		f.HeadMass = working.Fact[unit.Mass]{Value: poundsOf(s.herd.pounds), Origin: told}
		f.GrazingDays = working.Fact[unit.Days]{Value: unit.Days(s.herd.days), Origin: told}
	}
	return f
}

func (a spread) applied(field, by string) *season.Applied {
	return &season.Applied{
		Field: field, Day: a.day, Product: a.product, Rate: poundsPerAcre(a.pounds), Placement: a.placement, By: by, Note: a.note,
	}
}

func (r ramp) body(field string) *season.Ramp {
	out := &season.Ramp{Field: field, Day: r.day, Observer: scout}
	for i, rate := range r.rates {
		out.Steps = append(out.Steps, season.RampStep{Rate: poundsPerAcre(rate), Better: r.better[i]})
	}
	return out
}

func phoneOf(observer string) string {
	switch observer {
	case scout:
		return scoutsPhone
	case secondScout:
		return secondsPhone
	default:
		return observer
	}
}

// writeVisit enters a walk. Today's walks were written down at sunrise.
func writeVisit(n *notebook, w walk, body *season.Visit) {
	if w.day == Today() {
		n.writeAt(phoneOf(w.observer), w.day, w.day.Time().Add(13*time.Hour+42*time.Minute), body)
		return
	}
	n.write(phoneOf(w.observer), w.day, body)
}

func (w walk) visit(field string, crop season.Crop) *season.Visit {
	v := &season.Visit{Field: field, Day: w.day, Observer: w.observer, Frozen: w.frozen, Snow: w.snow, Note: w.note}
	if w.stage > 0 {
		v.Scale, v.Stage = season.Feekes, w.stage
		if crop == season.Canola {
			v.Scale = season.BBCH
		}
	}
	seen := func(with string) working.Origin {
		return working.Origin{Kind: working.Observed, By: w.observer, On: w.day, With: with}
	}
	share := func(x float64, with string) working.Fact[unit.Fraction] {
		if x == 0 {
			return working.Fact[unit.Fraction]{}
		}
		return working.Fact[unit.Fraction]{Value: percent(x), Origin: seen(with)}
	}
	v.Residue = share(w.residue, "line of 100 points")
	v.Green = share(w.green, "photo from above")
	v.Stand = share(w.stand, "plants counted in 10 places")
	if w.hollow > 0 {
		v.HollowStem = working.Fact[unit.Length]{Value: centimetres(w.hollow), Origin: seen("10 largest tillers outside the fence, split")}
	}
	if w.fresh > 0 {
		v.FreshMass = working.Fact[unit.Biomass]{Value: freshMass(w.fresh), Origin: seen("4 squares cut and weighed fresh")}
	}
	return v
}
