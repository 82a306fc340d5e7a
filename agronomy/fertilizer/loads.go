package fertilizer

import (
	"fmt"
	"math"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// Loads is how a field is filled from a tank or a hopper. T is a volume or a mass.
type Loads[T unit.Quantity] struct {
	Total T
	// Count is the fills, Full of them to the top; Last is what the one that is not full takes, zero when all are.
	Count, Full int
	Last        T
	// Even is each load when all are made the same size.
	Even T
	// Covers is the area of one full load.
	Covers unit.Area
}

// mostLoads bounds a plan: more fills than this is a tank in the wrong unit.
const mostLoads = 10_000

// LoadsOf divides a total over a field by a capacity. It fails where the area or the capacity is not above zero, and
// for a capacity so small that it must be in another unit.
func LoadsOf[T unit.Quantity](total, capacity T, area unit.Area) (Loads[T], error) {
	switch {
	case !(total > 0) || math.IsInf(float64(total), 0):
		return Loads[T]{}, fmt.Errorf("the field takes %.4g in all; expected more than nothing", float64(total))
	case !(capacity > 0) || math.IsInf(float64(capacity), 0):
		return Loads[T]{}, fmt.Errorf("the tank or hopper holds %.4g; expected more than nothing", float64(capacity))
	case !(area > 0) || math.IsInf(float64(area), 0):
		return Loads[T]{}, fmt.Errorf("the field measures %.4g ha; expected more than nothing", float64(area))
	case float64(total/capacity) > mostLoads:
		return Loads[T]{}, fmt.Errorf("it would take %.0f loads of %s; is the tank or hopper in another unit?", float64(total/capacity),
			unit.Show(capacity.Kind(), float64(capacity), unit.US))
	}
	const slack = 1e-9 // of a load: a last load of nothing is none
	loads := float64(total / capacity)
	l := Loads[T]{Total: total, Full: int(math.Floor(loads + slack)), Covers: area * unit.Area(capacity/total)}
	l.Count = l.Full
	if rest := loads - float64(l.Full); rest > slack {
		l.Count++
		l.Last = total - T(l.Full)*capacity
	}
	l.Even = total / T(l.Count)
	return l, nil
}

// Left is what stays over when the product is bought in whole units, such as a delivery or a tote of so much; bought
// is what is bought.
func Left[T unit.Quantity](total, whole T) (bought, left T, err error) {
	if !(whole > 0) || !(total >= 0) || math.IsInf(float64(total), 0) || math.IsInf(float64(whole), 0) {
		return 0, 0, fmt.Errorf("%.4g is bought in units of %.4g; expected amounts above zero", float64(total), float64(whole))
	}
	bought = T(math.Ceil(float64(total/whole)-1e-9)) * whole
	return bought, max(0, bought-total), nil
}

// OnField is a liquid's volume, or a dry product's mass, for a rate of N over an area. The volume is false for a dry
// product; its mass is told for both.
func (p Product) OnField(n unit.Rate, area unit.Area) (unit.Mass, unit.Volume, bool) {
	mass := unit.Mass(float64(p.ProductRate(n)) * float64(area))
	v, liquid := p.Volume(n)
	return mass, unit.Volume(float64(v) * float64(area)), liquid
}

// nearSaltOut is how far above the printed temperature a tank is warned of already. Common practice, no source: a tank
// radiates to a clear sky and sits colder than the air.
const nearSaltOut = unit.Temperature(5)

// Storage warns of a liquid that stands while nights get so cold: it salts out, or nearly does, or it is not known
// whether it would. Nothing is said, and false, of a dry product or of a night that is warm enough.
func (p Product) Storage(coldest unit.Temperature) (Caution, bool) {
	const key = "storage"
	night := fmt.Sprintf("a night of %.0f °F (%.0f °C)", coldest.Fahrenheit(), float64(coldest))
	salts := fmt.Sprintf("%.0f °F (%.0f °C)", p.SaltOut.Value.Fahrenheit(), float64(p.SaltOut.Value))
	switch {
	case p.Form != Liquid:
		return Caution{}, false
	case !p.SaltOut.Known() && coldest < 0:
		return Caution{key, p.Name + ": at what temperature it salts out is not known; do not let it stand over " + night + ".", cite.Practice, cite.CommonPractice}, true
	case !p.SaltOut.Known():
		return Caution{}, false
	case coldest < p.SaltOut.Value:
		return Caution{key, p.Name + " drops crystals below " + salts + ": do not store it over " + night + "; empty tank, pump and boom, or keep it moving and warm.", p.SaltOut.Source, p.SaltOut.Status}, true
	case coldest < p.SaltOut.Value+nearSaltOut:
		return Caution{key, p.Name + " drops crystals below " + salts + ", and " + night + " comes near: look into the tank before starting.", p.SaltOut.Source, p.SaltOut.Status}, true
	default:
		return Caution{}, false
	}
}
