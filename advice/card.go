package advice

import (
	"fmt"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// CardVersion names the shape of a Card in machine-readable output.
const CardVersion = "culm.card/1"

// Card is what the operator of a rig is given for one field: what to set, how many loads, which days, when to stop,
// what to be careful of, and room to write down what was really spread. Screen, paper and terminal are dresses of it.
type Card struct {
	Version  string       `json:"version"`
	FieldID  string       `json:"fieldId"`
	Field    string       `json:"field"`
	Producer string       `json:"producer"`
	Crop     string       `json:"crop"`
	Area     string       `json:"area,omitempty"`
	Day      string       `json:"day"` // on which it was made
	Made     calendar.Day `json:"made"`
	Invented bool         `json:"invented,omitempty"`
	Units    unit.System  `json:"units"`
	Rig      string       `json:"rig,omitempty"`
	// Go is false when the plan is not to spread; Head then says so.
	Go       bool   `json:"go"`
	Head     string `json:"head"`
	Sentence string `json:"sentence"`
	// Placed says why streams or fans; empty for a dry product.
	Placed string     `json:"placed,omitempty"`
	Set    []CardLine `json:"set,omitempty"`
	Loads  []CardLine `json:"loads,omitempty"`
	// Days are those of the coming week.
	Days []HandoutDay `json:"days,omitempty"`
	// Stops say when to stop or not to start, Safety what harms people, Keep where not to go.
	Stops  []string `json:"stops"`
	Safety []string `json:"safety"`
	Keep   []string `json:"keep"`
	// Doubts are what is assumed, not known, or does not fit.
	Doubts []string `json:"doubts,omitempty"`
	// Record names the blanks for what was really spread.
	Record  []string       `json:"record"`
	Closing string         `json:"closing"`
	Figures working.Ledger `json:"figures"`
}

// CardLine is a setting; Figure is its working.
type CardLine struct {
	Label   string     `json:"label"`
	Value   string     `json:"value"`
	Figure  working.ID `json:"figure,omitempty"`
	Assumed bool       `json:"assumed,omitempty"`
}

// CardOf makes the card of a plan for a rig. Without a rig it says what can be said, and that the rest is missing.
func CardOf(p *Plan, rig *season.Rig, s unit.System) Card {
	m := &cardMaker{plan: p, rig: rig, units: s}
	m.head()
	if p.Decision.Action == Spread {
		if product, ok := fertilizer.Find(p.Decision.Product); ok {
			m.card.Go, m.product = true, product
			m.spread()
		} else {
			m.doubt("the product " + p.Decision.Product + " is not known here, and nothing can be set for it")
		}
	}
	m.warn()
	return m.card
}

// cardMaker is a card in the making.
type cardMaker struct {
	plan    *Plan
	rig     *season.Rig
	units   unit.System
	card    Card
	product fertilizer.Product
	// volume is that of a liquid for each area; mass that of any product.
	volume unit.VolumePerArea
	mass   unit.Rate
}

func (m *cardMaker) ledger() *working.Ledger { return &m.card.Figures }

func (m *cardMaker) doubt(text string) { m.card.Doubts = append(m.card.Doubts, sentenceCase(text)+".") }

func (m *cardMaker) head() {
	p := m.plan
	m.card = Card{
		Version: CardVersion, FieldID: p.Field.ID, Field: p.Field.Name, Producer: p.Producer.Name, Crop: p.Field.Crop.String(),
		Day: p.Today.Time().Format("Monday 2 January 2006"), Made: p.Today, Invented: p.Invented, Units: m.units,
		Head: headOf(p.Decision.Action), Sentence: p.Sentence.Read(&p.Figures, m.units), Placed: p.PlacedIn(m.units),
		Record:  []string{"Date", "Product", "Rate", "Loads", "From – to", "Wind, temperature", "Left out", "By"},
		Closing: "Culm advises. The product's label, local rules and the licensed person decide. Give this back: what was really spread goes into the season.",
	}
	if area, ok := p.Figures.Get("area"); ok {
		m.card.Area = area.Show(m.units)
	}
	if m.rig != nil {
		m.card.Rig = m.rig.Title()
	}
}

func headOf(a Action) string {
	switch a {
	case Hold:
		return "Do not spread yet"
	case Leave:
		return "Do not spread"
	case Ask:
		return "Do not spread: not decided"
	default:
		return ""
	}
}

// spread fills the card of a plan to spread.
func (m *cardMaker) spread() {
	rate := m.plan.Decision.Rate
	m.mass = m.product.ProductRate(rate)
	m.volume, _ = m.product.Volume(rate)
	m.setRate(rate)
	if m.rig == nil {
		m.doubt("no rig was named: settings, loads and the units of its monitor are not told")
	} else {
		m.setRig()
	}
	m.loads()
	for _, d := range m.plan.Days[:min(week, len(m.plan.Days))] {
		m.card.Days = append(m.card.Days, HandoutDay{Day: d.Day.Short(), Words: dayOnCard(d), Best: d.Best, Stop: d.Stop != ""})
	}
}

// dayOnCard says of a day what an operator has to watch: why it is closed, or what speaks against it; of the day advised
// also why it is. What it would lose stands in the plan.
func dayOnCard(d DayOutlook) string {
	if d.Stop != "" {
		return "No. " + sentenceCase(d.Stop) + "."
	}
	var parts []string
	if d.Best {
		parts = append(parts, d.Why)
	}
	if len(d.FitHours) > 0 {
		parts = append(parts, "fit "+ground.SpokenSpans(d.FitHours))
	}
	if parts = append(parts, d.Flags...); len(parts) == 0 {
		return "Open."
	}
	return sentenceCase(strings.Join(parts, "; ")) + "."
}

// week is how many of the coming days an operator is told of.
const week = 7

func (m *cardMaker) set(label, value string, figure working.ID) {
	m.card.Set = append(m.card.Set, CardLine{Label: label, Value: value, Figure: figure})
}

// setRate puts the rate first, in the units on the monitor.
func (m *cardMaker) setRate(rate unit.Rate) {
	nitrogen := m.ledger().Add(working.Figure{ID: "card.nitrogen", Label: "Nitrogen", Amount: working.Of(rate), Origin: working.Origin{Kind: working.Computed, Why: "the plan's rate"}})
	f := working.Figure{
		ID: "card.rate", Label: "Rate on the monitor", Expression: "nitrogen ÷ N in product", Amount: working.Of(m.mass).As(unit.KindProductRate),
		Inputs: []working.Input{nitrogen.Ref(), {
			Label: "N in " + m.product.Name, Amount: working.Of(m.product.Nitrogen.Value).As(unit.KindShare),
			Origin: working.Origin{Kind: working.Rulebook, Source: m.product.Nitrogen.Source},
		}},
		Source: m.product.Nitrogen.Source, Status: m.product.Nitrogen.Status,
	}
	monitor := m.monitor()
	if monitor == season.GallonsAnAcre || monitor == season.LitresAHectare {
		d := m.product.Density
		f.Amount, f.Expression = working.Of(m.volume), "nitrogen ÷ (N in product × density)"
		f.Inputs = append(f.Inputs, working.Input{Label: "density", Amount: working.Of(d.Value), Origin: working.Origin{Kind: working.Rulebook, Source: d.Source, Why: d.Note}})
		f.Source, f.Status = d.Source, d.Status
	}
	f.Text = m.onMonitor(monitor)
	m.ledger().Add(f)
	m.card.Head = f.Text + " of " + m.product.Name
	m.set("Product", m.product.Name, "")
	m.set("Rate on the monitor", f.Text, f.ID)
	m.set("Nitrogen that is", nitrogen.Show(m.units), nitrogen.ID)
	if way := wayName(m.plan.Decision.Placement); way != "" {
		m.set("Placed", way, "")
	}
}

func wayName(way placement.Way) string {
	switch way {
	case placement.Broadcast:
		return "broadcast"
	case placement.FlatFan:
		return "flat fans"
	case placement.Stream:
		return "streams"
	default:
		return ""
	}
}

// monitor is the unit to set the rig in: that of its monitor, if it suits the product, or the reader's own.
func (m *cardMaker) monitor() season.Monitor {
	liquid := m.product.Form == fertilizer.Liquid
	usual := map[bool]map[unit.System]season.Monitor{
		true:  {unit.US: season.GallonsAnAcre, unit.Metric: season.LitresAHectare},
		false: {unit.US: season.PoundsAnAcre, unit.Metric: season.KilogramsAHectare},
	}[liquid][m.units]
	if m.rig == nil || m.rig.Monitor == "" {
		if m.rig != nil {
			m.doubt("what unit the monitor of " + m.rig.Title() + " shows is not known; the rate is told in " + string(usual))
		}
		return usual
	}
	byVolume := m.rig.Monitor == season.GallonsAnAcre || m.rig.Monitor == season.LitresAHectare
	if byVolume && !liquid {
		m.doubt(fmt.Sprintf("the monitor of %s shows %s, and a dry product is set by weight; the rate is told in %s", m.rig.Title(), m.rig.Monitor, usual))
		return usual
	}
	return m.rig.Monitor
}

// onMonitor writes the rate as a monitor does.
func (m *cardMaker) onMonitor(in season.Monitor) string {
	const space = "\u202f"
	pounds := float64(m.mass / unit.PoundPerAcre)
	switch in {
	case season.GallonsAnAcre:
		return fmt.Sprintf("%.1f%sgal/ac", float64(m.volume/unit.GallonPerAcre), space)
	case season.LitresAHectare:
		return fmt.Sprintf("%.0f%sL/ha", float64(m.volume), space)
	case season.KilogramsAHectare:
		return fmt.Sprintf("%.0f%skg/ha", float64(m.mass), space)
	case season.ThousandSquareFeet:
		return fmt.Sprintf("%.2f%slb/1000 ft²", pounds*1000/43560, space)
	default:
		return fmt.Sprintf("%.0f%slb/ac", pounds, space)
	}
}

// loads divides the field by the tank or the hopper.
func (m *cardMaker) loads() {
	area, known := m.plan.Figures.Get("area")
	if !known {
		m.doubt("the field's area is not known, nor how many loads it takes")
		return
	}
	hectares := unit.Area(area.Amount.Base)
	mass, volume, liquid := m.product.OnField(m.plan.Decision.Rate, hectares)
	if liquid {
		var tank unit.Volume
		if m.rig != nil {
			tank = m.rig.Tank
		}
		layLoads(m, volume, tank, hectares, area, "tank")
		m.storage()
		return
	}
	var hopper unit.Mass
	if m.rig != nil {
		hopper = m.rig.Hopper
	}
	layLoads(m, mass, hopper, hectares, area, "hopper")
}

// layLoads writes the lines of loads, by volume or by mass.
func layLoads[T unit.Quantity](m *cardMaker, total, capacity T, area unit.Area, from working.Figure, holder string) {
	rate, _ := m.ledger().Get("card.rate")
	in := m.ledger().Add(from)
	all := m.ledger().Add(working.Figure{
		ID: "card.total", Label: "Product for the field", Amount: working.Of(total), Expression: "rate × area", Inputs: []working.Input{rate.Ref(), in.Ref()},
		Source: rate.Source, Status: rate.Status,
	})
	m.load("For the field", m.heap(float64(total), total.Kind()), all.ID)
	if m.rig == nil {
		return
	}
	if capacity == 0 {
		m.doubt("what the " + holder + " of " + m.rig.Title() + " holds is not known, nor how many loads it takes")
		return
	}
	l, err := fertilizer.LoadsOf(total, capacity, area)
	if err != nil {
		m.doubt(err.Error())
		return
	}
	words := fmt.Sprintf("%d full", l.Full)
	switch {
	case l.Last > 0 && l.Full > 0:
		words += " and one of " + m.heap(float64(l.Last), total.Kind())
	case l.Last > 0:
		words = "one, of " + m.heap(float64(l.Last), total.Kind())
	}
	count := m.ledger().Add(working.Figure{
		ID: "card.loads", Label: "Loads", Text: words, Expression: "product for the field ÷ " + holder,
		Inputs: []working.Input{all.Ref(), {Label: holder, Amount: working.Of(capacity), Origin: working.Origin{Kind: working.Setting, With: m.rig.Title()}}},
		Source: cite.Practice, Status: cite.Derived,
	})
	m.load("Loads", words, count.ID)
	if l.Count > 1 {
		m.load("Or each of", m.heap(float64(l.Even), total.Kind()), count.ID)
		m.load("A full load covers", unit.Show(unit.KindArea, float64(l.Covers), m.units).String(), count.ID)
	}
}

func (m *cardMaker) load(label, value string, figure working.ID) {
	m.card.Loads = append(m.card.Loads, CardLine{Label: label, Value: value, Figure: figure})
}

// heap writes a heap of product; a dry one of a ton or more in tons.
func (m *cardMaker) heap(base float64, k unit.Kind) string {
	switch {
	case k == unit.KindMass && m.units == unit.Metric && base >= 1000:
		return fmt.Sprintf("%.2f\u202ft", base/1000)
	case k == unit.KindMass && m.units != unit.Metric && base >= float64(unit.ShortTon):
		return fmt.Sprintf("%.2f\u202ftons", base/float64(unit.ShortTon))
	default:
		return unit.Show(k, base, m.units).String()
	}
}

// storage warns of a tank that stands over the cold nights of the week.
func (m *cardMaker) storage() {
	coldest, known := unit.Temperature(0), false
	for i, d := range m.plan.Days {
		if low := d.Weather.Low; i < week && d.Weather.Has&season.HasTemperature != 0 && (!known || low < coldest) {
			coldest, known = low, true
		}
	}
	if !known {
		return
	}
	if c, warned := m.product.Storage(coldest); warned {
		m.card.Stops = append(m.card.Stops, c.Text)
	}
}
