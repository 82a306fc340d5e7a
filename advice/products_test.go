package advice_test

import (
	"math"
	"testing"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/demo"
	"culm/season"
)

// Over the whole district: all products bring the same nitrogen to the crop, the cheapest stands first, and at its
// switch-over price a product costs what the chosen one does.
func TestProductsSideBySide(t *testing.T) {
	a, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	s := season.Assemble(demo.Season(24, 1))
	compared := 0
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		p := a.Advise(fs)
		var l working.Ledger
		all := advice.CompareProducts(&p, fs, advice.Charges{Delivery: 15 * unit.PerShortTon, Sulfur: 0.2 * unit.PerPound}, &l)
		var chosen *advice.ProductCost
		for i := range all {
			if all[i].Chosen {
				chosen = &all[i]
			}
		}
		for i, c := range all {
			compared++
			if _, ok := l.Get(c.Figure + ".total"); !ok {
				t.Errorf("%s: %s has no working", f.Name, c.Name)
			}
			if i > 0 && c.Cost.Total < all[i-1].Cost.Total {
				t.Errorf("%s: %s stands behind a dearer one", f.Name, c.Name)
			}
			if math.Abs(float64(c.Cost.Reaching-chosen.Cost.Reaching)) > 1e-9 {
				t.Errorf("%s: %v reaches the crop of %s, %v of the chosen", f.Name, c.Cost.Reaching, c.Name, chosen.Cost.Reaching)
			}
			if !c.HasSwitchOver || c.SwitchOver < 0 {
				continue
			}
			c.Offer.Price = c.SwitchOver
			at, err := c.Offer.CostOf(c.Cost.Rate, c.Fate)
			if err != nil || math.Abs(float64(at.Total-chosen.Cost.Total)) > 1e-9 {
				t.Errorf("%s: at %v %s costs %v, the chosen %v (%v)", f.Name, c.SwitchOver, c.Name, at.Total, chosen.Cost.Total, err)
			}
		}
	}
	if compared == 0 {
		t.Error("nothing was compared")
	}
}
