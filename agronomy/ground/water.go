package ground

import (
	"math"

	"culm/agronomy/unit"
)

// Water is the water of a field's soil, mm. The layers lie in one another: the top layer dries by evaporation and
// is the top of the root zone, which the crop draws from.
//
//	               rain + melt
//	                    |        runoff
//	 ___________________v_________-->___   surface
//	|  top layer, 10 cm: Dried          |   <- evaporation
//	|___________________________________|
//	|  root zone: Depleted              |   <- transpiration
//	|___________________________________|
//	                    v  drainage, once the root zone is full
//
// The bookkeeping is FAO-56's, Chapters 7 and 8 [cite.FAO56].
type Water struct {
	// Depleted is what the root zone lacks to field capacity (Dr), from 0 to all that is available (TAW).
	Depleted unit.Water
	// Dried is what the top layer has lost to evaporation (De), from 0 at field capacity to TotalEvaporable.
	Dried unit.Water
	// Passing is water above field capacity on its way through the top layer: the day's, and what is left of the
	// days' before. FAO-56 lets it pass in a moment; we keep it for telling whether the top layer is saturated. It
	// is counted among Depleted or drainage already.
	Passing unit.Water
}

// Inflow is what a day brings and asks for.
type Inflow struct {
	Liquid    unit.Water // rain and melt that reach the ground
	Reference unit.Water // reference evapotranspiration
	Basal     float64    // basal crop coefficient
	Initial   float64    // that of bare ground, below which cover counts as none
	Height    unit.Length
	Covered   bool // by snow: nothing evaporates from the soil
	Frozen    bool // water is neither drawn nor passes, and evaporates up to OnFrozen
	// OnFrozen is the crop coefficient of frozen ground, which bounds evaporation from it.
	OnFrozen float64
}

// Flow is where a day's water went, mm. In equals Runoff, Evaporated, Transpired, Drained and Stored together.
type Flow struct {
	In, Runoff, Evaporated, Transpired, Drained unit.Water
	Stored                                      unit.Water // gained by the root zone; negative when it lost
}

// Bucket is a soil with roots in it and a curve number: what a field's Water moves in.
type Bucket struct {
	Soil  Soil
	Roots unit.Length
	// Depletion is the crop's share of available water drawn without stress at 5 mm a day.
	Depletion float64
	Curve     CurveNumber
}

// Available is the water between field capacity and wilting point in the root zone (TAW, Eq. 82).
func (b Bucket) Available() unit.Water { return b.Soil.Available(b.Roots) }

// Readily is the part of it that the crop draws without stress (RAW, Eq. 83) when it would use so much a day: the
// share rises by 0.04 for each mm below 5, between 0.1 and 0.8 (Table 22).
func (b Bucket) Readily(use unit.Water) unit.Water {
	return unit.Water(max(0.1, min(0.8, b.Depletion+0.04*(5-float64(use))))) * b.Available()
}

// Stress is how much of its use the crop still gets (Ks, Eq. 84), from 1 down to 0.
func Stress(depleted, readily, available unit.Water) float64 {
	return max(0, min(1, float64((available-depleted)/(available-readily))))
}

// Drying is how much of what the air would take the top layer still gives off (Kr, Eq. 74), from 1 down to 0.
func Drying(dried, readily, total unit.Water) float64 {
	return max(0, min(1, float64((total-dried)/(total-readily))))
}

// Next is the water after a day, and where the day's water went.
func (b Bucket) Next(w Water, in Inflow) (Water, Flow) {
	f := Flow{In: in.Liquid}
	curve := b.Curve.On(w.Dried, b.Soil.ReadilyEvaporable, b.Soil.TotalEvaporable())
	if in.Frozen {
		curve = b.Curve.Frozen(curve)
	}
	f.Runoff = Runoff(in.Liquid, curve.retention())
	soaks := in.Liquid - f.Runoff
	f.Evaporated, f.Transpired = b.use(w, in, soaks)

	f.Drained = max(0, soaks-f.Evaporated-f.Transpired-w.Depleted) // Eq. 88
	f.Stored = soaks - f.Evaporated - f.Transpired - f.Drained     // Eq. 85
	return b.after(w, in, soaks, f), f
}

