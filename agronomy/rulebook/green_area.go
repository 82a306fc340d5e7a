package rulebook

import (
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// GreenArea weighs the canopy of oilseed rape: a target canopy holds so much nitrogen, and what soil and
// crop do not hold already must come from fertilizer, of which a share arrives. Nitrogen is in kg/ha, yield
// in t/ha.
//
//	rate = (target × nitrogen per area − soil mineral N − crop N) ÷ recovery + perYield × (yield − from)
//
// The yield term counts between two yields. Whether it too is to be divided by the recovery is not stated
// where it was read, so it is not.
type GreenArea struct {
	Soil `yaml:",inline"`
	// AreaPerFreshMass is green area index for each kg/m² of fresh mass above ground.
	AreaPerFreshMass Coefficient `yaml:"areaPerFreshMass"`
	NitrogenPerArea  Coefficient `yaml:"nitrogenPerArea"` // kg/ha for each 1 of green area index
	Target           Coefficient `yaml:"target"`          // green area index
	PerYield         Coefficient `yaml:"perYield"`        // kg N for each t of yield above From, up to To
	From             float64     `yaml:"from"`
	To               float64     `yaml:"to"`
	Recovery         Coefficient `yaml:"recovery"`
}

func (f *GreenArea) family(*Book) string { return FamilyGreenArea }

func (f *GreenArea) uses() Uses {
	return Uses{FreshMass, Nitrate, Ammonium, YieldGoal, Efficiency, Applied}
}

func (f *GreenArea) fill(b *Book, in *Inputs) {
	if !in.Efficiency.Known() {
		in.Efficiency = working.FromBook(unit.Fraction(f.Recovery.Value), b.Source)
	}
}

func (f *GreenArea) refuse(_ *Book, in *Inputs) string {
	switch {
	case !in.FreshMass.Known():
		return "needs the fresh mass of the crop from a cut square"
	case !in.Nitrate.Known():
		return "needs a nitrate test of the soil"
	}
	return ""
}

// canopy is every number on the way, kg/ha but for the index.
type canopy struct{ index, holds, wanted, soil, lacking, forYield, rate float64 }

func (f *GreenArea) look(in *Inputs, recovery float64) canopy {
	c := canopy{index: f.AreaPerFreshMass.Value * float64(in.FreshMass.Value/unit.KilogramOfMatterPerSquareMetre)}
	c.holds = f.NitrogenPerArea.Value * c.index
	c.wanted = f.NitrogenPerArea.Value * f.Target.Value
	c.soil = float64(in.Nitrate.Value) + float64(in.Ammonium.Value)
	c.lacking = c.wanted - c.soil - c.holds
	if in.YieldGoal.Known() {
		tonnes := float64(in.YieldGoal.Value / unit.TonneOfGrainPerHectare)
		c.forYield = f.PerYield.Value * (min(max(tonnes, f.From), f.To) - f.From)
	}
	c.rate = max(0, c.lacking/recovery+c.forYield-float64(in.Applied.Value))
	return c
}

func (f *GreenArea) rate(_ *Book, in *Inputs) unit.Rate {
	return unit.Rate(f.look(in, float64(in.Efficiency.Value)).rate)
}

func (f *GreenArea) explain(b *Book, in *Inputs, w *Worked) {
	c := f.look(in, float64(in.Efficiency.Value))
	input(w, "fresh mass of the crop", in.FreshMass)
	w.step("index", "green area index", working.Of(unit.Ratio(c.index)))
	w.step("holds", "nitrogen the crop holds", working.Of(unit.Rate(c.holds)))
	w.step("wanted", "nitrogen a full canopy holds", working.Of(unit.Rate(c.wanted)))
	input(w, f.label("nitrate"), in.Nitrate)
	if in.Ammonium.Known() {
		input(w, f.label("ammonium"), in.Ammonium)
	} else {
		w.assume(f.label("ammonium"), "not tested; counted as none")
	}
	w.step("lacking", "nitrogen lacking", working.Of(unit.Rate(c.lacking)))
	input(w, "share of applied nitrogen that reaches the canopy", in.Efficiency)
	if in.YieldGoal.Known() {
		inputAs(w, "yield goal", in.YieldGoal, in.Crop.YieldKind())
		w.step("forYield", "nitrogen for yield above the usual", working.Of(unit.Rate(c.forYield)))
	} else {
		w.assume("yield goal", "none is set; nothing is added for a high yield")
	}
	if in.Applied.Known() {
		input(w, "nitrogen applied since the crop was cut", in.Applied)
	}
	for _, k := range []Coefficient{f.AreaPerFreshMass, f.NitrogenPerArea, f.Target, f.Recovery} {
		w.rests(k.Status)
	}
	if f.Recovery.hasSpan() {
		w.Low, w.High = unit.Rate(f.look(in, f.Recovery.High).rate), unit.Rate(f.look(in, f.Recovery.Low).rate)
		w.Low, w.High, w.HasRange = min(w.Low, w.High), max(w.Low, w.High), true
	}
}

func (f *GreenArea) words(*Book) string {
	return "(" + plain(f.NitrogenPerArea.Value) + " × " + plain(f.Target.Value) + " − soil mineral nitrogen − " +
		plain(f.NitrogenPerArea.Value) + " × green area index) ÷ recovery + " + plain(f.PerYield.Value) + " × (yield goal − " + plain(f.From) + "), green area index = " +
		plain(f.AreaPerFreshMass.Value) + " × fresh mass, yield counted from " + plain(f.From) + " to " + plain(f.To) + "; not below 0; in kg/ha, t/ha and kg/m²"
}

func (f *GreenArea) check(c *checker, _ *Book) {
	c.soil(f.Soil, "greenArea", "depth")
	c.coefficient(f.AreaPerFreshMass, 0.01, 10, "greenArea", "areaPerFreshMass")
	c.coefficient(f.NitrogenPerArea, 1, 500, "greenArea", "nitrogenPerArea")
	c.coefficient(f.Target, 0.1, 20, "greenArea", "target")
	c.coefficient(f.PerYield, 0, 1000, "greenArea", "perYield")
	c.coefficient(f.Recovery, 0.01, 1, "greenArea", "recovery")
	if f.From < 0 || f.To < f.From {
		c.problem("must not lie below from", "greenArea", "to")
	}
}
