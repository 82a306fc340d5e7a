package rulebook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Example is a worked example: inputs and the rate that must come out. It is run whenever the book is read.
type Example struct {
	Name   string      `yaml:"name"`
	Given  Given       `yaml:"given"`
	Rate   Printed     `yaml:"rate"` // in the book's rate unit
	Steps  []StepValue `yaml:"steps"`
	Within *Allowance  `yaml:"within"`
	Source cite.Key    `yaml:"source"`
	Status cite.Status `yaml:"status"`
}

// StepValue is a number on the way: rates in the book's rate unit, yields in its yield unit, others plain.
type StepValue struct {
	Key   string  `yaml:"step"`
	Value Printed `yaml:"value"`
}

// Allowance is how far the printed rate may be off beyond its last digit, with the reason.
type Allowance struct {
	Of      float64 `yaml:"of"`
	Because string  `yaml:"because"`
}

// Given are an example's inputs in the book's units: rates, nitrogen and live weight in its rate unit,
// yields in its yield unit, organic matter and efficiency in percent, fresh mass in kg/m², prices per unit
// of yield and of nitrogen. What was applied was applied in fall. Reference is the reading on the reference; with Reading it makes the response
// index.
type Given struct {
	Crop          season.Crop    `yaml:"crop"`
	YieldGoal     *float64       `yaml:"yieldGoal"`
	Nitrate       *float64       `yaml:"nitrate"`
	NitrateMean   *float64       `yaml:"nitrateMean"`
	Ammonium      *float64       `yaml:"ammonium"`
	OrganicMatter *float64       `yaml:"organicMatter"`
	PreviousCrop  string         `yaml:"previousCrop"`
	Tillage       season.Tillage `yaml:"tillage"`
	Stubble       *float64       `yaml:"stubble"`
	Gain          *float64       `yaml:"gain"`
	Applied       *float64       `yaml:"applied"`
	GrainPrice    *float64       `yaml:"grainPrice"`
	NitrogenPrice *float64       `yaml:"nitrogenPrice"`
	Reading       *float64       `yaml:"reading"`
	Reference     *float64       `yaml:"reference"`
	GrowingDays   *float64       `yaml:"growingDays"`
	MaximumYield  *float64       `yaml:"maximumYield"`
	FreshMass     *float64       `yaml:"freshMass"`
	Strips        []GivenStrip   `yaml:"strips"`
}

// GivenStrip is a strip of an example's ramp.
type GivenStrip struct {
	Rate   float64 `yaml:"rate"`
	Better bool    `yaml:"better"`
}

// Printed is a number as it was printed; its digits say how closely it can be met.
type Printed struct {
	Value    float64
	Decimals int
}

// UnmarshalYAML reads the number and counts its decimals.
func (p *Printed) UnmarshalYAML(n *yaml.Node) error {
	v, err := strconv.ParseFloat(n.Value, 64)
	if err != nil || n.Kind != yaml.ScalarNode || strings.Trim(n.Value, "-0123456789.") != "" {
		return fmt.Errorf("line %d: found %q, expected a number as printed, such as 59.39", n.Line, n.Value)
	}
	_, decimals, _ := strings.Cut(n.Value, ".")
	*p = Printed{v, len(decimals)}
	return nil
}

// meets says that a value rounds to the printed one, or comes within the allowance.
func (p Printed) meets(v, allowance float64) bool {
	const hair = 1e-9 // half a last digit is itself not exact in binary
	return math.Abs(v-p.Value) <= allowance+0.5*math.Pow10(-p.Decimals)+hair
}

