package advice

import (
	"hash/fnv"
	"slices"

	"culm/agronomy/soil"
	"culm/agronomy/timing"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Advise computes the plan for one field. It never fails: what cannot be answered is part of the plan, with
// what would be needed to answer it.
//
// It asks in the order of the trade: is there a need, how much, from which product placed how on which day,
// and does it pay. Each question is a file of this package.
func (a *Advisor) Advise(fs season.FieldSeason) Plan { return a.AdviseUnder(OutlookOf(fs), fs) }

// AdviseUnder is Advise with an outlook that several fields share. It must be that of the field season: see
// SharedBy.
func (a *Advisor) AdviseUnder(o *Outlook, fs season.FieldSeason) Plan { return a.inquire(o, fs).plan }

// inquire works a plan out.
func (a *Advisor) inquire(o *Outlook, fs season.FieldSeason) *inquiry {
	c := &inquiry{advisor: a, fs: fs, outlook: o}
	c.plan = Plan{
		Version: Version, Field: fs.Field, Producer: fs.Producer, Today: fs.Today,
		Invented: fs.Settings.Invented, Units: fs.Settings.Units,
	}
	c.blendWeather()
	c.know()
	c.askNeed()
	c.askStage()
	c.askDeadline()
	c.askRate()
	c.askDays()
	c.askOptions()
	c.decide()
	c.sayPlaced()
	c.askChanged()
	c.askSpots()
	c.askGround()
	c.cautions()
	c.plan.Books = c.usedBooks()
	return c
}

// inquiry is the state of working out one plan. Each chapter reads what earlier ones found.
type inquiry struct {
	advisor *Advisor
	fs      season.FieldSeason
	plan    Plan

	known known
	spots soil.Matched
	need  needFinding
	rate  rateFinding
	// outlook is the station's, table the field's days by it, days those of them that one may be chosen from.
	outlook *Outlook
	table   *timing.Table
	days    []*timing.Day
	// stations names those whose weather was blended; empty where the field has one.
	stations string
	stopped  string // why nothing may be spread today, asked when no forecast tells of the coming days
	options  []optionFinding
	chosen   *optionFinding
	// heldByGround says that the decision is to hold because no day is open.
	heldByGround bool
}

func (c *inquiry) ledger() *working.Ledger { return &c.plan.Figures }

func (c *inquiry) warn(text string, f working.ID) {
	for _, n := range c.plan.Warnings {
		if n.Text == text {
			return
		}
	}
	c.plan.Warnings = append(c.plan.Warnings, Note{Text: text, Figure: f})
}

func (c *inquiry) missing(what, brings string) {
	c.plan.Missing = append(c.plan.Missing, Missing{What: what, Brings: brings})
}

// needed marks what is missing without which no decision can be made.
func (c *inquiry) needed(whats ...string) {
	for i := range c.plan.Missing {
		if slices.Contains(whats, c.plan.Missing[i].What) {
			c.plan.Missing[i].Needed = true
		}
	}
}

// seed starts the random draws of a field: the same field and subject always draw the same numbers.
func seed(parts ...string) uint64 {
	h := fnv.New64a()
	for _, p := range parts {
		_, _ = h.Write([]byte(p)) // a hash never fails
		_, _ = h.Write([]byte{0})
	}
	return h.Sum64()
}

// enter puts a known fact in the ledger as a figure of its own.
func enter[T unit.Quantity](l *working.Ledger, id working.ID, label string, f working.Fact[T], kind unit.Kind) working.Figure {
	return l.Add(working.Figure{ID: id, Label: label, Amount: working.Of(f.Value).As(kind), Origin: f.Origin})
}
