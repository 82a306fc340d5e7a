package cover

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
)

// Combined is the cover of a field from several photos.
type Combined struct {
	Cover  Cover `json:"cover"`
	Photos int   `json:"photos"`
	// Between is the standard error of the mean from how the photos differ; all 0 for a single photo, which
	// says nothing about the rest of the field.
	Between struct {
		Green   unit.Fraction `json:"green"`
		Residue unit.Fraction `json:"residue"`
		Soil    unit.Fraction `json:"soil"`
	} `json:"between"`
}

// Combine takes the mean of photos, each of which counts the same. Two things make the mean unsure, and their
// squares add up: how the photos differ, as Student's 95 % interval with one degree of freedom less than
// photos, and how far the rules may be off in all of them alike, as the mean of their ranges. It fails
// without photos.
func Combine(photos []Cover) (Combined, error) {
	if len(photos) == 0 {
		return Combined{}, fmt.Errorf("cover: no photo to combine; expected at least one that is fit")
	}
	c := Combined{Photos: len(photos)}
	c.Cover.Green, c.Between.Green = combine(photos, func(p Cover) Range { return p.Green })
	c.Cover.Residue, c.Between.Residue = combine(photos, func(p Cover) Range { return p.Residue })
	c.Cover.Soil, c.Between.Soil = combine(photos, func(p Cover) Range { return p.Soil })
	for _, p := range photos {
		c.Cover.Unseen += p.Unseen / unit.Fraction(len(photos))
	}
	return c, nil
}

func combine(photos []Cover, of func(Cover) Range) (Range, unit.Fraction) {
	values := make([]float64, len(photos))
	var mean, low, high float64
	for i, p := range photos {
		r := of(p)
		values[i] = float64(r.Value)
		mean += float64(r.Value) / float64(len(photos))
		low += float64(r.Low) / float64(len(photos))
		high += float64(r.High) / float64(len(photos))
	}
	var standardError, half float64
	if len(photos) > 1 {
		standardError, half = studentHalf(values)
	}
	return Range{unit.Fraction(mean), share(mean - math.Hypot(mean-low, half)), share(mean + math.Hypot(high-mean, half))}, unit.Fraction(standardError)
}
