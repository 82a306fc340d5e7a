package lab

import (
	"fmt"
	"strconv"
	"strings"

	"culm/agronomy/unit"
	"culm/season"
)

// reading is a result as it was found, with all that it takes to make one of the season's of it. Tables and the
// exchange standard both come down to it.
type reading struct {
	column   Column
	said     saying
	text     string
	unit     string
	soil     season.Soil // its depth
	soilMass unit.PoundsPerMillion
}

// complaint is what is wrong with a reading; an empty message is none.
type complaint struct{ message, expected string }

// result makes a result of a reading. measured is false where there is none to take.
func (v reading) result() (r season.Result, p Printed, measured bool, problem complaint) {
	c := v.column
	below := v.said.outcome == isBelow
	value := v.said.value
	switch v.said.outcome {
	case isUnreadable:
		return r, p, false, complaint{v.said.why, "a number, <1 for one under a limit of 1, or an empty cell; words such as ND under not-detected, decimal: in the mapping"}
	case isNotDetected:
		if c.WhenNotDetected == leaveOut {
			return r, p, false, complaint{}
		}
		limit, ok := readNumber(c.Limit, ".")
		if !ok {
			return r, p, false, complaint{"the result was not detected, and the mapping does not say under which limit", "limit: a number in the column's unit, or when-not-detected: leave-out"}
		}
		value, below = limit, true
	case isOver:
		switch c.WhenOver {
		case leaveOut:
			return r, p, false, complaint{}
		case "":
			return r, p, false, complaint{"the result is over the laboratory's range, and how far is not known", "when-over: limit to take the limit itself, or when-over: leave-out"}
		}
	}
	turned, how, whyNot := quantity{c.Analyte, value, v.unit, c.As, v.soil.Top, v.soil.Bottom, v.soilMass}.turn()
	if whyNot != "" {
		return r, p, false, complaint{whyNot, "unit: " + oneOf(unitsOf(c.Analyte))}
	}
	if fault := impossible(c.Analyte, turned); fault != "" {
		return r, p, false, complaint{fault, "a number that a soil can have; look at the unit that the mapping names"}
	}
	r = season.Result{Analyte: c.Analyte, Value: turned, Method: methodFor(c.Analyte, c.Method), Below: below}
	p = Printed{Column: c.name(), Text: v.text, Unit: strings.TrimSpace(v.unit + " " + c.As), Turned: how}
	if v.said.outcome == isOver {
		p.Turned = strings.TrimPrefix(p.Turned+"; over the laboratory's range, its limit is taken", "; ")
	}
	return r, p, true, complaint{}
}

// impossible says that no soil has such a result, as season.Check would.
func impossible(a season.Analyte, v float64) string {
	low, high := season.Believed(a)
	if v >= low && v <= high {
		return ""
	}
	return fmt.Sprintf("no soil has %s %s of %s", strconv.FormatFloat(v, 'g', 6, 64), a.Unit(), a)
}
