package quantity

import (
	"fmt"
	"math"
)

// Bushel is the mass of a bushel in pounds: 60 for wheat, 50 for canola. 0 where no crop is known; then bu
// converts to nothing but bu.
type Bushel float64

// The bushels of the two crops.
const (
	WheatBushel  Bushel = 60
	CanolaBushel Bushel = 50
)

// Conversion turns a number in one unit into a number in another: to = from*Factor + Offset. The offset is 0
// except between the plain temperatures C and F.
type Conversion struct{ Factor, Offset float64 }

// Of converts a number.
func (c Conversion) Of(v float64) float64 { return v*c.Factor + c.Offset }

// Between finds the conversion for a value that comes from outside a book, such as 4 t/ha for a yield goal in
// bu/ac or 40 lb/ac for nitrate in lb N/ac. Units of the same dimension convert: kg/ha and lb/ac, mg/kg and
// ppm, % and 1. Where from names no substance it takes that of to; two different substances are an error,
// also P and P2O5, and the message tells how much the one is of the other. Also errors: where a depth and a mass of soil would be needed (ppm and
// lb/ac), or the crop (bu where the bushel is 0).
func Between(from, to Unit, b Bushel) (Conversion, error) {
	if from == to {
		return Conversion{Factor: 1}, nil
	}
	f, t := dimensionOf(from, b), dimensionOf(to, b)
	if f.of == (dimension{}).of {
		f.of = t.of
	}
	if f != t {
		return Conversion{}, cannot(from, to, f, t)
	}
	if c, ok := temperatures(from, to); ok {
		return c, nil
	}
	return Conversion{Factor: sizeOf(from, b) / sizeOf(to, b)}, nil
}

// temperatures are points on a scale where the unit is nothing but C or F; everywhere else a degree is a
// difference.
func temperatures(from, to Unit) (Conversion, bool) {
	switch {
	case from.text == "F" && to.text == "C":
		return Conversion{Factor: 1 / 1.8, Offset: -32 / 1.8}, true
	case from.text == "C" && to.text == "F":
		return Conversion{Factor: 1.8, Offset: 32}, true
	}
	return Conversion{}, false
}

func cannot(from, to Unit, f, t dimension) error {
	switch {
	case f.base == t.base:
		return fmt.Errorf("expected %s, found %s: the substances differ; %sgive the value in %s", to, from, aboutSubstances(f, t), to)
	case isShare(from) && isPerArea(to), isPerArea(from) && isShare(to):
		return fmt.Errorf("expected %s, found %s: one is a share of the soil and the other a mass on an area; it takes the depth of the sample and a mass of soil to get from one to the other", to, from)
	case f.base[bushel] != t.base[bushel]:
		return fmt.Errorf("expected %s, found %s: a bushel is a mass only where the crop is known", to, from)
	}
	return fmt.Errorf("expected %s or a unit that converts into it, found %s", to, from)
}

// dimensionOf multiplies out what the symbols measure.
func dimensionOf(u Unit, b Bushel) dimension {
	var d dimension
	for _, f := range u.factors() {
		s, _ := symbolOf(f.symbol)
		switch {
		case s.what == bushel && b > 0:
			d.base[mass] += f.power
		case s.what != nothing:
			d.base[s.what] += s.power * f.power
		}
		if f.substance != "" {
			d.of[substanceIndex(f.substance)] += f.power
		}
	}
	return d
}

// sizeOf is the size of the unit in kg, m, mol of charge and degrees C.
func sizeOf(u Unit, b Bushel) float64 {
	size := 1.0
	for _, f := range u.factors() {
		s, _ := symbolOf(f.symbol)
		if s.what == bushel && b > 0 {
			s.factor = float64(b) * kilogramsPerPound
		}
		size *= math.Pow(s.factor, float64(f.power))
	}
	return size
}

// isShare says that nothing but a part of something is measured, whatever the substance.
func isShare(u Unit) bool { return dimensionOf(u, 0).base == dimension{}.base && !u.IsPlain() }

// isPerArea says that a mass lies on an area.
func isPerArea(u Unit) bool {
	want := dimension{}.base
	want[mass], want[length] = 1, -2
	return dimensionOf(u, 0).base == want
}
