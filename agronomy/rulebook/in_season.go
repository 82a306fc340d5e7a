package rulebook

import (
	"math"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// InSeason finds the rate from the crop itself: a sensor reading for each day of growth gives the yield to
// expect without more nitrogen, the response index what it would be with enough, and the nitrogen in the
// grain between them, over the share of fertilizer that gets there, the rate. Yields are in t/ha, nitrogen
// in kg/ha.
type InSeason struct {
	// Outlook is the yield without top-dress.
	Outlook Outlook `yaml:"outlook"`
	// AtHarvest turns the response index of the reading into that of the harvest; nil takes it as it is.
	AtHarvest *Line `yaml:"atHarvest"`
	// MostResponse caps the response index, MaximumYield the yield with enough nitrogen.
	MostResponse Coefficient `yaml:"mostResponse"`
	MaximumYield Coefficient `yaml:"maximumYield"`
	Efficiency   Coefficient `yaml:"efficiency"`
	// Exactly one of the two ways of counting is set.
	ExtraGrain *ExtraGrain `yaml:"extraGrain"`
	Uptake     *Uptake     `yaml:"uptake"`
}

// Outlook is constant + factor × exp(exponent × reading ÷ growing days), t/ha.
type Outlook struct {
	Constant float64     `yaml:"constant"`
	Factor   float64     `yaml:"factor"`
	Exponent float64     `yaml:"exponent"`
	Source   cite.Key    `yaml:"source"`
	Status   cite.Status `yaml:"status"`
}

// Line is slope × x + constant.
type Line struct {
	Slope    float64     `yaml:"slope"`
	Constant float64     `yaml:"constant"`
	Source   cite.Key    `yaml:"source"`
	Status   cite.Status `yaml:"status"`
}

func (l Line) at(x float64) float64 { return l.Slope*x + l.Constant }

// turn is where x × the line, the nitrogen in x of grain, is greatest. Beyond it more grain would hold less
// nitrogen, which no crop does.
func (l Line) turn() float64 {
	if l.Slope >= 0 {
		return math.Inf(1)
	}
	return -l.Constant / (2 * l.Slope)
}

// ExtraGrain counts the nitrogen in the grain that is to be gained.
type ExtraGrain struct {
	// Nitrogen is the share of N in grain, kg/kg.
	Nitrogen Coefficient `yaml:"nitrogen"`
}

// Uptake counts the nitrogen in all the grain, less what the crop holds already.
type Uptake struct {
	// GrainPercent is the percentage of N in grain at a yield in t/ha.
	GrainPercent Line `yaml:"grainPercent"`
	// Crop is the nitrogen the crop holds at a reading: constant + factor × exp(exponent × reading), kg/ha.
	Crop Outlook `yaml:"crop"`
}

// outlook is every number on the way to an in-season rate: yields in t/ha, nitrogen in kg/ha.
type outlook struct {
	perDay, response, atHarvest        float64
	alone, fed                         float64
	grainShare, grainUptake, cropHolds float64
	rate                               float64
}

// look works the numbers out. A response index up to 1 means that the crop lacks nothing: the rate is 0.
func (f *InSeason) look(in *Inputs) outlook {
	o := outlook{perDay: float64(in.Reading.Value) / float64(in.GrowingDays.Value)}
	o.response = min(float64(in.Response.Value), f.MostResponse.Value)
	o.atHarvest = o.response
	if f.AtHarvest != nil {
		o.atHarvest = f.AtHarvest.at(o.response)
	}
	o.alone = f.Outlook.Constant + f.Outlook.Factor*math.Exp(f.Outlook.Exponent*o.perDay)
	o.fed = min(o.alone*o.atHarvest, float64(in.MaximumYield.Value/unit.TonneOfGrainPerHectare))
	if f.ExtraGrain != nil {
		o.grainShare = f.ExtraGrain.Nitrogen.Value
		o.rate = (o.fed - o.alone) * 1000 * o.grainShare / float64(in.Efficiency.Value)
	} else {
		o.grainShare = f.Uptake.GrainPercent.at(o.fed) / 100
		o.grainUptake = o.grainShare * o.fed * 1000
		o.cropHolds = f.Uptake.Crop.Constant + f.Uptake.Crop.Factor*math.Exp(f.Uptake.Crop.Exponent*float64(in.Reading.Value))
		o.rate = (o.grainUptake - o.cropHolds) / float64(in.Efficiency.Value)
	}
	if o.response <= 1 || o.fed <= o.alone {
		o.rate = 0
	}
	o.rate = max(0, o.rate-float64(in.Applied.Value))
	return o
}

// Outlook gives the yield to expect without and with enough nitrogen. It returns false where the book is
// not of the in-season form or cannot answer.
func (b *Book) Outlook(in Inputs) (alone, fed unit.Yield, ok bool) {
	if b.InSeason == nil {
		return 0, 0, false
	}
	b.InSeason.fill(b, &in)
	if in.unusable() != "" || b.InSeason.refuse(b, &in) != "" {
		return 0, 0, false
	}
	o := b.InSeason.look(&in)
	alone = unit.Yield(o.alone) * unit.TonneOfGrainPerHectare
	if o.response <= 1 {
		return alone, alone, true
	}
	return alone, max(alone, unit.Yield(o.fed)*unit.TonneOfGrainPerHectare), true
}

// Recalibrated gives the book with a user's own calibration in place of the published one, under another
// key and name. What the calibration does not set (nitrogen in grain, the caps) stays as published and keeps
// its source; the book itself has no source and no standing of its own, because nobody published it. It
// returns why not when the calibration cannot be used, or the book does not count the extra grain.
func (b *Book) Recalibrated(key, name string, c season.Calibration) (Book, string) {
	for _, v := range []float64{c.A, c.B, c.C, c.D} {
		if math.IsNaN(v) || math.Abs(v) > 1e5 {
			return Book{}, "the calibration has a number that cannot be used"
		}
	}
	switch {
	case b.InSeason == nil || b.InSeason.ExtraGrain == nil:
		return Book{}, "the calibration needs a rulebook that counts the nitrogen in the extra grain"
	case c.A <= 0 || c.B <= 0 || c.C <= 0:
		return Book{}, "the calibration must rise with the reading and with the response index: a, b and c above 0"
	case !(c.Efficiency > 0 && c.Efficiency <= 1):
		return Book{}, "the calibration's efficiency must be above 0 and up to 1"
	}
	form := *b.InSeason
	form.Outlook = Outlook{Factor: c.A, Exponent: c.B}
	form.AtHarvest = &Line{Slope: c.C, Constant: c.D}
	form.Efficiency = Coefficient{Value: float64(c.Efficiency)}
	form.MaximumYield.Source = b.sourceOf(form.MaximumYield)
	// The standing of what stays is in the note: the rate as a whole is the advisor's.
	grain := form.ExtraGrain.Nitrogen
	form.ExtraGrain = &ExtraGrain{Coefficient{Value: grain.Value, Source: b.sourceOf(grain)}}
	own := Book{
		Key: key, Name: name, FittedOn: c.Label, Crops: b.Crops, Refuses: b.Refuses, Units: b.Units, InSeason: &form,
		calibrated: working.Origin{Kind: working.Setting, Why: c.Label},
		Notes:      []string{"The advisor's own calibration. Nitrogen in grain and the cap on the response index stay those of " + b.Name + ", " + string(grain.Status) + "."},
	}
	own.expression = form.words(&own)
	return own, ""
}

func (f *InSeason) family(*Book) string { return FamilyInSeason }

func (f *InSeason) uses() Uses {
	return Uses{Response, Reading, GrowingDays, Efficiency, MaximumYield, Applied}
}

func (f *InSeason) fill(b *Book, in *Inputs) {
	if !in.Efficiency.Known() {
		in.Efficiency = working.FromBook(unit.Fraction(f.Efficiency.Value), b.sourceOf(f.Efficiency))
		if b.calibrated.Kind != "" {
			in.Efficiency.Origin = b.calibrated
		}
	}
	if !in.MaximumYield.Known() {
		in.MaximumYield = working.FromBook(unit.Yield(f.MaximumYield.Value)*unit.TonneOfGrainPerHectare, b.sourceOf(f.MaximumYield))
	}
}

func (f *InSeason) refuse(_ *Book, in *Inputs) string {
	switch {
	case !in.Response.Known():
		return "needs a response index from a sensor on a reference strip and beside it"
	case !in.Reading.Known():
		return "needs a sensor reading of the crop beside the reference"
	case !in.GrowingDays.Known():
		return "needs the count of growing days from planting to the reading"
	case in.GrowingDays.Value < 1:
		return "needs at least one growing day from planting to the reading"
	case math.IsInf(f.look(in).alone, 0):
		return "the reading is too high for so few growing days: no yield can be made of it"
	}
	return ""
}

func (f *InSeason) rate(_ *Book, in *Inputs) unit.Rate { return unit.Rate(f.look(in).rate) }

func (f *InSeason) explain(b *Book, in *Inputs, w *Worked) {
	o := f.look(in)
	tonnes := func(t float64) working.Amount {
		return working.Of(unit.Yield(t) * unit.TonneOfGrainPerHectare).As(unit.KindWheatYield)
	}
	w.Inputs = make([]working.Input, 0, 12)
	w.Steps = make([]Step, 0, 8)
	input(w, "reading beside the reference", in.Reading)
	input(w, "growing days", in.GrowingDays)
	input(w, "response index", in.Response)
	f.explainCalibration(b, w)
	w.step("perDay", "growth per growing day", working.Of(unit.Index(o.perDay)).As(unit.KindCoefficient))
	w.step("response", "response index, capped", working.Of(unit.Ratio(o.response)))
	w.step("alone", "yield outlook without top-dress", tonnes(o.alone))
	if f.AtHarvest != nil {
		w.step("atHarvest", "response index at harvest", working.Of(unit.Ratio(o.atHarvest)))
		w.rests(f.AtHarvest.Status)
	}
	w.step("fed", "yield outlook with enough nitrogen", tonnes(o.fed))
	inputAs(w, "highest yield counted on", in.MaximumYield, unit.KindWheatYield)
	if f.ExtraGrain != nil {
		numberAs(w, b, "nitrogen in grain", unit.Fraction(o.grainShare), f.ExtraGrain.Nitrogen, unit.KindShare)
	} else {
		w.step("grainShare", "nitrogen in grain", working.Of(unit.Fraction(o.grainShare)).As(unit.KindShare))
		w.step("grainUptake", "nitrogen in all the grain", working.Of(unit.Rate(o.grainUptake)))
		w.step("cropHolds", "nitrogen the crop holds already", working.Of(unit.Rate(o.cropHolds)))
		w.rests(f.Uptake.Crop.Status)
		w.rests(f.Uptake.GrainPercent.Status)
	}
	input(w, "share of applied nitrogen that reaches the grain", in.Efficiency)
	if in.Applied.Known() {
		input(w, "nitrogen applied since the reading", in.Applied)
	}
	w.rests(f.Outlook.Status)
	w.rests(f.Efficiency.Status)
	f.remarks(in, o, w)
	w.Balance = f.account(in, o)
}

// explainCalibration enters an advisor's own numbers among the inputs. Published ones stand in the formula and
// its source.
func (f *InSeason) explainCalibration(b *Book, w *Worked) {
	if b.calibrated.Kind == "" {
		return
	}
	for _, own := range []struct {
		label string
		value float64
	}{
		{"own calibration: factor of the outlook", f.Outlook.Factor},
		{"own calibration: exponent of the outlook", f.Outlook.Exponent},
		{"own calibration: slope from response index to that at harvest", f.AtHarvest.Slope},
		{"own calibration: constant added to it", f.AtHarvest.Constant},
	} {
		w.Inputs = append(w.Inputs, working.Input{Label: own.label, Amount: working.Of(unit.Ratio(own.value)).As(unit.KindCoefficient), Origin: b.calibrated})
	}
}

func (f *InSeason) remarks(in *Inputs, o outlook, w *Worked) {
	if in.Response.Value <= 1 {
		w.Notes = append(w.Notes, "The crop beside the reference is as green as the reference: no nitrogen is lacking.")
	}
	if float64(in.Response.Value) > f.MostResponse.Value {
		w.Notes = append(w.Notes, "The response index is above "+plain(f.MostResponse.Value)+" and counts as that.")
	}
	highest := float64(in.MaximumYield.Value / unit.TonneOfGrainPerHectare)
	if f.Uptake != nil && o.fed > f.Uptake.GrainPercent.turn() {
		w.Notes = append(w.Notes, "The outlook is higher than the line for nitrogen in grain was made for.")
	}
	switch {
	case o.alone >= highest:
		w.Notes = append(w.Notes, "The outlook without top-dress is already at the highest yield counted on.")
	case o.fed >= highest:
		w.Notes = append(w.Notes, "The outlook with enough nitrogen is held to the highest yield counted on.")
	}
}

// account puts an in-season rate in the terms of a balance: nitrogen for the whole fed yield, less what
// crop and soil supply of themselves.
func (f *InSeason) account(in *Inputs, o outlook) Account {
	perYield := o.grainShare / float64(in.Efficiency.Value)
	supplied := o.alone * 1000 * perYield
	if f.Uptake != nil {
		supplied = o.cropHolds / float64(in.Efficiency.Value)
	}
	a := Account{
		Known: true, PerYield: unit.NitrogenPerYield(perYield), Yield: unit.Yield(o.fed) * unit.TonneOfGrainPerHectare,
		Supplies: []Supply{{CropAndSoil, "what crop and soil supply of themselves", unit.Rate(supplied), false}},
	}
	if in.Applied.Known() {
		a.Supplies = append(a.Supplies, Supply{Applied, "nitrogen already applied", in.Applied.Value, isAssumed(in.Applied)})
	}
	return a
}

func (f *InSeason) words(*Book) string {
	var s formula
	s.text("outlook = ")
	if f.Outlook.Constant != 0 {
		s.text(plain(f.Outlook.Constant) + " + ")
	}
	s.text(plain(f.Outlook.Factor) + " × exp(" + plain(f.Outlook.Exponent) + " × reading ÷ growing days); fed outlook = outlook × ")
	if f.AtHarvest != nil {
		s.text("(" + plain(f.AtHarvest.Slope) + " × response index")
		s.term(f.AtHarvest.Constant, "")
		s.text(")")
	} else {
		s.text("response index")
	}
	s.text(", up to the highest yield; rate = ")
	if f.ExtraGrain != nil {
		s.text("(fed outlook − outlook) × nitrogen in grain ÷ efficiency")
	} else {
		s.text("(nitrogen in the fed grain − nitrogen the crop holds) ÷ efficiency")
	}
	s.text("; 0 when the response index is not above 1; in t/ha and kg/ha")
	return s.String()
}

func (f *InSeason) check(c *checker, _ *Book) {
	c.status(f.Outlook.Status, "inSeason", "outlook")
	c.coefficient(f.MostResponse, 1, 10, "inSeason", "mostResponse")
	c.coefficient(f.MaximumYield, 0.1, 30, "inSeason", "maximumYield")
	c.coefficient(f.Efficiency, 0.01, 1, "inSeason", "efficiency")
	if f.Outlook.Factor <= 0 || f.Outlook.Exponent <= 0 || f.Outlook.Constant < 0 {
		c.problem("must rise with the reading: factor and exponent above 0, constant not below", "inSeason", "outlook")
	}
	if f.AtHarvest != nil {
		c.status(f.AtHarvest.Status, "inSeason", "atHarvest")
		if f.AtHarvest.Slope <= 0 {
			c.problem("must rise with the response index", "inSeason", "atHarvest")
		}
	}
	if (f.ExtraGrain == nil) == (f.Uptake == nil) {
		c.problem("needs one way of counting nitrogen: extraGrain or uptake", "inSeason")
	}
	if f.ExtraGrain != nil {
		c.coefficient(f.ExtraGrain.Nitrogen, 0.001, 0.1, "inSeason", "extraGrain", "nitrogen")
	}
	if f.Uptake != nil {
		c.status(f.Uptake.GrainPercent.Status, "inSeason", "uptake", "grainPercent")
		c.status(f.Uptake.Crop.Status, "inSeason", "uptake", "crop")
		if f.Uptake.Crop.Exponent < 0 || f.Uptake.Crop.Exponent > 20 || f.Uptake.Crop.Factor < 0 {
			c.problem("must rise with the reading, with an exponent up to 20", "inSeason", "uptake", "crop")
		}
	}
}
