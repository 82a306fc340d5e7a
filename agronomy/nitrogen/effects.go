package nitrogen

import (
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
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

// effects moves every known input of a book by a step, one at a time, and works the rate out anew.
func effects(b *rulebook.Book, in rulebook.Inputs) []working.Effect {
	uses := b.Uses()
	all := make([]working.Effect, 0, len(uses))
	for _, what := range uses {
		if e, ok := effect(b, &in, what); ok {
			all = append(all, e)
		}
	}
	return all
}

func effect(b *rulebook.Book, in *rulebook.Inputs, what rulebook.What) (working.Effect, bool) {
	switch what {
	case rulebook.YieldGoal:
		step := moreWheat
		if !in.Crop.IsWheat() {
			step = moreCanola
		}
		return moved(b, in, &in.YieldGoal, step, "yield goal", in.Crop.YieldKind())
	case rulebook.Nitrate:
		return moved(b, in, &in.Nitrate, moreNitrogen, "soil nitrate", unit.KindRate)
	case rulebook.NitrateMean:
		return moved(b, in, &in.NitrateMean, moreMean, "mean soil nitrate", unit.KindConcentration)
	case rulebook.Ammonium:
		return moved(b, in, &in.Ammonium, moreAmmonium, "soil ammonium", unit.KindRate)
	case rulebook.OrganicMatter:
		return moved(b, in, &in.OrganicMatter, moreOrganicMatter, "organic matter", unit.KindShare)
	case rulebook.Stubble:
		return moved(b, in, &in.Stubble, moreStubble, "stubble", unit.KindBiomass)
	case rulebook.LiveGain:
		return moved(b, in, &in.Gain, moreGain, "live weight gained", unit.KindGain)
	case rulebook.Applied:
		return moved(b, in, &in.Applied, moreNitrogen, "nitrogen already applied", unit.KindRate)
	case rulebook.GrainPrice:
		return moved(b, in, &in.GrainPrice, in.GrainPrice.Value*moreOfPrice, "grain price", in.Crop.PriceKind())
	case rulebook.NitrogenPrice:
		return moved(b, in, &in.NitrogenPrice, in.NitrogenPrice.Value*moreOfPrice, "nitrogen price", unit.KindNutrientPrice)
	case rulebook.Response:
		return moved(b, in, &in.Response, moreResponse, "response index", unit.KindRatio)
	case rulebook.Reading:
		return movedReading(b, in)
	case rulebook.GrowingDays:
		return moved(b, in, &in.GrowingDays, moreGrowingDays, "growing days", unit.KindDays)
	case rulebook.Efficiency:
		return moved(b, in, &in.Efficiency, moreEfficiency, "share of applied nitrogen that arrives", unit.KindFraction)
	case rulebook.MaximumYield:
		return moved(b, in, &in.MaximumYield, moreMaximum, "highest yield counted on", unit.KindWheatYield)
	case rulebook.FreshMass:
		return moved(b, in, &in.FreshMass, moreFreshMass, "fresh mass of the crop", unit.KindBiomass)
	default:
		return working.Effect{}, false
	}
}

// movedReading moves the reading beside the reference while the reference stays: the response index moves
// the other way.
func movedReading(b *rulebook.Book, in *rulebook.Inputs) (working.Effect, bool) {
	was := in.Response.Value
	defer func() { in.Response.Value = was }()
	reference := was * unit.Ratio(in.Reading.Value)
	if in.Reading.Value > 1-moreReading {
		return working.Effect{}, false
	}
	in.Response.Value = reference / unit.Ratio(in.Reading.Value+moreReading)
	return moved(b, in, &in.Reading, moreReading, "reading beside the reference", unit.KindIndex)
}

// moved moves one fact up by a step, or down where up leads out of what the book covers, and puts it back.
func moved[T unit.Quantity](b *rulebook.Book, in *rulebook.Inputs, f *working.Fact[T], step T, label string, k unit.Kind) (working.Effect, bool) {
	if !f.Known() {
		return working.Effect{}, false
	}
	was := f.Value
	defer func() { f.Value = was }()
	for _, by := range [2]T{step, -step} {
		f.Value = was + by
		if rate, ok := b.Rate(in); ok {
			return working.Effect{Input: label, By: working.Of(by).As(k), To: working.Of(rate)}, true
		}
	}
	return working.Effect{}, false
}
