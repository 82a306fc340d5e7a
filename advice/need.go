package advice

import (
	"fmt"
	"strconv"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/need"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// needFinding is what the references of the field say together.
type needFinding struct {
	need.Finding
	// index is the figure of the deciding response index; HasIndex says that there is one.
	index working.Figure
}

// askNeed compares every reference with the crop beside it. The strongest and latest decides; the others
// stand beside it.
func (c *inquiry) askNeed() {
	findings := make([]need.Finding, 0, len(c.fs.Readings))
	for _, r := range c.fs.Readings {
		f, err := need.Assess(r, c.fs.Field.Crop, need.Options{Seed: seed(r.Subject())})
		if err != nil {
			c.warn(fmt.Sprintf("Readings of %s on strip %s were left out: %v.", r.Day.Short(), r.Strip, err), "")
			continue
		}
		findings = append(findings, f)
	}
	for i, f := range need.Order(findings) {
		c.plan.Need.Evidence = append(c.plan.Need.Evidence, c.evidence(i, f))
	}
	c.need.Finding = need.Strongest(findings)
	c.plan.Need.Verdict = c.need.Verdict
	if len(findings) > 0 {
		c.need.index, _ = c.ledger().Get(c.plan.Need.Evidence[0].Index)
	}
	if f := c.need.Finding; f.HasInterval && f.High < 1 {
		c.warn("The reference reads below the crop beside it: make sure it got its nitrogen and does not lie on poorer ground.", c.need.index.ID)
	}
	for _, w := range c.need.Warnings {
		c.warn(w, c.need.index.ID)
	}
	c.plan.Need.Sentence = c.needSentence()
	c.askRamp()
	if c.need.Verdict == need.NoReference {
		brings := "the crop's own word on whether it lacks nitrogen"
		if c.fs.Field.Crop.IsWheat() {
			brings += ", and a rate from it"
		}
		c.missing("a reading on a reference strip", brings)
	}
}

// askRamp lets a row of strips of stepped nitrogen speak where no sensor read a reference: that a strip with
// more nitrogen still looks better is a response seen, and weighs more than scores by eye.
func (c *inquiry) askRamp() {
	n := len(c.fs.Ramps)
	if n == 0 {
		return
	}
	ramp := c.fs.Ramps[n-1]
	verdict := need.NoResponse
	last := working.Figure{
		ID: "need.ramp", Label: "Last strip of the ramp that still looks better", Amount: working.Of(unit.Rate(0)),
		Origin: working.Origin{Kind: working.Observed, By: ramp.Observer, On: ramp.Day, With: "ramp of strips"},
		Source: cite.TexasRamp, Status: cite.Confirmed,
	}
	for _, s := range ramp.Steps {
		if s.Better && s.Rate >= unit.Rate(last.Amount.Base) {
			verdict, last.Amount = need.ResponseSeen, working.Of(s.Rate)
		}
	}
	last = c.ledger().Add(last)
	seen := fmt.Sprintf(", seen on %s by %s.", ramp.Day.Short(), ramp.Observer)
	sentence := working.Sentence{working.Words("On the ramp no strip looks better than the one with less nitrogen" + seen)}
	if verdict == need.ResponseSeen {
		sentence = working.Sentence{working.Words("On the ramp the strip with "), working.Number(last), working.Words(" of nitrogen still looks better than the one with less" + seen)}
	}
	have := c.need.Verdict
	if have != need.NoReference && c.need.Means == season.Sensor {
		if have != verdict && have != need.ResponseUnsure {
			c.warn("The ramp says \""+string(verdict)+"\", the sensor \""+string(have)+"\": walk both before spreading.", last.ID)
		}
		return
	}
	if have != need.NoReference && have != verdict {
		c.warn("The ramp says \""+string(verdict)+"\", the scores by eye \""+string(have)+"\": the ramp decides; walk both before spreading.", last.ID)
	}
	c.need.Verdict, c.plan.Need.Verdict, c.need.index, c.need.Day = verdict, verdict, last, ramp.Day
	c.plan.Need.Sentence = sentence
}

func (c *inquiry) evidence(i int, f need.Finding) NeedEvidence {
	e := NeedEvidence{
		Strip: f.Strip, Day: f.Day, Observer: f.Observer, Instrument: f.Instrument, Reference: f.Against,
		Means: f.Means, Strength: f.Strength, StrengthWhy: f.StrengthWhy, Verdict: f.Verdict, Pairs: f.Pairs,
		Warnings: f.Warnings,
	}
	for _, p := range f.Points {
		e.Series = append(e.Series, PairPoint(p))
	}
	origin := working.Origin{Kind: working.Observed, By: f.Observer, On: f.Day, With: f.Instrument}
	n := strconv.Itoa(i + 1)
	switch {
	case f.HasIndex:
		e.Index = c.indexFigure(n, f, origin).ID
	case f.Means == season.Eye && f.Signs.HasShare:
		e.Share = c.shareFigure(n, f, origin).ID
	}
	return e
}

func (c *inquiry) indexFigure(n string, f need.Finding, origin working.Origin) working.Figure {
	l := c.ledger()
	reference := l.Add(working.Figure{
		ID: working.ID("need.reference." + n), Label: "Mean reading on the reference", Amount: working.Of(f.Reference), Origin: origin,
	})
	beside := l.Add(working.Figure{
		ID: working.ID("need.beside." + n), Label: "Mean reading beside the reference", Amount: working.Of(f.Beside), Origin: origin,
	})
	fig := working.Figure{
		ID: working.ID("need.index." + n), Label: "Response index, " + referenceName(f), Amount: working.Of(f.Index),
		Expression: "mean reading on the reference ÷ mean reading beside it",
		Inputs:     []working.Input{reference.Ref(), beside.Ref()},
		Source:     cite.Raun2002, Status: cite.Confirmed,
		Notes: []string{f.Method},
	}
	if f.HasInterval {
		fig.Interval = &working.Interval{Low: float64(f.Low), High: float64(f.High), Level: f.Level}
	}
	if f.HasAutocorrelation {
		fig.Notes = append(fig.Notes, fmt.Sprintf("%d pairs; neighbouring pairs correlate by %.2f; drawn anew in blocks of %d.", f.Pairs, f.Autocorrelation, max(f.BlockLength, 1)))
	}
	fig.Notes = append(fig.Notes, f.Pairing, "A strip is one place: better ground under it reads the same as nitrogen.")
	off := unit.Index(0.02)
	fig.WouldChange = []working.Effect{{Input: "the mean beside the reference", By: working.Of(off), To: working.Of(unit.Ratio(float64(f.Reference) / float64(f.Beside+off)))}}
	return l.Add(fig)
}

func (c *inquiry) shareFigure(n string, f need.Finding, origin working.Origin) working.Figure {
	return c.ledger().Add(working.Figure{
		ID: working.ID("need.share." + n), Label: "Places where the " + referenceName(f) + " looks greener", Amount: working.Of(f.Signs.Share),
		Interval:   &working.Interval{Low: float64(f.Signs.Low), High: float64(f.Signs.High), Level: f.Level},
		Expression: fmt.Sprintf("%d greener, %d alike, %d paler; greener ÷ (greener + paler)", f.Signs.Greener, f.Signs.Alike, f.Signs.Paler),
		Origin:     origin, Source: cite.ClopperPearson, Status: cite.FromMemory, Notes: []string{f.Method},
	})
}

func referenceName(f need.Finding) string {
	switch f.Against {
	case season.DungReference:
		return named("dung spots", f.Strip)
	case season.UrineReference:
		return named("urine spots", f.Strip)
	default:
		return "reference strip " + f.Strip
	}
}

// named gives a group of spots its name, unless the name says no more than what they are.
func named(what, name string) string {
	if name == "" || strings.EqualFold(name, what) {
		return what
	}
	return what + " " + name
}

// needSentence says what the evidence says.
func (c *inquiry) needSentence() working.Sentence {
	f := c.need.Finding
	if f.Verdict == need.NoReference {
		return working.Sentence{working.Words("No reference was read, so the crop itself has not been asked.")}
	}
	read := fmt.Sprintf(", read on %s by %s", f.Day.Short(), f.Observer)
	name := referenceName(f)
	if !f.HasIndex {
		share, ok := c.ledger().Get(c.plan.Need.Evidence[0].Share)
		if !ok {
			return working.Sentence{working.Words("Scored by eye, the " + name + " looks like the crop beside it in every pair" + read + ": " + string(f.Verdict) + ".")}
		}
		return working.Sentence{
			working.Words("Scored by eye, the " + name + " looks greener in "), working.Range(share),
			working.Words(" of the places that differ" + read + ": " + string(f.Verdict) + "."),
		}
	}
	verdict := map[need.Verdict]string{
		need.ResponseSeen:   "the crop answers to nitrogen",
		need.ResponseUnsure: "it is open whether the crop answers to nitrogen",
		need.NoResponse:     "no response is seen",
	}[f.Verdict]
	return working.Sentence{
		working.Words("On the " + name + " the reading is "), working.Range(c.need.index),
		working.Words(" times that of the crop beside" + read + ": " + verdict + "."),
	}
}
