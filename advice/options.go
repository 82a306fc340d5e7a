package advice

import (
	"cmp"
	"slices"

	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/timing"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// optionFinding is a product placed one way, with what each coming day would do to it.
type optionFinding struct {
	product fertilizer.Product
	way     placement.Result
	price   *season.Price // of the product
	pass    *season.Price
	shared  bool // flat fans drive the herbicide's pass anyhow, so the pass costs nothing more
	rate    unit.Rate
	gain    gainCurve
	why     string // why the option is ruled out; empty when it is open
	closed  bool   // ruled out by the days alone
	against string // why practice is against it; such an option is not chosen

	losses  []timing.Loss // by coming day, as in inquiry.days
	undated timing.Loss   // without a day, when there is no forecast
	best    int           // the best open day; −1 when no day is open or known
	worth   worth         // on the best day
}

// worth is what an option brings on a day.
type worth struct {
	loss     timing.Loss
	reaching unit.Rate
	gain     unit.Yield
	product  unit.MoneyPerArea // cost of product
	pass     unit.MoneyPerArea // cost of the pass or passes
	net      unit.MoneyPerArea
	netLow   unit.MoneyPerArea // at the low price of grain and the high price of product
	netHigh  unit.MoneyPerArea
}

// askOptions weighs the rate that the decision follows, and chooses.
func (c *inquiry) askOptions() {
	if !slices.ContainsFunc(fertilizer.All(), func(p fertilizer.Product) bool { return c.known.prices[p.Key] != nil }) {
		c.missing("the price of a fertilizer product", "which product is cheapest for the nitrogen that reaches the crop, and whether it pays")
	}
	if !c.rate.answered || c.rate.rate <= 0 || c.known.grain == nil || !c.rate.gain.known() {
		return
	}
	c.options = c.weighAll(c.rate.rate, c.rate.gain)
	c.chosen = choose(c.options)
}

// weighAll weighs a rate of every product for which there is a price, placed every way, on every coming
// day: open options first, the best net first.
func (c *inquiry) weighAll(rate unit.Rate, gain gainCurve) []optionFinding {
	var options []optionFinding
	for _, p := range fertilizer.All() {
		price := c.known.prices[p.Key]
		if price == nil {
			continue
		}
		losses, undated := c.lossesOf(&p)
		for _, way := range placement.Ways() {
			judged, err := c.judge(p, way)
			if err != nil || !judged.Possible {
				continue
			}
			o := optionFinding{product: p, way: judged, price: price, losses: losses, undated: undated, best: -1, rate: rate, gain: gain}
			c.weigh(&o)
			options = append(options, o)
		}
	}
	slices.SortStableFunc(options, func(a, b optionFinding) int {
		return cmp.Or(min(len(a.why), 1)-min(len(b.why), 1), cmp.Compare(b.worth.net, a.worth.net))
	})
	return options
}

// judge asks how a way of placing suits a product on the field.
func (c *inquiry) judge(p fertilizer.Product, way placement.Way) (placement.Result, error) {
	return placement.Judge(way, placement.Question{
		Product: p, Crop: c.fs.Field.Crop, Residue: c.known.residue, Tillage: c.fs.Field.Tillage,
		PreviousCrop: c.fs.Field.PreviousCrop, HerbicideDue: c.fs.Field.HerbicideDue,
	})
}

// weigh finds the option's best open day and what it is worth then.
func (c *inquiry) weigh(o *optionFinding) {
	o.pass = c.known.prices["pass/"+o.way.Way]
	o.shared = c.fs.Field.HerbicideDue && o.way.Way == placement.FlatFan
	switch {
	case o.product.BlendOnly:
		o.why = o.product.BlendWhy
		return
	case o.shared:
	case o.pass == nil:
		o.why = "no price for the pass (pass/" + o.way.Way + ")"
		c.missing("the price of a pass (pass/"+o.way.Way+")", "whether "+o.product.Name+", "+o.way.Name+", pays")
		return
	}
	if o.way.Discouraged {
		o.against = o.way.Why
	}
	if why := c.saltsOut(o.product); why != "" {
		o.against = why
	}
	if len(c.days) == 0 {
		o.worth = c.worthOf(o, o.undated)
		if o.why = c.stopped; o.why != "" {
			o.closed = true
		}
		return
	}
	for i, d := range c.days {
		if d.Stop() != "" || c.danger(d, &o.product, o.way.Way) != "" {
			continue
		}
		w := c.worthOf(o, o.losses[i])
		fit := c.fit(d, o.way.Way)
		bestFits := o.best >= 0 && c.fit(c.days[o.best], o.way.Way)
		if o.best < 0 || fit && !bestFits || fit == bestFits && w.net > o.worth.net+c.delay(o.best, i) {
			o.best, o.worth = i, w
		}
	}
	if o.best < 0 {
		o.why, o.closed = "no coming day is open for spreading", true
		for _, d := range c.days {
			if why := c.danger(d, &o.product, o.way.Way); d.Stop() == "" && why != "" {
				o.why = "no coming day is fit: " + why
				break
			}
		}
	}
}

// saltsOut says that nights of the last week or to come are cold enough for a solution to drop crystals in tank
// and boom.
func (c *inquiry) saltsOut(p fertilizer.Product) string {
	if !p.SaltOut.Known() {
		return ""
	}
	nights := slices.Clone(c.fs.Weather[max(0, len(c.fs.Weather)-7):])
	for _, d := range c.days {
		nights = append(nights, d.Weather.WeatherDay)
	}
	for _, d := range nights {
		if d.Has&season.HasTemperature != 0 && d.Low < p.SaltOut.Value {
			return "the night to " + d.Day.Short() + " was or will be colder than " + unit.Show(unit.KindTemperature, float64(p.SaltOut.Value), c.plan.Units).String() + ", where " + p.Name + " drops crystals in tank and boom"
		}
	}
	return ""
}

// perDayLater is what a later day must net more than an earlier one for each day between them, because the
// further a forecast looks the less it is to be relied on: half a dollar an acre. Common practice, no source.
const perDayLater = 0.5 * unit.PerAcre

func (c *inquiry) delay(from, to int) unit.MoneyPerArea {
	return perDayLater * unit.MoneyPerArea(c.days[to].Day.Sub(c.days[from].Day))
}

// worthOf puts money on the option for a loss.
func (c *inquiry) worthOf(o *optionFinding, loss timing.Loss) worth {
	rate := o.rate
	w := worth{loss: loss}
	w.reaching = max(0, rate*unit.Rate(1-loss.Loss)-o.way.TiedUp)
	w.gain = o.gain.at(w.reaching)
	perN := o.product.PricePerNitrogen(o.price.Price)
	w.product = unit.MoneyPerArea(float64(rate) * float64(perN))
	if !o.shared {
		w.pass = o.pass.Pass
	}
	net := func(grain unit.PricePerMass, product unit.PricePerMass) unit.MoneyPerArea {
		return unit.MoneyPerArea(float64(w.gain)*float64(grain)-float64(rate)*float64(o.product.PricePerNitrogen(product))) - w.pass
	}
	w.net = net(c.known.grain.Price, o.price.Price)
	w.netLow = net(c.known.grain.Low, o.price.High)
	w.netHigh = net(c.known.grain.High, o.price.Low)
	return w
}

// choose picks the open option with the best net that practice is not against; one that it is against only
// when nothing else is left; nil when none is open.
func choose(options []optionFinding) *optionFinding {
	var last *optionFinding
	for i := range options {
		o := &options[i]
		if o.why != "" {
			continue
		}
		if o.against == "" {
			return o
		}
		if last == nil {
			last = o
		}
	}
	return last
}

// showOptions writes the options into the plan.
func (c *inquiry) showOptions() {
	l := c.ledger()
	for i := range c.options {
		o := &c.options[i]
		shown := Option{
			Product: o.product.Key, ProductName: o.product.Name, Placement: o.way.Name, Chosen: o == c.chosen,
			Possible: o.why == "", Why: o.why,
		}
		if o.against != "" {
			shown.Notes = append(shown.Notes, o.against)
		}
		for _, n := range o.way.Notes {
			shown.Notes = append(shown.Notes, n.Text)
		}
		if shown.Possible {
			if o.best >= 0 {
				shown.Day = c.days[o.best].Day
			}
			w := o.worth
			shown.Loss, shown.TiedUp, shown.Reaching = w.loss.Loss, o.way.TiedUp, w.reaching
			shown.Cost, shown.Net = w.product+w.pass, w.net
			if w.reaching > 0 {
				shown.CostReached = unit.PricePerMass(float64(shown.Cost) / float64(w.reaching))
			}
			id := working.ID("net." + o.product.Key + "." + o.way.Way)
			shown.NetFigure = l.Add(c.netFigure(id, "Net of "+o.product.Name+", "+o.way.Name, o)).ID
		}
		c.plan.Options = append(c.plan.Options, shown)
	}
}

// netFigure is the net of an option with its span over the price range.
func (c *inquiry) netFigure(id working.ID, label string, o *optionFinding) working.Figure {
	w := o.worth
	sale, _ := c.ledger().Get("price.sale")
	return working.Figure{
		ID: id, Label: label, Amount: working.Of(w.net),
		Interval:   &working.Interval{Low: float64(w.netLow), High: float64(w.netHigh)},
		Expression: "yield gained × price − nitrogen × price of nitrogen − passes",
		Inputs: []working.Input{
			{Label: "nitrogen reaching the crop", Amount: working.Of(w.reaching), Origin: working.Origin{Kind: working.Computed}},
			{Label: "yield gained", Amount: working.Of(w.gain).As(c.gainKind()), Origin: working.Origin{Kind: working.Computed}},
			sale.Ref(),
			{Label: "cost of product: nitrogen × its price as " + o.product.Name, Amount: working.Of(w.product), Origin: working.Origin{Kind: working.Computed}},
			o.passInput(),
		},
		Notes: []string{"The range is the span of your prices: grain low and product high to grain high and product low. It leaves out the doubt about the yield gained."},
		WouldChange: []working.Effect{{
			Input: "the price of " + c.saleItem() + " (to its low end)",
			By:    working.Of(c.known.grain.Low - c.known.grain.Price).As(c.saleKind()),
			To:    working.Of(w.net - unit.MoneyPerArea(float64(w.gain)*float64(c.known.grain.Price-c.known.grain.Low))),
		}},
	}
}

// passInput is what the passes cost.
func (o *optionFinding) passInput() working.Input {
	if o.shared {
		return working.Input{
			Label: "pass, " + o.way.Name + ", shared with the herbicide", Amount: working.Of(unit.MoneyPerArea(0)),
			Origin: working.Origin{Kind: working.Setting, Why: "a herbicide is due, so its pass is driven in any case"},
		}
	}
	return working.Input{Label: "pass, " + o.way.Name, Amount: working.Of(o.pass.Pass).As(unit.KindPassPrice), Origin: o.pass.Origin}
}

// gainKind is the kind that what the crop gains is shown as: bushels, or pounds of live weight.
func (c *inquiry) gainKind() unit.Kind {
	if c.fs.Field.Crop == season.WheatGrazeOut {
		return unit.KindYield
	}
	return c.fs.Field.Crop.YieldKind()
}
