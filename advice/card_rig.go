package advice

import (
	"fmt"
	"time"

	"culm/agronomy/cite"
	"culm/agronomy/equipment"
	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// setRig says what to set on the rig.
func (m *cardMaker) setRig() {
	liquid := m.product.Form == fertilizer.Liquid
	switch {
	case liquid && m.rig.Machine != season.Sprayer:
		m.doubt(m.rig.Title() + " is a spreader and cannot carry " + m.product.Name)
	case !liquid && m.rig.Machine != season.Spreader:
		m.doubt(m.rig.Title() + " is a sprayer and cannot carry " + m.product.Name)
	case liquid:
		m.setSprayer()
	default:
		m.setSpreader()
	}
}

func (m *cardMaker) setSpreader() {
	if m.rig.Width > 0 {
		m.set("Swath", m.feet(m.rig.Width), "")
	} else {
		m.doubt("the swath of " + m.rig.Title() + " is not known")
	}
	m.setSpeed()
	m.card.Stops = append(m.card.Stops, "Setting and swath are those of this product's own pan test; another lot or size of granule wants another.")
}

func (m *cardMaker) setSpeed() {
	if m.rig.Speed > 0 {
		m.set("Speed", m.speed(m.rig.Speed), "")
	}
}

// setSprayer chooses one of the rig's tips for the rate.
func (m *cardMaker) setSprayer() {
	if m.rig.Width > 0 {
		m.set("Boom", m.feet(m.rig.Width), "")
	}
	if m.rig.Speed == 0 || m.rig.Spacing == 0 {
		m.setSpeed()
		m.doubt("speed or nozzle spacing of " + m.rig.Title() + " is not known, so nozzle and pressure are not told")
		return
	}
	spray := equipment.Spray{
		Rate: m.volume, Speed: m.rig.Speed, Spacing: m.rig.Spacing, Density: m.product.Density.Value,
		Streams: m.plan.Decision.Placement == placement.Stream,
	}
	tips := m.tips(spray.Streams)
	if len(tips) == 0 {
		m.setSpeed()
		return
	}
	settings, err := spray.Choose(tips)
	if err != nil {
		m.setSpeed()
		m.doubt("no nozzle is told: " + err.Error())
		return
	}
	m.setNozzle(spray, settings[0])
}

// tips are the rig's own, or the standard sizes for fans where it lists none; none for streams then.
func (m *cardMaker) tips(streams bool) []equipment.Nozzle {
	var own []equipment.Nozzle
	for _, t := range m.rig.Tips {
		own = append(own, equipment.Nozzle{Name: t.Name, Flow: t.Flow, At: t.At, Low: t.Low, High: t.High, Streams: t.Streams})
	}
	if len(own) == 0 && !streams {
		m.doubt("no tips of " + m.rig.Title() + " are listed; a standard size is told to look for")
		return equipment.StandardSizes()
	}
	if len(own) == 0 {
		m.doubt("no stream tips of " + m.rig.Title() + " are listed, and no standard tells their flow; nozzle and pressure are not told")
	}
	return own
}

// catchTime is how long an operator catches under a nozzle to see that the rate is right.
const catchTime = 30 * time.Second

func (m *cardMaker) setNozzle(spray equipment.Spray, t equipment.Setting) {
	setting := working.Origin{Kind: working.Setting, With: m.rig.Title()}
	density := working.Origin{Kind: working.Rulebook, Source: m.product.Density.Source, Why: m.product.Density.Note}
	t.Work(m.ledger(), spray, equipment.SprayOrigins{Rate: working.Origin{Kind: working.Computed}, Speed: setting, Spacing: setting, Density: density})
	if !t.Fits {
		m.setSpeed()
		m.doubt("no tip fits at " + m.speed(spray.Speed) + ": with " + t.Nozzle.Name + " " + t.Why)
		return
	}
	m.set("Nozzle", t.Nozzle.Name, "")
	m.set("Pressure", m.show(unit.KindPressure, float64(t.Pressure)), equipment.PressureFigure)
	m.set("Speed", fmt.Sprintf("%s; the rate holds from %s to %s", m.speed(spray.Speed), m.speed(t.Slowest), m.speed(t.Fastest)), equipment.SlowestFigure)
	flow, _ := m.ledger().Get(equipment.FlowFigure)
	caught := unit.Volume(float64(spray.Flow()) * catchTime.Minutes())
	check := m.ledger().Add(working.Figure{
		ID: "card.catch", Label: "Caught under one nozzle in 30 s", Text: m.ounces(caught), Expression: "flow of each nozzle × 30 s",
		Inputs: []working.Input{flow.Ref()}, Source: cite.MontanaSprayer, Status: cite.Confirmed,
	})
	m.set("Check: one nozzle in 30 s", m.ounces(caught), check.ID)
	for _, n := range t.Notes {
		m.doubt(n.Text)
	}
}

func (m *cardMaker) show(k unit.Kind, base float64) string {
	return unit.Show(k, base, m.units).String()
}

func (m *cardMaker) speed(v unit.Speed) string {
	if m.units == unit.Metric {
		return fmt.Sprintf("%.1f\u202fkm/h", float64(v/unit.KilometrePerHour))
	}
	return fmt.Sprintf("%.1f\u202fmph", float64(v/unit.MilePerHour))
}

func (m *cardMaker) feet(x unit.Length) string {
	if m.units == unit.Metric {
		return fmt.Sprintf("%.4g\u202fm", float64(x))
	}
	return fmt.Sprintf("%.3g\u202fft", float64(x/unit.Foot))
}

func (m *cardMaker) ounces(v unit.Volume) string {
	if m.units == unit.Metric {
		return fmt.Sprintf("%.0f\u202fmL", float64(v)*1000)
	}
	return fmt.Sprintf("%.1f\u202ffl oz", float64(v/equipment.FluidOunce))
}
