package advice

import (
	"culm/agronomy/fertilizer"
	"culm/agronomy/need"
	"culm/agronomy/placement"
	"culm/agronomy/review"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// After sets a plan as it was handed over against what was really spread and harvested, as the season knows
// it by now. It fails where a harvest or a pass cannot be true.
func After(handed Plan, now *season.Season) (review.Review, error) {
	d := review.Decision{
		Made: handed.Today, Spread: handed.Decision.Action == Spread, Open: handed.Decision.Action == Ask,
		Rate: handed.Decision.Rate, Product: handed.Decision.Product, Placement: handed.Decision.Placement, Day: handed.Decision.Day,
	}
	if f, ok := handed.Figures.Get("advised.gain"); ok {
		d.Gain, d.HasGain = unit.Yield(f.Amount.Base), true
		d.GainLow, d.GainHigh = d.Gain, d.Gain
		if f.Interval != nil {
			d.GainLow, d.GainHigh = unit.Yield(f.Interval.Low), unit.Yield(f.Interval.High)
		}
	}
	if e := handed.Need.Evidence; len(e) > 0 && handed.Need.Verdict != need.NoReference {
		if f, ok := handed.Figures.Get(e[0].Index); ok {
			d.Index, d.HasIndex = unit.Ratio(f.Amount.Base), true
		}
	}
	field := handed.Field.ID
	for _, a := range now.Applied[field] {
		if a.Day.Before(handed.Today) {
			d.Known = append(d.Known, a)
		}
	}
	return review.After(d, review.Outcome{
		Crop: handed.Field.Crop, Applied: now.Applied[field], Harvests: now.Harvests[field], Prices: pricesAfter(now, handed),
	})
}

// pricesAfter are the season's prices as they stand by now.
func pricesAfter(now *season.Season, handed Plan) review.Prices {
	fact := func(p *season.Price, value unit.PricePerMass) working.Fact[unit.PricePerMass] {
		return working.Fact[unit.PricePerMass]{Value: value, Origin: p.Origin}
	}
	prices := review.Prices{Nitrogen: map[string]working.Fact[unit.PricePerMass]{}}
	if p := now.LatestPrice(saleItem(handed.Field.Crop)); p != nil {
		prices.Grain = fact(p, p.Price)
	}
	for _, product := range fertilizer.All() {
		if p := now.LatestPrice(product.Key); p != nil {
			prices.Nitrogen[product.Key] = fact(p, product.PricePerNitrogen(p.Price))
		}
	}
	way := handed.Decision.Placement
	if way == "" {
		way = placement.Broadcast
	}
	if p := now.LatestPrice("pass/" + way); p != nil {
		prices.Pass = working.Fact[unit.MoneyPerArea]{Value: p.Pass, Origin: p.Origin}
	}
	return prices
}
