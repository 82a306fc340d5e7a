package advice

import (
	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
)

// sayPlaced says in one sentence why a liquid goes on in streams or through fans: what streams would save, against the
// pass that they may take for themselves. Nothing is said of a dry product, nor where a price that it needs is missing.
func (c *inquiry) sayPlaced() {
	if c.plan.Decision.Action != Spread || c.chosen == nil || c.chosen.product.Form != fertilizer.Liquid {
		return
	}
	w := placement.Weighing{
		Question: placement.Question{
			Product: c.chosen.product, Crop: c.fs.Field.Crop, Residue: c.known.residue, Tillage: c.fs.Field.Tillage,
			PreviousCrop: c.fs.Field.PreviousCrop, HerbicideDue: c.fs.Field.HerbicideDue,
		},
		Rate: c.chosen.rate, Price: c.chosen.product.PricePerNitrogen(c.chosen.price.Price),
		LostFans: c.chosen.worth.loss.Loss, LostStreams: c.chosen.worth.loss.Loss,
	}
	if w.HerbicideDue {
		pass, ok := c.passAlone()
		if !ok {
			return
		}
		w.Pass = pass
	}
	if v, err := w.Weigh(); err == nil {
		c.plan.Placed = v.Work(c.ledger(), w)
	}
}

// passAlone is what a pass costs that streams add: that of the streams, while the herbicide's is driven in any case.
func (c *inquiry) passAlone() (unit.MoneyPerArea, bool) {
	if p := c.known.prices["pass/"+placement.Stream]; p != nil {
		return p.Pass, true
	}
	return 0, false
}

// PlacedIn reads the sentence on placement in a reader's units; empty where there is none.
func (p *Plan) PlacedIn(s unit.System) string { return p.Placed.Read(&p.Figures, s) }
