package quantity

import (
	"fmt"
	"strconv"
)

// Mul is the unit of a product. It fails only where a power passes 9 or there are more than 8 symbols, which
// no book needs; the same goes for Div, Pow and Root.
func (u Unit) Mul(v Unit) (Unit, error) {
	switch { // the common cases, without taking apart
	case v.IsPlain():
		return u, nil
	case u.IsPlain():
		return v, nil
	}
	return of(append(u.factors(), v.factors()...))
}

// Div is the unit of a quotient; it is also the unit of the constant that turns v into u.
func (u Unit) Div(v Unit) (Unit, error) {
	inverse, err := v.Pow(-1)
	if err != nil {
		return Unit{}, err
	}
	return u.Mul(inverse)
}

// Pow is the unit of a whole power, which may be negative or 0.
func (u Unit) Pow(n int) (Unit, error) {
	if n < -maxPower || n > maxPower {
		if u.IsPlain() {
			return u, nil
		}
		return Unit{}, fmt.Errorf("%s to the power %d; powers go from -%d to %d", u, n, maxPower, maxPower)
	}
	factors := u.factors()
	for i := range factors {
		factors[i].power *= n
	}
	return of(factors)
}

// Root is the unit of a square root; it fails where a power is odd.
func (u Unit) Root() (Unit, error) {
	factors := gather(u.factors()) // 100 cm3 twice is one factor squared
	for i := range factors {
		if factors[i].power%2 != 0 {
			return Unit{}, fmt.Errorf("the square root of %s has no unit", u)
		}
		factors[i].power /= 2
	}
	return of(factors)
}

// Hint tells a person what to do about two units that should be one: "P and P2O5 are not the same: 1 lb P is
// 2.2914 lb P2O5; multiply by a constant of unit lb P2O5/lb P". It is the second half of a message that named
// both units.
func Hint(found, expected Unit) string {
	ratio, err := expected.Div(found)
	if err != nil {
		return "they measure different things"
	}
	turn := fmt.Sprintf("a constant of unit %s turns %s into %s", ratio, found, expected)
	f, e := dimensionOf(found, 0), dimensionOf(expected, 0)
	switch {
	case f == e:
		c := Conversion{Factor: sizeOf(found, 0) / sizeOf(expected, 0)}
		return fmt.Sprintf("they are not converted in silence: %s, and 1 %s is %s %s", turn, found, digits(c.Factor), expected)
	case f.base == e.base:
		return "the substances differ: " + aboutSubstances(f, e) + turn
	case isShare(found) && isPerArea(expected), isPerArea(found) && isShare(expected):
		return "one is a share of the soil and the other a mass on an area, which takes a depth and a mass of soil: " + turn
	}
	return turn
}

// aboutSubstances says what an element weighs as its oxide, where that is the difference.
func aboutSubstances(f, e dimension) string {
	names := substances()
	from, to := -1, -1
	for i := range f.of {
		switch d := e.of[i] - f.of[i]; {
		case d > 0 && to < 0:
			to = i
		case d < 0 && from < 0:
			from = i
		}
	}
	if from >= 0 && to >= 0 {
		if ratio, ok := between(names[from], names[to]); ok {
			return "1 lb " + names[from] + " is " + digits(ratio) + " lb " + names[to] + "; "
		}
	}
	return ""
}

// digits writes a factor to five figures.
func digits(v float64) string { return strconv.FormatFloat(v, 'g', 5, 64) }
