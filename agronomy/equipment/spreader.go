package equipment

import (
	"errors"
	"fmt"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// PanTest is a test of a spreader.
type PanTest struct {
	Pans []Pan
	// Opening is the area of the opening of a pan in m2; zero when not known, and then no rate is told.
	Opening float64
	// Passes is how many passes in the same direction the pans caught together; zero means one.
	Passes int
	// Swath is the one that is driven; zero when it is to be found.
	Swath unit.Length
	// Wind across the way driven, and Bulk, the density of the material; zero when not known.
	Wind unit.Speed
	Bulk unit.Density
	// Limit is the CV still accepted; zero means 15 %.
	Limit unit.Fraction
}

// acceptable is the CV up to which a spread is [cite.ForristalSpreader]; costly the one from which it costs yield.
const (
	acceptable = unit.Fraction(0.15)
	costly     = unit.Fraction(0.20)
)

// Driven is what a test says of one way of driving.
type Driven struct {
	Driving Driving
	Curve   []Evenness
	// Widest is the widest acceptable swath; HasWidest is false when none is.
	Widest    Evenness
	HasWidest bool
	// AtSwath is the evenness at the test's swath.
	AtSwath Evenness
	// Rate is the material spread at the test's swath, or at the widest acceptable one; HasRate says that the pans'
	// opening is known.
	Rate    unit.Rate
	HasRate bool
}

// Spreader is what a pan test says.
type Spreader struct {
	Pattern *Pattern
	Ways    [2]Driven
	Limit   unit.Fraction
	// Effective is the swath by the quick rule.
	Effective    unit.Length
	HasEffective bool
	Side         unit.Length
	Notes        []Note
}

// Limits of what is remarked on. Common practice, no source.
const (
	openEnd   = 0.05 // of the highest catch, in the last pan
	windyFrom = 5 * unit.MilePerHour
	windStop  = 10 * unit.MilePerHour
	lightBulk = 0.70 * unit.KilogramPerLitre // lighter granules fly less far
)

// Test adds the passes up.
func (t PanTest) Test() (Spreader, error) {
	p, err := NewPattern(t.Pans)
	if err != nil {
		return Spreader{}, err
	}
	if err := t.check(); err != nil {
		return Spreader{}, err
	}
	s := Spreader{Pattern: p, Limit: t.Limit, Side: p.Side()}
	if s.Limit == 0 {
		s.Limit = acceptable
	}
	s.Effective, s.HasEffective = p.EffectiveSwath()
	for i, d := range Drivings() {
		if s.Ways[i], err = t.drive(p, d, s.Limit); err != nil {
			return Spreader{}, err
		}
	}
	s.note(t)
	return s, nil
}

func (t PanTest) check() error {
	var errs []error
	if t.Opening < 0 || t.Opening > 4 {
		errs = append(errs, fmt.Errorf("a pan opens to %.4g m²; expected up to 4, such as 0.25 for one of half a metre square", t.Opening))
	}
	if t.Passes < 0 || t.Passes > 100 {
		errs = append(errs, fmt.Errorf("%d passes; expected 1 to 100", t.Passes))
	}
	if t.Wind < 0 || t.Wind > fastest {
		errs = append(errs, fmt.Errorf("a wind of %s; expected from 0 up", mph(t.Wind)))
	}
	if t.Limit < 0 || t.Limit > 1 {
		errs = append(errs, fmt.Errorf("a limit of %.4g %%; expected up to 100, such as 15", 100*float64(t.Limit)))
	}
	return errors.Join(errs...)
}

func (t PanTest) drive(p *Pattern, d Driving, limit unit.Fraction) (Driven, error) {
	w := Driven{Driving: d, Curve: p.Curve(d)}
	w.Widest, w.HasWidest = Widest(w.Curve, limit)
	at := w.Widest
	if t.Swath != 0 {
		e, err := p.Overlap(t.Swath, d)
		if err != nil {
			return Driven{}, err
		}
		w.AtSwath, at = e, e
	}
	if t.Opening > 0 && at.Mean > 0 {
		const perHectare = 10_000 // m2
		w.Rate, w.HasRate = unit.Rate(float64(at.Mean)/float64(max(1, t.Passes))/t.Opening*perHectare), true
	}
	return w, nil
}

func (s *Spreader) note(t PanTest) {
	say := func(source cite.Key, status cite.Status, format string, args ...any) {
		s.Notes = append(s.Notes, Note{fmt.Sprintf(format, args...), source, status})
	}
	p := s.Pattern
	highest := 0.0
	for _, c := range p.caught {
		highest = max(highest, c)
	}
	if p.caught[0] > openEnd*highest || p.caught[len(p.caught)-1] > openEnd*highest {
		say(cite.SpreaderTrays, cite.Confirmed, "the last pans still caught more than 5 %% of the highest: the pattern is wider than the pans; lay out more")
	}
	if len(p.filled) > 0 {
		say(cite.Practice, cite.CommonPractice, "no pan stood at %s; what falls there is taken between its neighbours", feet(p.filled[0]))
	}
	if side := max(s.Side, -s.Side); side > p.step/2 {
		say(cite.Practice, cite.CommonPractice, "the pattern lies %s to the %s of the middle: wind, a spreader out of level, or a drop point to be moved", feet(side), leftOrRight(s.Side))
	}
	switch {
	case t.Wind > windStop:
		say(cite.Practice, cite.CommonPractice, "a wind of %s carries the pattern with it: test again in still air", mph(t.Wind))
	case t.Wind > windyFrom:
		say(cite.Practice, cite.CommonPractice, "a wind of %s is felt in the pattern: test along the wind, or in still air", mph(t.Wind))
	}
	if t.Bulk > 0 && t.Bulk < lightBulk {
		say(cite.Practice, cite.CommonPractice, "light material flies less far and is carried by the wind")
	}
	say(cite.SpreaderStandards, cite.FromMemory, "a pattern holds for this material, setting and speed; another lot, size of granule or speed of the discs wants another test")
	if s.Ways[0].HasWidest && s.Ways[1].HasWidest && s.Ways[1].Widest.Swath < s.Ways[0].Widest.Swath {
		say(cite.SpreaderStandards, cite.FromMemory, "driven back and forth the swath must be narrower, because like sides meet")
	}
}

func leftOrRight(x unit.Length) string {
	if x < 0 {
		return "left"
	}
	return "right"
}

// The figures of a pan test, by way of driving.
const (
	WidestFigure    working.ID = "spreader.widest."
	AtSwathFigure   working.ID = "spreader.cv."
	RateFigure      working.ID = "spreader.rate."
	EffectiveFigure working.ID = "spreader.effective"
)

// Work enters how the test's figures came about in a ledger.
func (s *Spreader) Work(l *working.Ledger, t PanTest) {
	seen := working.Origin{Kind: working.Observed, With: "pans across the way driven"}
	pans := working.Input{Label: "pans", Text: fmt.Sprintf("%d, every %s", len(t.Pans), feet(s.Pattern.step)), Origin: seen}
	limit := input("highest variation", s.Limit, s.limitOrigin(t))
	for _, w := range s.Ways {
		id := working.ID(w.Driving)
		var widest working.Figure
		if w.HasWidest {
			widest = l.Add(working.Figure{
				ID: WidestFigure + id, Label: "Widest acceptable swath, " + string(w.Driving), Amount: working.Of(w.Widest.Swath), Text: feet(w.Widest.Swath),
				Expression: "widest swath at which the passes added up vary no more than the limit", Inputs: []working.Input{pans, limit},
				Source: cite.SpreaderStandards, Status: cite.FromMemory,
			})
		}
		at, known := w.At()
		if !known {
			continue
		}
		swath := input("swath", at.Swath, working.Origin{Kind: working.Setting})
		if t.Swath == 0 {
			swath = widest.Ref()
		}
		l.Add(working.Figure{
			ID: AtSwathFigure + id, Label: "Variation at the swath, " + string(w.Driving), Amount: working.Of(at.CV).As(unit.KindShare),
			Expression: "standard deviation (n − 1) ÷ average of the passes added up, over one period", Inputs: []working.Input{pans, swath},
			Source: cite.SpreaderStandards, Status: cite.FromMemory,
		})
		if w.HasRate {
			l.Add(working.Figure{
				ID: RateFigure + id, Label: "Material spread at the swath, " + string(w.Driving), Amount: working.Of(w.Rate).As(unit.KindProductRate),
				Expression: "average of the passes added up ÷ passes caught ÷ opening of a pan",
				Inputs: []working.Input{
					pans, swath,
					{Label: "opening of a pan", Text: fmt.Sprintf("%.4g m²", t.Opening), Origin: seen},
					{Label: "passes caught together", Text: fmt.Sprint(max(1, t.Passes)), Origin: seen},
				},
				Source: cite.SpreaderStandards, Status: cite.FromMemory,
			})
		}
	}
	if s.HasEffective {
		l.Add(working.Figure{
			ID: EffectiveFigure, Label: "Effective swath by the quick rule", Amount: working.Of(s.Effective), Text: feet(s.Effective),
			Expression: "from half of the middle's catch on the left to half of it on the right", Inputs: []working.Input{pans},
			Source: cite.OhioBulletin817, Status: cite.Confirmed,
		})
	}
}

func (s *Spreader) limitOrigin(t PanTest) working.Origin {
	if t.Limit > 0 {
		return working.Origin{Kind: working.Setting}
	}
	return working.Origin{Kind: working.Rulebook, Source: cite.ForristalSpreader}
}

// Verdict says in words what a CV means for a spread: good up to 15 %, costing yield above 20 %.
func Verdict(cv unit.Fraction) string {
	switch {
	case cv <= acceptable:
		return "acceptable"
	case cv <= costly:
		return "uneven"
	default:
		return "costs yield"
	}
}

// At is the evenness at the swath that is driven: the test's own, or else the widest acceptable; false when there
// is neither.
func (w *Driven) At() (Evenness, bool) {
	if w.AtSwath.Swath > 0 {
		return w.AtSwath, true
	}
	return w.Widest, w.HasWidest
}
