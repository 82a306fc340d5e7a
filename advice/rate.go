package advice

import (
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/grazing"
	"culm/agronomy/nitrogen"
	"culm/agronomy/response"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/season"
)

// rateFinding is the rate that the decision follows.
type rateFinding struct {
	answered bool
	why      string // why no way can answer
	name     string // of the way followed
	leadWhy  string // why that one
	figure   working.Figure
	rate     unit.Rate
	high     unit.Rate // at the high end of the evidence; the rate itself where there is no range
	gain     gainCurve
	trials   gainCurve // by the season's trials, for comparison; unknown without any
}

// askRate puts the evidence to every published way, side by side, and picks the one to follow.
func (c *inquiry) askRate() {
	answers := nitrogen.Answers(c.rateEvidence(), c.advisor.nitrogen)
	preference := c.fs.Settings.LeadWheat
	if c.fs.Field.Crop == season.Canola {
		preference = c.fs.Settings.LeadCanola
	}
	lead, reason := nitrogen.Lead(answers, preference, c.fs.Field.Crop)
	for i := range answers {
		a := &answers[i]
		c.citeRule(a)
		c.plan.Rates = append(c.plan.Rates, RateAnswer{
			Method: a.Method, Name: a.Name, Family: a.Family, Lead: i == lead, Answered: a.Answered, Why: a.Why,
			Figure: a.Figure.ID, Rate: a.Rate, Low: a.Low, High: a.High, Source: a.Figure.Source, Status: a.Figure.Status,
			FittedOn: a.FittedOn, Notes: a.Notes, Assumed: a.Assumed, Budget: budget(a.Account),
		})
		if a.Answered {
			c.ledger().Add(a.Figure)
		}
	}
	c.showSpread(nitrogen.Spread(answers, lead, c.fs.Field.Crop))
	if lead < 0 {
		c.rate = rateFinding{why: c.whyNoRate()}
		return
	}
	a := answers[lead]
	if a.Family == nitrogen.FamilyCurve && !slices.Contains(preference, a.Method) {
		c.plan.Rates[lead].Lead = false
		c.rate = rateFinding{why: "only trials elsewhere can answer, and they do not know this field"}
		return
	}
	trials := trialGain(answers)
	c.rate = rateFinding{
		answered: true, name: a.Name, leadWhy: reason, figure: a.Figure, rate: a.Rate, high: a.Rate,
		gain: c.gainOf(a, answers, trials), trials: trials,
	}
	c.doubtOutlook(a)
	if a.HasRange {
		c.rate.high = max(a.Rate, a.High)
	}
	for _, assumed := range a.Assumed {
		c.warn("Assumed, not seen: "+assumed+".", a.Figure.ID)
	}
}

// budget lists the parts of a rate that is what the yield needs less what makes up for it.
func budget(a nitrogen.Account) []BudgetLine {
	if !a.Known {
		return nil
	}
	lines := []BudgetLine{{Label: "nitrogen for the yield", Amount: unit.Rate(float64(a.PerYield) * float64(a.Yield))}}
	for _, s := range a.Supplies {
		lines = append(lines, BudgetLine{Label: s.Label, Amount: -s.Amount, Assumed: s.Assumed})
	}
	return lines
}

// doubtOutlook warns when the yield that an in-season way looks forward to is well above the yield goal.
func (c *inquiry) doubtOutlook(a nitrogen.Answer) {
	goal := c.known.goal
	if a.Family != rulebook.FamilyInSeason || !goal.Known() || !a.Account.Known || a.Account.Yield <= goal.Value*outlookOverGoal {
		return
	}
	shown := func(y unit.Yield) string {
		return unit.Show(c.fs.Field.Crop.YieldKind(), float64(y), c.plan.Units).String()
	}
	c.warn("The outlook with nitrogen, "+shown(a.Account.Yield)+", is well above the yield goal of "+shown(goal.Value)+": check both, or set maximum-yield.", a.Figure.ID)
}

// outlookOverGoal is how far above the goal an outlook may lie without a word. Common practice, no source.
const outlookOverGoal = 1.15

