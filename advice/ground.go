package advice

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/fertility"
	"culm/agronomy/fertilizer"
	"culm/agronomy/rulebook"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// GroundPlan is a plan for lime and nutrients: of a field, or of a part of it that was sampled apart.
type GroundPlan struct {
	// Part names the part; empty for the field as a whole.
	Part string `json:"part,omitempty"`
	// Sampled is the day of the latest sample that the plan goes by.
	Sampled calendar.Day `json:"sampled,omitzero"`
	// Sentence says what limits first and what to do about it.
	Sentence working.Sentence `json:"sentence"`
	Needs    []NutrientNeed   `json:"needs"` // what limits most, first
}

// NutrientNeed is one nutrient, or lime.
type NutrientNeed struct {
	Nutrient string             `json:"nutrient"` // "phosphate"
	Standing fertility.Standing `json:"standing"`
	Why      string             `json:"why"`
	Tests    []NutrientTest     `json:"tests,omitempty"`
	// Rate is the figure of the rate followed; empty where none is.
	Rate    working.ID       `json:"rate,omitempty"`
	LeadWhy string           `json:"leadWhy,omitempty"`
	When    fertility.Window `json:"when"`
	Ways    []NutrientWay    `json:"ways"`
	// Doses are the products that bring it, the one to take first.
	Doses []NutrientDose `json:"doses,omitempty"`
	// Removed is the figure of what the harvest at the yield goal carries off, for the next season.
	Removed working.ID `json:"removed,omitempty"`
	// Spread is the figure of what was spread already and is taken off; empty where nothing was.
	Spread working.ID `json:"spread,omitempty"`
	// BuildUp is the figure of what would raise the test to the level its book wants, over several years.
	BuildUp working.ID `json:"buildUp,omitempty"`
	// Assumed lists what the way followed takes for granted and nobody observed.
	Assumed []string `json:"assumed,omitempty"`
	// Doubts are what a reader must know before acting, such as an old sample.
	Doubts []string `json:"doubts,omitempty"`
	Notes  []string `json:"notes,omitempty"`
}

// NutrientTest is a laboratory's number and the level it is held against.
type NutrientTest struct {
	Analyte season.Analyte `json:"analyte"`
	Name    string         `json:"name"`
	Figure  working.ID     `json:"figure"`
	Layer   string         `json:"layer"` // "0 to 6 in (0 to 15 cm)"
	Method  string         `json:"method,omitempty"`
	// Critical is the level at which the crop begins to be limited, in the unit of the figure; nil where none
	// is known, and WhyNot says why.
	Critical *working.Amount `json:"critical,omitempty"`
	WhyNot   string          `json:"whyNot,omitempty"`
}

// NutrientWay is one book's answer.
type NutrientWay struct {
	Rule     string     `json:"rule"` // "kansas-2003/phosphate"
	Name     string     `json:"name"`
	Lead     bool       `json:"lead,omitempty"`
	Answered bool       `json:"answered"`
	Why      string     `json:"why,omitempty"`
	Figure   working.ID `json:"figure,omitempty"`
	Rating   string     `json:"rating,omitempty"`
	FittedOn string     `json:"fittedOn,omitempty"`
	Assumed  []string   `json:"assumed,omitempty"`
	Notes    []string   `json:"notes,omitempty"`
}

// NutrientDose is a product that brings a nutrient.
type NutrientDose struct {
	Product string `json:"product"`
	Name    string `json:"name"`
	// Amount, Cost and BreakEven are figures: product per area, money per area, and the yield that pays it.
	Amount    working.ID `json:"amount"`
	Cost      working.ID `json:"cost,omitempty"`
	BreakEven working.ID `json:"breakEven,omitempty"`
	Portions  int        `json:"portions"`
	Slow      string     `json:"slow,omitempty"`
	Brings    []string   `json:"brings,omitempty"`
	Notes     []string   `json:"notes,omitempty"`
}

// poorSpots is the name of the part that poor spots make up.
const poorSpots = "the poor spots"

