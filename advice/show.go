package advice

import (
	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/timing"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// showDays writes the coming days into the plan: for the chosen option, or for urea broadcast while nothing
// is chosen, so that the ribbon of days can always be read. A short forecast is continued by simulated weather
// to a week; the rest of the table is the Calendar's. Without a forecast there is no ribbon.
func (c *inquiry) showDays() {
	product, _ := fertilizer.Find(fertilizer.UreaKey)
	way, units, spreads := placement.Broadcast, c.plan.Units, c.chosen != nil && c.plan.Decision.Action == Spread
	if spreads {
		product, way = c.chosen.product, c.chosen.way.Way
	}
	for i := range c.table.Days {
		d := &c.table.Days[i]
		if c.tooLate(d.Day) || len(c.days) == 0 || !d.Forecast && i >= trusted {
			break
		}
		on, flags := c.lossOn(d.Day, &product), c.table.Flags(d, &product, way)
		shown := DayOutlook{
			Day: d.Day, Forecast: d.Forecast, Weather: d.Weather, Stop: d.Stop(), Flags: doubts(flags, units),
			Loss: on.Loss, LossLow: on.Low, LossHigh: on.High, WashIn: d.WashIn, HasWashIn: d.HasWashIn, Why: on.Why(units),
			Best: spreads && d.Day == c.plan.Decision.Day,
		}
		shown.FitHours, shown.Notes = c.hoursOf(d, flags, way, units)
		if spreads {
			shown.Net = c.worthOf(c.chosen, on).net
		}
		shown.LossFigure = c.ledger().Add(c.dayFigure(d, on, product.Name, shown.Why)).ID
		c.plan.Days = append(c.plan.Days, shown)
	}
}

// dayFigure is the loss on a day.
func (c *inquiry) dayFigure(d *timing.Day, on timing.Loss, product, why string) working.Figure {
	f := working.Figure{
		ID: working.ID("day." + d.Day.String()), Label: "Lost as ammonia if " + product + " is spread on " + d.Day.Short(),
		Amount: working.Of(on.Loss), Expression: lossExpression, Inputs: lossInputs(on), Source: on.Source, Status: on.Status,
		Notes: []string{sentenceCase(why) + "."},
	}
	if on.Low < on.High {
		f.Interval = &working.Interval{Low: float64(on.Low), High: float64(on.High)}
	}
	if !d.Forecast {
		f.Notes = append(f.Notes, "Beyond the forecast: by weather simulated from the station's own record.")
	}
	return f
}

// showResponse draws the gain against the rate, for the picture.
func (c *inquiry) showResponse() {
	if !c.rate.answered || !c.rate.gain.known() || c.known.grain == nil {
		return
	}
	g, r := c.rate.gain, &c.plan.Response
	r.Advised, r.GainKind, r.HasNet = c.rate.rate, c.gainKind(), c.chosen != nil
	top := max(1.6*c.rate.high, 60)
	const steps = 32
	best := 0
	for i := range steps + 1 {
		n := top * unit.Rate(i) / steps
		p := ResponsePoint{Rate: n}
		reaching := n
		if c.chosen != nil {
			w := c.chosen.worth
			reaching = max(0, n*unit.Rate(1-w.loss.Loss)-c.chosen.way.TiedUp)
			if n > 0 {
				cost := unit.MoneyPerArea(float64(n)*float64(c.chosen.product.PricePerNitrogen(c.chosen.price.Price))) + w.pass
				p.Net = unit.MoneyPerArea(float64(g.at(reaching))*float64(c.known.grain.Price)) - cost
			}
		}
		p.Gain = g.at(reaching)
		p.Low, p.High = g.bounds(reaching)
		r.Points = append(r.Points, p)
		if p.Net > r.Points[best].Net {
			best = i
		}
	}
	r.Title = c.responseTitle(r.Points[best])
	for _, t := range c.fs.Trials {
		r.Observed = append(r.Observed, t.Plots...)
	}
}

// responseTitle answers what the picture is looked at for: where more stops paying.
func (c *inquiry) responseTitle(best ResponsePoint) working.Sentence {
	if c.chosen == nil {
		return working.Sentence{working.Words("What nitrogen would bring, by " + c.rate.gain.from)}
	}
	if best.Net <= 0 {
		return working.Sentence{working.Words("By " + c.rate.gain.from + " no rate pays")}
	}
	peak := c.ledger().Add(working.Figure{
		ID: "response.peak", Label: "Nitrogen at which the net is highest", Amount: working.Of(best.Rate),
		Expression: "the highest net of the points drawn, with the chosen product on its day",
		Notes:      []string{"Beside the rate advised, which follows the published way and is not raised to make up for losses."},
	})
	return working.Sentence{
		working.Words("The net is highest at about "), working.Number(peak), working.Words("; " + c.rate.name + " calls for "), working.Number(c.rate.figure),
	}
}