// rateEvidence gathers what the ways of finding a rate go by.
func (c *inquiry) rateEvidence() nitrogen.Evidence {
	k, f := &c.known, c.fs.Field
	e := nitrogen.Evidence{
		Crop: f.Crop, YieldGoal: k.goal, OrganicMatter: k.organic, PreviousCrop: f.PreviousCrop, Tillage: f.Tillage,
		Herd:        grazing.Herd{Head: f.Heads, Mass: f.HeadMass, Days: f.GrazingDays, Area: k.area},
		Calibration: c.fs.Settings.Calibration, MaximumYield: c.fs.Settings.MaximumYield, FreshMass: k.fresh,
		NitrogenPrice: c.nitrogenPrice(),
	}
	if k.grain != nil {
		e.GrainPrice = working.Fact[unit.PricePerMass]{Value: k.grain.Price, Origin: k.grain.Origin}
	}
	if n := len(c.fs.Ramps); n > 0 {
		e.Ramp = c.fs.Ramps[n-1]
	}
	c.soilEvidence(&e)
	c.appliedEvidence(&e)
	c.sensorEvidence(&e)
	e.Curves = c.curves(e)
	return e
}

// citeRule puts the publications that a book brings along into the plan.
func (c *inquiry) citeRule(a *nitrogen.Answer) {
	if a.Rule == nil {
		return
	}
	a.Figure.Source = c.cite(a.Rule.Book, a.Figure.Source)
	for i := range a.Figure.Inputs {
		o := &a.Figure.Inputs[i].Origin
		o.Source = c.cite(a.Rule.Book, o.Source)
	}
}

// soilEvidence takes the samples that speak for the field, not for a spot of it. Where some speak for all of it,
// those of its zones are left out.
func (c *inquiry) soilEvidence(e *nitrogen.Evidence) {
	ofAll := func(s *season.Soil) bool { return s.Zone == "" }
	anyOfAll := slices.ContainsFunc(c.spots.Rest, ofAll)
	tested := false
	for _, s := range c.spots.Rest {
		if anyOfAll && !ofAll(s) {
			continue
		}
		e.Soil = append(e.Soil, s)
		_, nitrate := s.Find(season.NitrateN)
		tested = tested || nitrate
	}
	if !tested {
		c.missing("a soil nitrate test of the profile", "nitrogen already in the soil, which lowers the rate of every mass balance")
	}
}

func (c *inquiry) appliedEvidence(e *nitrogen.Evidence) {
	since := c.seasonStart()
	for _, a := range c.fs.Applied {
		if a.Day.Before(since) {
			continue
		}
		e.Applied = append(e.Applied, nitrogen.Application{Day: a.Day, N: working.Fact[unit.Rate]{
			Value: a.Rate, Origin: working.Origin{Kind: working.Observed, By: a.By, On: a.Day, With: a.Product},
		}})
	}
}

// sensorEvidence takes over the deciding response index, if a sensor read it.
func (c *inquiry) sensorEvidence(e *nitrogen.Evidence) {
	n := c.need.Finding
	if !n.HasIndex || n.Means != season.Sensor {
		return
	}
	origin := working.Origin{Kind: working.Observed, By: n.Observer, On: n.Day, With: n.Instrument}
	e.Response = nitrogen.ResponseIndex{
		Index: working.Fact[unit.Ratio]{Value: n.Index, Origin: origin},
		Low:   n.Low, High: n.High, Level: n.Level, HasInterval: n.HasInterval,
	}
	e.Reading = working.Fact[unit.Index]{Value: n.Beside, Origin: origin}
	planted := c.fs.Field.Planted
	if planted.IsZero() {
		c.missing("the planting date", "growing days, without which a reading gives no yield outlook")
		return
	}
	sum := weather.GrowingDays(c.fs.Weather, planted.Add(1), n.Day, weather.GrowingBase)
	if sum.Days == 0 {
		c.missing("the season's daily weather", "growing days, without which a reading gives no yield outlook")
		return
	}
	days := working.Fact[unit.Days]{Value: sum.Total, Origin: working.Origin{Kind: working.Observed, With: c.record(), On: n.Day}}
	if sum.Missing > 0 {
		share := float64(sum.Total) / float64(sum.Days)
		days = working.Fact[unit.Days]{}.Or(sum.Total+unit.Days(share*float64(sum.Missing)),
			"the station's record misses "+unit.Show(unit.KindDays, float64(sum.Missing), c.plan.Units).String()+" since planting, taken to be as warm as the rest")
	}
	e.GrowingDays = days
}

