package advice

import (
	"fmt"
	"slices"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/crop"
	"culm/agronomy/need"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Waiting times. Common practice, no source: a strip is walked again after a week or two of growth, and
// nitrogen ordered and spread within a few days.
const (
	lookAgainUnsure = 7
	lookAgainNone   = 14
	timeToSpread    = 4
	// readingLasts is how many days a reading speaks for the crop.
	readingLasts = 42
	// leastRate is the nitrogen below which no spreader or sprayer spreads evenly.
	leastRate = 15 * unit.PoundPerAcre
)

// decide turns the findings into the decision and says it in a sentence. The cases are asked in the order
// in which they overrule one another.
func (c *inquiry) decide() {
	d := &c.plan.Decision
	deadline := c.plan.Deadline
	if deadline.Known {
		d.DaysLeft, d.HasDaysLeft = deadline.Day.Sub(c.fs.Today), true
	}
	switch {
	case deadline.Past || deadline.Known && c.fs.Today.After(deadline.High):
		c.leaveTooLate()
	case deadline.Known && c.fs.Today.After(deadline.Day):
		c.holdForStage()
	case c.fs.Field.Crop == season.Canola && c.known.stand.Known() && c.known.stand.Value < crop.ThinStand:
		c.holdForStand()
	case c.need.Verdict == need.NoResponse:
		c.holdNoResponse()
	case c.need.Verdict == need.ResponseUnsure && c.timeFor(lookAgainUnsure):
		c.holdUnsure()
	case c.staleBy() > 0:
		c.holdStale()
	case !c.rate.answered:
		c.ask()
	case c.rate.rate <= 0:
		c.leaveNoNeed()
	case c.rate.rate < leastRate:
		c.leaveTooLittle()
	case c.chosen != nil && c.chosen.worth.net <= 0:
		c.leaveDoesNotPay()
	case c.chosen != nil:
		c.spread()
	case slices.ContainsFunc(c.options, func(o optionFinding) bool { return o.closed }):
		c.holdForGround()
	default:
		c.askPrices()
	}
	c.showDays()
	c.showOptions()
	c.showResponse()
}

// timeFor says that after waiting some days there is still time to spread.
func (c *inquiry) timeFor(days int) bool {
	return !c.plan.Deadline.Known || c.plan.Deadline.Day.Sub(c.fs.Today) >= days+timeToSpread
}

// lookAgain is a day some days on, or as late as leaves time to spread.
func (c *inquiry) lookAgain(days int) calendar.Day {
	day := c.fs.Today.Add(days)
	if c.plan.Deadline.Known {
		if latest := c.plan.Deadline.Day.Add(-timeToSpread); latest.Before(day) {
			day = latest
		}
	}
	if day.Before(c.fs.Today) {
		return c.fs.Today
	}
	return day
}

func (c *inquiry) leaveTooLate() {
	c.plan.Decision.Action = Leave
	deadline, _ := c.ledger().Get(c.plan.Deadline.Figure)
	stage := "the first node is out"
	if c.fs.Field.Crop == season.Canola {
		stage = "the stem is lengthening"
	}
	if !c.plan.Deadline.Past {
		stage = "by any usual spring " + stage
	}
	c.say(working.Words("Leave it: "), working.Claim(stage, deadline),
		working.Words(", past the time when top-dress surely pays. A starved crop may still answer for some days: that is the advisor's call."))
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
	if c.need.Verdict == need.ResponseSeen {
		c.stakeIfNeeded()
	}
}

// holdForStage: the usual day has passed, and nobody has looked.
func (c *inquiry) holdForStage() {
	c.hold(1)
	deadline, _ := c.ledger().Get(c.plan.Deadline.Figure)
	c.say(working.Words("Hold: "), working.Claim("the stem may be lengthening by now", deadline),
		working.Words("; note the growth stage by "), c.lookAgainPart(), working.Words(" before anything is spread."))
	c.missing("the crop's growth stage", "whether nitrogen still makes yield")
	c.needed("the crop's growth stage")
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
	c.stakeIfNeeded()
}

func (c *inquiry) holdForStand() {
	stand := enter(c.ledger(), "stand", "Stand", c.known.stand, unit.KindFraction)
	c.hold(10)
	c.say(working.Words("Hold: at "), working.Number(stand),
		working.Words(" of a full stand it is not clear that the canola will carry to harvest; look again by "), c.lookAgainPart(), working.Words("."))
	c.because(c.plan.Need.Sentence...)
	c.stakeIfNeeded()
}

func (c *inquiry) holdNoResponse() {
	if !c.timeFor(timeToSpread) {
		c.plan.Decision.Action = Leave
		c.say(working.Words("Leave it: "), c.needPart("no response is seen"), working.Words(", and before "), c.deadlinePart(), working.Words(" there is no time to look again."))
	} else {
		c.hold(lookAgainNone)
		c.say(working.Words("Hold: "), c.needPart("no response is seen"), working.Words("; look again by "), c.lookAgainPart(), working.Words("."))
	}
	c.because(c.plan.Need.Sentence...)
	c.stakeIfHigh()
}

// staleBy counts the days by which the deciding reading is too old to speak for the crop of today; 0 while it
// still does, or when nothing was read.
func (c *inquiry) staleBy() int {
	if c.need.Verdict != need.ResponseSeen || c.need.Day.IsZero() {
		return 0
	}
	return max(0, c.fs.Today.Sub(c.need.Day)-readingLasts)
}

func (c *inquiry) holdStale() {
	c.hold(lookAgainUnsure)
	c.say(working.Words("Hold: "), c.needPart("a response was seen on "+c.need.Day.Spoken()), working.Words(", too long ago to speak for the crop of today; read the reference again by "), c.lookAgainPart(), working.Words("."))
	c.because(c.plan.Need.Sentence...)
}

func (c *inquiry) holdUnsure() {
	c.hold(lookAgainUnsure)
	c.say(working.Words("Hold: "), c.needPart("the reference leaves it open"), working.Words("; read it again by "), c.lookAgainPart(), working.Words("."))
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
	c.stakeIfHigh()
}

func (c *inquiry) holdForGround() {
	c.heldByGround = true
	c.hold(c.daysUntilOpen())
	stop := c.stopped
	if len(c.days) > 0 {
		stop = c.days[0].Stop()
	}
	if i := slices.IndexFunc(c.options, func(o optionFinding) bool { return o.closed }); stop == "" && i >= 0 {
		stop = c.options[i].why
	}
	c.say(working.Words("Hold: "), working.Number(c.advisedRate()), working.Words(" of nitrogen is called for, but "+stop+"; look again by "), c.lookAgainPart(), working.Words("."))
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
	c.stakeIfNeeded()
}

// daysUntilOpen counts the days to the end of what is known of the weather, which is all stopped.
func (c *inquiry) daysUntilOpen() int {
	if len(c.days) == 0 {
		return lookAgainUnsure
	}
	return c.days[len(c.days)-1].Day.Sub(c.fs.Today) + 1
}

func (c *inquiry) leaveNoNeed() {
	c.plan.Decision.Action = Leave
	c.say(working.Words("Leave it: "), working.Claim("the crop has the nitrogen it needs", c.rate.figure), working.Words(" by "+c.rate.name+"."))
	c.because(c.plan.Need.Sentence...)
}

func (c *inquiry) leaveTooLittle() {
	c.plan.Decision.Action = Leave
	least := c.ledger().Add(working.Figure{
		ID: "least-rate", Label: "Least nitrogen worth a pass", Amount: working.Of(unit.Rate(leastRate)),
		Origin: working.Origin{Kind: working.Assumed, Why: "what spreaders and sprayers can still spread evenly"}, Source: cite.Practice, Status: cite.CommonPractice,
	})
	c.say(working.Words("Leave it: only "), working.Number(c.advisedRate()), working.Words(" of nitrogen is called for, less than the "), working.Number(least), working.Words(" that can be spread evenly."))
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
}

func (c *inquiry) leaveDoesNotPay() {
	c.plan.Decision.Action = Leave
	net := c.ledger().Add(c.netFigure("pay.net", "Net over doing nothing", c.chosen))
	c.say(working.Words("Leave it: "), working.Number(c.advisedRate()), working.Words(" of nitrogen would be used, but does not pay; it nets "), working.Range(net), working.Words("."))
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
	c.plan.Pay.PerArea, c.plan.Pay.Net, c.plan.Pay.NetLow, c.plan.Pay.NetHigh = net.ID, c.chosen.worth.net, c.chosen.worth.netLow, c.chosen.worth.netHigh
}

func (c *inquiry) ask() {
	c.plan.Decision.Action = Ask
	c.plan.Decision.LookAgain = c.lookAgain(lookAgainUnsure)
	c.needed("a reading on a reference strip", "a yield goal", "the planting date", "the season's daily weather")
	c.say(working.Words("Cannot say yet: "+c.rate.why+"; find out by "), c.lookAgainPart(), working.Words("."))
	c.because(c.plan.Need.Sentence...)
}

func (c *inquiry) askPrices() {
	c.plan.Decision.Action = Ask
	c.plan.Decision.LookAgain = c.lookAgain(lookAgainUnsure)
	c.say(working.Number(c.advisedRate()), working.Words(" of nitrogen is called for; whether it pays cannot be said without prices. Enter them by "), c.lookAgainPart(), working.Words("."))
	c.because(c.plan.Need.Sentence...)
	c.becauseRate()
}

func (c *inquiry) hold(days int) {
	c.plan.Decision.Action = Hold
	c.plan.Decision.LookAgain = c.lookAgain(days)
}

// say sets the sentence.
func (c *inquiry) say(parts ...working.Part) { c.plan.Sentence = parts }

// because adds a reason.
func (c *inquiry) because(parts ...working.Part) {
	if len(parts) > 0 {
		c.plan.Reasons = append(c.plan.Reasons, parts)
	}
}

func (c *inquiry) becauseRate() {
	if c.rate.figure.ID == "" {
		return
	}
	c.because(working.Words("The rate follows "+c.rate.name+": "), working.Range(c.rate.figure), working.Words("; "+c.rate.leadWhy+"."))
}

func (c *inquiry) needPart(words string) working.Part {
	if c.need.index.ID != "" {
		return working.Claim(words, c.need.index)
	}
	if len(c.plan.Need.Evidence) > 0 && c.plan.Need.Evidence[0].Share != "" {
		share, _ := c.ledger().Get(c.plan.Need.Evidence[0].Share)
		return working.Claim(words, share)
	}
	return working.Words(words)
}

func (c *inquiry) lookAgainPart() working.Part {
	f := c.ledger().Add(working.Figure{
		ID: "look-again", Label: "Day to look again", Text: c.plan.Decision.LookAgain.Spoken(),
		Expression: fmt.Sprintf("some days of growth on (%d where the reference leaves it open, %d where no response is seen), or as late as leaves %d days to order and spread before the deadline", lookAgainUnsure, lookAgainNone, timeToSpread),
		Status:     "common practice, no source",
	})
	return working.Number(f)
}

func (c *inquiry) deadlinePart() working.Part {
	f, _ := c.ledger().Get(c.plan.Deadline.Figure)
	return working.Number(f)
}

// stakeIfNeeded sets the stake to what spreading as advised would net.
func (c *inquiry) stakeIfNeeded() { c.stakeAt(c.rate.rate, c.rate.gain, "at the rate called for") }

// stakeIfHigh sets the stake to what spreading would net if the high end of the evidence were true.
func (c *inquiry) stakeIfHigh() {
	c.stakeAt(max(c.rate.rate, c.rate.high), c.rate.gain.high(), "at the rate that the high end of the evidence would call for")
}

// stakeAt takes the best product on its best open day; where no day is open, on a day like today.
func (c *inquiry) stakeAt(rate unit.Rate, gain gainCurve, atWhat string) {
	if rate <= 0 || c.known.grain == nil || !c.known.area.Known() || !gain.known() {
		return
	}
	best := choose(c.weighAll(rate, gain))
	if best == nil {
		undated := *c
		undated.days, undated.stopped = nil, ""
		best = choose(undated.weighAll(rate, gain))
	}
	if best == nil || best.worth.net <= 0 {
		return
	}
	c.plan.Decision.Stake = onField(best.worth.net, c.known.area.Value)
	c.ledger().Add(working.Figure{
		ID: "stake", Label: "At stake on the field", Amount: working.Of(c.plan.Decision.Stake),
		Expression: "net per area of the best product on its best day × area, " + atWhat,
		Inputs: []working.Input{
			{Label: "nitrogen", Amount: working.Of(rate), Origin: working.Origin{Kind: working.Computed}},
			{Label: "net per area", Amount: working.Of(best.worth.net), Origin: working.Origin{Kind: working.Computed}},
			c.known.area.Input("area"),
		},
	})
}

func onField(perArea unit.MoneyPerArea, area unit.Area) unit.Money {
	return unit.Money(float64(perArea) * float64(area))
}
