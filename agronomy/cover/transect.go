package cover

import (
	"fmt"
	"math"

	"culm/agronomy/unit"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// confidence is that of every interval from a sample here.
const confidence = 0.95

// Transect is one line over the ground with its marks, and the marks that lie over residue
// [cite.MissouriG1570]: 100 marks on a tape at 45 degrees to the rows, each looked at straight from above
// and along the same edge.
type Transect struct {
	Hits, Marks int
}

// Count is a residue cover with its standard error and 95 % interval, in shares of ground.
type Count struct {
	Cover, StandardError unit.Fraction
	Low, High            unit.Fraction
	Lines, Marks         int
	// PointError is what the standard error would be if all marks were random points; real lines differ more.
	PointError unit.Fraction
}

// CountResidue puts the lines of one field together; every line counts the same. With two lines or more the
// standard error comes from how the lines differ, s/√m, because marks on one line are not independent, and
// the interval is Student's with m-1 degrees of freedom. A single line can only be taken as so many random
// points, √(p(1-p)/n), which flatters it; its interval is Wilson's, which stays within 0 to 1.
func CountResidue(lines []Transect) (Count, error) {
	if len(lines) == 0 {
		return Count{}, fmt.Errorf("cover: no residue lines; expected at least one")
	}
	shares := make([]float64, len(lines))
	var marks int
	for i, l := range lines {
		if l.Marks <= 0 || l.Hits < 0 || l.Hits > l.Marks {
			return Count{}, fmt.Errorf("cover: residue line %d has %d hits on %d marks; expected 0 to all of at least one mark", i+1, l.Hits, l.Marks)
		}
		shares[i] = float64(l.Hits) / float64(l.Marks)
		marks += l.Marks
	}
	mean := stat.Mean(shares, nil)
	c := Count{Cover: unit.Fraction(mean), Lines: len(lines), Marks: marks}
	c.PointError = PointError(c.Cover, marks)
	if len(lines) == 1 {
		c.StandardError = c.PointError
		c.Low, c.High = wilson(mean, marks)
		return c, nil
	}
	deviation, half := studentHalf(shares)
	c.StandardError = unit.Fraction(deviation)
	c.Low, c.High = share(mean-half), share(mean+half)
	return c, nil
}

// PointError is the standard error of a cover counted on so many random points.
func PointError(cover unit.Fraction, points int) unit.Fraction {
	p := float64(cover)
	return unit.Fraction(math.Sqrt(p * (1 - p) / float64(points)))
}

// studentHalf gives the standard error of a mean, and half of its interval, from two values or more.
func studentHalf(values []float64) (standardError, half float64) {
	m := float64(len(values))
	standardError = stat.StdDev(values, nil) / math.Sqrt(m)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: m - 1}.Quantile((1 + confidence) / 2)
	return standardError, t * standardError
}

// wilson is the score interval of a share counted on n points.
func wilson(p float64, points int) (low, high unit.Fraction) {
	n := float64(points)
	z := distuv.UnitNormal.Quantile((1 + confidence) / 2)
	centre := (p + z*z/(2*n)) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	return share(centre - half), share(centre + half)
}

// share keeps a number within 0 to 1.
func share(x float64) unit.Fraction { return unit.Fraction(min(1, max(0, x))) }
