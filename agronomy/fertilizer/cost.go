package fertilizer

import (
	"errors"
	"fmt"
	"math"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Offer is a product at what it costs on the field.
type Offer struct {
	Product Product
	Price   unit.PricePerMass // at the plant, per mass of product
	// Delivery is what bringing it costs, per mass of product; Application what spreading it does.
	Delivery    unit.PricePerMass
	Application unit.MoneyPerArea
	// Sulfur is what a mass of S is worth to the field; zero where it needs none.
	Sulfur unit.PricePerMass
}

// Fate is what becomes of nitrogen that is spread: Lost of it as ammonia, TiedUp by residue whatever the rate.
type Fate struct {
	Lost   unit.Fraction
	TiedUp unit.Rate
}

// Check refuses a fate that leaves nothing.
func (f Fate) Check() error {
	if !(f.Lost >= 0 && f.Lost < 1) {
		return fmt.Errorf("%.4g %% of the nitrogen is lost; expected 0 to less than 100", 100*float64(f.Lost))
	}
	if !(f.TiedUp >= 0) || math.IsInf(float64(f.TiedUp), 0) {
		return fmt.Errorf("residue ties up %.4g kg N/ha; expected 0 or more", float64(f.TiedUp))
	}
	return nil
}

// Reaching is what reaches the crop of a rate.
func (f Fate) Reaching(n unit.Rate) unit.Rate { return max(0, n*unit.Rate(1-f.Lost)-f.TiedUp) }

// Needed is the rate of which so much reaches the crop.
func (f Fate) Needed(reaching unit.Rate) unit.Rate {
	return (reaching + f.TiedUp) / unit.Rate(1-f.Lost)
}

// PriceOfVolume is a price per mass of a liquid that is sold by volume; false for a dry product. price is currency
// per L; a dollar a gallon is 1/3.785411784.
func (p Product) PriceOfVolume(price float64) (unit.PricePerMass, bool) {
	return unit.PricePerMass(price / float64(p.Density.Value)), p.Form == Liquid
}

// PerNitrogen is what a mass of N costs delivered, less the worth of the sulfur that comes with it.
func (o Offer) PerNitrogen() unit.PricePerMass {
	return o.Product.PricePerNitrogenLessSulfur(o.Price+o.Delivery, o.Sulfur)
}

// Cost is what a rate of N of an offer costs, and what of it reaches the crop.
type Cost struct {
	Rate        unit.Rate         `json:"rate"`
	Reaching    unit.Rate         `json:"reaching"`
	Product     unit.MoneyPerArea `json:"product"`
	Delivery    unit.MoneyPerArea `json:"delivery"`
	Application unit.MoneyPerArea `json:"application"`
	// Sulfur is a credit.
	Sulfur unit.MoneyPerArea `json:"sulfur"`
	Total  unit.MoneyPerArea `json:"total"`
	// PerBought is the whole of it for a mass of N bought, PerReached for one that reaches the crop; Reaches is false
	// where none does, and PerReached then nothing.
	PerBought  unit.PricePerMass `json:"perBought"`
	PerReached unit.PricePerMass `json:"perReached"`
	Reaches    bool              `json:"reaches"`
}

// CostOf reckons a rate of N, above zero.
func (o Offer) CostOf(n unit.Rate, f Fate) (Cost, error) {
	if err := errors.Join(o.check(), f.Check()); err != nil {
		return Cost{}, err
	}
	if !(n > 0) || math.IsInf(float64(n), 0) {
		return Cost{}, fmt.Errorf("the rate is %.4g kg N/ha; expected one above zero", float64(n))
	}
	mass := o.Product.ProductRate(n)
	c := Cost{
		Rate: n, Reaching: f.Reaching(n),
		Product: cost(mass, o.Price), Delivery: cost(mass, o.Delivery), Application: o.Application, Sulfur: cost(o.Product.SulfurCarried(n), o.Sulfur),
	}
	c.Total = c.Product + c.Delivery + c.Application - c.Sulfur
	c.PerBought = unit.PricePerMass(float64(c.Total) / float64(n))
	if c.Reaching > 0 {
		c.PerReached, c.Reaches = unit.PricePerMass(float64(c.Total)/float64(c.Reaching)), true
	}
	return c, nil
}

func cost(mass unit.Rate, price unit.PricePerMass) unit.MoneyPerArea {
	return unit.MoneyPerArea(float64(mass) * float64(price))
}

func (o Offer) check() error {
	if !(o.Product.Nitrogen.Value > 0) {
		return fmt.Errorf("%s holds no nitrogen", o.Product.Name)
	}
	for _, p := range []struct {
		name  string
		price float64
	}{{"price", float64(o.Price)}, {"delivery", float64(o.Delivery)}, {"application", float64(o.Application)}, {"worth of sulfur", float64(o.Sulfur)}} {
		if !(p.price >= 0) || math.IsInf(p.price, 0) {
			return fmt.Errorf("the %s of %s is %.4g; expected 0 or more", p.name, o.Product.Name, p.price)
		}
	}
	return nil
}

// SwitchOver is the price of the other product at which both bring the same nitrogen to the crop for the same money.
// Below it the other is the cheaper one. With R the nitrogen that is to reach the crop and n = (R + tied) ÷ (1 − lost)
// for either product, cost a = cost b solved for b's price is
//
//	price b = N b × (cost a − application b) ÷ n b + sulfur b × worth of S − delivery b
//
// The answer is below zero where the other could not be given away: its pass alone costs more.
func SwitchOver(a Offer, fateA Fate, b Offer, fateB Fate, reaching unit.Rate) (unit.PricePerMass, error) {
	if err := errors.Join(b.check(), fateB.Check()); err != nil {
		return 0, err
	}
	if !(reaching > 0) || math.IsInf(float64(reaching), 0) {
		return 0, fmt.Errorf("%.4g kg N/ha is to reach the crop; expected a rate above zero", float64(reaching))
	}
	costA, err := a.CostOf(fateA.Needed(reaching), fateA)
	if err != nil {
		return 0, err
	}
	mass := float64(b.Product.ProductRate(fateB.Needed(reaching)))
	perMass := unit.PricePerMass(float64(costA.Total-b.Application) / mass)
	return perMass + b.Sulfur*unit.PricePerMass(b.Product.Sulfur.Value) - b.Delivery, nil
}

// Work enters a cost in a ledger under an id of its own, such as "cost.urea".
func (c Cost) Work(l *working.Ledger, id working.ID, o Offer, f Fate) {
	set := working.Origin{Kind: working.Setting}
	in := func(label string, a working.Amount, from working.Origin) working.Input {
		return working.Input{Label: label, Amount: a, Origin: from}
	}
	total := l.Add(working.Figure{
		ID: id + ".total", Label: "Cost of " + o.Product.Name, Amount: working.Of(c.Total).As(unit.KindPassPrice),
		Expression: "nitrogen ÷ N in product × (price + delivery) + application − sulfur carried × worth of sulfur",
		Inputs: []working.Input{
			in("nitrogen", working.Of(c.Rate), set),
			in("N in "+o.Product.Name, working.Of(o.Product.Nitrogen.Value).As(unit.KindShare), working.Origin{Kind: working.Rulebook, Source: o.Product.Nitrogen.Source}),
			in("price", working.Of(o.Price).As(unit.KindProductPrice), set), in("delivery", working.Of(o.Delivery).As(unit.KindProductPrice), set),
			in("application", working.Of(o.Application).As(unit.KindPassPrice), set),
			in("sulfur carried", working.Of(o.Product.SulfurCarried(c.Rate)), working.Origin{Kind: working.Computed}),
			in("worth of sulfur", working.Of(o.Sulfur).As(unit.KindNutrientPrice), set),
		},
		Source: cite.Practice, Status: cite.Derived,
	})
	if !c.Reaches {
		return
	}
	l.Add(working.Figure{
		ID: id + ".reached", Label: "Cost of nitrogen that reaches the crop, " + o.Product.Name, Amount: working.Of(c.PerReached).As(unit.KindNutrientPrice),
		Expression: "cost ÷ (nitrogen × (1 − lost) − tied up)",
		Inputs: []working.Input{
			total.Ref(), in("nitrogen", working.Of(c.Rate), set),
			in("lost as ammonia", working.Of(f.Lost), working.Origin{Kind: working.Computed}), in("tied up by residue", working.Of(f.TiedUp), working.Origin{Kind: working.Computed}),
		},
		Source: cite.Practice, Status: cite.Derived,
	})
}
