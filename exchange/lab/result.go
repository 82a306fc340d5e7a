package lab

import (
	"fmt"
	"strconv"
	"strings"

	"culm/agronomy/soil"
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

// taking is what becomes of a reading: a result, a reason why none is taken, or a complaint. All are empty where
// nothing was measured.
type taking struct {
	result  season.Result
	printed Printed
	// leftOut says why the mapping lets nothing be taken.
	leftOut string
	wrong   complaint
}

func (t taking) isResult() bool { return t.result.Analyte != "" }

func faulty(message, expected string) taking { return taking{wrong: complaint{message, expected}} }

// take makes a result of a reading. Where the depth could not be read, what depends on it is passed over.
func (v reading) take() taking {
	c := v.column
	below := v.said.outcome == isBelow
	value := v.said.value
	switch v.said.outcome {
	case isEmpty:
		return taking{}
	case isUnreadable:
		return faulty(v.said.why, "a number, <1 for one under a limit of 1, or an empty cell; words such as ND under not-detected, decimal: in the mapping")
	case isNotDetected:
		if c.WhenNotDetected == leaveOut {
			return taking{leftOut: "not detected, which the mapping leaves out"}
		}
		limit, ok := readNumber(c.Limit, ".")
		if !ok {
			return faulty("the result was not detected, and the mapping does not say under which limit", "limit: a number in the column's unit, or when-not-detected: leave-out")
		}
		value, below = limit, true
	case isOver:
		switch c.WhenOver {
		case leaveOut:
			return taking{leftOut: "over the laboratory's range, which the mapping leaves out"}
		case "":
			return faulty("the result is over the laboratory's range, and how far is not known", "when-over: limit to take the limit itself, or when-over: leave-out")
		}
	}
	if isPerArea(v.unit) && v.soil.Bottom <= v.soil.Top {
		return taking{}
	}
	turned, how, whyNot := quantity{c.Analyte, value, v.unit, c.As, v.soil.Top, v.soil.Bottom, v.soilMass}.turn()
	if whyNot != "" {
		return faulty(whyNot, "unit: "+oneOf(unitsOf(c.Analyte)))
	}
	if fault := impossible(c.Analyte, turned); fault != "" {
		return faulty(fault, "a number that a soil can have; look at the unit that the mapping names")
	}
	t := taking{
		result:  season.Result{Analyte: c.Analyte, Value: turned, Method: methodFor(c.Analyte, c.Method), Below: below},
		printed: Printed{Column: c.name(), Text: v.said.number(v.text), Unit: strings.TrimSpace(v.unit + " " + c.As), Turned: how},
	}
	if v.said.outcome == isOver {
		t.printed.Turned = strings.TrimPrefix(how+"; over the laboratory's range, its limit is taken", "; ")
	}
	return t
}

// keep adds what became of a reading to a sample; a complaint is the reader's to report.
func (s *Sample) keep(t taking, v reading) {
	switch {
	case t.isResult():
		s.Soil.Results, s.Printed = append(s.Soil.Results, t.result), append(s.Printed, t.printed)
		if isPerArea(v.unit) {
			s.Soil.SoilMass = v.soilMass
		}
	case t.leftOut != "":
		s.NotTaken = append(s.NotTaken, NotTaken{v.column.Analyte, v.column.name(), v.text, t.leftOut})
	}
}

// impossible says that no soil has such a result, as season.Check would.
func impossible(a season.Analyte, v float64) string {
	low, high := season.Believed(a)
	if v >= low && v <= high {
		return ""
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
	switch a.Unit() {
	case "":
		return fmt.Sprintf("no soil has a %s of %s", soil.Name(a), number(v))
	case "share":
		return fmt.Sprintf("no soil has %s %% of %s", number(v*100), soil.Name(a))
	default:
		return fmt.Sprintf("no soil has %s %s of %s", number(v), a.Unit(), soil.Name(a))
	}
}