// nitrogenPrice is that of the cheapest nitrogen on the price list.
func (c *inquiry) nitrogenPrice() working.Fact[unit.PricePerMass] {
	var best working.Fact[unit.PricePerMass]
	for _, p := range fertilizer.All() {
		price := c.known.prices[p.Key]
		if price == nil || p.BlendOnly {
			continue
		}
		if n := p.PricePerNitrogen(price.Price); !best.Known() || n < best.Value {
			origin := price.Origin
			origin.With = p.Name + ", the cheapest nitrogen on the price list"
			best = working.Fact[unit.PricePerMass]{Value: n, Origin: origin}
		}
	}
	return best
}

// curvePoints is how many points a fitted curve is handed on as.
const curvePoints = 64

// curves fits every form of response curve to the season's trials of the crop, pooled.
func (c *inquiry) curves(e nitrogen.Evidence) []nitrogen.Curve {
	if len(c.fs.Trials) == 0 || !e.GrainPrice.Known() || !e.NitrogenPrice.Known() || e.GrainPrice.Value <= 0 || c.fs.Field.Crop == season.WheatGrazeOut {
		return nil
	}
	var plots []season.Plot
	for _, t := range c.fs.Trials {
		plots = append(plots, t.Plots...)
	}
	ratio := unit.Ratio(e.NitrogenPrice.Value / e.GrainPrice.Value)
	fitted, err := response.Compare(plots, ratio)
	if err != nil {
		c.warn("The trials gave no response curve: "+err.Error()+".", "")
		return nil
	}
	curves := make([]nitrogen.Curve, 0, len(fitted))
	for _, a := range fitted {
		curve := nitrogen.Curve{
			Form: string(a.Curve.Form), FittedOn: trialNames(c.fs.Trials), Source: cite.Cerrato1990, Status: cite.Derived,
			Optimum: a.Optimum.Rate, Beyond: a.Optimum.Beyond, Refused: a.Optimum.Refused, Reason: a.Optimum.Reason,
		}
		step := (a.Curve.Highest - a.Curve.Lowest) / curvePoints
		for i := range curvePoints + 1 {
			n := a.Curve.Lowest + step*unit.Rate(i)
			curve.Points = append(curve.Points, nitrogen.CurvePoint{Total: n, Yield: a.Curve.Yield(n)})
		}
		if a.Curve.Form == response.Quadratic {
			if limits, err := response.Fieller(plots, ratio, 0.9); err == nil && !limits.HighOpen {
				curve.Low, curve.High, curve.Level, curve.HasInterval = limits.Low, limits.High, 0.9, true
			}
		}
		curves = append(curves, curve)
	}
	return curves
}

func trialNames(trials []*season.Trial) string {
	names := ""
	for i, t := range trials {
		if i > 0 {
			names += "; "
		}
		names += t.Name + " " + calendar.Date(t.Year, 1, 1).Time().Format("2006")
	}
	return names
}

// gainOf is what the nitrogen is expected to bring in yield.
//
// A way that looked at the crop says so itself. A balance or a table only counts what a yield takes up on
// average, which is more than the last pound brings; where trials of the crop are at hand their curve stands
// in. Without trials the way's own average is taken, and a way that says nothing of yield, such as a ramp,
// borrows that of the first balance that can answer.
func (c *inquiry) gainOf(a nitrogen.Answer, answers []nitrogen.Answer, trials gainCurve) gainCurve {
	if c.fs.Field.Crop == season.WheatGrazeOut {
		low, high := grazing.GainFrom(a.Rate)
		return gainCurve{
			slope: grazing.GainPerNitrogenLow, cap: unit.Yield(low), capHigh: unit.Yield(high),
			from: "two pounds of live weight for a pound of nitrogen", source: cite.Practice, status: cite.CommonPractice,
		}
	}
	if a.Family != rulebook.FamilyInSeason && trials.known() {
		return trials
	}
	own := gainCurve{from: a.Name, source: a.Figure.Source, status: a.Figure.Status}
	if a.YieldGain.Known {
		own.answer, own.slope, own.cap, own.capHigh = a, a.YieldGain.SlopeKgPerKg, a.YieldGain.Cap, a.YieldGain.CapHigh
		own.notes = append(own.notes, "The way's own efficiency already holds ordinary losses, so charging loss and tie-up again keeps the gain on the cautious side.")
		if a.Family != rulebook.FamilyInSeason {
			own.notes = append(own.notes, averageNote)
		}
		return own
	}
	for _, other := range answers {
		if s := other.YieldGain.SlopeKgPerKg; other.Answered && other.YieldGain.Known && s > 0 {
			most := unit.Yield(float64(a.Rate) * s)
			return gainCurve{
				slope: s, cap: most, capHigh: most, from: other.Name + ", since " + a.Name + " says nothing of yield",
				source: other.Figure.Source, status: other.Figure.Status, notes: []string{averageNote},
			}
		}
	}
	return gainCurve{}
}

