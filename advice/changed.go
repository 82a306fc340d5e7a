package advice

import (
	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/timing"
	"culm/agronomy/working"
)

// askChanged asks whether the day that the forecast before led to is still the day. Crop, rate and prices are
// today's in both: what differs is the weather. A day that has passed, and a plan that weather does not decide, have
// nothing to say.
func (c *inquiry) askChanged() {
	if c.outlook.before == nil || !c.hangsOnWeather() {
		return
	}
	was, on := c.advisedBefore()
	if was == nil || on.Day.Before(c.fs.Today) || on.Day == c.plan.Decision.Day {
		return
	}
	change := Change{Issued: c.fs.Earlier.Issued, Was: on.Day, Now: c.plan.Decision.Day}
	before := c.ledger().Add(working.Figure{
		ID: "changed.was", Label: "Day by the forecast before", Text: on.Day.Spoken(),
		Expression: "the day that the same rule names by the forecast issued on " + issuedOn(c.fs.Earlier).Spoken() + ", with today's rate and prices",
	})
	why, lost := c.lostBy(was, on.Day)
	if change.Lost = lost; lost {
		change.Sentence = append(working.Sentence{working.Number(before), working.Words(" is no longer the day: ")}, why...)
	} else {
		change.Sentence = working.Sentence{working.Number(before), working.Words(", the day by the forecast before, would still do")}
	}
	if now, ok := c.ledger().Get("advised.day"); ok && !lost {
		change.Sentence = append(change.Sentence, working.Words("; "), working.Number(now), working.Words(" is now the better one"))
	}
	change.Sentence = append(change.Sentence, working.Words("."))
	c.plan.Changed = &change
}

// hangsOnWeather says that the decision is to spread, or to hold because no day is open.
func (c *inquiry) hangsOnWeather() bool {
	d := c.plan.Decision
	return d.Action == Spread && !d.Day.IsZero() || d.Action == Hold && c.heldByGround
}

// advisedBefore finds what the forecast before led to, and its day.
func (c *inquiry) advisedBefore() (*optionFinding, *timing.Day) {
	then := *c
	then.fs, _ = asBefore(c.fs)
	then.outlook = &Outlook{now: c.outlook.before}
	then.plan = Plan{Units: c.plan.Units, Deadline: c.plan.Deadline}
	then.table = then.layTable(c.outlook.before)
	then.days = then.choosable()
	then.options = then.weighAll(c.rate.rate, c.rate.gain)
	was := choose(then.options)
	if was == nil || was.best < 0 || was.worth.net <= 0 {
		return nil, nil
	}
	return was, then.days[was.best]
}

// lostBy says why a day is no longer good for what was advised on it; false when it still is.
func (c *inquiry) lostBy(was *optionFinding, day calendar.Day) (working.Sentence, bool) {
	d := c.comingDay(day)
	if d == nil {
		return working.Sentence{working.Words("the forecast no longer reaches it")}, true
	}
	then, now := was.worth.loss, c.lossOn(day, &was.product)
	switch {
	case d.Stop() != "":
		return working.Sentence{working.Words(d.Stop())}, true
	case d.Has(ground.RainOn, was.way.Way):
		rain := c.forecastFigure("changed.rain", "Rain now forecast on "+day.Short(), working.Of(d.Weather.Rain))
		return working.Sentence{working.Number(rain), working.Words(" of rain is now forecast for that day")}, true
	case d.Has(ground.Drift, was.way.Way):
		wind := c.forecastFigure("changed.wind", "Wind now forecast on "+day.Short(), working.Of(d.Weather.Wind))
		return working.Sentence{working.Words("wind of "), working.Number(wind), working.Words(" is now forecast for that day")}, true
	case d.Has(ground.FewHours, was.way.Way):
		return working.Sentence{working.Words("wind, still air, frost, dew, heat or rain leave hardly an hour of it")}, true
	}
	if c.chosen != nil && c.worthOf(was, now).net >= c.chosen.worth.net-goodWithin {
		return nil, false
	}
	return append(c.rainMoved(then, now), c.lossesThenAndNow(then, now, day)...), true
}

// comingDay finds a day among those that one may be chosen from.
func (c *inquiry) comingDay(day calendar.Day) *timing.Day {
	for _, d := range c.days {
		if d.Day == day {
			return d
		}
	}
	return nil
}

// rainMoved says what became of the rain that was to carry it in.
func (c *inquiry) rainMoved(then, now timing.Loss) working.Sentence {
	was, is := then.Rain, now.Rain
	switch {
	case was.Day.IsZero() || was.Day == is.Day:
		return nil
	case is.Day.IsZero():
		return working.Sentence{working.Words("the rain of " + was.Day.Time().Format("Monday") + " is gone from the forecast, and ")}
	}
	rain := c.forecastFigure("changed.rain", "Rain now forecast on "+is.Day.Short(), working.Of(is.Amount))
	return working.Sentence{working.Words("the rain has moved to "), working.Claim(is.Day.Time().Format("Monday"), rain), working.Words(", and ")}
}

// lossesThenAndNow sets the loss on a day by both forecasts beside each other.
func (c *inquiry) lossesThenAndNow(then, now timing.Loss, day calendar.Day) working.Sentence {
	figure := func(id working.ID, label string, l timing.Loss) working.Figure {
		return c.ledger().Add(working.Figure{
			ID: id, Label: label, Amount: working.Of(l.Loss), Interval: &working.Interval{Low: float64(l.Low), High: float64(l.High)},
			Expression: lossExpression, Inputs: lossInputs(l), Source: l.Source, Status: l.Status,
			Notes: []string{sentenceCase(l.Why(c.plan.Units)) + "."},
		})
	}
	is := figure("changed.loss-now", "Lost as ammonia if spread on "+day.Short()+", by the present forecast", now)
	was := figure("changed.loss-before", "The same by the forecast before", then)
	return working.Sentence{working.Number(is), working.Words(" of the nitrogen would be lost then, not "), working.Number(was)}
}

func (c *inquiry) forecastFigure(id working.ID, label string, a working.Amount) working.Figure {
	return c.ledger().Add(working.Figure{ID: id, Label: label, Amount: a, Origin: c.forecastOrigin()})
}
