package fertility

import (
	"cmp"
	"slices"

	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Dose is a product that brings what is needed.
type Dose struct {
	Key  string
	Name string
	// Product is kg of product per ha; for lime of the lime at hand.
	Product unit.Rate
	// Cost is that of the product, with nitrogen that comes along credited, before spreading; missing without
	// a price.
	Cost working.Fact[unit.MoneyPerArea]
	// BreakEven is the yield that just pays the cost at the expected price; missing without prices.
	BreakEven working.Fact[unit.Yield]
	// Brings is what else comes with it.
	Brings map[fertilizer.Nutrient]unit.Rate
	// Portions are how many yearly portions it is to be split into, 1 for all at once.
	Portions int
	// Slow says why it does not come in time for the standing crop.
	Slow  string
	Notes []string
}

// doses lists the products, those that can help in time and have a price first, the cheapest first of all.
func (q *Question) doses(n nutrient, need *Need) {
	if n.carries == "" {
		return
	}
	for _, c := range fertilizer.CarriersOf(n.carries) {
		d := Dose{Key: c.Key, Name: c.Name, Portions: 1, Product: c.ProductRate(n.carries, need.Rate), Brings: map[fertilizer.Nutrient]unit.Rate{}}
		if n.window == Now {
			d.Slow = c.Slow
		}
		if c.Note != "" {
			d.Notes = append(d.Notes, c.Note)
		}
		for other, held := range c.Holds {
			if other != n.carries {
				d.Brings[other] = d.Product * unit.Rate(held.Value)
			}
		}
		if n := d.Brings[fertilizer.NitrogenN]; n > 0 {
			d.Notes = append(d.Notes, "It brings nitrogen, which comes off the rate of nitrogen.")
		}
		if price := q.Prices[c.Key]; price.Known() {
			per := c.PricePer(n.carries, price.Value, q.Nitrogen.Value)
			d.Cost = working.Fact[unit.MoneyPerArea]{Value: unit.MoneyPerArea(float64(need.Rate) * float64(per)), Origin: working.Origin{Kind: working.Computed, With: "the price of " + c.Name}}
		}
		d.breakEven(q.Grain)
		need.Doses = append(need.Doses, d)
	}
	slices.SortStableFunc(need.Doses, func(a, b Dose) int {
		return cmp.Or(compareBool(a.Slow != "", b.Slow != ""), compareBool(!a.Cost.Known(), !b.Cost.Known()), cmp.Compare(a.Cost.Value, b.Cost.Value))
	})
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	default:
		return 1
	}
}

// breakEven is the yield at which the dose just pays.
func (d *Dose) breakEven(grain working.Fact[unit.PricePerMass]) {
	if d.Cost.Known() && grain.Known() && grain.Value > 0 {
		d.BreakEven = working.Fact[unit.Yield]{Value: unit.Yield(float64(d.Cost.Value) / float64(grain.Value)), Origin: working.Origin{Kind: working.Computed}}
	}
}
