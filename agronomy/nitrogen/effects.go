package nitrogen

import (
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Steps by which inputs are moved to show what would change a rate: about what an input may well be off.
const (
	moreNitrogen      = 10 * unit.PoundPerAcre
	moreWheat         = 5 * unit.WheatBushelPerAcre
	moreCanola        = 200 * unit.PoundOfGrainPerAcre
	moreMean          = 1 * unit.PartPerMillion
	moreAmmonium      = 5 * unit.PoundPerAcre
	moreOrganicMatter = 0.5 * unit.Percent
	moreStubble       = 1000 * unit.PoundOfMatterPerAcre
	moreGain          = 50 * unit.PoundOfGainPerAcre
	moreResponse      = unit.Ratio(0.05)
	moreReading       = unit.Index(0.05)
	moreGrowingDays   = unit.Days(10)
	moreEfficiency    = 5 * unit.Percent
	moreMaximum       = 0.5 * unit.TonneOfGrainPerHectare
	moreFreshMass     = 0.25 * unit.KilogramOfMatterPerSquareMetre
	moreOfPrice       = 0.1 // of the price itself
)

// move is how far an input is moved, and how that is told.
type move struct {
	label string
	by    working.Amount
	// share moves it by a share of itself, shown as by's kind.
	share float64
}

func moveOf(what rulebook.What, crop season.Crop) (move, bool) {
	switch what {
	case rulebook.YieldGoal:
		if crop.IsWheat() {
			return move{label: "yield goal", by: working.Of(moreWheat).As(crop.YieldKind())}, true
		}
		return move{label: "yield goal", by: working.Of(moreCanola).As(crop.YieldKind())}, true
	case rulebook.Nitrate:
		return move{label: "soil nitrate", by: working.Of(moreNitrogen)}, true
	case rulebook.NitrateMean:
		return move{label: "mean soil nitrate", by: working.Of(moreMean)}, true
	case rulebook.Ammonium:
		return move{label: "soil ammonium", by: working.Of(moreAmmonium)}, true
	case rulebook.OrganicMatter:
		return move{label: "organic matter", by: working.Of(moreOrganicMatter).As(unit.KindShare)}, true
	case rulebook.Stubble:
		return move{label: "stubble", by: working.Of(moreStubble)}, true
	case rulebook.LiveGain:
		return move{label: "live weight gained", by: working.Of(moreGain)}, true
	case rulebook.Applied:
		return move{label: "nitrogen already applied", by: working.Of(moreNitrogen)}, true
	case rulebook.GrainPrice:
		return move{label: "grain price", by: working.Amount{Kind: crop.PriceKind()}, share: moreOfPrice}, true
	case rulebook.NitrogenPrice:
		return move{label: "nitrogen price", by: working.Amount{Kind: unit.KindNutrientPrice}, share: moreOfPrice}, true
	case rulebook.Response:
		return move{label: "response index", by: working.Of(moreResponse)}, true
	case rulebook.Reading:
		return move{label: "reading beside the reference", by: working.Of(moreReading)}, true
	case rulebook.GrowingDays:
		return move{label: "growing days", by: working.Of(moreGrowingDays)}, true
	case rulebook.Efficiency:
		return move{label: "share of applied nitrogen that arrives", by: working.Of(moreEfficiency)}, true
	case rulebook.MaximumYield:
		return move{label: "highest yield counted on", by: working.Of(moreMaximum).As(unit.KindWheatYield)}, true
	case rulebook.FreshMass:
		return move{label: "fresh mass of the crop", by: working.Of(moreFreshMass)}, true
	default:
		return move{}, false
	}
}

// effects moves every known input of a rule by a step, one at a time, and works the rate out anew.
func (q *question) effects(w *rulebook.Worked) []working.Effect {
	r, s := w.Rule, w.Slots()
	all := make([]working.Effect, 0, len(r.Inputs))
	for i := range r.Inputs {
		was, known := s.Value(i)
		m, moves := moveOf(r.Inputs[i].Name, q.Crop)
		if !known || !moves || !r.RestsOn(r.Inputs[i].Name) {
			continue
		}
		if e, ok := q.moved(r, w.Slots(), i, was, m); ok {
			all = append(all, e)
		}
	}
	return all
}

// moved moves input i up by a step, or down where up leads out of what the book covers. A reading is moved
// beside the reference while the reference stays, so the response index moves the other way.
func (q *question) moved(r *rulebook.Rule, s *rulebook.Slots, i int, was float64, m move) (working.Effect, bool) {
	in := &r.Inputs[i]
	step, err := r.NumberOf(m.by, in.Unit, q.Crop)
	if err != nil {
		return working.Effect{}, false
	}
	if m.share > 0 {
		step = was * m.share
		m.by.Base = r.AmountOf(step, in.Unit, q.Crop).Base
	}
	response, index := r.Slot(rulebook.Response), 0.0
	if in.Name == rulebook.Reading && response >= 0 {
		if was > 1-float64(moreReading) {
			return working.Effect{}, false
		}
		index, _ = s.Value(response)
		s.Set(response, index*was/(was+step))
	}
	for _, sign := range [2]float64{1, -1} {
		s.Set(i, was+sign*step)
		if v, why := r.Evaluate(s); why.Answered() {
			return working.Effect{Input: m.label, By: working.Amount{Base: sign * m.by.Base, Kind: m.by.Kind}, To: working.Of(rateOf(r, v))}, true
		}
	}
	return working.Effect{}, false
}