// part is ground that was sampled apart.
type part struct {
	name    string
	samples []*season.Soil
}

// parts are the field as a whole, its zones by name, and its poor spots, as far as they were sampled.
func (c *inquiry) parts() []part {
	var all []part
	add := func(name string, s *season.Soil) {
		i := slices.IndexFunc(all, func(p part) bool { return p.name == name })
		if i < 0 {
			all = append(all, part{name: name})
			i = len(all) - 1
		}
		all[i].samples = append(all[i].samples, s)
	}
	for _, s := range c.spots.Rest {
		add(s.Zone, s)
	}
	slices.SortStableFunc(all, func(a, b part) int { return cmp.Compare(a.name, b.name) })
	for _, p := range c.spots.Pairs {
		for _, s := range p.PoorSoil {
			add(poorSpots, s)
		}
	}
	return all
}

// askGround plans lime and nutrients for every part.
func (c *inquiry) askGround() {
	for i, p := range c.parts() {
		q := c.groundQuestion(p)
		g := groundChapter{inquiry: c, prefix: "ground." + strconv.Itoa(i) + "."}
		plan := GroundPlan{Part: p.name}
		for _, s := range p.samples {
			if s.Day.After(plan.Sampled) {
				plan.Sampled = s.Day
			}
		}
		needs := fertility.Plan(q)
		for _, n := range needs {
			plan.Needs = append(plan.Needs, g.need(n))
		}
		plan.Sentence = g.sentence(plan)
		c.plan.Ground = append(c.plan.Ground, plan)
	}
}

// groundQuestion is what is asked of the books for a part of the field.
func (c *inquiry) groundQuestion(p part) fertility.Question {
	q := fertility.Question{
		Crop: c.fs.Field.Crop, Tillage: c.fs.Field.Tillage, Texture: c.fs.Field.Texture, Samples: p.samples,
		Facts: c.groundFacts(), Rules: c.advisor.rules, Prefer: c.fs.Settings.Books, Prices: map[string]working.Fact[unit.PricePerMass]{},
		Nitrogen: c.nitrogenPrice(), LimeScore: c.fs.Settings.LimeScore, Spread: c.spreadings(), Today: c.fs.Today,
	}
	for key, price := range c.known.prices {
		q.Prices[key] = working.Fact[unit.PricePerMass]{Value: price.Price, Origin: price.Origin}
	}
	if c.known.grain != nil {
		q.Grain = working.Fact[unit.PricePerMass]{Value: c.known.grain.Price, Origin: c.known.grain.Origin}
	}
	return q
}

// spreadings are what was spread for this crop, with all that it brought: records count nitrogen, and a product
// brings its other nutrients in proportion.
func (c *inquiry) spreadings() []fertility.Spreading {
	var all []fertility.Spreading
	for _, a := range c.fs.Applied {
		carrier, known := fertilizer.CarrierOf(a.Product)
		if a.Day.Before(c.seasonStart()) || !known || carrier.Share(fertilizer.NitrogenN) == 0 {
			continue
		}
		s := fertility.Spreading{Day: a.Day, Brings: map[fertilizer.Nutrient]unit.Rate{}}
		product := carrier.ProductRate(fertilizer.NitrogenN, a.Rate)
		for n, held := range carrier.Holds {
			s.Brings[n] = product * unit.Rate(held.Value)
		}
		all = append(all, s)
	}
	return all
}

// groundFacts are what books on nutrients may ask for besides a laboratory's numbers.
func (c *inquiry) groundFacts() *rulebook.Facts {
	f := &rulebook.Facts{Crop: c.fs.Field.Crop}
	advisor := working.Origin{Kind: working.Setting, By: "the field's record"}
	rulebook.Put(f, rulebook.YieldGoal, c.known.goal)
	f.Say(rulebook.PreviousCrop, c.fs.Field.PreviousCrop, advisor)
	f.Say(rulebook.Tillage, string(c.fs.Field.Tillage), advisor)
	f.Say(rulebook.Texture, string(c.fs.Field.Texture), advisor)
	return f
}

