package nitrogen

import (
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// facts puts the evidence as guidance takes it in; what a way has to subtract of the nitrogen already applied
// is put in for each.
func (e *Evidence) facts(last working.Fact[unit.Rate]) *rulebook.Facts {
	f := &rulebook.Facts{Crop: e.Crop}
	noted := working.Origin{Kind: working.Observed, With: "the field's record"}
	f.Say(rulebook.PreviousCrop, e.PreviousCrop, noted)
	f.Say(rulebook.Tillage, string(e.Tillage), noted)
	for _, s := range e.Soil {
		f.Sample(s)
	}
	rulebook.Put(f, rulebook.YieldGoal, e.YieldGoal)
	rulebook.Put(f, rulebook.OrganicMatter, e.OrganicMatter)
	rulebook.Put(f, rulebook.GrainPrice, e.GrainPrice)
	rulebook.Put(f, rulebook.NitrogenPrice, e.NitrogenPrice)
	rulebook.Put(f, rulebook.Response, e.Response.Index)
	rulebook.Put(f, rulebook.Reading, e.Reading)
	rulebook.Put(f, rulebook.GrowingDays, e.GrowingDays)
	rulebook.Put(f, rulebook.MaximumYield, e.MaximumYield)
	rulebook.Put(f, rulebook.FreshMass, e.FreshMass)
	rulebook.Put(f, rulebook.LastRate, last)
	rulebook.Put(f, rulebook.Stubble, e.Stubble.Or(0, "not measured; nothing is added for it"))
	if e.Crop.IsGrazed() {
		rulebook.Put(f, rulebook.LiveGain, e.Gain.Or(0, "not recorded; nothing is added for grazing"))
	}
	return f
}

// putApplied puts in what a way has to subtract.
func (c credit) putApplied(f *rulebook.Facts) {
	rulebook.Put(f, rulebook.Applied, c.n)
	var inFall working.Fact[unit.Rate]
	if c.n.Known() {
		inFall = working.Fact[unit.Rate]{Value: c.inFall, Origin: c.n.Origin}
	}
	if inFall.Origin.Kind == working.Assumed { // what is assumed of the whole need not be said of a part
		inFall.Origin.Kind = working.Computed
	}
	rulebook.Put(f, rulebook.AppliedInFall, inFall)
}
