package advice

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// CalendarVersion names the shape of a Calendar in machine-readable output, as Version does that of a Plan.
const CalendarVersion = "culm.calendar/1"

// Calendar is a field's table of days: what each of the coming three weeks would cost, for every product that
// has a price and every way of placing it. The day, the loss and the money of the field's Plan are those of this
// table.
type Calendar struct {
	Version  string          `json:"version"`
	Field    season.Field    `json:"field"`
	Producer season.Producer `json:"producer"`
	Today    calendar.Day    `json:"today"`
	Invented bool            `json:"invented,omitempty"`
	Units    unit.System     `json:"units"`
	// HarvestYear is the year the crop is cut, which tells one season's days from another's.
	HarvestYear int `json:"harvestYear"`

	Decision Decision `json:"decision"` // the plan's
	Advice   string   `json:"advice"`   // the plan's sentence, read out in Units
	// Changed says what became of the day advised by the forecast before, and Was is that day; empty when nothing
	// did. Lost says that it is no longer good.
	Changed string       `json:"changed,omitempty"`
	Was     calendar.Day `json:"was,omitzero"`
	Lost    bool         `json:"lost,omitempty"`
	// Rate is the nitrogen that the money is reckoned for; HasMoney is false when no rate is called for, or
	// price or response is not known, and then no option has a net.
	Rate     unit.Rate `json:"rate,omitempty"`
	HasMoney bool      `json:"hasMoney"`
	Deadline Deadline  `json:"deadline"`

	Sky     Sky              `json:"sky"`
	Days    []CalendarDay    `json:"days"`
	Options []CalendarOption `json:"options"`
	// Good are the good days of the chosen option, joined into runs; empty unless the advice is to spread.
	Good []GoodDays `json:"good,omitempty"`

	Missing  []Missing `json:"missing,omitempty"`
	Assumed  []string  `json:"assumed,omitempty"` // of ground and weather
	Cautions []Caution `json:"cautions"`
}

// Sky says what the weather of a Calendar rests on.
type Sky struct {
	Station string `json:"station,omitempty"`
	// Issued is when the forecast was issued, By whom, and Until its last day; all zero without one that holds.
	Issued time.Time    `json:"issued,omitzero"`
	By     string       `json:"by,omitempty"`
	Until  calendar.Day `json:"until,omitzero"`
	// RecordFrom, RecordTo and RecordDays describe the record that weather beyond the forecast is simulated from;
	// zero where it is too short, and nothing is simulated.
	RecordFrom calendar.Day `json:"recordFrom,omitzero"`
	RecordTo   calendar.Day `json:"recordTo,omitzero"`
	RecordDays int          `json:"recordDays,omitempty"`
	// Courses is over how many courses that the weather may take losses and chances are reckoned; 1 when only the
	// forecast itself is.
	Courses int `json:"courses"`
}

// CalendarDay is a day of the table as far as it is the same for all products.
type CalendarDay struct {
	Day calendar.Day `json:"day"`
	// Forecast is false beyond the forecast's end: the day's weather is then what simulated weather is on average,
	// with the share of wet days as the chance of rain.
	Forecast bool               `json:"forecast"`
	Weather  season.ForecastDay `json:"weather"`
	// DaysLeft counts from the day to the deadline, negative past it; HasDaysLeft says that it is known.
	DaysLeft    int  `json:"daysLeft"`
	HasDaysLeft bool `json:"hasDaysLeft"`

	Ground       ground.State  `json:"ground"`
	GroundChance unit.Fraction `json:"groundChance,omitempty"` // of that state, where it is estimated
	// Stop is the reason for which nothing may be spread, in words; empty when the day is open. StopSource is where
	// its rule comes from.
	Stop       string   `json:"stop,omitempty"`
	StopSource cite.Key `json:"stopSource,omitempty"`
	// WashIn is the chance of half an inch of rain in one day on this day or the six after it, which trials ask for
	// to save surface urea; HasWashIn is false where nothing tells it.
	WashIn    unit.Fraction `json:"washIn"`
	HasWashIn bool          `json:"hasWashIn"`
}