// groundChapter writes one part's plan into the ledger.
type groundChapter struct {
	*inquiry
	prefix string
}

func (g groundChapter) id(parts ...string) working.ID {
	return working.ID(g.prefix + strings.Join(parts, "."))
}

func (g groundChapter) need(n fertility.Need) NutrientNeed {
	shown := NutrientNeed{
		Nutrient: n.Name, Standing: n.Standing, Why: n.Why, LeadWhy: n.LeadWhy, When: n.When, Notes: n.Notes, Doubts: n.Doubts,
	}
	if way, ok := n.Leading(); ok {
		shown.Assumed = way.Assumed
	}
	if n.Spread > 0 {
		shown.Spread = g.ledger().Add(working.Figure{
			ID: g.id(n.Name, "spread"), Label: sentenceCase(n.Name) + " spread already", Amount: working.Of(n.Spread),
			Expression: "nitrogen spread ÷ its share in the product × the share of the " + n.Name,
			Inputs:     g.spreadInputs(),
		}).ID
	}
	for _, t := range n.Tests {
		shown.Tests = append(shown.Tests, g.test(t))
	}
	for i, w := range n.Ways {
		way := NutrientWay{
			Rule: w.Rule.ID(), Name: w.Rule.Name, Lead: i == n.Lead, Answered: w.Why == "", Why: w.Why,
			Rating: w.Rating, FittedOn: w.Rule.FittedOn, Assumed: w.Assumed, Notes: w.Notes,
		}
		if way.Answered {
			way.Figure = g.answer(n, w, g.id(n.Name, w.Rule.Book.Key))
		}
		if way.Lead && n.Rate > 0 {
			shown.Rate = g.rate(n, way.Figure, shown.Spread)
		}
		shown.Ways = append(shown.Ways, way)
	}
	for _, d := range n.Doses {
		shown.Doses = append(shown.Doses, g.dose(n, d, shown.Rate))
	}
	if n.BuildUp.Rule != nil {
		shown.BuildUp = g.answer(n, n.BuildUp, g.id(n.Name, "build-up"))
	}
	if n.Removed.Known() {
		shown.Removed = enter(g.ledger(), g.id(n.Name, "removed"), sentenceCase(n.Name)+" that the harvest at the yield goal carries off", n.Removed, unit.KindRate).ID
	}
	return shown
}

// rate is the figure of what is still to be spread: the book's own where nothing was spread yet.
func (g groundChapter) rate(n fertility.Need, asked, spread working.ID) working.ID {
	if spread == "" {
		return asked
	}
	book, _ := g.ledger().Get(asked)
	already, _ := g.ledger().Get(spread)
	return g.ledger().Add(working.Figure{
		ID: g.id(n.Name, "rate"), Label: sentenceCase(n.Name) + " still to spread", Amount: working.Of(n.Rate),
		Expression: "what the book asks for − what was spread since the sample was drawn, not below 0",
		Inputs:     []working.Input{book.Ref(), already.Ref()}, Source: book.Source, Status: book.Status,
	}).ID
}

func (g groundChapter) spreadInputs() []working.Input {
	var inputs []working.Input
	for _, a := range g.fs.Applied {
		if !a.Day.Before(g.seasonStart()) {
			inputs = append(inputs, working.Input{
				Label: "nitrogen as " + a.Product, Amount: working.Of(a.Rate),
				Origin: working.Origin{Kind: working.Observed, By: a.By, On: a.Day, With: a.Product},
			})
		}
	}
	return inputs
}

