package equipment

import (
	"errors"
	"fmt"
	"math"
	"time"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"gonum.org/v1/gonum/stat"
)

// Catch is what was caught under the nozzles of a boom, all for the same time.
type Catch struct {
	// Caught is by nozzle, from the left end of the boom.
	Caught []unit.Volume
	Time   time.Duration
	// Speed, Spacing and Target tell the rate and what it should be; each zero when not known.
	Speed   unit.Speed
	Spacing unit.Length
	Target  unit.VolumePerArea
	// Caught water while the field gets another liquid: Density is the liquid's, and the rate is told for it. Zero
	// where the liquid itself was caught.
	Density unit.Density
	// Rated is what each nozzle should let out, of the liquid caught; zero when not known.
	Rated unit.Flow
}

// Limits of a nozzle off the average of its boom.
const (
	offLimit   = unit.Fraction(0.10) // [cite.GolfGreens2016, cite.KleinNozzles]
	watchLimit = unit.Fraction(0.05) // [cite.KleinNozzles]
)

// Finding says what is wrong with a nozzle.
type Finding string

// The findings.
const (
	Even    Finding = "even"
	Watch   Finding = "watch"   // more than 5 % off the average of the boom
	Worn    Finding = "worn"    // more than 10 % above it
	Blocked Finding = "blocked" // more than 10 % below it
)

// Caught is one nozzle of a test.
type Caught struct {
	Nozzle  int // counted from 1 at the left end
	Volume  unit.Volume
	Flow    unit.Flow
	Off     unit.Fraction // from the average of the boom
	Finding Finding
}

// Boom is what a catch test says.
type Boom struct {
	Nozzles []Caught
	Mean    unit.Volume
	Flow    unit.Flow // of the average nozzle
	Total   unit.Flow // of the boom
	// CV is the coefficient of variation, s ÷ mean with n − 1. Low and High hold the CV of such nozzles with 95 %
	// confidence, HasInterval says so: it takes two nozzles and a CV below a third.
	CV, Low, High unit.Fraction
	HasInterval   bool
	// AcceptLow and AcceptHigh are 5 % about the average; KeepLow and KeepHigh 10 %.
	AcceptLow, AcceptHigh, KeepLow, KeepHigh unit.Volume
	Off                                      int // nozzles worn or blocked
	// Rate is what the boom delivers; HasRate says that speed and spacing are known. OffTarget is set with Target.
	Rate         unit.VolumePerArea
	HasRate      bool
	OffTarget    unit.Fraction
	HasOffTarget bool
	// OffRated is the average nozzle against its rating, with HasOffRated.
	OffRated    unit.Fraction
	HasOffRated bool
	// Corrected says that water was caught and the rate reckoned for the liquid.
	Corrected bool
	Notes     []Note
}

// Test weighs a catch. It fails for a catch from which nothing can be said: no nozzle, no time, a volume below
// zero, nothing caught at all.
func (c Catch) Test() (Boom, error) {
	if err := c.check(); err != nil {
		return Boom{}, err
	}
	volumes := make([]float64, len(c.Caught))
	for i, v := range c.Caught {
		volumes[i] = float64(v)
	}
	mean := stat.Mean(volumes, nil)
	if mean == 0 {
		return Boom{}, errors.New("nothing was caught under any nozzle; expected a boom that runs")
	}
	b := Boom{Mean: unit.Volume(mean), Flow: c.flow(unit.Volume(mean))}
	b.Total = b.Flow * unit.Flow(len(volumes))
	if len(volumes) > 1 {
		b.CV = unit.Fraction(stat.StdDev(volumes, nil) / mean)
		b.Low, b.High, b.HasInterval = CVInterval(b.CV, len(volumes), confidence)
	}
	within := func(f unit.Fraction) (low, high unit.Volume) {
		return b.Mean * unit.Volume(1-f), b.Mean * unit.Volume(1+f)
	}
	b.AcceptLow, b.AcceptHigh = within(watchLimit)
	b.KeepLow, b.KeepHigh = within(offLimit)
	for i, v := range c.Caught {
		off := unit.Fraction(v/b.Mean) - 1
		n := Caught{Nozzle: i + 1, Volume: v, Flow: c.flow(v), Off: off, Finding: find(off)}
		if n.Finding == Worn || n.Finding == Blocked {
			b.Off++
		}
		b.Nozzles = append(b.Nozzles, n)
	}
	b.deliver(c)
	b.note(c)
	return b, nil
}

func (c Catch) check() error {
	if len(c.Caught) == 0 {
		return errors.New("no nozzle was caught; expected one volume for each")
	}
	if c.Time <= 0 {
		return fmt.Errorf("the catch took %v; expected a time above zero, such as 30 s", c.Time)
	}
	var errs []error
	for i, v := range c.Caught {
		if !(v >= 0) || math.IsInf(float64(v), 0) {
			errs = append(errs, fmt.Errorf("nozzle %d caught %.4g L; expected zero, for one that lets nothing out, or more", i+1, float64(v)))
		}
	}
	if c.Speed != 0 {
		errs = append(errs, Spray{Speed: c.Speed}.checkSpeed())
	}
	if c.Spacing != 0 {
		errs = append(errs, positive("nozzle spacing", c.Spacing, "a spacing above zero, such as 20 in"))
	}
	if c.Target < 0 {
		errs = append(errs, positive("target rate", c.Target, "a rate above zero"))
	}
	if c.Density != 0 {
		errs = append(errs, CheckDensity(c.Density))
	}
	return errors.Join(errs...)
}

