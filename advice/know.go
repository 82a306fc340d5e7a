package advice

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
	"culm/spatial"
)

// known is what the field's records say, each fact with its origin; missing facts stay missing.
type known struct {
	area    working.Fact[unit.Area]
	goal    working.Fact[unit.Yield]
	residue working.Fact[unit.Fraction]
	stand   working.Fact[unit.Fraction]
	fresh   working.Fact[unit.Biomass]
	organic working.Fact[unit.Fraction]
	ph      working.Fact[unit.Ratio]

	grain  *season.Price // of the crop; the price of gain for wheat grazed out
	prices map[string]*season.Price
}

// know gathers the facts, latest first, and enters those that stand on their own in the ledger.
func (c *inquiry) know() {
	k := &c.known
	k.goal = c.fs.Field.YieldGoal
	k.area = c.area()
	for _, v := range c.fs.Visits { // in order of day: the latest known stands
		latest(&k.residue, v.Residue, v)
		latest(&k.stand, v.Stand, v)
		latest(&k.fresh, v.FreshMass, v)
	}
	c.spots = soil.Match(c.fs.Spots, c.fs.Soils)
	for _, s := range c.spots.Rest {
		if s.Top != 0 {
			continue
		}
		if r, ok := s.Find(season.OrganicMatter); ok {
			k.organic = working.Fact[unit.Fraction]{Value: unit.Fraction(r.Value), Origin: labOrigin(s)}
		}
		if r, ok := s.Find(season.PH); ok {
			k.ph = working.Fact[unit.Ratio]{Value: unit.Ratio(r.Value), Origin: labOrigin(s)}
		}
	}
	k.prices = map[string]*season.Price{}
	for _, p := range c.fs.Prices {
		k.prices[p.Item] = p
	}
	k.grain = k.prices[c.saleItem()]
	c.enterKnown()
}

func (c *inquiry) enterKnown() {
	k, l := &c.known, c.ledger()
	if k.area.Known() {
		enter(l, "area", "Area", k.area, unit.KindArea)
	} else {
		c.missing("the field's area or boundary", "money and product for the whole field")
	}
	if k.goal.Known() {
		enter(l, "yield-goal", "Yield goal", k.goal, c.fs.Field.Crop.YieldKind())
	} else if c.fs.Field.Crop != season.WheatGrazeOut {
		c.missing("a yield goal", "a rate by every mass balance, beside what the crop itself shows")
	}
	if k.grain != nil {
		l.Add(c.priceFigure("price.sale", saleLabel(c.saleItem()), k.grain, c.saleKind()))
	} else {
		c.missing("the price of "+c.saleItem(), "whether nitrogen pays")
	}
}

// area is that given by the producer, or else that inside the boundary.
func (c *inquiry) area() working.Fact[unit.Area] {
	if c.fs.Field.AreaGiven.Known() {
		return c.fs.Field.AreaGiven
	}
	if c.fs.Boundary == nil {
		return working.Fact[unit.Area]{}
	}
	return working.Fact[unit.Area]{
		Value:  spatial.Area(c.fs.Boundary),
		Origin: working.Origin{Kind: working.Observed, With: "the boundary, measured on the ellipsoid"},
	}
}

// latest takes a newly noted fact over an older one. A fact noted without an observer is the visitor's.
func latest[T unit.Quantity](have *working.Fact[T], noted working.Fact[T], v *season.Visit) {
	if !noted.Known() {
		return
	}
	*have = noted
	if have.Origin.By == "" {
		have.Origin.By = v.Observer
	}
	if have.Origin.On.IsZero() {
		have.Origin.On = v.Day
	}
}

func labOrigin(s *season.Soil) working.Origin {
	return working.Origin{Kind: working.Observed, By: s.Lab, On: s.Day, With: "soil sample " + s.Sample}
}

// seasonStart is the day from which nitrogen counts for this crop: the first of July before harvest. What lies
// before went to the crop before.
func (c *inquiry) seasonStart() calendar.Day {
	return calendar.Date(c.fs.Settings.HarvestYear-1, time.July, 1)
}

func (c *inquiry) saleItem() string { return saleItem(c.fs.Field.Crop) }

// saleItem is what the crop is sold as, as the price list names it.
func saleItem(crop season.Crop) string {
	switch crop {
	case season.Canola:
		return "canola"
	case season.WheatGrazeOut:
		return "gain"
	default:
		return "wheat"
	}
}

func saleLabel(item string) string {
	switch item {
	case "gain":
		return "Value of live-weight gain"
	case "canola":
		return "Price of canola"
	default:
		return "Price of wheat"
	}
}

func (c *inquiry) saleKind() unit.Kind {
	if c.fs.Field.Crop == season.WheatGrazeOut {
		return unit.KindPrice
	}
	return c.fs.Field.Crop.PriceKind()
}

// priceFigure is a price with the span that the advisor holds possible.
func (c *inquiry) priceFigure(id working.ID, label string, p *season.Price, kind unit.Kind) working.Figure {
	f := working.Figure{ID: id, Label: label, Amount: working.Of(p.Price).As(kind), Origin: p.Origin}
	if p.Low != p.High {
		f.Interval = &working.Interval{Low: float64(p.Low), High: float64(p.High)}
		f.Notes = append(f.Notes, "The range is what the advisor holds possible, not a confidence interval.")
	}
	return f
}