func (g groundChapter) test(t fertility.Test) NutrientTest {
	name := soil.Name(t.Analyte)
	shown := NutrientTest{Analyte: t.Analyte, Name: name, WhyNot: t.WhyNot, Layer: soil.Depth(t.Sample.Top, t.Sample.Bottom), Method: t.Result.Method}
	f := working.Figure{ID: g.id("test", string(t.Analyte)), Label: sentenceCase(name) + ", " + soil.Depth(t.Sample.Top, t.Sample.Bottom), Amount: t.Amount, Origin: labOrigin(t.Sample)}
	if t.Result.Method != "" {
		f.Origin.With += " by " + t.Result.Method
	}
	if t.Result.Below {
		f.Notes = append(f.Notes, "Less than the laboratory can measure; its limit is shown.")
	}
	if t.HasCritical {
		level := working.Amount{Base: t.Critical.Level, Kind: t.Amount.Kind}
		shown.Critical = &level
		f.Notes = append(f.Notes, "Critical level: "+t.Critical.Note)
		f.Source, f.Status = t.Critical.Source, t.Critical.Status
	}
	shown.Figure = g.ledger().Add(f).ID
	return shown
}

// answer enters a book's answer with all its working.
func (g groundChapter) answer(n fertility.Need, w rulebook.Worked, id working.ID) working.ID {
	amount := w.Amount
	if n.Answer == rulebook.Lime && amount.Kind == unit.KindRate {
		amount = amount.As(unit.KindLimeRate)
	}
	f := working.Figure{
		ID: id, Label: w.Rule.Name, Amount: amount, Expression: w.Expression,
		Source: g.cite(w.Rule.Book, w.Rule.Source), Status: w.Status, Notes: w.Notes,
	}
	if amount.Kind == "" {
		f.Text = strconv.FormatFloat(w.Value, 'g', 4, 64) + " " + w.Rule.Unit.String()
	}
	for _, list := range [][]rulebook.Entry{w.Inputs, w.Used} {
		for _, e := range list {
			f.Inputs = append(f.Inputs, g.input(w.Rule.Book, e))
		}
	}
	return g.ledger().Add(f).ID
}

// input is an entry of a book's account as an input of a figure.
func (g groundChapter) input(b *rulebook.Book, e rulebook.Entry) working.Input {
	in := working.Input{Label: e.Label, Amount: e.Amount, Origin: e.Origin}
	in.Origin.Source = g.cite(b, in.Origin.Source)
	switch {
	case e.Absent:
		in.Text = "none noted"
		in.Origin = working.Origin{Kind: working.Assumed, Why: "none is noted, so none is counted"}
	case e.Word != "":
		in.Text = e.Word
	case e.Amount.Kind == "":
		in.Text = strings.TrimSpace(strconv.FormatFloat(e.Value, 'g', 6, 64) + " " + e.Unit)
	}
	return in
}

// cite gives the key of a publication as the plan knows it, and takes up its reference where the catalogue does
// not hold it. A book's own keys are its own, so they stand behind the book's.
func (c *inquiry) cite(b *rulebook.Book, k cite.Key) cite.Key {
	if k == "" {
		return ""
	}
	i := slices.IndexFunc(b.Sources, func(s cite.Source) bool { return s.Key == k })
	if i < 0 {
		return k
	}
	own := b.Sources[i]
	own.Key = cite.Key(b.Key + "/" + string(k))
	if _, have := c.plan.Source(own.Key); !have {
		c.plan.Sources = append(c.plan.Sources, own)
	}
	return own.Key
}

