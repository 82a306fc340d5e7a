package advice

import (
	"fmt"
	"strings"

	"culm/agronomy/ammonia"
	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/timing"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// spread says what to spread, how, on which day, and what it brings.
func (c *inquiry) spread() {
	o, l := c.chosen, c.ledger()
	d := &c.plan.Decision
	d.Action, d.Rate, d.Product, d.Placement = Spread, o.rate, o.product.Key, o.way.Way
	rate := c.advisedRate()
	product := l.Add(working.Figure{
		ID: "advised.product", Label: "Product", Text: o.product.Name,
		Expression: "of the products with a price and the ways to place them, what nets most after loss, tie-up and passes and what practice is not against",
		Inputs:     c.productInputs(),
	})
	way := l.Add(c.wayFigure())
	sentence := working.Sentence{
		working.Words("Spread "), working.Number(rate), working.Words(" of nitrogen as "), working.Number(product),
		working.Words(", "), working.Number(way),
	}
	if o.best >= 0 {
		d.Day = c.days[o.best].Day
		day := l.Add(working.Figure{
			ID: "advised.day", Label: "Day", Text: d.Day.Spoken(),
			Expression: "the open day with the best net, a later one only if it nets half a dollar an acre more for each day of waiting; a day of the coming week without rain or strong wind before any other",
			Inputs:     []working.Input{c.lossFigure().Ref()},
		})
		sentence = append(sentence, working.Words(", on "), working.Number(day))
		sentence = append(sentence, c.rainWords()...)
	} else {
		sentence = append(sentence, working.Words(c.undatedWords()))
	}
	net := c.pay()
	c.say(append(sentence, working.Words("; it nets about "), working.Range(net), working.Words("."))...)
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
	c.because(c.reachingReason()...)
	c.becauseTrials()
	c.becauseWay()
	c.becauseDeadline()
	c.figuresForTheMachine()
}

// rainWords says what the rain does for the day chosen.
func (c *inquiry) rainWords() working.Sentence {
	r := c.chosen.worth.loss
	if r.Rain.Amount < ammonia.LeastRain {
		if r.Loss <= 0 {
			return nil
		}
		return working.Sentence{working.Words(", "), working.Claim("though no soaking rain is in sight", c.lossFigure())}
	}
	chance := unit.Show(unit.KindFraction, float64(r.Rain.Chance), c.plan.Units).String()
	rain := c.ledger().Add(working.Figure{
		ID: "advised.rain", Label: "Rain that washes it in, on " + r.Rain.Day.Short(), Amount: working.Of(r.Rain.Amount), Origin: c.forecastOrigin(),
		Notes: []string{
			chance + " likely by the forecast. The chance is that of any rain, not of this much.",
			"How much rain is enough is in dispute: a quarter inch by some extension texts, half an inch by Montana; by the curve used here 0.59 in (15 mm) saves 90 %.",
		},
		Source: cite.Holcomb2011, Status: cite.Derived,
	})
	when := "of rain on " + r.Rain.Day.Time().Format("Monday")
	if r.Rain.After == 0 {
		when = "of rain later that day"
	}
	lead := ", ahead of "
	if r.Rain.Chance < 0.5 {
		lead = ", with a chance of " + chance + " of "
	} else if r.Rain.Chance < 1 {
		when += " (" + chance + " likely)"
	}
	return working.Sentence{working.Words(lead), working.Number(rain), working.Words(" "), working.Claim(when, c.lossFigure())}
}

func (c *inquiry) undatedWords() string {
	why := "; no forecast is at hand to name the day"
	if f := c.fs.Forecast; f != nil {
		why = "; the forecast of " + issuedOn(f).Spoken() + " has expired, so no day is named"
	}
	if c.plan.Deadline.Known {
		return " by " + c.plan.Deadline.Day.Spoken() + why
	}
	return why
}

// advisedRate is the rate of the lead answer as the decision takes it over.
func (c *inquiry) advisedRate() working.Figure {
	f := working.Figure{
		ID: "advised.rate", Label: "Nitrogen to spread", Amount: working.Of(c.rate.rate),
		Expression: "as " + c.rate.name + " gives it",
		Inputs:     []working.Input{c.rate.figure.Ref()},
		Source:     c.rate.figure.Source, Status: c.rate.figure.Status,
		Interval: c.rate.figure.Interval, WouldChange: c.rate.figure.WouldChange,
		Notes: []string{"The rate is not raised to make up for losses; what is lost is charged to the money instead."},
	}
	return c.ledger().Add(f)
}

func (c *inquiry) productInputs() []working.Input {
	var inputs []working.Input
	for i := range c.options {
		o := &c.options[i]
		if o.why != "" {
			continue
		}
		inputs = append(inputs, working.Input{
			Label: "net of " + o.product.Name + ", " + o.way.Name, Amount: working.Of(o.worth.net),
			Figure: working.ID("net." + o.product.Key + "." + o.way.Way), Origin: working.Origin{Kind: working.Computed},
		})
	}
	return inputs
}

func (c *inquiry) wayFigure() working.Figure {
	w := c.chosen.way
	f := working.Figure{
		ID: "advised.placement", Label: "Placement", Text: w.Name,
		Expression: "the way of placing the product that nets most and that practice is not against",
		Inputs:     []working.Input{w.Residue.Input("ground showing residue")},
		Source:     w.Source, Status: w.Status,
	}
	for _, n := range w.Notes {
		f.Notes = append(f.Notes, n.Text)
	}
	return f
}

// lossFigure is the expected loss of ammonia on the chosen day.
func (c *inquiry) lossFigure() working.Figure {
	r := c.chosen.worth.loss
	f := working.Figure{
		ID: "advised.loss", Label: "Lost as ammonia, of the nitrogen spread", Amount: working.Of(r.Loss),
		Interval:   &working.Interval{Low: float64(r.Low), High: float64(r.High)},
		Expression: lossExpression, Inputs: lossInputs(r),
		Source: r.Source, Status: r.Status,
		WouldChange: []working.Effect{{Input: "the rain (none falling)", By: working.Of(-r.Rain.Amount), To: working.Of(r.WithoutRain)}},
		Notes:       []string{c.lossRange()},
	}
	if r.Rain.Amount > 0 {
		f.Inputs = append(f.Inputs, working.Input{
			Label: "rain on " + r.Rain.Day.Short(), Amount: working.Of(r.Rain.Amount), Origin: c.forecastOrigin(),
		})
	} else {
		f.WouldChange = nil
	}
	if words := r.Assumed.Words(); len(words) > 0 {
		f.Notes = append(f.Notes, "Assumed: "+strings.Join(words, "; ")+".")
	}
	if !r.AssumedFrom.IsZero() {
		f.Notes = append(f.Notes, "From "+r.AssumedFrom.Short()+" on there is no forecast: the last temperature goes on and no rain is counted.")
	}
	return c.ledger().Add(f)
}

// lossRange says what the range of a loss holds.
func (c *inquiry) lossRange() string {
	if n := c.outlook.now.Courses(); n > 1 {
		return fmt.Sprintf("The range holds 80 of 100: %d courses that the weather may take, by the forecast's own error and beyond it by the station's record, and the scatter of published trials about what is reckoned.", n)
	}
	return "The range holds 80 of 100 by the scatter of published trials about what is reckoned; it leaves out the rain failing."
}

const lossExpression = "nitrogen hydrolysed at the surface before rain carries it in × the share of that which is lost"

// lossInputs is empty for a product without urea: nothing of it waits to be hydrolysed.
func lossInputs(r timing.Loss) []working.Input {
	if r.Hydrolysed == 0 {
		return nil
	}
	return []working.Input{
		{Label: "hydrolysed at the surface, of the nitrogen spread", Amount: working.Of(r.Hydrolysed), Origin: working.Origin{Kind: working.Computed, Why: "day by day from product, temperature and moisture", Source: cite.GodwinJones1991}},
		{Label: "share lost of what is hydrolysed", Amount: working.Of(r.LostOfHydrolysed()), Origin: working.Origin{Kind: working.Computed, Why: "by soil pH, residue and wind, with coefficients fitted to published trials", Source: r.Source}},
		{Label: "washed in by rain before that", Amount: working.Of(r.Washed), Origin: working.Origin{Kind: working.Computed}},
	}
}

func (c *inquiry) forecastOrigin() working.Origin {
	f := c.fs.Forecast
	if f == nil {
		return working.Origin{Kind: working.Observed, With: "the weather record"}
	}
	return working.Origin{Kind: working.Observed, By: f.By, With: "forecast issued " + f.Issued.UTC().Format("2006-01-02 15:04 UTC") + " for station " + f.Station}
}

// pay enters the money of the decision and gives the net per area.
func (c *inquiry) pay() working.Figure {
	o, l := c.chosen, c.ledger()
	w := o.worth
	tied := l.Add(working.Figure{
		ID: "advised.tied-up", Label: "Tied up by residue", Amount: working.Of(o.way.TiedUp),
		Interval:   &working.Interval{Low: float64(o.way.TiedUpLow), High: float64(o.way.TiedUpHigh)},
		Expression: "what residue takes up this season, by how much of the product touches it",
		Inputs:     []working.Input{o.way.Residue.Input("ground showing residue")},
		Source:     o.way.Source, Status: o.way.Status,
	})
	reaching := l.Add(working.Figure{
		ID: "advised.reaching", Label: "Nitrogen that reaches the crop", Amount: working.Of(w.reaching),
		Expression: "nitrogen spread × (1 − lost as ammonia) − tied up by residue",
		Inputs:     []working.Input{c.advisedRate().Ref(), c.lossFigure().Ref(), tied.Ref()},
	})
	gained := l.Add(c.gainFigure(reaching))
	perN := o.product.PricePerNitrogen(o.price.Price)
	price := l.Add(working.Figure{
		ID: "price.nitrogen", Label: "Price of nitrogen as " + o.product.Name, Amount: working.Of(perN).As(unit.KindNutrientPrice),
		Expression: "price of product ÷ its share of nitrogen",
		Inputs: []working.Input{
			{Label: "price of product", Amount: working.Of(o.price.Price).As(unit.KindProductPrice), Origin: o.price.Origin},
			{Label: "share of nitrogen", Amount: working.Of(o.product.Nitrogen.Value), Origin: working.Origin{Kind: working.Rulebook, Source: o.product.Nitrogen.Source}},
		},
	})
	inputs := []working.Input{c.advisedRate().Ref(), price.Ref(), o.passInput()}
	cost := l.Add(working.Figure{
		ID: "advised.cost", Label: "Cost of product and passes", Amount: working.Of(w.product + w.pass),
		Expression: "nitrogen spread × price of nitrogen + passes", Inputs: inputs,
	})
	net := c.netFigure("pay.net", "Net over doing nothing", o)
	sale, _ := l.Get("price.sale")
	net.Expression = "yield gained × price − cost of product and passes"
	net.Inputs = []working.Input{gained.Ref(), sale.Ref(), cost.Ref()}
	net = l.Add(net)
	c.enterPay(net, cost)
	return net
}

// gainFigure is the yield that the nitrogen reaching the crop brings.
func (c *inquiry) gainFigure(reaching working.Figure) working.Figure {
	g := c.rate.gain
	f := working.Figure{
		ID: "advised.gain", Label: "Yield gained", Amount: working.Of(c.chosen.worth.gain).As(c.gainKind()),
		Expression: g.expression(), Inputs: []working.Input{reaching.Ref()}, Source: g.source, Status: g.status, Notes: g.notes,
	}
	if low, high := g.bounds(c.chosen.worth.reaching); low < high {
		f.Interval = &working.Interval{Low: float64(low), High: float64(high)}
	}
	if g.slope > 0 {
		f.Inputs = append(f.Inputs, c.rate.figure.Ref())
	}
	return f
}

// becauseTrials holds the gain that the way followed expects against that of the season's trials.
func (c *inquiry) becauseTrials() {
	t := c.rate.trials
	if !t.known() || c.chosen.worth.gain <= 0 {
		return
	}
	by := t.at(c.chosen.worth.reaching)
	f := c.ledger().Add(working.Figure{
		ID: "advised.gain.trials", Label: "Yield gained by the season's trials", Amount: working.Of(by).As(c.gainKind()),
		Expression: t.expression(), Source: t.source, Status: t.status, Notes: t.notes,
	})
	if ratio := float64(by) / float64(c.chosen.worth.gain); ratio < 0.5 || ratio > 2 {
		gained, _ := c.ledger().Get("advised.gain")
		c.because(working.Words("Mind the difference: the way followed expects "), working.Number(gained), working.Words(" from this nitrogen, the season's trials "), working.Number(f), working.Words("."))
	}
}

func (c *inquiry) enterPay(net, cost working.Figure) {
	w, l := c.chosen.worth, c.ledger()
	p := &c.plan.Pay
	p.PerArea, p.Net, p.NetLow, p.NetHigh = net.ID, w.net, w.netLow, w.netHigh
	if price := float64(c.known.grain.Price); price > 0 {
		p.BreakEven = l.Add(working.Figure{
			ID: "pay.break-even", Label: "Yield gain that just pays", Amount: working.Of(unit.Yield(float64(w.product+w.pass) / price)).As(c.gainKind()),
			Expression: "cost of product and passes ÷ price", Inputs: []working.Input{cost.Ref()},
		}).ID
	}
	if !c.known.area.Known() {
		return
	}
	area := c.known.area.Value
	total := onField(w.net, area)
	areaFigure, _ := l.Get("area")
	p.PerField = l.Add(working.Figure{
		ID: "pay.field", Label: "Net on the field", Amount: working.Of(total),
		Interval:   &working.Interval{Low: float64(onField(w.netLow, area)), High: float64(onField(w.netHigh, area))},
		Expression: "net over doing nothing × area", Inputs: []working.Input{net.Ref(), areaFigure.Ref()},
		Notes: net.Notes,
	}).ID
	c.plan.Decision.Stake = total
	c.plan.Decision.Waiting = c.waiting(area)
}

// waiting is what a week's delay would cost: all of it when the deadline comes first; otherwise what the
// chosen day saves over a day without rain.
func (c *inquiry) waiting(area unit.Area) unit.Money {
	d, o := c.plan.Decision, c.chosen
	if d.HasDaysLeft && d.DaysLeft <= 7 {
		return d.Stake
	}
	later := o.worth.loss
	later.Loss = max(later.Loss, later.WithoutRain)
	return max(0, onField(o.worth.net-c.worthOf(o, later).net, area))
}

func (c *inquiry) reachingReason() working.Sentence {
	reaching, _ := c.ledger().Get("advised.reaching")
	cost, _ := c.ledger().Get("advised.cost")
	return working.Sentence{
		working.Words("Of that, "), working.Number(reaching), working.Words(" reaches the crop after "), working.Range(c.lossFigure()),
		working.Words(" lost as ammonia and what residue ties up; product and passes cost "), working.Number(cost), working.Words("."),
	}
}

// becauseDeadline says how much time is left.
func (c *inquiry) becauseDeadline() {
	if !c.plan.Deadline.Known {
		return
	}
	c.because(working.Words("Nitrogen still makes yield until about "), c.deadlinePart(), working.Words("; after that the stem lengthens."))
}

// becauseWay explains streams, or an extra pass.
func (c *inquiry) becauseWay() {
	w := c.chosen.way
	if c.chosen.product.Form != fertilizer.Liquid && !w.ExtraPass {
		return
	}
	way, _ := c.ledger().Get("advised.placement")
	if w.ExtraPass {
		c.because(working.Claim(sentenceCase(w.Name), way), working.Words(" cannot share the herbicide's pass, so a pass of its own is charged."))
		return
	}
	if w.Why != "" {
		c.because(working.Claim(sentenceCase(w.Name), way), working.Words(": "+w.Why+"."))
	}
}

// figuresForTheMachine enters what the operator sets and what is bought.
func (c *inquiry) figuresForTheMachine() {
	o, l := c.chosen, c.ledger()
	mass := o.product.ProductRate(o.rate)
	share := working.Input{Label: "nitrogen in the product", Amount: working.Of(o.product.Nitrogen.Value), Origin: working.Origin{Kind: working.Rulebook, Source: o.product.Nitrogen.Source}}
	f := working.Figure{
		ID: "advised.product-rate", Label: "Product to spread", Amount: working.Of(mass).As(unit.KindProductRate),
		Expression: "nitrogen ÷ its share in the product", Inputs: []working.Input{c.advisedRate().Ref(), share},
		Source: cite.MaterialsSheet, Status: o.product.Nitrogen.Status,
	}
	total := working.Of(unit.Mass(float64(mass) * float64(c.known.area.Value)))
	if volume, liquid := o.product.Volume(o.rate); liquid {
		f.Amount, f.Expression = working.Of(volume), "nitrogen ÷ its share in the product ÷ density"
		f.Inputs = append(f.Inputs, working.Input{Label: "density", Amount: working.Of(o.product.Density.Value), Origin: working.Origin{Kind: working.Rulebook, Source: o.product.Density.Source}})
		total = working.Of(unit.Volume(float64(volume) * float64(c.known.area.Value)))
	}
	f = l.Add(f)
	if c.known.area.Known() {
		area, _ := l.Get("area")
		l.Add(working.Figure{
			ID: "advised.product-total", Label: "Product for the field", Amount: total,
			Expression: "product to spread × area", Inputs: []working.Input{f.Ref(), area.Ref()},
		})
	}
}