func (c Catch) flow(v unit.Volume) unit.Flow {
	return unit.Flow(float64(v) / c.Time.Minutes())
}

// roundOff keeps a nozzle exactly on a limit inside it.
const roundOff = 1e-9

func find(off unit.Fraction) Finding {
	switch {
	case off > offLimit+roundOff:
		return Worn
	case off < -offLimit-roundOff:
		return Blocked
	case math.Abs(float64(off)) > float64(watchLimit)+roundOff:
		return Watch
	default:
		return Even
	}
}

func (b *Boom) deliver(c Catch) {
	flow := b.Flow
	if c.Density != 0 {
		flow *= flowFactor(c.Density)
		b.Corrected = true
	}
	if c.Speed > 0 && c.Spacing > 0 {
		b.Rate, b.HasRate = RateOf(flow, c.Speed, c.Spacing), true
		if c.Target > 0 {
			b.OffTarget, b.HasOffTarget = unit.Fraction(b.Rate/c.Target)-1, true
		}
	}
	if c.Rated > 0 {
		b.OffRated, b.HasOffRated = unit.Fraction(b.Flow/c.Rated)-1, true
	}
}

// shortCatch is below what a person times well by hand; evenBoom the spread of a good boom. From memory.
const (
	shortCatch = 15 * time.Second
	evenBoom   = unit.Fraction(0.10)
)

func (b *Boom) note(c Catch) {
	say := func(text string, source cite.Key, status cite.Status) {
		b.Notes = append(b.Notes, Note{text, source, status})
	}
	if b.Off > 0 {
		say("clean the blocked nozzles, change the worn ones, and catch again: one bad nozzle shifts the average that the others are held against", cite.KleinNozzles, cite.CommonPractice)
	}
	if b.HasOffRated && b.OffRated > offLimit {
		say("the average nozzle is more than 10 % above its rating: the whole set is worn", cite.KleinNozzles, cite.Quoted)
	}
	if b.CV > evenBoom {
		say("the boom is uneven: above 10 % variation", cite.Practice, cite.FromMemory)
	}
	if len(c.Caught) > 1 && !b.HasInterval {
		say("the nozzles differ too much for an interval of their variation", cite.Vangel1996, cite.FromMemory)
	}
	if b.HasInterval {
		say("the interval takes the nozzles for a sample of such nozzles with a normal scatter; one that is blocked breaks that", cite.Vangel1996, cite.FromMemory)
	}
	if c.Time < shortCatch {
		say("so short a catch is hard to time: half a second is more than 3 %", cite.Practice, cite.CommonPractice)
	}
}

// The figures of a catch test.
const (
	CatchMeanFigure working.ID = "catch.mean"
	CatchCVFigure   working.ID = "catch.cv"
	CatchRateFigure working.ID = "catch.rate"
)

// Work enters how the test's figures came about in a ledger.
func (b *Boom) Work(l *working.Ledger, c Catch) {
	measured := working.Origin{Kind: working.Observed, With: "catch under the nozzles"}
	mean := l.Add(working.Figure{
		ID: CatchMeanFigure, Label: "Flow of the average nozzle", Amount: working.Of(b.Flow), Expression: "sum of what was caught ÷ nozzles ÷ time",
		Inputs: []working.Input{
			{Label: "nozzles", Text: fmt.Sprint(len(c.Caught)), Origin: measured},
			{Label: "time", Text: fmt.Sprintf("%.4g s", c.Time.Seconds()), Origin: measured},
			{Label: "caught by the average nozzle", Text: ounces(b.Mean), Origin: measured},
		},
		Source: cite.MontanaSprayer, Status: cite.Confirmed,
	})
	cv := working.Figure{
		ID: CatchCVFigure, Label: "Variation along the boom", Amount: working.Of(b.CV).As(unit.KindShare), Expression: "standard deviation (n − 1) ÷ average",
		Inputs: []working.Input{mean.Ref()}, Source: cite.Vangel1996, Status: cite.FromMemory,
	}
	if b.HasInterval {
		cv.Interval = &working.Interval{Low: float64(b.Low), High: float64(b.High), Level: confidence}
	}
	l.Add(cv)
	if !b.HasRate {
		return
	}
	set := working.Origin{Kind: working.Setting}
	rate := working.Figure{
		ID: CatchRateFigure, Label: "Rate delivered", Amount: working.Of(b.Rate), Expression: "flow of the average nozzle ÷ (speed × nozzle spacing)",
		Inputs: []working.Input{mean.Ref(), input("speed", c.Speed, set), input("nozzle spacing", c.Spacing, set)},
		Source: cite.MontanaSprayer, Status: cite.Confirmed,
	}
	if b.Corrected {
		rate.Expression = "flow of the average nozzle × √(density of water ÷ density) ÷ (speed × nozzle spacing)"
		rate.Inputs = append(rate.Inputs, input("density", c.Density, set))
		rate.Notes = []string{"Water was caught; the rate is that of the liquid."}
	}
	l.Add(rate)
}

func ounces(v unit.Volume) string {
	return fmt.Sprintf("%.1f fl oz (%.0f mL)", float64(v/FluidOunce), float64(v)*1000)
}
