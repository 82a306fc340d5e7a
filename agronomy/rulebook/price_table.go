package rulebook

import (
	"strings"

	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// PriceTable gives the rate for a soil nitrate, a grain price and a nitrogen price. Between printed cells
// it is interpolated on a straight line in each of the three; beyond the printed edges it gives no answer.
// A printed 0 may stand for any need that does not pay, so a value between a 0 and its neighbour is, if
// anything, high.
type PriceTable struct {
	Soil `yaml:",inline"`
	// NitrateMean is ppm over the book's depth, GrainPrices per bushel or other unit of yield, NitrogenPrices
	// per lb or kg; each ascends.
	NitrateMean    []float64 `yaml:"nitrateMean"`
	GrainPrices    []float64 `yaml:"grainPrices"`
	NitrogenPrices []float64 `yaml:"nitrogenPrices"`
	// Rows have one entry for each nitrate level, in it one for each grain price, in it one cell for each
	// nitrogen price. A nil cell is one that no stored copy of the table shows.
	Rows   [][][]*float64 `yaml:"rows"`
	Cells  Coefficient    `yaml:"cells"` // standing of the cells; its value is not used
	NoTest []NoTest       `yaml:"noTest"`
}

// NoTest is the nitrate that a table takes without a soil test, by previous crop; "other" is any that is
// noted and not named.
type NoTest struct {
	After string      `yaml:"after"`
	PPM   Coefficient `yaml:"ppm"`
}

func (f *PriceTable) family(*Book) string { return FamilyPriceTable }

func (f *PriceTable) uses() Uses { return Uses{NitrateMean, GrainPrice, NitrogenPrice, Applied} }

func (f *PriceTable) fill(_ *Book, in *Inputs) {
	if in.NitrateMean.Known() || in.PreviousCrop == "" {
		return
	}
	for _, d := range f.NoTest {
		if strings.EqualFold(d.After, in.PreviousCrop) || d.After == "other" {
			in.NitrateMean = in.NitrateMean.Or(unit.Concentration(d.PPM.Value), "no soil test; the book's default after "+in.PreviousCrop)
			return
		}
	}
}

// place is where a value falls between two printed levels: the lower one's index and the share of the way
// to the next.
type place struct {
	index int
	share float64
}

// locate places a value on an ascending axis; false beyond its ends. A hair's breadth outside, as left by
// changing units, is on the end.
func locate(axis []float64, v float64) (place, bool) {
	const hair = 1e-9
	last := len(axis) - 1
	switch {
	case v < axis[0]*(1-hair) || v > axis[last]*(1+hair):
		return place{}, false
	case v >= axis[last]:
		return place{index: last - 1, share: 1}, true
	}
	i := 0
	for v >= axis[i+1] {
		i++
	}
	return place{index: i, share: max(0, (v-axis[i])/(axis[i+1]-axis[i]))}, true
}

// at interpolates; false outside the table and where a cell is needed that is not there.
func (f *PriceTable) at(nitrate, grain, nitrogen float64) (value float64, outside string) {
	n, ok := locate(f.NitrateMean, nitrate)
	if !ok {
		return 0, "the soil's nitrate lies outside the printed table"
	}
	g, ok := locate(f.GrainPrices, grain)
	if !ok {
		return 0, "the grain price lies outside the printed table"
	}
	p, ok := locate(f.NitrogenPrices, nitrogen)
	if !ok {
		return 0, "the nitrogen price lies outside the printed table"
	}
	for corner := range 8 {
		i, j, k := corner&1, corner>>1&1, corner>>2&1
		weight := n.weight(i) * g.weight(j) * p.weight(k)
		if weight == 0 {
			continue
		}
		cell := f.Rows[n.index+i][g.index+j][p.index+k]
		if cell == nil {
			return 0, "the table's cell for this nitrate and these prices could not be read in a copy of the publication"
		}
		value += weight * *cell
	}
	return value, ""
}

func (p place) weight(next int) float64 {
	if next == 1 {
		return p.share
	}
	return 1 - p.share
}

func (f *PriceTable) look(b *Book, in *Inputs) (float64, string) {
	return f.at(float64(in.NitrateMean.Value),
		float64(in.GrainPrice.Value/b.Units.Yield.perMass()), float64(in.NitrogenPrice.Value/b.Units.Rate.perMass()))
}

func (f *PriceTable) refuse(b *Book, in *Inputs) string {
	switch {
	case !in.NitrateMean.Known():
		return "needs a nitrate test of the soil, or the previous crop to take its default"
	case !in.GrainPrice.Known():
		return "needs a grain price"
	case !in.NitrogenPrice.Known():
		return "needs a nitrogen price"
	}
	_, outside := f.look(b, in)
	return outside
}

func (f *PriceTable) rate(b *Book, in *Inputs) unit.Rate {
	printed, _ := f.look(b, in)
	return max(0, unit.Rate(printed)*b.Units.Rate.rate()-in.Applied.Value)
}

func (f *PriceTable) explain(b *Book, in *Inputs, w *Worked) {
	input(w, "mean "+f.label("nitrate"), in.NitrateMean)
	inputAs(w, "grain price", in.GrainPrice, in.Crop.PriceKind())
	inputAs(w, "nitrogen price", in.NitrogenPrice, unit.KindNutrientPrice)
	printed, _ := f.look(b, in)
	w.step("table", "rate in the table", working.Of(unit.Rate(printed)*b.Units.Rate.rate()))
	if in.Applied.Known() {
		input(w, "nitrogen already applied", in.Applied)
	}
	w.rests(f.Cells.Status)
}

func (f *PriceTable) words(b *Book) string {
	return "table by soil nitrate, grain price and nitrogen price, on a straight line between printed cells − nitrogen already applied, not below 0; in " + string(b.Units.Rate)
}

func (f *PriceTable) check(c *checker, _ *Book) {
	c.soil(f.Soil, "priceTable", "depth")
	c.status(f.Cells.Status, "priceTable", "cells")
	good := c.axis(f.NitrateMean, "nitrateMean") && c.axis(f.GrainPrices, "grainPrices") && c.axis(f.NitrogenPrices, "nitrogenPrices")
	for _, d := range f.NoTest {
		c.coefficient(d.PPM, 0, 1000, "priceTable", "noTest")
	}
	if good && f.isFull(c) {
		f.checkSlopes(c)
	}
}

// isFull says that there is a cell for every level and pair of prices, each a rate.
func (f *PriceTable) isFull(c *checker) bool {
	full := len(f.Rows) == len(f.NitrateMean)
	for _, row := range f.Rows {
		full = full && len(row) == len(f.GrainPrices)
		for _, cells := range row {
			full = full && len(cells) == len(f.NitrogenPrices)
			for _, cell := range cells {
				full = full && (cell == nil || *cell >= 0 && *cell <= 1000)
			}
		}
	}
	if !full {
		c.problem("needs for each nitrate level one list for each grain price, with one rate from 0 to 1000 for each nitrogen price", "priceTable", "rows")
	}
	return full
}

// checkSlopes finds cells that cannot be: more soil nitrate or dearer nitrogen never calls for more, and
// dearer grain never for less.
func (f *PriceTable) checkSlopes(c *checker) {
	falls := func(more, less *float64) bool { return more == nil || less == nil || *more >= *less }
	for n, row := range f.Rows {
		for g, cells := range row {
			for p, cell := range cells {
				if n > 0 && !falls(f.Rows[n-1][g][p], cell) || p > 0 && !falls(cells[p-1], cell) || g > 0 && !falls(cell, row[g-1][p]) {
					c.problem("has a cell out of step with its neighbours for nitrate "+plain(f.NitrateMean[n])+", grain price "+plain(f.GrainPrices[g])+", nitrogen price "+plain(f.NitrogenPrices[p]), "priceTable", "rows")
				}
			}
		}
	}
}
