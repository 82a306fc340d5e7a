// Package advice joins findings into a plan: for one field, whether the crop needs top-dress nitrogen, how
// much, from which product, placed how, on which day, and whether it pays.
//
// Advise is a pure function of a season.FieldSeason: no clock, no file, no chance that is not seeded from
// the field itself. The same input gives the same plan in the command line, in the server and in replay.
package advice

import (
	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/ground"
	"culm/agronomy/need"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Version names the shape of a Plan in machine-readable output. It changes when a field is renamed,
// removed or given another meaning, not when one is added.
const Version = "culm.plan/1"

// Action is what the plan says to do.
type Action string

// The actions.
const (
	// Spread: nitrogen is needed, pays, and there is a day for it.
	Spread Action = "spread"
	// Hold: nothing now; look again on a named day.
	Hold Action = "hold"
	// Leave: no top-dress this season: no need that pays, or too late.
	Leave Action = "leave"
	// Ask: what is known does not carry a decision; the plan names what is missing.
	Ask Action = "ask"
)

// Plan is the advice for one field on one day, with everything a reader may ask about it.
type Plan struct {
	Version  string          `json:"version"`
	Field    season.Field    `json:"field"`
	Producer season.Producer `json:"producer"`
	Today    calendar.Day    `json:"today"`
	Invented bool            `json:"invented,omitempty"`
	Units    unit.System     `json:"units"`

	Decision Decision `json:"decision"`
	// Sentence is the decision in words; its numbers and claims open to Figures.
	Sentence working.Sentence `json:"sentence"`
	// Reasons say, most important first, why the decision is what it is.
	Reasons []working.Sentence `json:"reasons"`
	// Placed says why a liquid goes on in streams or through fans; empty for a dry product.
	Placed working.Sentence `json:"placed,omitempty"`
	// Changed is what became of the day advised by the forecast before; nil when nothing did.
	Changed *Change `json:"changed,omitempty"`

	Need Need `json:"need"`
	// Rates are the published ways of finding a rate, side by side and never blended. The one the decision
	// follows is marked Lead.
	Rates  []RateAnswer `json:"rates"`
	Spread RateSpread   `json:"spread"`
	// Options are product and placement on their best day, best net first.
	Options []Option `json:"options,omitempty"`
	// Days are the coming days for the chosen option, or for urea broadcast when none is chosen.
	Days     []DayOutlook `json:"days,omitempty"`
	Pay      Pay          `json:"pay"`
	Response Response     `json:"response"`
	Deadline Deadline     `json:"deadline"`
	Spots    SpotFindings `json:"spots,omitzero"`
	// Ground is the plan for lime and nutrients of the field and of each part that was sampled apart.
	Ground []GroundPlan `json:"ground,omitempty"`

	Warnings []Note    `json:"warnings,omitempty"` // doubts about the evidence
	Missing  []Missing `json:"missing,omitempty"`
	Cautions []Caution `json:"cautions"`

	Figures working.Ledger `json:"figures"`
	// Books are the rulebooks that answered something here.
	Books []UsedBook `json:"books,omitempty"`
	// Sources are the publications that figures name and Culm's catalogue does not hold: rulebooks bring them.
	Sources []cite.Source `json:"sources,omitempty"`
}

// Source gives the full reference of a publication that the plan names.
func (p *Plan) Source(k cite.Key) (cite.Source, bool) {
	for _, s := range p.Sources {
		if s.Key == k {
			return s, true
		}
	}
	return cite.Find(k)
}

// Decision is the plan in a form a machine can act on.
type Decision struct {
	Action Action `json:"action"`
	// The following are set for Spread.
	Rate      unit.Rate    `json:"rate,omitempty"` // of N
	Product   string       `json:"product,omitempty"`
	Placement string       `json:"placement,omitempty"`
	Day       calendar.Day `json:"day,omitzero"`
	// LookAgain is set for Hold and Ask.
	LookAgain calendar.Day `json:"lookAgain,omitzero"`
	// Stake is the money at stake on the field: what acting well is worth over doing nothing, or, while the
	// need is unsure, what it would be worth if the high end of the evidence were true.
	Stake unit.Money `json:"stake"`
	// Waiting is what a week's delay would cost on the field.
	Waiting unit.Money `json:"waiting"`
	// DaysLeft counts the days to the deadline; negative when it is past. HasDaysLeft says it is known.
	DaysLeft    int  `json:"daysLeft"`
	HasDaysLeft bool `json:"hasDaysLeft"`
}

// Need is the evidence on whether the crop lacks nitrogen.
type Need struct {
	Verdict need.Verdict `json:"verdict"`
	// Evidence lists the reference comparisons, strongest and latest first; the first one decides.
	Evidence []NeedEvidence   `json:"evidence,omitempty"`
	Sentence working.Sentence `json:"sentence"`
}

// NeedEvidence is one reference, read once.
type NeedEvidence struct {
	Strip      string           `json:"strip"`
	Day        calendar.Day     `json:"day"`
	Observer   string           `json:"observer"`
	Instrument string           `json:"instrument,omitempty"`
	Reference  season.Reference `json:"reference"`
	Means      season.Means     `json:"means"`
	Strength   need.Strength    `json:"strength"`
	// StrengthWhy says what the strength rests on.
	StrengthWhy string       `json:"strengthWhy,omitempty"`
	Verdict     need.Verdict `json:"verdict"`
	Pairs       int          `json:"pairs"`
	// Index is the figure of the response index with its interval; empty for scores by eye, whose Share is
	// the figure of how often the reference was greener.
	Index working.ID `json:"index,omitempty"`
	Share working.ID `json:"share,omitempty"`
	// Series are the paired readings, for a picture: position along (m) or pair number, both values.
	Series   []PairPoint `json:"series,omitempty"`
	Warnings []string    `json:"warnings,omitempty"`
}

// PairPoint is one pair of readings.
type PairPoint struct {
	At        float64 `json:"at"`
	Reference float64 `json:"reference"`
	Beside    float64 `json:"beside"`
}

// RateAnswer is one published way's answer.
type RateAnswer struct {
	Method string `json:"method"` // key, such as "kansas-2003"
	Name   string `json:"name"`
	Family string `json:"family"` // in-season, mass balance, ramp, response curve, canola table, green area
	Lead   bool   `json:"lead,omitempty"`
	// Answered is false when the method cannot answer here; Why says why.
	Answered bool       `json:"answered"`
	Why      string     `json:"why,omitempty"`
	Figure   working.ID `json:"figure,omitempty"` // the rate, with its working
	Rate     unit.Rate  `json:"rate"`
	// Low and High bound the rate where the method gives an interval; both zero otherwise.
	Low    unit.Rate   `json:"low,omitempty"`
	High   unit.Rate   `json:"high,omitempty"`
	Source cite.Key    `json:"source,omitempty"`
	Status cite.Status `json:"status,omitempty"`
	// FittedOn says where and on what the method was fitted; Notes say where this field leaves that range.
	FittedOn string   `json:"fittedOn,omitempty"`
	Notes    []string `json:"notes,omitempty"`
	// Assumed lists inputs that nobody observed.
	Assumed []string `json:"assumed,omitempty"`
	// Budget is the rate as a sum: what the yield needs, less what soil, season and earlier spreading supply.
	// Empty where the way is no such sum.
	Budget []BudgetLine `json:"budget,omitempty"`
}

// BudgetLine is a part of a nitrogen budget: positive for what is needed, negative for a credit. The lines add
// up to the rate unless more is supplied than needed.
type BudgetLine struct {
	Label   string    `json:"label"`
	Amount  unit.Rate `json:"amount"`
	Assumed bool      `json:"assumed,omitempty"` // rests on something nobody observed
}

// RateSpread says how far apart the answers are, and why.
type RateSpread struct {
	Low, High unit.Rate
	Answers   int
	// Explained names the input or choice that explains most of the spread.
	Explained working.Sentence
}

// Option is a product placed one way on its best day.
type Option struct {
	Product     string       `json:"product"`
	ProductName string       `json:"productName"`
	Placement   string       `json:"placement"`
	Day         calendar.Day `json:"day"`
	Chosen      bool         `json:"chosen,omitempty"`
	// Possible is false when the option is ruled out; Why says why.
	Possible    bool              `json:"possible"`
	Why         string            `json:"why,omitempty"`
	Loss        unit.Fraction     `json:"loss"`        // of applied N, as ammonia
	TiedUp      unit.Rate         `json:"tiedUp"`      // N immobilised by residue
	Reaching    unit.Rate         `json:"reaching"`    // N that reaches the crop
	Cost        unit.MoneyPerArea `json:"cost"`        // product and pass
	CostReached unit.PricePerMass `json:"costReached"` // per kg of N that reaches the crop
	Net         unit.MoneyPerArea `json:"net"`         // over doing nothing, at expected prices
	NetFigure   working.ID        `json:"netFigure,omitempty"`
	ProductRate working.ID        `json:"productRate,omitempty"` // figure: lb/ac or gal/ac of product
	Notes       []string          `json:"notes,omitempty"`
}

// DayOutlook is what one coming day would bring.
type DayOutlook struct {
	Day calendar.Day `json:"day"`
	// Forecast is false beyond the forecast's end.
	Forecast bool               `json:"forecast"`
	Weather  season.ForecastDay `json:"weather"`
	Stop     string             `json:"stop,omitempty"`  // a hard stop, in words; empty when the day is open
	Flags    []string           `json:"flags,omitempty"` // doubts, in words
	// FitHours are those in which neither wind, still air, frost, dew, heat nor rain keeps the placement off, and
	// Notes say of the others what does; both are empty where the forecast is by the day.
	FitHours []ground.Span `json:"fitHours,omitempty"`
	Notes    []string      `json:"notes,omitempty"`
	Loss     unit.Fraction `json:"loss"` // of applied N if spread that day
	// LossLow and LossHigh hold 80 of 100: the weather that may come, and the scatter of published trials.
	LossLow  unit.Fraction `json:"lossLow"`
	LossHigh unit.Fraction `json:"lossHigh"`
	// WashIn is the chance of half an inch of rain in one day on this day or the six after it; HasWashIn is false
	// where nothing tells it.
	WashIn     unit.Fraction     `json:"washIn"`
	HasWashIn  bool              `json:"hasWashIn"`
	LossFigure working.ID        `json:"lossFigure,omitempty"`
	Net        unit.MoneyPerArea `json:"net"`
	Best       bool              `json:"best,omitempty"`
	Why        string            `json:"why"` // the day in a few words: "0.6 in of rain the day after"
}

// Pay is the money of the decision over doing nothing.
type Pay struct {
	// PerArea is net per area at expected prices with the span over the price range; PerField likewise.
	PerArea  working.ID        `json:"perArea,omitempty"`
	PerField working.ID        `json:"perField,omitempty"`
	Net      unit.MoneyPerArea `json:"net"`
	NetLow   unit.MoneyPerArea `json:"netLow"`
	NetHigh  unit.MoneyPerArea `json:"netHigh"`
	// BreakEven is the yield gain that would just pay.
	BreakEven working.ID `json:"breakEven,omitempty"`
}

// Response is the picture of what the crop gains from nitrogen, as the decision follows it.
type Response struct {
	// Title answers the question the picture is looked at for.
	Title  working.Sentence `json:"title,omitempty"`
	Points []ResponsePoint  `json:"points,omitempty"`
	// GainKind is the kind the gain is shown as: bushels of wheat or of canola, pounds of live weight.
	GainKind unit.Kind `json:"gainKind,omitempty"`
	// Observed are plots of the season's trials, total yield against total nitrogen: another scale than
	// Points, to be drawn beside them.
	Observed []season.Plot `json:"observed,omitempty"`
	Advised  unit.Rate     `json:"advised"`
	// HasNet says that a product was chosen, so that the points have a net.
	HasNet bool `json:"hasNet,omitempty"`
}

// ResponsePoint is the outlook at one rate spread, with the range the evidence leaves.
type ResponsePoint struct {
	Rate unit.Rate  `json:"rate"`
	Gain unit.Yield `json:"gain"` // over no top-dress
	Low  unit.Yield `json:"low"`
	High unit.Yield `json:"high"`
	// Net is over doing nothing, at expected prices; zero when Response.HasNet is not set.
	Net unit.MoneyPerArea `json:"net"`
}

// Deadline is the day after which top-dressing no longer makes yield.
type Deadline struct {
	Day calendar.Day `json:"day,omitzero"`
	// Low and High bound the day; Past says that the stage was seen to be reached.
	Low    calendar.Day `json:"low,omitzero"`
	High   calendar.Day `json:"high,omitzero"`
	Past   bool         `json:"past,omitempty"`
	Known  bool         `json:"known"`
	Figure working.ID   `json:"figure,omitempty"`
	Why    string       `json:"why"`
}

// SpotFindings compare poor spots with the good ground beside them.
type SpotFindings struct {
	Pairs     int               `json:"pairs"`
	Sentence  working.Sentence  `json:"sentence,omitempty"`
	Nutrients []NutrientFinding `json:"nutrients,omitempty"` // what limits first, first
	// Unmatched lists spots without a laboratory row and rows without a spot.
	Unmatched []string `json:"unmatched,omitempty"`
}

// IsZero lets a plan without spots leave them out.
func (s SpotFindings) IsZero() bool { return s.Pairs == 0 && len(s.Unmatched) == 0 }

// NutrientFinding is one nutrient over all pairs of a field.
type NutrientFinding struct {
	Analyte    season.Analyte `json:"analyte"`
	Name       string         `json:"name"`
	Pairs      int            `json:"pairs"`
	Difference working.ID     `json:"difference"` // figure: good minus poor, with interval from five pairs on
	// PoorMean, GoodMean and Critical are in the base unit of Kind.
	Kind     unit.Kind `json:"kind"`
	PoorMean float64   `json:"poorMean"`
	GoodMean float64   `json:"goodMean"`
	// P is the two-sided p value of the paired t test; nil with fewer than five pairs.
	P *float64 `json:"p,omitempty"`
	// Critical is the level below which the crop is limited; nil where no source gives one for the crop.
	Critical *float64  `json:"critical,omitempty"`
	Part     soil.Part `json:"part"`
	Verdict  string    `json:"verdict"` // in words
}

// Note is a remark that opens to a figure.
type Note struct {
	Text   string     `json:"text"`
	Figure working.ID `json:"figure,omitempty"`
}

// Missing is something not known that the advice would use.
type Missing struct {
	What string `json:"what"`
	// Brings says what knowing it would change.
	Brings string `json:"brings"`
	// Needed is true when no decision can be made without it.
	Needed bool `json:"needed,omitempty"`
}

// Caution is a warning of harm, shown where the decision is made.
type Caution struct {
	Key    string   `json:"key"` // "frozen-ground"
	Text   string   `json:"text"`
	Source cite.Key `json:"source,omitempty"`
	// Always marks a caution that holds for every field.
	Always bool `json:"always,omitempty"`
}