const averageNote = "What a yield takes up on average is more than the last pound brings, so the gain is on the hopeful side. Trials of the crop in the season would put their curve in its place."

// trialGain is the gain by the season's trials: the quadratic-plateau, which Cerrato and Blackmer 1990 found to
// describe their sites best, with the other forms as its range.
func trialGain(answers []nitrogen.Answer) gainCurve {
	var g gainCurve
	for _, a := range answers {
		switch {
		case !a.Answered || a.Family != nitrogen.FamilyCurve || !a.YieldGain.Known:
		case a.Method == "curve-"+string(response.QuadraticPlateau):
			g.answer, g.from = a, "the trials of "+a.FittedOn+" ("+a.Name+")"
			g.source, g.status = a.Figure.Source, a.Figure.Status
		default:
			g.forms = append(g.forms, a)
		}
	}
	if !g.answer.YieldGain.Known {
		return gainCurve{}
	}
	g.notes = []string{"The range is that between the forms of curve fitted to the same plots."}
	return g
}

// whyNoRate says what would let a way answer.
func (c *inquiry) whyNoRate() string {
	switch {
	case !c.known.goal.Known() && len(c.fs.Readings) == 0:
		return "neither a reference reading nor a yield goal is at hand, so no way of finding a rate can answer"
	case !c.known.goal.Known():
		return "without a yield goal no mass balance can answer, and the readings alone give no rate"
	default:
		return "no way of finding a rate can answer from what is known"
	}
}

func (c *inquiry) showSpread(d nitrogen.Disagreement) {
	c.plan.Spread = RateSpread{Low: d.Low, High: d.High, Answers: d.Answers}
	if d.Answers < 2 || d.Cause.Kind == "" {
		return
	}
	name := func(method string) working.Part {
		for _, r := range c.plan.Rates {
			if r.Method == method {
				f, _ := c.ledger().Get(r.Figure)
				return working.Claim(r.Name, f)
			}
		}
		return working.Words(method)
	}
	span := c.ledger().Add(working.Figure{
		ID: "rate.spread", Label: "Spread of the answers", Amount: working.Of(d.High - d.Low),
		Text:       unit.Show(unit.KindRate, float64(d.Low), c.plan.Units).Number + " to " + unit.Show(unit.KindRate, float64(d.High), c.plan.Units).String(),
		Expression: "greatest less least of the answers, which are not blended",
		Inputs: []working.Input{
			{Label: "least", Amount: working.Of(d.Low), Origin: working.Origin{Kind: working.Computed}},
			{Label: "greatest", Amount: working.Of(d.High), Origin: working.Origin{Kind: working.Computed}},
		},
	})
	sentence := working.Sentence{working.Words("The ways answer from "), working.Number(span), working.Words("; between "), name(d.Lead), working.Words(" and "), name(d.Farthest), working.Words(" ")}
	if d.Cause.Kind == nitrogen.CauseWay {
		c.plan.Spread.Explained = append(sentence, working.Words("no one input explains it: "+d.Cause.Label+"."))
		return
	}
	cause := c.ledger().Add(working.Figure{
		ID: "rate.spread.cause", Label: sentenceCase(d.Cause.Label) + ": what it accounts for", Amount: working.Of(abs(d.Cause.Accounts)),
		Expression: "the part of the difference between the two answers that this alone makes",
		Inputs: []working.Input{
			{Label: "with the way followed", Amount: d.Cause.InLead, Origin: working.Origin{Kind: working.Computed}},
			{Label: "with the other", Amount: d.Cause.InFarthest, Origin: working.Origin{Kind: working.Computed}},
		},
	})
	assumed := ""
	if d.Cause.Assumed {
		assumed = " (assumed, not seen)"
	}
	c.plan.Spread.Explained = append(sentence, working.Words("most of the difference is "+d.Cause.Label+assumed+", "), working.Number(cause), working.Words("."))
}

func abs(r unit.Rate) unit.Rate {
	if r < 0 {
		return -r
	}
	return r
}
