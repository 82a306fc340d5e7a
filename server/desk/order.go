package desk

import (
	"cmp"
	"slices"

	"culm/advice"
	"culm/agronomy/unit"
)

// DaysWhenUnknown is how many days a field is taken to have left when its last day is not known.
const DaysWhenUnknown = 30

// OrderInWords says the rule of Before to a reader.
const OrderInWords = "First the fields whose advised day the latest forecast has spoilt. Then ordered by what one more day of waiting puts at risk: a seventh of what a week's delay would cost, " +
	"and the money at stake shared out over the days left to act. Where nothing is at risk, fields that lack something " +
	"for a decision stand before those that can wait, and those before the ones to leave."

// AtRisk is what one more day of waiting puts at risk on a field: a seventh of a week's delay, and the stake
// shared out over the days left, today among them. It is zero when the last day is past.
func AtRisk(d advice.Decision) unit.Money {
	left := d.DaysLeft
	if !d.HasDaysLeft {
		left = DaysWhenUnknown
	}
	if left < 0 {
		return 0
	}
	return d.Waiting/7 + max(d.Stake, 0)/unit.Money(left+1)
}

// Before orders plans by what waiting would cost, as OrderInWords says; equals by the day to look again and
// by name. A field whose day is lost comes first because someone may be on the way to it.
func Before(a, b *advice.Plan) int {
	return cmp.Or(
		dayLost(b)-dayLost(a),
		cmp.Compare(AtRisk(b.Decision), AtRisk(a.Decision)),
		cmp.Compare(rank(a.Decision.Action), rank(b.Decision.Action)),
		a.Decision.LookAgain.Sub(b.Decision.LookAgain),
		cmp.Compare(a.Field.Name, b.Field.Name),
		cmp.Compare(a.Field.ID, b.Field.ID),
	)
}

// dayLost is 1 when the day advised by the forecast before is no longer good.
func dayLost(p *advice.Plan) int {
	if p.Changed != nil && p.Changed.Lost {
		return 1
	}
	return 0
}

func rank(a advice.Action) int {
	return slices.Index([]advice.Action{advice.Spread, advice.Ask, advice.Hold, advice.Leave}, a)
}

func inOrder(plans []*advice.Plan) []*advice.Plan {
	slices.SortFunc(plans, Before)
	return plans
}
