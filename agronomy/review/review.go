// Package review looks back after harvest: was the advice right? It sets what was really spread and cut
// against a decision as it stood on its day.
//
// Only strips left apart can tell. A strip without top-dress shows what the nitrogen brought, the reference
// strip whether the crop had enough. Where they are missing the review says what cannot be known rather than
// comparing with other fields or years. Grain protein is a second witness: Montana State University finds
// that winter wheat below 12.5 % was limited by nitrogen, [cite.MontanaSuccess].
//
// A strip weighed once is one observation. The review never corrects next year's advice by itself.
package review

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// ProteinLimit is the grain protein below which winter wheat was short of nitrogen for yield, and
// ProteinSource where it was published. It is Montana's and may differ elsewhere.
const (
	ProteinLimit  unit.Fraction = 0.125
	ProteinSource               = cite.MontanaSuccess
)

// Margins, of common practice without a source.
const (
	// Enough is the harvest index of the reference over the field up to which the field had nitrogen enough.
	Enough unit.Ratio = 1.05
	// Near is the share by which a rate may miss the advised one and still follow it.
	Near = 0.10
)

// Decision is what was advised, as it stood.
type Decision struct {
	// Made is the day of the plan.
	Made calendar.Day
	// Spread says that top-dress was advised; Open that nothing was decided, because something was missing.
	// With neither, the advice was to hold or to leave it.
	Spread, Open bool
	// Rate of N, Product, Placement and Day are set when Spread.
	Rate      unit.Rate
	Product   string
	Placement string
	Day       calendar.Day
	// Gain is the yield gain expected from the top-dress, within Low and High, where HasGain is set.
	Gain, GainLow, GainHigh unit.Yield
	HasGain                 bool
	// Index is the response index read in the season, where HasIndex is set.
	Index    unit.Ratio
	HasIndex bool
	// Known is what the plan already counted as spread; it is not counted again.
	Known []*season.Applied
}

// Outcome is what became of the field.
type Outcome struct {
	Crop     season.Crop
	Applied  []*season.Applied
	Harvests []*season.Harvest
	Prices   Prices
}

// Prices are those of the harvest. A missing one leaves the money unjudged.
type Prices struct {
	Grain working.Fact[unit.PricePerMass]
	// Nitrogen is per kg of N, by product; Pass what each pass costs.
	Nitrogen map[string]working.Fact[unit.PricePerMass]
	Pass     working.Fact[unit.MoneyPerArea]
}

// Verdict is whether the advice was right.
type Verdict string

// The verdicts.
const (
	Held     Verdict = "the advice was right"
	Failed   Verdict = "the advice was wrong"
	Unjudged Verdict = "cannot be judged"
)

// Followed is how what was spread compares with the advice.
type Followed string

// The ways.
const (
	AsAdvised  Followed = "as advised"
	Otherwise  Followed = "spread otherwise than advised"
	NotSpread  Followed = "advised but not spread"
	Unadvised  Followed = "spread though not advised"
	LeftAlone  Followed = "left alone as advised"
	NoDecision Followed = "nothing was advised"
)

// Review is a decision seen from after the harvest.
type Review struct {
	Followed Followed
	// Passes are what was spread on the plan's day or later and before the harvest, by day.
	Passes []*season.Applied
	// Rate is the N in all Passes, RateOff that less the advised rate.
	Rate, RateOff unit.Rate
	// SameProduct says that every pass was of the advised product. DaysOff counts the days from the advised
	// day to the first pass, negative when it was early; HasDaysOff says that both days are known.
	SameProduct bool
	DaysOff     int
	HasDaysOff  bool

	// Field, Reference and None are what was cut: the field, the reference strip, and the strip without
	// top-dress. Each is nil where it was not weighed apart.
	Field, Reference, None *season.Harvest

	// Index is the response index at harvest: the reference over what had no top-dress. What that is says
	// IndexOver: the strip without, or the field itself when nothing was spread.
	Index     unit.Ratio
	HasIndex  bool
	IndexOver string
	// Left is the reference over the field: how much response the field was left with.
	Left    unit.Ratio
	HasLeft bool
	// Gain is the field less the strip without top-dress, Net its worth less nitrogen and passes.
	Gain    unit.Yield
	HasGain bool
	Net     unit.MoneyPerArea
	HasNet  bool
	// Protein is that of the field's grain, and ProteinShort says that it is below ProteinLimit; both only
	// where it was tested, for wheat.
	Protein      working.Fact[unit.Fraction]
	ProteinShort bool

	Verdict Verdict
	// Why gives the verdict's reasons, the deciding one first.
	Why []string
	// Unknown says what cannot be judged, and what would have been needed.
	Unknown []string
}
