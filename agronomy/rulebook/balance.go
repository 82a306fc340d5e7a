package rulebook

import (
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// Balance is the form most regional guidance shares: what the crop needs for its yield, less what soil,
// previous crop and season supply, never below 0.
//
//	rate = perYield × yield goal + constant
//	     − credit × soil nitrate − credit × soil ammonium − credit × (organic matter − base)
//	     + previous crop + tillage + grazing + stubble − nitrogen already applied
//
// Every term but the first may be absent from a book. Rates are in the book's rate unit, yields in its
// yield unit, organic matter in percent.
type Balance struct {
	PerYield      Coefficient  `yaml:"perYield"`
	Constant      *Coefficient `yaml:"constant"`
	Nitrate       *SoilTerm    `yaml:"nitrate"`
	Ammonium      *SoilTerm    `yaml:"ammonium"`
	OrganicMatter *OrganicTerm `yaml:"organicMatter"`
	PreviousCrop  *Choices     `yaml:"previousCrop"`
	Tillage       *Choices     `yaml:"tillage"`
	// Grazing is nitrogen added per unit of live weight gained, Stubble per thousand units of stubble.
	Grazing *Coefficient `yaml:"grazing"`
	Stubble *Coefficient `yaml:"stubble"`
	// MostApplied bounds how much of the nitrogen applied in fall is subtracted.
	MostApplied *Coefficient `yaml:"mostApplied"`
}

// SoilTerm credits what a soil test finds.
type SoilTerm struct {
	Soil   `yaml:",inline"`
	Credit Coefficient `yaml:"credit"`
	// Default is what the book counts without a test; nil where it demands one.
	Default *Coefficient `yaml:"default"`
}

// OrganicTerm credits organic matter: so much per percent above a base, or in steps.
type OrganicTerm struct {
	Credit *Coefficient  `yaml:"credit"`
	Base   float64       `yaml:"base"`
	Steps  []OrganicStep `yaml:"steps"`
	// Default is what the book counts without a test, percent; nil where it demands one.
	Default *Coefficient `yaml:"default"`
}

// OrganicStep adds to the rate below or above a percentage of organic matter. One of the two is set.
type OrganicStep struct {
	Below  *float64    `yaml:"below"`
	Above  *float64    `yaml:"above"`
	Add    float64     `yaml:"add"`
	Status cite.Status `yaml:"status"`
}

// Choices add to the rate by what grew before or how the ground was worked.
type Choices struct {
	Rows   []Choice    `yaml:"rows"`
	Source cite.Key    `yaml:"source"`
	Status cite.Status `yaml:"status"`
}

// Choice is one row: what is added after any of the named crops or kinds of tillage, and what instead when
// the soil's nitrate was tested.
type Choice struct {
	Of            []string `yaml:"of"`
	Add           float64  `yaml:"add"`
	AddWhenTested *float64 `yaml:"addWhenTested"`
	// Status is set where the row's differs from the table's.
	Status cite.Status `yaml:"status"`
}

// row finds what the book says of a crop or a kind of tillage; nil when it says nothing.
func (c *Choices) row(name string) *Choice {
	for i := range c.Rows {
		for _, of := range c.Rows[i].Of {
			if strings.EqualFold(of, name) {
				return &c.Rows[i]
			}
		}
	}
	return nil
}

// adds is what a choice adds to the rate; 0 where the book says nothing.
func (c *Choices) adds(name string, tested bool) float64 {
	row := c.row(name)
	switch {
	case row == nil:
		return 0
	case tested && row.AddWhenTested != nil:
		return *row.AddWhenTested
	default:
		return row.Add
	}
}

// credit is what organic matter takes off the rate: percent in, book's rate unit out. Negative below the
// base.
func (o *OrganicTerm) credit(percent, perPercent float64) float64 {
	if o.Credit != nil {
		return perPercent * (percent - o.Base)
	}
	var add float64
	for _, s := range o.Steps {
		if s.Below != nil && percent < *s.Below || s.Above != nil && percent > *s.Above {
			add += s.Add
		}
	}
	return -add
}

func (f *Balance) family(b *Book) string {
	if !b.Crops[0].IsWheat() {
		return FamilyCanolaTable
	}
	return FamilyBalance
}

func (f *Balance) uses() Uses {
	uses := append(make(Uses, 0, 7), YieldGoal)
	if f.Nitrate != nil {
		uses = append(uses, Nitrate)
	}
	if f.Ammonium != nil {
		uses = append(uses, Ammonium)
	}
	if f.OrganicMatter != nil {
		uses = append(uses, OrganicMatter)
	}
	if f.Grazing != nil {
		uses = append(uses, LiveGain)
	}
	if f.Stubble != nil {
		uses = append(uses, Stubble)
	}
	return append(uses, Applied)
}

func (f *Balance) fill(b *Book, in *Inputs) {
	if t := f.Nitrate; t != nil && t.Default != nil {
		in.Nitrate = in.Nitrate.Or(unit.Rate(t.Default.Value)*b.Units.Rate.rate(), "no soil test; the book's default")
	}
	if t := f.Ammonium; t != nil && t.Default != nil {
		in.Ammonium = in.Ammonium.Or(unit.Rate(t.Default.Value)*b.Units.Rate.rate(), "no soil test; the book's default")
	}
	if t := f.OrganicMatter; t != nil && t.Default != nil {
		in.OrganicMatter = in.OrganicMatter.Or(unit.Fraction(t.Default.Value)*unit.Percent, "no soil test; the book's default")
	}
}

func (f *Balance) refuse(_ *Book, in *Inputs) string {
	switch {
	case !in.YieldGoal.Known():
		return "needs a yield goal, and none is set for the field"
	case f.Nitrate != nil && !in.Nitrate.Known():
		return "needs a nitrate test of the soil, and has no default for want of one"
	case f.Ammonium != nil && !in.Ammonium.Known():
		return "needs an ammonium test of the soil, and has no default for want of one"
	case f.OrganicMatter != nil && !in.OrganicMatter.Known():
		return "needs the soil's organic matter, and has no default for want of a test"
	}
	return ""
}

// balanceTerms are the signed terms of a balance in the book's rate unit.
type balanceTerms struct {
	yield, constant, nitrate, ammonium, organic, previous, tillage, grazing, stubble, applied float64
}

func (t balanceTerms) sum() float64 {
	return t.yield + t.constant + t.nitrate + t.ammonium + t.organic + t.previous + t.tillage + t.grazing + t.stubble + t.applied
}

// terms works out every term, with the credits at the values given: nitrogen per yield, and organic matter
// credit per percent.
func (f *Balance) terms(b *Book, in *Inputs, perYield, perPercent float64) balanceTerms {
	rate := b.Units.Rate.rate()
	t := balanceTerms{yield: perYield * float64(in.YieldGoal.Value/b.Units.Yield.yield())}
	if f.Constant != nil {
		t.constant = f.Constant.Value
	}
	if f.Nitrate != nil {
		t.nitrate = -f.Nitrate.Credit.Value * float64(in.Nitrate.Value/rate)
	}
	if f.Ammonium != nil {
		t.ammonium = -f.Ammonium.Credit.Value * float64(in.Ammonium.Value/rate)
	}
	if f.OrganicMatter != nil {
		t.organic = -f.OrganicMatter.credit(float64(in.OrganicMatter.Value/unit.Percent), perPercent)
	}
	if f.PreviousCrop != nil {
		t.previous = f.PreviousCrop.adds(in.PreviousCrop, !isAssumed(in.Nitrate))
	}
	if f.Tillage != nil {
		t.tillage = f.Tillage.adds(string(in.Tillage), false)
	}
	if f.Grazing != nil && in.Crop.IsGrazed() {
		t.grazing = f.Grazing.Value * float64(unit.Rate(in.Gain.Value)/rate)
	}
	if f.Stubble != nil {
		t.stubble = f.Stubble.Value * float64(unit.Rate(in.Stubble.Value)/rate) / 1000
	}
	t.applied = -float64(in.Applied.Value / rate)
	if f.MostApplied != nil {
		t.applied += max(0, float64(in.AppliedInFall/rate)-f.MostApplied.Value)
	}
	return t
}

func (f *Balance) perPercent() float64 {
	if f.OrganicMatter == nil || f.OrganicMatter.Credit == nil {
		return 0
	}
	return f.OrganicMatter.Credit.Value
}

func (f *Balance) rate(b *Book, in *Inputs) unit.Rate {
	return unit.Rate(max(0, f.terms(b, in, f.PerYield.Value, f.perPercent()).sum())) * b.Units.Rate.rate()
}

// span gives the lowest and highest rate within the spans of the coefficients.
func (f *Balance) span(b *Book, in *Inputs) (low, high unit.Rate, ok bool) {
	perYield := [2]float64{f.PerYield.Value, f.PerYield.Value}
	if f.PerYield.hasSpan() {
		perYield, ok = [2]float64{f.PerYield.Low, f.PerYield.High}, true
	}
	perPercent := [2]float64{f.perPercent(), f.perPercent()}
	if o := f.OrganicMatter; o != nil && o.Credit != nil && o.Credit.hasSpan() {
		perPercent, ok = [2]float64{o.Credit.Low, o.Credit.High}, true
	}
	lowest, highest := f.terms(b, in, perYield[0], perPercent[1]).sum(), f.terms(b, in, perYield[1], perPercent[0]).sum()
	// Below its base, organic matter adds, and the greater credit per percent adds more.
	lowest, highest = min(lowest, highest), max(lowest, highest)
	return unit.Rate(max(0, lowest)) * b.Units.Rate.rate(), unit.Rate(max(0, highest)) * b.Units.Rate.rate(), ok
}

func (f *Balance) check(c *checker, b *Book) {
	c.coefficient(f.PerYield, 0, 1000, "massBalance", "perYield")
	c.optional(f.Constant, -1000, 1000, "massBalance", "constant")
	c.soilTerm(f.Nitrate, "massBalance", "nitrate")
	c.soilTerm(f.Ammonium, "massBalance", "ammonium")
	c.optional(f.Grazing, 0, 100, "massBalance", "grazing")
	c.optional(f.Stubble, -1000, 1000, "massBalance", "stubble")
	c.optional(f.MostApplied, 0, 1000, "massBalance", "mostApplied")
	c.choices(f.PreviousCrop, "massBalance", "previousCrop")
	c.choices(f.Tillage, "massBalance", "tillage")
	if f.PerYield.Value <= 0 {
		c.problem("must be above 0", "massBalance", "perYield")
	}
	o := f.OrganicMatter
	if o == nil {
		return
	}
	c.optional(o.Credit, 0, 1000, "massBalance", "organicMatter", "credit")
	c.optional(o.Default, 0, 100, "massBalance", "organicMatter", "default")
	if (o.Credit == nil) == (len(o.Steps) == 0) {
		c.problem("needs either a credit per percent or steps", "massBalance", "organicMatter")
	}
	for _, s := range o.Steps {
		c.status(s.Status, "massBalance", "organicMatter", "steps")
		if (s.Below == nil) == (s.Above == nil) {
			c.problem("each step needs either below or above", "massBalance", "organicMatter", "steps")
		}
	}
}
