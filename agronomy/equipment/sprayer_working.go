package equipment

import (
	"fmt"

	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// The figures of a setting.
const (
	FlowFigure     working.ID = "sprayer.flow"
	WaterFigure    working.ID = "sprayer.water"
	PressureFigure working.ID = "sprayer.pressure"
	SlowestFigure  working.ID = "sprayer.slowest"
	FastestFigure  working.ID = "sprayer.fastest"
	LeastFigure    working.ID = "sprayer.least"
	MostFigure     working.ID = "sprayer.most"
)

// Work enters how a setting came about in a ledger. rate, speed, spacing and density say where the inputs come from.
func (t *Setting) Work(l *working.Ledger, s Spray, from SprayOrigins) {
	rate := input("rate", s.Rate, from.Rate)
	speed := input("speed", s.Speed, from.Speed)
	spacing := input("nozzle spacing", s.Spacing, from.Spacing)
	density := input("density", s.Density, from.Density)
	rated := input("flow of water of "+t.Nozzle.Name+" at "+psi(t.Nozzle.At), t.Nozzle.Flow, t.Nozzle.origin())
	flow := l.Add(working.Figure{
		ID: FlowFigure, Label: "Flow of each nozzle", Amount: working.Of(s.Flow()), Expression: "rate × speed × nozzle spacing",
		Inputs: []working.Input{rate, speed, spacing}, Source: cite.MontanaSprayer, Status: cite.Confirmed,
	})
	water := l.Add(working.Figure{
		ID: WaterFigure, Label: "The same in water, for a nozzle table", Amount: working.Of(s.WaterFlow()),
		Expression: "flow × √(density ÷ density of water)",
		Inputs:     []working.Input{flow.Ref(), density, input("density of water", fertilizer.Water, working.Origin{Kind: working.Rulebook, Source: cite.NebraskaNozzle})},
		Source:     cite.NebraskaNozzle, Status: cite.Confirmed,
	})
	l.Add(working.Figure{
		ID: PressureFigure, Label: "Pressure", Amount: working.Of(t.Pressure), Expression: "rated pressure × (flow in water ÷ rated flow)²",
		Inputs: []working.Input{input("rated pressure", t.Nozzle.At, t.Nozzle.origin()), water.Ref(), rated},
		Source: cite.PressureLaw, Status: cite.FromMemory,
		WouldChange: []working.Effect{{Input: "speed", By: working.Of(unit.MilePerHour), To: working.Of(s.faster(unit.MilePerHour).pressure(t.Nozzle))}},
	})
	low, high := input("lowest pressure", t.Low, t.rangeOrigin()), input("highest pressure", t.High, t.rangeOrigin())
	window := func(id working.ID, label string, amount working.Amount, at, held working.Input, expression string) {
		l.Add(working.Figure{
			ID: id, Label: label, Amount: amount, Expression: expression, Inputs: []working.Input{rated, at, held, spacing, density},
			Source: cite.PressureLaw, Status: cite.FromMemory,
		})
	}
	const speedAt, rateAt = "flow at that pressure ÷ (rate × nozzle spacing)", "flow at that pressure ÷ (speed × nozzle spacing)"
	window(SlowestFigure, "Slowest speed at the rate", working.Of(t.Slowest), low, rate, speedAt)
	window(FastestFigure, "Fastest speed at the rate", working.Of(t.Fastest), high, rate, speedAt)
	window(LeastFigure, "Least rate at the speed", working.Of(t.Least), low, speed, rateAt)
	window(MostFigure, "Most rate at the speed", working.Of(t.Most), high, speed, rateAt)
}

// SprayOrigins says where each part of a spray comes from.
type SprayOrigins struct {
	Rate, Speed, Spacing, Density working.Origin
}

func (s Spray) faster(by unit.Speed) Spray {
	s.Speed += by
	return s
}

func (s Spray) pressure(n Nozzle) unit.Pressure { return n.PressureFor(s.WaterFlow()) }

func (n Nozzle) origin() working.Origin {
	if n.Standard {
		return working.Origin{Kind: working.Rulebook, Source: cite.ISO10625}
	}
	return working.Origin{Kind: working.Setting, With: n.Name}
}

func (t *Setting) rangeOrigin() working.Origin {
	if t.RangeKnown {
		return t.Nozzle.origin()
	}
	return working.Origin{Kind: working.Assumed, Why: fmt.Sprintf("the range of %s is not known (from memory)", t.Nozzle.Name)}
}

func input[T unit.Quantity](label string, v T, from working.Origin) working.Input {
	return working.Input{Label: label, Amount: working.Of(v), Origin: from}
}
