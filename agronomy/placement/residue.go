package placement

import (
	"fmt"

	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// residue is the cover as seen, or as the tillage lets one expect.
func (q Question) residue() working.Fact[unit.Fraction] {
	cover, why := AssumedResidue(q.Tillage)
	if q.Green.Known() && q.Green.Value > 0 {
		cover *= 1 - q.Green.Value
		why += fmt.Sprintf(", of which %.0f %% of leaf hides its share", 100*float64(q.Green.Value))
	}
	return q.Residue.Or(cover, why)
}

// AssumedResidue is the cover that a tillage lets one expect in early spring, with the assumption in words.
// Common practice, no source; the fields of one neighbourhood differ more than these three numbers do.
func AssumedResidue(t season.Tillage) (unit.Fraction, string) {
	switch t {
	case season.NoTill:
		return 0.50, "no-till, taken as 50 % cover (common practice, no source)"
	case season.Reduced:
		return 0.30, "reduced tillage, taken as 30 % cover (common practice, no source)"
	case season.Tilled:
		return 0.10, "tilled, taken as 10 % cover (common practice, no source)"
	default:
		return 0.30, "tillage not known, taken as 30 % cover (common practice, no source)"
	}
}