// CalendarOption is a product placed one way, day by day.
type CalendarOption struct {
	Product     string        `json:"product"` // key
	ProductName string        `json:"productName"`
	Way         placement.Way `json:"way"`
	Placement   string        `json:"placement"` // the way's name
	Chosen      bool          `json:"chosen,omitempty"`
	// Possible is false when the option is ruled out whatever the day; Why says why. Against is what practice has
	// against it.
	Possible bool   `json:"possible"`
	Why      string `json:"why,omitempty"`
	Against  string `json:"against,omitempty"`
	// HasNet says that Net of the days was reckoned.
	HasNet bool `json:"hasNet"`
	// Best is the option's best day by the plan's rule; zero when no day of the forecast is open.
	Best calendar.Day `json:"best,omitzero"`
	Days []OptionDay  `json:"days"` // as Calendar.Days
}

// DayState is how a day stands for an option, in one word.
type DayState string

// The states.
const (
	DayBest   DayState = "best"   // the day the plan names
	DayGood   DayState = "good"   // as good, within what two dollars an acre decide
	DayOpen   DayState = "open"   // nothing keeps one from it
	DayDoubt  DayState = "doubt"  // open, with a caution that no choice of hours removes
	DayClosed DayState = "closed" // nothing may be spread
	DayLate   DayState = "late"   // past the last likely day of the deadline
)

// OptionDay is what one day would do to an option. Loss, LossLow and LossHigh are of the nitrogen spread, as
// ammonia; the range holds 80 of 100 courses of weather and of the trials' scatter.
type OptionDay struct {
	State    DayState      `json:"state"`
	Loss     unit.Fraction `json:"loss"`
	LossLow  unit.Fraction `json:"lossLow"`
	LossHigh unit.Fraction `json:"lossHigh"`
	// Carried is the share of courses of weather in which rain carries half of the urea in, or more; zero for a
	// product without urea.
	Carried unit.Fraction `json:"carried"`
	Why     string        `json:"why"` // in a few words
	// Net is over doing nothing at expected prices, NetLow and NetHigh at the ends of the prices.
	Net     unit.MoneyPerArea `json:"net"`
	NetLow  unit.MoneyPerArea `json:"netLow"`
	NetHigh unit.MoneyPerArea `json:"netHigh"`
	Flags   []DayFlag         `json:"flags,omitempty"`
}

// DayFlag is one thing that speaks against a day for an option.
type DayFlag struct {
	Risk  ground.Risk `json:"risk"`  // "drift", "inversion", "burn-frost", "runoff", "salt-out" ...
	Level string      `json:"level"` // "note", "caution" or "stop"
	// Hours are those it holds in; none means the whole day.
	Hours  []Hours        `json:"hours,omitempty"`
	Chance unit.Fraction  `json:"chance,omitempty"`
	Reason string         `json:"reason"`
	Amount working.Amount `json:"amount,omitzero"`
	Source cite.Key       `json:"source,omitempty"`
	Status cite.Status    `json:"status,omitempty"`
}

// Hours are hours of the field's clock, from the beginning of the first to the end of the last: 22 to 24.
type Hours struct {
	From int `json:"from"`
	To   int `json:"to"`
}

// GoodDays is a run of days on which the chosen option is as good as on the day advised, or nearly.
type GoodDays struct {
	From    calendar.Day      `json:"from"`
	To      calendar.Day      `json:"to"`
	Advised bool              `json:"advised,omitempty"` // the day advised is among them
	Loss    unit.Fraction     `json:"loss"`              // on the best of them
	Net     unit.MoneyPerArea `json:"net"`
	Why     string            `json:"why"`
	Doubts  []string          `json:"doubts,omitempty"` // of all their days
}

// Change is what became of the day that was advised by the forecast before.
type Change struct {
	// Issued is when that forecast was issued, Was the day it led to, and Now the day advised by the present one;
	// zero when none is.
	Issued time.Time    `json:"issued"`
	Was    calendar.Day `json:"was"`
	Now    calendar.Day `json:"now,omitzero"`
	// Lost says that the day is no longer good, so that whoever relied on it must hear of it.
	Lost bool `json:"lost,omitempty"`
	// Sentence is the change in one sentence, whose numbers open to the plan's figures.
	Sentence working.Sentence `json:"sentence"`
}
