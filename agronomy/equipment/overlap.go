package equipment

import (
	"fmt"
	"math"

	"culm/agronomy/unit"
)

// Driving is how one pass lies beside the next.
type Driving string

// The ways of driving.
const (
	// Progressive: round and round, every pass in the same direction, the right side of one beside the left of the next.
	Progressive Driving = "progressive"
	// BackAndForth: every other pass the other way, right beside right and left beside left.
	BackAndForth Driving = "back-and-forth"
)

// Drivings lists them.
func Drivings() [2]Driving { return [2]Driving{Progressive, BackAndForth} }

// Evenness is how even passes at a swath come out.
type Evenness struct {
	Swath unit.Length
	// Mean is what falls into a pan on average, CV how the pans differ: s with n − 1 over the mean, taken over one
	// period, a swath or two of them when driven back and forth.
	Mean unit.Mass
	CV   unit.Fraction
}

// Overlap adds the passes up at a swath [cite.SpreaderStandards], with c the catch of one pass and S the swath:
//
//	progressive     T(x) = Σ c(x − kS)
//	back and forth  T(x) = Σ c((−1)ᵏ (x − kS))
//
// Where S is no whole number of steps the places looked at are evenly spread over the period, no further apart than
// the pans. It fails for a swath below a step or above twice the pattern's width, beyond which ground stays bare.
func (p *Pattern) Overlap(swath unit.Length, d Driving) (Evenness, error) {
	if err := p.checkSwath(swath); err != nil {
		return Evenness{}, err
	}
	var room [256]float64
	totals := p.totals(room[:0], float64(swath/p.step), d)
	e := evenness(totals)
	e.Swath = swath
	return e, nil
}

// Sum gives the places over one period and what falls there in all, for a picture.
func (p *Pattern) Sum(swath unit.Length, d Driving) ([]Pan, error) {
	if err := p.checkSwath(swath); err != nil {
		return nil, err
	}
	s := float64(swath / p.step)
	totals := p.totals(nil, s, d)
	pans := make([]Pan, len(totals))
	for i, t := range totals {
		pans[i] = Pan{At: unit.Length(float64(i)*period(s, d)/float64(len(totals))) * p.step, Caught: unit.Mass(t)}
	}
	return pans, nil
}

func (p *Pattern) checkSwath(swath unit.Length) error {
	if most := 2 * p.width(); !(swath >= p.step*(1-unevenBy) && swath <= most) {
		return fmt.Errorf("a swath of %s; expected %s, from pan to pan, to %s, twice what the pans caught", feet(swath), feet(p.step), feet(most))
	}
	return nil
}

// width is that of the line of pans, each standing for a step.
func (p *Pattern) width() unit.Length { return p.step * unit.Length(len(p.caught)) }

func period(swath float64, d Driving) float64 {
	if d == BackAndForth {
		return 2 * swath
	}
	return swath
}

// whole is how near to a whole number of steps a swath is one.
const whole = 1e-6

// totals adds up the passes over one period, for a swath in steps.
func (p *Pattern) totals(into []float64, swath float64, d Driving) []float64 {
	length := period(swath, d)
	n := max(1, int(math.Ceil(length-whole)))
	for range n {
		into = append(into, 0)
	}
	if steps := math.Round(swath); math.Abs(swath-steps) <= whole {
		p.fold(into, int(steps), d)
		return into
	}
	reach := float64(p.middle)
	for i := range into {
		x := float64(i) * length / float64(n)
		first, last := int(math.Ceil((x-reach)/swath)), int(math.Floor((x+reach)/swath))
		for k := first; k <= last; k++ {
			from := x - float64(k)*swath
			if d == BackAndForth && k&1 != 0 {
				from = -from
			}
			into[i] += p.at(from)
		}
	}
	return into
}

// fold is totals for whole steps: each pan falls on one place of the period for the passes of one direction.
func (p *Pattern) fold(into []float64, swath int, d Driving) {
	n := len(into)
	start := ((-p.middle)%n + n) % n
	at := start
	for _, c := range p.caught {
		into[at] += c
		if at++; at == n {
			at = 0
		}
	}
	if d != BackAndForth {
		return
	}
	at = ((swath+p.middle)%n + n) % n // the pass beside it, turned round
	for _, c := range p.caught {
		into[at] += c
		if at--; at < 0 {
			at = n - 1
		}
	}
}

func evenness(totals []float64) Evenness {
	n := float64(len(totals))
	sum := 0.0
	for _, t := range totals {
		sum += t
	}
	mean := sum / n
	squares := 0.0
	for _, t := range totals {
		squares += (t - mean) * (t - mean)
	}
	e := Evenness{Mean: unit.Mass(mean)}
	if len(totals) > 1 && mean > 0 {
		e.CV = unit.Fraction(math.Sqrt(squares/(n-1)) / mean)
	}
	return e
}

// Curve is the evenness at every swath of whole steps from two steps to the width that the pans caught, at most so
// many of them; the widest stand.
func (p *Pattern) Curve(d Driving) []Evenness {
	var room [256]float64
	curve := make([]Evenness, 0, len(p.caught))
	for steps := 2; steps <= len(p.caught); steps++ {
		e := evenness(p.totals(room[:0], float64(steps), d))
		e.Swath = unit.Length(steps) * p.step
		curve = append(curve, e)
	}
	return curve
}

// Widest is the widest swath on a curve with a CV no higher than a limit; false when there is none.
func Widest(curve []Evenness, limit unit.Fraction) (Evenness, bool) {
	for i := len(curve) - 1; i >= 0; i-- {
		if curve[i].CV <= limit {
			return curve[i], true
		}
	}
	return Evenness{}, false
}
