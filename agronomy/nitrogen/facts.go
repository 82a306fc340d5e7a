package nitrogen

import (
	"culm/agronomy/guidance"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// facts puts the evidence as guidance takes it in; what a way has to subtract of the nitrogen already applied
// is put in for each.
func (e *Evidence) facts(last working.Fact[unit.Rate]) *guidance.Facts {
	f := &guidance.Facts{Crop: e.Crop}
	noted := working.Origin{Kind: working.Observed, With: "the field's record"}
	f.Say(guidance.PreviousCrop, e.PreviousCrop, noted)
	f.Say(guidance.Tillage, string(e.Tillage), noted)
	for _, s := range e.Soil {
		f.Sample(s)
	}
	guidance.Put(f, guidance.YieldGoal, e.YieldGoal)
	guidance.Put(f, guidance.OrganicMatter, e.OrganicMatter)
	guidance.Put(f, guidance.GrainPrice, e.GrainPrice)
	guidance.Put(f, guidance.NitrogenPrice, e.NitrogenPrice)
	guidance.Put(f, guidance.Response, e.Response.Index)
	guidance.Put(f, guidance.Reading, e.Reading)
	guidance.Put(f, guidance.GrowingDays, e.GrowingDays)
	guidance.Put(f, guidance.MaximumYield, e.MaximumYield)
	guidance.Put(f, guidance.FreshMass, e.FreshMass)
	guidance.Put(f, guidance.LastRate, last)
	guidance.Put(f, guidance.Stubble, e.Stubble.Or(0, "not measured; nothing is added for it"))
	if e.Crop.IsGrazed() {
		guidance.Put(f, guidance.LiveGain, e.Gain.Or(0, "not recorded; nothing is added for grazing"))
	}
	return f
}

// putApplied puts in what a way has to subtract.
func (c credit) putApplied(f *guidance.Facts) {
	guidance.Put(f, guidance.Applied, c.n)
	var inFall working.Fact[unit.Rate]
	if c.n.Known() {
		inFall = working.Fact[unit.Rate]{Value: c.inFall, Origin: c.n.Origin}
	}
	if inFall.Origin.Kind == working.Assumed { // what is assumed of the whole need not be said of a part
		inFall.Origin.Kind = working.Computed
	}
	guidance.Put(f, guidance.AppliedInFall, inFall)
}