func (g groundChapter) dose(n fertility.Need, d fertility.Dose, rate working.ID) NutrientDose {
	shown := NutrientDose{Product: d.Key, Name: d.Name, Portions: d.Portions, Slow: d.Slow, Notes: d.Notes}
	kind := unit.KindProductRate
	if n.Answer == rulebook.Lime {
		kind = unit.KindLimeRate
	}
	needed, _ := g.ledger().Get(rate)
	amount := g.ledger().Add(working.Figure{
		ID: g.id(n.Name, d.Key, "amount"), Label: sentenceCase(d.Name) + " to spread", Amount: working.Of(d.Product).As(kind),
		Expression: map[bool]string{true: "pure lime ÷ the effective share of the lime at hand", false: "the " + n.Name + " needed ÷ its share in the product"}[n.Answer == rulebook.Lime], Inputs: []working.Input{needed.Ref()},
	})
	shown.Amount = amount.ID
	if d.Cost.Known() {
		cost := g.ledger().Add(working.Figure{
			ID: g.id(n.Name, d.Key, "cost"), Label: "Cost of " + d.Name, Amount: working.Of(d.Cost.Value),
			Expression: "product × its price" + map[bool]string{true: " − the worth of nitrogen that comes along"}[d.Brings[fertilizer.NitrogenN] > 0] + "; without spreading",
			Inputs:     []working.Input{amount.Ref(), g.priceInput(d.Key)},
		})
		shown.Cost = cost.ID
		if d.BreakEven.Known() {
			shown.BreakEven = g.ledger().Add(working.Figure{
				ID: g.id(n.Name, d.Key, "break-even"), Label: "More yield that just pays for " + d.Name,
				Amount: working.Of(d.BreakEven.Value).As(g.gainKind()), Expression: "cost ÷ price of the crop",
				Inputs: []working.Input{cost.Ref(), g.priceInput(g.saleItem())},
			}).ID
		}
	}
	for nutrient, brought := range d.Brings {
		shown.Brings = append(shown.Brings, unit.Show(unit.KindRate, float64(brought), g.plan.Units).String()+" "+string(nutrient))
	}
	slices.Sort(shown.Brings)
	return shown
}

func (g groundChapter) priceInput(item string) working.Input {
	p := g.known.prices[item]
	if p == nil {
		return working.Input{Label: "price of " + item}
	}
	kind := unit.KindProductPrice
	switch item {
	case "wheat", "canola", "gain":
		kind = g.saleKind()
	}
	return working.Input{Label: "price of " + item, Amount: working.Of(p.Price).As(kind), Origin: p.Origin}
}

// sentence says what limits first, or that nothing tested does.
func (g groundChapter) sentence(p GroundPlan) working.Sentence {
	where := ""
	if p.Part != "" {
		where = "In " + p.Part + ": "
	}
	// Needs come in order, so the first says what limits most, if anything does.
	unjudged := g.unjudged(p)
	if len(p.Needs) == 0 || p.Needs[0].Standing != fertility.Short && p.Needs[0].Standing != fertility.Spare {
		return working.Sentence{working.Words(sentenceCase(where + "besides nitrogen, nothing that could be judged is short" + unjudged + "."))}
	}
	first := p.Needs[0]
	says := where + "besides nitrogen, " + first.Nutrient + " limits first"
	if first.Standing == fertility.Spare {
		says = where + "besides nitrogen, nothing that could be judged is short; a book asks for " + first.Nutrient
	}
	s := working.Sentence{working.Words(sentenceCase(says))}
	if first.Rate == "" {
		return append(s, working.Words(": "+first.Why+unjudged+"."))
	}
	rate, _ := g.ledger().Get(first.Rate)
	s = append(s, working.Words(": "), working.Number(rate))
	if first.Nutrient == string(rulebook.Lime) {
		s = append(s, working.Words(" of pure lime"))
	}
	if len(first.Doses) > 0 {
		d := first.Doses[0]
		if amount, _ := g.ledger().Get(d.Amount); amount.Amount.Base != rate.Amount.Base {
			s = append(s, working.Words(", that is "), working.Number(amount))
		}
		s = append(s, working.Words(" of "+d.Name))
		if cost, ok := g.ledger().Get(d.Cost); ok {
			s = append(s, working.Words(" for "), working.Number(cost))
		}
	}
	return append(s, working.Words(", "+string(first.When)+unjudged+"."))
}

// unjudged names what was tested and could not be judged, so that silence is not taken for enough.
func (g groundChapter) unjudged(p GroundPlan) string {
	var names []string
	for _, n := range p.Needs {
		if n.Standing == fertility.Silent {
			names = append(names, n.Nutrient)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "; not judged, though tested: " + strings.Join(names, ", ")
}
