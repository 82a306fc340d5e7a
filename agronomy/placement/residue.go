package placement

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// residue is the cover as seen, or as the tillage lets one expect.
func (q Question) residue() working.Fact[unit.Fraction] {
	cover, why := AssumedResidue(q.Tillage)
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

// AreaPerMass is ground covered by a mass of residue, ha/kg. Tables print cm2/g, 1e-5 of it.
type AreaPerMass float64

// squareCentimetrePerGram is the unit of the tables.
const squareCentimetrePerGram AreaPerMass = 1e-5

// mostResidue is above any crop's; it also stands for ground that is wholly covered, where the mass cannot
// be told from the cover.
const mostResidue = 30000 * unit.KilogramOfMatterPerHectare

// CoverCoefficient is Gregory's coefficient of a crop's residue [cite.Gregory1982], as a public residue
// table has it. Wheat stands at 45 cm2/g there and at 54 in erosion tables (from memory); canola is in
// neither, and it and other crops get the table's generic 37.
func CoverCoefficient(crop string) AreaPerMass {
	switch crop {
	case "wheat":
		return 45 * squareCentimetrePerGram
	case "rye":
		return 42 * squareCentimetrePerGram
	case "barley":
		return 40 * squareCentimetrePerGram
	case "corn", "sorghum":
		return 30 * squareCentimetrePerGram
	case "soybean", "pea":
		return 32 * squareCentimetrePerGram
	default:
		return 37 * squareCentimetrePerGram
	}
}

// CoverFromMass is the share of ground that a mass of dry residue covers: 1 - exp(-A M) [cite.Gregory1982].
func CoverFromMass(mass unit.Biomass, a AreaPerMass) unit.Fraction {
	return unit.Fraction(-math.Expm1(-float64(a) * float64(mass)))
}

// MassFromCover is the other way round; ground wholly covered gives no more than 30 t/ha.
func MassFromCover(cover unit.Fraction, a AreaPerMass) unit.Biomass {
	return min(mostResidue, unit.Biomass(-math.Log1p(-float64(cover))/float64(a)))
}

// Transect is one line over the ground with its marks, and the marks that lie over residue
// [cite.MissouriG1570]: 100 marks on a tape at 45 degrees to the rows.
type Transect struct {
	Hits, Marks int
}

// Count is a residue cover with its standard error, in shares of ground.
type Count struct {
	Cover, StandardError unit.Fraction
	Lines                int
}

// CountResidue pools lines of one field. With two lines or more the standard error comes from how the lines
// differ, s/√m, because marks on one line are not independent; a single line can only be taken as so many
// random points, √(p(1-p)/n), which flatters it.
func CountResidue(lines []Transect) (Count, error) {
	if len(lines) == 0 {
		return Count{}, fmt.Errorf("placement: no residue lines; expected at least one")
	}
	var sum float64
	for i, l := range lines {
		if l.Marks <= 0 || l.Hits < 0 || l.Hits > l.Marks {
			return Count{}, fmt.Errorf("placement: residue line %d has %d hits on %d marks; expected 0 to all of at least one mark", i+1, l.Hits, l.Marks)
		}
		sum += l.cover()
	}
	m := float64(len(lines))
	mean := sum / m
	c := Count{Cover: unit.Fraction(mean), Lines: len(lines)}
	if len(lines) == 1 {
		c.StandardError = PointError(c.Cover, lines[0].Marks)
		return c, nil
	}
	var squares float64
	for _, l := range lines {
		squares += (l.cover() - mean) * (l.cover() - mean)
	}
	c.StandardError = unit.Fraction(math.Sqrt(squares / (m - 1) / m))
	return c, nil
}

func (l Transect) cover() float64 { return float64(l.Hits) / float64(l.Marks) }

// PointError is the standard error of a cover counted on so many random points.
func PointError(cover unit.Fraction, points int) unit.Fraction {
	p := float64(cover)
	return unit.Fraction(math.Sqrt(p * (1 - p) / float64(points)))
}
