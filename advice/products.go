package advice

import (
	"cmp"
	"slices"

	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Charges are what products cost beside their price.
type Charges struct {
	// Delivery is charged for a mass of product, Sulfur what a mass of sulfur is worth to the field. Both may be zero.
	Delivery, Sulfur unit.PricePerMass
}

// ProductCost is a product placed one way, at the rate of which as much nitrogen reaches the crop as of the one chosen.
type ProductCost struct {
	Product   string           `json:"product"`
	Name      string           `json:"name"`
	Placement string           `json:"placement"`
	Chosen    bool             `json:"chosen,omitempty"`
	Fate      fertilizer.Fate  `json:"-"`
	Offer     fertilizer.Offer `json:"-"`
	Cost      fertilizer.Cost  `json:"cost"`
	// SwitchOver is the price of this product at which it costs what the chosen one does: below it, it is the cheaper.
	// It is not told of the chosen one.
	SwitchOver    unit.PricePerMass `json:"switchOver"`
	HasSwitchOver bool              `json:"hasSwitchOver"`
	Figure        working.ID        `json:"figure"`
}

// CompareProducts sets the products of a plan side by side by what nitrogen costs that reaches the crop, cheapest first,
// with the working in the ledger. It is empty where the plan weighed none, or where none of the chosen one's reaches.
func CompareProducts(p *Plan, fs season.FieldSeason, ch Charges, l *working.Ledger) []ProductCost {
	i := slices.IndexFunc(p.Options, func(o Option) bool { return o.Chosen })
	if i < 0 || p.Options[i].Reaching <= 0 {
		return nil
	}
	reaching := p.Options[i].Reaching
	prices := map[string]*season.Price{}
	for _, price := range fs.Prices {
		prices[price.Item] = price
	}
	var all []ProductCost
	var chosen ProductCost
	for _, o := range p.Options {
		c, ok := productCost(o, fs, prices, ch, reaching)
		if !ok {
			continue
		}
		if all = append(all, c); c.Chosen {
			chosen = c
		}
	}
	for i := range all {
		c := &all[i]
		c.Figure = working.ID("cost." + c.Product + "." + c.Placement)
		c.Cost.Work(l, c.Figure, c.Offer, c.Fate)
		if c.Chosen || chosen.Product == "" {
			continue
		}
		if at, err := fertilizer.SwitchOver(chosen.Offer, chosen.Fate, c.Offer, c.Fate, reaching); err == nil {
			c.SwitchOver, c.HasSwitchOver = at, true
		}
	}
	slices.SortStableFunc(all, func(a, b ProductCost) int { return cmp.Compare(a.Cost.Total, b.Cost.Total) })
	return all
}

// productCost is one option with its bill; false where it is ruled out or a price is missing.
func productCost(o Option, fs season.FieldSeason, prices map[string]*season.Price, ch Charges, reaching unit.Rate) (ProductCost, bool) {
	product, known := fertilizer.Find(o.Product)
	price, way := prices[o.Product], wayOf(o.Placement)
	if !o.Possible || !known || price == nil {
		return ProductCost{}, false
	}
	offer := fertilizer.Offer{Product: product, Price: price.Price, Delivery: ch.Delivery, Sulfur: ch.Sulfur}
	if shared := fs.Field.HerbicideDue && way == placement.FlatFan; !shared {
		pass := prices["pass/"+way]
		if pass == nil {
			return ProductCost{}, false
		}
		offer.Application = pass.Pass
	}
	fate := fertilizer.Fate{Lost: o.Loss, TiedUp: o.TiedUp}
	cost, err := offer.CostOf(fate.Needed(reaching), fate)
	if err != nil {
		return ProductCost{}, false
	}
	return ProductCost{Product: o.Product, Name: o.ProductName, Placement: o.Placement, Chosen: o.Chosen, Fate: fate, Offer: offer, Cost: cost}, true
}

// wayOf is the way that a name stands for.
func wayOf(name string) placement.Way {
	for _, way := range placement.Ways() {
		if wayName(way) == name {
			return way
		}
	}
	return ""
}
