package fertility

import (
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Test is a laboratory's number with what it is held against.
type Test struct {
	Analyte season.Analyte
	Result  season.Result
	Sample  *season.Soil
	// Amount is the number in its kind.
	Amount working.Amount
	// Critical is the level the crop begins to be limited at, if HasCritical; WhyNot says why there is none.
	Critical    soil.Critical
	HasCritical bool
	WhyNot      string
}

// tests finds the latest number of each analyte from the surface, the deciding one first. An analyte that was
// not measured is left out.
func (q *Question) tests(n nutrient) []Test {
	var found []Test
	for _, a := range n.analytes {
		if t, ok := q.test(a); ok {
			found = append(found, t)
		}
	}
	return found
}

func (q *Question) test(a season.Analyte) (Test, bool) {
	var t Test
	bottom := unit.Length(0)
	for _, s := range q.Samples {
		r, has := s.Find(a)
		if !has {
			continue
		}
		if t.Sample == nil || s.Day.After(t.Sample.Day) || s.Day == t.Sample.Day && s.Top < t.Sample.Top {
			t = Test{Analyte: a, Result: r, Sample: s, Amount: working.Amount{Base: r.Value, Kind: soil.KindOf(a)}}
		}
		bottom = max(bottom, s.Bottom)
	}
	if t.Sample == nil {
		return t, false
	}
	t.Critical, t.WhyNot = soil.CriticalLevel(q.Crop, a, t.Result.Method, bottom)
	t.HasCritical = t.WhyNot == ""
	return t, true
}
