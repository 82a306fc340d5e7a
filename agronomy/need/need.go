// Package need answers the first question of a top-dress: does the crop lack nitrogen?
//
// The crop itself answers. Where part of a field got nitrogen enough (a strip spread in the fall, a dung or
// urine spot), the crop there is compared with the crop beside it. Readings of a greenness index give a
// response index, the mean on the reference over the mean beside it, with an interval that respects that
// neighbouring readings of a sensor log resemble each other. Scores by eye give a count of the places where
// the reference is greener. "No response seen" is a finding like any other.
//
// The package says nothing about rate: how an index becomes one is the business of package nitrogen. The
// index is the one of Raun et al. 2002; the intervals are from Politis and White 2004 and Hesterberg 2014.
// The margins and thresholds of the verdict are common practice and are named as such below.
package need

import (
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// Verdict is what a comparison with a reference says.
type Verdict string

// The verdicts.
const (
	ResponseSeen   Verdict = "response seen"
	ResponseUnsure Verdict = "response unsure"
	NoResponse     Verdict = "no response seen"
	NoReference    Verdict = "no reference read"
)

// Strength is how much a finding weighs as evidence.
type Strength string

// The strengths.
const (
	Strong Strength = "strong"
	Fair   Strength = "fair"
	Weak   Strength = "weak"
)

// Margins and thresholds. All are habits of the trade for which no publication was found (common practice,
// no source); they decide words and warnings, never a number.
const (
	// WorthSeeing is the least response index that is worth a pass.
	WorthSeeing unit.Ratio = 1.05
	// SaturatedAbove is the mean index on the reference above which NDVI hardly rises with more leaf. That
	// such indices saturate is published (Sensors 2019, 19:3712); the figure is practice.
	SaturatedAbove unit.Index = 0.85
	// BareBelow is the mean index beside the reference below which soil shows through and dilutes the ratio.
	BareBelow unit.Index = 0.30
	// FewPairs is the number of pairs below which readings are taken as independent and the interval comes
	// from Student's t: fewer say nothing about how neighbours resemble each other.
	FewPairs = 8
	// LeastPairs is the number below which there is no interval at all.
	LeastPairs = 3
	// WildSpread is the standard deviation of the pairs' log ratios above which they disagree widely.
	WildSpread = 0.25
)

// Options are the choices for the interval. The zero value of each field means its default.
type Options struct {
	// Seed starts the random draws; the same seed gives the same interval to the last digit.
	Seed uint64
	// Resamples is how many times the pairs are drawn anew: 2000 when zero, at least 200.
	Resamples int
	// Level is the confidence of the interval: 0.90 when zero, above 0.5 and below 1.
	Level unit.Fraction
}

// Finding is what one set of readings says.
type Finding struct {
	// What was compared, by whom and when.
	Strip      string
	Day        calendar.Day
	Observer   string
	Instrument string
	Against    season.Reference
	Means      season.Means

	Verdict Verdict
	// Why gives the verdict's reason in a few words.
	Why string

	// Index is the response index. HasIndex is false for scores by eye, which give none, and where nothing
	// was compared.
	Index    unit.Ratio
	HasIndex bool
	// Low and High bound the index at the confidence Level; HasInterval says that they are known.
	Low, High   unit.Ratio
	HasInterval bool
	Level       unit.Fraction
	// Method says in words how the interval was found.
	Method string

	// Reference and Beside are the mean readings on the reference and beside it; zero for scores by eye.
	Reference, Beside unit.Index
	// Pairs counts the pairs compared; zero when the readings could not be paired.
	Pairs int
	// Pairing says in words how readings were paired, and LeftOut counts readings that found no partner.
	Pairing string
	LeftOut int
	// BlockLength is the number of neighbouring pairs drawn together; 1 when pairs were drawn singly, 0 when
	// nothing was drawn. Autocorrelation is that of neighbouring pairs' log ratios (linearised about the
	// means), from -1 to 1; HasAutocorrelation is false below FewPairs.
	BlockLength        int
	Autocorrelation    float64
	HasAutocorrelation bool

	// Signs counts the places by eye; its zero value where a sensor was used.
	Signs Signs

	Strength Strength
	// StrengthWhy says what the strength rests on.
	StrengthWhy string
	// Warnings are doubts about the evidence, in sentences.
	Warnings []string
	// Points are the pairs in the order walked, for a picture.
	Points []Point
}

// Point is one pair: its distance along the strip in metres, or its number where distances are not known,
// and the two readings.
type Point struct {
	At, Reference, Beside float64
}

// Signs counts how pairs scored by eye compare.
type Signs struct {
	Greener, Alike, Paler int // the reference against the crop beside it
	// Share is that of Greener among the pairs that differ, with Low and High its exact (Clopper and
	// Pearson) bounds at the finding's level. HasShare is false when no pair differs: there is no share then,
	// which is not a share of zero.
	Share, Low, High unit.Fraction
	HasShare         bool
	// P is the two-sided p value of the exact sign test; 1 when no pair differs.
	P float64
}