// use is what evaporates and what the crop draws: the basal part cut by stress, and evaporation from the ground
// that neither crop nor dryness keeps back (Eqs. 69, 71, 72, 74, 75, 76, 80), both together never more than the
// root zone holds.
func (b Bucket) use(w Water, in Inflow, soaks unit.Water) (evaporated, transpired unit.Water) {
	if in.Covered {
		return 0, 0
	}
	const calm = 1.2 // Kc max at 2 m/s and 45 % humidity
	most := max(calm, in.Basal+0.05)
	bare := b.bare(in, most)
	dried := max(0, w.Dried-soaks) // rain comes early in the day (p. 156, from memory)
	coefficient := min(Drying(dried, b.Soil.ReadilyEvaporable, b.Soil.TotalEvaporable())*(most-in.Basal), bare*most)
	if in.Frozen {
		coefficient = min(coefficient, in.OnFrozen)
	}
	evaporated = min(unit.Water(coefficient)*in.Reference, unit.Water(bare)*(b.Soil.TotalEvaporable()-dried))
	if in.Frozen {
		return min(evaporated, b.Available()-w.Depleted+soaks), 0
	}
	readily := b.Readily(unit.Water(coefficient+in.Basal) * in.Reference)
	transpired = unit.Water(Stress(w.Depleted, readily, b.Available())*in.Basal) * in.Reference
	holds := b.Available() - w.Depleted + soaks
	if used := evaporated + transpired; used > holds {
		evaporated, transpired = evaporated*holds/used, transpired*holds/used
	}
	return evaporated, transpired
}

// bare is the share of ground that is exposed (Eqs. 75 and 76): all of it until the crop grows past its first stage.
func (b Bucket) bare(in Inflow, most float64) float64 {
	cover := math.Pow(max(0, in.Basal-in.Initial)/(most-in.Initial), 1+0.5*float64(in.Height))
	return max(0.01, min(1, 1-cover))
}

// after books the day (Eqs. 77, 78, 79, 85 and 86).
func (b Bucket) after(w Water, in Inflow, soaks unit.Water, f Flow) Water {
	through := max(0, soaks-w.Dried)
	most := max(1.2, in.Basal+0.05)
	next := Water{
		Depleted: max(0, min(b.Available(), w.Depleted-f.Stored)),
		Dried:    max(0, min(b.Soil.TotalEvaporable(), w.Dried-soaks+through+f.Evaporated/unit.Water(b.bare(in, most)))),
		Passing:  w.Passing,
	}
	if !in.Frozen {
		next.Passing *= 1 - unit.Water(b.Soil.Drains)
	}
	next.Passing = min(b.Soil.aboveCapacity(), next.Passing+through)
	return next
}

// OfCapacity is the water of the top layer as a share of what it holds at field capacity: above 1 while water passes.
func (w Water) OfCapacity(s Soil) unit.Fraction {
	capacity := 1000 * float64(s.FieldCapacity) * float64(TopLayer)
	return unit.Fraction((capacity - float64(w.Dried) + float64(w.Passing)) / capacity)
}

// OfPores is the share of the top layer's pores that is full of water.
func (w Water) OfPores(s Soil) unit.Fraction {
	pores := 1000 * float64(s.Pores) * float64(TopLayer)
	return w.OfCapacity(s) * unit.Fraction(1000*float64(s.FieldCapacity)*float64(TopLayer)/pores)
}

// Evaporable is the share of its evaporable water that the top layer still has: 1 at field capacity, 0 air-dry.
func (w Water) Evaporable(s Soil) unit.Fraction {
	return unit.Fraction(1 - w.Dried/s.TotalEvaporable())
}
