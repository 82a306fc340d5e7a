package equipment

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"culm/agronomy/unit"
)

// Pan is one tray of a spreader test and what fell into it.
type Pan struct {
	// At is across the way driven, from the middle of the spreader: left below zero, right above.
	At     unit.Length
	Caught unit.Mass
}

// Pattern is what a spreader throws across one pass, by trays at even steps with one in the middle.
type Pattern struct {
	step   unit.Length
	caught []float64 // kg, from left to right; the middle one is the centre
	middle int
	// filled are the places between trays where none stood, such as wheel tracks; they are taken between their
	// neighbours.
	filled []unit.Length
}

// mostPans bounds a test: nobody lays out more.
const mostPans = 1001

// NewPattern makes a pattern of pans in any order. The pans stand at even steps, out to the same distance left and
// right of the middle; single places may be left out, and are filled in between their neighbours, but not at an end.
// It fails with the place for catches below zero, two pans in one place, uneven steps and pans missing on one side.
func NewPattern(pans []Pan) (*Pattern, error) {
	if len(pans) < 5 || len(pans) > mostPans {
		return nil, fmt.Errorf("%d pans; expected 5 to %d in a line across the way driven", len(pans), mostPans)
	}
	pans = slices.Clone(pans)
	slices.SortStableFunc(pans, func(a, b Pan) int { return cmp.Compare(a.At, b.At) })
	step, err := stepOf(pans)
	if err != nil {
		return nil, err
	}
	if err := checkSides(pans, step); err != nil {
		return nil, err
	}
	p := &Pattern{step: step, middle: int(math.Round(float64(pans[len(pans)-1].At / step)))}
	if n := 2*p.middle + 1; n > mostPans {
		return nil, fmt.Errorf("the pans stand %s apart and reach %s; that is not one even line of pans", feet(step), feet(pans[len(pans)-1].At))
	}
	return p, p.fill(pans)
}

// unevenBy is how far a pan may stand from its place, as a share of the step.
const unevenBy = 0.02

// stepOf finds the distance from pan to pan, and refuses pans that cannot be read.
func stepOf(pans []Pan) (unit.Length, error) {
	step := unit.Length(math.Inf(1))
	total := unit.Mass(0)
	for i, p := range pans {
		switch {
		case math.IsNaN(float64(p.At)) || math.IsInf(float64(p.At), 0):
			return 0, errors.New("a pan's place is not a number")
		case !(p.Caught >= 0) || math.IsInf(float64(p.Caught), 0):
			return 0, fmt.Errorf("the pan at %s caught %.4g g; expected zero or more", feet(p.At), float64(p.Caught)*1000)
		}
		total += p.Caught
		if i > 0 {
			gap := p.At - pans[i-1].At
			if gap <= 0 {
				return 0, fmt.Errorf("two pans stand at %s; expected one catch for a place: add up or average repeated passes", feet(p.At))
			}
			step = min(step, gap)
		}
	}
	if total == 0 {
		return 0, errors.New("all pans are empty; expected a pass that throws something")
	}
	return step, nil
}

// checkSides wants the same reach left and right and every pan in its place.
func checkSides(pans []Pan, step unit.Length) error {
	left, right := pans[0].At, pans[len(pans)-1].At
	tolerance := step * unevenBy
	if left >= 0 || right <= 0 || math.Abs(float64(left+right)) > float64(tolerance) {
		side, from, to := "right", right, -left
		if right > -left {
			side, from, to = "left", left, right
		}
		return fmt.Errorf("pans are missing on one side: they reach from %s to %s, where 0 is the middle of the spreader; expected the %s side to reach %s like the other, not %s",
			feet(left), feet(right), side, feet(unit.Length(math.Abs(float64(to)))), feet(unit.Length(math.Abs(float64(from)))))
	}
	for _, p := range pans {
		place := math.Round(float64(p.At / step))
		if math.Abs(float64(p.At)-place*float64(step)) > float64(tolerance) {
			return fmt.Errorf("the pan at %s is out of step: the others stand every %s from the middle", feet(p.At), feet(step))
		}
	}
	return nil
}

// fill puts the catches in their places and fills those between.
func (p *Pattern) fill(pans []Pan) error {
	p.caught = make([]float64, 2*p.middle+1)
	last := -1
	for _, pan := range pans {
		at := int(math.Round(float64(pan.At/p.step))) + p.middle
		p.caught[at] = float64(pan.Caught)
		for gap := last + 1; last >= 0 && gap < at; gap++ {
			along := float64(gap-last) / float64(at-last)
			p.caught[gap] = p.caught[last] + along*(p.caught[at]-p.caught[last])
			p.filled = append(p.filled, unit.Length(gap-p.middle)*p.step)
		}
		last = at
	}
	if 2*len(p.filled) > len(p.caught) {
		return fmt.Errorf("%d of %d places have no pan; expected a line of pans at even steps with single ones left out", len(p.filled), len(p.caught))
	}
	return nil
}

// Step is the distance from pan to pan, Reach that from the middle to the last pan.
func (p *Pattern) Step() unit.Length  { return p.step }
func (p *Pattern) Reach() unit.Length { return p.step * unit.Length(p.middle) }

// Filled lists the places where no pan stood.
func (p *Pattern) Filled() []unit.Length { return p.filled }

// Pans lists the pattern from left to right.
func (p *Pattern) Pans() []Pan {
	pans := make([]Pan, len(p.caught))
	for i, c := range p.caught {
		pans[i] = Pan{At: unit.Length(i-p.middle) * p.step, Caught: unit.Mass(c)}
	}
	return pans
}

// at is the catch at a distance from the middle counted in steps: between pans along a straight line, nothing
// beyond the last.
func (p *Pattern) at(x float64) float64 {
	x += float64(p.middle)
	if x < 0 || x > float64(len(p.caught)-1) {
		return 0
	}
	i := int(x)
	if i == len(p.caught)-1 {
		return p.caught[i]
	}
	along := x - float64(i)
	return p.caught[i] + along*(p.caught[i+1]-p.caught[i])
}

// Side is how far the pattern lies from the middle of the spreader, by its centre of mass: right above zero.
func (p *Pattern) Side() unit.Length {
	moment, sum := 0.0, 0.0
	for i, c := range p.caught {
		moment += float64(i-p.middle) * c
		sum += c
	}
	return unit.Length(moment/sum) * p.step
}

// EffectiveSwath is the quick rule: from where half of the middle's rate falls on the left to where it does on the
// right, between pans along a straight line [cite.OhioBulletin817]. It is false where a side never falls so low or
// nothing falls in the middle.
func (p *Pattern) EffectiveSwath() (unit.Length, bool) {
	half := p.caught[p.middle] / 2
	if half == 0 {
		return 0, false
	}
	left, leftFound := p.fallsTo(half, -1)
	right, rightFound := p.fallsTo(half, 1)
	return unit.Length(left+right) * p.step, leftFound && rightFound
}

// fallsTo is how many steps to one side the catch first falls to a level.
func (p *Pattern) fallsTo(level float64, side int) (float64, bool) {
	before := p.caught[p.middle]
	for away := 1; away <= p.middle; away++ {
		here := p.caught[p.middle+side*away]
		if here <= level {
			return float64(away) - (level-here)/(before-here), true
		}
		before = here
	}
	return 0, false
}

func feet(x unit.Length) string {
	return fmt.Sprintf("%.4g ft (%.4g m)", float64(x/unit.Foot), float64(x))
}
