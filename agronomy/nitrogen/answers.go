package nitrogen

import (
	"strings"

	"culm/agronomy/grazing"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// The method of an advisor's own calibration, and the published one that it stands beside.
const (
	OwnCalibration = "in-season-own"
	InSeason2005   = "in-season-2005"
	StripRamp      = "strip-ramp"
)

// Answers puts the evidence to every way there is, always in the same order: the advisor's own calibration, the
// rules as Rules gives them, the curves as given, and forage for wheat grazed to the end. Rules that are for
// another crop are left out, unless they say why they refuse this one.
func Answers(e Evidence, rules []*rulebook.Rule) []Answer {
	q := e.question()
	answers := make([]Answer, 0, len(rules)+len(e.Curves)+3)
	if e.Calibration != nil && e.Crop.IsWheat() {
		answers = append(answers, q.own(rules))
	}
	for _, r := range rules {
		if _, refuses := r.Refuses[e.Crop]; refuses || r.For(e.Crop) {
			answers = append(answers, q.ask(r))
		}
	}
	for i := range e.Curves {
		answers = append(answers, e.readOff(&e.Curves[i]))
	}
	if e.Crop == season.WheatGrazeOut {
		for _, w := range grazing.Ways() {
			answers = append(answers, e.forage(w))
		}
	}
	return answers
}

// question is the evidence as it is put to one rule after the other.
type question struct {
	*Evidence
	facts     *rulebook.Facts
	rampNotes []string
	rampWhy   string
}

func (e *Evidence) question() *question {
	last, notes, why := lastRate(e.Ramp)
	return &question{Evidence: e, facts: e.facts(last), rampNotes: notes, rampWhy: why}
}

// ask puts the question to a rule, less what was applied, and takes the answer apart.
func (q *question) ask(r *rulebook.Rule) Answer {
	a := Answer{Rule: r, Method: r.Method(), Name: r.Name, Family: r.Family, FittedOn: r.FittedOn}
	credit := q.appliedFor(r)
	credit.putApplied(q.facts)
	w := r.Work(q.facts)
	if a.Why = w.Why; a.Why != "" && r.Family == rulebook.FamilyRamp && q.rampWhy != "" && r.For(q.Crop) {
		a.Why = q.rampWhy
	}
	if a.Why != "" {
		return a
	}
	a.Answered, a.Rate, a.Assumed = true, w.Rate(), w.Assumed
	a.Notes = append(append(w.Notes, credit.notes...), q.notes(r)...)
	a.Account = accountOf(&w)
	level := q.span(&a, &w)
	a.YieldGain = q.yieldGain(&w, &a)
	a.Figure = working.Figure{
		ID: figureID(a.Method), Label: r.Name, Amount: working.Of(a.Rate), Interval: a.interval(level),
		Expression: w.Expression, Inputs: inputs(&w), Source: r.Source, Status: w.Status,
		WouldChange: q.effects(&w), Notes: a.Notes,
	}
	return a
}

// notes are remarks that follow from more than a rule knows.
func (q *question) notes(r *rulebook.Rule) (notes []string) {
	switch r.Family {
	case rulebook.FamilyRamp:
		notes = append(notes, q.rampNotes...)
	case rulebook.FamilyGreenArea:
		sampled, _ := q.sampled()
		if cut := q.FreshMass.Origin.On; !sampled.IsZero() && !cut.IsZero() && sampled.Before(cut) {
			notes = append(notes, "The soil was sampled on "+sampled.Spoken()+" and the crop cut on "+cut.Spoken()+"; nitrogen the crop took up in between counts twice.")
		}
	case rulebook.FamilyBalance:
		if q.Crop.IsGrazed() && r.Slot(rulebook.LiveGain) < 0 {
			notes = append(notes, "This way makes no allowance for what the cattle took.")
		}
	}
	return notes
}

// inputs are the entries of an account as inputs of a figure, in the order in which they are asked for.
func inputs(w *rulebook.Worked) []working.Input {
	all := make([]working.Input, 0, len(w.Inputs)+len(w.Used)+len(w.Steps))
	add := func(entries []rulebook.Entry) {
		for _, e := range entries {
			if e.Absent || e.Word != "" {
				continue // absent inputs count nothing; what a word adds stands among the numbers used
			}
			in := working.Input{Label: e.Label, Amount: e.Amount, Origin: e.Origin}
			if e.Amount.Kind == "" { // lb N/ac/% is no kind of its own
				in.Amount = working.Amount{Base: e.Value, Kind: unit.KindCoefficient}
				if !strings.HasPrefix(e.Unit, "1") {
					in.Text = e.Text()
				}
			}
			all = append(all, in)
		}
	}
	add(w.Inputs)
	add(w.Used)
	add(w.Steps)
	return all
}

func figureID(method string) working.ID { return working.ID("rate." + method) }

func (a *Answer) interval(level unit.Fraction) *working.Interval {
	if !a.HasRange {
		return nil
	}
	return &working.Interval{Low: float64(a.Low), High: float64(a.High), Level: level}
}

// span bounds the rate: for what a sensor saw by the interval of the response index, whose confidence it gives
// back, for the others by the spans that the publication gives for its numbers.
func (q *question) span(a *Answer, w *rulebook.Worked) (level unit.Fraction) {
	a.Low, a.High = a.Rate, a.Rate
	switch {
	case w.Rule.Family == rulebook.FamilyInSeason:
		if q.Response.HasInterval {
			a.Low, a.High, a.HasRange = q.pushThrough(w, a.Rate)
			level = q.Response.Level
		}
	case w.HasRange:
		a.Low, a.High, a.HasRange = rateOf(w.Rule, w.Low), rateOf(w.Rule, w.High), true
	}
	if !a.HasRange {
		a.Low, a.High = 0, 0
	}
	return level
}

// pushThrough works the rate out at both ends of the response index's interval.
func (q *question) pushThrough(w *rulebook.Worked, rate unit.Rate) (low, high unit.Rate, ok bool) {
	s := w.Slots()
	i := w.Rule.Slot(rulebook.Response)
	if i < 0 {
		return 0, 0, false
	}
	at := func(index unit.Ratio) (unit.Rate, bool) {
		s.Set(i, float64(index))
		v, why := w.Rule.Evaluate(s)
		return rateOf(w.Rule, v), why.Answered()
	}
	atLow, okLow := at(q.Response.Low)
	atHigh, okHigh := at(q.Response.High)
	return min(rate, atLow, atHigh), max(rate, atLow, atHigh), okLow && okHigh
}

// readOff takes what was applied off a curve's optimum.
func (e *Evidence) readOff(c *Curve) Answer {
	a := Answer{Method: "curve-" + c.Form, Name: "Response curve, " + c.Form, Family: FamilyCurve, FittedOn: c.FittedOn}
	if c.Refused || !(c.Optimum >= 0 && c.Optimum < 1e5) {
		a.Why = c.Reason
		return a
	}
	credit := e.appliedInAll()
	label := "total nitrogen that pays best"
	if c.Reason != "" {
		label += ": " + c.Reason
	}
	less := func(total unit.Rate) unit.Rate { return max(0, total-credit.n.Value) }
	a.Answered, a.Rate = true, less(c.Optimum)
	a.Notes = credit.notes
	if c.Beyond {
		a.Notes = append(a.Notes, "The trial's highest rate still paid; the best rate is not below this.")
	}
	if c.HasInterval && !c.Beyond {
		a.Low, a.High, a.HasRange = less(c.Low), less(c.High), true
	}
	if len(c.Points) > 0 {
		a.YieldGain = YieldGain{Known: true, Points: c.Points, From: credit.n.Value}
	}
	a.Figure = working.Figure{
		ID: figureID(a.Method), Label: a.Name, Amount: working.Of(a.Rate), Interval: a.interval(c.Level),
		Expression: "total nitrogen that pays best on the curve − nitrogen already applied, not below 0",
		Inputs: []working.Input{
			{Label: label, Amount: working.Of(c.Optimum), Origin: working.Origin{Kind: working.Computed}},
			credit.n.Input("nitrogen already applied"),
		},
		Source: c.Source, Status: c.Status, Notes: a.Notes,
		WouldChange: []working.Effect{{Input: "nitrogen already applied", By: working.Of(moreNitrogen), To: working.Of(less(c.Optimum - moreNitrogen))}},
	}
	a.assume("nitrogen already applied", credit.n.Origin)
	return a
}

func (a *Answer) assume(label string, o working.Origin) {
	if o.Kind == working.Assumed {
		a.Assumed = append(a.Assumed, label+": "+o.Why)
	}
}

// forage answers for wheat grazed to the end: the nitrogen of what the herd eats.
func (e *Evidence) forage(w grazing.Way) Answer {
	a := Answer{Method: w.Key, Name: w.Name, Family: FamilyForage, FittedOn: "Winter pasture of small grains in the southern United States."}
	f, why := e.Herd.Forage()
	if why != "" {
		a.Why = why
		return a
	}
	credit := e.appliedInAll()
	rate := func(f grazing.Forage, applied unit.Rate) working.Amount {
		return working.Of(max(0, w.Nitrogen(f.Grown)-applied))
	}
	a.Answered, a.Rate, a.Notes = true, unit.Rate(rate(f, credit.n.Value).Base), credit.notes
	a.Forage = ForageAccount{Grown: f.Grown, Free: w.Free, PerNitrogen: w.PerNitrogen}
	longer := e.Herd
	longer.Days.Value += 10
	more, _ := longer.Forage()
	a.Figure = working.Figure{
		ID: figureID(w.Key), Label: w.Name, Amount: working.Of(a.Rate), Expression: w.Expression,
		Inputs: append(w.Inputs(e.Herd, f), credit.n.Input("nitrogen already applied")),
		Source: w.Source, Status: w.Status, Notes: a.Notes,
		WouldChange: []working.Effect{
			{Input: "days of grazing", By: working.Of(unit.Days(10)), To: rate(more, credit.n.Value)},
			{Input: "nitrogen already applied", By: working.Of(moreNitrogen), To: rate(f, credit.n.Value+moreNitrogen)},
		},
	}
	a.assume("nitrogen already applied", credit.n.Origin)
	a.assume("cattle", e.Herd.Head.Origin)
	a.assume("mean live weight", e.Herd.Mass.Origin)
	a.assume("days of grazing", e.Herd.Days.Origin)
	return a
}
