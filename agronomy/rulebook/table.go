package rulebook

import (
	"math"
	"strings"

	"culm/agronomy/rulebook/formula"
)

// Why a table is silent, as formulas pass it on.
const (
	noRow    uint8 = 1
	noCell   uint8 = 2
	unlisted uint8 = 3 // not a printed value
	beyond   uint8 = 10
	// beyond + 2×axis is below the axis, one more is above it.
)

// byWord looks a word up by its number.
func (t *Table) byWord(words *formula.Words) func(a, b, c float64) (float64, uint8) {
	row := map[float64]int{}
	last := 0.0
	for i, r := range t.Rows {
		for _, w := range r.Words {
			n := words.Number(w)
			row[n], last = i, max(last, n)
		}
	}
	values := make([]float64, int(last)+1)
	has := make([]bool, int(last)+1)
	for n, i := range row {
		values[int(n)], has[int(n)] = t.Rows[i].Value, true
	}
	return func(a, _, _ float64) (float64, uint8) {
		if a >= 0 && a < float64(len(values)) && has[int(a)] {
			return values[int(a)], 0
		}
		if t.Other != nil {
			return t.Other.Value, 0
		}
		return 0, noRow
	}
}

// rowOf finds the row for a word; nil for one that the table does not know.
func (t *Table) rowOf(word string) *WordRow {
	for i := range t.Rows {
		for _, w := range t.Rows[i].Words {
			if w == word {
				return &t.Rows[i]
			}
		}
	}
	return t.Other
}

// place is where a value falls between two printed levels: the lower one's index and the share of the way to
// the next.
type place struct {
	index int
	share float64
}

// hair is how far outside a level a value may lie and still be on it, as left by changing units.
const hair = 1e-9

// locate places a value on a rising axis; a code where it lies beyond the ends, or between printed values that
// alone count.
func (t *Table) locate(axis int, v float64) (place, uint8) {
	at := t.Axes[axis].At
	last := len(at) - 1
	slack := hair * max(1, math.Abs(at[0]), math.Abs(at[last]))
	switch {
	case v < at[0]-slack && !t.Hold:
		return place{}, beyond + 2*uint8(axis)
	case v > at[last]+slack && !t.Hold:
		return place{}, beyond + 2*uint8(axis) + 1
	case v <= at[0]:
		return place{}, 0
	case v >= at[last]:
		return place{index: last - 1, share: 1}, 0
	}
	i := 0
	for v >= at[i+1] {
		i++
	}
	p := place{index: i, share: (v - at[i]) / (at[i+1] - at[i])}
	onLower, onUpper := v-at[i] <= slack, at[i+1]-v <= slack
	switch {
	case onLower:
		p.share = 0
	case onUpper:
		p.share = 1
	case t.Between == PrintedOnly:
		return place{}, unlisted
	case t.Between == Nearest:
		p.share = math.Round(p.share)
	case t.Between == Below:
		p.share = 0
	case t.Between == Above:
		p.share = 1
	}
	return p, 0
}

func (p place) weight(next int) float64 {
	if next == 1 {
		return p.share
	}
	return 1 - p.share
}

// byNumber reads the table off. On a straight line in each of its axes, that is between the corners of the
// printed cell around the value. It is silent where a cell is needed that could not be read.
func (t *Table) byNumber() func(a, b, c float64) (float64, uint8) {
	return func(a, b, c float64) (float64, uint8) {
		values := [3]float64{a, b, c}
		var places [3]place
		for i := range t.Axes {
			p, silent := t.locate(i, values[i])
			if silent != 0 {
				return 0, silent
			}
			places[i] = p
		}
		total := 0.0
		for corner := range 1 << len(t.Axes) {
			weight, cell := 1.0, 0
			for i := range t.Axes {
				next := corner >> i & 1
				weight *= places[i].weight(next)
				cell = cell*len(t.Axes[i].At) + places[i].index + next
			}
			if weight == 0 {
				continue
			}
			if math.IsNaN(t.Cells[cell]) {
				return 0, noCell
			}
			total += weight * t.Cells[cell]
		}
		return total, 0
	}
}

// between says that a value is read on a straight line between printed ones.
func (t *Table) between(values [3]float64) bool {
	for i := range t.Axes {
		if p, silent := t.locate(i, values[i]); t.Between == StraightLine && silent == 0 && p.share > 0 && p.share < 1 {
			return true
		}
	}
	return false
}

// nearest finds the word of a table that one it does not know is most likely meant to be, one or two letters apart;
// empty for none.
func (t *Table) nearest(word string) string {
	best, least := "", min(3, len(word)/3+1)
	for _, row := range t.Rows {
		for _, w := range row.Words {
			if d := distance(word, w, least); d < least {
				best, least = w, d
			}
		}
	}
	return best
}

// silentWhy words a table's silence.
func (t *Table) silentWhy(code uint8, word string) string {
	switch {
	case code == noRow:
		if near := t.nearest(strings.ToLower(word)); near != "" {
			return "the book has no figure for " + word + " in its table of " + t.Label + "; is " + near + " meant?"
		}
		return "the book has no figure for " + word + " in its table of " + t.Label
	case code == noCell:
		return "the table's cell for these values could not be read in a copy of the publication"
	case code == unlisted:
		return "the table of " + t.Label + " holds for its printed values only"
	case code >= beyond && int(code-beyond)/2 < len(t.Axes):
		a := t.Axes[int(code-beyond)/2]
		side := "below"
		if code%2 == 1 {
			side = "above"
		}
		return "the " + a.Label + " lies outside the printed table, " + side + " " + withUnit(plain(edge(a, side)), a.Unit)
	default:
		return "the table of " + t.Label + " gives nothing"
	}
}

func edge(a Axis, side string) float64 {
	if side == "below" {
		return a.At[0]
	}
	return a.At[len(a.At)-1]
}