// Inputs are the example's inputs in typed quantities.
func (b *Book) Inputs(g Given) Inputs {
	rate, yield := b.Units.Rate.rate(), b.Units.Yield.yield()
	in := Inputs{
		Crop:         g.Crop,
		YieldGoal:    given(g.YieldGoal, yield),
		Nitrate:      given(g.Nitrate, rate),
		NitrateMean:  given(g.NitrateMean, unit.PartPerMillion),
		Ammonium:     given(g.Ammonium, rate),
		PreviousCrop: g.PreviousCrop, Tillage: g.Tillage,
		OrganicMatter: given(g.OrganicMatter, unit.Percent),
		Stubble:       given(g.Stubble, unit.Biomass(rate)),
		Gain:          given(g.Gain, unit.Gain(rate)),
		Applied:       given(g.Applied, rate),
		GrainPrice:    given(g.GrainPrice, b.Units.Yield.perMass()),
		NitrogenPrice: given(g.NitrogenPrice, b.Units.Rate.perMass()),
		Reading:       given(g.Reading, unit.Index(1)),
		GrowingDays:   given(g.GrowingDays, unit.Days(1)),
		MaximumYield:  given(g.MaximumYield, yield),
		FreshMass:     given(g.FreshMass, unit.KilogramOfMatterPerSquareMetre),
	}
	in.AppliedInFall = in.Applied.Value
	if in.Crop == "" {
		in.Crop = b.Crops[0]
	}
	if g.Reading != nil && g.Reference != nil {
		ratio := *g.Reference / *g.Reading
		in.Response = given(&ratio, unit.Ratio(1))
	}
	for _, s := range g.Strips {
		in.Strips = append(in.Strips, season.RampStep{Rate: unit.Rate(s.Rate) * rate, Better: s.Better})
	}
	return in
}

func given[T unit.Quantity](v *float64, one T) working.Fact[T] {
	if v == nil {
		return working.Fact[T]{}
	}
	return working.Fact[T]{Value: T(*v) * one, Origin: working.Origin{Kind: working.Setting, By: "worked example"}}
}

// examples runs every worked example of the book.
func (c *checker) examples(b *Book) {
	if len(b.Examples) == 0 {
		c.problem("must have at least one worked example", "examples")
	}
	for i, e := range b.Examples {
		path := []string{"examples", strconv.Itoa(i)}
		c.status(e.Status, path...)
		if e.Source != "" {
			c.source(e.Source, path...)
		}
		if e.Within != nil && (e.Within.Because == "" || e.Within.Of < 0) {
			c.problem("needs a reason for allowing more than the printed digits", path...)
		}
		if e.Name == "" {
			c.problem("needs a name", path...)
			continue
		}
		if why := b.run(e); why != "" {
			c.problem("("+e.Name+") "+why, path...)
		}
	}
}

// run works an example and says what came out otherwise than printed.
func (b *Book) run(e Example) string {
	w := b.Work(b.Inputs(e.Given))
	if w.Why != "" {
		return "gives no rate: " + w.Why
	}
	allowance := 0.0
	if e.Within != nil {
		allowance = e.Within.Of
	}
	if got := float64(w.Rate / b.Units.Rate.rate()); !e.Rate.meets(got, allowance) {
		return fmt.Sprintf("gives %.6g %s, printed is %s", got, b.Units.Rate, plain(e.Rate.Value))
	}
	for _, s := range e.Steps {
		i := slices.IndexFunc(w.Steps, func(own Step) bool { return own.Key == s.Key })
		if i < 0 {
			return "has no step " + strconv.Quote(s.Key)
		}
		if got := b.plainAmount(w.Steps[i].Amount); !s.Value.meets(got, 0) {
			return fmt.Sprintf("gives %.8g for %s, printed is %s", got, s.Key, plain(s.Value.Value))
		}
	}
	return ""
}

// plainAmount reads a step's amount in the book's units; a share of nitrogen reads in percent.
func (b *Book) plainAmount(a working.Amount) float64 {
	switch a.Kind {
	case unit.KindRate:
		return float64(unit.Rate(a.Base) / b.Units.Rate.rate())
	case unit.KindWheatYield, unit.KindCanolaYield, unit.KindYield:
		return float64(unit.Yield(a.Base) / b.Units.Yield.yield())
	case unit.KindFraction, unit.KindShare:
		return a.Base * 100
	default:
		return a.Base
	}
}
