package nitrogen

import (
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

// Answers puts the evidence to every way there is, always in the same order: the advisor's own
// calibration, the books as given, the curves as given, and forage for wheat grazed to the end. Books that
// are for another crop are left out, unless they say why they refuse this one.
func Answers(e Evidence, books []rulebook.Book) []Answer {
	e.Nitrate, e.Ammonium = sorted(e.Nitrate), sorted(e.Ammonium)
	answers := make([]Answer, 0, len(books)+len(e.Curves)+3)
	if e.Calibration != nil && e.Crop.IsWheat() {
		answers = append(answers, e.own(books))
	}
	for i := range books {
		b := &books[i]
		why, refuses := b.Refuses[e.Crop]
		switch {
		case b.For(e.Crop):
			answers = append(answers, e.ask(b, e.inputs(b)))
		case refuses:
			a := start(b)
			a.Why = why
			answers = append(answers, a)
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

func start(b *rulebook.Book) Answer {
	return Answer{Method: b.Key, Name: b.Name, Family: b.Family(), FittedOn: b.FittedOn}
}

// inputs puts the evidence as a book asks for it.
func (e *Evidence) inputs(b *rulebook.Book) rulebook.Inputs {
	in := rulebook.Inputs{
		Crop: e.Crop, YieldGoal: e.YieldGoal, OrganicMatter: e.OrganicMatter,
		PreviousCrop: e.PreviousCrop, Tillage: e.Tillage, Stubble: e.Stubble, Gain: e.Gain,
		GrainPrice: e.GrainPrice, NitrogenPrice: e.NitrogenPrice,
		Response: e.Response.Index, Reading: e.Reading, GrowingDays: e.GrowingDays, MaximumYield: e.MaximumYield,
		FreshMass: e.FreshMass,
	}
	if b.Ramp != nil {
		in.Strips = strips(e.Ramp)
		if e.Ramp != nil {
			in.StripsOrigin = working.Origin{Kind: working.Observed, By: e.Ramp.Observer, On: e.Ramp.Day, With: "ramp of strips"}
		}
	}
	b.TakeSoil(&in, e.Nitrate, e.Ammonium)
	return in
}

// ask puts inputs to a book, less what was applied, and takes the answer apart.
func (e *Evidence) ask(b *rulebook.Book, in rulebook.Inputs) Answer {
	credit := e.appliedFor(b)
	in.Applied, in.AppliedInFall = credit.n, credit.inFall
	w := b.Work(in)
	a := start(b)
	if w.Why != "" {
		a.Why = w.Why
		return a
	}
	a.Answered, a.Rate, a.Low, a.High, a.HasRange = true, w.Rate, w.Low, w.High, w.HasRange
	a.Notes, a.Assumed, a.Account = append(w.Notes, credit.notes...), w.Assumed, w.Balance
	if cut := e.FreshMass.Origin.On; b.GreenArea != nil && !e.Sampled.IsZero() && !cut.IsZero() && e.Sampled.Before(cut) {
		a.Notes = append(a.Notes, "The soil was sampled on "+e.Sampled.Spoken()+" and the crop cut on "+cut.Spoken()+"; nitrogen the crop took up in between counts twice.")
	}
	var level unit.Fraction
	if b.InSeason != nil && e.Response.HasInterval {
		a.Low, a.High, a.HasRange = e.pushThrough(b, w.Filled, w.Rate)
		level = e.Response.Level
	}
	a.YieldGain = e.yieldGain(b, &w, &a)
	a.Figure = working.Figure{
		ID: figureID(b.Key), Label: b.Name, Amount: working.Of(a.Rate), Interval: a.interval(level),
		Expression: w.Expression, Inputs: w.Inputs, Source: b.Source, Status: w.Status,
		WouldChange: effects(b, w.Filled), Notes: a.Notes,
	}
	return a
}

func figureID(method string) working.ID { return working.ID("rate." + method) }

func (a *Answer) interval(level unit.Fraction) *working.Interval {
	if !a.HasRange {
		return nil
	}
	return &working.Interval{Low: float64(a.Low), High: float64(a.High), Level: level}
}

// pushThrough works the rate out at both ends of the response index's interval.
func (e *Evidence) pushThrough(b *rulebook.Book, in rulebook.Inputs, rate unit.Rate) (low, high unit.Rate, ok bool) {
	in.Response.Value = e.Response.Low
	atLow, okLow := b.Rate(&in)
	in.Response.Value = e.Response.High
	atHigh, okHigh := b.Rate(&in)
	return min(rate, atLow, atHigh), max(rate, atLow, atHigh), okLow && okHigh
}

// own asks the advisor's calibration, which takes the place of the published numbers in the first book that
// counts the nitrogen in the extra grain.
func (e *Evidence) own(books []rulebook.Book) Answer {
	const name = "In-season, own calibration"
	a := Answer{Method: OwnCalibration, Name: name, Family: rulebook.FamilyInSeason, FittedOn: e.Calibration.Label}
	why := "needs a rulebook that counts the nitrogen in the extra grain"
	for i := range books {
		if books[i].InSeason == nil || books[i].InSeason.ExtraGrain == nil {
			continue
		}
		var book rulebook.Book
		book, why = books[i].Recalibrated(OwnCalibration, name, *e.Calibration)
		if reason, refuses := book.Refuses[e.Crop]; refuses {
			why = reason
		}
		if why != "" {
			break
		}
		return e.ask(&book, e.inputs(&book))
	}
	a.Why = why
	return a
}

// yieldGain is what a book's logic says of yield.
func (e *Evidence) yieldGain(b *rulebook.Book, w *rulebook.Worked, a *Answer) YieldGain {
	switch {
	case b.InSeason != nil:
		return e.inSeasonGain(b, w, a)
	case b.Balance != nil:
		// Each unit of yield costs PerYield, so each unit of nitrogen makes its inverse, up to the goal.
		slope := 1 / float64(w.Balance.PerYield)
		g := YieldGain{Known: true, SlopeKgPerKg: slope, Cap: unit.Yield(float64(a.Rate) * slope)}
		g.CapLow, g.CapHigh = g.Cap, g.Cap
		if a.HasRange {
			g.CapLow, g.CapHigh = unit.Yield(float64(a.Low)*slope), unit.Yield(float64(a.High)*slope)
		}
		return g
	default:
		return YieldGain{}
	}
}

// inSeasonGain is the outlook fed over the outlook alone. Where the book counts the nitrogen in the extra
// grain, each nitrogen makes efficiency ÷ nitrogen in grain; where it counts all the grain's nitrogen, the
// rate it gives is taken to just reach the fed outlook.
func (e *Evidence) inSeasonGain(b *rulebook.Book, w *rulebook.Worked, a *Answer) YieldGain {
	in := w.Filled
	gain := func(response unit.Ratio) unit.Yield {
		in.Response.Value = response
		alone, fed, _ := b.Outlook(in)
		return fed - alone
	}
	g := YieldGain{Known: true, Cap: gain(w.Filled.Response.Value), From: w.Filled.Applied.Value}
	g.CapLow, g.CapHigh = g.Cap, g.Cap
	if a.HasRange {
		g.CapLow, g.CapHigh = gain(e.Response.Low), gain(e.Response.High)
	}
	switch total := a.Rate + w.Filled.Applied.Value; {
	case b.InSeason.ExtraGrain != nil:
		g.SlopeKgPerKg = 1 / float64(w.Balance.PerYield)
	case total > 0:
		g.SlopeKgPerKg = float64(g.Cap) / float64(total)
	}
	return g
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
