package review

import (
	"fmt"
	"math"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// After reviews a decision. It refuses a harvest or a pass that is not a number or negative.
func After(d Decision, o Outcome) (Review, error) {
	if err := check(o); err != nil {
		return Review{}, err
	}
	r := Review{Verdict: Unjudged}
	r.takeHarvests(o.Harvests)
	r.takePasses(d, o.Applied)
	r.compareRates(d)
	r.compareStrips()
	r.count(o.Prices)
	r.judge(d, o)
	r.weighProtein(o.Crop)
	return r, nil
}

func check(o Outcome) error {
	for _, h := range o.Harvests {
		if !(h.Yield >= 0) || math.IsInf(float64(h.Yield), 0) {
			return fmt.Errorf("harvest of %q on field %s is %v kg/ha; expected 0 or more", h.Part, h.Field, float64(h.Yield))
		}
	}
	for _, a := range o.Applied {
		if !(a.Rate >= 0) || math.IsInf(float64(a.Rate), 0) {
			return fmt.Errorf("%s spread on field %s on %s is %v kg/ha of N; expected 0 or more", a.Product, a.Field, a.Day, float64(a.Rate))
		}
	}
	return nil
}

func (r *Review) takeHarvests(all []*season.Harvest) {
	for _, h := range all {
		switch h.Part {
		case "field":
			r.Field = h
		case "reference":
			r.Reference = h
		case "none":
			r.None = h
		}
	}
}

// takePasses picks what was spread from the plan's day to the harvest and was not known to the plan.
func (r *Review) takePasses(d Decision, all []*season.Applied) {
	known := map[string]bool{}
	for _, a := range d.Known {
		known[a.Subject()] = true
	}
	for _, a := range all {
		if a.Day.Before(d.Made) || known[a.Subject()] || r.Field != nil && !a.Day.Before(r.Field.Day) || a.Rate == 0 {
			continue
		}
		r.Passes = append(r.Passes, a)
		r.Rate += a.Rate
	}
	slices.SortStableFunc(r.Passes, func(a, b *season.Applied) int { return a.Day.Sub(b.Day) })
}

func (r *Review) compareRates(d Decision) {
	r.RateOff = r.Rate
	if d.Spread {
		r.RateOff = r.Rate - d.Rate
	}
	r.SameProduct = len(r.Passes) > 0
	for _, a := range r.Passes {
		r.SameProduct = r.SameProduct && a.Product == d.Product
	}
	if d.Spread && len(r.Passes) > 0 && d.Day != (calendar.Day{}) {
		r.DaysOff, r.HasDaysOff = r.Passes[0].Day.Sub(d.Day), true
	}
	spread := len(r.Passes) > 0
	switch {
	case d.Open:
		r.Followed = NoDecision
	case d.Spread && !spread:
		r.Followed = NotSpread
	case d.Spread && r.SameProduct && math.Abs(float64(r.RateOff)) <= Near*float64(d.Rate):
		r.Followed = AsAdvised
	case d.Spread:
		r.Followed = Otherwise
	case spread:
		r.Followed = Unadvised
	default:
		r.Followed = LeftAlone
	}
}

// compareStrips takes what the strips tell, each against what it can be compared with.
func (r *Review) compareStrips() {
	bare, over := r.None, "the strip without top-dress"
	if bare == nil && len(r.Passes) == 0 {
		bare, over = r.Field, "the field, on which nothing was spread"
	}
	if index, ok := ratio(r.Reference, bare); ok {
		r.Index, r.HasIndex, r.IndexOver = index, true, over
	}
	r.Left, r.HasLeft = ratio(r.Reference, r.Field)
	if r.Field != nil && r.None != nil && len(r.Passes) > 0 {
		r.Gain, r.HasGain = r.Field.Yield-r.None.Yield, true
	}
}

func ratio(a, b *season.Harvest) (unit.Ratio, bool) {
	if a == nil || b == nil || b.Yield == 0 {
		return 0, false
	}
	return unit.Ratio(a.Yield / b.Yield), true
}

// count works out the net: gain × grain price − N × its price − passes. It leaves it open when a price is
// missing.
func (r *Review) count(p Prices) {
	if !r.HasGain {
		return
	}
	if !p.Grain.Known() {
		r.unknown("What the gain was worth: the price of the grain is missing.")
		return
	}
	if !p.Pass.Known() {
		r.unknown("What the gain cost: the price of a pass is missing.")
		return
	}
	// currency/ha = kg/ha × currency/kg
	net := unit.MoneyPerArea(float64(r.Gain) * float64(p.Grain.Value))
	for _, a := range r.Passes {
		price := p.Nitrogen[a.Product]
		if !price.Known() {
			r.unknown("What the gain cost: the price of nitrogen in %s is missing.", a.Product)
			return
		}
		net -= unit.MoneyPerArea(float64(a.Rate)*float64(price.Value)) + p.Pass.Value
	}
	r.Net, r.HasNet = net, true
}

func (r *Review) unknown(format string, args ...any) {
	r.Unknown = append(r.Unknown, fmt.Sprintf(format, args...))
}

func (r *Review) because(format string, args ...any) {
	r.Why = append(r.Why, fmt.Sprintf(format, args...))
}

// weighProtein adds the second witness.
func (r *Review) weighProtein(crop season.Crop) {
	if !crop.IsWheat() || r.Field == nil {
		return
	}
	if !r.Field.Protein.Known() {
		r.unknown("Whether nitrogen limited the yield by the grain's own word: its protein was not tested.")
		return
	}
	r.Protein = r.Field.Protein
	r.ProteinShort = r.Protein.Value < ProteinLimit
	if r.ProteinShort {
		r.because("Grain protein is below 12.5 %%, where Montana finds that nitrogen limited the yield of winter wheat.")
	} else {
		r.because("Grain protein is not below 12.5 %%, where Montana finds that nitrogen limited the yield of winter wheat.")
	}
}

// within places a gain against what was expected.
func within(gain, low, high unit.Yield) string {
	switch {
	case gain < low:
		return "less than expected"
	case gain > high:
		return "more than expected"
	default:
		return "as expected"
	}
}
