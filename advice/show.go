package advice

import (
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// showDays writes the coming days into the plan: for the chosen option, or for urea broadcast while nothing
// is chosen, so that the ribbon of days can always be read.
func (c *inquiry) showDays() {
	var losses []lossOn
	product, units := fertilizer.Product{}, c.plan.Units
	if c.chosen != nil && c.plan.Decision.Action == Spread {
		product = c.chosen.product
		for i := range c.days {
			losses = append(losses, lossOn{c.chosen.losses[i].Loss, c.chosen.losses[i].Why(units), c.worthOf(c.chosen, c.chosen.losses[i]).net})
		}
	} else if urea, ok := fertilizer.Find(fertilizer.UreaKey); ok {
		product = urea
		byDay, _ := c.losses(urea)
		for _, r := range byDay {
			losses = append(losses, lossOn{loss: r.Loss, why: r.Why(units)})
		}
	}
	for i, d := range c.days {
		shown := DayOutlook{
			Day: d.day, Forecast: true, Weather: d.sky, Stop: d.stop, Flags: d.flagsFor(product, units),
			Loss: losses[i].loss, Net: losses[i].net, Why: losses[i].why,
			Best: c.plan.Decision.Action == Spread && d.day == c.plan.Decision.Day,
		}
		shown.LossFigure = c.ledger().Add(working.Figure{
			ID: working.ID("day." + d.day.String()), Label: "Lost as ammonia if " + product.Name + " is spread on " + d.day.Short(),
			Amount: working.Of(losses[i].loss), Expression: "as for the advised day, with the weather after this one: " + losses[i].why,
		}).ID
		c.plan.Days = append(c.plan.Days, shown)
	}
}

type lossOn struct {
	loss unit.Fraction
	why  string
	net  unit.MoneyPerArea
}

// showResponse draws the gain against the rate, for the picture.
func (c *inquiry) showResponse() {
	if !c.rate.answered || !c.rate.gain.known() || c.known.grain == nil {
		return
	}
	g, grain := c.rate.gain, float64(c.known.grain.Price)
	perN, pass, reach := 0.0, 0.0, 1.0
	if o := c.chosen; o != nil {
		perN = float64(o.product.PricePerNitrogen(o.price.Price))
		pass = float64(o.worth.pass)
		if o.rate > 0 {
			reach = float64(o.worth.reaching / o.rate)
		}
	}
	top := max(1.6*float64(c.rate.high), 60)
	const steps = 32
	for i := range steps + 1 {
		n := unit.Rate(top * float64(i) / steps)
		reaching := unit.Rate(float64(n) * reach)
		p := ResponsePoint{Rate: n, Gain: g.at(reaching)}
		p.Low, p.High = g.bounds(reaching)
		p.Net = unit.MoneyPerArea(float64(p.Gain)*grain - float64(n)*perN - pass)
		if n == 0 {
			p.Net = 0
		}
		c.plan.Response.Points = append(c.plan.Response.Points, p)
	}
	c.plan.Response.Advised = c.rate.rate
	c.plan.Response.GainKind = c.gainKind()
	c.plan.Response.Title = c.responseTitle()
	for _, t := range c.fs.Trials {
		c.plan.Response.Observed = append(c.plan.Response.Observed, t.Plots...)
	}
}

func (c *inquiry) responseTitle() working.Sentence {
	what := " of nitrogen"
	if c.fs.Field.Crop == season.WheatGrazeOut {
		what += " for forage"
	}
	return working.Sentence{working.Words("More stops paying at about "), working.Number(c.rate.figure), working.Words(what + ", by " + c.rate.name)}
}
