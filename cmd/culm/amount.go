package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"culm/agronomy/equipment"
	"culm/agronomy/unit"
)

// given is an amount with its unit as it is written on the command line: "6 mph", "15gal/ac".
type given[Q unit.Quantity] struct {
	Value Q
	Given bool
}

// UnmarshalText reads a number and one of the units of the kind. A number alone is refused: which unit was meant is
// not guessed at.
func (g *given[Q]) UnmarshalText(text []byte) error {
	v, err := readAmount[Q](string(text))
	if err != nil {
		return err
	}
	g.Value, g.Given = v, true
	return nil
}

func readAmount[Q unit.Quantity](text string) (Q, error) {
	var zero Q
	written := strings.TrimSpace(text)
	number := written
	// The unit may hold a digit or a slash: "3 kg/m3".
	if cut := strings.IndexFunc(written, func(r rune) bool { return !strings.ContainsRune("0123456789.+-−", r) }); cut >= 0 {
		number = written[:cut]
	}
	symbol := strings.TrimSpace(written[len(number):])
	units := unitsOfKind(zero.Kind())
	factor, known := 0.0, false
	for _, u := range units {
		if strings.EqualFold(u.symbol, symbol) {
			factor, known = u.base, true
			break
		}
	}
	switch {
	case symbol == "":
		return 0, fmt.Errorf("%q has no unit; expected a number and %s", text, unitList(units))
	case !known:
		return 0, fmt.Errorf("%q: the unit %q is not one of this; expected a number and %s", text, symbol, unitList(units))
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.ReplaceAll(number, "−", "-")), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v*factor, 0) {
		return 0, fmt.Errorf("%q: %q is not a number; expected a number with a decimal point and %s", text, number, unitList(units))
	}
	return Q(v * factor), nil
}

type written struct {
	symbol string
	base   float64 // of one of it
}

// unitsOfKind are the units an amount may be written in.
func unitsOfKind(k unit.Kind) []written {
	switch k {
	case unit.KindVolumePerArea:
		return []written{{"gal/ac", float64(unit.GallonPerAcre)}, {"gpa", float64(unit.GallonPerAcre)}, {"L/ha", 1}}
	case unit.KindRate:
		return []written{{"lb/ac", float64(unit.PoundPerAcre)}, {"kg/ha", 1}}
	case unit.KindSpeed:
		return []written{{"mph", float64(unit.MilePerHour)}, {"km/h", float64(unit.KilometrePerHour)}, {"m/s", 1}}
	case unit.KindLength:
		return []written{{"in", float64(unit.Inch)}, {"ft", float64(unit.Foot)}, {"m", 1}, {"cm", 0.01}, {"mm", 0.001}}
	case unit.KindDensity:
		return []written{{"lb/gal", float64(unit.PoundPerGallon)}, {"kg/L", 1}, {"g/mL", 1}, {"kg/m3", 0.001}, {"lb/ft3", float64(unit.PoundPerGallon) * 231 / 1728}}
	case unit.KindFlow:
		return []written{{"gal/min", float64(unit.GallonPerMinute)}, {"gpm", float64(unit.GallonPerMinute)}, {"L/min", 1}}
	case unit.KindPressure:
		return []written{{"psi", float64(unit.PoundPerSquareInch)}, {"bar", float64(unit.Bar)}, {"kPa", 1}}
	case unit.KindVolume:
		return []written{{"gal", float64(unit.Gallon)}, {"oz", float64(equipment.FluidOunce)}, {"L", 1}, {"mL", 0.001}}
	case unit.KindFraction:
		return []written{{"%", 0.01}}
	case unit.KindMoneyPerArea:
		return []written{{"$/ac", float64(unit.PerAcre)}, {"$/ha", 1}}
	case unit.KindPrice:
		return []written{{"$/ton", float64(unit.PerShortTon)}, {"$/t", float64(unit.PerTonne)}, {"$/lb", float64(unit.PerPound)}, {"$/kg", 1}}
	default:
		return nil
	}
}

func unitList(units []written) string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.symbol
	}
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// givenNozzle is a nozzle of the user's on the command line: "blue tip=0.3gal/min@40psi:15-60psi", the name and the
// range left out where there is none.
type givenNozzle struct{ equipment.Nozzle }

const nozzleForm = "flow@pressure, such as 0.4gal/min@40psi, with a name before it and a range after it where there are: tip=0.4gal/min@40psi:15psi-60psi"

// UnmarshalText reads it.
func (g *givenNozzle) UnmarshalText(text []byte) error {
	rest := string(text)
	if name, after, ok := strings.Cut(rest, "="); ok {
		g.Name, rest = strings.TrimSpace(name), after
	}
	flow, rest, ok := strings.Cut(rest, "@")
	if !ok {
		return fmt.Errorf("%q is no nozzle; expected %s", text, nozzleForm)
	}
	at, between, ranged := strings.Cut(rest, ":")
	var err error
	if g.Flow, err = readAmount[unit.Flow](flow); err != nil {
		return fmt.Errorf("nozzle %q: flow: %w", text, err)
	}
	if g.At, err = readAmount[unit.Pressure](at); err != nil {
		return fmt.Errorf("nozzle %q: pressure: %w", text, err)
	}
	if ranged {
		low, high, ok := strings.Cut(between, "-")
		if !ok {
			return fmt.Errorf("nozzle %q: expected a range such as 15psi-60psi", text)
		}
		if g.Low, err = readAmount[unit.Pressure](low); err != nil {
			return fmt.Errorf("nozzle %q: lowest pressure: %w", text, err)
		}
		if g.High, err = readAmount[unit.Pressure](high); err != nil {
			return fmt.Errorf("nozzle %q: highest pressure: %w", text, err)
		}
	}
	if g.Name == "" {
		g.Name = strings.TrimSpace(flow) + " at " + strings.TrimSpace(at)
	}
	return g.Check()
}
