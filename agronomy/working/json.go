package working

import (
	"encoding/json"
	"fmt"

	"culm/agronomy/unit"
)

// amountJSON is an amount in machine-readable output: the number in its metric base unit, the unit's name,
// and what is measured.
type amountJSON struct {
	Value float64   `json:"value"`
	Unit  string    `json:"unit"`
	Kind  unit.Kind `json:"kind"`
}

// MarshalJSON writes {"value":71.7,"unit":"kg/ha","kind":"nutrient-rate"}, and null for the zero Amount.
func (a Amount) MarshalJSON() ([]byte, error) {
	if a.Kind == "" {
		return []byte("null"), nil
	}
	return json.Marshal(amountJSON{Value: a.Base, Unit: unit.BaseSymbol(a.Kind), Kind: a.Kind})
}

// UnmarshalJSON reads what MarshalJSON wrote and refuses a unit that is not the kind's base unit.
func (a *Amount) UnmarshalJSON(data []byte) error {
	if string(data) == "null" {
		*a = Amount{}
		return nil
	}
	var in amountJSON
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	if want := unit.BaseSymbol(in.Kind); in.Unit != want {
		return fmt.Errorf("amount of kind %q has unit %q, expected %q", in.Kind, in.Unit, want)
	}
	*a = Amount{Base: in.Value, Kind: in.Kind}
	return nil
}

type intervalJSON struct {
	Low   float64       `json:"low"`
	High  float64       `json:"high"`
	Level unit.Fraction `json:"level,omitempty"`
}

// MarshalJSON writes the bounds in the base unit of the figure they belong to.
func (i Interval) MarshalJSON() ([]byte, error) { return json.Marshal(intervalJSON(i)) }

// UnmarshalJSON reads what MarshalJSON wrote.
func (i *Interval) UnmarshalJSON(data []byte) error {
	var in intervalJSON
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	*i = Interval(in)
	return nil
}

// MarshalJSON writes the figures as a list in order.
func (l Ledger) MarshalJSON() ([]byte, error) {
	if l.figures == nil {
		return []byte("[]"), nil
	}
	return json.Marshal(l.figures)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (l *Ledger) UnmarshalJSON(data []byte) error {
	var figures []Figure
	if err := json.Unmarshal(data, &figures); err != nil {
		return err
	}
	*l = Ledger{}
	for _, f := range figures {
		l.Add(f)
	}
	return nil
}
