package rulebook

import (
	"math"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// What names an input, as a book's file does.
type What string

// The inputs.
const (
	YieldGoal     What = "yieldGoal"
	Nitrate       What = "nitrate"
	NitrateMean   What = "nitrateMean"
	Ammonium      What = "ammonium"
	OrganicMatter What = "organicMatter"
	PreviousCrop  What = "previousCrop"
	Tillage       What = "tillage"
	Stubble       What = "stubble"
	LiveGain      What = "gain"
	Applied       What = "applied"
	GrainPrice    What = "grainPrice"
	NitrogenPrice What = "nitrogenPrice"
	Response      What = "response"
	Reading       What = "reading"
	GrowingDays   What = "growingDays"
	MaximumYield  What = "maximumYield"
	Efficiency    What = "efficiency"
	FreshMass     What = "freshMass"
	Strips        What = "strips"

	// Constant and CropAndSoil are no inputs but supplies in an account: the constant of a form, and what
	// crop and soil have shown they supply of themselves.
	Constant    What = "constant"
	CropAndSoil What = "cropAndSoil"
)

// Uses is a set of inputs.
type Uses []What

// Has says that an input is in the set.
func (u Uses) Has(w What) bool {
	for _, own := range u {
		if own == w {
			return true
		}
	}
	return false
}

// Inputs are what a form may ask for. Each may be missing, which is not zero; a book may have a default,
// which then shows as assumed.
type Inputs struct {
	Crop      season.Crop
	YieldGoal working.Fact[unit.Yield]
	// Nitrate is what the soil holds, NO3-N, over the depth and on the soil mass of the book; NitrateMean is
	// its mean concentration over that depth. Ammonium is NH4-N over its depth. TakeSoil fills them.
	Nitrate       working.Fact[unit.Rate]
	NitrateMean   working.Fact[unit.Concentration]
	Ammonium      working.Fact[unit.Rate]
	OrganicMatter working.Fact[unit.Fraction]
	PreviousCrop  string
	Tillage       season.Tillage
	Stubble       working.Fact[unit.Biomass]
	Gain          working.Fact[unit.Gain] // live weight gained on the field
	// Applied is nitrogen spread this season that the other inputs do not already show.
	Applied working.Fact[unit.Rate]
	// AppliedInFall is the part of Applied that was spread in fall.
	AppliedInFall unit.Rate
	GrainPrice    working.Fact[unit.PricePerMass]
	NitrogenPrice working.Fact[unit.PricePerMass] // per kg of N
	// Response is the response index, Reading the sensor's index on the crop beside the reference, and
	// GrowingDays the days from planting to reading that were warm enough to grow.
	Response     working.Fact[unit.Ratio]
	Reading      working.Fact[unit.Index]
	GrowingDays  working.Fact[unit.Days]
	MaximumYield working.Fact[unit.Yield]
	// Efficiency is the share of applied nitrogen that reaches the grain or the canopy. Missing means the
	// book's own.
	Efficiency working.Fact[unit.Fraction]
	FreshMass  working.Fact[unit.Biomass] // above ground
	// Strips are a ramp in order of rate, StripsOrigin who looked at it and when.
	Strips       []season.RampStep
	StripsOrigin working.Origin
	// doubts are remarks that came up when the soil was taken in, and count as assumptions.
	doubts []string
}

// Worked is a rate worked out by a book, with all that a reader may ask about it.
type Worked struct {
	// Why says why there is no rate; empty when there is one.
	Why  string
	Rate unit.Rate
	// Low and High follow from the span the publication gives for one of its numbers, if HasRange.
	Low, High unit.Rate
	HasRange  bool
	// Expression is the formula in words and signs, in the units of the publication.
	Expression string
	Inputs     []working.Input
	Steps      []Step
	Assumed    []string
	Notes      []string
	Balance    Account
	// Status is that of the weakest number the rate rests on.
	Status cite.Status
	// Filled are the inputs with the book's defaults put in.
	Filled Inputs
}

// Step is a number on the way to the rate.
type Step struct {
	Key    string // as worked examples name it
	Label  string
	Amount working.Amount
}

// Account is a rate taken apart, so that two ways of finding it can be compared:
// rate = PerYield × Yield − the supplies, never below 0.
type Account struct {
	Known bool
	// PerYield is the nitrogen the way counts for each kg of yield, and Yield the yield it counts it for.
	PerYield unit.NitrogenPerYield
	Yield    unit.Yield
	Supplies []Supply
}

// Supply is something that makes up for nitrogen: positive when it lowers the rate.
type Supply struct {
	What    What
	Label   string
	Amount  unit.Rate
	Assumed bool
}

// Rate works the rate out and nothing else. It returns false where the book gives none. The book's
// defaults are put into the inputs where something is missing.
func (b *Book) Rate(in *Inputs) (unit.Rate, bool) {
	f := b.form()
	f.fill(b, in)
	if in.unusable() != "" || f.refuse(b, in) != "" {
		return 0, false
	}
	return f.rate(b, in), true
}

// Work works the rate out and explains it.
func (b *Book) Work(in Inputs) Worked {
	f := b.form()
	f.fill(b, &in)
	w := Worked{Expression: b.expression, Notes: b.Notes[:len(b.Notes):len(b.Notes)], Filled: in}
	if w.Why = in.unusable(); w.Why == "" {
		w.Why = f.refuse(b, &in)
	}
	if w.Why != "" {
		return w
	}
	w.Rate = f.rate(b, &in)
	w.Assumed = append(w.Assumed, in.doubts...)
	f.explain(b, &in, &w)
	for _, r := range b.Ranges {
		if v, ok := in.number(b, r.Input); ok && (v < r.Low || v > r.High) {
			w.Notes = append(w.Notes, r.Note)
		}
	}
	return w
}

// unusable names an input that is known and yet no number to reckon with: below zero, not finite, or beyond
// anything a field can hold.
func (in *Inputs) unusable() string {
	switch {
	case !sound(in.YieldGoal):
		return unusable("yield goal")
	case !sound(in.Nitrate), !sound(in.NitrateMean):
		return unusable("soil nitrate")
	case !sound(in.Ammonium):
		return unusable("soil ammonium")
	case !sound(in.OrganicMatter), in.OrganicMatter.Value > 1:
		return unusable("organic matter")
	case !sound(in.Stubble):
		return unusable("amount of stubble")
	case !sound(in.Gain):
		return unusable("live weight gained")
	case !sound(in.Applied), !(in.AppliedInFall >= 0 && in.AppliedInFall <= in.Applied.Value):
		return unusable("nitrogen already applied")
	case !sound(in.GrainPrice):
		return unusable("grain price")
	case !sound(in.NitrogenPrice):
		return unusable("nitrogen price")
	case !sound(in.Response):
		return unusable("response index")
	case !sound(in.Reading), in.Reading.Value > 1:
		return "needs a reading from 0 to 1, and the one given is not"
	case !sound(in.GrowingDays):
		return unusable("number of growing days")
	case !sound(in.MaximumYield):
		return unusable("highest yield")
	case !sound(in.Efficiency), in.Efficiency.Value > 1, in.Efficiency.Known() && in.Efficiency.Value == 0:
		return "needs an efficiency above 0 and up to 1"
	case !sound(in.FreshMass):
		return unusable("fresh mass")
	}
	return ""
}

func unusable(what string) string { return "the " + what + " given is not a number a field can have" }

func sound[T unit.Quantity](f working.Fact[T]) bool {
	const beyondAnyField = 1e7
	return !f.Known() || f.Value >= 0 && float64(f.Value) < beyondAnyField && !math.IsNaN(float64(f.Value))
}

// number reads an input in the book's units, for its ranges.
func (in *Inputs) number(b *Book, w What) (float64, bool) {
	switch w {
	case YieldGoal:
		return float64(in.YieldGoal.Value / b.Units.Yield.yield()), in.YieldGoal.Known()
	case Nitrate:
		return float64(in.Nitrate.Value / b.Units.Rate.rate()), in.Nitrate.Known()
	case OrganicMatter:
		return float64(in.OrganicMatter.Value / unit.Percent), in.OrganicMatter.Known()
	case GrowingDays:
		return float64(in.GrowingDays.Value), in.GrowingDays.Known()
	case Reading:
		return float64(in.Reading.Value), in.Reading.Known()
	case FreshMass:
		return float64(in.FreshMass.Value / unit.KilogramOfMatterPerSquareMetre), in.FreshMass.Known()
	default:
		return 0, false
	}
}

// input notes a fact that went in, and that it was assumed if it was.
func input[T unit.Quantity](w *Worked, label string, f working.Fact[T]) {
	inputAs(w, label, f, f.Value.Kind())
}

// inputAs notes a fact under a kind that shows it better.
func inputAs[T unit.Quantity](w *Worked, label string, f working.Fact[T], k unit.Kind) {
	w.Inputs = append(w.Inputs, working.Input{Label: label, Amount: f.Amount().As(k), Origin: f.Origin})
	if isAssumed(f) {
		w.assume(label, f.Origin.Why)
	}
}

func isAssumed[T unit.Quantity](f working.Fact[T]) bool { return f.Origin.Kind == working.Assumed }

func (w *Worked) assume(label, why string) {
	w.Assumed = append(w.Assumed, label+": "+why)
}

// number notes a number of the book that went in, and that the answer rests on it.
func number[T unit.Quantity](w *Worked, b *Book, label string, value T, c Coefficient) {
	numberAs(w, b, label, value, c, value.Kind())
}

func numberAs[T unit.Quantity](w *Worked, b *Book, label string, value T, c Coefficient, k unit.Kind) {
	w.Inputs = append(w.Inputs, working.Input{Label: label, Amount: working.Of(value).As(k), Origin: working.Origin{Kind: working.Rulebook, Source: b.sourceOf(c)}})
	w.rests(c.Status)
}

// rests lowers the standing of the answer to that of a number it rests on.
func (w *Worked) rests(s cite.Status) { w.Status = weaker(w.Status, s) }

// step notes a number on the way.
func (w *Worked) step(key, label string, a working.Amount) {
	w.Steps = append(w.Steps, Step{key, label, a})
	w.Inputs = append(w.Inputs, working.Input{Label: label, Amount: a, Origin: working.Origin{Kind: working.Computed}})
}
